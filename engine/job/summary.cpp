#include "job/summary.hpp"

#include "base/words.hpp"
#include "knowledge/lookup.hpp"

#include <algorithm>
#include <string_view>
#include <utility>

namespace knockwell {
namespace {

template <class Thing>
void add_once(std::vector<Thing>& things, const Thing& thing) {
    if (std::find(things.begin(), things.end(), thing) == things.end())
        things.push_back(thing);
}

/// What one event after the other leaves in the summary.
class Telling {
public:
    explicit Telling(Summary& into) : into_(&into) {}

    void take(const Event& event) {
        into_->minutes += event.minutes;
        if (event.minutes > 0)
            made(event);
        switch (event.kind) {
        case EventKind::set:
            into_->settings[event.what] = event.value;
            break;
        case EventKind::said:
            if (into_->complaint.empty() && event.value != "no")
                into_->complaint = event.what;
            break;
        case EventKind::found:
            found(event);
            break;
        case EventKind::pass:
            passed_over(event);
            break;
        case EventKind::did_test:
            add_once(into_->tests, event.what);
            break;
        case EventKind::did:
            into_->repairs.push_back(event.what);
            forget_what_was_left();
            break;
        case EventKind::cause:
            confirmed(event);
            break;
        case EventKind::closed:
            closed(event);
            break;
        case EventKind::about:
            about(event);
            break;
        case EventKind::person:
        case EventKind::state:
        case EventKind::note:
        case EventKind::left:
        case EventKind::resumed:
        case EventKind::undo:
        case EventKind::instead:
            break;
        }
    }

    void end() {
        for (const std::string& test : into_->tests)
            if (std::find(told_.begin(), told_.end(), test) == told_.end())
                into_->in_vain.push_back(test);
    }

private:
    void made(const Event& event) {
        const bool repair = event.kind == EventKind::did;
        std::string step = repair || event.kind == EventKind::did_test ? event.what : "";
        if (event.kind == EventKind::found)
            step = value_and_test(event.value).test.value_or("");
        if (!step.empty())
            into_->makings.push_back({repair, std::move(step), event.minutes});
    }

    void found(const Event& event) {
        const auto [value, named] = value_and_test(event.value);
        if (const std::string test(named.value_or("")); !test.empty()) {
            add_once(into_->tests, test);
            add_once(told_, test);
        }
        FoundAndLeft& reading = into_->readings[event.what];
        if (into_->repairs.empty())
            reading.found = value;
        else
            reading.left = value;
    }

    /// Only what was looked at after the last repair is as left.
    void forget_what_was_left() {
        for (auto& [sign, reading] : into_->readings)
            reading.left.reset();
    }

    void passed_over(const Event& event) {
        constexpr std::string_view test = "test:";
        if (event.value == "not-sure" && event.what.rfind(test, 0) == 0)
            add_once(into_->tests, event.what.substr(test.size()));
    }

    void confirmed(const Event& event) {
        const auto same =
            std::find_if(into_->causes.begin(), into_->causes.end(),
                         [&](const ConfirmedCause& one) { return one.cause == event.what; });
        if (same == into_->causes.end()) {
            into_->causes.push_back({event.what, event.value});
            return;
        }
        if (same->how != event.value)
            add_once(into_->clashes,
                     event.what + " is confirmed as " + same->how + " and as " + event.value);
        same->how = event.value;
    }

    void closed(const Event& event) {
        if (into_->closed && into_->outcome != event.value)
            add_once(into_->clashes,
                     "it is closed as " + into_->outcome + " and as " + event.value);
        into_->closed = event.at;
        into_->outcome = event.value;
    }

    void about(const Event& event) {
        if (event.what == "area")
            into_->area = event.value;
        if (event.what == "installation")
            into_->installation = event.value;
        if (event.what == "knowledge")
            add_once(into_->knowledge, event.value);
        if (event.what == "call-back-of") {
            into_->call_back_of.reset();
            if (!event.value.empty())
                into_->call_back_of = event.value;
        }
    }

    Summary* into_;
    std::vector<std::string> told_;  // tests by which something was found
};

}  // namespace

Summary summary_of(const Job& job) {
    Summary summary;
    summary.id = job.id;
    summary.area = job.area;
    summary.installation = job.installation;
    summary.knowledge = {job.knowledge};
    summary.opened = job.opened;
    Telling telling(summary);
    for (const Event& event : standing(job))
        telling.take(event);
    telling.end();
    return summary;
}

std::vector<std::string> clashes_of(const Job& job) {
    std::vector<std::string> clashes = summary_of(job).clashes;
    const std::vector<Event> stand = standing(job);
    for (const char* code : {"area", "installation"}) {
        std::vector<std::string> values;
        for (const Event& event : stand)
            if (event.kind == EventKind::about && event.what == code)
                add_once(values, "to " + event.value);
        if (values.size() > 1)
            clashes.push_back("its " + std::string(code) + " is corrected " + list_of(values));
    }
    return clashes;
}

}  // namespace knockwell
