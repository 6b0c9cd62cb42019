#include "cli/show_truck.hpp"

#include "base/words.hpp"
#include "cli/arrival.hpp"
#include "cli/json_values.hpp"
#include "cli/show_text.hpp"
#include "cli/words.hpp"

#include <algorithm>
#include <vector>

namespace knockwell {
namespace {

constexpr std::size_t most_dangers_named = 4;
constexpr double minutes_of_an_hour = 60;

std::string_view roll_word(Roll roll) {
    switch (roll) {
    case Roll::danger_first:
        return "danger-first";
    case Roll::ask_first:
        return "ask-first";
    case Roll::owner_first:
        return "owner-first";
    case Roll::hand_over:
        return "hand-over";
    case Roll::roll:
        return "roll";
    }
    return "";
}

std::string dangers_words(const Knowledge& knowledge, const std::vector<SignId>& dangers) {
    std::vector<std::string> names;
    for (std::size_t i = 0; i < std::min(dangers.size(), most_dangers_named); ++i)
        names.push_back(knowledge[dangers[i]].head.title);
    if (dangers.size() > most_dangers_named)
        names.push_back(std::to_string(dangers.size() - most_dangers_named) + " more");
    return list_of(names);
}

void show_question(Page& page, const Knowledge& knowledge, const Suggestion& step) {
    page.heading("NEXT FOR THE CUSTOMER, WHO MAY DO NO MORE THAN THIS");
    page.row(std::string(deed(step.kind)) + ": " + step.title + " (" + step.id + ")",
             minutes_words(step.minutes), 4, 2);
    for (const CautionId id : step.cautions)
        page.signal(signal_word(knowledge[id]), knowledge[id].text, 4);
    const bool asks = step.kind == StepKind::question || step.kind == StepKind::setting;
    page.text(asks ? "\"" + step.how + "\"" : "Do: " + step.how, 6, 4);
    page.gap();
}

bool any(const Rates& rates) { return rates.hour || !rates.price.empty(); }

/// What all of it costs, and what of it is used in the mean.
std::string parts_money(const Knowledge& knowledge, const Rates& rates, const TruckList& list) {
    double all = 0;
    double used = 0;
    std::size_t without = 0;
    for (const PartWanted& wanted : list.parts) {
        const auto price = price_of(knowledge, rates, wanted.part);
        all += wanted.pieces * price.value_or(0);
        used += wanted.used * wanted.pieces * price.value_or(0);
        without += price ? 0U : 1U;
    }
    std::string words = "Together these parts cost " + money_words(rates, all) + "; in the mean " +
                        money_words(rates, used) + " of it is used";
    if (without > 0)
        words += "; " + std::to_string(without) + " have no price";
    if (const auto hour = money_of(rates, minutes_of_an_hour))
        words += ". An hour of work costs " + money_words(rates, *hour);
    return words + ".";
}

/// Who ends how much of it: where most is handed over, parts are not what to think of first.
void show_who_mends(Page& page, const Knowledge& knowledge, const TruckList& list) {
    std::string words = "Of the trouble a repair takes " + percent(list.repaired);
    if (list.handed_over > 0)
        words += ", somebody with a licence " + percent(list.handed_over);
    if (list.own_licence > 0)
        words += ", " + percent(list.own_licence) + " is other work of the licence that drives";
    if (list.nobodys > 0)
        words += ", and " + percent(list.nobodys) + " is nothing that is listed";
    page.text(words + ".", 2, 2);
    if (list.handed_over <= list.repaired + list.own_licence)
        return;
    page.text("Most of it is for somebody with a licence: send them, with what they bring, or send "
              "whoever drives to measure only.",
              2, 2);
    constexpr double worth_a_row = 0.01;
    for (const ReferShare& one : list.refers)
        if (one.share >= worth_a_row)
            page.row(knowledge[one.refer].head.title, percent(one.share), 6, 4);
}

void show_list(Page& page, const Knowledge& knowledge, const TruckList& list, const Rates& rates) {
    page.heading("ON THE TRUCK");
    if (list.repairs.empty()) {
        page.text("Nothing is reported yet that a part would mend.", 2, 2);
        page.gap();
        return;
    }
    show_who_mends(page, knowledge, list);
    page.text("These parts cover " + percent(list.covered) +
                  " of what would be repaired. The figure is the chance that the part is used.",
              2, 2);
    for (const PartWanted& wanted : list.parts) {
        const Part& part = knowledge.parts[wanted.part.index()];
        const std::string pieces = wanted.pieces == 1 ? "" : number(wanted.pieces) + " x ";
        page.row(pieces + part.head.title, percent(wanted.used), 6, 4);
        if (const std::string match = match_words(part); !match.empty())
            page.text("Must match: " + match, 8, 6);
        if (const auto price = price_of(knowledge, rates, wanted.part); price && any(rates))
            page.text("Price: " + money_words(rates, *price) +
                          (wanted.pieces == 1 ? "" : " a piece"),
                      8, 6);
    }
    if (any(rates))
        page.text(parts_money(knowledge, rates, list), 6, 4);
    if (!list.tools.empty())
        page.text("Tools of these repairs: " + list_of(list.tools), 6, 4);
    page.gap();
}

Json truck_json(const Knowledge& knowledge, const TruckList& list, const Rates& rates) {
    Json refers = Json::array();
    for (const ReferShare& one : list.refers)
        refers.push_back({{"id", json_text(knowledge[one.refer].head.id)},
                          {"title", json_text(knowledge[one.refer].head.title)},
                          {"share", json_number(one.share)}});
    Json parts = Json::array();
    for (const PartWanted& wanted : list.parts) {
        const Part& part = knowledge.parts[wanted.part.index()];
        Json by = Json::array();
        for (const RepairId repair : wanted.by)
            by.push_back(json_text(knowledge[repair].step.head.id));
        parts.push_back({{"id", json_text(part.head.id)},
                         {"title", json_text(part.head.title)},
                         {"pieces", json_number(wanted.pieces)},
                         {"used", json_number(wanted.used)},
                         {"must_match", json_text(match_words(part))},
                         {"price", json_number(price_of(knowledge, rates, wanted.part))},
                         {"repairs", by}});
    }
    return {{"parts", parts},
            {"tools", json_texts(list.tools)},
            {"covered", json_number(list.covered)},
            {"repaired", json_number(list.repaired)},
            {"handed_over", json_number(list.handed_over)},
            {"refers", refers},
            {"own_licence", json_number(list.own_licence)},
            {"nothing_listed", json_number(list.nobodys)}};
}

}  // namespace

std::string match_words(const Part& part) { return part.head.note; }

std::string roll_words(const Knowledge& knowledge, const PhoneStage& stage) {
    switch (stage.roll) {
    case Roll::danger_first:
        return "Not yet: first what stands under DANGER. A truck comes when that is done, or when "
               "whoever was called asks for it.";
    case Roll::ask_first:
        if (!stage.dangers.empty())
            return "Not yet: first ask for danger: " + dangers_words(knowledge, stage.dangers) +
                   ".";
        return "Not yet: first ask what the trouble is.";
    case Roll::owner_first:
        return "Not yet: what the owner may do ends it with " + percent(stage.owner_ends) +
               "; roll when it did not.";
    case Roll::hand_over:
        return "Call whoever has the licence first: " + percent(stage.handed_over) +
               " of it is work for them.";
    case Roll::roll:
        return "Roll now: what the owner may do ends it with no more than " +
               percent(stage.owner_ends) +
               ". Ask on while the truck is made ready, and first whether somebody depends on the "
               "water: a baby, a sick person, animals.";
    }
    return "";
}

void show_phone_stage(Page& page, const Knowledge& knowledge, const PhoneStage& stage,
                      const Rates& rates) {
    show_stops(page, knowledge, stage.stops);
    page.heading("ROLL THE TRUCK?");
    page.text(roll_words(knowledge, stage), 2, 2);
    page.gap();
    if (stage.next)
        show_question(page, knowledge, *stage.next);
    show_list(page, knowledge, stage.truck, rates);
    if (!stage.look_tools.empty()) {
        page.text("Tools to look with first: " + list_of(stage.look_tools), 4, 2);
        page.gap();
    }
    show_arrival(page);
}

std::string phone_stage_json(const Knowledge& knowledge, const std::string& job,
                             const std::vector<std::string>& warnings, const PhoneStage& stage,
                             const Rates& rates) {
    Json json;
    if (!job.empty())
        json["job"] = json_text(job);
    if (!warnings.empty())
        json["warnings"] = json_texts(warnings);
    json["stops"] = stops_json(knowledge, stage.stops);
    json["roll"] = roll_word(stage.roll);
    json["why"] = json_text(roll_words(knowledge, stage));
    Json dangers = Json::array();
    for (const SignId sign : stage.dangers)
        dangers.push_back(json_text(knowledge[sign].head.id));
    json["ask_first"] = dangers;
    json["owner_ends"] = json_number(stage.owner_ends);
    if (stage.next)
        json["next"] = {{"kind", to_text(stage.next->kind)},
                        {"id", json_text(stage.next->id)},
                        {"cautions", json_cautions(knowledge, stage.next->cautions)},
                        {"how", json_text(stage.next->how)}};
    else
        json["next"] = nullptr;
    json["truck"] = truck_json(knowledge, stage.truck, rates);
    json["tools_to_look"] = json_texts(stage.look_tools);
    json["arrival"] = arrival_json();
    json["limits"] = it_can_be_wrong();
    return printed(json);
}

}  // namespace knockwell
