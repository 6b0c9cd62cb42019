#include "ledger/histories.hpp"

#include "ledger/exchange.hpp"

namespace knockwell {

Fleet::Fleet(std::uint64_t seed, std::size_t trucks) : engine_(seed) {
    for (std::size_t truck = 0; truck < trucks; ++truck) {
        ledgers_.push_back(std::make_unique<Ledger>(file(truck)));
        // From right to two days out, either way; once in a while years.
        constexpr std::int64_t day = 86400;
        const std::int64_t skew = static_cast<std::int64_t>(below(4 * std::size_t{day})) - 2 * day;
        wrong_by_.push_back(below(3) == 0 ? 0 : below(8) == 0 ? 1000 * skew : skew);
    }
}

std::int64_t Fleet::clock_of(std::size_t truck) {
    now_ += static_cast<std::int64_t>(below(5) == 0 ? 40000 : below(3));  // often the same second
    return now_ + wrong_by_[truck];
}

Event Fleet::random_event(const Job& job, std::int64_t at) {
    Event event;
    event.at = at;
    // Entries that differ in nothing but the truck would be one; each has its own words.
    event.value = "entry " + std::to_string(++entries_);
    event.minutes = static_cast<double>(below(8)) / 4;
    const std::size_t dice = below(10);
    if (dice < 2 && !job.events.empty()) {
        event.kind = dice == 0 ? EventKind::undo : EventKind::instead;
        const std::size_t number = 1 + below(job.events.size() + 1);  // at times not there
        event.what = std::to_string(number);
        if (number <= job.events.size() && job.events[number - 1].kind == EventKind::closed)
            event.value = "cured";
    } else if (dice == 2) {
        event.kind = EventKind::closed;
        event.value = below(2) == 0 ? "cured" : "not-cured";
    } else if (dice == 3) {
        event.kind = EventKind::about;
        event.what = "area";
    } else {
        event.kind = dice < 6 ? EventKind::found : EventKind::did;
        event.what = "thing-" + std::to_string(below(3));
    }
    return event;
}

void Fleet::open(std::size_t truck) {
    Job job = job_numbered(++jobs_, {});
    job.opened = clock_of(truck);
    ledger(truck).begin(job);
}

void Fleet::add(std::size_t truck) {
    const std::vector<JobLine> lines = ledger(truck).list();
    if (lines.empty())
        return open(truck);
    const Job job = *found(ledger(truck), lines[below(lines.size())].id);
    std::vector<Event> events;
    const std::int64_t at = clock_of(truck);
    for (std::size_t i = 0; i <= below(3); ++i) {
        events.push_back(random_event(job, at));
        if (!is_correction(events.back().kind) && events.back().kind != EventKind::closed)
            written_.push_back(job.id + " " + events.back().value);
    }
    (void)ledger(truck).append(job.id, events);
}

void Fleet::step() {
    const std::size_t truck = below(size());
    const std::size_t dice = below(8);
    if (dice == 0)
        open(truck);
    else if (dice == 1)
        (void)ledger(truck).merge(file((truck + 1 + below(size() - 1)) % size()));
    else
        add(truck);
}

std::string exported(const Ledger& ledger) {
    std::string text = exchange_head(ledger.count()) + "\n";
    ledger.each([&](const KeptJob& job) { text += to_line(job) + "\n"; });
    return text;
}

}  // namespace knockwell
