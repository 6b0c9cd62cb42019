// reference/networks.hpp
//
// The networks of networks.toml as plain values.
#pragma once
#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace knockwell::reference {

struct Node {
    std::string name;
    std::vector<std::string> states;
    std::vector<std::string> parents;
    std::vector<std::vector<double>> rows;  // [combination of parents, first slowest][state]
};

/// A node as noisy-OR or noisy-MAX: contributions[parent][state of the parent][state of the child].
struct Canonical {
    std::string child;
    std::vector<std::string> parents;
    std::vector<std::vector<std::vector<double>>> contributions;
    std::vector<double> leak;  // by state of the child
    bool is_or = false;  // states of parents and child are yes, no; else state 0 is the absent one
};

/// A figure as it was printed, such as "tub=yes" 0.0104, or "p_evidence".
struct Published {
    std::string name;
    std::string printed;
    bool agrees = true;  // the exact value rounds to it
};

struct Case {
    std::string id;
    std::map<std::string, std::string> evidence;            // variable -> state
    std::map<std::string, std::vector<double>> likelihood;  // variable -> weight by state
    std::map<std::string, std::vector<double>> posterior;   // variable -> probability by state
    double log_evidence = 0;
    std::optional<double> conflict;  // ln (product of P(e_i)) / P(e)
    std::vector<Published> published;
};

struct Network {
    std::string id;
    std::vector<Node> nodes;  // parents first
    std::vector<Canonical> canonical;
    std::vector<Case> cases;
};

struct NoisyOrCase {
    std::string id;
    std::vector<std::size_t> positive, negative;           // findings, from 1
    std::vector<std::size_t> known_present, known_absent;  // causes, from 1
    std::vector<double> posterior;                         // by cause
    double log_evidence = 0;
    std::optional<double> conflict;
    std::vector<std::size_t> best_set;  // the most probable set of causes, from 1
    double best_set_p = 0;              // its probability, given the evidence
};

struct NoisyOrNet {
    std::string id;
    std::vector<double> prior;                  // by cause
    std::vector<double> leak;                   // by finding
    std::vector<std::vector<double>> strength;  // [finding][cause]
    std::vector<NoisyOrCase> cases;
};

struct Networks {
    std::vector<Network> networks;
    std::vector<NoisyOrNet> noisy_or_nets;
};

/// Everything in networks.toml. Throws where a key is missing or of another kind.
Networks read_networks();

const Node& node_named(const Network& network, const std::string& name);
std::size_t state_named(const Node& node, const std::string& state);

}  // namespace knockwell::reference
