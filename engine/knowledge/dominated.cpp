#include "knowledge/dominated.hpp"

#include <algorithm>

namespace knockwell {
namespace {

template <class T>
bool contains(const std::vector<T>& all, const T& one) {
    return std::find(all.begin(), all.end(), one) != all.end();
}

/// Whether every one of `some` is among `all`.
template <class T>
bool contains_all(const std::vector<T>& all, const std::vector<T>& some) {
    return std::all_of(some.begin(), some.end(),
                       [&all](const T& one) { return contains(all, one); });
}

/// Whether `at` is reached on the way to `other`; no access at all is everywhere.
bool on_the_way(const Knowledge& knowledge, AccessId at, AccessId other) {
    return !at.valid() || contains(way_to(knowledge, other), at);
}

bool needs_no_more(const Needs& a, const Needs& b) {
    return (a.power == Power::any || a.power == b.power) &&
           (a.pressure == Pressure::any || a.pressure == b.pressure) &&
           (!a.tank_drained || b.tank_drained) && (a.pump.empty() || a.pump == b.pump) &&
           a.skill <= b.skill && contains_all(b.licence, a.licence);
}

/// Whether `a` holds wherever `b` does.
bool holds_wherever(const Conditions& a, const Conditions& b) {
    return std::all_of(a.begin(), a.end(), [&b](const Condition& mine) {
        return std::any_of(b.begin(), b.end(), [&mine](const Condition& other) {
            return mine.setting == other.setting && contains_all(mine.states, other.states);
        });
    });
}

double within_of(const Test& test, const Reading& reading) {
    return test.within.value_or(reading.within);
}

bool errs_no_more(const Knowledge& knowledge, const Test& a, const Test& b) {
    const Channel mine = a.channel.value_or(knowledge.manifest.looked);
    const Channel other = b.channel.value_or(knowledge.manifest.looked);
    if (mine.misses.mean() > other.misses.mean())
        return false;
    if (mine.false_alarm.mean() > other.false_alarm.mean())
        return false;
    return std::all_of(b.reveals.begin(), b.reveals.end(), [&](const Findable& what) {
        const auto* sign = std::get_if<SignId>(&what);
        if (sign == nullptr || !knowledge[*sign].reading)
            return true;
        const Reading& reading = *knowledge[*sign].reading;
        return within_of(a, reading) <= within_of(b, reading);
    });
}

/// Whether `a` can always stand in for `b`.
bool serves_for(const Knowledge& knowledge, const Test& a, const Test& b) {
    return contains_all(a.reveals, b.reveals) && a.step.minutes <= b.step.minutes &&
           on_the_way(knowledge, a.step.at, b.step.at) &&
           needs_no_more(a.step.needs, b.step.needs) && contains_all(b.step.tools, a.step.tools) &&
           contains_all(hazards_of(knowledge, b.step), hazards_of(knowledge, a.step)) &&
           holds_wherever(a.step.only_if, b.step.only_if) && errs_no_more(knowledge, a, b);
}

bool alone_at_its_access(const Knowledge& knowledge, const Test& test) {
    return std::count_if(knowledge.tests.begin(), knowledge.tests.end(),
                         [&](const Test& other) { return other.step.at == test.step.at; }) == 1;
}

}  // namespace

std::vector<TestId> dominated_tests(const Knowledge& knowledge) {
    const std::vector<Test>& tests = knowledge.tests;
    std::vector<TestId> by(tests.size());
    for (std::size_t b = 0; b < tests.size(); ++b) {
        if (alone_at_its_access(knowledge, tests[b]))
            continue;
        for (std::size_t a = 0; a < tests.size() && !by[b].valid(); ++a) {
            if (a == b || !serves_for(knowledge, tests[a], tests[b]))
                continue;
            if (b < a && serves_for(knowledge, tests[b], tests[a]))
                continue;  // equal: `a` goes
            by[b] = TestId(a);
        }
    }
    return by;
}

}  // namespace knockwell
