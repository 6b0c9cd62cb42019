#include "job/course.hpp"

#include "advice/advice.hpp"
#include "base/words.hpp"
#include "job/apply.hpp"

#include <algorithm>
#include <map>

namespace knockwell {
namespace {

std::string told(const Event& event, const std::string& why) {
    std::string text =
        "event " + std::to_string(event.number) + " (" + std::string(to_text(event.kind));
    if (!event.what.empty())
        text += " " + echo(event.what);
    if (!event.value.empty())
        text += " " + echo(event.value);
    return escape_controls(text + "): " + why);
}

/// What was mended is not known, so nothing from before says anything about what is wrong now; but
/// a danger that was found stays one.
void start_afresh(const Knowledge& knowledge, Course& course) {
    Evidence& evidence = course.evidence;
    course.situation.stops_from_before.merge(stops_found(knowledge, evidence));
    evidence.findings.clear();
    evidence.causes.clear();
    evidence.repairs.clear();
}

/// Everything that was ever said at an entry's place: as it was written, and each correction of it,
/// whether it stands or was taken back.
using Versions = std::map<std::uint32_t, std::vector<Event>>;  // of entries with corrections

Versions versions_of(const Job& job) {
    Versions all;
    std::map<std::uint32_t, const Event*> written;
    for (const Event& event : job.events) {
        if (!is_correction(event.kind)) {
            written.emplace(event.number, &event);
            continue;
        }
        const auto number = event_number(event.what);
        const auto target = number ? written.find(*number) : written.end();
        if (target == written.end())
            continue;
        std::vector<Event>& versions = all[*number];
        if (versions.empty())
            versions.push_back(*target->second);
        if (event.kind == EventKind::instead) {
            versions.push_back(*target->second);
            versions.back().value = event.value;
        }
    }
    return all;
}

template <class Thing>
void keep_common(std::set<Thing>& kept, const std::set<Thing>& other) {
    std::erase_if(kept, [&](const Thing& thing) { return !other.contains(thing); });
}

/// What is safe in one of them only is not safe.
void keep_what_is_safe_in_both(Situation& kept, const Situation& other) {
    kept.power_off = kept.power_off && other.power_off;
    kept.pressure_zero = kept.pressure_zero && other.pressure_zero;
    kept.tank_drained = kept.tank_drained && other.tank_drained;
    // Whoever takes back that a drain has stopped running has not closed it.
    kept.water_open = kept.water_open || other.water_open;
    keep_common(kept.reached, other.reached);
    keep_common(kept.stops_cleared_by, other.stops_cleared_by);
    keep_common(kept.vouched_state, other.vouched_state);
    kept.vouches = std::min(kept.vouches, other.vouches);
}

/// What was found stays found where only the test that showed it has another name by now: a danger
/// must not go with a name. What lifts one does not count so.
bool applied_without_its_test(const Knowledge& knowledge, const Event& event, Course& course) {
    const std::size_t at = event.value.rfind('@');
    const SignId sign = sign_named(knowledge, event.what);
    if (event.kind != EventKind::found || at == std::string::npos || !sign.valid() ||
        lifts_a_stop(knowledge, sign))
        return false;
    Event bare = event;
    bare.value.resize(at);
    return apply(knowledge, bare, course).empty();
}

}  // namespace

Course course_of(const Knowledge& knowledge, const Job& job) {
    Course course;
    std::map<std::uint32_t, Event> stands;
    for (Event& event : standing(job))
        stands.emplace(event.number, std::move(event));
    const Versions corrected = versions_of(job);
    for (const Event& written : job.events) {
        std::vector<Situation> otherwise;
        if (const auto versions = corrected.find(written.number); versions != corrected.end())
            for (const Event& version : versions->second) {
                Course other = course;
                (void)apply(knowledge, version, other);
                otherwise.push_back(std::move(other.situation));
            }
        const auto standing_one = stands.find(written.number);
        std::string why;
        if (standing_one != stands.end())
            why = apply(knowledge, standing_one->second, course);
        for (const Situation& other : otherwise)
            keep_what_is_safe_in_both(course.situation, other);
        if (why.empty())
            continue;
        const Event& event = standing_one->second;
        if (applied_without_its_test(knowledge, event, course))
            why += "; what was found counts, as by a look of no name";
        if (event.kind == EventKind::did) {
            start_afresh(knowledge, course);
            why += "; what was found before it is not used";
        }
        course.lost.push_back(told(event, why));
    }
    return course;
}

}  // namespace knockwell
