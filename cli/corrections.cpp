#include "base/words.hpp"
#include "cli/commands.hpp"
#include "cli/dangers.hpp"
#include "cli/job_commands.hpp"
#include "cli/show_json.hpp"
#include "cli/show_lists.hpp"
#include "job/call_back.hpp"
#include "job/course.hpp"
#include "job/identity.hpp"
#include "job/summary.hpp"

#include <algorithm>
#include <utility>

namespace knockwell {
namespace {

/// What is to be added to a job, or the first reason against it.
class Corrector {
public:
    Corrector(const Desk& desk, const Knowledge& knowledge, const Ledger& ledger, Job job)
        : desk_(&desk), knowledge_(&knowledge), ledger_(&ledger), job_(std::move(job)) {}

    void entry(const JobsCorrectCommand& typed) {
        if (typed.entry == 0)
            return;
        const std::string number = std::to_string(typed.entry);
        const std::string where = "--entry " + number;
        if (typed.take_back && (!typed.value.empty() || typed.minutes != 0))
            return refuse(where, "it is taken back or put right, not both: --take-back, or "
                                 "--value and --minutes");
        if (typed.take_back)
            return add(EventKind::undo, number, "", 0, where);
        if (typed.value.empty() && typed.minutes == 0)
            return refuse(where, "say what it should have been: --value, --minutes or --take-back");
        const std::vector<Event> stands = standing(job_);
        const auto now = std::find_if(stands.begin(), stands.end(), [&](const Event& event) {
            return event.number == typed.entry;
        });
        if (now == stands.end())
            return refuse(where, "there is no such entry that stands; see: knockwell jobs show");
        Event corrected = *now;
        if (!typed.value.empty())
            corrected.value = typed.value;
        const std::string value = spelled_out(*knowledge_, corrected).value;
        made_nothing_safe_ =
            made_nothing_safe_ ||
            (now->kind == EventKind::state && value != now->value && says_safe(now->what, value));
        add(EventKind::instead, number, value, typed.minutes, where);
    }

    /// What it was corrected to before is taken back: two corrections that stand are those of two
    /// trucks that did not know of each other.
    void fact(const std::string& what, const std::string& value, const std::string& option) {
        if (value.empty())
            return;
        for (const Event& earlier : standing(job_))
            if (earlier.kind == EventKind::about && earlier.what == what)
                add(EventKind::undo, std::to_string(earlier.number), "", 0, option + " " + value);
        add(EventKind::about, what, value, 0, option + " " + value);
    }

    void call_back(const JobsCorrectCommand& typed) {
        if (typed.no_call_back)
            return add(EventKind::about, "call-back-of", "", 0, "--no-call-back");
        if (typed.call_back_of.empty())
            return;
        const auto earlier = job_meant(*ledger_, typed.call_back_of);
        if (const auto* none = std::get_if<NoJob>(&earlier))
            return refuse_with({none->text});
        const Job& meant = std::get<Job>(earlier);
        if (meant.id == job_.id)
            return refuse("--call-back-of " + typed.call_back_of,
                          "a job is no call-back of itself");
        if (summary_of(meant).call_back_of == job_.id)
            return refuse("--call-back-of " + typed.call_back_of,
                          "that job is called a call-back of this one; take that back first: "
                          "knockwell jobs correct " +
                              short_id(meant.id) + " --no-call-back");
        // The codes that are typed beside it are among the events already.
        const Summary now = summary_of(job_);
        if (const std::string why =
                against_call_back({now.area, now.installation}, job_.opened, meant);
            !why.empty())
            return refuse("--call-back-of " + typed.call_back_of, why);
        add(EventKind::about, "call-back-of", meant.id, 0, "--call-back-of");
    }

    void causes(const std::vector<std::string>& typed) {
        const auto events = events_of_causes(*knowledge_, job_, typed, desk_->now);
        if (const auto* why = std::get_if<Refused>(&events))
            return refuse_with(*why);
        for (const Event& event : std::get<0>(events))
            add(event.kind, event.what, event.value, 0, "--cause");
    }

    void note(const std::string& words) {
        if (!words.empty())
            add(EventKind::note, "", words, 0, "--note");
    }

    /// The closings that stand are taken back.
    void reopen() {
        bool closed = false;
        for (const Event& event : standing(job_))
            if (event.kind == EventKind::closed) {
                add(EventKind::undo, std::to_string(event.number), "", 0, "reopen");
                closed = true;
            }
        if (!closed)
            refuse("reopen", "the job is open");
    }

    [[nodiscard]] const std::optional<Refused>& refusal_told() const { return refused_; }
    [[nodiscard]] const std::vector<Event>& events() const { return events_; }
    /// As it would stand then.
    [[nodiscard]] const Job& job() const { return job_; }
    /// Whether a state was corrected to one that only who is there can state.
    /// Whether it is said to be at another house.
    [[nodiscard]] bool moved() const {
        return std::any_of(events_.begin(), events_.end(), [](const Event& event) {
            return event.kind == EventKind::about &&
                   (event.what == "area" || event.what == "installation");
        });
    }
    [[nodiscard]] bool made_nothing_safe() const { return made_nothing_safe_; }

private:
    static bool says_safe(const std::string& what, const std::string& value) {
        return what == "access" || (what == "power" && value == "off") ||
               (what == "pressure" && value == "zero") || (what == "tank" && value == "drained");
    }
    void refuse(const std::string& where, const std::string& what) {
        refuse_with(refused(where, what, {}));
    }
    void refuse_with(Refused why) {
        if (!refused_)
            refused_ = std::move(why);
    }

    void add(EventKind kind, const std::string& what, const std::string& value, double minutes,
             const std::string& where) {
        Event event = next_event(job_, desk_->now, kind, what, value, minutes);
        const std::string why = refusal_of_correction(*knowledge_, job_, event);
        if (!why.empty()) {
            // `why` quotes what was typed, escaped already.
            refuse_with({"knockwell: " + echo(where) + ": " + why + "\n"});
            return;
        }
        events_.push_back(event);
        job_.events.push_back(std::move(event));
    }

    const Desk* desk_;
    const Knowledge* knowledge_;
    const Ledger* ledger_;
    Job job_;  // with what is to be added
    std::vector<Event> events_;
    std::optional<Refused> refused_;
    bool made_nothing_safe_ = false;
};

template <class Deed>
Status correct_job(const Desk& desk, const std::string& id, Deed deed) {
    const auto shelf = desk.shelf();
    if (!shelf)
        return status_usage;
    auto ledger = open_ledger(desk, false);
    if (const auto* none = std::get_if<NoJob>(&ledger))
        return complain(desk, *none);
    auto& file = std::get<Ledger>(ledger);
    const auto meant = job_meant(file, id);
    if (const auto* none = std::get_if<NoJob>(&meant))
        return complain(desk, *none);
    const Job& job = std::get<Job>(meant);
    Corrector corrector(desk, shelf->knowledge, file, job);
    deed(corrector);
    if (const auto& why = corrector.refusal_told()) {
        desk.complain(why->text);
        return status_usage;
    }
    if (corrector.events().empty()) {
        desk.complain("knockwell: jobs correct: say what is to be put right; see: knockwell jobs "
                      "correct --help\n");
        return status_usage;
    }
    const Knowledge& knowledge = shelf->knowledge;
    const std::vector<StopNow> after = dangers_of(*shelf, corrector.job());
    const bool cured = is_closed_as_cured(corrector.job());
    if (cured && !is_closed_as_cured(job) && !after.empty())
        return complain(desk,
                        refused("jobs correct",
                                "a danger stands in the job (" +
                                    escape_controls(knowledge[after.front().stop].head.title) +
                                    "), so it is not closed as cured; say handed-over or not-cured",
                                {}));
    std::vector<std::string> warnings;
    if (cured)
        warnings = dangers_though_cured(knowledge, job.id, after);
    if (corrector.moved())
        for (std::string& there : dangers_there(*shelf, file, corrector.job(), desk.now))
            warnings.push_back(std::move(there));
    for (std::string& gone : dangers_gone(knowledge, dangers_of(*shelf, job), after))
        warnings.push_back(std::move(gone));
    const Job now = file.append(job.id, corrector.events(), job.events.size());
    if (corrector.made_nothing_safe())
        warnings.emplace_back(
            "A correction makes nothing safe: power counts as on, pressure as up and every cover "
            "as on until who is there states it anew: knockwell found --power off, --pressure "
            "zero, --tank drained, --at ACCESS.");
    Page page(desk.style);
    for (const std::string& warning : warnings)
        page.signal("WARNING", warning, 0);
    show_job(page, now);
    desk.print(desk.common.json ? job_json(now, warnings) : page.all());
    return status_done;
}

}  // namespace

Status carry_out(const JobsCorrectCommand& correct, const Desk& desk) {
    return correct_job(desk, correct.job, [&](Corrector& corrector) {
        corrector.entry(correct);
        corrector.fact("area", correct.area, "--area");
        corrector.fact("installation", correct.installation, "--installation");
        corrector.call_back(correct);
        corrector.causes(correct.causes);
        corrector.note(correct.note);
    });
}

Status carry_out(const JobsReopenCommand& reopen, const Desk& desk) {
    return correct_job(desk, reopen.job, [&](Corrector& corrector) {
        corrector.reopen();
        corrector.note(reopen.note);
    });
}

}  // namespace knockwell
