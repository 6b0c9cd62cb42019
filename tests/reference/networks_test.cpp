// Published networks, through the loader and the beliefs, against the figures that are known.
#include "beliefs/beliefs.hpp"
#include "knowledge/read.hpp"
#include "network/network.hpp"
#include "reference/networks.hpp"
#include "reference/to_knowledge.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>

namespace knockwell::reference {
namespace {

// 1e-10 relative, 1e-12 absolute.
void expect_close(double value, double wanted, const std::string& what) {
    EXPECT_NEAR(value, wanted, 1e-12 + 1e-10 * std::abs(wanted)) << what;
}

/// A knowledge base read from one text, with its network.
struct Loaded {
    Knowledge knowledge;
    knockwell::Network network;
    [[nodiscard]] Model model() const { return {&knowledge, &network}; }
};

Loaded load(const std::string& text) {
    const std::vector<Source> sources{{"network.toml", text}};
    const ReadResult result = read_knowledge(sources);
    for (const Problem& problem : result.problems)
        if (problem.severity == Severity::error)
            ADD_FAILURE() << to_text(problem, sources) << text;
    if (!result.ok())
        return {};
    return {result.knowledge, compile(result.knowledge)};
}

double log_evidence_of(const Model& model, const Evidence& evidence) {
    return std::get<Posterior>(posterior(model, evidence)).log_evidence;
}

// ln (product of P(e_i)) / P(e) over findings and known causes, each asked by itself.
double conflict_piece_by_piece(const Model& model, const Evidence& evidence) {
    double sum = -log_evidence_of(model, evidence);
    for (const Finding& finding : evidence.findings) {
        Evidence alone;
        alone.findings = {finding};
        sum += log_evidence_of(model, alone);
    }
    for (const KnownCause& cause : evidence.causes) {
        Evidence alone;
        alone.causes = {cause};
        sum += log_evidence_of(model, alone);
    }
    return sum;
}

void expect_conflict(const Model& model, const Evidence& evidence, double wanted) {
    expect_close(conflict_piece_by_piece(model, evidence), wanted, "conflict piece by piece");
    expect_close(misfit(model, evidence), wanted, "misfit");
}

// P(state | e) of a variable in whatever form the knowledge holds it.
double probability(const Loaded& loaded, const Network& network, const Evidence& evidence,
                   const Posterior& found, const Node& node, std::size_t state) {
    const std::string id = identifier(node.name);
    if (const SettingId table = setting_named(loaded.knowledge, id); table.valid())
        return found.setting[table.index()].at(state);
    const bool present = state == present_state(network, node);
    if (const CauseId cause = cause_named(loaded.knowledge, id); cause.valid())
        return present ? found.cause.at(cause.index()) : 1 - found.cause.at(cause.index());
    const SignId sign = sign_named(loaded.knowledge, id);
    const std::vector<std::size_t> value{node.states.size() == 2 ? std::size_t{present} : state};
    return chance_of(loaded.model(), evidence, sign, value).value();
}

void expect_printed(const std::string& printed, double value, const Published& figure) {
    const auto point = printed.find('.');
    const auto digits = point == std::string::npos ? 0 : printed.size() - point - 1;
    const double half = 0.5 * std::pow(10.0, -static_cast<double>(digits));
    const double off = std::abs(value - std::stod(printed));
    EXPECT_EQ(off <= half * (1 + 1e-9), figure.agrees) << figure.name << " is " << value;
}

void check_case(const Loaded& loaded, const Network& network, const Case& one,
                const Evidence& evidence) {
    const Answer answer = posterior(loaded.model(), evidence);
    ASSERT_TRUE(std::holds_alternative<Posterior>(answer));
    const auto& found = std::get<Posterior>(answer);
    expect_close(found.log_evidence, one.log_evidence, "log evidence");
    if (one.conflict)
        expect_conflict(loaded.model(), evidence, *one.conflict);

    ASSERT_EQ(one.posterior.size() + one.evidence.size(), network.nodes.size());
    for (const auto& [name, wanted] : one.posterior) {
        const Node& node = node_named(network, name);
        ASSERT_EQ(wanted.size(), node.states.size());
        for (std::size_t state = 0; state < wanted.size(); ++state)
            expect_close(probability(loaded, network, evidence, found, node, state), wanted[state],
                         name + "=" + node.states[state]);
    }
    for (const Published& figure : one.published) {
        const auto equals = figure.name.find('=');
        if (equals == std::string::npos) {
            ASSERT_EQ(figure.name, "p_evidence");
            expect_printed(figure.printed, std::exp(found.log_evidence), figure);
            continue;
        }
        const Node& node = node_named(network, figure.name.substr(0, equals));
        const std::size_t state = state_named(node, figure.name.substr(equals + 1));
        expect_printed(figure.printed, probability(loaded, network, evidence, found, node, state),
                       figure);
    }
}

TEST(PublishedNetworks, AsTablesGiveEveryFigure) {
    std::size_t cases = 0;
    for (const Network& network : read_networks().networks) {
        SCOPED_TRACE(network.id);
        const Loaded loaded = load(as_tables(network));
        ASSERT_EQ(loaded.knowledge.settings.size(), network.nodes.size());
        for (const Case& one : network.cases) {
            SCOPED_TRACE(one.id);
            check_case(loaded, network, one, evidence_on_tables(loaded.knowledge, network, one));
            ++cases;
        }
    }
    EXPECT_EQ(cases, 44U) << "a case was skipped";
}

TEST(PublishedNetworks, AsCausesAndSymptomsGiveEveryFigure) {
    std::size_t cases = 0;
    for (const Network& network : read_networks().networks) {
        if (network.canonical.empty())
            continue;
        SCOPED_TRACE(network.id);
        const Loaded loaded = load(as_causes(network));
        ASSERT_EQ(loaded.knowledge.signs.size(), network.canonical.size());
        for (const Case& one : network.cases) {
            SCOPED_TRACE(one.id);
            check_case(loaded, network, one, evidence_on_causes(loaded.knowledge, network, one));
            ++cases;
        }
    }
    EXPECT_EQ(cases, 12U) << "a case was skipped";
}

void check_noisy_or_case(const Loaded& loaded, const NoisyOrCase& one) {
    const Evidence evidence = evidence_on_causes(loaded.knowledge, one);
    const Answer answer = posterior(loaded.model(), evidence);
    ASSERT_TRUE(std::holds_alternative<Posterior>(answer));
    const auto& found = std::get<Posterior>(answer);
    expect_close(found.log_evidence, one.log_evidence, "log evidence");
    if (one.conflict)
        expect_conflict(loaded.model(), evidence, *one.conflict);
    for (std::size_t number = 1; number <= one.posterior.size(); ++number) {
        const std::string id = cause_identifier(number);
        const CauseId cause = cause_named(loaded.knowledge, id);
        ASSERT_TRUE(cause.valid());
        expect_close(found.cause[cause.index()], one.posterior[number - 1], id);
    }

    const CauseSets best = most_probable_sets(loaded.model(), evidence, 1);
    ASSERT_EQ(best.sets.size(), 1U);
    EXPECT_TRUE(best.proved);
    std::vector<CauseId> wanted;
    for (const std::size_t number : one.best_set)
        wanted.push_back(cause_named(loaded.knowledge, cause_identifier(number)));
    std::sort(wanted.begin(), wanted.end());
    EXPECT_EQ(best.sets[0].causes, wanted);
    expect_close(best.sets[0].p, one.best_set_p, "most probable set");
}

TEST(PublishedNoisyOrNets, GiveEveryPosteriorAndTheMostProbableSet) {
    std::size_t cases = 0;
    for (const NoisyOrNet& net : read_networks().noisy_or_nets) {
        SCOPED_TRACE(net.id);
        const Loaded loaded = load(as_causes(net));
        ASSERT_EQ(loaded.knowledge.causes.size(), net.prior.size());
        for (const NoisyOrCase& one : net.cases) {
            SCOPED_TRACE(one.id);
            check_noisy_or_case(loaded, one);
            ++cases;
        }
    }
    EXPECT_EQ(cases, 9U) << "a case was skipped";
}

}  // namespace
}  // namespace knockwell::reference
