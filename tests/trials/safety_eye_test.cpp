// The second pair of eyes sees each rule broken, and is content where it is kept.
#include "trials/safety_eye.hpp"

#include <gtest/gtest.h>

namespace knockwell::trials {
namespace {

constexpr std::string_view small_house = R"(
[access.tank]
title    = "At the tank"
cautions = ["look-first"]
[access.cover]
title    = "Cover off"
via      = "tank"
power    = "off"
skill    = "qualified"
hazards  = ["live"]
cautions = ["line-voltage"]
[access.piping]
title    = "Piping opened"
via      = "tank"
power    = "off"
pressure = "zero"
skill    = "qualified"
hazards  = ["pressure"]
cautions = ["drain-it"]
[access.leads]
title    = "Leads off"
via      = "tank"
power    = "off"
put_back = "Leads on"
skill    = "qualified"
hazards  = ["live"]
cautions = ["line-voltage"]
[caution.look-first]
covers = ["pressure"]
[caution.line-voltage]
covers = ["live"]
[caution.drain-it]
covers = ["pressure"]
[test.gauge]
at    = "tank"
needs = { skill = "owner" }
[test.contacts]
at      = "cover"
needs   = { power = "off", skill = "qualified" }
[test.ohms]
at      = "leads"
needs   = { power = "off", skill = "qualified" }
[test.volts]
at      = "cover"
needs   = { power = "on", skill = "qualified" }
hazards = ["live"]
[test.amps]
at       = "cover"
set_dead = "Set the clamp"
needs    = { power = "on", skill = "qualified" }
hazards  = ["live"]
[test.listen]
at    = "tank"
needs = { pump = "running", skill = "owner" }
[test.metal]
needs   = { skill = "qualified", licence = ["electrician"] }
[repair.switch]
at      = "piping"
needs   = { power = "off", pressure = "zero", skill = "qualified" }
[repair.live-mending]
at      = "cover"
needs   = { power = "on", skill = "qualified" }
[stop.past-plate]
when       = { pressure = "dangerous" }
blocks     = "all"
cleared_by = ["proved-zero"]
mended_by  = ["switch"]
)";

const ToldFirst lock{"Switch off, lock it, and prove every leg dead", {}};
const ToldFirst drain{"Open a drain and leave it open until it has stopped running", {}};
const ToldFirst restore{"With everybody clear, restore the power", {}};
const ToldFirst clamp{"Set the clamp", {}};
const ToldFirst cover_and_restore{"Put the covers back on; then, restore the power", {}};
const ToldFirst at_tank{"At the tank", {}};
const ToldFirst cover{"Cover off", {}};
const ToldFirst piping{"Piping opened", {}};
const ToldFirst leads{"Leads off", {}};
const ToldFirst leads_on{"Leads on", {"line-voltage"}};
const std::vector<std::string> all{"look-first", "line-voltage", "drain-it"};

class Eye : public ::testing::Test {
protected:
    std::vector<std::string> watch(const Offer& offer) { return eye.watch(offer); }

    SafetyTexts texts = SafetyTexts::of_text(small_house);
    SafetyEye eye{texts, {"qualified", {}, true}};
};

TEST_F(Eye, IsContentWithWhatIsDoneDeadAndDrained) {
    EXPECT_TRUE(watch({"test", "gauge", {at_tank}, all}).empty());
    EXPECT_TRUE(watch({"test", "contacts", {lock, cover}, all}).empty());
    EXPECT_TRUE(watch({"test", "volts", {restore}, all}).empty());
    EXPECT_TRUE(watch({"repair", "switch", {lock, drain, piping}, all}).empty());
}

TEST_F(Eye, SeesACoverOpenedLive) {
    EXPECT_FALSE(watch({"test", "contacts", {at_tank, cover}, all}).empty());
}

TEST_F(Eye, SeesADrainUnderARunningPump) {
    EXPECT_FALSE(watch({"repair", "switch", {at_tank, drain, lock, piping}, all}).empty());
}

TEST_F(Eye, SeesPipingOpenedUnderPressure) {
    EXPECT_FALSE(watch({"repair", "switch", {at_tank, lock, piping}, all}).empty());
}

TEST_F(Eye, SeesPowerThatComesBackOnOpenWater) {
    EXPECT_TRUE(watch({"repair", "switch", {at_tank, lock, drain, piping}, all}).empty());
    EXPECT_FALSE(watch({"test", "volts", {cover, restore}, all}).empty());
}

TEST_F(Eye, SeesPowerThatComesBackOnACoverLeftOpen) {
    EXPECT_TRUE(watch({"test", "contacts", {at_tank, lock, cover}, all}).empty());
    EXPECT_FALSE(watch({"test", "listen", {restore}, all}).empty());
    EXPECT_TRUE(watch({"test", "contacts", {lock, cover}, all}).empty());
    EXPECT_TRUE(watch({"test", "listen", {cover_and_restore}, all}).empty());
    EXPECT_TRUE(watch({"test", "volts", {lock, cover, restore}, all}).empty())
        << "who watches what is behind it leaves it off";
}

TEST_F(Eye, SeesPowerThatComesBackOnWhatWasTakenApart) {
    EXPECT_TRUE(watch({"test", "ohms", {at_tank, lock, leads}, all}).empty());
    EXPECT_FALSE(watch({"test", "listen", {cover_and_restore}, all}).empty());
    EXPECT_TRUE(watch({"test", "ohms", {lock, leads}, all}).empty());
    EXPECT_TRUE(watch({"test", "listen", {leads_on, restore}, all}).empty());
    EXPECT_FALSE(watch({"test", "listen", {leads_on}, all}).empty()) << "they are on, and live";
    EXPECT_TRUE(watch({"test", "ohms", {lock, leads}, all}).empty());
    EXPECT_FALSE(watch({"test", "listen", {{"Leads on", {}}, restore}, all}).empty())
        << "without its caution";
}

TEST_F(Eye, SeesWhatIsToBeSetDeadSetLive) {
    EXPECT_TRUE(watch({"test", "amps", {at_tank, lock, cover, clamp, restore}, all}).empty());
    EXPECT_FALSE(watch({"test", "amps", {clamp}, all}).empty()) << "the power is on";
    EXPECT_FALSE(watch({"test", "amps", {lock, restore}, all}).empty()) << "it was not set";
}

TEST_F(Eye, SeesALookThatWantsPowerWithoutIt) {
    EXPECT_FALSE(watch({"test", "volts", {at_tank, lock, cover}, all}).empty());
}

TEST_F(Eye, SeesARepairAtLiveParts) {
    EXPECT_FALSE(watch({"repair", "live-mending", {at_tank, lock, cover, restore}, all}).empty());
}

TEST_F(Eye, SeesARepairMadeTwice) {
    EXPECT_TRUE(watch({"repair", "switch", {at_tank, lock, drain, piping}, all}).empty());
    EXPECT_FALSE(watch({"repair", "switch", {}, all}).empty());
}

TEST_F(Eye, SeesACautionThatIsMissing) {
    EXPECT_FALSE(watch({"test", "contacts", {at_tank, lock, cover}, {"look-first"}}).empty());
}

TEST_F(Eye, SeesAStepWhileAStopHoldsUntilItIsLiftedOrMended) {
    eye.found("pressure", "dangerous");
    EXPECT_FALSE(watch({"test", "gauge", {at_tank}, all}).empty());
    eye.cleared("proved-zero");
    EXPECT_TRUE(watch({"test", "gauge", {}, all}).empty());
    eye.found("pressure", "dangerous");
    EXPECT_FALSE(watch({"repair", "switch", {lock, drain, piping}, all}).empty());
    EXPECT_TRUE(watch({"test", "gauge", {}, all}).empty()) << "the repair mends the danger";
}

TEST_F(Eye, SeesWhatIsNotForTheOwner) {
    SafetyEye owner{texts, {"owner", {}, true}};
    EXPECT_TRUE(owner.watch({"test", "gauge", {at_tank}, all}).empty());
    EXPECT_FALSE(owner.watch({"test", "contacts", {lock, cover}, all}).empty());
    SafetyEye phone{texts, {"qualified", {}, false}};
    EXPECT_FALSE(phone.watch({"test", "volts", {at_tank, cover}, all}).empty());
}

TEST_F(Eye, SeesWorkWithoutItsLicence) {
    EXPECT_FALSE(watch({"test", "metal", {}, all}).empty());
    SafetyEye electrician{texts, {"qualified", {"electrician"}, true}};
    EXPECT_TRUE(electrician.watch({"test", "metal", {}, all}).empty());
}

TEST_F(Eye, SeesAPlaceThatNobodyHasReached) {
    EXPECT_FALSE(watch({"test", "gauge", {}, all}).empty());
}

TEST_F(Eye, SeesAStepThatTheTextsDoNotHave) {
    EXPECT_FALSE(watch({"test", "guess", {}, all}).empty());
}

}  // namespace
}  // namespace knockwell::trials
