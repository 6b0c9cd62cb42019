#include "trials/safety_eye.hpp"

#include <toml++/toml.h>

#include <algorithm>
#include <fstream>
#include <sstream>

namespace knockwell::trials {
namespace {

std::string text_at(const toml::table& table, std::string_view key, std::string_view none = "") {
    return table[key].value_or(std::string(none));
}

std::vector<std::string> list_at(const toml::node* node) {
    std::vector<std::string> all;
    if (node == nullptr)
        return all;
    if (const auto one = node->value<std::string>())
        all.push_back(*one);
    if (const toml::array* array = node->as_array())
        for (const toml::node& item : *array)
            if (const auto word = item.value<std::string>())
                all.push_back(*word);
    return all;
}

std::set<std::string> set_at(const toml::table& table, std::string_view key) {
    const auto list = list_at(table.get(key));
    return {list.begin(), list.end()};
}

const toml::table& table_at(const toml::table& table, std::string_view key) {
    static const toml::table none;
    const toml::table* inner = table[key].as_table();
    return inner == nullptr ? none : *inner;
}

SafetyTexts::Place place_of(const toml::table& it) {
    return {.title = text_at(it, "title"),
            .via = text_at(it, "via"),
            .skill = text_at(it, "skill", "owner"),
            .dead = text_at(it, "power") == "off",
            .zero = text_at(it, "pressure") == "zero",
            .put_back = text_at(it, "put_back"),
            .hazards = set_at(it, "hazards"),
            .cautions = list_at(it.get("cautions"))};
}

SafetyTexts::Deed deed_of(const toml::table& it) {
    const toml::table& needs = table_at(it, "needs");
    return {.at = text_at(it, "at"),
            .power = text_at(needs, "power"),
            .pressure = text_at(needs, "pressure"),
            .pump = text_at(needs, "pump"),
            .skill = text_at(needs, "skill", "qualified"),
            .drained = text_at(needs, "tank") == "drained",
            .set_dead = text_at(it, "set_dead"),
            .hazards = set_at(it, "hazards"),
            .licences = set_at(needs, "licence"),
            .cautions = list_at(it.get("cautions"))};
}

// What is asked is asked of an owner, wherever it says no other.
SafetyTexts::Deed question_of(const toml::table& it) {
    SafetyTexts::Deed deed;
    deed.at = text_at(it, "at");
    deed.skill = text_at(it, "skill", "owner");
    deed.cautions = list_at(it.get("cautions"));
    return deed;
}

SafetyTexts::Danger danger_of(const toml::table& it) {
    SafetyTexts::Danger danger;
    for (const auto& [sign, values] : table_at(it, "when")) {
        const auto list = list_at(&values);
        danger.when[std::string(sign.str())] = {list.begin(), list.end()};
    }
    danger.blocks_all = !it["blocks"].is_array();
    danger.blocks = set_at(it, "blocks");
    danger.cleared_by = set_at(it, "cleared_by");
    danger.mended_by = set_at(it, "mended_by");
    return danger;
}

int rank(std::string_view skill) { return skill == "owner" ? 0 : skill == "helper" ? 1 : 2; }

bool says(const ToldFirst& told, std::string_view piece) {
    return told.says.find(piece) != std::string::npos;
}

bool meet(const std::set<std::string>& a, const std::set<std::string>& b) {
    return std::any_of(a.begin(), a.end(), [&](const std::string& it) { return b.contains(it); });
}

}  // namespace

SafetyTexts SafetyTexts::of_folder(const std::filesystem::path& folder) {
    SafetyTexts texts;
    for (const auto& file : std::filesystem::directory_iterator(folder)) {
        if (file.path().extension() != ".toml")
            continue;
        std::ostringstream text;
        text << std::ifstream(file.path()).rdbuf();
        texts.add(text.str(), file.path().string());
    }
    return texts;
}

SafetyTexts SafetyTexts::of_text(std::string_view toml) {
    SafetyTexts texts;
    texts.add(toml, "a text");
    return texts;
}

void SafetyTexts::add(std::string_view toml, std::string_view name) {
    const toml::table root = toml::parse(toml, name);
    const auto each = [&](std::string_view kind, auto&& take) {
        for (const auto& [id, node] : table_at(root, kind))
            if (const toml::table* it = node.as_table())
                take(std::string(id.str()), *it);
    };
    each("access", [&](const std::string& id, const auto& it) { places[id] = place_of(it); });
    each("caution",
         [&](const std::string& id, const auto& it) { covers[id] = set_at(it, "covers"); });
    each("stop", [&](const std::string& id, const auto& it) { dangers[id] = danger_of(it); });
    for (const char* kind : {"test", "repair"})
        each(kind, [&](const std::string& id, const auto& it) {
            deeds[std::string(kind) + ":" + id] = deed_of(it);
        });
    each("setting",
         [&](const std::string& id, const auto& it) { deeds["setting:" + id] = question_of(it); });
    each("symptom",
         [&](const std::string& id, const auto& it) { deeds["question:" + id] = question_of(it); });
    each("refer",
         [&](const std::string& id, const auto&) { deeds["refer:" + id].skill = "owner"; });
}

void SafetyEye::must(bool holds, std::string_view rule) {
    if (!holds)
        broken_.emplace_back(rule);
}

void SafetyEye::found(const std::string& sign, const std::string& value) {
    found_[sign].insert(value);
    for (const auto& [id, danger] : texts_->dangers) {
        const auto watched = danger.when.find(sign);
        if (watched == danger.when.end() || !watched->second.contains(value))
            continue;
        mended_[id][sign].erase(value);
        for (const std::string& clears : danger.cleared_by)
            cleared_.erase(clears);
    }
}

std::vector<std::string> SafetyEye::way(const std::string& at) const {
    std::vector<std::string> all;
    for (std::string id = at; !id.empty(); id = texts_->places.at(id).via)
        all.push_back(id);
    return all;
}

bool SafetyEye::is_left_uncovered(const std::string& id, const std::string& at) const {
    const std::vector<std::string> all = way(at);
    const SafetyTexts::Place& place = texts_->places.at(id);
    return ((place.dead && !place.zero) || !place.put_back.empty()) &&
           std::find(all.begin(), all.end(), id) == all.end();
}

bool SafetyEye::uncovered(const std::string& at) const {
    return std::any_of(open_.begin(), open_.end(),
                       [&](const std::string& id) { return is_left_uncovered(id, at); });
}

void SafetyEye::reach(const std::string& id, const Offer& offer) {
    const SafetyTexts::Place& place = texts_->places.at(id);
    must(!place.dead || off_, "a place that is opened dead is opened live: " + id);
    must(!place.zero || zero_, "a place that is opened without pressure is opened under it: " + id);
    must(rank(place.skill) <= rank(hands_.skill), "the way asks for more skill: " + id);
    for (const std::string& caution : place.cautions)
        must(std::find(offer.cautions.begin(), offer.cautions.end(), caution) !=
                 offer.cautions.end(),
             "a caution of the way is missing: " + caution);
    open_.insert(id);
}

void SafetyEye::prepare(const Offer& offer, const ToldFirst& told) {
    for (const auto& [id, place] : texts_->places)
        if (place.title == told.says)
            return reach(id, offer);
    for (const auto& [id, place] : texts_->places)
        if (!place.put_back.empty() && place.put_back == told.says) {
            must(off_, "what was taken apart is put together live: " + id);
            must(open_.erase(id) == 1, "what nobody opened is put back: " + id);
            for (const std::string& caution : place.cautions)
                must(std::find(told.cautions.begin(), told.cautions.end(), caution) !=
                         told.cautions.end(),
                     "a caution of what is put back is missing: " + caution);
            return;
        }
    const auto deed = texts_->deeds.find(offer.kind + ":" + offer.id);
    const std::string at = deed == texts_->deeds.end() ? "" : deed->second.at;
    if (deed != texts_->deeds.end() && !deed->second.set_dead.empty() &&
        told.says == deed->second.set_dead) {
        must(off_, "what is to be set dead is set with the power on");
        set_dead_ = true;
    } else if (says(told, "prove every leg dead")) {
        must(hands_.on_site && hands_.skill == "qualified", "proving dead is qualified work");
        off_ = true;
    } else if (says(told, "stopped running")) {
        must(off_, "a drain is opened under a pump that can start");
        zero_ = true;
        drained_ = drained_ || says(told, "Drain the tank");
    } else if (says(told, "restore the power")) {
        must(!zero_ || says(told, "Close the drain") || says(told, "close the drain"),
             "power comes back on open water");
        for (const std::string& id : open_)
            must(texts_->places.at(id).put_back.empty() || !is_left_uncovered(id, at),
                 "power comes back on what was taken apart: " + id);
        must(!uncovered(at) || says(told, "Put the covers back on"),
             "power comes back on an open cover");
        off_ = zero_ = drained_ = false;
        std::erase_if(open_, [&](const std::string& id) {
            return texts_->places.at(id).zero || is_left_uncovered(id, at);
        });
    } else if (says(told, "Close the drain")) {
        zero_ = drained_ = false;
    } else if (says(told, "build pressure")) {
        must(!off_ && !zero_ && !drained_, "pressure is to build with the power off or water open");
    } else if (says(told, "at its breaker")) {
        breaker_ = true;
    } else {
        must(says(told, "Find the customer"), "a preparation that nobody knows: " + told.says);
    }
}

void SafetyEye::hold_against_stops(const Offer& offer, const std::set<std::string>& hazards) {
    for (const auto& entry : texts_->dangers) {
        const std::string& id = entry.first;
        const auto& danger = entry.second;
        const bool there =
            std::all_of(danger.when.begin(), danger.when.end(), [&](const auto& when) {
                const auto found = found_.find(when.first);
                if (found == found_.end())
                    return false;
                const auto& gone = mended_[id][when.first];
                return std::any_of(
                    when.second.begin(), when.second.end(), [&](const std::string& value) {
                        return found->second.contains(value) && !gone.contains(value);
                    });
            });
        if (!there || meet(danger.cleared_by, cleared_))
            continue;
        must(!danger.blocks_all && !meet(danger.blocks, hazards),
             "a step while a stop holds: " + id + ", " + offer.kind + ":" + offer.id);
    }
}

void SafetyEye::hold_against_hands(const SafetyTexts::Deed& deed,
                                   const std::set<std::string>& hazards) {
    const std::string skill = hands_.on_site ? hands_.skill : "owner";
    must(rank(deed.skill) <= rank(skill), "a step above the skill of who is there");
    for (const std::string& id : way(deed.at))
        must(rank(texts_->places.at(id).skill) <= rank(skill), "a place above the skill: " + id);
    must(skill != "owner" || hazards.empty(), "an owner meets a hazard");
    must(skill != "owner" || (deed.pressure != "zero" && !deed.drained), "an owner opens a drain");
    const std::set<std::string> licences(hands_.licences.begin(), hands_.licences.end());
    must(deed.licences.empty() || (hands_.on_site && meet(deed.licences, licences)),
         "work that wants a licence nobody there has");
}

void SafetyEye::hold_against_state(const Offer& offer, const SafetyTexts::Deed& deed,
                                   const std::set<std::string>& hazards) {
    const bool live = hazards.contains("live");
    const bool energized = deed.power == "on" || deed.pump == "running" || deed.pump == "called";
    must(deed.at.empty() || open_.contains(deed.at), "a step at a place that nobody has reached");
    must(deed.power != "off" || off_ || (breaker_ && !live), "wants the power off, and it is on");
    must(deed.pressure != "zero" || (zero_ && off_), "wants pressure zero, and it is not proved");
    must(!deed.drained || (drained_ && off_), "wants the tank drained, and it is not");
    must(deed.set_dead.empty() || set_dead_, "what is to be set dead was not");
    must(!energized || (!off_ && !zero_ && !drained_), "wants the power on, and it is off");
    must(deed.pressure != "up" || (!zero_ && !drained_), "wants pressure, and there is none");
    must(!live || off_ || energized, "what can be done dead is offered live");
    must(!(live && energized) || (hands_.on_site && hands_.skill == "qualified"),
         "somebody not qualified is near live parts");
    must(!(live && energized) || offer.kind != "repair", "a repair at live parts");
}

void SafetyEye::hold_against_cautions(const Offer& offer, const SafetyTexts::Deed& deed,
                                      const std::set<std::string>& hazards) {
    const auto told = [&](const std::string& caution) {
        return std::find(offer.cautions.begin(), offer.cautions.end(), caution) !=
               offer.cautions.end();
    };
    for (const std::string& caution : deed.cautions)
        must(told(caution), "a caution of the step is missing: " + caution);
    for (const std::string& hazard : hazards)
        must(std::any_of(
                 texts_->covers.begin(), texts_->covers.end(),
                 [&](const auto& it) { return it.second.contains(hazard) && told(it.first); }),
             "a hazard without its caution: " + hazard);
}

std::vector<std::string> SafetyEye::prepared(const ToldFirst& told) {
    broken_.clear();
    prepare({}, told);
    return broken_;
}

std::vector<std::string> SafetyEye::watch(const Offer& offer) {
    broken_.clear();
    breaker_ = set_dead_ = false;
    const auto known = texts_->deeds.find(offer.kind + ":" + offer.id);
    if (known == texts_->deeds.end())
        return {"a step that the texts do not have: " + offer.kind + ":" + offer.id};
    const SafetyTexts::Deed& deed = known->second;
    std::set<std::string> hazards = deed.hazards;
    for (const std::string& id : way(deed.at))
        hazards.insert(texts_->places.at(id).hazards.begin(), texts_->places.at(id).hazards.end());
    hold_against_stops(offer, hazards);
    hold_against_hands(deed, hazards);
    for (const ToldFirst& told : offer.first)
        prepare(offer, told);
    hold_against_state(offer, deed, hazards);
    hold_against_cautions(offer, deed, hazards);
    if (offer.kind == "repair") {
        must(repaired_.insert(offer.id).second, "a repair is made a second time");
        for (const auto& [id, danger] : texts_->dangers)
            if (danger.mended_by.contains(offer.id))
                for (const auto& [sign, values] : danger.when)
                    mended_[id][sign] = values;
    }
    return broken_;
}

}  // namespace knockwell::trials
