// cli/desk.hpp
//
// What every command has before it: the world, the common options, the time, the page.
#pragma once
#include "cli/command_line.hpp"
#include "cli/knowledge_folder.hpp"
#include "cli/page.hpp"
#include "cli/surroundings.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace knockwell {

enum Status : int { status_done = 0, status_problems = 1, status_usage = 2 };

struct Desk {
    const Surroundings* here = nullptr;
    Common common;
    PageStyle style;
    std::int64_t now = 0;  // seconds since 1970-01-01T00:00:00Z

    void print(std::string_view text) const;
    /// To the error stream, each line broken at the width of the page. `text` is escaped already.
    void complain(std::string_view text) const;

    /// The knowledge; where it has errors they are told and there is nothing.
    [[nodiscard]] std::optional<Shelf> shelf(ReadFor whom = ReadFor::answers,
                                             FileNames names = FileNames::of_the_folder) const;
};

/// Nothing, with the reason told, where an option of `common` cannot be read.
[[nodiscard]] std::optional<Desk> desk_for(const Surroundings& here, const Common& common);

}  // namespace knockwell
