#include "cli/answer.hpp"

#include "base/side_by_side.hpp"
#include "cli/memory.hpp"
#include "cli/words.hpp"

#include <algorithm>
#include <future>
#include <optional>
#include <utility>

namespace knockwell {

void put_no_beliefs(AnswerNow& answer, const Model& model, const Answer& beliefs) {
    constexpr double two_seconds = 1e9;
    if (const auto* impossible = std::get_if<Impossible>(&beliefs)) {
        answer.says = *impossible;
        return;
    }
    answer.says = std::get<TooWide>(beliefs);
    answer.bounds = enclose(model, answer.course.evidence, two_seconds);
}

namespace {

// The text tells outcomes of the step that it tells in full.
constexpr std::size_t first_step = 1;

/// Where a few draws carry most of a chance, it lies outside of the middle nine tenths of them;
/// what is told contains it all the same.
void stretch_to(Ranges& ranges, const std::vector<double>& now) {
    for (std::size_t c = 0; c < now.size() && ranges.draws > 0; ++c) {
        ranges.cause[c].low = std::min(ranges.cause[c].low, now[c]);
        ranges.cause[c].high = std::max(ranges.cause[c].high, now[c]);
    }
}

/// No set of several causes is more probable than the second of them is by itself.
CauseSets sets_worth_a_line(const Model& model, const Evidence& evidence, const Known& known) {
    const std::vector<CauseId>& by_rank = known.by_rank;
    if (by_rank.size() < 2 || known.now.cause[by_rank[1].index()] < several_worth_a_line)
        return {};
    constexpr std::size_t at_most = 5;
    return most_probable_sets(model, evidence, at_most, several_worth_a_line);
}

/// What several causes at once, no listed cause, and findings that do not fit together come to.
void doubt(Known& known, const Model& model, const Evidence& evidence, bool every_number) {
    known.sets = every_number ? most_probable_sets(model, evidence)
                              : sets_worth_a_line(model, evidence, known);
    known.unlisted = unlisted(model, evidence, known.now.log_evidence);
    known.misfit = misfit(model, evidence, known.now.log_evidence);
    if (every_number || clash(known.misfit))
        known.misfit_of_each = misfit_of_each(model, evidence);
}

/// All that goes with the beliefs, in two threads. Each has plans of its own: a model is for one
/// thread. Who has advised helps with the draws.
void work_out(Known& known, const Model& model, const AnswerNow& answer,
              const AnswerWanted& wanted) {
    const Evidence& evidence = answer.course.evidence;
    std::optional<Redrawing> redrawing;
    std::promise<void> promise;
    const std::future<void> begun = promise.get_future();
    side_by_side(
        [&] {
            {
                // Gone at the end of this block, so that nobody waits for what failed.
                auto own = std::move(promise);
                redrawing.emplace(model, evidence);
                own.set_value();
            }
            redrawing->help();
            doubt(known, model, evidence, wanted.every_number);
        },
        [&] {
            make_room_for_a_thread();
            const Model own{model.knowledge, model.network};
            known.advice = advise(own, evidence, known.now, answer.course.situation,
                                  {.most = wanted.most,
                                   .rates = &answer.rates,
                                   .told = wanted.every_number ? wanted.most : first_step});
            if (wanted.every_number)
                known.at_once = told_at_once(own, evidence, answer.course.situation, known.advice);
            begun.wait();
            if (redrawing)
                redrawing->help();
        });
    known.ranges = redrawing->result();
    stretch_to(known.ranges, known.now.cause);
}

}  // namespace

AnswerNow answer_now(const Model& model, Course course, const AnswerWanted& wanted) {
    AnswerNow answer;
    answer.course = std::move(course);
    answer.rates = wanted.rates;
    const Evidence& evidence = answer.course.evidence;
    auto beliefs = posterior(model, evidence);
    if (auto* now = std::get_if<Posterior>(&beliefs)) {
        Known known;
        known.now = std::move(*now);
        known.by_rank = by_chance(known.now);
        known.spoken_of = spoken_of(model, evidence);
        work_out(known, model, answer, wanted);
        answer.stops = known.advice.stops;
        answer.says = std::move(known);
        return answer;
    }
    put_no_beliefs(answer, model, beliefs);
    // A danger stays one, whatever the findings say of causes.
    answer.stops = stops_now(model, evidence, answer.course.situation);
    return answer;
}

std::vector<Recheck> rechecks_now(const Knowledge& knowledge, const Course& course,
                                  std::span<const std::vector<double>> setting,
                                  const std::vector<StopNow>& stops,
                                  const std::vector<TestId>& tests) {
    // Of looks nothing is asked that hangs on beliefs in causes.
    const Standing standing{&knowledge, &course.situation, &course.evidence, stops, {}, {},
                            setting};
    std::vector<Recheck> rechecks;
    for (const TestId test : tests) {
        Candidate look = candidate(knowledge, test);
        if (setting.empty())
            look.measured_first.clear();
        rechecks.push_back({test, forbids(standing, look)});
    }
    return rechecks;
}

}  // namespace knockwell
