#include "beliefs/cases.hpp"

#include "beliefs/tape.hpp"

#include <algorithm>
#include <set>

namespace knockwell {

Cases::Cases(const Knowledge& knowledge, const Evidence& evidence,
             const std::vector<std::uint32_t>& on)
    : knowledge_(knowledge), evidence_(evidence) {
    for (const std::uint32_t s : on) {
        if (!knowledge.settings[s].table && evidence.settings.contains(SettingId(s)))
            continue;
        unknown_.push_back(s);
        states_.push_back(knowledge.settings[s].states.size());
    }
    strides_.resize(unknown_.size());
    for (std::size_t i = unknown_.size(); i-- > 0; count_ *= states_[i])
        strides_[i] = count_;
}

std::size_t Cases::state(std::uint32_t setting) const {
    const auto found = std::find(unknown_.begin(), unknown_.end(), setting);
    if (found != unknown_.end())
        return state_in(chosen_, static_cast<std::size_t>(found - unknown_.begin()));
    return evidence_.settings.at(SettingId(setting));
}

bool Cases::hold(const Conditions& conditions) const {
    return std::all_of(conditions.begin(), conditions.end(), [&](const Condition& condition) {
        return std::binary_search(condition.states.begin(), condition.states.end(),
                                  state(condition.setting.value));
    });
}

double Cases::quantity(const std::string& name) const {
    const auto typed = evidence_.quantities.find(name);
    if (typed != evidence_.quantities.end())
        return typed->second;
    const SettingId giver = *giver_of(knowledge_, name);
    return knowledge_[giver].gives[state(giver.value)].at(name);
}

QuantityOf Cases::quantities() const {
    return [this](const std::string& name) { return quantity(name); };
}

std::vector<std::uint32_t> givers_of(const Knowledge& knowledge, const Evidence& evidence,
                                     const Sign& sign) {
    std::set<std::uint32_t> settings;
    if (!sign.reading)
        return {};
    for (const std::vector<Edge>* edges : {&sign.reading->low, &sign.reading->high})
        for (const Edge& edge : *edges)
            if (!edge.quantity.empty() && !evidence.quantities.contains(edge.quantity))
                settings.insert(giver_of(knowledge, edge.quantity)->value);
    return {settings.begin(), settings.end()};
}

template <class P>
P base_chance(const CauseNode& node, const Cases& cases, std::span<const P> strengths) {
    if (!cases.hold(node.only_if))
        return 0;
    const P& base = strengths[node.base];
    P times = 1;
    for (const RaiseNode& raise : node.raised_by)
        if (cases.hold(raise.when))
            times *= strengths[raise.times];
    return times * base / (1 - base + times * base);
}
template double base_chance(const CauseNode&, const Cases&, std::span<const double>);
template Pack base_chance(const CauseNode&, const Cases&, std::span<const Pack>);
template Taped base_chance(const CauseNode&, const Cases&, std::span<const Taped>);

}  // namespace knockwell
