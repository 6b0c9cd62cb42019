// advice/mending.hpp
//
// What it still costs to end the trouble: repairs one after the other in a good order, and a last
// resort.
//
// Given    shares p_c of the trouble, one for each cause, sum <= 1 (the rest: nothing listed), and
//          repairs with minutes C_r and chances f_rc
// Wanted   min over orders of  sum_k C_k P(not ended before k) + L P(not ended at the end)
//          + sum_c p_c P(c is left at the end) m_c, m_c what mending c takes whoever does it
// Idea     up to eight repairs that help: the best of all orders, by sets of those made. Beyond,
//          next is always the repair with the largest (chance that it ends the trouble) / C; it
//          leaves p_c (1 - f_rc); the last resort comes when the best of them costs more than the
//          last resort that it saves. Best too where each cause is fixed by one repair; where
//          several fix one cause it is the greedy order, which can lose
// Source   J. B. Kadane, H. A. Simon, Optimal strategies for a class of constrained sequential
//          problems, Annals of Statistics 5(2), 1977, pp. 237-255; D. Heckerman, J. S. Breese,
//          K. Rommelse, Decision-theoretic troubleshooting, CACM 38(3), 1995, pp. 49-57
// Ours     differs: shares come cause by cause (advice/blame.hpp), as if one trouble were there at
//          a time (docs/advice.md, "What it leaves out")
// Held by  tests/advice/mending_test.cpp (published orders and costs; every order of small cases)
#pragma once
#include "knowledge/model.hpp"

#include <cstddef>
#include <span>
#include <utility>
#include <vector>

namespace knockwell {

/// Minutes when no listed repair has ended the trouble: a second visit, somebody who knows more
/// (judgement). He finds what it is; mending it takes its time from him too.
constexpr double minutes_of_last_resort = 240;

struct LastResort {
    LastResort() = default;
    LastResort(double all) : minutes(all) {}  // NOLINT(google-explicit-constructor): it is minutes
    LastResort(double all, std::vector<double> by_cause)
        : minutes(all), mending(std::move(by_cause)) {}

    /// With the chance that it comes to that, and what is left of each share.
    [[nodiscard]] double of(double trouble, std::span<const double> left) const;
    /// What it saves that a share is mended before.
    [[nodiscard]] double saved(std::size_t cause) const {
        return minutes + (mending.empty() ? 0 : mending[cause]);
    }

    double minutes = minutes_of_last_resort;
    std::vector<double> mending;  // [cause] m_c; empty = nothing
};

struct Fix {
    CauseId cause;
    double chance = 0;  // that it is gone, where it was there
};

/// A repair or a refer as the cost to mend sees it.
struct Mend {
    double minutes = 0;
    std::vector<Fix> fixes;
    double in_vain = 0;  // minutes more where it does not end the trouble
};

struct Mending {
    double minutes = 0;              // expected
    std::vector<std::size_t> order;  // indices of the mends worth doing
    double unmended = 0;             // chance that the last resort is reached
};

/// `shares` indexed by cause.
[[nodiscard]] Mending mend_in_order(std::span<const double> shares, std::span<const Mend> mends,
                                    const LastResort& last = {});

/// Expected minutes of the mends made in this order, all of it, and then the last resort.
[[nodiscard]] double minutes_in_order(std::span<const double> shares, std::span<const Mend> mends,
                                      std::span<const std::size_t> order,
                                      const LastResort& last = {});

/// [cause] the minutes of the quickest mend that helps it; 0 where none does.
[[nodiscard]] std::vector<double> quickest_of_each(std::size_t causes, std::span<const Mend> mends);

/// What the next one is chosen by: `ends` = its chance to end what is left of the trouble, a
/// minute. Only what does not end it is in vain: where it is as good as sure, what it costs in vain
/// weighs nothing.
[[nodiscard]] inline double rate_of(double ends, double trouble, double minutes, double in_vain) {
    return ends > 0 ? ends / (minutes + in_vain * (1 - ends / trouble)) : 0;
}

/// Chance that this one ends the trouble.
[[nodiscard]] double ends_trouble(std::span<const double> shares, const Mend& mend);

/// The trouble shared out among `explainers` by their probabilities: as they are where they sum to
/// 1 or less, else divided by their sum.
[[nodiscard]] std::vector<double> trouble_shares(std::span<const double> cause,
                                                 std::span<const CauseId> explainers);

}  // namespace knockwell
