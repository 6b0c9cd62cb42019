#include "cli/numbers_words.hpp"

#include "base/words.hpp"
#include "cli/words.hpp"

#include <algorithm>
#include <cmath>

namespace knockwell {
namespace {

std::string left_out_words(NotReplayed why) {
    switch (why) {
    case NotReplayed::no_cause:
        return "named no cause";
    case NotReplayed::only_guessed:
        return "only guessed one";
    case NotReplayed::lacking:
        return "confirmed one that this knowledge lacks";
    case NotReplayed::impossible:
        return "had findings that cannot all be true";
    case NotReplayed::too_wide:
        return "had more findings than can be added up";
    }
    return {};
}

std::string between_shares(const Limits& limits) {
    return "between " + percent(limits.low) + " and " + percent(limits.high);
}

std::string made_of(double score, double reliability, double resolution, double uncertainty) {
    return figure(score) + " = " + figure(reliability) + " (said too high or too low) - " +
           figure(resolution) + " (told jobs apart) + " + figure(uncertainty) +
           " (what nobody can help)";
}

/// "5 % longer", "3 times as long".
std::string longer_words(double ratio) {
    const double points = 100 * (ratio - 1);
    if (ratio >= 2)
        return times_words(ratio) + " as long";
    if (std::abs(points) < 0.5)
        return "as long";
    return number(std::round(std::abs(points))) + " % " + (points > 0 ? "longer" : "shorter");
}

/// The classes in which chance does not explain what came to pass.
std::string bias_words(const NumbersReview& review) {
    std::vector<std::string> more;
    std::vector<std::string> less;
    for (std::size_t i = 0; i < review.classed.rows.size(); ++i) {
        const CalibrationRow& row = review.classed.rows[i];
        if (row.said < review.happened[i].low)
            more.push_back(percent(row.said));
        else if (row.said > review.happened[i].high)
            less.push_back(percent(row.said));
    }
    if (more.empty() && less.empty())
        return "What was said and what came to pass differ nowhere by more than chance explains.";
    std::string words;
    if (!more.empty())
        words = "Where it said " + list_of(more, "or") + ", more came to pass than that.";
    if (!less.empty())
        words += std::string(words.empty() ? "" : " ") + "Where it said " + list_of(less, "or") +
                 ", less did.";
    return words;
}

}  // namespace

std::vector<NumbersPart> parts_of(const NumbersReview& review) {
    std::vector<NumbersPart> parts;
    const auto add = [&](NumbersPart part, bool is_there) {
        if (is_there)
            parts.push_back(part);
    };
    const bool told = review.replayed > 0;
    add(NumbersPart::guesses, told);
    add(NumbersPart::calibration, told);
    add(NumbersPart::minutes, !review.minutes.empty());
    add(NumbersPart::tests, told);
    add(NumbersPart::lacking, !review.lacking.empty());
    add(NumbersPart::strengths, told);
    add(NumbersPart::repairs, !review.repairs.empty());
    return parts;
}

std::string heading_of(NumbersPart part) {
    switch (part) {
    case NumbersPart::guesses:
        return "Was the first guess right?";
    case NumbersPart::calibration:
        return "Were the chances right?";
    case NumbersPart::minutes:
        return "Minutes spent against minutes written";
    case NumbersPart::tests:
        return "Tests that never paid";
    case NumbersPart::lacking:
        return "What the knowledge lacks";
    case NumbersPart::strengths:
        return "Strengths that the jobs contradict";
    case NumbersPart::repairs:
        return "Call-backs by repair";
    }
    return {};
}

std::string what_follows(const ReviewScene& scene, const NumbersReview& review, NumbersPart part) {
    const auto any = [&](const auto& lines) { return !named(scene, lines).empty(); };
    switch (part) {
    case NumbersPart::guesses:
    case NumbersPart::calibration:
        break;
    case NumbersPart::minutes:
        return any(review.minutes)
                   ? "Where that is how long it takes, write the minutes spent into the knowledge: "
                     "the next step is chosen by them."
                   : "";
    case NumbersPart::tests:
        return std::any_of(review.tests.begin(), review.tests.end(),
                           [](const TestLine& line) { return line.never_paid(); })
                   ? "For the guess they can be left out; one that is made for safety stays."
                   : "";
    case NumbersPart::lacking:
        return std::any_of(review.lacking.begin(), review.lacking.end(),
                           [](const LackingLine& line) { return !line.cause.empty(); })
                   ? "Was one renamed, its jobs name it as it was called then. Any other that "
                     "keeps "
                     "coming is worth a definition, with what it came with as its signs."
                   : "";
    case NumbersPart::strengths:
        return any(review.strengths) ? "What to write instead: knockwell kb learn." : "";
    case NumbersPart::repairs:
        return any(review.repairs)
                   ? "Look at the jobs of those called back to more than the others: the repair "
                     "does not hold, or something else was wrong too."
                   : "No repair is called back to more than the others by more than chance "
                     "explains.";
    }
    return {};
}

std::vector<std::string> told_again_words(const NumbersReview& review) {
    std::vector<std::string> lines = {
        counted(review.jobs, "closed job") + "; " + std::to_string(review.drawn) +
        " of them told again under today's knowledge, with nothing but what was written down "
        "before the cause was known. " +
        std::to_string(review.replayed) + " could be judged."};
    std::vector<std::string> left_out;
    for (const auto& [why, jobs] : review.not_replayed)
        left_out.push_back(std::to_string(jobs) + " " + left_out_words(why));
    if (!left_out.empty())
        lines.push_back("Left out: " + list_of(left_out) + ".");
    if (review.learned > 0)
        lines.push_back(
            "Care: " + counted(review.learned, "definition has counts", "definitions have counts") +
            " learned from a ledger. Of the jobs that they were learned from these figures "
            "flatter; "
            "judge by later ones (--since).");
    return lines;
}

std::string of_words(std::uint64_t count, std::uint64_t all) {
    return std::to_string(count) + " of " + std::to_string(all) + " (" +
           percent(all == 0 ? 0 : static_cast<double>(count) / static_cast<double>(all)) + ")";
}

std::vector<std::string> score_words(const NumbersReview& review) {
    const Scores& exact = review.exact;
    const Scores& classed = review.classed;
    return {
        bias_words(review),
        "Brier score " + figure(exact.brier) + ", logarithmic score " + figure(exact.log_score) +
            " a cause and job (0 is best). In the classes of the table:",
        "Brier " +
            made_of(classed.brier, classed.reliability, classed.resolution, classed.uncertainty) +
            ".",
        "Logarithmic " +
            made_of(classed.log_score, classed.log_reliability, classed.log_resolution,
                    classed.log_uncertainty) +
            ".",
        "A confirmed cause had, in the mean, the chance of one among " +
            figure(std::exp2(review.bits_on_phone)) + " on the phone and of one among " +
            figure(std::exp2(review.bits)) + " just before it was known."};
}

std::string complaint_words(const Knowledge& knowledge, const std::string& sign) {
    if (sign.empty())
        return "no complaint written down";
    const SignId id = sign_named(knowledge, sign);
    return id.valid() ? knowledge[id].head.title : sign;
}

std::string step_title(const Knowledge& knowledge, bool repair, const std::string& id) {
    if (repair) {
        const RepairId found = repair_named(knowledge, id);
        return found.valid() ? knowledge[found].step.head.title : id;
    }
    const TestId found = test_named(knowledge, id);
    return found.valid() ? knowledge[found].step.head.title : id;
}

std::string foretold_words(const StrengthCell& cell) {
    const std::string least = figure(cell.expected);
    const std::string most = figure(cell.expected_most);
    return least == most ? least : least + " to " + most;
}

std::string strength_words(const Knowledge& knowledge, const StrengthCell& cell) {
    const std::string sign = knowledge[cell.sign].head.title;
    const std::string says =
        cell.written ? "written " + to_text(cell.count)
                     : "not written to show it (seen anyway " + to_text(cell.count) + ")";
    return knowledge[cell.cause].head.title + " / " + sign + ": " + says + "; there in " +
           of_words(cell.there, cell.looks) + " looks, " + foretold_words(cell) + " foretold; " +
           between_shares(cell.limits) + " (95 %).";
}

std::string came_with_words(const LackingLine& line) {
    constexpr std::size_t most = 4;
    std::vector<std::string> with;
    for (const auto& [what, jobs] : line.with)
        if (with.size() < most)
            with.push_back(what + " (" + std::to_string(jobs) + ")");
    return with.empty() ? "" : "Came with: " + list_of(with) + ".";
}

std::string lacking_words(const LackingLine& line) {
    return (line.cause.empty() ? "Closed without a cause" : line.cause) + ": " +
           counted(line.jobs, "job") + ".";
}

std::string all_minutes_words(const NumbersReview& review) {
    const MinutesSum& all = review.all_spent;
    std::string words = "Over all steps with minutes (" + counted(all.makings, "making") +
                        "): " + minutes_words(all.minutes) + " spent, " +
                        minutes_words(review.minutes_written) + " written; " +
                        longer_words(all.minutes / review.minutes_written) + ".";
    if (review.unwritten.minutes > 0)
        words += " Besides, " + minutes_words(review.unwritten.minutes) + ", " +
                 counted(review.unwritten.makings, "making") +
                 " of steps for which this knowledge writes none and entries of no step.";
    return words;
}

std::string minutes_against_words(const MinutesLine& line) {
    std::string words = "written " + minutes_words(line.written) + ", spent " +
                        minutes_words(line.spent) + " in the mean, " + counted(line.times, "job") +
                        "; ";
    words += "typically " + longer_words(line.ratio);
    if (line.times >= 2)
        words += " (95 %: " + longer_words(line.limits.low) + " to " +
                 longer_words(line.limits.high) + ")";
    if (line.times < small_number)
        words += "; a small number of jobs";
    return words + ".";
}

std::string test_words(const TestLine& line) {
    std::string words = "made in " + counted(line.made, "job");
    if (line.in_vain > 0)
        words += ", in " + std::to_string(line.in_vain) + " of them in vain";
    if (line.replayed > 0)
        words += "; told again " + counted(line.replayed, "time") +
                 ", another cause came first after " + std::to_string(line.changed) + "; " +
                 figure(line.bits) + " bits for the confirmed cause in the mean, " +
                 figure(line.most_bits) + " at most";
    if (line.minutes > 0)
        words += "; " + minutes_words(line.minutes) + " each";
    return words + ".";
}

std::string repair_words(const RepairLine& line) {
    return "called back after " + of_words(line.call_backs, line.jobs) + ", " +
           between_shares(line.limits) + " (95 %)";
}

}  // namespace knockwell
