// beliefs/explaining.hpp, of the tests
//
// The causes that have something to explain, by name.
#pragma once
#include "beliefs/beliefs.hpp"

#include <string>
#include <vector>

namespace knockwell {

inline std::vector<std::string> explaining(const Model& model, const Evidence& evidence) {
    std::vector<std::string> ids;
    for (const CauseId id : explainers(model, evidence))
        ids.push_back((*model.knowledge)[id].head.id);
    return ids;
}

}  // namespace knockwell
