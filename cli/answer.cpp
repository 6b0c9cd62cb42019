#include "cli/answer.hpp"

#include "base/side_by_side.hpp"
#include "cli/memory.hpp"
#include "cli/words.hpp"

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

/// No set of several causes is more probable than the second of them is by itself.
CauseSets sets_worth_a_line(const Model& model, const Evidence& evidence, const Known& known) {
    const std::vector<CauseId>& by_rank = known.by_rank;
    if (by_rank.size() < 2 || known.now.cause[by_rank[1].index()] < several_worth_a_line)
        return {};
    constexpr std::size_t at_most = 5;
    return most_probable_sets(model, evidence, at_most, several_worth_a_line);
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
        // Each with plans of its own: a model is for one thread. Ranges halve themselves once more.
        side_by_side([&] { known.ranges = ranges(model, evidence); },
                     [&] {
                         make_room_for_a_thread();
                         const Model own{model.knowledge, model.network};
                         known.advice = advise(own, evidence, known.now, answer.course.situation,
                                               {.most = wanted.most, .rates = &answer.rates});
                         known.sets = wanted.every_number ? most_probable_sets(own, evidence)
                                                          : sets_worth_a_line(own, evidence, known);
                         known.unlisted = unlisted(own, evidence, known.now.log_evidence);
                         known.misfit = misfit(own, evidence, known.now.log_evidence);
                         if (wanted.every_number || clash(known.misfit))
                             known.misfit_of_each = misfit_of_each(own, evidence);
                     });
        answer.stops = known.advice.stops;
        answer.says = std::move(known);
        return answer;
    }
    put_no_beliefs(answer, model, beliefs);
    // A danger stays one, whatever the findings say of causes.
    answer.stops = stops_now(model, evidence, answer.course.situation);
    return answer;
}

}  // namespace knockwell
