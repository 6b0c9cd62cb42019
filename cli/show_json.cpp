#include "cli/show_json.hpp"

#include "advice/candidate.hpp"
#include "advice/rules.hpp"
#include "base/words.hpp"
#include "beliefs/finding.hpp"
#include "cli/arrival.hpp"
#include "cli/json_values.hpp"
#include "cli/lettered.hpp"
#include "cli/show_paper.hpp"
#include "cli/together.hpp"
#include "cli/words.hpp"
#include "job/leaving.hpp"

#include <array>
#include <charconv>
#include <cmath>

namespace knockwell {

Json json_text(std::string_view text) { return escape_controls(text, true); }

Json json_texts(const std::vector<std::string>& texts) {
    Json all = Json::array();
    for (const std::string& text : texts)
        all.push_back(json_text(text));
    return all;
}

Json json_number(double value) {
    if (!std::isfinite(value))
        return nullptr;
    // The last digits differ with the machine's vector instructions; what is printed shall not.
    constexpr int digits = 10;
    std::array<char, 32> text{};
    const auto end = std::to_chars(text.data(), text.data() + text.size(), value,
                                   std::chars_format::general, digits);
    double rounded = value;
    std::from_chars(text.data(), end.ptr, rounded);
    return rounded;
}

Json json_number(const std::optional<double>& value) {
    return value ? json_number(*value) : Json(nullptr);
}

Json json_cautions(const Knowledge& knowledge, const std::vector<CautionId>& cautions) {
    Json all = Json::array();
    for (const CautionId id : cautions) {
        const Caution& caution = knowledge[id];
        all.push_back({{"id", json_text(caution.head.id)},
                       {"signal", signal_word(caution)},
                       {"text", json_text(caution.text)}});
    }
    return all;
}

std::string printed(const Json& json) {
    constexpr int indent = 2;
    return json.dump(indent, ' ', false, Json::error_handler_t::replace) + "\n";
}

Json stops_json(const Knowledge& knowledge, const std::vector<StopNow>& stops) {
    Json all = Json::array();
    for (const StopNow& now : stops) {
        const Stop& stop = knowledge[now.stop];
        Json lifted = Json::array();
        Json skills = Json::object();
        for (const SignId sign : stop.cleared_by) {
            lifted.push_back(json_text(knowledge[sign].head.id));
            skills[knowledge[sign].head.id] = to_text(skill_to_vouch(knowledge, sign));
        }
        Json in_vain = Json::array();
        for (const SignId sign : now.told_in_vain)
            in_vain.push_back(json_text(knowledge[sign].head.id));
        Json mended = Json::array();
        for (const RepairId repair : stop.mended_by)
            mended.push_back(json_text(knowledge[repair].step.head.id));
        Json shown = Json::array();
        for (const Finding& it : now.shown_by)
            shown.push_back(json_text(to_text(knowledge, it)));
        all.push_back({{"id", json_text(stop.head.id)},
                       {"signal", "DANGER"},
                       {"title", json_text(stop.head.title)},
                       {"found", now.found},
                       {"p", json_number(now.p)},
                       {"shown_by", shown},
                       {"enough", json_number(now.enough)},
                       {"cautions", json_cautions(knowledge, stop.cautions)},
                       {"do_now", json_text(stop.do_now)},
                       {"blocks_all", stop.blocks_all},
                       {"by_drinking", stop.by_drinking},
                       {"lifted_by", lifted},
                       {"lifted_by_skill", skills},
                       {"told_in_vain", in_vain},
                       {"mended_by", mended}});
    }
    return all;
}

namespace {

/// Nothing where no draws were made.
Json range_number(const Ranges& ranges, double number) {
    return ranges.draws > 0 ? json_number(number) : Json();
}

/// Bounds hang on the last digits of much that is added up; in millionths, outwards, they do not.
Json bits_between(const Range& bits) {
    constexpr double millionths = 1e6;
    return Json::array({json_number(std::floor(bits.low * millionths) / millionths),
                        json_number(std::ceil(bits.high * millionths) / millionths)});
}

Json causes_of(const Knowledge& knowledge, const Known& known) {
    Json all = Json::array();
    for (const CauseId id : known.by_rank) {
        const CauseId tripped = tripped_by(knowledge, known.advice.own, known.now, id);
        const Range& range = known.ranges.cause[id.index()];
        all.push_back({{"id", json_text(knowledge[id].head.id)},
                       {"title", json_text(knowledge[id].head.title)},
                       {"p", json_number(known.now.cause[id.index()])},
                       {"low", range_number(known.ranges, range.low)},
                       {"high", range_number(known.ranges, range.high)},
                       {"first_in", known.ranges.first_in[id.index()]},
                       {"spoken_of", bool{known.spoken_of[id.index()]}},
                       {"by_itself", json_number(known.advice.own[id.index()])},
                       {"tripped_by",
                        tripped.valid() ? json_text(knowledge[tripped].head.id) : Json(nullptr)}});
    }
    return all;
}

Json sets_of(const Knowledge& knowledge, const CauseSets& sets) {
    Json all = Json::array();
    for (const CauseSet& set : sets.sets) {
        Json ids = Json::array();
        for (const CauseId id : set.causes)
            ids.push_back(json_text(knowledge[id].head.id));
        all.push_back({{"causes", ids}, {"p", json_number(set.p)}});
    }
    return all;
}

Json step_of(const Knowledge& knowledge, const Rates& rates, const Suggestion& step) {
    Json before = Json::array();
    for (const Preparation& one : step.first) {
        before.push_back({{"cautions", json_cautions(knowledge, one.cautions)},
                          {"says", json_text(one.says)},
                          {"minutes", json_number(one.minutes)}});
    }
    Json outcomes = Json::array();
    const Lettered letters(knowledge, step.kind, step.id);
    for (const OutcomeWords& outcome : step.outcomes) {
        outcomes.push_back({{"level", json_text(letters.spelled(outcome.found))},
                            {"p", json_number(outcome.p)},
                            {"then_first", json_text(outcome.then_first)},
                            {"then_p", json_number(outcome.then_p)}});
    }
    Json json = {{"kind", to_text(step.kind)},
                 {"id", json_text(step.id)},
                 {"title", json_text(step.title)},
                 {"minutes", json_number(step.minutes)},
                 {"bits", json_number(step.bits)},
                 {"bits_per_minute", json_number(step.bits_per_minute)},
                 {"minutes_saved", json_number(step.minutes_saved)},
                 {"helps", json_number(step.helps)},
                 {"needs", json_texts(step.needs)},
                 {"cautions", json_cautions(knowledge, step.cautions)},
                 {"first", before},
                 {"how", json_text(step.how)},
                 {"parts", json_texts(step.parts)},
                 {"outcomes", outcomes}};
    if (step.kind == StepKind::refer)
        json["own_licence"] = step.own_licence;
    if (!step.awaited_by.empty())
        json["awaited_by"] = json_text(step.awaited_by);
    // Only where the shop says what an hour costs.
    if (const auto work = money_of(rates, step.minutes)) {
        const RepairId repair =
            step.kind == StepKind::repair ? repair_named(knowledge, step.id) : RepairId();
        json["money"] = json_number(*work);
        json["parts_price"] = json_number(
            repair.valid() ? price_of(knowledge, rates, knowledge[repair].parts).sum : 0);
        json["money_saved"] = json_number(money_of(rates, step.minutes_saved));
    }
    return json;
}

Json recheck_of(const Knowledge& knowledge, const std::vector<Recheck>& recheck) {
    Json all = Json::array();
    for (const Recheck& one : recheck) {
        const Step& step = knowledge[one.test].step;
        all.push_back({{"id", json_text(step.head.id)},
                       {"title", json_text(step.head.title)},
                       {"cautions", json_cautions(knowledge, cautions_of(knowledge, step))},
                       {"how", json_text(one.held_back ? "" : how_by_itself(step))},
                       {"held_back", json_text(one.held_back.value_or(""))}});
    }
    return all;
}

Json clash_of(const Knowledge& knowledge, const Evidence& evidence, const Impossible& clash) {
    Json findings = Json::array();
    for (const std::size_t i : clash.findings)
        findings.push_back(json_text(to_text(knowledge, evidence.findings[i])));
    Json causes = Json::array();
    for (const std::size_t i : clash.causes)
        causes.push_back({{"id", json_text(knowledge[evidence.causes[i].cause].head.id)},
                          {"present", evidence.causes[i].present}});
    Json settings = Json::array();
    for (const SettingId id : clash.settings)
        settings.push_back(json_text(knowledge[id].head.id));
    return {{"findings", findings}, {"causes", causes}, {"settings", settings}};
}

void put_beliefs(Json& json, const Knowledge& knowledge, const AnswerNow& answer,
                 const Known& known) {
    json["causes"] = causes_of(knowledge, known);
    json["draws"] = known.ranges.draws;
    json["sets"] = sets_of(knowledge, known.sets);
    json["sets_proved"] = known.sets.proved;
    json["unlisted"] = json_number(known.unlisted);
    json["misfit"] = json_number(known.misfit);
    Json each = Json::array();
    for (std::size_t i = 0; i < known.misfit_of_each.size(); ++i) {
        each.push_back(
            {{"finding", json_text(to_text(knowledge, answer.course.evidence.findings[i]))},
             {"misfit", json_number(known.misfit_of_each[i])}});
    }
    json["misfit_each"] = each;
    json["log_evidence"] = json_number(known.now.log_evidence);
    json["situation"] = json_text(situation_words(knowledge, answer.course.situation));
    json["stopped"] = known.advice.stopped;
    Json gone = Json::array();
    for (const SignId sign : gone_since_repair(knowledge, answer.course.evidence))
        gone.push_back(json_text(knowledge[sign].head.id));
    json["gone_since_repair"] = gone;
    Json next = Json::array();
    for (const Suggestion& step : known.advice.next)
        next.push_back(step_of(knowledge, answer.rates, step));
    if (known.at_once.first)
        next.front()["bits_joint"] = bits_between(*known.at_once.first);
    const std::vector<Together> looks =
        looks_together(knowledge, answer.course.situation, known.advice);
    for (std::size_t i = 0; i < looks.size(); ++i) {
        Json look = {{"id", json_text(looks[i].id)},
                     {"minutes", json_number(looks[i].minutes)},
                     {"alone", json_number(looks[i].alone)}};
        if (const std::optional<Range>& bits = known.at_once.with.at(i))
            look["bits_joint"] = bits_between(*bits);
        next.front()["together"].push_back(look);
    }
    json["next"] = next;
    Json held = Json::array();
    for (const HeldBack& one : known.advice.held_back) {
        held.push_back({{"kind", to_text(one.kind)},
                        {"id", json_text(one.id)},
                        {"title", json_text(one.title)},
                        {"why", json_text(one.why)},
                        {"helps", json_number(one.helps)}});
    }
    json["held_back"] = held;
}

Json too_wide_of(const Knowledge& knowledge, const TooWide& wide,
                 const std::optional<Enclosure>& bounds) {
    Json json{{"width", json_number(wide.width)}};
    if (!bounds)
        return json;
    json["cuts"] = bounds->cuts;
    json["log_evidence"] = {{"low", json_number(bounds->log_evidence.low)},
                            {"high", json_number(bounds->log_evidence.high)}};
    json["causes"] = Json::array();
    for (std::size_t c = 0; c < bounds->cause.size(); ++c)
        json["causes"].push_back({{"id", json_text(knowledge.causes[c].head.id)},
                                  {"low", json_number(bounds->cause[c].low)},
                                  {"high", json_number(bounds->cause[c].high)}});
    return json;
}

}  // namespace

std::string answer_json(const Model& model, const AnswerNow& answer,
                        const std::vector<Recheck>& recheck, std::string_view headline,
                        bool arriving, const std::vector<std::string>& warnings) {
    const Knowledge& knowledge = *model.knowledge;
    Json json;
    if (!warnings.empty())
        json["warnings"] = json_texts(warnings);
    if (!answer.job.empty())
        json["job"] = json_text(answer.job);
    if (!headline.empty())
        json["headline"] = json_text(headline);
    json["stops"] = stops_json(knowledge, answer.stops);
    if (!recheck.empty())
        json["recheck"] = recheck_of(knowledge, recheck);
    if (arriving)
        json["arrival"] = arrival_json();
    if (const auto* clash = std::get_if<Impossible>(&answer.says)) {
        json["impossible"] = clash_of(knowledge, answer.course.evidence, *clash);
    } else if (const auto* wide = std::get_if<TooWide>(&answer.says)) {
        json["too_wide"] = too_wide_of(knowledge, *wide, answer.bounds);
    } else {
        put_beliefs(json, knowledge, answer, std::get<Known>(answer.says));
    }
    json["not_used"] = json_texts(answer.course.lost);
    json["limits"] = it_can_be_wrong();
    return printed(json);
}

namespace {

Json overturns_json(const Knowledge& knowledge, const std::vector<Overturn>& overturns) {
    Json all = Json::array();
    for (const Overturn& it : overturns)
        all.push_back(
            {{"kind", to_text(it.look.kind)},
             {"id", json_text(it.look.id)},
             {"found", json_text(Lettered(knowledge, it.look.kind, it.look.id).spelled(it.found))},
             {"p", json_number(it.p)},
             {"p_all", json_number(it.all)},
             {"then_first", json_text(knowledge[it.first].head.id)},
             {"then_p", json_number(it.first_p)}});
    return all;
}

}  // namespace

std::string effects_json(const Knowledge& knowledge, const std::string& job,
                         const std::vector<StopNow>& stops, const Candidate& step,
                         const std::vector<Effect>& effects) {
    Json outcomes = Json::array();
    const Lettered letters(knowledge, step.kind, step.id);
    for (const Effect& effect : effects) {
        Json moved = Json::array();
        for (const Moved& one : effect.moved)
            moved.push_back({{"id", json_text(knowledge[one.cause].head.id)},
                             {"before", json_number(one.before)},
                             {"after", json_number(one.after)}});
        outcomes.push_back({{"found", json_text(letters.spelled(effect.found))},
                            {"p", json_number(effect.p)},
                            {"then_first", json_text(knowledge[effect.first].head.id)},
                            {"then_p", json_number(effect.first_p)},
                            {"moved", moved}});
    }
    Json json;
    json["job"] = json_text(job);
    json["stops"] = stops_json(knowledge, stops);
    json["kind"] = to_text(step.kind);
    json["id"] = json_text(step.id);
    json["title"] = json_text(step.title);
    json["cautions"] = json_cautions(knowledge, step.cautions);
    json["outcomes"] = outcomes;
    json["limits"] = it_can_be_wrong();
    return printed(json);
}

std::string reasons_json(const Model& model, const AnswerNow& answer,
                         const std::vector<Reasons>& reasons) {
    const Knowledge& knowledge = *model.knowledge;
    const Known& known = std::get<Known>(answer.says);
    Json all = Json::array();
    for (const Reasons& reason : reasons) {
        Json findings = Json::array();
        for (const Reason& one : reason.findings) {
            const Finding& finding = answer.course.evidence.findings[one.finding];
            findings.push_back({{"finding", json_text(to_text(knowledge, finding))},
                                {"decibans", json_number(one.decibans)},
                                {"words", weight_words(one.decibans)},
                                {"misfit", json_number(known.misfit_of_each[one.finding])}});
        }
        const Range& range = known.ranges.cause[reason.cause.index()];
        all.push_back({{"id", json_text(knowledge[reason.cause].head.id)},
                       {"title", json_text(knowledge[reason.cause].head.title)},
                       {"p", json_number(known.now.cause[reason.cause.index()])},
                       {"low", range_number(known.ranges, range.low)},
                       {"high", range_number(known.ranges, range.high)},
                       {"first_in", known.ranges.first_in[reason.cause.index()]},
                       {"findings", findings},
                       {"overturned_by", overturns_json(knowledge, reason.overturns)}});
    }
    Json json;
    json["job"] = json_text(answer.job);
    json["stops"] = stops_json(knowledge, answer.stops);
    json["reasons"] = all;
    json["draws"] = known.ranges.draws;
    json["misfit"] = json_number(known.misfit);
    json["limits"] = it_can_be_wrong();
    return printed(json);
}

std::string not_closed_json(const Knowledge& knowledge, const Job& job,
                            const std::vector<StopNow>& stops, const std::vector<std::string>& why,
                            const std::vector<OpenLine>& open) {
    Json json;
    json["job"] = json_text(job.id);
    json["stops"] = stops_json(knowledge, stops);
    json["cautions"] = json_texts(leaving_cautions());
    json["stays_open"] = json_texts(why);
    Json lines = Json::array();
    for (const OpenLine& line : open)
        lines.push_back({{"word", line.word},
                         {"says", json_text(line.says)},
                         {"against", json_text(line.against)}});
    json["before_leaving"] = lines;
    json["limits"] = it_can_be_wrong();
    return printed(json);
}

std::string closing_json(const Knowledge& knowledge, const Job& job,
                         const std::vector<StopNow>& stops, const std::vector<Recheck>& recheck,
                         const LeavingPaper& paper, const std::vector<std::string>& not_used) {
    Json json;
    json["job"] = json_text(job.id);
    json["stops"] = stops_json(knowledge, stops);
    json["not_used"] = json_texts(not_used);
    json["cautions"] = json_texts(leaving_cautions());
    json["before_leaving"] =
        json_texts(stops.empty() ? std::vector<std::string>{} : leaving_a_danger());
    json["recheck"] = recheck_of(knowledge, stops.empty() ? recheck : std::vector<Recheck>{});
    json["closed"] = json_text(job.events.empty() ? "" : job.events.back().value);
    json["paper"] = paper_json(paper);
    json["limits"] = it_can_be_wrong();
    return printed(json);
}

}  // namespace knockwell
