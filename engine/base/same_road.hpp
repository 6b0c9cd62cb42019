// base/same_road.hpp
//
// When two spellings of a road are one road for certain. Where they only may be, plain_code()
// (base/words.hpp) hints at it, and a person decides; what is certain is alike there too.
//
// Held by  tests/base/same_road_test.cpp
#pragma once
#include <string>
#include <string_view>

namespace knockwell {

/// What roads are compared by: in small letters (ASCII), one blank where several stand, neither
/// blanks nor dots at the end. "Mill  Rd." and "mill rd" are one road, "mill road" is another.
[[nodiscard]] std::string same_road(std::string_view area);

}  // namespace knockwell
