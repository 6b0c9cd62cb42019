#include "cli/pick.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

const std::vector<Pickable>& things() {
    static const std::vector<Pickable> all = {{"tank", "Pressure tank"},
                                              {"tank-tee", "Tee at the tank"},
                                              {"switch", "Pressure switch"},
                                              {"nipple", "Quarter-inch nipple"}};
    return all;
}

std::string picked(std::string_view typed) {
    const auto place = pick(things(), typed, "part");
    if (const auto* none = std::get_if<NotPicked>(&place)) {
        std::string text = none->says;
        for (const std::string& near : none->nearest)
            text += " | " + near;
        return text;
    }
    return things()[std::get<0>(place)].id;
}

TEST(Pick, TakesTheIdentifierFirst) { EXPECT_EQ(picked("tank"), "tank"); }

TEST(Pick, TakesTheOnlyTitleWithEveryWord) {
    EXPECT_EQ(picked("quarter"), "nipple");
    EXPECT_EQ(picked("SWITCH pressure"), "switch");
}

TEST(Pick, SaysWhereSeveralFit) {
    EXPECT_EQ(picked("pressure"),
              "'pressure' fits 2 parts | tank (Pressure tank) | switch (Pressure switch)");
}

TEST(Pick, NamesTheNearestWhereNoneFits) {
    EXPECT_EQ(picked("swtich"), "no part is called 'swtich' | switch (Pressure switch)");
    EXPECT_EQ(picked("zzzzzz"), "no part is called 'zzzzzz'");
    EXPECT_EQ(picked(""), "no part is called ''");
}

}  // namespace
}  // namespace knockwell
