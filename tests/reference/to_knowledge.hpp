// reference/to_knowledge.hpp
//
// A published network as a knowledge base in our own words, so that it takes the way of any other:
// text, loader, compiler, beliefs. And its evidence.
//
// Forms    as_tables   every node a [table]; findings are about tables
//          as_causes   for networks of root nodes and noisy-OR or noisy-MAX children: roots are
//                      causes (present = p, exact), children are symptoms, the leak is seen_anyway.
//                      A root with more than two states is a table, and each state but the first a
//                      cause that is there exactly when the table says so
#pragma once
#include "beliefs/evidence.hpp"
#include "knowledge/model.hpp"
#include "reference/networks.hpp"

#include <string>

namespace knockwell::reference {

/// The identifier that stands for a name of the file ("last_holder" -> "last-holder").
std::string identifier(std::string name);

/// What a sign, cause or table is called in the texts below; findings and causes count from 1.
std::string finding_identifier(std::size_t finding);
std::string cause_identifier(std::size_t cause);

std::string as_tables(const Network& network);
std::string as_causes(const Network& network);
std::string as_causes(const NoisyOrNet& net);

/// The identifier of the cause that stands for a state of a root with more than two states.
std::string cause_of_state(const std::string& root, const std::string& state);

/// The state of a two-state root (or of a noisy-OR child) that means "it is there".
std::size_t present_state(const Network& network, const Node& node);

Evidence evidence_on_tables(const Knowledge& knowledge, const Network& network, const Case& one);
Evidence evidence_on_causes(const Knowledge& knowledge, const Network& network, const Case& one);
Evidence evidence_on_causes(const Knowledge& knowledge, const NoisyOrCase& one);

}  // namespace knockwell::reference
