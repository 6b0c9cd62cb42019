#include "cli/json_values.hpp"
#include "cli/numbers_json.hpp"
#include "cli/show_review.hpp"
#include "job/time_text.hpp"

namespace knockwell {
namespace {

Json limits_json(const Limits& limits) {
    return Json::array({json_number(limits.low), json_number(limits.high)});
}

const char* kind_word(TrendKind kind) {
    return kind == TrendKind::rise ? "rise" : kind == TrendKind::season ? "season" : "outbreak";
}

Json areas_json(const ReviewScene& scene, const AreaReview& review) {
    Json cells = Json::array();
    for (const AreaCell& cell : review.cells) {
        cells.push_back({{"area", json_text(scene.book->areas[cell.area])},
                         {"cause", json_text(scene.book->causes[cell.cause])},
                         {"houses", cell.observed},
                         {"alone", cell.alone},
                         {"expected", json_number(cell.expected)},
                         {"ratio", json_number(static_cast<double>(cell.observed) / cell.expected)},
                         {"limits", limits_json(cell.limits)},
                         {"shrunk", json_number(cell.shrunk)},
                         {"shrunk_limits", limits_json(cell.shrunk_limits)},
                         {"guessed", cell.guessed},
                         {"p", json_number(cell.p)},
                         {"adjusted", json_number(cell.adjusted)},
                         {"named", cell.adjusted <= scene.false_share},
                         {"allowed_for", json_texts(review.allowed_for.at(cell.cause))}});
    }
    return Json({{"jobs", review.jobs},
                 {"houses", review.houses},
                 {"without_area", review.without_area},
                 {"without_cause", review.without_cause},
                 {"tested", review.tested},
                 {"false_share", json_number(scene.false_share)},
                 {"spread",
                  {{"shape", json_number(review.spread.shape)},
                   {"rate", json_number(review.spread.rate)},
                   {"mean", json_number(review.spread.mean)}}},
                 {"cells", cells}});
}

Json causes_json(const ReviewScene& scene, const CauseReview& review) {
    Json lines = Json::array();
    for (const CauseLine& line : review.lines) {
        lines.push_back(
            {{"cause", json_text(scene.book->causes[line.cause])},
             {"jobs", line.jobs},
             {"houses", line.houses},
             {"again", line.again},
             {"call_backs", line.call_backs},
             {"guessed", line.guessed},
             {"timed", line.timed},
             {"minutes", json_number(line.minutes)},
             {"per_year", review.by_the_year() ? json_number(line.rate) : Json(nullptr)},
             {"limits", limits_json(line.limits)}});
    }
    return Json({{"jobs", review.jobs},
                 {"without_cause", review.without_cause},
                 {"years", json_number(review.years)},
                 {"causes", lines}});
}

Json time_json(const ReviewScene& scene, const TimeReview& review) {
    Json trends = Json::array();
    for (const Trend& trend : review.trends) {
        Json expected = Json::array();
        for (const double one : trend.expected_by_year)
            expected.push_back(json_number(one));
        trends.push_back({{"cause", json_text(scene.book->causes[trend.cause])},
                          {"kind", kind_word(trend.kind)},
                          {"from", trend.from},
                          {"to", trend.to},
                          {"jobs", trend.observed},
                          {"expected", json_number(trend.expected)},
                          {"all", trend.all},
                          {"by_year", trend.by_year},
                          {"expected_by_year", expected},
                          {"p", json_number(trend.p)},
                          {"adjusted", json_number(trend.adjusted)},
                          {"named", trend.adjusted <= scene.false_share}});
    }
    return Json(
        {{"jobs", review.jobs},
         {"first", review.jobs == 0 ? Json(nullptr) : Json(format_time(review.first))},
         {"last", review.jobs == 0 ? Json(nullptr) : Json(format_time(review.last))},
         {"years_from", review.years_from ? Json(format_time(*review.years_from)) : Json(nullptr)},
         {"tested", review.tested},
         {"false_share", json_number(scene.false_share)},
         {"trends", trends}});
}

}  // namespace

namespace {

/// What scope_words() says.
Json scope_json(const ReviewScene& scene) {
    const ReviewScope& scope = scene.scope;
    const auto moment = [&](std::int64_t at) {
        return scope.jobs == 0 ? Json(nullptr) : Json(format_time(at));
    };
    return {{"drawn_up", format_time(scope.drawn_up)},
            {"knowledge", json_text(scope.version)},
            {"since", scene.since.empty() ? Json(nullptr) : json_text(scene.since)},
            {"jobs", scope.jobs},
            {"first", moment(scope.first)},
            {"last", moment(scope.last)}};
}

}  // namespace

std::string review_json(const ReviewScene& scene, const ReviewAnswers& answers, bool all) {
    Json parts = Json::object();
    if (answers.areas)
        parts["areas"] = areas_json(scene, *answers.areas);
    if (answers.causes)
        parts["causes"] = causes_json(scene, *answers.causes);
    if (answers.time)
        parts["time"] = time_json(scene, *answers.time);
    if (answers.numbers)
        parts["numbers"] = numbers_json(scene, *answers.numbers);
    Json told = all || parts.size() != 1 ? parts : parts.front();
    told["of"] = scope_json(scene);
    return printed(told);
}

}  // namespace knockwell
