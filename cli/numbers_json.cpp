#include "cli/numbers_json.hpp"

namespace knockwell {
namespace {

Json pair_of(const Limits& limits) {
    return Json::array({json_number(limits.low), json_number(limits.high)});
}

const char* word_of(NotReplayed why) {
    switch (why) {
    case NotReplayed::no_cause:
        return "no_cause";
    case NotReplayed::only_guessed:
        return "only_guessed";
    case NotReplayed::lacking:
        return "lacking";
    case NotReplayed::impossible:
        return "impossible";
    case NotReplayed::too_wide:
        return "too_wide";
    }
    return "";
}

Json scores_json(const Scores& scores) {
    return {{"cases", json_number(scores.cases)},
            {"brier", json_number(scores.brier)},
            {"reliability", json_number(scores.reliability)},
            {"resolution", json_number(scores.resolution)},
            {"uncertainty", json_number(scores.uncertainty)},
            {"skill", json_number(scores.skill)},
            {"log_score", json_number(scores.log_score)},
            {"log_reliability", json_number(scores.log_reliability)},
            {"log_resolution", json_number(scores.log_resolution)},
            {"log_uncertainty", json_number(scores.log_uncertainty)}};
}

Json calibration_json(const NumbersReview& review) {
    Json rows = Json::array();
    for (std::size_t i = 0; i < review.classed.rows.size(); ++i)
        rows.push_back({{"said", json_number(review.classed.rows[i].said)},
                        {"happened", json_number(review.classed.rows[i].happened)},
                        {"cases", json_number(review.classed.rows[i].cases)},
                        {"limits", pair_of(review.happened[i])}});
    return rows;
}

Json guesses_json(const NumbersReview& review) {
    Json lines = Json::array();
    for (const GuessLine& line : review.guesses)
        lines.push_back(
            {{"complaint",
              &line == &review.guesses.front() ? Json(nullptr) : json_text(line.complaint)},
             {"jobs", line.jobs},
             {"first_on_phone", line.first_on_phone},
             {"three_on_phone", line.three_on_phone},
             {"first", line.first},
             {"three", line.three}});
    return lines;
}

Json minutes_json(const ReviewScene& scene, const NumbersReview& review) {
    Json lines = Json::array();
    for (const MinutesLine& line : review.minutes)
        lines.push_back({{"step", json_text(line.step)},
                         {"kind", line.repair ? "repair" : "test"},
                         {"times", line.times},
                         {"written", json_number(line.written)},
                         {"spent", json_number(line.spent)},
                         {"ratio", json_number(line.ratio)},
                         {"limits", line.times < 2 ? Json(nullptr) : pair_of(line.limits)},
                         {"p", json_number(line.p)},
                         {"adjusted", json_number(line.adjusted)},
                         {"named", line.adjusted <= scene.false_share}});
    return lines;
}

Json tests_json(const NumbersReview& review) {
    Json lines = Json::array();
    for (const TestLine& line : review.tests)
        lines.push_back({{"test", json_text(line.test)},
                         {"made", line.made},
                         {"in_vain", line.in_vain},
                         {"told_again", line.replayed},
                         {"changed_first", line.changed},
                         {"bits", json_number(line.bits)},
                         {"most_bits", json_number(line.most_bits)},
                         {"minutes", json_number(line.minutes)},
                         {"never_paid", line.never_paid()}});
    return lines;
}

Json lacking_json(const NumbersReview& review) {
    Json lines = Json::array();
    for (const LackingLine& line : review.lacking) {
        Json with = Json::array();
        for (const auto& [what, jobs] : line.with)
            with.push_back({{"finding", json_text(what)}, {"jobs", jobs}});
        lines.push_back({{"cause", line.cause.empty() ? Json(nullptr) : json_text(line.cause)},
                         {"jobs", line.jobs},
                         {"with", with}});
    }
    return lines;
}

Json strengths_json(const ReviewScene& scene, const NumbersReview& review) {
    Json lines = Json::array();
    for (const StrengthCell& cell : review.strengths)
        lines.push_back({{"cause", json_text((*scene.knowledge)[cell.cause].head.id)},
                         {"sign", json_text((*scene.knowledge)[cell.sign].head.id)},
                         {"written", cell.written},
                         {"count", to_text(cell.count)},
                         {"looks", cell.looks},
                         {"there", cell.there},
                         {"expected", json_number(cell.expected)},
                         {"expected_most", json_number(cell.expected_most)},
                         {"limits", pair_of(cell.limits)},
                         {"p", json_number(cell.p)},
                         {"adjusted", json_number(cell.adjusted)},
                         {"named", cell.adjusted <= scene.false_share}});
    return lines;
}

Json repairs_json(const ReviewScene& scene, const NumbersReview& review) {
    Json lines = Json::array();
    for (const RepairLine& line : review.repairs)
        lines.push_back({{"repair", json_text(line.repair)},
                         {"jobs", line.jobs},
                         {"call_backs", line.call_backs},
                         {"limits", pair_of(line.limits)},
                         {"p", json_number(line.p)},
                         {"adjusted", json_number(line.adjusted)},
                         {"named", line.adjusted <= scene.false_share}});
    return lines;
}

}  // namespace

Json numbers_json(const ReviewScene& scene, const NumbersReview& review) {
    Json left_out = Json::object();
    for (const auto& [why, jobs] : review.not_replayed)
        left_out[word_of(why)] = jobs;
    return {{"jobs", review.jobs},
            {"drawn", review.drawn},
            {"told_again", review.replayed},
            {"left_out", left_out},
            {"learned_counts", review.learned},
            {"false_share", json_number(scene.false_share)},
            {"bits_on_phone", json_number(review.bits_on_phone)},
            {"bits", json_number(review.bits)},
            {"scores", scores_json(review.exact)},
            {"scores_of_classes", scores_json(review.classed)},
            {"calibration", calibration_json(review)},
            {"guesses", guesses_json(review)},
            {"minutes_written", json_number(review.minutes_written)},
            {"minutes_spent", json_number(review.all_spent.minutes)},
            {"makings", review.all_spent.makings},
            {"minutes_unwritten", json_number(review.unwritten.minutes)},
            {"makings_unwritten", review.unwritten.makings},
            {"minutes", minutes_json(scene, review)},
            {"tests", tests_json(review)},
            {"lacking", lacking_json(review)},
            {"strengths", strengths_json(scene, review)},
            {"call_backs", review.call_backs},
            {"repairs", repairs_json(scene, review)}};
}

}  // namespace knockwell
