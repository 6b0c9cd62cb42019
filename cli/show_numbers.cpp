#include "base/words.hpp"
#include "cli/numbers_words.hpp"
#include "cli/review_words.hpp"
#include "cli/show_review.hpp"

#include <algorithm>

namespace knockwell {
namespace {

void show_more(Page& page, std::size_t shown, std::size_t all) {
    if (shown < all)
        page.text("And " + std::to_string(all - shown) + " more; see --most and --json.", 2, 2);
}

void show_guesses(Page& page, const ReviewScene& scene, const NumbersReview& review) {
    const std::size_t shown = std::min(scene.most + 1, review.guesses.size());
    for (std::size_t i = 0; i < shown; ++i) {
        const GuessLine& line = review.guesses[i];
        page.text((i == 0 ? "All jobs" : complaint_words(*scene.knowledge, line.complaint)) +
                      ": on the phone first in " + of_words(line.first_on_phone, line.jobs) +
                      ", among the first three in " + of_words(line.three_on_phone, line.jobs) +
                      "; just before it was known first in " + of_words(line.first, line.jobs) +
                      ", among three in " + of_words(line.three, line.jobs) + "." +
                      (line.jobs < small_number ? " A small number of jobs." : ""),
                  4, 2);
    }
    show_more(page, shown, review.guesses.size());
}

/// With two digits that count: "under 0.1 %" of both hides that one is seven times the other.
std::string in_hundred(double share) { return figure(100 * share) + " %"; }

void show_calibration(Page& page, const NumbersReview& review) {
    for (std::size_t i = 0; i < review.classed.rows.size(); ++i) {
        const CalibrationRow& row = review.classed.rows[i];
        page.row("said about " + in_hundred(row.said) + ": came in " + in_hundred(row.happened) +
                     " (" + in_hundred(review.happened[i].low) + " to " +
                     in_hundred(review.happened[i].high) + ")",
                 number(row.cases) + (row.cases > 1 ? " cases" : " case"), 4, 2);
    }
    for (const std::string& line : score_words(review))
        page.text(line, 4, 2);
}

void show_minutes(Page& page, const ReviewScene& scene, const NumbersReview& review) {
    page.text(all_minutes_words(review), 2, 2);
    const std::vector<MinutesLine> found = named(scene, review.minutes);
    const std::size_t shown = std::min(scene.most, found.size());
    for (std::size_t i = 0; i < shown; ++i)
        page.text(step_title(*scene.knowledge, found[i].repair, found[i].step) + ": " +
                      minutes_against_words(found[i]),
                  4, 2);
    if (found.empty())
        page.text("No step takes longer or shorter than written more than chance explains.", 2, 2);
    show_more(page, shown, found.size());
}

void show_tests(Page& page, const ReviewScene& scene, const NumbersReview& review) {
    std::vector<TestLine> found;
    std::copy_if(review.tests.begin(), review.tests.end(), std::back_inserter(found),
                 [](const TestLine& line) { return line.never_paid(); });
    if (found.empty())
        page.text("None of those told again " + std::to_string(fewest_makings) + " times or more.",
                  2, 2);
    const std::size_t shown = std::min(scene.most, found.size());
    for (std::size_t i = 0; i < shown; ++i)
        page.text(step_title(*scene.knowledge, false, found[i].test) + ": " + test_words(found[i]),
                  4, 2);
    show_more(page, shown, found.size());
}

void show_lacking(Page& page, const ReviewScene& scene, const NumbersReview& review) {
    const std::size_t shown = std::min(scene.most, review.lacking.size());
    for (std::size_t i = 0; i < shown; ++i) {
        page.text(lacking_words(review.lacking[i]), 4, 2);
        if (const std::string with = came_with_words(review.lacking[i]); !with.empty())
            page.text(with, 4, 4);
    }
    show_more(page, shown, review.lacking.size());
}

void show_strengths(Page& page, const ReviewScene& scene, const NumbersReview& review) {
    page.text(std::to_string(review.strengths.size()) + " pairs of cause and sign were looked at " +
                  std::to_string(fewest_looks) + " times or more.",
              2, 2);
    const std::vector<StrengthCell> found = named(scene, review.strengths);
    const std::size_t shown = std::min(scene.most, found.size());
    for (std::size_t i = 0; i < shown; ++i)
        page.text(strength_words(*scene.knowledge, found[i]), 4, 2);
    page.text(found.empty() ? "None that chance and the doubt of the counts do not explain."
                            : promise(scene),
              2, 2);
    show_more(page, shown, found.size());
}

void show_repairs(Page& page, const ReviewScene& scene, const NumbersReview& review) {
    const std::size_t shown = std::min(scene.most, review.repairs.size());
    for (std::size_t i = 0; i < shown; ++i) {
        const RepairLine& line = review.repairs[i];
        page.text(step_title(*scene.knowledge, true, line.repair) + ": " + repair_words(line) +
                      (line.adjusted <= scene.false_share ? "; more than the others." : "."),
                  4, 2);
    }
    show_more(page, shown, review.repairs.size());
    if (shown > 0)
        page.text(jobs_behind_a_line(scene, review.repairs.front()), 4, 2);
}

void show_part(Page& page, const ReviewScene& scene, const NumbersReview& review,
               NumbersPart part) {
    switch (part) {
    case NumbersPart::guesses:
        return show_guesses(page, scene, review);
    case NumbersPart::calibration:
        return show_calibration(page, review);
    case NumbersPart::minutes:
        return show_minutes(page, scene, review);
    case NumbersPart::tests:
        return show_tests(page, scene, review);
    case NumbersPart::lacking:
        return show_lacking(page, scene, review);
    case NumbersPart::strengths:
        return show_strengths(page, scene, review);
    case NumbersPart::repairs:
        return show_repairs(page, scene, review);
    }
}

std::string in_capitals(std::string text) {
    for (char& c : text)
        if (c >= 'a' && c <= 'z')
            c = static_cast<char>(c - 'a' + 'A');
    return text;
}

}  // namespace

void show_numbers(Page& page, const ReviewScene& scene, const NumbersReview& review) {
    for (const std::string& line : told_again_words(review))
        page.text(line);
    for (const NumbersPart part : parts_of(review)) {
        page.gap();
        page.heading(in_capitals(heading_of(part)));
        show_part(page, scene, review, part);
        if (const std::string follows = what_follows(scene, review, part); !follows.empty())
            page.text(follows, 2, 2);
    }
}

}  // namespace knockwell
