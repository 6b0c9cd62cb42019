#include "cli/since.hpp"

#include "base/words.hpp"
#include "job/time_text.hpp"

namespace knockwell {

std::variant<std::optional<std::int64_t>, Status>
since_told(const Desk& desk, const std::string& command, const std::string& day) {
    if (day.empty())
        return std::nullopt;
    const auto begins = read_time(day + "T00:00:00Z");
    if (const auto* moment = std::get_if<std::int64_t>(&begins))
        return *moment;
    desk.complain(command + (std::get<NoTime>(begins) == NoTime::no_such_moment
                                 ? ": --since " + echo(day) + ": there is no such day\n"
                                 : ": --since wants a day as 2026-01-31\n"));
    return status_usage;
}

}  // namespace knockwell
