// cli/since.hpp
//
// From which day on jobs are asked for.
//
// Held by  tests/cli/html_test.cpp
#pragma once
#include "cli/desk.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <variant>

namespace knockwell {

/// The first moment of that day, by UTC, in seconds since 1970; nothing where `day` is empty. What
/// is no day is told, as said to `command` ("knockwell review").
[[nodiscard]] std::variant<std::optional<std::int64_t>, Status>
since_told(const Desk& desk, const std::string& command, const std::string& day);

/// The moment at which the day of --until is over; likewise.
[[nodiscard]] std::variant<std::optional<std::int64_t>, Status>
until_told(const Desk& desk, const std::string& command, const std::string& day);

}  // namespace knockwell
