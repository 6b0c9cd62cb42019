// cli/surroundings.hpp
//
// Everything that the command takes from the world, handed in as a value, so that a test can give
// it another world.
#pragma once
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <iosfwd>
#include <map>
#include <string>

namespace knockwell {

struct Surroundings {
    std::map<std::string, std::string> environment;
    std::istream* in = nullptr;  // what is typed in a conversation; null = nothing is
    std::ostream* out = nullptr;
    std::ostream* err = nullptr;
    std::function<std::int64_t()> now;    // seconds since 1970-01-01T00:00:00Z
    std::function<std::uint32_t()> dice;  // 32 even bits a call, for the identifiers of new jobs
    std::function<void()> make_room;      // memory for knowledge and beliefs; may be empty
    std::filesystem::path program;        // where the program stands; empty = not known
    bool terminal = false;                // `out` is one
    bool bar = false;                     // `err` is one: how far a long deed is can be shown there
    std::size_t columns = 80;             // of the terminal

    /// The variable's value; empty where it is not set.
    [[nodiscard]] std::string variable(const std::string& name) const;
};

/// Standard output, the clock, the terminal and the environment of this process.
[[nodiscard]] Surroundings surroundings_of_process();

}  // namespace knockwell
