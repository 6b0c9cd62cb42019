#include "ledger/kept.hpp"

#include "base/hex.hpp"
#include "ledger/bad_row.hpp"
#include "ledger/checksum.hpp"

#include <algorithm>
#include <limits>
#include <map>

namespace knockwell {
namespace {

Stamp after(const KeptJob& job, std::int64_t at) {
    if (job.events.empty() || job.events.back().stamp.moment < at)
        return {at, 0};
    const Stamp last = job.events.back().stamp;
    if (last.tick == std::numeric_limits<std::uint32_t>::max())
        return {last.moment + 1, 0};
    return {last.moment, last.tick + 1};
}

std::strong_ordering order_of(const std::string& a, const std::string& b) {
    const int order = a.compare(b);  // byte by byte, as SQLite compares
    return order <=> 0;
}

}  // namespace

std::strong_ordering order_of(const KeptEvent& a, const KeptEvent& b) {
    if (const auto order = a.stamp <=> b.stamp; order != 0)
        return order;
    if (const auto order = to_text(a.event.kind).compare(to_text(b.event.kind)) <=> 0; order != 0)
        return order;
    if (const auto order = order_of(a.event.what, b.event.what); order != 0)
        return order;
    if (const auto order = order_of(a.event.value, b.event.value); order != 0)
        return order;
    if (const auto order = a.event.at <=> b.event.at; order != 0)
        return order;
    if (a.event.minutes == b.event.minutes)
        return std::strong_ordering::equal;
    return a.event.minutes < b.event.minutes ? std::strong_ordering::less
                                             : std::strong_ordering::greater;
}

std::string reference_to(const std::string& job_id, const KeptEvent& event) {
    return std::to_string(event.stamp.moment) + "." + std::to_string(event.stamp.tick) + "." +
           hex(static_cast<std::uint64_t>(checksum(job_id, event)), 8);
}

bool is_reference(const std::string& text) {
    const std::size_t first = text.find('.');
    const std::size_t second = text.find('.', first == std::string::npos ? first : first + 1);
    if (second == std::string::npos || text.size() != second + 9)
        return false;
    const auto all_of = [&](std::size_t from, std::size_t to, std::string_view these) {
        return from < to &&
               std::all_of(text.begin() + static_cast<std::ptrdiff_t>(from),
                           text.begin() + static_cast<std::ptrdiff_t>(to),
                           [&](char c) { return these.find(c) != std::string_view::npos; });
    };
    const std::size_t begin = text.front() == '-' ? 1 : 0;
    return all_of(begin, first, "0123456789") && all_of(first + 1, second, "0123456789") &&
           all_of(second + 1, text.size(), hex_digits);
}

void add_stamped(KeptJob& job, const std::vector<Event>& events) {
    // What is at place i was number i + 1 when it was written.
    for (const Event& event : events) {
        KeptEvent kept{after(job, event.at), event};
        kept.event.number = 0;
        kept.event.minutes += 0.0;  // -0 is kept as 0
        if (is_correction(event.kind)) {
            const auto number = event_number(event.what);
            kept.event.what = number && *number <= job.events.size()
                                  ? reference_to(job.head.id, job.events[*number - 1])
                                  : "?" + event.what.substr(0, longest_what - 1);
        }
        job.events.push_back(std::move(kept));
    }
}

KeptJob stamped(const Job& job) {
    KeptJob kept{job, {}};
    kept.head.events.clear();
    add_stamped(kept, job.events);
    return kept;
}

Job as_told(const KeptJob& job) {
    Job told = job.head;
    told.events.reserve(job.events.size());
    const bool corrected = std::any_of(job.events.begin(), job.events.end(), [](const auto& one) {
        return is_correction(one.event.kind);
    });
    std::map<std::string, std::uint32_t> numbers;
    for (const KeptEvent& kept : job.events) {
        Event event = kept.event;
        event.number = static_cast<std::uint32_t>(told.events.size() + 1);
        if (is_correction(event.kind) && is_reference(event.what)) {
            const auto target = numbers.find(event.what);
            if (target == numbers.end())
                throw BadRow("a correction names an entry that is missing");
            event.what = std::to_string(target->second);
        }
        if (corrected)
            numbers[reference_to(job.head.id, kept)] = event.number;
        told.events.push_back(std::move(event));
    }
    return told;
}

}  // namespace knockwell
