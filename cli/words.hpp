// cli/words.hpp
//
// The sentences that text and JSON share.
#pragma once
#include "advice/advice.hpp"
#include "job/leaving.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace knockwell {

/// Always the last line of an answer.
[[nodiscard]] std::string_view it_can_be_wrong();

/// "between 20 and 60 %".
[[nodiscard]] std::string range_words(const Range& range);

/// "between 20 and 60 %; first in 150 of 200 draws of the counts".
[[nodiscard]] std::string place_words(const Ranges& ranges, CauseId cause);

/// "3 minutes", "1 minute", "1 h 40 min", "under a minute".
[[nodiscard]] std::string minutes_words(double minutes);

/// A weight of evidence in words; below 0 it speaks against.
/// Source  H. Jeffreys, Theory of Probability, 3rd ed. 1961, appendix B: grades at 5, 10, 15 and 20
/// decibans (from memory)
[[nodiscard]] std::string weight_words(double decibans);

/// What to do, where the preparations of the step do not stand before it: what is set on dead parts
/// is told with it, before the power.
[[nodiscard]] std::string how_by_itself(const Step& step);

/// Whether a weight is none in whole decibans.
[[nodiscard]] bool says_nothing(double decibans);

/// Whether findings are less likely together than each by itself, by more than rounding. `misfit`
/// as misfit().
[[nodiscard]] bool clash(double misfit);

/// Whether findings fit together; empty where they do, and said so where it cannot be told.
/// `misfit` as misfit().
[[nodiscard]] std::string misfit_words(double misfit);

/// What was reported and is gone since the last repair, while nothing is found amiss now.
[[nodiscard]] std::vector<SignId> gone_since_repair(const Knowledge& knowledge,
                                                    const Evidence& evidence);

/// Of what tripped: what has likeliest tripped it, where mostly something has. Not valid where it
/// came by itself, or trips not. `own` as of Advice.
[[nodiscard]] CauseId tripped_by(const Knowledge& knowledge, const std::vector<double>& own,
                                 const Posterior& now, CauseId cause);

/// WARNING where it covers a hazard, else CAUTION.
[[nodiscard]] std::string_view signal_word(const Caution& caution);

/// "the owner, on the phone", "a qualified person (electrician), on site, power off".
[[nodiscard]] std::string situation_words(const Knowledge& knowledge, const Situation& situation);

/// What a stop stands on, and from which chance on it does: "Found: Pump never stops: yes. One such
/// finding is enough; of a reading, 5 % in the danger." Of a stop that wants several signs:
/// "Together they are enough; ..."
[[nodiscard]] std::string stands_words(const Knowledge& knowledge, const StopNow& now);

/// What ends a stop: "finding: pressure-proved-zero, or by the repair: replace-tank"; empty where
/// nothing does.
[[nodiscard]] std::string lifted_words(const Knowledge& knowledge, const Stop& stop);

/// Of what would lift it: what was told and does not; else empty.
[[nodiscard]] std::string in_vain_words(const Knowledge& knowledge, const StopNow& now);

/// What a step asks of its reader: "Check", "Ask", "Find out", "Repair", "Hand over".
[[nodiscard]] std::string_view deed(StepKind kind, bool own_licence = false);

/// "9 in 10" of a flag, "empty 3 in 10 and below-cut-in 2 in 10": counts of the levels of one
/// cause, or of the leak; without those at 0.
[[nodiscard]] std::string levels_words(const Sign& sign, const std::vector<Strength>& low,
                                       const std::vector<Strength>& high);

/// "pump = submersible or deep-jet and age = over-10".
[[nodiscard]] std::string conditions_words(const Knowledge& knowledge, const Conditions& all);

/// The title of a cause by its identifier; the identifier where there is none.
[[nodiscard]] std::string cause_title(const Knowledge& knowledge, const std::string& id);

/// "61.75 dollars"; whole from 100 on.
[[nodiscard]] std::string money_words(const Rates& rates, double money);

/// "71.25 dollars", "71.25 dollars and 420 dollars for parts"; empty without the price of an hour.
[[nodiscard]] std::string step_money(const Knowledge& knowledge, const Rates& rates,
                                     const Suggestion& step);

/// How a job is left, in lines: readings, what was checked, what does not apply, what is left
/// without and why.
[[nodiscard]] std::vector<std::string> left_words(const LeavingNow& left);

}  // namespace knockwell
