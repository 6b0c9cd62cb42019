#include "cli/desk.hpp"

#include "base/whole_file.hpp"
#include "base/words.hpp"
#include "cli/shop_file.hpp"
#include "job/time_text.hpp"
#include "knowledge/tree.hpp"

#include <algorithm>
#include <ostream>

namespace knockwell {
namespace {

constexpr std::size_t widest = 80;
constexpr std::size_t narrowest = 40;

PageStyle style_of(const Surroundings& here, std::size_t width) {
    PageStyle style;
    style.width = widest;
    if (here.terminal)
        style.width = std::clamp(here.columns, narrowest, widest);
    if (width != 0)
        style.width = width;
    style.colour =
        here.terminal && here.variable("NO_COLOR").empty() && here.variable("TERM") != "dumb";
    return style;
}

/// The shop's settings, where it keeps any; what is wrong with them is told.
bool take_rates(const Desk& desk, Shelf& shelf) {
    const auto file = shop_file(*desk.here, desk.common.ledger);
    if (!file)
        return true;
    const std::vector<Source> sources = {{file->string(), whole_file(*file, largest_text)}};
    auto rates = read_shop(shelf.knowledge, sources.front());
    if (const auto* problems = std::get_if<std::vector<Problem>>(&rates)) {
        for (const Problem& problem : *problems)
            *desk.here->err << to_text(problem, sources);
        desk.complain("knockwell: the shop's settings have errors; mend them first\n");
        return false;
    }
    shelf.rates = std::get<Rates>(std::move(rates));
    return true;
}

}  // namespace

void Desk::print(std::string_view text) const { *here->out << text; }

void Desk::complain(std::string_view text) const { *here->err << lines_within(text, style.width); }

std::optional<Shelf> Desk::shelf(ReadFor whom, FileNames names) const {
    // An answer is over sooner than its memory comes page by page. It is a heap with one lock, at
    // which two threads that learn would wait for each other.
    if (whom == ReadFor::answers && here->make_room)
        here->make_room();
    const auto folder = knowledge_folder(*here, common.kb);
    Shelf read = read_shelf(folder, whom, names);
    if (read.ok()) {
        if (!take_rates(*this, read))
            return std::nullopt;
        return read;
    }
    if (names == FileNames::of_the_folder)
        name_from_here(folder, read.sources);
    for (const Problem& problem : read.problems)
        if (problem.severity == Severity::error)
            *here->err << to_text(problem, read.sources);
    complain("knockwell: the knowledge in " + escape_controls(folder.string()) +
             " has errors; mend them first\n");
    return std::nullopt;
}

std::optional<Desk> desk_for(const Surroundings& here, const Common& common) {
    Desk desk{&here, common, style_of(here, common.width), 0};
    if (common.now.empty()) {
        desk.now = here.now();
        return desk;
    }
    const auto read = read_time(common.now);
    if (const auto* why = std::get_if<NoTime>(&read)) {
        desk.complain("knockwell: --now " + echo(common.now) +
                      (*why == NoTime::no_such_moment
                           ? ": there is no such day or time of day\n"
                           : ": a time is written 2026-11-25T13:14:45Z\n"));
        return std::nullopt;
    }
    desk.now = std::get<std::int64_t>(read);
    return desk;
}

}  // namespace knockwell
