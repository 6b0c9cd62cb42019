#include "reference/networks.hpp"

#include <toml++/toml.h>

#include <algorithm>
#include <stdexcept>

namespace knockwell::reference {
namespace {

const toml::array& array_of(const toml::table& table, const char* key) {
    const toml::array* array = table[key].as_array();
    if (!array)
        throw std::runtime_error(std::string("networks.toml: no array '") + key + "'");
    return *array;
}

template <class Value>
std::vector<Value> values_of(const toml::array& array) {
    std::vector<Value> values;
    for (const toml::node& element : array)
        values.push_back(element.value<Value>().value());
    return values;
}

std::vector<std::vector<double>> rows_of(const toml::array& array) {
    std::vector<std::vector<double>> rows;
    for (const toml::node& row : array)
        rows.push_back(values_of<double>(*row.as_array()));
    return rows;
}

std::vector<std::size_t> numbers_of(const toml::table& table, const char* key) {
    std::vector<std::size_t> numbers;
    if (const toml::array* array = table[key].as_array())
        for (const std::int64_t number : values_of<std::int64_t>(*array))
            numbers.push_back(static_cast<std::size_t>(number));
    return numbers;
}

std::map<std::string, std::vector<double>> distributions(const toml::table& table,
                                                         const char* key) {
    std::map<std::string, std::vector<double>> all;
    if (const toml::table* inner = table[key].as_table())
        for (const auto& [name, value] : *inner)
            all[std::string(name.str())] = values_of<double>(*value.as_array());
    return all;
}

std::string text(const toml::table& table, const char* key) {
    return table[key].value<std::string>().value();
}

Canonical canonical_of(const toml::table& table) {
    Canonical node{text(table, "child"),
                   values_of<std::string>(array_of(table, "parents")),
                   {},
                   {},
                   text(table, "kind") == "or"};
    if (!node.is_or) {
        for (const toml::node& parent : array_of(table, "contributions"))
            node.contributions.push_back(rows_of(*parent.as_array()));
        node.leak = values_of<double>(array_of(table, "leak"));
        return node;
    }
    for (const double strength : values_of<double>(array_of(table, "strengths")))
        node.contributions.push_back({{strength, 1 - strength}, {0, 1}});
    const double leak = table["leak"].value<double>().value();
    node.leak = {leak, 1 - leak};
    return node;
}

Case case_of(const toml::table& table) {
    Case one;
    one.id = text(table, "id");
    for (const auto& [name, state] : *table["evidence"].as_table())
        one.evidence[std::string(name.str())] = state.value<std::string>().value();
    one.likelihood = distributions(table, "likelihood");
    one.posterior = distributions(table, "posterior");
    one.log_evidence = table["log_evidence"].value<double>().value();
    one.conflict = table["conflict_ln"].value<double>();
    if (const toml::array* published = table["published"].as_array())
        for (const toml::node& figure : *published)
            one.published.push_back({text(*figure.as_table(), "name"),
                                     text(*figure.as_table(), "published"),
                                     (*figure.as_table())["agrees"].value<bool>().value()});
    return one;
}

Network network_of(const toml::table& table) {
    Network network;
    network.id = text(table, "id");
    for (const toml::node& node : array_of(table, "node")) {
        const toml::table& inner = *node.as_table();
        network.nodes.push_back(
            {text(inner, "name"), values_of<std::string>(array_of(inner, "states")),
             values_of<std::string>(array_of(inner, "parents")), rows_of(array_of(inner, "cpt"))});
    }
    if (const toml::array* canonical = table["canonical"].as_array())
        for (const toml::node& node : *canonical)
            network.canonical.push_back(canonical_of(*node.as_table()));
    for (const toml::node& one : array_of(table, "case"))
        network.cases.push_back(case_of(*one.as_table()));
    return network;
}

NoisyOrCase noisy_or_case_of(const toml::table& table) {
    NoisyOrCase one;
    one.id = text(table, "id");
    one.positive = numbers_of(table, "positive");
    one.negative = numbers_of(table, "negative");
    one.known_present = numbers_of(table, "causes_known_present");
    one.known_absent = numbers_of(table, "causes_known_absent");
    one.posterior = values_of<double>(array_of(table, "posterior"));
    one.log_evidence = table["log_evidence"].value<double>().value();
    one.conflict = table["conflict_ln"].value<double>();
    one.best_set = numbers_of(table, "mpe_causes_present");
    one.best_set_p = table["mpe_probability_given_evidence"].value<double>().value();
    return one;
}

NoisyOrNet noisy_or_net_of(const toml::table& table) {
    NoisyOrNet net{text(table, "id"),
                   values_of<double>(array_of(table, "prior")),
                   values_of<double>(array_of(table, "leak")),
                   rows_of(array_of(table, "strength")),
                   {}};
    for (const toml::node& one : array_of(table, "case"))
        net.cases.push_back(noisy_or_case_of(*one.as_table()));
    return net;
}

}  // namespace

Networks read_networks() {
    const toml::table file = toml::parse_file(KNOCKWELL_TESTS_DIR "/reference/networks.toml");
    Networks all;
    for (const toml::node& network : array_of(file, "network"))
        all.networks.push_back(network_of(*network.as_table()));
    for (const toml::node& net : array_of(file, "noisy_or_net"))
        all.noisy_or_nets.push_back(noisy_or_net_of(*net.as_table()));
    return all;
}

const Node& node_named(const Network& network, const std::string& name) {
    const auto at = std::find_if(network.nodes.begin(), network.nodes.end(),
                                 [&](const Node& node) { return node.name == name; });
    if (at == network.nodes.end())
        throw std::runtime_error(network.id + ": no node '" + name + "'");
    return *at;
}

std::size_t state_named(const Node& node, const std::string& state) {
    const auto at = std::find(node.states.begin(), node.states.end(), state);
    if (at == node.states.end())
        throw std::runtime_error(node.name + ": no state '" + state + "'");
    return static_cast<std::size_t>(at - node.states.begin());
}

}  // namespace knockwell::reference
