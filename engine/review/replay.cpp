#include "review/replay.hpp"

#include "job/summary.hpp"
#include "knowledge/lookup.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

namespace knockwell {
namespace {

/// Whether the entry tells the cause, or could be told only by one who knew it.
bool gives_away(const Knowledge& knowledge, const Event& event) {
    return event.kind == EventKind::cause || event.kind == EventKind::did ||
           event.kind == EventKind::closed ||
           (event.kind == EventKind::found && cause_named(knowledge, event.what).valid());
}

template <class Ends>
Job up_to(const Job& job, Ends ends) {
    Job early = job;
    // As written, not as it stands: that an entry was taken back was not known yet.
    early.events.erase(std::find_if(early.events.begin(), early.events.end(), ends),
                       early.events.end());
    return early;
}

/// The test that found it; empty where none did.
std::string_view test_of(const Event& event) {
    return event.kind == EventKind::found ? value_and_test(event.value).test.value_or("")
                                          : std::string_view();
}

std::size_t likeliest(const std::vector<double>& p) {
    return static_cast<std::size_t>(std::max_element(p.begin(), p.end()) - p.begin());
}

std::variant<std::vector<double>, NotReplayed> chances(const Model& model,
                                                       const Evidence& evidence) {
    Answer answer = posterior(model, evidence);
    if (std::holds_alternative<Impossible>(answer))
        return NotReplayed::impossible;
    if (std::holds_alternative<TooWide>(answer))
        return NotReplayed::too_wide;
    return std::move(std::get<Posterior>(answer).cause);
}

LookGain gain_of(TestId test, const std::vector<double>& before, const std::vector<double>& after,
                 const std::vector<CauseId>& confirmed) {
    constexpr double least = 1e-6;  // what was all but excluded weighs no more than this
    LookGain gain{test, likeliest(before) != likeliest(after), 0};
    for (const CauseId cause : confirmed)
        gain.bits += std::log2(std::max(after[cause.index()], least) /
                               std::max(before[cause.index()], least));
    gain.bits /= static_cast<double>(confirmed.size());
    return gain;
}

/// Chances before the first look, before and after each test, and in the end.
std::optional<NotReplayed> tell_again(const Model& model, const Job& early, Replayed& told) {
    const Knowledge& knowledge = *model.knowledge;
    Job part = early;
    const auto chances_of_part = [&] {
        return chances(model, course_of(knowledge, part).evidence);
    };
    part.events.clear();
    std::vector<double> now;
    std::size_t at = before_any_look(knowledge, early).events.size();
    const auto take_up_to = [&](std::size_t end) -> std::optional<NotReplayed> {
        part.events.assign(early.events.begin(),
                           early.events.begin() + static_cast<std::ptrdiff_t>(end));
        auto said = chances_of_part();
        if (const auto* not_said = std::get_if<NotReplayed>(&said))
            return *not_said;
        now = std::get<std::vector<double>>(std::move(said));
        return std::nullopt;
    };
    if (const auto why = take_up_to(at))
        return why;
    told.on_phone = now;
    while (at < early.events.size()) {
        const std::string name(test_of(early.events[at]));
        std::size_t end = at + 1;
        while (end < early.events.size() && test_of(early.events[end]) == name)
            ++end;
        // NOLINTNEXTLINE(performance-unnecessary-copy-initialization): `now` changes below
        const std::vector<double> before = now;
        if (const auto why = take_up_to(end))
            return why;
        if (const TestId test = test_named(knowledge, name); test.valid())
            told.looks.push_back(gain_of(test, before, now, told.confirmed));
        at = end;
    }
    told.p = std::move(now);
    told.evidence = course_of(knowledge, early).evidence;
    return std::nullopt;
}

}  // namespace

Job before_the_cause(const Knowledge& knowledge, const Job& job) {
    return up_to(job, [&](const Event& event) { return gives_away(knowledge, event); });
}

Job before_any_look(const Knowledge& knowledge, const Job& job) {
    return up_to(job, [&](const Event& event) {
        return event.kind == EventKind::found || event.kind == EventKind::did_test ||
               gives_away(knowledge, event);
    });
}

std::variant<Replayed, NotReplayed> replay(const Model& model, const Job& job) {
    const Knowledge& knowledge = *model.knowledge;
    Replayed told;
    const Summary summary = summary_of(job);
    if (summary.causes.empty())
        return NotReplayed::no_cause;
    for (const ConfirmedCause& one : summary.causes) {
        const CauseId cause = cause_named(knowledge, one.cause);
        if (!cause.valid())
            return NotReplayed::lacking;
        (one.how == "guessed" ? told.guessed : told.confirmed).push_back(cause);
    }
    if (told.confirmed.empty())
        return NotReplayed::only_guessed;
    if (const auto why = tell_again(model, before_the_cause(knowledge, job), told))
        return *why;
    return told;
}

std::size_t best_place(const std::vector<double>& p, const std::vector<CauseId>& causes) {
    std::size_t best = p.size() + 1;
    for (const CauseId cause : causes) {
        const double mine = p[cause.index()];
        std::size_t place = 1;
        for (std::size_t i = 0; i < p.size(); ++i)
            if (p[i] > mine || (i < cause.index() && !(p[i] < mine)))
                ++place;
        best = std::min(best, place);
    }
    return best;
}

std::size_t learned_counts(const Knowledge& knowledge) {
    const auto of = [](const auto& things) {
        return static_cast<std::size_t>(
            std::count_if(things.begin(), things.end(),
                          [](const auto& one) { return one.head.basis == Basis::ledger; }));
    };
    return of(knowledge.causes) + of(knowledge.signs) + of(knowledge.settings);
}

}  // namespace knockwell
