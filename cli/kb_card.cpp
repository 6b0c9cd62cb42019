#include "cli/kb_card.hpp"

#include "advice/candidate.hpp"
#include "base/words.hpp"
#include "beliefs/worked.hpp"
#include "cli/setting_uses.hpp"
#include "cli/words.hpp"

#include <algorithm>
#include <utility>

namespace knockwell {
namespace {

/// Adds facts to a card, leaving out what is empty.
class Writer {
public:
    Writer(const Knowledge& knowledge, Card& into) : knowledge_(&knowledge), into_(&into) {}

    void fact(std::string label, std::vector<std::string> lines) {
        if (!lines.empty())
            into_->facts.push_back({std::move(label), std::move(lines)});
    }
    void fact(std::string label, const std::string& line) {
        if (!line.empty())
            fact(std::move(label), std::vector<std::string>{line});
    }
    template <class Id>
    [[nodiscard]] std::string name(Id id) const {
        if constexpr (std::is_same_v<Id, TestId> || std::is_same_v<Id, RepairId>) {
            return (*knowledge_)[id].step.head.id;
        } else {
            return (*knowledge_)[id].head.id;
        }
    }

    void head(const Head& head);
    void conditions(const std::string& label, const Conditions& all);
    void signs(const std::string& label, const std::vector<SignId>& all);
    void moot(const Sign& sign);
    void strengths(const std::string& label, const std::vector<CauseStrength>& all);
    [[nodiscard]] std::vector<std::string> found(const std::vector<SignAmong>& all) const;
    void cautions(const std::vector<CautionId>& all);
    [[nodiscard]] std::vector<std::string> titles_to(AccessId at) const;
    void step(const Step& step);
    void channel(const std::optional<Channel>& channel);

    void write(const Setting& setting, SettingId id);
    void write(const Cause& cause, CauseId id, std::optional<double> share_of_calls);
    void write(const Sign& sign, SignId id);
    void write(const Access& access);
    void write(const Caution& caution);
    void write(const Test& test);
    void write(const Repair& repair);
    void write(const Refer& refer);
    void write(const Part& part);
    void write(const Stop& stop);
    void write(const Practice& practice);

private:
    const Knowledge* knowledge_;
    Card* into_;
};

std::string text_of(const Strength& strength) { return to_text(strength.count); }

template <class Ids, class Name>
std::vector<std::string> names(const Ids& ids, const Name& name) {
    std::vector<std::string> all;
    for (const auto id : ids)
        all.push_back(name(id));
    return all;
}

void Writer::head(const Head& head) {
    fact("note", head.note);
    if (head.basis != Basis::none)
        fact("basis",
             std::string(to_text(head.basis)) + (head.source.empty() ? "" : ": " + head.source));
}

void Writer::conditions(const std::string& label, const Conditions& all) {
    fact(label, conditions_words(*knowledge_, all));
}

void Writer::signs(const std::string& label, const std::vector<SignId>& all) {
    fact(label, names(all, [&](SignId id) { return name(id); }));
}

/// "weak-pressure, milky-water" where it is present; one line for each set of values that settles.
void Writer::moot(const Sign& sign) {
    std::vector<std::vector<std::size_t>> ways;
    for (const Moot& it : sign.leaves_moot)
        if (std::find(ways.begin(), ways.end(), it.by) == ways.end())
            ways.push_back(it.by);
    std::vector<std::string> lines;
    for (const std::vector<std::size_t>& by : ways) {
        const auto values = names(by, [&](std::size_t value) { return sign.value_name(value); });
        std::vector<std::string> settled;
        for (const Moot& it : sign.leaves_moot)
            if (it.by == by)
                settled.push_back(name(it.sign));
        lines.push_back(list_of(values, "or") + ": " + list_of(settled));
    }
    fact("leaves moot", lines);
}

void Writer::strengths(const std::string& label, const std::vector<CauseStrength>& all) {
    std::vector<std::string> lines;
    for (const CauseStrength& one : all)
        lines.push_back(name(one.cause) + ": " + text_of(one.strength));
    fact(label, lines);
}

std::vector<std::string> Writer::found(const std::vector<SignAmong>& all) const {
    std::vector<std::string> lines;
    for (const SignAmong& one : all) {
        std::vector<std::string> values;
        for (const std::size_t value : one.values)
            values.push_back((*knowledge_)[one.sign].value_name(value));
        lines.push_back(name(one.sign) + " = " + list_of(values, "or"));
    }
    return lines;
}

void Writer::cautions(const std::vector<CautionId>& all) {
    for (const CautionId id : all) {
        const Caution& caution = (*knowledge_)[id];
        into_->cautions.push_back(std::string(signal_word(caution)) + ": " + caution.text);
    }
}

std::vector<std::string> Writer::titles_to(AccessId at) const {
    return names(way_to(*knowledge_, at),
                 [&](AccessId id) { return (*knowledge_)[id].head.title; });
}

void Writer::step(const Step& step) {
    cautions(cautions_of(*knowledge_, step));
    fact("do", how_by_itself(step));
    fact("takes", minutes_words(step.minutes));
    fact("at", titles_to(step.at));
    std::vector<std::string> needs{std::string(to_text(step.needs.skill))};
    if (step.needs.power != Power::any)
        needs.emplace_back(step.needs.power == Power::on ? "power on" : "power off");
    if (step.needs.pressure != Pressure::any)
        needs.emplace_back(step.needs.pressure == Pressure::zero ? "pressure zero" : "pressure up");
    if (step.needs.tank_drained)
        needs.emplace_back("tank drained");
    if (!step.needs.pump.empty())
        needs.push_back("pump " + step.needs.pump);
    for (const Licence licence : step.needs.licence)
        needs.push_back("licence: " + std::string(to_text(licence)));
    fact("needs", list_of(needs));
    fact("tools", list_of(step.tools));
    std::vector<std::string> hazards;
    for (const Hazard hazard : hazards_of(*knowledge_, step))
        hazards.emplace_back(to_text(hazard));
    fact("hazards", list_of(hazards));
    conditions("only if", step.only_if);
    signs("measured first", step.measured_first);
}

void Writer::channel(const std::optional<Channel>& channel) {
    if (!channel)
        return;
    fact("misses", to_text(channel->misses));
    fact("false alarm", to_text(channel->false_alarm));
}

void Writer::write(const Setting& setting, SettingId id) {
    cautions(candidate(*knowledge_, id).cautions);
    head(setting.head);
    fact("ask", setting.ask);
    if (!setting.table) {
        fact("asked of",
             std::string(to_text(setting.skill)) + ", " + minutes_words(setting.minutes));
        fact("at", titles_to(setting.at));
    }
    std::vector<std::string> choices;
    for (std::size_t i = 0; i < setting.states.size(); ++i) {
        std::string line = setting.states[i];
        if (i < setting.prior.size())
            line += ": " + text_of(setting.prior[i]);
        if (i < setting.starts.size())
            line += ", from " + number(setting.starts[i]) + " " + setting.unit;
        if (i < setting.gives.size())
            for (const auto& [quantity, value] : setting.gives[i])
                line += ", " + quantity + " " + number(value) + " " + setting.unit;
        if (i < setting.also.size() && !setting.also[i].empty())
            line += ", also said as " + list_of(setting.also[i]);
        choices.push_back(line);
    }
    fact(setting.table ? "states" : "choices", choices);
    std::vector<std::string> given;
    for (const auto& parent : setting.parents)
        given.push_back(std::visit([&](auto of) { return name(of); }, parent));
    fact("given", list_of(given));
    for (Fact& use : uses_of(*knowledge_, id))
        fact(std::move(use.label), std::move(use.lines));
}

void Writer::write(const Cause& cause, CauseId id, std::optional<double> share_of_calls) {
    head(cause.head);
    fact("part", cause.part);
    fact("present", text_of(cause.present) + (cause.give_or_take ? ", give or take a factor of " +
                                                                       number(*cause.give_or_take)
                                                                 : ""));
    fact("share of calls", share_of_calls ? percent(*share_of_calls) : "cannot be worked out");
    conditions("only if", cause.only_if);
    std::vector<std::string> raised;
    for (const RaisedBy& by : cause.raised_by)
        raised.push_back(conditions_words(*knowledge_, by.when) + ": odds times " +
                         number(by.times.value));
    fact("raised by", raised);
    strengths("brought on by", cause.brought_on_by);
    std::vector<std::string> shows;
    for (const Shows& show : cause.shows)
        shows.push_back(name(show.sign) + ": " +
                        levels_words((*knowledge_)[show.sign], show.low, show.high));
    fact("shows in", shows);
    std::vector<std::string> masks;
    for (const SignStrength& mask : cause.masks)
        masks.push_back(name(mask.sign) + ": " + text_of(mask.strength));
    fact("hides", masks);
    if (cause.comes_and_goes)
        fact("acts during a visit", text_of(*cause.comes_and_goes));
    std::vector<std::string> fixed;
    for (const Repair& repair : knowledge_->repairs)
        for (const CauseStrength& fixes : repair.fixes)
            if (fixes.cause == id)
                fixed.push_back(repair.step.head.id + ": " + text_of(fixes.strength));
    fact("fixed by", fixed);
    if (cause.refer.valid())
        fact("handed over", name(cause.refer));
}

void Writer::write(const Sign& sign, SignId id) {
    head(sign.head);
    fact("ask", sign.ask);
    fact("also", list_of(sign.also));
    std::vector<std::string> values;
    for (std::size_t value = 0; value < sign.value_count(); ++value)
        values.push_back(sign.value_name(value));
    fact("values", list_of(values, "or"));
    if (sign.reading)
        fact("reading", "in " + sign.reading->unit + ", within " + number(sign.reading->within));
    if (sign.reading && sign.reading->worked)
        fact("worked out", "by calc " + sign.reading->worked->by + " from " +
                               inputs_to_type(*sign.reading->worked));
    std::vector<std::string> during;
    for (const auto& [what, state] : sign.during)
        during.push_back(what + " " + state);
    fact("during", list_of(during));
    const auto named = [&](const std::vector<std::size_t>& of) {
        std::vector<std::string> names;
        for (const std::size_t value : of)
            names.push_back(sign.value_name(value));
        return list_of(names, "or");
    };
    fact("the pump stays off where it is", named(sign.pump_stays_off));
    fact("the pump has no power where it is", named(sign.no_power));
    moot(sign);
    fact("seen anyway", levels_words(sign, sign.seen_low, sign.seen_high));
    channel(sign.phone_report);
    std::vector<std::string> shown;
    for (const Cause& cause : knowledge_->causes)
        for (const Shows& show : cause.shows)
            if (show.sign == id)
                shown.push_back(cause.head.id + ": " + levels_words(sign, show.low, show.high));
    fact("shown by", shown);
    std::vector<std::string> revealed;
    for (const Test& test : knowledge_->tests)
        for (const Findable& what : test.reveals)
            if (what == Findable{id})
                revealed.push_back(test.step.head.id);
    fact("revealed by", list_of(revealed));
}

void Writer::write(const Access& access) {
    head(access.head);
    for (const CautionId id : access.cautions)
        into_->cautions.push_back(std::string(signal_word((*knowledge_)[id])) + ": " +
                                  (*knowledge_)[id].text);
    fact("takes", minutes_words(access.minutes));
    if (access.via.valid())
        fact("via", name(access.via));
    if (access.power_off)
        fact("opened", "only with the power off, locked and proved dead");
    if (access.pressure_zero)
        fact("opened", "only with the pressure proved zero");
    if (!access.put_back.empty())
        fact("before power or water comes back",
             access.put_back +
                 (access.put_back_minutes > 0
                      ? " (" + minutes_words(access.put_back_minutes) + " of the whole)"
                      : ""));
    fact("skill", std::string(to_text(access.skill)));
}

void Writer::write(const Caution& caution) {
    head(caution.head);
    fact("says", caution.text);
    std::vector<std::string> covers;
    for (const Hazard hazard : caution.covers)
        covers.emplace_back(to_text(hazard));
    fact("covers", list_of(covers));
}

void Writer::write(const Test& test) {
    step(test.step);
    head(test.step.head);
    fact("reveals", names(test.reveals, [&](const Findable& what) {
             return std::visit([&](auto id) { return name(id); }, what);
         }));
    channel(test.channel);
    if (test.within)
        fact("within", number(*test.within));
}

void Writer::write(const Repair& repair) {
    step(repair.step);
    head(repair.step.head);
    strengths("fixes", repair.fixes);
    if (repair.resets)
        fact("resets", "what tripped; first comes what tripped it");
    if (repair.power_after)
        fact("after it", "the power is back on");
    fact("tried in vain", found(repair.tried_when));
    std::vector<std::string> parts;
    for (const PartUse& use : repair.parts)
        parts.push_back(number(use.pieces) + " x " + (*knowledge_)[use.part].head.title);
    fact("parts", parts);
    fact("check again", names(repair.recheck, [&](TestId id) { return name(id); }));
    strengths("may bring", repair.may_bring);
}

void Writer::write(const Refer& refer) {
    head(refer.head);
    fact("to", std::string(to_text(refer.to)));
    fact("why", refer.why);
    fact("takes", names(refer.takes, [&](CauseId id) { return name(id); }));
    if (refer.in_vain > 0)
        fact("in vain", number(refer.in_vain) + " minutes more");
    conditions("only if", refer.only_if);
    signs("measured first", refer.measured_first);
}

void Writer::write(const Part& part) {
    head(part.head);
    if (part.price)
        fact("price", number(*part.price));
}

void Writer::write(const Stop& stop) {
    for (const CautionId id : stop.cautions)
        into_->cautions.push_back(std::string(signal_word((*knowledge_)[id])) + ": " +
                                  (*knowledge_)[id].text);
    fact("do now", stop.do_now);
    head(stop.head);
    fact("when", found(stop.when));
    if (stop.likely)
        fact("also from", text_of(*stop.likely));
    std::vector<std::string> blocked;
    for (const Hazard hazard : stop.blocks)
        blocked.emplace_back(to_text(hazard));
    fact("holds back", stop.blocks_all ? "every step" : list_of(blocked));
    if (stop.by_drinking)
        fact("harms", "who drinks the water; told behind what harms at once");
    if (stop.pump_off)
        fact("meanwhile", "no power at the pump: nothing runs it, calls for it or resets it");
    fact("lifted by", names(stop.cleared_by, [&](SignId id) { return name(id); }));
    fact("mended by", names(stop.mended_by, [&](RepairId id) { return name(id); }));
}

void Writer::write(const Practice& practice) {
    head(practice.head);
    const auto pairs = [&](const std::string& label, const std::vector<WrittenFinding>& all) {
        std::vector<std::string> lines;
        for (const WrittenFinding& one : all)
            lines.push_back(one.what + " = " + one.value);
        fact(label, lines);
    };
    pairs("set", practice.set);
    pairs("says", practice.says);
    pairs("found", practice.found);
    for (const PracticeStage& stage : practice.after) {
        if (stage.did.valid())
            fact("did", name(stage.did));
        pairs("then says", stage.says);
        pairs("then found", stage.found);
    }
    if (practice.first.valid())
        fact("first", name(practice.first));
    fact("both", names(practice.both, [&](CauseId id) { return name(id); }));
    if (practice.tempting.valid())
        fact("tempting", name(practice.tempting));
    if (practice.stop.valid())
        fact("stop", name(practice.stop));
    fact("next", list_of(practice.next, "or"));
}

template <class Thing>
const Head& head_of(const Thing& thing) {
    if constexpr (requires { thing.step; })
        return thing.step.head;
    else
        return thing.head;
}

/// Calls `take(kind, thing, place)` for every definition.
template <class Take>
void each(const Knowledge& knowledge, const Take& take) {
    const auto go = [&](const std::string& kind, const auto& things) {
        for (std::size_t i = 0; i < things.size(); ++i)
            take(kind, things[i], i);
    };
    for (std::size_t i = 0; i < knowledge.settings.size(); ++i)
        take(std::string(knowledge.settings[i].table ? "table" : "setting"), knowledge.settings[i],
             i);
    go("cause", knowledge.causes);
    for (std::size_t i = 0; i < knowledge.signs.size(); ++i)
        take(std::string(knowledge.signs[i].symptom ? "symptom" : "observation"),
             knowledge.signs[i], i);
    go("access", knowledge.accesses);
    go("caution", knowledge.cautions);
    go("test", knowledge.tests);
    go("repair", knowledge.repairs);
    go("refer", knowledge.refers);
    go("part", knowledge.parts);
    go("stop", knowledge.stops);
    go("practice", knowledge.practice);
}

}  // namespace

std::vector<Listed> all_listed(const Knowledge& knowledge) {
    std::vector<Listed> all;
    each(knowledge, [&](const std::string& kind, const auto& thing, std::size_t place) {
        all.push_back({kind, head_of(thing).id, head_of(thing).title, place});
    });
    return all;
}

Card card(const Knowledge& knowledge, const std::vector<Source>& sources, const Listed& listed,
          const std::optional<std::vector<double>>& calls) {
    Card made{listed.kind, listed.id, listed.title, "", {}, {}};
    each(knowledge, [&](const std::string& kind, const auto& thing, std::size_t place) {
        if (kind != listed.kind || place != listed.place)
            return;
        const Span& span = head_of(thing).span;
        if (span.somewhere() && span.source < sources.size())
            made.place = sources[span.source].name + ":" + std::to_string(span.begin.line);
        Writer writer(knowledge, made);
        using Thing = std::decay_t<decltype(thing)>;
        if constexpr (std::is_same_v<Thing, Cause>)
            writer.write(thing, CauseId{place},
                         calls ? std::optional((*calls)[place]) : std::nullopt);
        else if constexpr (std::is_same_v<Thing, Sign>)
            writer.write(thing, SignId{place});
        else if constexpr (std::is_same_v<Thing, Setting>)
            writer.write(thing, SettingId{place});
        else
            writer.write(thing);
    });
    return made;
}

}  // namespace knockwell
