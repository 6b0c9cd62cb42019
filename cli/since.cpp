#include "cli/since.hpp"

#include "base/words.hpp"
#include "job/time_text.hpp"

namespace knockwell {

namespace {

std::variant<std::optional<std::int64_t>, Status>
day_told(const Desk& desk, const std::string& option, const std::string& day) {
    if (day.empty())
        return std::nullopt;
    const auto begins = read_time(day + "T00:00:00Z");
    if (const auto* moment = std::get_if<std::int64_t>(&begins))
        return *moment;
    desk.complain(option + (std::get<NoTime>(begins) == NoTime::no_such_moment
                                ? " " + echo(day) + ": there is no such day\n"
                                : " wants a day as 2026-01-31\n"));
    return status_usage;
}

}  // namespace

std::variant<std::optional<std::int64_t>, Status>
since_told(const Desk& desk, const std::string& command, const std::string& day) {
    return day_told(desk, command + ": --since", day);
}

std::variant<std::optional<std::int64_t>, Status>
until_told(const Desk& desk, const std::string& command, const std::string& day) {
    auto told = day_told(desk, command + ": --until", day);
    if (auto* begins = std::get_if<0>(&told); begins != nullptr && *begins)
        **begins += day_seconds;
    return told;
}

}  // namespace knockwell
