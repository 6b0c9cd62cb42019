#include "base/words.hpp"
#include "cli/html_review.hpp"
#include "cli/numbers_words.hpp"
#include "cli/words.hpp"

#include <algorithm>

namespace knockwell {
namespace {

constexpr double in_percent = 100;

PlotRow share_row(const std::string& label, std::uint64_t count, std::uint64_t all) {
    const Limits limits = share_limits(count, all);
    const double share = all == 0 ? 0 : static_cast<double>(count) / static_cast<double>(all);
    return {label, in_percent * share, in_percent * limits.low, in_percent * limits.high};
}

std::string limits_in_percent(const Limits& limits) {
    return percent(limits.low) + " to " + percent(limits.high);
}

std::string how_many(std::size_t shown, std::size_t all) {
    return shown < all ? "; " + std::to_string(shown) + " of " + std::to_string(all) : "";
}

void put_guesses(HtmlPage& page, const ReviewScene& scene, const NumbersReview& review) {
    const std::size_t shown = std::min(scene.most + 1, review.guesses.size());
    HtmlTable table{"Jobs in which the confirmed cause stood first, or among the first three, by "
                    "the first complaint" +
                        how_many(shown - 1, review.guesses.size() - 1),
                    {"First complaint", "Jobs", "First, on the phone", "Among three, on the phone",
                     "First, just before it was known", "Among three, just before"},
                    {}};
    std::vector<PlotRow> rows;
    for (std::size_t i = 0; i < shown; ++i) {
        const GuessLine& line = review.guesses[i];
        const std::string name =
            i == 0 ? "All jobs" : complaint_words(*scene.knowledge, line.complaint);
        table.rows.push_back({name, std::to_string(line.jobs),
                              of_words(line.first_on_phone, line.jobs),
                              of_words(line.three_on_phone, line.jobs),
                              of_words(line.first, line.jobs), of_words(line.three, line.jobs)});
        rows.push_back(share_row(name, line.three_on_phone, line.jobs));
    }
    page.plot(bars_plot("guesses",
                        "Confirmed cause among the first three on the phone, by first "
                        "complaint, with 95 % limits",
                        rows, "per cent of the jobs", in_percent));
    page.table(table);
}

void put_calibration(HtmlPage& page, const NumbersReview& review) {
    for (const std::string& line : score_words(review))
        page.text(line);
    HtmlTable table{"Chances that were said of every cause of every job, by classes",
                    {"Said, in the mean", "Came to pass", "95 %", "Cases"},
                    {}};
    std::vector<PlotRow> rows;
    std::vector<double> said;
    for (std::size_t i = 0; i < review.classed.rows.size(); ++i) {
        const CalibrationRow& row = review.classed.rows[i];
        table.rows.push_back({percent(row.said), percent(row.happened),
                              limits_in_percent(review.happened[i]), number(row.cases)});
        rows.push_back(
            {percent(row.said), row.happened, review.happened[i].low, review.happened[i].high});
        said.push_back(row.said);
    }
    page.plot(calibration_plot("calibration",
                               "Chances said against what came to pass, with 95 % "
                               "limits; on the dashed line they are equal",
                               rows, said));
    page.table(table);
}

void put_minutes(HtmlPage& page, const ReviewScene& scene, const NumbersReview& review) {
    const std::size_t shown = std::min(scene.most, review.minutes.size());
    page.text(all_minutes_words(review));
    HtmlTable table{"Steps whose minutes chance explains least" +
                        how_many(shown, review.minutes.size()),
                    {"Step", "Jobs", "Written", "Spent, mean", "Typically times as long", "95 %",
                     "Chance after all was looked at"},
                    {}};
    std::vector<PlotRow> rows;
    for (std::size_t i = 0; i < shown; ++i) {
        const MinutesLine& line = review.minutes[i];
        const std::string name = step_title(*scene.knowledge, line.repair, line.step);
        table.rows.push_back(
            {name, std::to_string(line.times), minutes_words(line.written),
             minutes_words(line.spent), figure(line.ratio),
             line.times < 2 ? "" : figure(line.limits.low) + " to " + figure(line.limits.high),
             chance_words(line.adjusted)});
        if (line.times >= 2)
            rows.push_back({name, line.ratio, line.limits.low, line.limits.high});
    }
    if (!rows.empty())
        page.plot(ratios_plot("minutes", "Minutes spent over minutes written, with 95 % limits",
                              rows, "times as long as written"));
    page.table(table);
}

void put_tests(HtmlPage& page, const ReviewScene& scene, const NumbersReview& review) {
    HtmlTable table{
        "Tests made again and again that changed no first guess and told nothing of "
        "the confirmed cause",
        {"Test", "Jobs", "In vain", "Told again", "Bits in the mean", "Bits at most", "Time each"},
        {}};
    for (const TestLine& line : review.tests)
        if (line.never_paid() && table.rows.size() < scene.most)
            table.rows.push_back(
                {step_title(*scene.knowledge, false, line.test), std::to_string(line.made),
                 std::to_string(line.in_vain), std::to_string(line.replayed), figure(line.bits),
                 figure(line.most_bits), line.minutes > 0 ? minutes_words(line.minutes) : ""});
    if (table.rows.empty())
        page.text("None of those told again " + std::to_string(fewest_makings) + " times or more.");
    else
        page.table(table);
}

void put_lacking(HtmlPage& page, const ReviewScene& scene, const NumbersReview& review) {
    const std::size_t shown = std::min(scene.most, review.lacking.size());
    HtmlTable table{
        "Causes that were confirmed and are not in the knowledge, and jobs without one" +
            how_many(shown, review.lacking.size()),
        {"Cause", "Came with", "Jobs"},
        {},
        2};
    for (std::size_t i = 0; i < shown; ++i) {
        const LackingLine& line = review.lacking[i];
        table.rows.push_back({line.cause.empty() ? "Closed without a cause" : line.cause,
                              came_with_words(line), std::to_string(line.jobs)});
    }
    page.table(table);
}

void put_strengths(HtmlPage& page, const ReviewScene& scene, const NumbersReview& review) {
    page.text(std::to_string(review.strengths.size()) + " pairs of cause and sign were looked at " +
              std::to_string(fewest_looks) + " times or more.");
    const std::vector<StrengthCell> found = named(scene, review.strengths);
    page.text(found.empty() ? "None that chance and the doubt of the counts do not explain."
                            : promise(scene));
    const std::size_t shown = std::min(scene.most, found.size());
    if (shown == 0)
        return;
    HtmlTable table{"How often a sign was there with the one confirmed cause" +
                        how_many(shown, found.size()),
                    {"Cause and sign", "Written", "Looks", "There", "Foretold", "95 % of the share",
                     "Chance after all was looked at"},
                    {},
                    2};
    for (std::size_t i = 0; i < shown; ++i) {
        const StrengthCell& cell = found[i];
        const Knowledge& knowledge = *scene.knowledge;
        table.rows.push_back(
            {knowledge[cell.cause].head.title + " / " + knowledge[cell.sign].head.title,
             cell.written ? to_text(cell.count) : "not written; seen anyway " + to_text(cell.count),
             std::to_string(cell.looks), std::to_string(cell.there), foretold_words(cell),
             limits_in_percent(cell.limits), chance_words(cell.adjusted)});
    }
    page.table(table);
}

void put_repairs(HtmlPage& page, const ReviewScene& scene, const NumbersReview& review) {
    const std::size_t shown = std::min(scene.most, review.repairs.size());
    HtmlTable table{"Repairs whose call-backs chance explains least, were all alike" +
                        how_many(shown, review.repairs.size()),
                    {"Repair", "Jobs", "Called back", "95 %", "Chance after all was looked at"},
                    {}};
    std::vector<PlotRow> rows;
    for (std::size_t i = 0; i < shown; ++i) {
        const RepairLine& line = review.repairs[i];
        const std::string name = step_title(*scene.knowledge, true, line.repair);
        table.rows.push_back({name, std::to_string(line.jobs), of_words(line.call_backs, line.jobs),
                              limits_in_percent(line.limits), chance_words(line.adjusted)});
        rows.push_back(share_row(name, line.call_backs, line.jobs));
    }
    page.plot(bars_plot("repairs", "Jobs called back to after each repair, with 95 % limits", rows,
                        "per cent of the jobs"));
    page.table(table);
}

void put_part(HtmlPage& page, const ReviewScene& scene, const NumbersReview& review,
              NumbersPart part) {
    switch (part) {
    case NumbersPart::guesses:
        return put_guesses(page, scene, review);
    case NumbersPart::calibration:
        return put_calibration(page, review);
    case NumbersPart::minutes:
        return put_minutes(page, scene, review);
    case NumbersPart::tests:
        return put_tests(page, scene, review);
    case NumbersPart::lacking:
        return put_lacking(page, scene, review);
    case NumbersPart::strengths:
        return put_strengths(page, scene, review);
    case NumbersPart::repairs:
        return put_repairs(page, scene, review);
    }
}

}  // namespace

void put_numbers(HtmlPage& page, const ReviewScene& scene, const NumbersReview& review) {
    page.section("numbers", "The numbers against the jobs");
    for (const std::string& line : told_again_words(review))
        page.text(line);
    for (const NumbersPart part : parts_of(review)) {
        page.heading(heading_of(part));
        put_part(page, scene, review, part);
        if (const std::string follows = what_follows(scene, review, part); !follows.empty())
            page.text(follows);
    }
}

}  // namespace knockwell
