#include "cli/show_review.hpp"

#include "cli/review_words.hpp"
#include "cli/words.hpp"

#include <algorithm>

namespace knockwell {
namespace {

/// The first sentence stands out, the others are begun deeper.
void show_sentences(Page& page, const std::vector<std::string>& lines) {
    for (std::size_t i = 0; i < lines.size(); ++i)
        page.text(lines[i], 4, i == 0 ? 2 : 4);
    page.gap();
}

void show_cut(Page& page, std::size_t shown, std::size_t all) {
    if (shown < all)
        page.text("And " + std::to_string(all - shown) + " more; see --most and --json.");
}

void show_alone(Page& page, const ReviewScene& scene, const AreaReview& review) {
    for (const std::string& line : alone_words(scene, review)) {
        page.gap();
        page.text(line);
    }
}

void show_areas(Page& page, const ReviewScene& scene, const AreaReview& review) {
    if (review.jobs == 0)
        return page.text(no_closed_job(scene));
    for (const std::string& line : opening_words(review))
        page.text(line);
    page.gap();
    const std::vector<AreaCell> found = named(scene, review.cells);
    if (found.empty()) {
        page.text("No cause recurs on one road more than its installations and chance explain.");
        show_alone(page, scene, review);
        return;
    }
    page.heading("WHAT RECURS WHERE");
    const std::size_t shown = std::min(scene.most, found.size());
    for (std::size_t i = 0; i < shown; ++i)
        show_sentences(page, cell_sentences(scene, review, found[i]));
    show_cut(page, shown, found.size());
    page.text(promise(scene) + " It says where something recurs, not why.");
    show_alone(page, scene, review);
}

void show_causes(Page& page, const ReviewScene& scene, const CauseReview& review) {
    page.text(opening_words(scene, review));
    page.gap();
    const std::size_t shown = std::min(scene.most, review.lines.size());
    for (std::size_t i = 0; i < shown; ++i) {
        const CauseLine& line = review.lines[i];
        page.row(cause_words(scene, line.cause) + " (" + scene.book->causes[line.cause] + ")",
                 std::to_string(line.jobs) + (line.jobs == 1 ? " job" : " jobs"), 2, 0);
        const std::string limits = figure(line.limits.low) + " to " + figure(line.limits.high);
        const std::string rate = figure(line.rate);  // "1" of 1.02 too
        std::string words =
            (review.by_the_year()
                 ? rate + (rate == "1" ? " job" : " jobs") + " a year (" + limits + ")"
                 : limits + " jobs to be expected in such a time") +
            ", at " + houses_words(line.houses);
        if (line.again > 0)
            words += "; " + std::to_string(line.again) + " at a house that had it before";
        if (line.call_backs > 0)
            words += "; " + std::to_string(line.call_backs) +
                     (line.call_backs == 1 ? " was a call-back" : " were call-backs");
        if (line.guessed > 0)
            words += "; " + std::to_string(line.guessed) + " only guessed";
        if (line.timed > 0)
            words += "; " + each_minutes_words(line);
        if (line.jobs < small_number)
            words += "; a small number, one job more or less changes it much";
        page.text(words + ".", 2, 2);
    }
    show_cut(page, shown, review.lines.size());
    if (shown > 0)
        page.text(jobs_behind_a_line(scene, review));
}

void show_time(Page& page, const ReviewScene& scene, const TimeReview& review) {
    if (review.jobs == 0) {
        page.text(no_closed_job(scene));
        return;
    }
    page.text(opening_words(review));
    page.gap();
    const std::vector<Trend> found = named(scene, review.trends);
    if (found.empty()) {
        page.text("No cause rises, keeps to a season or broke out more than chance explains.");
        return;
    }
    page.heading("WHAT CHANGES WITH TIME");
    const std::size_t shown = std::min(scene.most, found.size());
    for (std::size_t i = 0; i < shown; ++i)
        show_sentences(page, trend_sentences(scene, found[i]));
    show_cut(page, shown, found.size());
    page.text(promise(scene));
}

}  // namespace

void show_review(Page& page, const ReviewScene& scene, const ReviewAnswers& answers) {
    page.text(scope_words(scene));
    const auto part = [&](const auto& answer, auto show) {
        if (!answer)
            return;
        page.gap();
        show(page, scene, *answer);
    };
    part(answers.areas, show_areas);
    part(answers.causes, show_causes);
    part(answers.time, show_time);
    part(answers.numbers, show_numbers);
}

}  // namespace knockwell
