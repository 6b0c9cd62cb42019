#include "job/call_back.hpp"

#include "base/same_road.hpp"
#include "job/summary.hpp"
#include "job/time_text.hpp"

#include <algorithm>
#include <set>
#include <string_view>

namespace knockwell {
namespace {

bool is_same_code(const std::string& a, const std::string& b) {
    return a.empty() || b.empty() || a == b;
}

bool is_same_road(const std::string& a, const std::string& b) {
    return is_same_code(same_road(a), same_road(b));
}

std::string against_later(std::int64_t opened, const Job& earlier) {
    if (earlier.opened <= opened)
        return {};
    return "that job was opened later, " + format_day(earlier.opened) +
           "; a call-back comes after the job that it is of";
}

/// Whatever was said to be the job's area, or its installation.
std::set<std::string> codes_of(const Job& job, std::string_view which, const std::string& first) {
    std::set<std::string> codes = {first};
    std::set<std::string> numbers;  // of the entries that say so
    for (const Event& event : job.events) {
        const bool says = event.kind == EventKind::about && event.what == which;
        if (says)
            numbers.insert(std::to_string(event.number));
        if (says || (event.kind == EventKind::instead && numbers.contains(event.what)))
            codes.insert(event.value);
    }
    return codes;
}

template <class Same>
bool share_one(const std::set<std::string>& some, const std::set<std::string>& others, Same same) {
    return std::any_of(some.begin(), some.end(), [&](const std::string& one) {
        return std::any_of(others.begin(), others.end(),
                           [&](const std::string& other) { return same(one, other); });
    });
}

}  // namespace

std::string against_call_back(const House& house, std::int64_t opened, const Job& earlier) {
    if (std::string why = against_later(opened, earlier); !why.empty())
        return why;
    const Summary there = summary_of(earlier);
    const bool on_road = is_same_road(house.area, there.area);
    if (on_road && is_same_code(house.installation, there.installation))
        return {};
    const auto words = [&](const std::string& area, const std::string& installation) {
        return on_road ? installation : area + " " + installation;
    };
    return "that job was at " + words(there.area, there.installation) + " and this one is at " +
           words(house.area, house.installation) +
           "; if it is one installation, correct its code first";
}

std::string against_call_back(const Job& job, const Job& earlier) {
    if (job.id == earlier.id)
        return "a job is no call-back of itself";
    if (std::string why = against_later(job.opened, earlier); !why.empty())
        return why;
    const bool met =
        share_one(codes_of(job, "area", job.area), codes_of(earlier, "area", earlier.area),
                  is_same_road) &&
        share_one(codes_of(job, "installation", job.installation),
                  codes_of(earlier, "installation", earlier.installation), is_same_code);
    if (met)
        return {};
    const Summary now = summary_of(job);
    return against_call_back({now.area, now.installation}, job.opened, earlier);
}

}  // namespace knockwell
