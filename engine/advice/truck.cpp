#include "advice/truck.hpp"

#include "advice/handover.hpp"
#include "advice/mass.hpp"
#include "advice/rules.hpp"
#include "advice/worth.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <vector>

namespace knockwell {
namespace {

constexpr double digits_lost = 1e-12;

bool was_made(const Evidence& evidence, RepairId repair) {
    return std::find(evidence.repairs.begin(), evidence.repairs.end(), repair) !=
           evidence.repairs.end();
}

// [refer] what it takes: the same for every cause that is asked for.
std::vector<Handover> handovers(const Knowledge& knowledge, const Evidence& evidence,
                                const Situation& situation) {
    std::vector<Handover> all;
    for (std::size_t i = 0; i < knowledge.refers.size(); ++i)
        all.push_back(handover(knowledge, evidence, situation, ReferId(i)));
    return all;
}

std::optional<MenderOf> mender_among(const Knowledge& knowledge, const Evidence& evidence,
                                     const std::vector<Handover>& refers, CauseId cause) {
    std::optional<MenderOf> best;
    double best_rate = 0;
    const auto offer = [&](StepKind kind, std::size_t index, double chance, double minutes,
                           bool own = false) {
        const double rate = chance / std::max(minutes, 1.0);
        if (rate > best_rate) {
            best = MenderOf{kind, index, chance, own};
            best_rate = rate;
        }
    };
    for (std::size_t i = 0; i < knowledge.repairs.size(); ++i) {
        const Repair& repair = knowledge.repairs[i];
        if (was_made(evidence, RepairId(i)) || cannot_apply(repair.step.only_if, evidence))
            continue;
        for (const CauseStrength& fix : repair.fixes)
            if (fix.cause == cause)
                offer(StepKind::repair, i, fix.strength.count.mean(), repair.step.minutes);
    }
    for (std::size_t i = 0; i < refers.size(); ++i) {
        const Handover& handed = refers[i];
        if (std::find(handed.takes.begin(), handed.takes.end(), cause) != handed.takes.end())
            offer(StepKind::refer, i, 1, candidate(knowledge, ReferId(i)).minutes, handed.own);
    }
    return best;
}

}  // namespace

std::optional<MenderOf> mender_of(const Knowledge& knowledge, const Evidence& evidence,
                                  const Situation& situation, CauseId cause) {
    return mender_among(knowledge, evidence, handovers(knowledge, evidence, situation), cause);
}

namespace {

/// Shares the trouble out among those who end it. Returns the repairs, the likeliest first; the
/// sums over all of each kind go into the list.
std::vector<RepairShare> shared_out(const Model& model, const Evidence& evidence,
                                    const Posterior& now, const Situation& situation,
                                    TruckList& list) {
    const auto shares = shares_of_trouble(model, evidence, now);
    std::map<std::size_t, double> by_repair;
    std::map<std::size_t, double> by_refer;
    const std::vector<Handover> refers = handovers(*model.knowledge, evidence, situation);
    for (std::size_t c = 0; c < shares.size(); ++c) {
        if (!(shares[c] > 0))
            continue;
        const auto mender = mender_among(*model.knowledge, evidence, refers, CauseId(c));
        if (!mender)
            continue;
        if (mender->kind == StepKind::repair) {
            by_repair[mender->index] += shares[c];
            list.repaired += shares[c];
        } else if (mender->own_licence) {
            list.own_licence += shares[c];
        } else {
            by_refer[mender->index] += shares[c];
            list.handed_over += shares[c];
        }
    }
    list.nobodys = std::max(0.0, 1 - list.repaired - list.handed_over - list.own_licence);
    const auto larger = [](const auto& a, const auto& b) { return a.share > b.share; };
    for (const auto& [index, share] : by_refer)
        list.refers.push_back({ReferId(index), share});
    std::stable_sort(list.refers.begin(), list.refers.end(), larger);
    std::vector<RepairShare> all;
    for (const auto& [index, share] : by_repair)
        all.push_back({RepairId(index), share});
    std::stable_sort(all.begin(), all.end(), larger);
    return all;
}

/// The first of them, until they have so large a share together.
std::vector<RepairShare> likeliest_until(const std::vector<RepairShare>& all, double share) {
    std::vector<RepairShare> chosen;
    double taken = 0;
    for (const RepairShare& one : all) {
        if (taken >= share - digits_lost)
            break;
        chosen.push_back(one);
        taken += one.share;
    }
    return chosen;
}

using WantedParts = std::map<std::size_t, PartWanted>;  // by PartId

WantedParts parts_for(const Knowledge& knowledge, const std::vector<RepairShare>& repairs) {
    WantedParts parts;
    for (const RepairShare& one : repairs)
        for (const PartUse& use : knowledge[one.repair].parts) {
            PartWanted& wanted = parts[use.part.index()];
            wanted.part = use.part;
            wanted.pieces = std::max(wanted.pieces, use.pieces);
            wanted.by.push_back(one.repair);
        }
    return parts;
}

std::vector<std::string> tools_for(const Knowledge& knowledge,
                                   const std::vector<RepairShare>& repairs) {
    std::set<std::string> tools;
    for (const RepairShare& one : repairs) {
        const auto& needs = knowledge[one.repair].step.tools;
        tools.insert(needs.begin(), needs.end());
    }
    return {tools.begin(), tools.end()};
}

/// What is covered: every repair of which no part is missing, also one that was not chosen. Counts
/// too how much each part is used.
double covered_by(WantedParts& parts, const Knowledge& knowledge,
                  const std::vector<RepairShare>& all) {
    double covered = 0;
    for (const RepairShare& one : all) {
        const auto& uses = knowledge[one.repair].parts;
        const bool complete = std::all_of(uses.begin(), uses.end(), [&](const PartUse& use) {
            const auto it = parts.find(use.part.index());
            return it != parts.end() && it->second.pieces >= use.pieces;
        });
        covered += complete ? one.share : 0;
        for (const PartUse& use : uses)
            if (const auto it = parts.find(use.part.index()); it != parts.end())
                it->second.used += one.share;
    }
    return covered;
}

}  // namespace

TruckList truck_list(const Model& model, const Evidence& evidence, const Posterior& now,
                     const Situation& situation, double cover) {
    const Knowledge& knowledge = *model.knowledge;
    TruckList list;
    if (!anything_found(knowledge, evidence))
        return list;
    const std::vector<RepairShare> all = shared_out(model, evidence, now, situation, list);
    list.repairs = likeliest_until(all, cover * list.repaired);
    list.tools = tools_for(knowledge, list.repairs);
    WantedParts parts = parts_for(knowledge, list.repairs);
    const double covered = covered_by(parts, knowledge, all);
    list.covered = list.repaired > 0 ? std::min(1.0, covered / list.repaired) : 0;
    for (auto& [index, wanted] : parts)
        list.parts.push_back(std::move(wanted));
    std::stable_sort(list.parts.begin(), list.parts.end(),
                     [](const PartWanted& a, const PartWanted& b) { return a.used > b.used; });
    return list;
}

}  // namespace knockwell
