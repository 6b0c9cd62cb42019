// trials/printed_chart.hpp
//
// The follower who goes down a printed chart of published symptom tables (tests/trials/chart.toml),
// line after line: check this; if it is bad, mend that. A check is not made twice, a line that is
// not for this installation or that a hard rule holds back is passed over, and of the corrections
// of a line the first that can be made is made, after it the next.
//
// Care     published tables are short, and for many complaints there is none: where the printed
//          lines end he goes on with those of a chart made from the knowledge's own numbers
//          (by_chart), so that he has at least as many lines as that one
#pragma once
#include "trials/play.hpp"

#include <filesystem>
#include <memory>

namespace knockwell::trials {

/// Throws where the chart names what the knowledge does not have. `rest` goes on where it ends.
[[nodiscard]] std::unique_ptr<Follower> by_printed_chart(const Model& model,
                                                         const std::filesystem::path& chart,
                                                         std::unique_ptr<Follower> rest);

}  // namespace knockwell::trials
