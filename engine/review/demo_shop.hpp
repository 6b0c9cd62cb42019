// review/demo_shop.hpp
//
// A made-up shop in a made-up county: jobs drawn from a seed, with truths planted in them that a
// review must find, and nothing else.
//
// Idea     a house has a road and settings by their shares; a call there has one cause (now and
//          then two) by its odds under these settings; complaint, one finding, repair and minutes
//          follow the knowledge. Planted: acid water on two roads and drilled mud on a third that
//          nobody wrote down, thunderstorms in one summer, an installer on one road who left
//          the torque arrestors out
// Care     a simplification: not the network's own joint law (test knowledge is drawn from that in
//          tests/laws)
// Held by  tests/review/shops_test.cpp
#pragma once
#include "job/job.hpp"
#include "knowledge/model.hpp"

#include <cstdint>
#include <functional>
#include <set>
#include <string>
#include <vector>

namespace knockwell {

struct DemoPlan {
    std::uint64_t seed = 1;
    std::size_t jobs = 3000;
    int years = 6;
    std::int64_t ends = 1796083200;  // 2026-12-01T00:00:00Z
    bool planted = true;
};

/// What was planted: these causes are likelier there and then.
struct PlantedTruth {
    std::string words;
    std::set<std::string> areas;   // empty = everywhere
    std::set<std::string> causes;  // those that it makes at least twice as likely
    std::int64_t from = 0;
    std::int64_t to = 0;
    bool of_time = false;  // to be found by `review time`; else by `review areas`
};

struct DemoTruths {
    std::vector<PlantedTruth> planted;
};

/// Hands every job to `visit`, in the order of time; what was planted.
DemoTruths demo_shop(const Knowledge& knowledge, const DemoPlan& plan,
                     const std::function<void(const Job&)>& visit);

}  // namespace knockwell
