#include "knowledge/left_over.hpp"

#include <algorithm>
#include <set>
#include <string>

namespace knockwell {
namespace {

/// What something names.
struct Mentioned {
    std::set<SettingId> settings;
    std::set<std::string> quantities;
    std::set<AccessId> accesses;
    std::set<CautionId> cautions;
    std::set<PartId> parts;

    void add(const Conditions& all) {
        for (const Condition& one : all)
            settings.insert(one.setting);
    }
    void add(const std::vector<CautionId>& all) { cautions.insert(all.begin(), all.end()); }
    void add(const Step& step) {
        add(step.only_if);
        add(step.cautions);
        accesses.insert(step.at);
    }
    void add(const Setting& setting) {
        add(setting.cautions);
        accesses.insert(setting.at);
        for (const auto& parent : setting.parents)
            if (const auto* of = std::get_if<SettingId>(&parent))
                settings.insert(*of);
    }
    void add(const Cause& cause) {
        add(cause.only_if);
        for (const RaisedBy& by : cause.raised_by)
            add(by.when);
    }
    void add(const Reading& reading) {
        for (const std::vector<Edge>* edges : {&reading.low, &reading.high})
            for (const Edge& edge : *edges)
                quantities.insert(edge.quantity);
        if (reading.worked)
            for (const TakenInput& taken : reading.worked->takes)
                quantities.insert(taken.quantity);
    }
};

Mentioned mentioned_in(const Knowledge& knowledge) {
    Mentioned named;
    for (const Setting& setting : knowledge.settings)
        named.add(setting);
    for (const Cause& cause : knowledge.causes)
        named.add(cause);
    for (const Sign& sign : knowledge.signs)
        if (sign.reading)
            named.add(*sign.reading);
    for (const Access& access : knowledge.accesses) {
        named.add(access.cautions);
        named.accesses.insert(access.via);
    }
    for (const Test& test : knowledge.tests)
        named.add(test.step);
    for (const Repair& repair : knowledge.repairs) {
        named.add(repair.step);
        for (const PartUse& use : repair.parts)
            named.parts.insert(use.part);
    }
    for (const Refer& refer : knowledge.refers)
        named.add(refer.only_if);
    for (const Stop& stop : knowledge.stops)
        named.add(stop.cautions);
    return named;
}

template <class Id>
std::vector<Id> others_than(const std::set<Id>& named, std::size_t all) {
    std::vector<Id> left;
    for (std::size_t i = 0; i < all; ++i)
        if (!named.contains(Id(i)))
            left.push_back(Id(i));
    return left;
}

}  // namespace

LeftOver left_over(const Knowledge& knowledge) {
    const Mentioned named = mentioned_in(knowledge);
    LeftOver left{others_than(named.settings, knowledge.settings.size()),
                  others_than(named.accesses, knowledge.accesses.size()),
                  others_than(named.cautions, knowledge.cautions.size()),
                  others_than(named.parts, knowledge.parts.size())};
    std::erase_if(left.settings, [&](SettingId id) {
        const Setting& setting = knowledge[id];
        return setting.table ||
               (!setting.gives.empty() &&
                std::any_of(setting.gives.front().begin(), setting.gives.front().end(),
                            [&](const auto& one) { return named.quantities.contains(one.first); }));
    });
    return left;
}

}  // namespace knockwell
