// cli/gnuplot.hpp
//
// gnuplot as a program of its own, without a shell between: a script in, what it prints out.
#pragma once
#include <optional>
#include <string>

namespace knockwell {

/// What the program prints; nothing where there is none of that name. It reads no settings of its
/// user. Throws std::runtime_error with its own words where it fails.
[[nodiscard]] std::optional<std::string> run_gnuplot(const std::string& program,
                                                     const std::string& script);

}  // namespace knockwell
