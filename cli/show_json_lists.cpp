#include "base/words.hpp"
#include "cli/json_values.hpp"
#include "cli/show_json.hpp"
#include "cli/show_lists.hpp"
#include "cli/show_paper.hpp"
#include "job/summary.hpp"
#include "job/time_text.hpp"

#include <map>

namespace knockwell {

namespace {

Json confirmed_json(const std::vector<ConfirmedCause>& causes) {
    Json all = Json::array();
    for (const ConfirmedCause& one : causes)
        all.push_back({{"cause", json_text(one.cause)}, {"how", json_text(one.how)}});
    return all;
}

}  // namespace

std::string jobs_json(const std::vector<ListedJob>& jobs, const JobsWanted& wanted,
                      const JobsFound& found, const std::vector<std::string>& near,
                      std::optional<std::size_t> not_known) {
    Json all = Json::array();
    for (const ListedJob& listed : jobs) {
        const JobLine& job = listed.line;
        all.push_back({{"id", json_text(job.id)},
                       {"area", json_text(job.area)},
                       {"installation", json_text(job.installation)},
                       {"opened", format_time(job.opened)},
                       {"closed", job.closed},
                       {"outcome", json_text(job.outcome)},
                       {"causes", confirmed_json(job.causes)},
                       {"call_back_of", json_text(job.call_back_of)},
                       {"dangers", listed.dangers ? json_texts(*listed.dangers) : Json(nullptr)},
                       {"entries", job.events},
                       {"first_said", json_text(job.first_said)}});
    }
    Json told({{"jobs", all}, {"all", found.jobs}, {"more", jobs.size() < found.jobs}});
    if (not_known)
        told["not_known"] = *not_known;
    if (!wanted.all() || not_known) {
        told["closed"] = found.closed;
        told["houses"] = found.houses;
        told["nearest"] = json_texts(near);
    }
    return printed(told);
}

namespace {

/// What the entries come to.
Json summary_json(const Job& job) {
    const Summary summary = summary_of(job);
    Json readings = Json::object();
    for (const auto& [sign, reading] : summary.readings) {
        readings[escape_controls(sign)] = {
            {"found", reading.found ? json_text(*reading.found) : Json(nullptr)},
            {"left", reading.left ? json_text(*reading.left) : Json(nullptr)}};
    }
    return {
        {"area", json_text(summary.area)},
        {"installation", json_text(summary.installation)},
        {"call_back_of", summary.call_back_of ? json_text(*summary.call_back_of) : Json(nullptr)},
        {"outcome", json_text(summary.outcome)},
        {"complaint", json_text(summary.complaint)},
        {"causes", confirmed_json(summary.causes)},
        {"readings", readings},
        {"repairs", json_texts(summary.repairs)},
        {"tests", json_texts(summary.tests)},
        {"tests_in_vain", json_texts(summary.in_vain)},
        {"minutes", json_number(summary.minutes)},
        {"knowledge", json_texts(summary.knowledge)},
        {"clashes", json_texts(clashes_of(job))}};
}

}  // namespace

std::string job_json(const Job& job, const std::vector<std::string>& warnings) {
    std::map<std::uint32_t, Event> now;
    for (const Event& event : standing(job))
        now[event.number] = event;
    Json events = Json::array();
    for (const Event& event : job.events) {
        const bool stands = is_correction(event.kind) ? !is_taken_back(job, event.number)
                                                      : now.contains(event.number);
        events.push_back({{"number", event.number},
                          {"at", format_time(event.at)},
                          {"kind", to_text(event.kind)},
                          {"what", json_text(event.what)},
                          {"value", json_text(event.value)},
                          {"minutes", json_number(event.minutes)},
                          {"stands", stands}});
        if (now.contains(event.number) && now[event.number] != event)
            events.back()["now"] = {{"value", json_text(now[event.number].value)},
                                    {"minutes", json_number(now[event.number].minutes)}};
    }
    return printed({{"job", json_text(job.id)},
                    {"warnings", json_texts(warnings)},
                    {"area", json_text(job.area)},
                    {"installation", json_text(job.installation)},
                    {"knowledge", json_text(job.knowledge)},
                    {"opened", format_time(job.opened)},
                    {"closed", is_closed(job)},
                    {"summary", summary_json(job)},
                    {"left", left_json(leaving_of(job))},
                    {"entries", events}});
}

namespace {

Json provenance_json(const Provenance& found) {
    Json strengths = Json::object();
    for (const Basis basis : {Basis::published, Basis::practice, Basis::judgement, Basis::ledger})
        strengths[std::string(to_text(basis))] = found.strengths[static_cast<std::size_t>(basis)];
    strengths["none"] = found.strengths[static_cast<std::size_t>(Basis::none)];
    Json without = Json::array();
    for (const Head* head : found.without)
        without.push_back(json_text(head->id));
    return {{"strengths", strengths}, {"without", without}, {"with_source", found.sources}};
}

}  // namespace

std::string problems_json(const std::vector<Problem>& problems, const std::vector<Source>& sources,
                          const std::optional<Provenance>& provenance) {
    const auto name = [&](const Span& span) {
        return span.somewhere() && span.source < sources.size()
                   ? json_text(sources[span.source].name)
                   : Json(nullptr);
    };
    Json all = Json::array();
    for (const Problem& problem : problems) {
        Json notes = Json::array();
        for (const Note& note : problem.notes) {
            notes.push_back({{"file", name(note.span)},
                             {"line", note.span.begin.line},
                             {"column", note.span.begin.column},
                             {"says", json_text(note.says)}});
        }
        all.push_back({{"severity", problem.severity == Severity::error ? "error" : "warning"},
                       {"code", json_text(problem.code)},
                       {"file", name(problem.span)},
                       {"line", problem.span.begin.line},
                       {"column", problem.span.begin.column},
                       {"end_line", problem.span.end.line},
                       {"end_column", problem.span.end.column},
                       {"says", json_text(problem.says)},
                       {"help", json_text(problem.help)},
                       {"notes", notes}});
    }
    const ProblemCount count = count_of(problems);
    Json answer = {{"errors", count.errors}, {"warnings", count.warnings}, {"problems", all}};
    if (provenance)
        answer["sources"] = provenance_json(*provenance);
    return printed(answer);
}

std::string cards_json(const std::vector<Card>& cards) {
    Json all = Json::array();
    for (const Card& card : cards) {
        Json facts = Json::array();
        for (const Fact& fact : card.facts)
            facts.push_back({{"label", fact.label}, {"lines", json_texts(fact.lines)}});
        all.push_back({{"kind", card.kind},
                       {"id", json_text(card.id)},
                       {"title", json_text(card.title)},
                       {"place", json_text(card.place)},
                       {"cautions", json_texts(card.cautions)},
                       {"facts", facts}});
    }
    return printed({{"definitions", all}});
}

std::string overview_json(const Knowledge& knowledge, const std::string& version) {
    Json counts;
    for (const KindCount& kind : kinds_of(knowledge))
        counts[kind.kind] = kind.count;
    return printed({{"name", json_text(knowledge.manifest.name)},
                    {"version", json_text(version)},
                    {"counts", counts}});
}

std::string practice_json(const std::vector<PracticeResult>& results,
                          const std::vector<PracticeRates>& rates) {
    Json all = Json::array();
    for (const PracticeResult& result : results) {
        all.push_back(
            {{"id", json_text(result.id)},
             {"title", json_text(result.title)},
             {"passed", result.passed},
             {"place", result.place > 0 ? Json(result.place) : Json(nullptr)},
             {"phone_place", result.complaint > 0 ? Json(result.complaint) : Json(nullptr)},
             {"failures", json_texts(result.failures)},
             {"accepted", result.accepted ? json_text(*result.accepted) : Json(nullptr)}});
    }
    Json shares = Json::array();
    for (const PracticeRates& rate : rates)
        shares.push_back({{"folder", json_text(rate.folder)},
                          {"cases", rate.cases},
                          {"first", rate.first},
                          {"three", rate.three},
                          {"complaints", rate.complaints},
                          {"five", rate.five}});
    return printed({{"practice", all}, {"rates", shares}});
}

std::string computations_json(const std::vector<Computation>& all) {
    Json list = Json::array();
    for (const Computation& one : all) {
        Json inputs = Json::array();
        for (const CalcInput& input : one.inputs)
            inputs.push_back(
                {{"name", input.name},
                 {"unit", json_text(input.unit)},
                 {"help", json_text(input.help)},
                 {"standard", input.standard ? json_text(*input.standard) : Json(nullptr)},
                 {"optional", input.optional},
                 {"choices", json_texts(input.choices)}});
        list.push_back({{"name", one.name},
                        {"title", json_text(one.title)},
                        {"inputs", inputs},
                        {"formula", json_text(one.formula)},
                        {"source", json_text(one.source)},
                        {"range", json_text(one.range)}});
    }
    return printed({{"computations", list}});
}

std::string calculation_json(const Computation& computation, const CalcAnswer& answer) {
    Json lines = Json::array();
    for (const CalcLine& line : answer.lines) {
        lines.push_back({{"label", json_text(line.label)},
                         {"value", json_number(line.value)},
                         {"unit", json_text(line.unit)}});
    }
    return printed({{"name", computation.name},
                    {"title", json_text(computation.title)},
                    {"cautions", json_texts(answer.cautions)},
                    {"lines", lines},
                    {"formula", json_text(answer.formula)},
                    {"source", json_text(answer.source)},
                    {"range", json_text(answer.range)},
                    {"remarks", json_texts(answer.remarks)}});
}

std::string graph_json(const std::string& dot) { return printed({{"dot", json_text(dot)}}); }

}  // namespace knockwell
