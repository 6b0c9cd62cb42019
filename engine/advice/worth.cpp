#include "advice/worth.hpp"

#include "advice/ahead.hpp"
#include "advice/blame.hpp"
#include "advice/handover.hpp"
#include "advice/looks.hpp"
#include "advice/mass.hpp"
#include "advice/rules.hpp"
#include "advice/tripped.hpp"

#include <algorithm>
#include <limits>
#include <numeric>
#include <span>

namespace knockwell {
namespace {

std::vector<Fix> fixes_of(const Repair& repair) {
    std::vector<Fix> fixes;
    for (const CauseStrength& it : repair.fixes)
        fixes.push_back({it.cause, it.strength.count.mean()});
    return fixes;
}

// What a refer takes is gone.
std::vector<Fix> fixes_of(const std::vector<CauseId>& takes) {
    std::vector<Fix> fixes;
    for (const CauseId cause : takes)
        fixes.push_back({cause, 1});
    return fixes;
}

double recheck_of(const Knowledge& knowledge, const Repair& repair) {
    double minutes = 0;
    for (const TestId test : repair.recheck)
        minutes += knowledge[test].step.minutes;
    return minutes;
}

std::vector<Mender> menders_of(const Knowledge& knowledge, const Evidence& evidence,
                               const Situation& situation, const Rates* rates) {
    std::vector<Mender> menders;
    const auto take = [&](Mender mender) {
        if (!cannot_apply(mender.step.only_if, evidence) &&
            !situation.passed_over.contains(key_of(mender.step)))
            menders.push_back(std::move(mender));
    };
    for (std::size_t i = 0; i < knowledge.repairs.size(); ++i) {
        const auto& made = evidence.repairs;
        if (std::find(made.begin(), made.end(), RepairId(i)) != made.end())
            continue;
        take({candidate(knowledge, RepairId(i)), fixes_of(knowledge.repairs[i]),
              recheck_of(knowledge, knowledge.repairs[i]),
              minutes_of_parts(knowledge, rates, knowledge.repairs[i].parts)});
    }
    for (std::size_t i = 0; i < knowledge.refers.size(); ++i) {
        const Candidate step = referred(knowledge, evidence, situation, ReferId(i));
        take({step, fixes_of(step.takes), 0, knowledge.refers[i].in_vain});
    }
    return menders;
}

std::vector<Mend> mends_from(const Knowledge& knowledge, const std::vector<Mender>& menders,
                             const Situation& situation) {
    std::vector<Mend> mends;
    mends.reserve(menders.size());
    for (const Mender& mender : menders)
        mends.push_back({outlay(knowledge, situation, mender.step).minutes + mender.recheck,
                         mender.fixes, mender.in_vain});
    return mends;
}

OutcomeWords words_of(const Model& model, const Evidence& evidence, const std::vector<double>& own,
                      const Posterior& now, const Look& look, const Outcome& outcome) {
    const Knowledge& knowledge = *model.knowledge;
    OutcomeWords words{found_at(knowledge, look.at, outcome), outcome.p, "", 0};
    if (outcome.cause.empty())
        return words;
    const CauseId first = first_of(knowledge, outcome.cause, now.cause, own,
                                   spoken_of(model, with_outcome(evidence, look, outcome)));
    words.then_first = knowledge[first].head.id;
    words.then_p = outcome.cause[first.index()];
    return words;
}

// A cause with less of the trouble is counted with what nothing listed explains.
constexpr double worth_following = 1e-4;

// Translates a trouble into a small world: only the causes and the repairs that matter.
class Surveyor {
public:
    Surveyor(const Knowledge& knowledge, const Trouble& trouble, const Posterior& now)
        : knowledge_(&knowledge), trouble_(&trouble), now_(&now) {
        number_.assign(trouble.shares.size(), none);
        double sum = 0;
        for (std::size_t c = 0; c < trouble.shares.size(); ++c)
            if (trouble.shares[c] > worth_following) {
                number_[c] = causes_.size();
                causes_.push_back(c);
                outlook_.shares.push_back(trouble.shares[c]);
                sum += trouble.shares[c];
            }
        outlook_.unlisted = std::max(0.0, 1 - sum);
        outlook_.last_resort.minutes = trouble.last_resort.minutes;
        for (const std::size_t c : causes_)
            outlook_.last_resort.mending.push_back(trouble.last_resort.mending[c]);
        for (std::size_t m = 0; m < trouble.menders.size(); ++m)
            take_mender(m);
    }

    Road survey(const Situation& situation, const std::vector<WeighedLook>& looks,
                std::size_t closely) {
        for (const WeighedLook& look : looks)
            outlook_.looks.push_back(showing(*look.outcomes));
        outlook_.here = fares(situation, looks);
        for (const WeighedLook& look : looks)
            outlook_.after_look.push_back(fares(look.then, looks));
        const Ahead ahead = look_ahead(outlook_, closely);
        Road road{ahead.at_once, ahead.looks, ahead.alone, {}};
        road.mends.assign(trouble_->menders.size(), std::numeric_limits<double>::infinity());
        for (std::size_t m = 0; m < menders_.size(); ++m)
            road.mends[menders_[m]] = ahead.mends[m];
        return road;
    }

private:
    static constexpr std::size_t none = std::numeric_limits<std::size_t>::max();

    void take_mender(std::size_t mender) {
        std::vector<Fix> fixes;
        for (const Fix& fix : trouble_->menders[mender].fixes)
            if (number_[fix.cause.index()] != none && fix.chance > 0)
                fixes.push_back({CauseId(number_[fix.cause.index()]), fix.chance});
        if (fixes.empty())
            return;
        menders_.push_back(mender);
        outlook_.mends.push_back(std::move(fixes));
        outlook_.in_vain.push_back(trouble_->menders[mender].in_vain);
    }

    Showing showing(const std::vector<Outcome>& outcomes) const {
        Showing it;
        for (const Outcome& outcome : outcomes) {
            std::vector<double> likely;
            double told = 0;
            for (std::size_t i = 0; i < causes_.size(); ++i) {
                const std::size_t c = causes_[i];
                likely.push_back(std::min(1.0, outcome.p * outcome.cause[c] / now_->cause[c]));
                told += outlook_.shares[i] * likely.back();
            }
            it.outcome.push_back(std::move(likely));
            it.unlisted.push_back(outlook_.unlisted > worth_following
                                      ? std::max(0.0, outcome.p - told) / outlook_.unlisted
                                      : outcome.p);
        }
        // Rounded, and where several causes are there at once: what is shown under nothing listed
        // is shared out among the outcomes.
        const double sum = std::accumulate(it.unlisted.begin(), it.unlisted.end(), 0.0);
        for (std::size_t o = 0; o < it.unlisted.size(); ++o)
            it.unlisted[o] = sum > 0 ? it.unlisted[o] / sum : outcomes[o].p;
        return it;
    }

    Fares fares(const Situation& from, const std::vector<WeighedLook>& looks) const {
        Fares it;
        for (const std::size_t m : menders_)
            it.mends.push_back(outlay(*knowledge_, from, trouble_->menders[m].step).minutes +
                               trouble_->menders[m].recheck);
        for (const WeighedLook& look : looks)
            it.looks.push_back(outlay(*knowledge_, from, *look.step).minutes);
        return it;
    }

    const Knowledge* knowledge_;
    const Trouble* trouble_;
    const Posterior* now_;
    std::vector<std::size_t> number_;   // [CauseId] its number in the outlook
    std::vector<std::size_t> causes_;   // [number]
    std::vector<std::size_t> menders_;  // [mend of the outlook]
    Outlook outlook_;
};

}  // namespace

std::vector<double> shares_of_trouble(const std::vector<double>& blame,
                                      const std::vector<double>& own,
                                      const std::vector<CauseId>& explainers) {
    std::vector<double> owned = blame;
    for (std::size_t c = 0; c < owned.size(); ++c)
        owned[c] *= own[c];
    std::vector<double> shares = trouble_shares(owned, explainers);
    std::vector<double> plain = trouble_shares(blame, explainers);
    const double sum = std::accumulate(shares.begin(), shares.end(), 0.0);
    if (sum <= 0)
        return plain;
    const double listed = std::accumulate(plain.begin(), plain.end(), 0.0);
    for (double& share : shares)
        share *= listed / sum;
    return shares;
}

std::vector<double> shares_of_trouble(const Model& model, const Evidence& evidence,
                                      const Posterior& now) {
    return shares_of_trouble(blamed(model, evidence, now), by_themselves(model, evidence, now),
                             explainers(model, evidence));
}

Trouble trouble_of(const Model& model, const Evidence& evidence, const Posterior& now,
                   const Situation& situation, const Rates* rates) {
    const Knowledge& knowledge = *model.knowledge;
    Trouble trouble;
    trouble.found = anything_found(knowledge, evidence);
    trouble.explainers = explainers(model, evidence);
    trouble.own = by_themselves(model, evidence, now);
    trouble.shares =
        shares_of_trouble(blamed(model, evidence, now), trouble.own, trouble.explainers);
    trouble.menders = menders_of(knowledge, evidence, situation, rates);
    trouble.mends = mends_from(knowledge, trouble.menders, situation);
    trouble.last_resort = {minutes_of_last_resort,
                           quickest_of_each(trouble.shares.size(), trouble.mends)};
    trouble.at_once = mend_in_order(trouble.shares, trouble.mends, trouble.last_resort);
    return trouble;
}

std::vector<double> quickest_mending(const Knowledge& knowledge, const Evidence& evidence,
                                     const Situation& situation) {
    return quickest_of_each(
        knowledge.causes.size(),
        mends_from(knowledge, menders_of(knowledge, evidence, situation, nullptr), situation));
}

void weigh(Suggestion& look, const Trouble& trouble, const Posterior& now,
           const std::vector<Outcome>& outcomes) {
    if (outcomes.empty())
        return;
    look.bits = bits(outcomes, now.cause, trouble.explainers);
    look.bits_per_minute = look.minutes > 0 ? look.bits / look.minutes : look.bits;
}

void tell_outcomes(Suggestion& suggested, const Model& model, const Evidence& evidence,
                   const std::vector<double>& own, const Posterior& now, const Look& look,
                   const std::vector<Outcome>& outcomes) {
    suggested.outcomes.clear();
    for (const Outcome& outcome : outcomes)
        suggested.outcomes.push_back(words_of(model, evidence, own, now, look, outcome));
    std::stable_sort(suggested.outcomes.begin(), suggested.outcomes.end(),
                     [](const OutcomeWords& a, const OutcomeWords& b) { return a.p > b.p; });
}

Road road_from(const Knowledge& knowledge, const Trouble& trouble, const Posterior& now,
               const Situation& situation, const std::vector<WeighedLook>& looks,
               std::size_t closely) {
    return Surveyor(knowledge, trouble, now).survey(situation, looks, closely);
}

}  // namespace knockwell
