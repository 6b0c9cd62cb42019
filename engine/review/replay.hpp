// review/replay.hpp
//
// A closed job told again with what was known before its cause was: what the knowledge, as it is
// now, would have said at that moment.
//
// Given    a closed job and a model
// Wanted   the chance of every cause just before anything told it; the place of the confirmed one
//          among them, on the phone and then; what each test added
// Idea     a job's entries stand in the order in which they were written. All from the first one
//          on that names a cause, tells of a repair or closes the job is left out, corrections
//          with it that came later: so nothing that was learned afterwards is in the forecast
// Care     the knowledge is today's. Where its counts were learned from these same jobs it is no
//          forecast; `learned_counts` tells, and docs/review.md says what to do then
// Held by  tests/review/replay_test.cpp
#pragma once
#include "beliefs/beliefs.hpp"
#include "job/course.hpp"

#include <cstddef>
#include <variant>
#include <vector>

namespace knockwell {

/// The job as it stood before its cause was known; its entries keep their numbers.
[[nodiscard]] Job before_the_cause(const Knowledge& knowledge, const Job& job);

/// The job as it stood before anybody looked: what was said and set by then.
[[nodiscard]] Job before_any_look(const Knowledge& knowledge, const Job& job);

/// What one test added: findings of it that stand one behind the other.
struct LookGain {
    TestId test;
    bool changed_first = false;  // another cause ranked first afterwards
    double bits = 0;  // mean over the confirmed causes of log2 of their chance after over before
};

struct Replayed {
    std::vector<CauseId> confirmed;  // seen or fixed-it; at least one
    std::vector<CauseId> guessed;    // nothing is known of these
    std::vector<double> p;           // [CauseId] just before the cause was known
    std::vector<double> on_phone;    // [CauseId] before anybody looked
    std::vector<LookGain> looks;
    Evidence evidence;  // of `p`
};

/// Why a job says nothing of the forecasts.
enum class NotReplayed {
    no_cause,      // none was confirmed
    only_guessed,  // none was more than guessed
    lacking,       // a confirmed one is not in the knowledge
    impossible,    // its findings cannot all be true
    too_wide,      // they are too wide to add up
};

/// `job` must be closed.
[[nodiscard]] std::variant<Replayed, NotReplayed> replay(const Model& model, const Job& job);

/// Place of the best of `causes` by `p`, from 1; ties in the order of the text.
[[nodiscard]] std::size_t best_place(const std::vector<double>& p,
                                     const std::vector<CauseId>& causes);

/// Definitions of the knowledge whose counts come from a ledger.
[[nodiscard]] std::size_t learned_counts(const Knowledge& knowledge);

}  // namespace knockwell
