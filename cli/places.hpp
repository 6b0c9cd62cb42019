// cli/places.hpp
//
// Where the shop's areas lie on its own map, if it cares to say: a sheet of area, east and north,
// in any unit. The ledger itself keeps no positions.
//
// Held by  tests/cli/places_test.cpp
#pragma once
#include <istream>
#include <map>
#include <string>
#include <variant>
#include <vector>

namespace knockwell {

struct Whereabouts {
    double east = 0;
    double north = 0;
    bool operator==(const Whereabouts&) const = default;
};
using Places = std::map<std::string, Whereabouts>;  // by the code of the area

/// Reads CSV whose first row is area,east,north; otherwise all that is wrong, each with its line.
[[nodiscard]] std::variant<Places, std::vector<std::string>> read_places(std::istream& in);

}  // namespace knockwell
