// What is typed for a quantity must leave the levels of a reading where they are.
#include "beliefs/edges.hpp"
#include "beliefs/finding.hpp"
#include "beliefs/small_well.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

// Edges of the gauge: empty 2, below-cut-in cut-in - 3, over-cut-out cut-out + 4, dangerous 90.
std::string crossing(std::map<std::string, double> quantities,
                     std::map<SettingId, std::size_t> settings = {}) {
    Evidence evidence;
    evidence.quantities = std::move(quantities);
    evidence.settings = std::move(settings);
    return edges_that_cross(small_well::knowledge(), evidence);
}

TEST(Edges, RiseUnderWhatIsUsual) {
    EXPECT_EQ(crossing({}), "");
    EXPECT_EQ(crossing({{"cut-in", 38}}), "");
    EXPECT_EQ(crossing({{"cut-in", 50}, {"cut-out", 70}}), "");
}

TEST(Edges, ThatMeetOrCrossAreNamed) {
    EXPECT_EQ(crossing({{"cut-in", 5}}),
              "with cut-in = 5 psi the levels of 'system-pressure' meet: 'empty' at 2 psi, "
              "'below-cut-in' at 2 psi");
    EXPECT_EQ(crossing({{"cut-in", 0}}),
              "with cut-in = 0 psi the levels of 'system-pressure' cross: 'empty' at 2 psi, "
              "'below-cut-in' at -3 psi");
    EXPECT_EQ(crossing({{"cut-out", 95}}),
              "with cut-out = 95 psi the levels of 'system-pressure' cross: 'over-cut-out' at 99 "
              "psi, 'dangerous' at 90 psi");
}

TEST(Edges, MayCrossUnderSomeChoicesThatAreStillOpen) {
    const SettingId range{std::size_t{1}};
    EXPECT_EQ(crossing({{"cut-in", 50}}), "") << "under 30/50 they rise";
    EXPECT_EQ(crossing({{"cut-in", 50}}, {{range, 0}}),
              "with cut-in = 50 psi and cut-out = 40 psi (switch-range = 20/40) the levels of "
              "'system-pressure' cross: 'below-cut-in' at 47 psi, 'over-cut-out' at 44 psi");
    EXPECT_NE(crossing({{"cut-in", 70}}), "") << "under none";
    EXPECT_EQ(crossing({{"cut-in", 70}, {"cut-out", 80}}, {{range, 0}}), "");
}

TEST(Range, OfAQuantityIsKept) {
    Knowledge knowledge = small_well::knowledge();
    const auto read = [&](std::string_view value) {
        return read_setting(knowledge, "cut-in", value);
    };
    const auto why = [&](std::string_view value) -> std::string {
        const auto it = read(value);
        return std::holds_alternative<NotNamed>(it) ? std::get<NotNamed>(it).says : "";
    };
    EXPECT_EQ(why("38 psi"), "");
    EXPECT_EQ(why("0 psi"), "cut-in: 0 psi is out of range; it is above 0 psi");
    EXPECT_EQ(why("-3"), "cut-in: -3 psi is out of range; it is above 0 psi");
    knowledge.settings[1].range = {{"cut-in", {10, 80}}};
    EXPECT_EQ(why("10"), "");
    EXPECT_EQ(why("80"), "");
    EXPECT_EQ(why("8 psi"), "cut-in: 8 psi is out of range; it goes from 10 to 80 psi");
    EXPECT_EQ(why("6 bar"), "cut-in: 87.0226 psi is out of range; it goes from 10 to 80 psi");
}

}  // namespace
}  // namespace knockwell
