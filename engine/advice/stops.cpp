#include "advice/advice.hpp"
#include "advice/mass.hpp"

#include <algorithm>
#include <tuple>

namespace knockwell {
namespace {

// A reading this far into danger stops: one chance in twenty is too much (judgement).
constexpr double enough_of_a_finding = 0.05;

// The first stage whose findings count: the one after the last repair that takes the danger away.
// Any other repair leaves a swollen tank swollen.
std::size_t first_stage(const Evidence& evidence, const Stop& stop) {
    std::size_t stage = evidence.repairs.size();
    while (stage > 0 && std::find(stop.mended_by.begin(), stop.mended_by.end(),
                                  evidence.repairs[stage - 1]) == stop.mended_by.end())
        --stage;
    return stage;
}

bool says(const Knowledge& knowledge, const Evidence& evidence, const Finding& finding,
          const SignAmong& when) {
    if (finding.what != Findable(when.sign))
        return false;
    const std::vector<double> mass = masses(knowledge, evidence, finding);
    double there = 0;
    for (const std::size_t value : when.values)
        there += mass[value];
    return there >= enough_of_a_finding;
}

// The findings that show it, each of `when` by one at least; nothing where one of them is not
// shown. Any one finding is enough, a customer's word too: findings that disagree do not cancel a
// danger.
std::vector<Finding> shown_by(const Knowledge& knowledge, const Evidence& evidence,
                              const Stop& stop) {
    const std::size_t from_stage = first_stage(evidence, stop);
    std::vector<Finding> shown;
    for (const SignAmong& when : stop.when) {
        const std::size_t before = shown.size();
        for (const Finding& it : evidence.findings)
            if (it.stage >= from_stage && says(knowledge, evidence, it, when))
                shown.push_back(it);
        if (shown.size() == before)
            return {};
    }
    return shown;
}

// What was found present makes it likely.
std::vector<Finding> made_likely_by(const Knowledge& knowledge, const Evidence& evidence) {
    std::vector<Finding> present;
    for (const Finding& it : evidence.findings)
        if (found_present(knowledge, evidence, it))
            present.push_back(it);
    return present;
}

// The least chance of any one condition: no smaller than the chance of all together, so it errs
// towards stopping. Nothing where one of them cannot be worked out and the others alone would not
// rule the stop out.
std::optional<double> chance_of_all(const Model& model, const Evidence& evidence,
                                    const Stop& stop) {
    const double enough = stop.likely->count.mean();
    double least = 1;
    bool all_told = true;
    for (const SignAmong& when : stop.when) {
        const auto p = chance_of(model, evidence, when.sign, when.values);
        all_told = all_told && p;
        least = std::min(least, p.value_or(1));
    }
    if (!all_told && least >= enough)
        return std::nullopt;
    return least;
}

bool is_stated(const Sign& sign, const Situation& situation) {
    return (sign.stated_by_power_off && situation.power_off) ||
           (sign.stated_by_pressure_zero && situation.pressure_zero);
}

std::vector<SignId> told_in_vain(const Knowledge& knowledge, const Evidence& evidence,
                                 const Stop& stop, const Situation& situation) {
    constexpr std::size_t yes = 1;
    std::vector<SignId> told;
    for (const SignId sign : stop.cleared_by)
        if (said_now(knowledge, evidence, sign, {yes}) != nullptr ||
            is_stated(knowledge[sign], situation))
            told.push_back(sign);
    return told;
}

// Any one of them: each by itself shows that the danger is over. Who has locked out and proved dead
// need not be asked whether the pump is off.
bool is_lifted(const Knowledge& knowledge, const Stop& stop, const Situation& situation) {
    return std::any_of(stop.cleared_by.begin(), stop.cleared_by.end(), [&](SignId id) {
        return situation.stops_cleared_by.contains(id) ||
               (situation.vouched_state.contains(id) && is_stated(knowledge[id], situation));
    });
}

// The stop as it was found and holds; nothing where it was not, or is lifted.
std::optional<StopNow> found_now(const Knowledge& knowledge, const Evidence& evidence, StopId id,
                                 const Situation& situation) {
    const Stop& stop = knowledge[id];
    if (is_lifted(knowledge, stop, situation))
        return std::nullopt;
    std::vector<Finding> shown = shown_by(knowledge, evidence, stop);
    if (shown.empty() && !situation.stops_from_before.contains(id))
        return std::nullopt;
    return StopNow{id,
                   1,
                   true,
                   std::move(shown),
                   enough_of_a_finding,
                   told_in_vain(knowledge, evidence, stop, situation)};
}

// What kills where one stands is read before what harms who drinks the water.
void put_in_order(const Knowledge& knowledge, std::vector<StopNow>& stops) {
    const auto place = [&](const StopNow& it) {
        const Urgency soon = urgency(knowledge[it.stop]);
        return std::tuple(soon == Urgency::drinking, -it.p.value_or(1), soon);
    };
    std::stable_sort(stops.begin(), stops.end(),
                     [&](const StopNow& a, const StopNow& b) { return place(a) < place(b); });
}

}  // namespace

Urgency urgency(const Stop& stop) {
    if (stop.blocks_all)
        return Urgency::everything;
    return stop.by_drinking ? Urgency::drinking : Urgency::there;
}

std::set<StopId> stops_found(const Knowledge& knowledge, const Evidence& evidence) {
    std::set<StopId> found;
    for (std::size_t i = 0; i < knowledge.stops.size(); ++i)
        if (!shown_by(knowledge, evidence, knowledge.stops[i]).empty())
            found.insert(StopId(i));
    return found;
}

bool lifts_a_stop(const Knowledge& knowledge, SignId sign) {
    return std::any_of(knowledge.stops.begin(), knowledge.stops.end(), [&](const Stop& stop) {
        return std::find(stop.cleared_by.begin(), stop.cleared_by.end(), sign) !=
               stop.cleared_by.end();
    });
}

void mend(const Knowledge& knowledge, RepairId repair, std::set<StopId>& carried) {
    std::erase_if(carried, [&](StopId id) {
        const auto& mends = knowledge[id].mended_by;
        return std::find(mends.begin(), mends.end(), repair) != mends.end();
    });
}

std::vector<StopNow> stops_found_now(const Knowledge& knowledge, const Evidence& evidence,
                                     const Situation& situation) {
    std::vector<StopNow> stops;
    for (std::size_t i = 0; i < knowledge.stops.size(); ++i)
        if (auto found = found_now(knowledge, evidence, StopId(i), situation))
            stops.push_back(std::move(*found));
    put_in_order(knowledge, stops);
    return stops;
}

std::vector<StopNow> stops_now(const Model& model, const Evidence& evidence,
                               const Situation& situation) {
    const Knowledge& knowledge = *model.knowledge;
    std::vector<StopNow> stops;
    for (std::size_t i = 0; i < knowledge.stops.size(); ++i) {
        const Stop& stop = knowledge.stops[i];
        if (auto found = found_now(knowledge, evidence, StopId(i), situation)) {
            stops.push_back(std::move(*found));
        } else if (stop.likely && !is_lifted(knowledge, stop, situation)) {
            // What cannot be worked out is no reason to think it safe.
            const std::optional<double> p = chance_of_all(model, evidence, stop);
            const double enough = stop.likely->count.mean();
            if (!p || *p >= enough)
                stops.push_back({StopId(i), p, false, made_likely_by(knowledge, evidence), enough,
                                 told_in_vain(knowledge, evidence, stop, situation)});
        }
    }
    put_in_order(knowledge, stops);
    return stops;
}

}  // namespace knockwell
