#include "cli/show_plan.hpp"

#include "base/words.hpp"
#include "cli/html.hpp"
#include "cli/json_values.hpp"
#include "cli/lettered.hpp"
#include "cli/show_text.hpp"
#include "cli/words.hpp"

#include <algorithm>
#include <cmath>
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

constexpr std::string_view marks =
    "ask: ask whoever has the program. *: its cautions are not on this card; it is not begun "
    "before they were read, by whoever does it, from the program.";

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
        return mender.own_licence
                   ? "work of your licence (" +
                         std::string(to_text(knowledge.refers[mender.index].to)) + ")"
                   : "hand over: " + knowledge.refers[mender.index].head.title;
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
    return "ask";
}

std::string first_words(const Knowledge& knowledge, const PolicyBranch& branch) {
    if (branch.cured || !branch.stops.empty() || !branch.first.valid())
        return {};
    std::string words = knowledge[branch.first].head.title + " " + percent(branch.first_p);
    if (branch.mender && !branch.then)
        words += "; likely mended by: " + mender_words(knowledge, *branch.mender) + " *";
    return words;
}

std::string do_words(const Suggestion& step) {
    const bool asks = step.kind == StepKind::question || step.kind == StepKind::setting;
    return asks ? "\"" + step.how + "\"" : step.how;
}

std::string rarer_words(double rarer) {
    return rarer > 0.0005 ? "anything else (" + percent(rarer) + "): ask" : "";
}

// ---- HTML

std::string tag(std::string_view name, std::string_view text, std::string_view attributes = "") {
    std::string out = "<";
    out += name;
    if (!attributes.empty()) {
        out += ' ';
        out += attributes;
    }
    out += '>';
    out += html_text(text);
    out += "</";
    out += name;
    out += ">\n";
    return out;
}

// On paper it is one page: the more there is to say, the smaller it is set.
constexpr std::string_view plan_style =
    "@page{size:auto;margin:8mm}"
    ":root{color-scheme:light dark;--ink:#111;--paper:#fff;--line:#555;--soft:#999;--link:#0645ad}"
    "@media(prefers-color-scheme:dark){:root{--ink:#eee;--paper:#16181b;--line:#999;--soft:#666;"
    "--link:#9cc3ff}}"
    "body{font:16px/1.35 sans-serif;color:var(--ink);background:var(--paper);max-width:64em;"
    "margin:1em auto;padding:0 1em;overflow-wrap:anywhere}"
    "a{color:var(--link)}h1{font-size:1.5em;margin:0 0 .2em}p{margin:.15em 0}"
    ".danger{border:.15em solid var(--ink);padding:.3em .6em;font-weight:bold}"
    ".cards{columns:2;column-gap:1em;margin-top:.6em}"
    "section{break-inside:avoid;border:1px solid var(--line);border-radius:4px;padding:.3em .6em;"
    "margin:0 0 .6em}"
    "h2{font-size:1.1em;margin:0 0 .2em}"
    ".warning{font-weight:bold}table{border-collapse:collapse;width:100%}"
    "td,tbody th{border-top:1px solid var(--soft);padding:.1em .3em;vertical-align:top;"
    "text-align:left;font-weight:normal}"
    ".unseen{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}"
    "td:last-child{white-space:nowrap;text-align:right}td.stop{white-space:normal;text-align:left}"
    ".small{font-size:.9em}"
    "@media screen and (max-width:50em){.cards{columns:1}}"
    "@media print{:root{color-scheme:light;--ink:#000;--paper:#fff;--line:#444;--soft:#999;"
    "--link:#000}body{margin:0;max-width:none;padding:0;line-height:1.16}"
    "h1{font-size:1.25em}section{margin:0 0 .4em;padding:.15em .5em}.cards{column-gap:.7em;"
    "margin-top:.3em}p{margin:.1em 0}}";

/// What has to be set: the letters outside of tags, and as much as a row costs besides.
std::size_t letters_of(std::string_view body) {
    constexpr std::size_t letters_of_a_row = 40;
    constexpr std::string_view row = "<tr>";
    std::size_t letters = 0;
    bool in_a_tag = false;
    for (std::size_t i = 0; i < body.size(); ++i) {
        if (body.substr(i, row.size()) == row)
            letters += letters_of_a_row;
        if (body[i] == '<')
            in_a_tag = true;
        letters += in_a_tag ? 0U : 1U;
        if (body[i] == '>')
            in_a_tag = false;
    }
    return letters;
}

/// Points, so that so many letters stand on one page of paper (measured in a browser on
/// letter, the smaller of the two sheets).
double print_size(std::size_t letters) {
    constexpr double largest = 8.5;
    constexpr double smallest = 5;
    constexpr double fits = 610;  // points x the root of the letters
    const double size = fits / std::sqrt(std::max(static_cast<double>(letters), 1.0));
    return std::clamp(std::floor(size * 4) / 4, smallest, largest);
}

/// "(45 minutes)", with the money where the shop says what an hour costs.
std::string takes_words(const Knowledge& knowledge, const Rates& rates, const Suggestion& step) {
    const std::string money = step_money(knowledge, rates, step);
    return minutes_words(step.minutes) + (money.empty() ? "" : ", " + money);
}

std::string card_html(const Knowledge& knowledge, const Rates& rates, const PolicyStep& it,
                      std::size_t place) {
    const Suggestion& step = it.step;
    std::string out = "<section id=\"step-" + std::to_string(place) + "\">\n";
    out += tag("h2", std::to_string(place) + ". " + std::string(deed(step.kind, step.own_licence)) +
                         ": " + step.title + " (" + takes_words(knowledge, rates, step) + ")");
    for (const CautionId id : cautions_in_order(step))
        out += tag("p", std::string(signal_word(knowledge[id])) + ": " + knowledge[id].text,
                   "class=\"warning\"");
    for (const Preparation& before : step.first)
        out += tag("p", (before.what == Prepares::reach ? "Reach: " : "First: ") + before.says);
    out += tag("p", do_words(step));
    const Lettered letters(knowledge, step.kind, step.id);
    if (const std::string legend = letters.legend(); !legend.empty() && !it.branches.empty())
        out += tag("p", legend, "class=\"small\"");
    if (!step.needs.empty())
        out += tag("p", "Needs: " + list_of(step.needs), "class=\"small\"");
    if (!step.parts.empty())
        out += tag("p", "Parts: " + list_of(step.parts), "class=\"small\"");
    if (!it.branches.empty()) {
        out += "<table>\n" +
               tag("caption", "Outcomes of step " + std::to_string(place), "class=\"unseen\"");
        out += "<thead class=\"unseen\"><tr><th scope=\"col\">Found</th><th scope=\"col\">Then "
               "first</th><th scope=\"col\">Go on</th></tr></thead>\n<tbody>\n";
        for (const PolicyBranch& branch : it.branches) {
            out += "<tr>";
            out += tag("th", letters.told(branch.found) + " (" + percent(branch.p) + ")",
                       "scope=\"row\"");
            out += tag("td", first_words(knowledge, branch));
            const std::string to = goes_to(knowledge, branch);
            if (branch.stops.empty() && branch.then)
                out += "<td><a href=\"#step-" + std::to_string(*branch.then + 1) + "\">" +
                       html_text(to) + "</a></td>\n";
            else
                out += tag("td", to, branch.stops.empty() && !branch.cured ? "" : "class=\"stop\"");
            out += "</tr>\n";
        }
        out += "</tbody></table>\n";
    }
    if (const std::string rest = rarer_words(it.rarer); !it.branches.empty() && !rest.empty())
        out += tag("p", rest, "class=\"small\"");
    return out + "</section>\n";
}

std::string body_html(const Knowledge& knowledge, const PlanHead& head, const Policy& plan) {
    std::string out;
    out += tag("h1", "Plan, for " + head.who);
    out += tag("p",
               head.day + ", knowledge " + head.version +
                   (head.job.empty() ? "" : ", job " + head.job),
               "class=\"small\"");
    out += tag("p", "Known: " + (head.known.empty() ? "nothing yet" : list_of(head.known)) + ".");
    out += tag("p", "Most likely: " + list_of(head.most_likely) + ".");
    for (const std::string& warning : head.warnings)
        out += tag("p", "WARNING: " + warning, "class=\"warning\"");
    out += tag("p", "DANGER: " + std::string(dangers_first), "class=\"danger\"");
    for (const StopNow& now : plan.stops) {
        const Stop& stop = knowledge[now.stop];
        out += tag("p", "DANGER: " + stop.head.title, "class=\"danger\"");
        out += tag("p", stands_words(knowledge, now));
        for (const CautionId id : stop.cautions)
            out += tag("p", std::string(signal_word(knowledge[id])) + ": " + knowledge[id].text,
                       "class=\"warning\"");
        out += tag("p", "Do now: " + stop.do_now, "class=\"danger\"");
        if (const std::string lifted = lifted_words(knowledge, stop); !lifted.empty())
            out += tag("p", "It is lifted by " + lifted);
        if (const std::string told = in_vain_words(knowledge, now); !told.empty())
            out += tag("p", told);
    }
    if (plan.steps.empty())
        out += tag("p", "There is no step to plan from here: see what knockwell next says.");
    out += "<div class=\"cards\">\n";
    for (std::size_t i = 0; i < plan.steps.size(); ++i)
        out += card_html(knowledge, head.rates, plan.steps[i], i + 1);
    out += "</div>\n";
    if (!plan.steps.empty())
        out += tag("p", marks, "class=\"small\"");
    out += tag("p", at_the_end);
    out += tag("p", it_can_be_wrong(), "class=\"small\"");
    return out;
}

Json branches_json(const Knowledge& knowledge, const PolicyStep& it) {
    Json branches = Json::array();
    const Lettered letters(knowledge, it.step.kind, it.step.id);
    for (const PolicyBranch& branch : it.branches) {
        Json stops = Json::array();
        for (const StopId id : branch.stops) {
            const Stop& stop = knowledge[id];
            stops.push_back({{"id", json_text(stop.head.id)},
                             {"signal", "DANGER"},
                             {"title", json_text(stop.head.title)},
                             {"cautions", json_cautions(knowledge, stop.cautions)},
                             {"do_now", json_text(stop.do_now)}});
        }
        branches.push_back(
            {{"found", json_text(letters.spelled(branch.found))},
             {"p", json_number(branch.p)},
             {"stops", stops},
             {"cured", branch.cured},
             {"first",
              branch.first.valid() ? json_text(knowledge[branch.first].head.id) : Json(nullptr)},
             {"first_p", json_number(branch.first_p)},
             {"then", branch.then ? Json(*branch.then + 1) : Json(nullptr)},
             {"mender",
              branch.mender ? json_text(mender_words(knowledge, *branch.mender)) : Json(nullptr)}});
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
    for (const std::string& warning : head.warnings)
        page.signal("WARNING", warning, 0);
    page.signal("DANGER", dangers_first, 0);
    page.gap();
    show_stops(page, knowledge, plan.stops);
    if (plan.steps.empty())
        page.text("There is no step to plan from here: see what knockwell next says.");
    for (std::size_t i = 0; i < plan.steps.size(); ++i) {
        const PolicyStep& it = plan.steps[i];
        const Suggestion& step = it.step;
        page.row(std::to_string(i + 1) + ". " + std::string(deed(step.kind, step.own_licence)) +
                     ": " + step.title,
                 minutes_words(step.minutes), 5, 0);
        for (const CautionId id : cautions_in_order(step))
            page.signal(signal_word(knowledge[id]), knowledge[id].text, 3);
        for (const Preparation& before : step.first)
            page.text((before.what == Prepares::reach ? "Reach: " : "First: ") + before.says, 5, 3);
        page.text("Do: " + do_words(step), 5, 3);
        if (!step.needs.empty())
            page.text("Needs: " + list_of(step.needs), 5, 3);
        if (!step.parts.empty())
            page.text("Parts: " + list_of(step.parts), 5, 3);
        if (const std::string money = step_money(knowledge, head.rates, step); !money.empty())
            page.text("Money: " + money, 5, 3);
        const Lettered letters(knowledge, step.kind, step.id);
        if (const std::string legend = letters.legend(); !legend.empty() && !it.branches.empty())
            page.text(legend, 5, 3);
        for (const PolicyBranch& branch : it.branches) {
            const std::string first = first_words(knowledge, branch);
            page.text("If " + letters.told(branch.found) + " (" + percent(branch.p) + "): " +
                          goes_to(knowledge, branch) + (first.empty() ? "" : "  [" + first + "]"),
                      7, 3);
        }
        if (const std::string rest = rarer_words(it.rarer); !it.branches.empty() && !rest.empty())
            page.text("If " + rest, 7, 3);
        page.gap();
    }
    if (!plan.steps.empty())
        page.text(marks);
    page.text(at_the_end);
    page.text(it_can_be_wrong());
}

std::string plan_html(const Knowledge& knowledge, const PlanHead& head, const Policy& plan) {
    std::string out = "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n";
    out += tag("title", "Plan, " + head.day);
    const std::string body = body_html(knowledge, head, plan);
    out += "<style>" + std::string(plan_style) +
           "@media print{body{font-size:" + number(print_size(letters_of(body))) +
           "pt}}</style>\n</head>\n<body>\n";
    return out + body + "</body>\n</html>\n";
}

std::string plan_json(const Knowledge& knowledge, const PlanHead& head, const Policy& plan) {
    Json json;
    if (!head.job.empty())
        json["job"] = json_text(head.job);
    if (!head.warnings.empty())
        json["warnings"] = json_texts(head.warnings);
    json["day"] = json_text(head.day);
    json["knowledge"] = json_text(head.version);
    json["dangers_first"] = json_text(dangers_first);
    json["stops"] = stops_json(knowledge, plan.stops);
    json["situation"] = json_text(head.who);
    json["known"] = json_texts(head.known);
    json["most_likely"] = json_texts(head.most_likely);
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
                         {"needs", json_texts(it.step.needs)},
                         {"parts", json_texts(it.step.parts)},
                         {"outcomes", branches_json(knowledge, it)},
                         {"rarer", json_number(it.rarer)}});
        if (it.step.kind == StepKind::refer)
            steps.back()["own_licence"] = it.step.own_licence;
        if (const std::string money = step_money(knowledge, head.rates, it.step); !money.empty())
            steps.back()["money"] = json_text(money);
    }
    json["steps"] = steps;
    json["marks"] = json_text(marks);
    json["at_the_end"] = json_text(at_the_end);
    json["limits"] = it_can_be_wrong();
    return printed(json);
}

}  // namespace knockwell
