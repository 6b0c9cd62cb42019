#include "cli/answer.hpp"

#include <thread>
#include <utility>

namespace knockwell {
AnswerNow answer_now(const Model& model, Course course, std::size_t most) {
    AnswerNow answer;
    answer.course = std::move(course);
    const Evidence& evidence = answer.course.evidence;
    auto beliefs = posterior(model, evidence);
    if (auto* impossible = std::get_if<Impossible>(&beliefs)) {
        answer.says = std::move(*impossible);
    } else if (auto* wide = std::get_if<TooWide>(&beliefs)) {
        answer.says = *wide;
    } else {
        Known known;
        known.now = std::move(std::get<Posterior>(beliefs));
        known.by_rank = by_chance(known.now);
        known.spoken_of = spoken_of(model, evidence);
        {
            // Side by side, each with plans of its own: a model is for one thread.
            const std::jthread other([&] {
                const Model own{model.knowledge, model.network};
                known.sets = most_probable_sets(own, evidence);
                known.unlisted = unlisted(own, evidence);
                known.misfit = misfit(own, evidence);
            });
            known.ranges = ranges(model, evidence);
            known.advice =
                advise(model, evidence, known.now, answer.course.situation, {.most = most});
        }
        answer.stops = known.advice.stops;
        answer.says = std::move(known);
        return answer;
    }
    // A danger stays one, whatever the findings say of causes.
    answer.stops = stops_now(model, evidence, answer.course.situation);
    return answer;
}

}  // namespace knockwell
