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
        text += " " + event.what;
    if (!event.value.empty())
        text += " " + event.value;
    return escape_controls(text + "): " + why);
}

/// What was mended is not known, so nothing from before says anything about what is wrong now; but
/// a danger that was found stays one.
void start_afresh(const Knowledge& knowledge, Course& course) {
    Evidence& evidence = course.evidence;
    std::set<StopId>& carried = course.situation.stops_from_before;
    std::erase_if(carried, [&](StopId id) {
        const auto& mends = knowledge[id].mended_by;
        return std::any_of(evidence.repairs.begin(), evidence.repairs.end(), [&](RepairId made) {
            return std::find(mends.begin(), mends.end(), made) != mends.end();
        });
    });
    carried.merge(stops_found(knowledge, evidence));
    evidence.findings.clear();
    evidence.causes.clear();
    evidence.repairs.clear();
}

}  // namespace

Course course_of(const Knowledge& knowledge, const Job& job) {
    Course course;
    std::map<std::uint32_t, Event> stands;
    for (Event& event : standing(job))
        stands.emplace(event.number, std::move(event));
    for (const Event& written : job.events) {
        const auto standing_one = stands.find(written.number);
        if (standing_one == stands.end()) {
            apply_taken_back(knowledge, written, course.situation);
            continue;
        }
        const Event& event = standing_one->second;
        std::string why = apply(knowledge, event, course);
        if (why.empty())
            continue;
        if (event.kind == EventKind::did) {
            start_afresh(knowledge, course);
            why += "; what was found before it is not used";
        }
        course.lost.push_back(told(event, why));
    }
    return course;
}

}  // namespace knockwell
