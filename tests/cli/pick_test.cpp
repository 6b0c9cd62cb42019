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
    // A word of it is enough, wherever it stands, with a slip of the finger too.
    EXPECT_EQ(picked("nipl"), "no part is called 'nipl' | nipple (Quarter-inch nipple)");
    EXPECT_EQ(picked("old-nipple"),
              "no part is called 'old-nipple' | nipple (Quarter-inch nipple)");
    EXPECT_EQ(picked("presure"),
              "no part is called 'presure' | tank (Pressure tank) | switch (Pressure switch)");
    EXPECT_EQ(picked("zzzzzz"), "no part is called 'zzzzzz'");
    EXPECT_EQ(picked(""), "no part is called ''");
}

TEST(Pick, NamesAThingWithoutATitleByItsIdentifierAlone) {
    const auto place = pick({{"clamp meter", ""}}, "clamp metre", "item");
    EXPECT_EQ(std::get<NotPicked>(place).nearest, std::vector<std::string>{"clamp meter"});
}

TEST(Pick, NamesAllThatFitOrSaysHowToSeeFewer) {
    std::vector<Pickable> many;
    for (char c = 'a'; c <= 't'; ++c)
        many.push_back({std::string("tank-") + c, "Tank"});
    EXPECT_EQ(std::get<NotPicked>(pick(many, "tank", "part")).nearest.size(), 20U);
    many.push_back({"tank-u", "Tank"});
    const auto place = pick(many, "tank", "part");
    EXPECT_EQ(std::get<NotPicked>(place).says,
              "'tank' fits 21 parts, of which the first 20 are named; add a word");
    EXPECT_EQ(std::get<NotPicked>(place).nearest.size(), 20U);
}

}  // namespace
}  // namespace knockwell
