#include "cli/show_plan.hpp"

#include "base/words.hpp"
#include "cli/json_values.hpp"
#include "cli/show_text.hpp"
#include "cli/words.hpp"

#include <algorithm>
#include <string_view>

namespace knockwell {
namespace {

constexpr std::string_view dangers_first =
    "Before anything: shock or tingle, gas, burning smell, water on electrics, a swollen or "
    "hissing tank, a running relief valve, a gauge past the plate: stop, get everybody away, and "
    "leave this card.";
constexpr std::string_view at_the_end =
    "When it holds: covers on, valves as they must be, power on, two full cycles, cut-in and "
    "cut-out, amps, leak-down, relief valve, and a sample where the well was opened.";

/// Every caution once, the way first.
std::vector<CautionId> cautions_in_order(const Suggestion& step) {
    std::vector<CautionId> all = step.cautions;
    for (const Preparation& before : step.first)
        for (const CautionId id : before.cautions)
            if (std::find(all.begin(), all.end(), id) == all.end())
                all.push_back(id);
    return all;
}

std::string mender_words(const Knowledge& knowledge, const MenderOf& mender) {
    if (mender.kind == StepKind::refer)
        return "hand over: " + knowledge.refers[mender.index].head.title;
    return knowledge.repairs[mender.index].step.head.title;
}

/// "go to 3", "done", "DANGER: ...".
std::string goes_to(const Knowledge& knowledge, const PolicyBranch& branch) {
    if (!branch.stops.empty()) {
        const Stop& stop = knowledge[branch.stops.front()];
        return "DANGER: " + stop.head.title + ". " + stop.do_now;
    }
    if (branch.cured)
        return "done: leave as the foot of this card says";
    if (branch.then)
        return "go to " + std::to_string(*branch.then + 1);
    return "ask whoever has the program";
}

std::string first_words(const Knowledge& knowledge, const PolicyBranch& branch) {
    if (branch.cured || !branch.stops.empty() || !branch.first.valid())
        return {};
    std::string words = knowledge[branch.first].head.title + " " + percent(branch.first_p);
    if (branch.mender && !branch.then)
        words += "; likely mended by: " + mender_words(knowledge, *branch.mender) +
                 ", whose cautions are not on this card";
    return words;
}

std::string do_words(const Suggestion& step) {
    const bool asks = step.kind == StepKind::question || step.kind == StepKind::setting;
    return asks ? "\"" + step.how + "\"" : step.how;
}

std::string rarer_words(double rarer) {
    return rarer > 0.0005 ? "anything else (" + percent(rarer) + "): ask whoever has the program"
                          : "";
}

// ---- HTML

/// Text as it stands in a page: no letter of it is markup, and no control character is left.
std::string html_of(std::string_view text) {
    std::string out;
    for (const char c : escape_controls(text)) {
        switch (c) {
        case '&':
            out += "&amp;";
            break;
        case '<':
            out += "&lt;";
            break;
        case '>':
            out += "&gt;";
            break;
        case '"':
            out += "&quot;";
            break;
        case '\'':
            out += "&#39;";
            break;
        default:
            out += c;
        }
    }
    return out;
}

std::string tag(std::string_view name, std::string_view text, std::string_view attributes = "") {
    std::string out = "<";
    out += name;
    if (!attributes.empty()) {
        out += ' ';
        out += attributes;
    }
    out += '>';
    out += html_of(text);
    out += "</";
    out += name;
    out += ">\n";
    return out;
}

constexpr std::string_view plan_style =
    "@page{size:auto;margin:10mm}"
    "body{font:9.5pt/1.25 sans-serif;color:#000;background:#fff;max-width:62em;margin:1em auto;"
    "padding:0 1em}"
    "h1{font-size:14pt;margin:0 0 .2em}p{margin:.15em 0}"
    ".danger{border:2px solid #000;padding:.3em .6em;font-weight:bold}"
    ".cards{columns:2;column-gap:1em;margin-top:.6em}"
    "section{break-inside:avoid;border:1px solid #444;border-radius:4px;padding:.3em .6em;"
    "margin:0 0 .6em}"
    "h2{font-size:10.5pt;margin:0 0 .2em}"
    ".warning{font-weight:bold}table{border-collapse:collapse;width:100%}"
    "td{border-top:1px solid #999;padding:.1em .3em;vertical-align:top}"
    ".small{font-size:8pt}"
    "@media(max-width:50em){.cards{columns:1}}"
    "@media print{body{margin:0;max-width:none;padding:0}}";

std::string card_html(const Knowledge& knowledge, const PolicyStep& it, std::size_t place) {
    const Suggestion& step = it.step;
    std::string out = "<section id=\"step-" + std::to_string(place) + "\">\n";
    out += tag("h2", std::to_string(place) + ". " + std::string(deed(step.kind)) + ": " +
                         step.title + " (" + minutes_words(step.minutes) + ")");
    for (const CautionId id : cautions_in_order(step))
        out += tag("p", std::string(signal_word(knowledge[id])) + ": " + knowledge[id].text,
                   "class=\"warning\"");
    for (const Preparation& before : step.first)
        out += tag("p", (before.what == Prepares::reach ? "Reach: " : "First: ") + before.says);
    out += tag("p", do_words(step));
    if (!step.parts.empty())
        out += tag("p", "Parts: " + list_of(step.parts), "class=\"small\"");
    if (!it.branches.empty()) {
        out += "<table>\n";
        for (const PolicyBranch& branch : it.branches) {
            out += "<tr>";
            out += tag("td", branch.found + " (" + percent(branch.p) + ")");
            out += tag("td", first_words(knowledge, branch));
            const std::string to = goes_to(knowledge, branch);
            if (branch.stops.empty() && branch.then)
                out += "<td><a href=\"#step-" + std::to_string(*branch.then + 1) + "\">" +
                       html_of(to) + "</a></td>\n";
            else
                out += tag("td", to);
            out += "</tr>\n";
        }
        out += "</table>\n";
    }
    if (const std::string rest = rarer_words(it.rarer); !it.branches.empty() && !rest.empty())
        out += tag("p", rest, "class=\"small\"");
    return out + "</section>\n";
}

Json branches_json(const Knowledge& knowledge, const PolicyStep& it) {
    Json branches = Json::array();
    for (const PolicyBranch& branch : it.branches) {
        Json stops = Json::array();
        for (const StopId id : branch.stops)
            stops.push_back(json_text(knowledge[id].head.id));
        branches.push_back(
            {{"found", json_text(branch.found)},
             {"p", json_number(branch.p)},
             {"stops", stops},
             {"cured", branch.cured},
             {"first",
              branch.first.valid() ? json_text(knowledge[branch.first].head.id) : Json(nullptr)},
             {"first_p", json_number(branch.first_p)},
             {"then", branch.then ? Json(*branch.then + 1) : Json(nullptr)}});
    }
    return branches;
}

}  // namespace

void show_plan(Page& page, const Knowledge& knowledge, const PlanHead& head, const Policy& plan) {
    page.heading("PLAN, for " + head.who);
    page.text(head.day + ", knowledge " + head.version +
              (head.job.empty() ? "" : ", job " + head.job));
    page.text("Known: " + (head.known.empty() ? "nothing yet" : list_of(head.known)) + ".", 2, 0);
    page.text("Most likely: " + list_of(head.most_likely) + ".", 2, 0);
    page.signal("DANGER", dangers_first, 0);
    page.gap();
    show_stops(page, knowledge, plan.stops);
    if (plan.steps.empty())
        page.text("There is no step to plan from here: see what knockwell next says.");
    for (std::size_t i = 0; i < plan.steps.size(); ++i) {
        const PolicyStep& it = plan.steps[i];
        const Suggestion& step = it.step;
        page.row(std::to_string(i + 1) + ". " + std::string(deed(step.kind)) + ": " + step.title,
                 minutes_words(step.minutes), 5, 0);
        for (const CautionId id : cautions_in_order(step))
            page.signal(signal_word(knowledge[id]), knowledge[id].text, 3);
        for (const Preparation& before : step.first)
            page.text((before.what == Prepares::reach ? "Reach: " : "First: ") + before.says, 5, 3);
        page.text("Do: " + do_words(step), 5, 3);
        if (!step.parts.empty())
            page.text("Parts: " + list_of(step.parts), 5, 3);
        for (const PolicyBranch& branch : it.branches) {
            const std::string first = first_words(knowledge, branch);
            page.text("If " + branch.found + " (" + percent(branch.p) + "): " +
                          goes_to(knowledge, branch) + (first.empty() ? "" : "  [" + first + "]"),
                      7, 3);
        }
        if (const std::string rest = rarer_words(it.rarer); !it.branches.empty() && !rest.empty())
            page.text("If " + rest, 7, 3);
        page.gap();
    }
    page.text(at_the_end);
    page.text(it_can_be_wrong());
}

std::string plan_html(const Knowledge& knowledge, const PlanHead& head, const Policy& plan) {
    std::string out = "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n";
    out += tag("title", "Plan, " + head.day);
    out += "<style>" + std::string(plan_style) + "</style>\n</head>\n<body>\n";
    out += tag("h1", "Plan, for " + head.who);
    out += tag("p",
               head.day + ", knowledge " + head.version +
                   (head.job.empty() ? "" : ", job " + head.job),
               "class=\"small\"");
    out += tag("p", "Known: " + (head.known.empty() ? "nothing yet" : list_of(head.known)) + ".");
    out += tag("p", "Most likely: " + list_of(head.most_likely) + ".");
    out += tag("p", "DANGER: " + std::string(dangers_first), "class=\"danger\"");
    for (const StopNow& now : plan.stops) {
        const Stop& stop = knowledge[now.stop];
        for (const CautionId id : stop.cautions)
            out += tag("p", std::string(signal_word(knowledge[id])) + ": " + knowledge[id].text,
                       "class=\"warning\"");
        out +=
            tag("p", "DANGER: " + stop.head.title + ". Do now: " + stop.do_now, "class=\"danger\"");
    }
    if (plan.steps.empty())
        out += tag("p", "There is no step to plan from here: see what knockwell next says.");
    out += "<div class=\"cards\">\n";
    for (std::size_t i = 0; i < plan.steps.size(); ++i)
        out += card_html(knowledge, plan.steps[i], i + 1);
    out += "</div>\n";
    out += tag("p", at_the_end);
    out += tag("p", it_can_be_wrong(), "class=\"small\"");
    return out + "</body>\n</html>\n";
}

std::string plan_json(const Knowledge& knowledge, const PlanHead& head, const Policy& plan) {
    Json json;
    if (!head.job.empty())
        json["job"] = json_text(head.job);
    json["stops"] = stops_json(knowledge, plan.stops);
    json["situation"] = json_text(head.who);
    json["known"] = json_texts(head.known);
    Json steps = Json::array();
    for (std::size_t i = 0; i < plan.steps.size(); ++i) {
        const PolicyStep& it = plan.steps[i];
        Json first = Json::array();
        for (const Preparation& before : it.step.first)
            first.push_back(json_text(before.says));
        steps.push_back({{"number", i + 1},
                         {"kind", to_text(it.step.kind)},
                         {"id", json_text(it.step.id)},
                         {"title", json_text(it.step.title)},
                         {"reach", json_number(it.reach)},
                         {"depth", it.depth},
                         {"minutes", json_number(it.step.minutes)},
                         {"cautions", json_cautions(knowledge, cautions_in_order(it.step))},
                         {"first", first},
                         {"how", json_text(it.step.how)},
                         {"parts", json_texts(it.step.parts)},
                         {"outcomes", branches_json(knowledge, it)},
                         {"rarer", json_number(it.rarer)}});
    }
    json["steps"] = steps;
    json["limits"] = it_can_be_wrong();
    return printed(json);
}

}  // namespace knockwell
