// trials/followers.hpp
//
// Who plays: by the advice, by a printed chart, by p/C without looking, by bits, and one who knows
// the truth. All of them keep the hard rules (a step that they hold back is passed over), so that
// they are compared on minutes.
#pragma once
#include "trials/play.hpp"

#include <memory>
#include <string>
#include <vector>

namespace knockwell::trials {

/// How far the advice looks ahead.
enum class StepsAhead { one, two };

/// Takes the first of what `advise` offers; goes for the last resort where nothing pays.
[[nodiscard]] std::unique_ptr<Follower> by_advice(StepsAhead ahead = StepsAhead::two);

/// The order in which a chart goes down its lines.
enum class ChartOrder {
    common_first,  // the commonest cause of the complaint first
    cheap_first,   // what needs nothing opened first, the well last; then the commonest
};

/// A printed chart for each complaint, made once: one line a cause, "check this; if it is bad,
/// mend that". Lines for `covered` of the calls with this complaint. No reasoning beyond it: a
/// check that was made on an earlier line is not made twice, and lines that cannot be on this
/// installation are skipped once the setting is known.
[[nodiscard]] std::unique_ptr<Follower> by_chart(const Model& model, ChartOrder order,
                                                 double covered);

/// The repair with the most chance to end it a minute, and no looking.
[[nodiscard]] std::unique_ptr<Follower> by_repairs_alone();

/// The look with the most bits (a minute, or at all), until one cause is as good as sure or no look
/// tells anything; then repairs as above.
[[nodiscard]] std::unique_ptr<Follower> by_bits(bool a_minute);

/// Knows what is wrong, not whether a repair will take: the cheapest way to mend it.
[[nodiscard]] std::unique_ptr<Follower> by_truth();

}  // namespace knockwell::trials
