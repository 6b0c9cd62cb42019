// What the truck carries, and whether it rolls: shares added up by hand on a small well.
#include "advice/blame.hpp"
#include "advice/mending.hpp"
#include "advice/phone.hpp"
#include "advice/truck.hpp"
#include "advice/well.hpp"

#include <algorithm>

namespace knockwell {
namespace {

/// The small well with parts for every repair: contacts and port share one kind of nipple.
std::string with_parts() {
    std::string text(well::text);
    const auto put = [&](const std::string& after, const std::string& line) {
        const std::size_t at = text.find(after);
        ASSERT_NE(at, std::string::npos) << after;
        text.insert(text.find('\n', text.find("needs    = { power = \"off\" }", at)) + 1, line);
    };
    put("[repair.clear-port]", "parts    = { nipple = 1 }\n");
    put("[repair.replace-switch]", "parts    = { switch = 1, nipple = 2 }\ntools = [\"wrench\"]\n");
    return text + "[part.nipple]\ntitle = \"Nipple\"\nnote = \"thread of the switch\"\n"
                  "[part.switch]\ntitle = \"Switch\"\n";
}

double share_of(const well::Bench& bench, const char* cause) {
    const auto shares = trouble_shares(blamed(bench.model(), bench.evidence, bench.now()),
                                       explainers(bench.model(), bench.evidence));
    return shares[cause_named(bench.knowledge(), cause).index()];
}

const PartWanted* wanted(const well::Bench& bench, const TruckList& list, std::string_view id) {
    for (const PartWanted& it : list.parts)
        if (bench.knowledge().parts[it.part.index()].head.id == id)
            return &it;
    return nullptr;
}

TEST(Mender, IsTheOneWithTheLargestChanceAMinuteAndNoneTwice) {
    const std::string text = with_parts();
    well::Bench bench(text);
    const CauseId port = cause_named(bench.knowledge(), "plugged-port");
    const auto first = mender_of(bench.knowledge(), bench.evidence, {}, port);
    ASSERT_TRUE(first);  // 0.95 in 20 minutes against 0.5 in 40
    EXPECT_EQ(bench.knowledge().repairs[first->index].step.head.id, "clear-port");
    EXPECT_EQ(first->chance, 0.95);
    bench.evidence.repairs = {RepairId(first->index)};
    const auto then = mender_of(bench.knowledge(), bench.evidence, {}, port);
    ASSERT_TRUE(then);
    EXPECT_EQ(bench.knowledge().repairs[then->index].step.head.id, "replace-switch");
    const auto handed =
        mender_of(bench.knowledge(), {}, {}, cause_named(bench.knowledge(), "rusty-bracket"));
    ASSERT_TRUE(handed);
    EXPECT_EQ(handed->kind, StepKind::refer);
}

TEST(Truck, PartsHaveTheSharesOfTheRepairsThatTakeThem) {
    const std::string text = with_parts();
    well::Bench bench(text);
    bench.find("comes-back", "yes", Via::told);
    const TruckList list = truck_list(bench.model(), bench.evidence, bench.now(), {}, 1);
    const double port = share_of(bench, "plugged-port");
    const double contacts = share_of(bench, "burnt-contacts");
    ASSERT_NE(wanted(bench, list, "nipple"), nullptr);
    ASSERT_NE(wanted(bench, list, "switch"), nullptr);
    EXPECT_NEAR(wanted(bench, list, "nipple")->used, port + contacts, 1e-12);
    EXPECT_NEAR(wanted(bench, list, "switch")->used, contacts, 1e-12);
    EXPECT_EQ(wanted(bench, list, "nipple")->pieces, 2) << "the most that one repair takes";
    EXPECT_EQ(list.tools, std::vector<std::string>{"wrench"});
    EXPECT_NEAR(list.covered, 1, 1e-12);
    EXPECT_NEAR(list.repaired + list.handed_over + list.nobodys, 1, 1e-12);
    EXPECT_TRUE(std::is_sorted(list.parts.begin(), list.parts.end(),
                               [](const auto& a, const auto& b) { return a.used > b.used; }));
}

// The fewest repairs that make up the share wanted, and no more.
TEST(Truck, CoversWhatIsWantedWithTheFewestRepairs) {
    const std::string text = with_parts();
    well::Bench bench(text);
    bench.find("surging", "yes", Via::told);
    for (const double cover : {0.3, 0.6, 0.8, 0.9, 0.99, 1.0}) {
        const TruckList list = truck_list(bench.model(), bench.evidence, bench.now(), {}, cover);
        EXPECT_GE(list.covered, cover - 1e-9) << cover;
        ASSERT_FALSE(list.repairs.empty());
        double before = 0;
        for (std::size_t i = 0; i + 1 < list.repairs.size(); ++i)
            before += list.repairs[i].share;
        EXPECT_LT(before, cover * list.repaired) << cover << ": one repair fewer would do";
    }
}

TEST(Truck, NothingReportedNothingCarried) {
    well::Bench bench;
    EXPECT_TRUE(truck_list(bench.model(), bench.evidence, bench.now(), {}).parts.empty());
    bench.find("surging", "no", Via::told);
    EXPECT_TRUE(truck_list(bench.model(), bench.evidence, bench.now(), {}).parts.empty());
}

// ---- the phone

/// Danger signs that a customer can tell of, and a cure that an owner may make.
std::string with_phone() {
    std::string text(well::text);
    const auto replace = [&](const std::string& what, const std::string& by) {
        ASSERT_NE(text.find(what), std::string::npos) << what;
        text.replace(text.find(what), what.size(), by);
    };
    replace("[observation.swollen]", "[symptom.swollen]");
    replace("[observation.runs-on]", "[symptom.runs-on]");
    return text + R"(
[repair.open-the-filter-bypass]
title   = "Open the bypass"
how     = "Open it."
fixes   = { burnt-contacts = "9 in 10" }
minutes = 2
needs   = { skill = "owner" }
)";
}

PhoneStage stage_of(const well::Bench& bench) {
    return phone_stage(bench.model(), bench.evidence, bench.now(), {});
}

TEST(Phone, DangerComesFirstAndIsAskedForFirst) {
    const std::string text = with_phone();
    well::Bench bench(text);
    bench.find("surging", "yes", Via::told);
    const PhoneStage unasked = stage_of(bench);
    EXPECT_EQ(unasked.roll, Roll::ask_first);
    EXPECT_EQ(unasked.dangers.size(), 2U);  // the gauge is no symptom
    bench.find("runs-on", "no", Via::told);
    bench.find("swollen", "no", Via::told);
    EXPECT_TRUE(stage_of(bench).dangers.empty());
    EXPECT_NE(stage_of(bench).roll, Roll::ask_first);
    bench.find("swollen", "yes", Via::told);
    const PhoneStage danger = stage_of(bench);
    EXPECT_EQ(danger.roll, Roll::danger_first);
    EXPECT_FALSE(danger.next) << "nothing but the danger";
}

TEST(Phone, SomebodyDrivesUnlessTheOwnerOrALicenceEndsIt) {
    const std::string text = with_phone();
    well::Bench bench(text);
    bench.find("runs-on", "no", Via::told);
    bench.find("swollen", "no", Via::told);
    EXPECT_EQ(stage_of(bench).roll, Roll::ask_first) << "nothing is reported";
    bench.find("surging", "yes", Via::told);
    const PhoneStage rolls = stage_of(bench);
    EXPECT_EQ(rolls.roll, Roll::roll);
    EXPECT_NEAR(rolls.owner_ends, 0.9 * share_of(bench, "burnt-contacts"), 1e-12);
    ASSERT_TRUE(rolls.next);
    EXPECT_NE(rolls.next->id, "look-at-contacts") << "an owner opens no cover";
    bench.evidence.causes = {{cause_named(bench.knowledge(), "burnt-contacts"), true, 0},
                             {cause_named(bench.knowledge(), "failed-bladder"), false, 0},
                             {cause_named(bench.knowledge(), "plugged-port"), false, 0}};
    EXPECT_EQ(stage_of(bench).roll, Roll::owner_first);
    bench.evidence.causes = {};
    bench.evidence.findings.clear();
    bench.find("runs-on", "no", Via::told);
    bench.find("swollen", "no", Via::told);
    bench.find("bracket-rust", "yes", Via::looked);
    EXPECT_EQ(stage_of(bench).roll, Roll::hand_over);
}

// The owner on the phone reads no pressure in the tank; who drives does, and needs what it takes.
TEST(Phone, NamesTheToolsOfTheFirstLooksOnSite) {
    const std::string toml = with_phone() + R"(
[observation.charge-low]
title = "Charge is low"
ask   = "Is the charge low?"
[test.read-charge]
title   = "Read the charge"
how     = "Read it at the valve."
reveals = ["charge-low"]
minutes = 2
at      = "tank"
needs   = { skill = "helper" }
tools   = ["tire gauge"]
[cause.charge-lost]
title   = "Charge lost"
present = "8 in 100"
[cause.charge-lost.shows]
surging    = "9 in 10"
charge-low = "9 in 10"
)";
    well::Bench bench(toml);
    EXPECT_TRUE(stage_of(bench).look_tools.empty()) << "nothing speaks of the tank yet";
    bench.find("surging", "yes", Via::told);
    const PhoneStage stage = stage_of(bench);
    EXPECT_EQ(stage.look_tools, std::vector<std::string>{"tire gauge"});
    Situation lacking;
    lacking.lacking_tools = {"tire gauge"};
    EXPECT_EQ(phone_stage(bench.model(), bench.evidence, bench.now(), lacking).look_tools,
              stage.look_tools)
        << "what the truck lacks is wanted all the same";
}

// Whoever asks and whatever was made safe: on the phone there are the owner's hands only.
TEST(Phone, OffersTheOwnersStepsOnlyWhoeverAsks) {
    const std::string text = with_phone();
    well::Bench bench(text);
    bench.find("surging", "yes", Via::told);
    Situation able = well::on_site(Skill::qualified);
    able.power_off = true;
    const PhoneStage stage = phone_stage(bench.model(), bench.evidence, bench.now(), able);
    EXPECT_EQ(stage.next->id, stage_of(bench).next->id);
    EXPECT_EQ(stage.owner_ends, stage_of(bench).owner_ends);
}

}  // namespace
}  // namespace knockwell
