#include "knowledge/model.hpp"

#include <algorithm>
#include <cassert>
#include <set>

namespace knockwell {
namespace {

/// The place of the definition named `id`; `head` finds the Head of one.
template <class IdOf, class Things, class HeadOf>
IdOf named(const Things& things, std::string_view id, HeadOf head) {
    for (std::size_t i = 0; i < things.size(); ++i) {
        if (head(things[i]).id == id)
            return IdOf(i);
    }
    return IdOf();
}

constexpr auto own_head = [](const auto& thing) -> const Head& { return thing.head; };
constexpr auto step_head = [](const auto& thing) -> const Head& { return thing.step.head; };

template <class Things, class Thing>
void append_once(Things& things, const Thing& thing) {
    if (std::find(things.begin(), things.end(), thing) == things.end())
        things.push_back(thing);
}

}  // namespace

SettingId setting_named(const Knowledge& knowledge, std::string_view id) {
    return named<SettingId>(knowledge.settings, id, own_head);
}

CauseId cause_named(const Knowledge& knowledge, std::string_view id) {
    return named<CauseId>(knowledge.causes, id, own_head);
}

SignId sign_named(const Knowledge& knowledge, std::string_view id) {
    return named<SignId>(knowledge.signs, id, own_head);
}

TestId test_named(const Knowledge& knowledge, std::string_view id) {
    return named<TestId>(knowledge.tests, id, step_head);
}

RepairId repair_named(const Knowledge& knowledge, std::string_view id) {
    return named<RepairId>(knowledge.repairs, id, step_head);
}

ReferId refer_named(const Knowledge& knowledge, std::string_view id) {
    return named<ReferId>(knowledge.refers, id, own_head);
}

AccessId access_named(const Knowledge& knowledge, std::string_view id) {
    return named<AccessId>(knowledge.accesses, id, own_head);
}

std::string_view to_text(Skill skill) {
    switch (skill) {
    case Skill::owner:
        return "owner";
    case Skill::helper:
        return "helper";
    case Skill::qualified:
        return "qualified";
    }
    assert(false && "a skill without a word");
    return {};
}

std::string_view to_text(Licence licence) {
    switch (licence) {
    case Licence::electrician:
        return "electrician";
    case Licence::pump_installer:
        return "pump-installer";
    case Licence::well_contractor:
        return "well-contractor";
    case Licence::laboratory:
        return "laboratory";
    }
    assert(false && "a licence without a word");
    return {};
}

std::string_view to_text(Hazard hazard) {
    switch (hazard) {
    case Hazard::live:
        return "live";
    case Hazard::pressure:
        return "pressure";
    case Hazard::below_grade:
        return "below-grade";
    case Hazard::lifting:
        return "lifting";
    case Hazard::chemical:
        return "chemical";
    }
    assert(false && "a hazard without a word");
    return {};
}

std::string_view to_text(Basis basis) {
    switch (basis) {
    case Basis::none:
        return "none";
    case Basis::practice:
        return "practice";
    case Basis::published:
        return "published";
    case Basis::judgement:
        return "judgement";
    case Basis::ledger:
        return "ledger";
    }
    assert(false && "a basis without a word");
    return {};
}

std::vector<NamedEdge> rising_edges(const Sign& sign) {
    std::vector<NamedEdge> edges;
    for (std::size_t level = sign.low.size(); level-- > 0;)
        edges.push_back({&sign.reading->low[level], sign.low[level]});
    for (std::size_t level = 0; level < sign.high.size(); ++level)
        edges.push_back({&sign.reading->high[level], sign.high[level]});
    return edges;
}

std::vector<Hazard> hazards_of(const Knowledge& knowledge, const Step& step) {
    std::vector<Hazard> hazards = step.hazards;
    for (const AccessId access : way_to(knowledge, step.at)) {
        const std::vector<Hazard>& there = knowledge[access].hazards;
        hazards.insert(hazards.end(), there.begin(), there.end());
    }
    std::sort(hazards.begin(), hazards.end());
    hazards.erase(std::unique(hazards.begin(), hazards.end()), hazards.end());
    return hazards;
}

std::vector<CautionId> cautions_of(const Knowledge& knowledge, const Step& step) {
    std::vector<CautionId> cautions;
    for (const AccessId access : way_to(knowledge, step.at)) {
        for (const CautionId caution : knowledge[access].cautions)
            append_once(cautions, caution);
    }
    for (const CautionId caution : step.cautions)
        append_once(cautions, caution);
    return cautions;
}

std::vector<std::string> all_tools(const Knowledge& knowledge) {
    std::set<std::string> tools;
    for (const Test& test : knowledge.tests)
        tools.insert(test.step.tools.begin(), test.step.tools.end());
    for (const Repair& repair : knowledge.repairs)
        tools.insert(repair.step.tools.begin(), repair.step.tools.end());
    return {tools.begin(), tools.end()};
}

std::vector<AccessId> way_to(const Knowledge& knowledge, AccessId at) {
    std::vector<AccessId> way;
    for (AccessId access = at; access.valid(); access = knowledge[access].via) {
        assert(way.size() < knowledge.accesses.size() && "the reader refuses cycles of via");
        way.push_back(access);
    }
    std::reverse(way.begin(), way.end());
    return way;
}

}  // namespace knockwell
