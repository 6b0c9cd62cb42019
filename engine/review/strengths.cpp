#include "review/strengths.hpp"

#include "beliefs/likelihood.hpp"

#include <algorithm>
#include <optional>

namespace knockwell {
namespace {

/// A chance that is known as well as its count says.
struct Doubtful {
    double mean = 0;
    std::optional<Beta> law;  // nothing: exact
};

Count both_sides(const std::vector<Strength>& high, const std::vector<Strength>& low) {
    Count sum{Count::Kind::exact, 0, 1};
    for (const auto* side : {&high, &low})
        for (const Strength& one : *side) {
            // Shares of one whole: they have its n.
            if (one.count.kind == Count::Kind::counted) {
                sum.kind = Count::Kind::counted;
                sum.n = std::max(sum.n, one.count.n);
            }
        }
    for (const auto* side : {&high, &low})
        for (const Strength& one : *side)
            sum.k += one.count.mean() * sum.n;
    sum.k = std::min(sum.k, sum.n);
    return sum;
}

Doubtful doubtful(const Count& count) {
    Doubtful one{count.mean(), std::nullopt};
    if (count.kind == Count::Kind::counted)
        one.law = beta_of(count);
    return one;
}

/// Places in the middle of so many equal parts of its law.
std::vector<double> spread_over(const Doubtful& one) {
    constexpr int parts = 24;
    if (!one.law)
        return {one.mean};
    std::vector<double> places;
    for (int i = 0; i < parts; ++i)
        places.push_back(beta_quantile(one.law->a, one.law->b, (i + 0.5) / parts));
    return places;
}

const Shows* shows_of(const Knowledge& knowledge, CauseId cause, SignId sign) {
    for (const Shows& shows : knowledge[cause].shows)
        if (shows.sign == sign)
            return &shows;
    return nullptr;
}

/// Whether the finding says that the sign was there; nothing where it says no value.
std::optional<bool> was_there(const Finding& finding) {
    if (finding.value)
        return *finding.value != 0;
    if (!finding.weights.empty())
        return !(finding.weights.front() > 0);
    return std::nullopt;
}

/// How much likelier "absent" is under this strength than under the written one.
double absent_ratio(double strength, double written, double misses) {
    // What is exactly "always", and never missed, is not drawn anew.
    if (!(written * (1 - misses) < 1))
        return 1;
    return (1 - strength * (1 - misses)) / (1 - written * (1 - misses));
}

struct Tails {
    double many = 0;
    double few = 0;
};

Tails tails(const StrengthCell& cell, double misses, const Doubtful& shown, const Doubtful& leak) {
    Tails sum;
    double draws = 0;
    const auto looks = static_cast<double>(cell.looks);
    // Whether other causes were there nobody knows: each tail has what excuses it most.
    const double absent_least = 1 - cell.expected_most / looks;
    const double absent_most = 1 - cell.expected / looks;
    for (const double w : spread_over(shown))
        for (const double l : spread_over(leak)) {
            const double ratio =
                absent_ratio(w, shown.mean, misses) * absent_ratio(l, leak.mean, misses);
            const auto share = [&](double absent) {
                return std::clamp(1 - absent * ratio, 0.0, 1.0);
            };
            sum.many += share_at_least(cell.there, cell.looks, share(absent_least));
            sum.few += share_at_most(cell.there, cell.looks, share(absent_most));
            ++draws;
        }
    return {sum.many / draws, sum.few / draws};
}

}  // namespace

void StrengthBook::add(const Replayed& job) {
    if (job.confirmed.size() != 1 || !job.guessed.empty())
        return;
    for (const Finding& finding : job.evidence.findings)
        if (finding.via != Via::told && std::holds_alternative<SignId>(finding.what))
            look(job, finding);
}

void StrengthBook::look(const Replayed& job, const Finding& finding) {
    const std::optional<bool> there = was_there(finding);
    if (!there)
        return;
    const Limits chance = chance_of_there(job, finding);
    if (!(chance.low >= 0))
        return;
    const SignId sign = std::get<SignId>(finding.what);
    Tally& tally = tallies_[{job.confirmed.front(), sign}];
    ++tally.looks;
    tally.there += *there ? 1U : 0U;
    tally.expected += chance.low;
    tally.expected_most += chance.high;
    const std::optional<Channel> channel = channel_of(*model_.knowledge, finding);
    tally.misses += channel ? channel->misses.mean() : 0;
}

/// Below 0 where it cannot be told.
double StrengthBook::chance_of_there(const Evidence& evidence, const Finding& finding) const {
    const auto outcomes = predict(model_, evidence, {{finding.what}, finding.via, finding.test});
    double there = outcomes.empty() ? -1 : 0;
    for (const Outcome& outcome : outcomes)
        if (outcome.values.front() != 0)
            there += outcome.p;
    return there;
}

Limits StrengthBook::chance_of_there(const Replayed& job, const Finding& finding) {
    const CauseId cause = job.confirmed.front();
    const SignId sign = std::get<SignId>(finding.what);
    const Asked question{cause, sign, finding.via, finding.test, job.evidence.settings};
    if (const auto known = asked_.find(question); known != asked_.end())
        return known->second;
    Evidence evidence;
    evidence.settings = job.evidence.settings;
    evidence.causes = {{cause, true, 0}};
    const double others_unknown = chance_of_there(evidence, finding);
    for (std::size_t i = 0; i < model_.knowledge->causes.size(); ++i)
        if (i != cause.index())
            evidence.causes.push_back({CauseId(i), false, 0});
    const double alone = chance_of_there(evidence, finding);
    return asked_[question] = {std::min(alone, others_unknown), std::max(alone, others_unknown)};
}

std::vector<StrengthCell> StrengthBook::cells() const {
    const Knowledge& knowledge = *model_.knowledge;
    std::vector<StrengthCell> cells;
    std::vector<double> p;
    for (const auto& [of, tally] : tallies_) {
        if (tally.looks < fewest_looks)
            continue;
        const Shows* shows = shows_of(knowledge, of.first, of.second);
        const Sign& sign = knowledge[of.second];
        const Count leak = both_sides(sign.seen_high, sign.seen_low);
        const Count shown = shows == nullptr ? Count{Count::Kind::exact, 0, 1}
                                             : both_sides(shows->high, shows->low);
        StrengthCell cell;
        cell.cause = of.first;
        cell.sign = of.second;
        cell.written = shows != nullptr;
        cell.count = shows == nullptr ? leak : shown;
        cell.looks = tally.looks;
        cell.there = tally.there;
        cell.expected = tally.expected;
        cell.expected_most = tally.expected_most;
        cell.limits = share_limits(tally.there, tally.looks);
        const double misses = tally.misses / static_cast<double>(tally.looks);
        const Tails both = tails(cell, misses, doubtful(shown), doubtful(leak));
        cell.p = std::min(1.0, 2 * std::min(both.many, both.few));
        p.push_back(cell.p);
        cells.push_back(cell);
    }
    const std::vector<double> adjusted = false_discovery(p);
    for (std::size_t i = 0; i < cells.size(); ++i)
        cells[i].adjusted = adjusted[i];
    std::stable_sort(cells.begin(), cells.end(),
                     [](const StrengthCell& a, const StrengthCell& b) { return a.p < b.p; });
    return cells;
}

}  // namespace knockwell
