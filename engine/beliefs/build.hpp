// beliefs/build.hpp
//
// Evidence on a network -> one sum. Inside this floor only.
//
// Settings   unknown ones are variables; known ones are substituted, so they cost nothing
// Causes     only those that the evidence speaks of, what brings them on, and those that cannot be
//            carried down from there exactly (beliefs/outside.hpp). One variable for each stretch
//            of stages between repairs that touch it ("cause i remains" is linked to cause i). One
//            that is known counts as known in all that hangs on it, so it ties nothing together
// Signs      only those with findings; a flag or kinds surely absent is absorbed into weights on
//            its causes and adds no variable
// Held by    tests/laws/ (sum over all worlds, written without any of this)
#pragma once
#include "beliefs/beliefs.hpp"
#include "beliefs/likelihood.hpp"
#include "beliefs/sum.hpp"
#include "beliefs/tape.hpp"

#include <limits>
#include <span>
#include <vector>

namespace knockwell {

inline constexpr Var no_var = std::numeric_limits<Var>::max();

template <class P>
struct BuiltOf {
    SumOf<P> sum;
    std::vector<Var> setting;  // [SettingId] no_var where it is known
    std::size_t stages = 1;
    std::vector<Var> by_stage;       // [CauseId * stages + stage] no_var: it was left out
    std::vector<std::int8_t> known;  // [CauseId] 1, 0 in every stage; -1: not known so
    std::vector<Var> acts;        // [CauseId] no_var where it does not come and go, or nothing asks
    std::vector<Slot> acts_knob;  // [CauseId] number that weighs the cause with its acts, a one
    double refused = 0;           // bits of a sign with more findings than a table can hold

    [[nodiscard]] bool too_wide() const { return refused > 0; }

    [[nodiscard]] Var at(std::size_t cause, std::size_t stage) const {
        return by_stage[cause * stages + stage];
    }
    [[nodiscard]] Var first(std::size_t cause) const { return at(cause, 0); }
    [[nodiscard]] Var last(std::size_t cause) const { return at(cause, stages - 1); }
    [[nodiscard]] bool holds(std::size_t cause) const { return first(cause) != no_var; }
};

using Built = BuiltOf<double>;

/// What to build besides the evidence as it stands.
struct BuildChoice {
    /// No cause may have produced what shows_trouble(): for `unlisted`.
    bool leaks_only = false;
    /// A weight of ones on every cause with its acts, for questions to turn.
    bool acts_knobs = false;
    /// Which causes: those that the evidence speaks of and what brings them on; with what cannot
    /// be carried down from those exactly; or all.
    enum class Causes { spoken_of, and_inexact, all };
    Causes causes = Causes::spoken_of;
    /// ... and these.
    std::vector<std::uint32_t> also{};
};

[[nodiscard]] Built build(const Model& model, const Evidence& evidence,
                          std::span<const double> strengths, const BuildChoice& choice = {});

/// The same under eight sets of strengths at once.
[[nodiscard]] BuiltOf<Pack> build(const Model& model, const Evidence& evidence,
                                  std::span<const Pack> strengths, const BuildChoice& choice = {});

/// The same with strengths that remember what came of them (beliefs/tape.hpp).
[[nodiscard]] BuiltOf<Taped> build(const Model& model, const Evidence& evidence,
                                   std::span<const Taped> strengths,
                                   const BuildChoice& choice = {});

/// Whether the finding says that something is there (its likeliest value is not normal).
[[nodiscard]] bool says_present(const Model& model, const Evidence& evidence,
                                const Finding& finding);

/// Whether the finding says that something is there that a cause has to produce.
[[nodiscard]] bool shows_trouble(const Model& model, const Evidence& evidence,
                                 const Finding& finding);

/// Calls act(cause) for causes that show a sign or hide it; one that does both comes twice.
template <class Act>
void for_causes_of(const SignNode& sign, Act act) {
    for (const ShowLink& link : sign.shown_by)
        act(link.from);
    for (const WeightedLink& link : sign.masked_by)
        act(link.from);
}

/// What a list of a repair (`fixes`, `may_bring`) says of a cause; 0 where it is not named.
[[nodiscard]] double chance_for(std::uint32_t cause, const std::vector<CauseStrength>& list);

/// What every sign needs while it is built.
template <class P>
struct SiteOf {
    const Model& model;
    const Evidence& evidence;
    std::span<const P> strengths;
    const BuildChoice& choice;
    BuiltOf<P>& built;
};

/// Adds one sign with its findings (all of that sign).
template <class P>
void build_flag_or_kinds(const SiteOf<P>& site, SignId sign,
                         std::span<const Finding* const> findings);
template <class P>
void build_levels(const SiteOf<P>& site, SignId sign, std::span<const Finding* const> findings);

}  // namespace knockwell
