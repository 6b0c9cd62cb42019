// What a refer takes for who is there: the small well, with a pump that a refer and a repair take.
#include "advice/handover.hpp"
#include "advice/truck.hpp"
#include "advice/well.hpp"

namespace knockwell {
namespace {

/// The well with work for a pump installer: worn-pump, which a repair of his mends, and
/// lost-thread, which only the refer takes.
std::string with_pump_work() {
    return std::string(well::text) + R"(
[cause.worn-pump]
title   = "Pump worn"
present = "300 in 1000"
[cause.worn-pump.shows]
weak = "9 in 10"

[cause.lost-thread]
title   = "Thread lost"
present = "100 in 1000"
[cause.lost-thread.shows]
weak = "9 in 10"

[symptom.weak]
title = "Water is weak"
ask   = "Is it weak?"
seen_anyway = "1 in 100"

[repair.new-pump]
title   = "New pump"
how     = "Pull it."
fixes   = { worn-pump = "9 in 10" }
minutes = 45
at      = "tank"
needs   = { power = "off", skill = "qualified", licence = ["pump-installer"] }
hazards = ["live"]
cautions = ["line-voltage"]

[refer.pull]
title   = "Call a pump installer"
to      = "pump-installer"
takes   = ["worn-pump", "lost-thread"]
why     = "It wants a rig."
minutes = 30
)";
}

struct Pump {
    explicit Pump(const std::string& toml = with_pump_work()) : text(toml), bench(text) {
        bench.find("weak", "yes", Via::told);
    }
    CauseId cause(const char* id) const { return cause_named(bench.knowledge(), id); }
    Handover handed(const Situation& here) const {
        return handover(bench.knowledge(), bench.evidence, here, pull());
    }
    ReferId pull() const { return refer_named(bench.knowledge(), "pull"); }
    std::string text;
    well::Bench bench;
};

Situation installer() {
    Situation here = well::on_site(Skill::qualified);
    here.licences = {Licence::pump_installer};
    return here;
}

TEST(Handover, WithoutTheLicenceItTakesAll) {
    const Pump pump;
    for (const Licence other : {Licence::electrician, Licence::well_contractor}) {
        Situation here = well::on_site(Skill::qualified);
        here.licences = {other};
        const Handover handed = pump.handed(here);
        EXPECT_FALSE(handed.own);
        EXPECT_EQ(handed.takes,
                  (std::vector<CauseId>{pump.cause("worn-pump"), pump.cause("lost-thread")}));
    }
    Situation phone = installer();
    phone.on_site = false;
    EXPECT_FALSE(pump.handed(phone).own) << "on the phone there are the owner's hands";
}

// A refer for jets alone: where the pump is down in the well nobody is called for it.
TEST(Handover, WhereItDoesNotApplyItTakesNothing) {
    std::string text = with_pump_work();
    const std::string head = "[refer.pull]\n";
    text.insert(text.find(head) + head.size(), "only_if = { pump = \"jet\" }\n");
    Pump pump(text);
    const auto offered = [&] {
        const auto ids = well::ids_of(pump.bench.advice(well::on_site(Skill::qualified)));
        return std::find(ids.begin(), ids.end(), "pull") != ids.end();
    };
    pump.bench.set("pump", "jet");
    EXPECT_FALSE(pump.handed(installer()).takes.empty());
    EXPECT_TRUE(offered());
    pump.bench.set("pump", "submersible");
    EXPECT_TRUE(pump.handed(installer()).takes.empty());
    EXPECT_FALSE(offered());
}

TEST(Handover, WhoHoldsTheLicenceKeepsWhatHisRepairsDoNotMend) {
    const Pump pump;
    const Handover handed = pump.handed(installer());
    EXPECT_TRUE(handed.own);
    EXPECT_EQ(handed.takes, std::vector<CauseId>{pump.cause("lost-thread")});
}

TEST(Handover, ARepairThatHeCannotMakeMendsNothing) {
    Pump pump;
    const auto takes_the_pump = [&](const Situation& here) {
        const auto takes = pump.handed(here).takes;
        return std::find(takes.begin(), takes.end(), pump.cause("worn-pump")) != takes.end();
    };
    Situation helper = installer();
    helper.who = Skill::helper;
    EXPECT_TRUE(takes_the_pump(helper));
    Situation passed = installer();
    passed.passed_over = {"repair:new-pump"};
    EXPECT_TRUE(takes_the_pump(passed));
    EXPECT_FALSE(takes_the_pump(installer()));
    pump.bench.evidence.repairs = {repair_named(pump.bench.knowledge(), "new-pump")};
    EXPECT_TRUE(takes_the_pump(installer())) << "it was made, and mends nothing more";
}

// The repair in 45 minutes is dearer than the refer in 30, and is his all the same.
TEST(Handover, IsOfferedToWhoHoldsTheLicenceAsHisOwnWork) {
    const Pump pump;
    const Advice others = pump.bench.advice(well::on_site(Skill::qualified));
    const Suggestion* handed = well::suggested(others, "pull");
    ASSERT_NE(handed, nullptr);
    EXPECT_FALSE(handed->own_licence);
    EXPECT_EQ(handed->title, "Call a pump installer");
    const Advice his = pump.bench.advice(installer());
    ASSERT_NE(well::suggested(his, "new-pump"), nullptr);
    const Suggestion* own = well::suggested(his, "pull");
    ASSERT_NE(own, nullptr);
    EXPECT_TRUE(own->own_licence);
    EXPECT_EQ(own->title, "Work of your licence (pump-installer)");
    EXPECT_EQ(own->how, "This is work of the licence you hold (pump-installer): Thread lost. It "
                        "wants a rig.");
    EXPECT_EQ(own->minutes, 30);
    EXPECT_LT(own->helps, 0.5 * handed->helps) << "the worn pump is the repair's";
}

// Whoever hands over a thing that he may mend himself is told so, right beside.
TEST(Handover, StandsBeforeWhatOneMayMendOfItOneself) {
    std::string text = with_pump_work();
    const std::string his = R"(, licence = ["pump-installer"])";
    text.replace(text.find(his), his.size(), "");
    const std::string minutes = "minutes = 45";
    text.replace(text.find(minutes), minutes.size(), "minutes = 400");
    const auto ids = [](const Pump& pump) {
        return well::ids_of(pump.bench.advice(well::on_site(Skill::qualified)));
    };
    const std::vector<std::string> both = ids(Pump(text));
    const auto refer = std::find(both.begin(), both.end(), "pull");
    ASSERT_NE(refer, both.end());
    ASSERT_NE(refer + 1, both.end());
    EXPECT_EQ(*(refer + 1), "new-pump") << "dearer, and beside it all the same";
    const std::vector<std::string> one = ids(Pump());
    EXPECT_EQ(std::find(one.begin(), one.end(), "new-pump"), one.end()) << "not his to do";
}

TEST(Handover, IsNotOfferedWhereNothingIsLeft) {
    std::string text = with_pump_work();
    const std::string fixes = R"(fixes   = { worn-pump = "9 in 10" })";
    text.replace(text.find(fixes), fixes.size(),
                 R"(fixes   = { worn-pump = "9 in 10", lost-thread = "5 in 10" })");
    const Pump pump(text);
    ASSERT_NE(well::suggested(pump.bench.advice(well::on_site(Skill::qualified)), "pull"), nullptr);
    EXPECT_EQ(well::suggested(pump.bench.advice(installer()), "pull"), nullptr);
}

TEST(Handover, CountsForWhoDrives) {
    const Pump pump;
    const auto mender = [&](const char* cause, const Situation& here) {
        return mender_of(pump.bench.knowledge(), pump.bench.evidence, here, pump.cause(cause));
    };
    ASSERT_TRUE(mender("worn-pump", {}));
    EXPECT_EQ(mender("worn-pump", {})->kind, StepKind::refer);
    ASSERT_TRUE(mender("worn-pump", installer()));
    EXPECT_EQ(mender("worn-pump", installer())->kind, StepKind::repair);
    ASSERT_TRUE(mender("lost-thread", installer()));
    EXPECT_TRUE(mender("lost-thread", installer())->own_licence);
    const auto list = [&](const Situation& here) {
        return truck_list(pump.bench.model(), pump.bench.evidence, pump.bench.now(), here);
    };
    EXPECT_GT(list({}).handed_over, 0.5);
    EXPECT_EQ(list({}).own_licence, 0);
    const TruckList his = list(installer());
    EXPECT_LT(his.handed_over, 0.1);
    EXPECT_GT(his.own_licence, 0.1);
    EXPECT_GT(his.repaired, 0.5);
    EXPECT_NEAR(his.repaired + his.handed_over + his.own_licence + his.nobodys, 1, 1e-12);
}

/// A motor that is grounded, in the well and somebody else's, or a splice by the house, one's own;
/// a meter tells them apart in twelve minutes.
std::string grounded(const std::string& in_vain) {
    return R"(
[cause.motor-grounded]
title = "Motor grounded"
present = "3 in 100"
[cause.motor-grounded.shows]
trips = 1
to-ground = 1

[cause.splice-wet]
title = "Splice wet"
present = "2 in 100"
[cause.splice-wet.shows]
trips = 1

[symptom.trips]
title = "Breaker trips"
ask   = "Does it trip?"

[observation.to-ground]
title = "Motor leads to ground"
ask   = "Parted at the wellhead: are the motor's leads to ground?"

[test.measure]
title   = "Measure"
how     = "Part the leads and measure."
reveals = ["to-ground"]
minutes = 12

[repair.renew-splice]
title   = "Renew the splice"
how     = "Renew it."
fixes   = { splice-wet = 1 }
minutes = 40

[refer.pull]
title   = "Have the pump pulled"
to      = "pump-installer"
takes   = ["motor-grounded"]
minutes = 20
)" + in_vain;
}

// On a guess of six in ten: with nothing lost in vain it is handed over at once, for the twelve
// minutes save less than they take; where a crew that came for nothing counts, one measures first.
TEST(Handover, IsNotMadeOnAGuessWhereItWouldBeInVain) {
    const auto first = [](const std::string& in_vain) {
        const std::string toml = grounded(in_vain);
        well::Bench bench(toml);
        bench.find("trips", "yes", Via::told);
        return well::ids_of(bench.advice(well::on_site(Skill::qualified))).front();
    };
    EXPECT_EQ(first(""), "pull");
    EXPECT_EQ(first("in_vain = 240\n"), "measure");
}

}  // namespace
}  // namespace knockwell
