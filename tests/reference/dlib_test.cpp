// Random networks of plain tables, through the loader and the beliefs, against the join tree of
// dlib (D. E. King, Dlib-ml: A Machine Learning Toolkit, J. Mach. Learn. Res. 10, 2009, pp.
// 1755-1758).
#include "beliefs/beliefs.hpp"
#include "knowledge/read.hpp"
#include "network/network.hpp"
#include "reference/to_knowledge.hpp"

#include <dlib/bayes_utils.h>
#include <dlib/directed_graph.h>
#include <dlib/graph.h>
#include <dlib/graph_utils.h>
#include <dlib/set.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <random>
#include <string>

namespace knockwell::reference {
namespace {

// Whole numbers below `bound`, the same on every machine.
class Dice {
public:
    explicit Dice(std::uint64_t seed) : engine_(seed) {}
    std::size_t below(std::size_t bound) { return engine_() % bound; }

private:
    std::mt19937_64 engine_;
};

std::vector<double> random_row(Dice& dice, std::size_t states) {
    std::vector<double> row(states);
    double sum = 0;
    for (double& share : row)
        sum += share = static_cast<double>(1 + dice.below(999));
    for (double& share : row)
        share /= sum;
    return row;
}

// Up to ten nodes of two or three states; every node but the first has one to three parents, so
// that the graph is in one piece, as the join tree wants it.
Network random_network(Dice& dice) {
    Network network;
    const std::size_t nodes = 2 + dice.below(9);
    for (std::size_t index = 0; index < nodes; ++index) {
        Node node;
        node.name = "n" + std::to_string(index);
        const std::size_t states = 2 + dice.below(2);
        for (std::size_t state = 0; state < states; ++state)
            node.states.push_back("s" + std::to_string(state));
        const std::size_t most = index == 0 ? 0 : 1 + dice.below(std::min<std::size_t>(index, 3));
        std::size_t rows = 1;
        while (node.parents.size() < most) {
            const Node& parent = network.nodes[dice.below(index)];
            if (std::find(node.parents.begin(), node.parents.end(), parent.name) !=
                node.parents.end())
                continue;
            node.parents.push_back(parent.name);
            rows *= parent.states.size();
        }
        for (std::size_t row = 0; row < rows; ++row)
            node.rows.push_back(random_row(dice, node.states.size()));
        network.nodes.push_back(node);
    }
    return network;
}

Case random_case(Dice& dice, const Network& network) {
    Case one;
    for (const Node& node : network.nodes)
        if (dice.below(3) == 0)
            one.evidence[node.name] = node.states[dice.below(node.states.size())];
    return one;
}

using DlibNetwork = dlib::directed_graph<dlib::bayes_node>::kernel_1a_c;

std::size_t index_of(const Network& network, const std::string& name) {
    return static_cast<std::size_t>(&node_named(network, name) - network.nodes.data());
}

// The states of the parents of row `row`, first parent slowest.
dlib::assignment parents_in_row(const Network& network, const Node& node, std::size_t row) {
    dlib::assignment parents;
    for (std::size_t at = node.parents.size(); at-- > 0;) {
        const std::size_t parent = index_of(network, node.parents[at]);
        const std::size_t states = network.nodes[parent].states.size();
        parents.add(parent, row % states);
        row /= states;
    }
    return parents;
}

void fill(DlibNetwork& filled, const Network& network, const Case& one) {
    namespace utils = dlib::bayes_node_utils;
    filled.set_number_of_nodes(network.nodes.size());
    for (std::size_t index = 0; index < network.nodes.size(); ++index) {
        for (const std::string& parent : network.nodes[index].parents)
            filled.add_edge(index_of(network, parent), index);
        utils::set_node_num_values(filled, index, network.nodes[index].states.size());
    }
    for (std::size_t index = 0; index < network.nodes.size(); ++index) {
        const Node& node = network.nodes[index];
        for (std::size_t row = 0; row < node.rows.size(); ++row)
            for (std::size_t state = 0; state < node.states.size(); ++state)
                utils::set_node_probability(filled, index, state,
                                            parents_in_row(network, node, row),
                                            node.rows[row][state]);
        const auto known = one.evidence.find(node.name);
        if (known == one.evidence.end())
            continue;
        utils::set_node_value(filled, index, state_named(node, known->second));
        utils::set_node_as_evidence(filled, index);
    }
}

// [node][state] P(state | e) by the join tree.
std::vector<std::vector<double>> by_join_tree(const Network& network, const Case& one) {
    using Set = dlib::set<unsigned long>::compare_1b_c;
    DlibNetwork filled;
    fill(filled, network, one);
    dlib::graph<Set, Set>::kernel_1a_c tree;
    dlib::create_moral_graph(filled, tree);
    dlib::create_join_tree(tree, tree);
    const dlib::bayesian_network_join_tree solution(filled, tree);
    std::vector<std::vector<double>> all;
    for (std::size_t index = 0; index < network.nodes.size(); ++index) {
        const auto column = solution.probability(index);
        all.emplace_back(column.begin(), column.end());
    }
    return all;
}

TEST(RandomTables, AgreeWithTheJoinTree) {
    std::size_t compared = 0;
    for (std::uint64_t seed = 1; seed <= 100; ++seed) {
        Dice dice(seed);
        const Network network = random_network(dice);
        const Case one = random_case(dice, network);
        const std::string text = as_tables(network);
        SCOPED_TRACE("seed " + std::to_string(seed) + "\n" + text);

        const ReadResult read = read_knowledge({{"random.toml", text}});
        ASSERT_TRUE(read.ok());
        const knockwell::Network compiled = compile(read.knowledge);
        const Answer answer = posterior({&read.knowledge, &compiled},
                                        evidence_on_tables(read.knowledge, network, one));
        ASSERT_TRUE(std::holds_alternative<Posterior>(answer));
        const auto& found = std::get<Posterior>(answer);

        const auto wanted = by_join_tree(network, one);
        for (std::size_t index = 0; index < network.nodes.size(); ++index) {
            const Node& node = network.nodes[index];
            const SettingId table = setting_named(read.knowledge, identifier(node.name));
            ASSERT_TRUE(table.valid());
            for (std::size_t state = 0; state < node.states.size(); ++state, ++compared)
                EXPECT_NEAR(found.setting[table.index()].at(state), wanted[index].at(state), 1e-9)
                    << node.name << "=" << node.states[state];
        }
    }
    EXPECT_GT(compared, 1000U);
}

}  // namespace
}  // namespace knockwell::reference
