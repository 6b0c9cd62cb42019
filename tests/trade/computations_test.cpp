// What the single computations do at the edges of their range and beyond.
#include "trade/cycle.hpp"
#include "trade/deadhead.hpp"
#include "trade/drawdown.hpp"
#include "trade/head.hpp"
#include "trade/precharge.hpp"
#include "trade/tank_weight.hpp"

#include <gtest/gtest.h>

#include <limits>

namespace knockwell {
namespace {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();
constexpr double infinity = std::numeric_limits<double>::infinity();

template <class Value>
std::vector<std::string> wrongs(const Outcome<Value>& outcome) {
    const auto* wrong = std::get_if<OutOfRange>(&outcome);
    return wrong ? wrong->says : std::vector<std::string>{};
}

using Says = std::vector<std::string>;

TEST(DrawdownEdges, ATankWhosePrechargeIsAboveCutInRunsEmptyBeforeThePumpStarts) {
    const auto outcome = drawdown({44, 45, 40, 60});
    const auto& found = std::get<Drawdown>(outcome);
    EXPECT_TRUE(found.empty_at_start);
    // All the water that went in: V * (1 - 59.7/74.7), worked by hand.
    EXPECT_NEAR(found.drawdown_gal, 8.8353, 1e-4);
    EXPECT_NEAR(found.factor, 0.200803, 1e-6);
    EXPECT_FALSE(std::get<Drawdown>(drawdown({44, 40, 40, 60})).empty_at_start);
}

TEST(DrawdownEdges, WhatIsOutOfRangeIsAllSaidAtOnce) {
    EXPECT_EQ(wrongs(drawdown({0, -1, 40, 60, 20})),
              (Says{"tank: 0 gal is out of range (above 0 and at most 10000 gal)",
                    "precharge: -1 psi is out of range (from 0 to 300 psi)",
                    "atmosphere: 20 psi is out of range (from 8 to 16 psi)"}));
    EXPECT_EQ(wrongs(drawdown({44, 38, 60, 60})), (Says{"cut-out: must be above cut-in"}));
    EXPECT_EQ(wrongs(drawdown({44, 60, 40, 60})),
              (Says{"precharge: at or above cut-out the tank takes no water"}));
    EXPECT_EQ(wrongs(drawdown({nan, 38, 40, 60})).size(), 1U);
    EXPECT_EQ(wrongs(drawdown({infinity, 38, 40, 60})).size(), 1U);
}

TEST(DrawdownEdges, AWaterloggedTankNeedsSomeAirAndASwitchInOrder) {
    EXPECT_EQ(wrongs(air_left_drawdown({0, 30, 50})),
              (Says{"air: 0 gal is out of range (above 0 and at most 10000 gal)"}));
    EXPECT_EQ(wrongs(air_left_drawdown({5, 50, 30})), (Says{"cut-out: must be above cut-in"}));
}

TEST(PrechargeEdges, TwoPsiEitherWayIsRightAndMoreIsNot) {
    const auto verdict = [](double measured) {
        return std::get<PrechargeReading>(judge_precharge(40, measured)).verdict;
    };
    EXPECT_EQ(verdict(35.9), PrechargeVerdict::low);
    EXPECT_EQ(verdict(36), PrechargeVerdict::right);
    EXPECT_EQ(verdict(40), PrechargeVerdict::right);
    EXPECT_EQ(verdict(40.1), PrechargeVerdict::high);
    EXPECT_EQ(std::get<PrechargeReading>(judge_precharge(40, 15)),
              (PrechargeReading{38, -23, PrechargeVerdict::low}));
}

TEST(PrechargeEdges, ASwitchOutsideTheTradeIsRefused) {
    EXPECT_EQ(wrongs(wanted_precharge(9)),
              (Says{"cut-in: 9 psi is out of range (from 10 to 100 psi)"}));
    EXPECT_EQ(wrongs(wanted_drive_precharge(101)),
              (Says{"set-pressure: 101 psi is out of range (from 10 to 100 psi)"}));
    EXPECT_EQ(wrongs(judge_precharge(nan, -1)).size(), 2U);
    EXPECT_EQ(std::get<double>(wanted_precharge(10)), 8);
    EXPECT_EQ(std::get<double>(wanted_precharge(100)), 98);
}

TEST(HeadEdges, BothDirectionsMeetAndStopAtThreeThousandFeet) {
    EXPECT_EQ(std::get<double>(head_of_pressure(0)), 0);
    EXPECT_DOUBLE_EQ(std::get<double>(head_of_pressure(std::get<double>(pressure_of_head(1234)))),
                     1234);
    EXPECT_EQ(wrongs(pressure_of_head(3000)), Says{});
    EXPECT_EQ(wrongs(pressure_of_head(3000.1)),
              (Says{"head: 3000.1 ft is out of range (from 0 to 3000 ft)"}));
    EXPECT_EQ(wrongs(head_of_pressure(-1)),
              (Says{"pressure: -1 psi is out of range (from 0 to 1298 psi)"}));
    EXPECT_EQ(wrongs(total_head({-1, nan, 301})).size(), 3U);
}

TEST(CycleEdges, ADrawAtThePumpsFlowNeverLetsItStop) {
    const Says never{"demand: at or above the pump's flow the pump never stops"};
    EXPECT_EQ(wrongs(cycle({10, 10, 10})), never);
    EXPECT_EQ(wrongs(cycle({10, 10, 11})), never);
    EXPECT_EQ(wrongs(cycle({0, -1, 0})).size(), 3U);
    EXPECT_EQ(wrongs(shortest_cycle(10, 0)),
              (Says{"pump-flow: 0 gpm is out of range (above 0 and at most 1000 gpm)"}));
}

TEST(CycleEdges, RestAndRunAddUpAndNoDrawStartsThePumpMoreOftenThanHalfItsFlow) {
    const auto worst = std::get<Cycle>(shortest_cycle(7, 9));
    for (double demand = 0.5; demand < 9; demand += 0.5) {
        const auto found = std::get<Cycle>(cycle({7, 9, demand}));
        EXPECT_DOUBLE_EQ(found.off_min, 7 / demand);
        EXPECT_DOUBLE_EQ(found.run_min, 7 / (9 - demand));
        EXPECT_DOUBLE_EQ(found.cycle_min, found.off_min + found.run_min);
        EXPECT_LE(found.starts_per_hour, worst.starts_per_hour);
    }
}

TEST(CycleEdges, TheCeilingChangesJustAboveThreeQuarterHorsepower) {
    EXPECT_EQ(std::get<StartsCeiling>(starts_ceiling(0.75)), (StartsCeiling{15, 300}));
    EXPECT_EQ(std::get<StartsCeiling>(starts_ceiling(0.76)), (StartsCeiling{7.5, 300}));
    EXPECT_EQ(wrongs(starts_ceiling(0)).size(), 1U);
}

TEST(DeadheadEdges, ALiftAboveTheShutOffHeadGivesNoPressure) {
    EXPECT_EQ(std::get<double>(deadhead_psi({150, 150})), 0);
    EXPECT_EQ(wrongs(deadhead_psi({150, 151})),
              (Says{"static-lift: above the shut-off head no water reaches the tank"}));
    EXPECT_EQ(wrongs(deadhead_psi({0, -1})).size(), 2U);
    EXPECT_EQ(wrongs(deadhead_psi({nan, 10})).size(), 1U);
}

TEST(TankWeightEdges, AtOrBelowThePrechargeAHealthyTankHoldsNoWater) {
    EXPECT_EQ(std::get<TankWater>(tank_water({44, 38, 38})).water_gal, 0);
    EXPECT_EQ(std::get<TankWater>(tank_water({44, 38, 20})).water_lb, 0);
    // 44 gal at 60 psi: 12.96 gal, 108 lb (worked by hand).
    EXPECT_NEAR(std::get<TankWater>(tank_water({44, 38, 60})).water_lb, 108, 0.5);
    EXPECT_EQ(wrongs(tank_water({-1, -1, -1, 0})).size(), 4U);
}

}  // namespace
}  // namespace knockwell
