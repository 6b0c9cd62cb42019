// beliefs/beliefs.hpp
//
// What the findings say: exact beliefs in every cause, and what goes with them. All functions are
// pure; equal inputs give equal bytes, and the order of the findings does not matter.
//
// Exact    by frontier elimination (beliefs/frontier.hpp), never by assuming a single cause
// Held by  tests/laws/ (sum over all worlds), tests/reference/ (published networks)
#pragma once
#include "beliefs/evidence.hpp"
#include "knowledge/model.hpp"
#include "network/network.hpp"

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <variant>
#include <vector>

namespace knockwell {

class PlanCache;
[[nodiscard]] std::shared_ptr<PlanCache> make_plan_cache();

/// Knowledge with its network: what every question needs; both must outlive it. The plans are a
/// memory that makes the next question quicker and changes no answer; one model is for one thread
/// at a time.
struct Model {
    const Knowledge* knowledge = nullptr;
    const Network* network = nullptr;
    std::shared_ptr<PlanCache> plans = make_plan_cache();
};

struct Posterior {
    std::vector<double> cause;  // [CauseId] P(present in the last stage | e)
    std::vector<std::vector<double>>
        setting;              // [SettingId][state] P(state | e); settings and tables
    double log_evidence = 0;  // ln P(e), natural logarithm
};

/// Every cause, most likely first, ties in the order of the text.
[[nodiscard]] std::vector<CauseId> by_chance(const Posterior& now);

/// Those that what was found speaks of, likewise.
[[nodiscard]] std::vector<CauseId> spoken_by_chance(const Model& model, const Evidence& evidence,
                                                    const Posterior& now);

/// These findings cannot all be true: an irreducible clash (dropping any one of them makes the rest
/// possible). Indices into Evidence::findings; causes into Evidence::causes; settings that take
/// part.
struct Impossible {
    std::vector<std::size_t> findings;
    std::vector<std::size_t> causes;
    std::vector<SettingId> settings;
};

/// The tables would be too large: told before anything is allocated. width = binary logarithm of
/// the largest table.
struct TooWide {
    double width = 0;
};

using Answer = std::variant<Posterior, Impossible, TooWide>;

[[nodiscard]] Answer posterior(const Model& model, const Evidence& evidence);

/// The same under other numbers (one for each strength of the network).
[[nodiscard]] Answer posterior(const Model& model, const Evidence& evidence,
                               std::span<const double> strengths);

struct Range {
    double low = 0;
    double high = 0;
};

/// Where the exact answer is too wide: between which bounds it surely lies, all in all by no more
/// than about so many `operations` (a million take about two milliseconds). The exact answer
/// itself, twice, where those are enough for it; nothing where one sign alone is too wide. An upper
/// bound of minus infinity for ln P(e): the evidence is impossible.
struct Enclosure {
    std::vector<Range> cause;  // [CauseId] P(present in the last stage | e)
    Range log_evidence;        // ln P(e)
    std::size_t cuts = 0;      // what had to be loosened, 0: the bounds are the answer
};
[[nodiscard]] std::optional<Enclosure> enclose(const Model& model, const Evidence& evidence,
                                               double operations);

/// P(no listed cause produced any of the signs found present | e); 0 where no sign was found
/// present; nothing where it is too wide to add up, and where the evidence is impossible.
[[nodiscard]] std::optional<double> unlisted(const Model& model, const Evidence& evidence,
                                             std::optional<double> log_evidence = {});

/// How badly findings fit together: ln of (product of P(e_i)) / P(e); above 0 = they contradict
/// each other under the model. No number (NaN) where a part of it is too wide to add up.
[[nodiscard]] double misfit(const Model& model, const Evidence& evidence,
                            std::optional<double> log_evidence = {});

/// [finding] ln P(e_i) P(rest) / P(e): how badly that one fits the others. No number where it is
/// too wide, or would take more than some seconds.
[[nodiscard]] std::vector<double> misfit_of_each(const Model& model, const Evidence& evidence);

/// Weight of each finding for and against each cause, in decibans: 10 log10 of odds with it over
/// odds without it. They do not add up. [finding][cause]; infinite where a finding decides alone,
/// no number (NaN) where it is too wide to add up, or would take more than some seconds.
[[nodiscard]] std::vector<std::vector<double>> weights(const Model& model,
                                                       const Evidence& evidence);

/// d ln P(e) / d strength, for every strength of the network (0 where the evidence does not hang on
/// it), at these strengths; exact, by one pass forward and one back. For a cause c, d ln P(c | e)
/// is the difference of those with and without c among the known causes. Nothing where the evidence
/// is impossible or too wide to add up.
[[nodiscard]] std::optional<std::vector<double>>
slopes(const Model& model, const Evidence& evidence, std::span<const double> strengths);

/// Where the counts leave the probabilities: 5 % and 95 % points over redraws, and how often each
/// cause came first. A cause that nothing found speaks of is carried down from its settings as if
/// they were independent given the findings. No draws where they would take more than some seconds.
struct Ranges {
    std::vector<Range> cause;             // [CauseId]
    std::vector<std::uint32_t> first_in;  // [CauseId] draws in which it ranked first
    std::uint32_t draws = 0;              // draws that gave an answer
};
inline constexpr std::uint32_t usual_draws = 200;
[[nodiscard]] Ranges ranges(const Model& model, const Evidence& evidence,
                            std::uint32_t draws = usual_draws, std::uint64_t seed = 1);

/// The same by several threads, each of which draws when it has the time. Evidence and the network
/// outlive it; the model's plans are used while it is made, and not afterwards.
class Redrawing {
public:
    Redrawing(const Model& model, const Evidence& evidence, std::uint32_t draws = usual_draws,
              std::uint64_t seed = 1);
    Redrawing(const Redrawing&) = delete;
    Redrawing& operator=(const Redrawing&) = delete;
    Redrawing(Redrawing&&) = delete;
    Redrawing& operator=(Redrawing&&) = delete;
    ~Redrawing();
    /// Draws until nobody needs to begin another one. Any thread.
    void help();
    /// When all that help have returned; the same whoever helped.
    [[nodiscard]] Ranges result() const;

private:
    class Inside;
    std::unique_ptr<Inside> inside_;
};

/// The most probable sets of causes that are present, all others absent, settings summed out; most
/// probable first.
struct CauseSet {
    std::vector<CauseId> causes;  // ascending; empty = nothing listed is wrong
    double p = 0;                 // P(exactly this set | e)
};
struct CauseSets {
    std::vector<CauseSet> sets;
    bool proved = true;  // false: the search was cut short, better sets may exist
};
/// `least`: only those of more than that are looked for, which is sooner done.
[[nodiscard]] CauseSets most_probable_sets(const Model& model, const Evidence& evidence,
                                           std::size_t how_many = 5, double least = 0);

/// What a look could find: one joint outcome of the signs it reveals.
struct Outcome {
    std::vector<std::size_t>
        values;    // one for each sign looked at, as Sign::value_name or the table's state
    double p = 0;  // P(outcome | e)
    std::vector<double> cause;  // [CauseId] P(present | e, outcome)
};

/// A look at signs, tables or settings in the last stage, through one channel (settings:
/// Via::sure).
struct Look {
    std::vector<Findable> at;
    Via via = Via::looked;
    TestId test;  // where via is `test`
};

/// Outcomes with P > 0, in ascending order of `values`; their P sum to 1. A look that was made
/// already is predicted as if made once more, by itself. Empty where the evidence is impossible or
/// too wide.
[[nodiscard]] std::vector<Outcome> predict(const Model& model, const Evidence& evidence,
                                           const Look& look);

/// The same for many looks at once: one plan for all of them, eight outcomes at a time, on two
/// threads where that pays. Only the chances of `causes` are worked out, the others stay as they
/// are `now`. Outcomes under 1e-12 are left out, and one of probability p has its chances to about
/// 1e-15 / p.
[[nodiscard]] std::vector<std::vector<Outcome>>
predict_all(const Model& model, const Evidence& evidence, std::span<const Look> looks,
            std::span<const double> now, std::span<const CauseId> causes);

/// bits() of each of many looks, without their outcomes in full.
[[nodiscard]] std::vector<double> bits_of_all(const Model& model, const Evidence& evidence,
                                              std::span<const Look> looks,
                                              std::span<const double> now,
                                              std::span<const CauseId> causes);

/// Causes that could have produced something found present, at the very level or kind that was
/// found: what there is to explain. What was before the trouble (`circumstance` of a symptom) is to
/// be explained only where nothing else is found. With nothing found present: all.
[[nodiscard]] std::vector<CauseId> explainers(const Model& model, const Evidence& evidence);

/// [CauseId] Whether what was found speaks of it: an explainer, found itself, or brought on by
/// such. What is not is only as common as it is anywhere.
[[nodiscard]] std::vector<bool> spoken_of(const Model& model, const Evidence& evidence);

/// Expected drop of entropy of `causes` (sum over them) when the outcome is known, in bits. `now` =
/// P(present | e).
[[nodiscard]] double bits(std::span<const Outcome> outcomes, std::span<const double> now,
                          std::span<const CauseId> causes);

/// P(sign has one of the values in the last stage | e), whatever was found of it so far; nothing
/// where it is too wide to add up, and where the evidence is impossible.
[[nodiscard]] std::optional<double> chance_of(const Model& model, const Evidence& evidence,
                                              SignId sign, std::span<const std::size_t> values);

}  // namespace knockwell
