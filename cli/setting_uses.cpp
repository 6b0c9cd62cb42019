#include "cli/setting_uses.hpp"

#include "base/words.hpp"
#include "cli/words.hpp"

#include <algorithm>
#include <utility>

namespace knockwell {
namespace {

/// "submersible: cracked-drop-pipe and worn-pump": who stands behind the same words, together.
class ByWords {
public:
    void add(const std::string& words, const std::string& who) {
        const auto it = std::find_if(all_.begin(), all_.end(),
                                     [&](const auto& one) { return one.first == words; });
        if (it == all_.end())
            all_.push_back({words, {who}});
        else if (it->second.back() != who)
            it->second.push_back(who);
    }
    [[nodiscard]] Fact as_fact(const std::string& label) const {
        Fact fact{label, {}};
        for (const auto& [words, who] : all_)
            fact.lines.push_back(words + ": " + list_of(who));
        return fact;
    }

private:
    std::vector<std::pair<std::string, std::vector<std::string>>> all_;
};

const Condition* of_setting(const Conditions& all, SettingId setting) {
    const auto it = std::find_if(all.begin(), all.end(),
                                 [&](const Condition& one) { return one.setting == setting; });
    return it == all.end() ? nullptr : &*it;
}

Fact raised(const Knowledge& knowledge, SettingId setting) {
    ByWords all;
    for (const Cause& cause : knowledge.causes)
        for (const RaisedBy& by : cause.raised_by)
            if (of_setting(by.when, setting) != nullptr)
                all.add(conditions_words(knowledge, by.when) + ", odds times " +
                            number(by.times.value),
                        cause.head.id);
    return all.as_fact("raises");
}

/// The tables that ask for it in their rows.
Fact tables_given(const Knowledge& knowledge, SettingId setting) {
    std::vector<std::string> tables;
    for (const Setting& it : knowledge.settings)
        for (const auto& parent : it.parents)
            if (parent == std::variant<SettingId, CauseId>(setting))
                tables.push_back(it.head.id);
    if (tables.empty())
        return {};
    return {"tables given it", {list_of(tables)}};
}

/// What is of the kind `label` only where the setting is so.
template <class Things, class Head, class When>
Fact only_where(const Knowledge& knowledge, SettingId setting, const std::string& label,
                const Things& things, Head head, When when) {
    ByWords by;
    for (const auto& thing : things)
        if (const Condition* one = of_setting(when(thing), setting))
            by.add(conditions_words(knowledge, {*one}), head(thing).id);
    return by.as_fact(label);
}

/// Its quantities, and the readings that they divide or help to work out.
Fact quantities_in(const Knowledge& knowledge, const Setting& setting) {
    ByWords by;
    const auto is_ours = [&](const std::string& quantity) {
        return !setting.gives.empty() && setting.gives.front().contains(quantity);
    };
    for (const Sign& sign : knowledge.signs) {
        if (!sign.reading)
            continue;
        for (const NamedEdge& edge : rising_edges(sign))
            if (is_ours(edge.edge->quantity))
                by.add(edge.edge->quantity, sign.head.id);
        if (sign.reading->worked)
            for (const TakenInput& taken : sign.reading->worked->takes)
                if (is_ours(taken.quantity))
                    by.add(taken.quantity, sign.head.id);
    }
    return by.as_fact("numbers in");
}

}  // namespace

std::vector<Fact> uses_of(const Knowledge& knowledge, SettingId setting) {
    const auto head = [](const auto& thing) -> const Head& { return thing.head; };
    const auto step_head = [](const auto& thing) -> const Head& { return thing.step.head; };
    const auto when = [](const auto& thing) -> const Conditions& { return thing.only_if; };
    const auto step_when = [](const auto& thing) -> const Conditions& {
        return thing.step.only_if;
    };
    return {
        raised(knowledge, setting),
        only_where(knowledge, setting, "causes only if", knowledge.causes, head, when),
        only_where(knowledge, setting, "tests only if", knowledge.tests, step_head, step_when),
        only_where(knowledge, setting, "repairs only if", knowledge.repairs, step_head, step_when),
        only_where(knowledge, setting, "refers only if", knowledge.refers, head, when),
        tables_given(knowledge, setting),
        quantities_in(knowledge, knowledge[setting])};
}

}  // namespace knockwell
