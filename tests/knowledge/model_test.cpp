#include "knowledge/model.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

Access access(const std::string& id, AccessId via, std::vector<Hazard> hazards,
              std::vector<CautionId> cautions) {
    Access it;
    it.head.id = id;
    it.via = via;
    it.hazards = std::move(hazards);
    it.cautions = std::move(cautions);
    return it;
}

// pit -> cover off; a step behind the cover.
struct Pit : testing::Test {
    Pit() {
        knowledge.accesses = {
            access("pit", {}, {Hazard::below_grade}, {CautionId(2), CautionId(0)}),
            access("cover-off", AccessId(0), {Hazard::live}, {CautionId(1), CautionId(2)}),
            access("elsewhere", {}, {Hazard::lifting}, {CautionId(4)}),
        };
        step.at = AccessId(1);
        step.hazards = {Hazard::pressure, Hazard::live};
        step.cautions = {CautionId(3), CautionId(0), CautionId(3)};
    }
    Knowledge knowledge;
    Step step;
};

TEST_F(Pit, IsReachedFromOutside) {
    EXPECT_EQ(way_to(knowledge, AccessId(1)), (std::vector<AccessId>{AccessId(0), AccessId(1)}));
    EXPECT_EQ(way_to(knowledge, AccessId(0)), (std::vector<AccessId>{AccessId(0)}));
    EXPECT_EQ(way_to(knowledge, {}), std::vector<AccessId>{});
}

TEST_F(Pit, AddsTheHazardsOfTheWay) {
    EXPECT_EQ(hazards_of(knowledge, step),
              (std::vector<Hazard>{Hazard::live, Hazard::pressure, Hazard::below_grade}));
    step.at = {};
    EXPECT_EQ(hazards_of(knowledge, step), (std::vector<Hazard>{Hazard::live, Hazard::pressure}));
}

TEST_F(Pit, CautionsInTheOrderInWhichTheyAreMet) {
    EXPECT_EQ(cautions_of(knowledge, step),
              (std::vector<CautionId>{CautionId(2), CautionId(0), CautionId(1), CautionId(3)}));
    step.at = {};
    EXPECT_EQ(cautions_of(knowledge, step), (std::vector<CautionId>{CautionId(3), CautionId(0)}));
}

TEST(Model, FindsEachKindByName) {
    Knowledge knowledge;
    const auto fill = [](auto& things, auto head_of) {
        things.resize(2);
        head_of(things[0]).id = "first";
        head_of(things[1]).id = "second";
    };
    const auto own = [](auto& thing) -> Head& { return thing.head; };
    const auto of_step = [](auto& thing) -> Head& { return thing.step.head; };
    fill(knowledge.settings, own);
    fill(knowledge.causes, own);
    fill(knowledge.signs, own);
    fill(knowledge.refers, own);
    fill(knowledge.accesses, own);
    fill(knowledge.tests, of_step);
    fill(knowledge.repairs, of_step);
    EXPECT_EQ(setting_named(knowledge, "second"), SettingId(1));
    EXPECT_EQ(cause_named(knowledge, "second"), CauseId(1));
    EXPECT_EQ(sign_named(knowledge, "second"), SignId(1));
    EXPECT_EQ(test_named(knowledge, "second"), TestId(1));
    EXPECT_EQ(repair_named(knowledge, "second"), RepairId(1));
    EXPECT_EQ(refer_named(knowledge, "second"), ReferId(1));
    EXPECT_EQ(access_named(knowledge, "second"), AccessId(1));
    EXPECT_EQ(cause_named(knowledge, "first"), CauseId(0));
    EXPECT_FALSE(setting_named(knowledge, "secon").valid());
    EXPECT_FALSE(cause_named(knowledge, "").valid());
    EXPECT_FALSE(sign_named(knowledge, "third").valid());
    EXPECT_FALSE(test_named(knowledge, "third").valid());
    EXPECT_FALSE(repair_named(knowledge, "third").valid());
    EXPECT_FALSE(refer_named(knowledge, "third").valid());
    EXPECT_FALSE(access_named(knowledge, "third").valid());
}

// The words are those of docs/knowledge.md.
TEST(Model, HasTheWordsOfTheFormat) {
    EXPECT_EQ(to_text(Skill::owner), "owner");
    EXPECT_EQ(to_text(Skill::helper), "helper");
    EXPECT_EQ(to_text(Skill::qualified), "qualified");
    EXPECT_EQ(to_text(Licence::electrician), "electrician");
    EXPECT_EQ(to_text(Licence::pump_installer), "pump-installer");
    EXPECT_EQ(to_text(Licence::well_contractor), "well-contractor");
    EXPECT_EQ(to_text(Licence::laboratory), "laboratory");
    EXPECT_EQ(to_text(Hazard::live), "live");
    EXPECT_EQ(to_text(Hazard::pressure), "pressure");
    EXPECT_EQ(to_text(Hazard::below_grade), "below-grade");
    EXPECT_EQ(to_text(Hazard::lifting), "lifting");
    EXPECT_EQ(to_text(Hazard::chemical), "chemical");
    EXPECT_EQ(to_text(Basis::none), "none");
    EXPECT_EQ(to_text(Basis::practice), "practice");
    EXPECT_EQ(to_text(Basis::published), "published");
    EXPECT_EQ(to_text(Basis::judgement), "judgement");
    EXPECT_EQ(to_text(Basis::ledger), "ledger");
}

TEST(Sign, NumbersItsValuesFromNormalOutward) {
    Sign sign;
    sign.normal = "in-band";
    sign.low = {"below", "empty"};
    sign.high = {"over"};
    ASSERT_EQ(sign.value_count(), 4U);
    EXPECT_EQ(sign.value_name(0), "in-band");
    EXPECT_EQ(sign.value_name(1), "over");
    EXPECT_EQ(sign.value_name(2), "below");
    EXPECT_EQ(sign.value_name(3), "empty");
}

TEST(Sign, HasItsEdgesFromTheLowestToTheHighest) {
    Sign sign;
    sign.low = {"below", "empty"};
    sign.high = {"over"};
    sign.reading = Reading{};
    sign.reading->low = {{"", 1, 30, {}}, {"", 1, 2, {}}};
    sign.reading->high = {{"", 1, 54, {}}};
    const std::vector<NamedEdge> rising = rising_edges(sign);
    ASSERT_EQ(rising.size(), 3U);
    EXPECT_EQ(rising[0].level, "empty");
    EXPECT_EQ(rising[0].edge, &sign.reading->low[1]);
    EXPECT_EQ(rising[1].level, "below");
    EXPECT_EQ(rising[2].level, "over");
    EXPECT_EQ(rising[2].edge, &sign.reading->high.front());
}

}  // namespace
}  // namespace knockwell
