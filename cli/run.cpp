#include "cli/run.hpp"

#include "base/words.hpp"
#include "cli/commands.hpp"
#include "cli/page.hpp"

#include <exception>
#include <ostream>
#include <variant>

namespace knockwell {

namespace {

constexpr std::size_t narrow = 80;

int carried_out(const std::vector<std::string>& arguments, const Surroundings& here) {
    try {
        const auto line = parse_command_line(arguments);
        if (const auto* help = std::get_if<Help>(&line)) {
            *here.out << help->text;
            return status_done;
        }
        if (const auto* bad = std::get_if<BadUsage>(&line)) {
            *here.err << bad->text;
            return status_usage;
        }
        const Parsed& parsed = std::get<Parsed>(line);
        const auto desk = desk_for(here, parsed.common);
        if (!desk)
            return status_usage;
        return std::visit([&](const auto& command) { return carry_out(command, *desk); },
                          parsed.command);
    } catch (const std::exception& failure) {
        // The world: a folder that cannot be read, a ledger that is locked, a full disk.
        *here.err << lines_within("knockwell: " + escape_controls(failure.what()) + "\n", narrow);
        return status_usage;
    }
}

}  // namespace

int run(const std::vector<std::string>& arguments, const Surroundings& here) {
    const int status = carried_out(arguments, here);
    here.out->flush();
    if (*here.out)
        return status;
    *here.err << lines_within("knockwell: what was to be printed could not be written to its end "
                              "(is the disk full?); what was kept in the ledger stays kept\n",
                              narrow);
    return status_usage;
}

}  // namespace knockwell
