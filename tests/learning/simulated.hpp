// learning/simulated.hpp
//
// Jobs drawn from a network's own joint law, as a shop would come to write them down: only
// installations where a symptom is there call; some settings are known, some signs are looked at,
// some causes are seen. Shares no code with the beliefs.
//
// Care     flags only; no tables, no masks, nothing comes and goes; a report is never wrong, a look
//          has the channel of its test
#pragma once
#include "job/job.hpp"
#include "knowledge/model.hpp"
#include "network/network.hpp"

#include <cstdint>
#include <functional>
#include <span>

namespace knockwell {

struct SimulatedShop {
    std::uint64_t seed = 1;
    std::size_t jobs = 1000;
    double setting_known = 0.8;
    double looked = 0.7;  // at each observation, by the first test that reveals it
    double seen = 0.8;    // each cause that is there is named at closing
};

void simulate(const Knowledge& knowledge, const Network& network, std::span<const double> strengths,
              const SimulatedShop& shop, const std::function<void(const Job&)>& visit);

}  // namespace knockwell
