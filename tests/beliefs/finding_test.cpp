// What is typed on the command line, or stands in a practice case or a ledger, becomes a finding.
#include "beliefs/finding.hpp"
#include "beliefs/small_well.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

constexpr double psi_of_a_bar =
    14.503773773;  // NIST SP 811 (2008), appendix B: 1 psi = 6.894757 kPa

using Weights = std::vector<double>;

Finding finding(std::string_view what, std::string_view value, Via via = Via::looked) {
    const auto read = read_finding(small_well::knowledge(), what, value, via);
    if (const auto* none = std::get_if<NotNamed>(&read))
        ADD_FAILURE() << none->says;
    return std::holds_alternative<Finding>(read) ? std::get<Finding>(read) : Finding{};
}

std::string refused(std::string_view what, std::string_view value, Via via = Via::looked) {
    const auto read = read_finding(small_well::knowledge(), what, value, via);
    const auto* none = std::get_if<NotNamed>(&read);
    return none != nullptr ? none->says : "(read)";
}

std::string set_to(std::string_view what, std::string_view value) {
    const Knowledge knowledge = small_well::knowledge();
    const auto read = read_setting(knowledge, what, value);
    if (const auto* none = std::get_if<NotNamed>(&read))
        return "? " + none->says;
    if (const auto* number = std::get_if<KnownQuantity>(&read))
        return number->name + " = " + std::to_string(number->value);
    const auto& known = std::get<KnownSetting>(read);
    return knowledge[known.setting].head.id + " = " + knowledge[known.setting].states[known.state];
}

// A quantity is set as a setting is, so it is among what may have been meant.
TEST(Finding, AMisspeltQuantityIsNamed) {
    const auto read = read_setting(small_well::knowledge(), "cutin", "38psi");
    ASSERT_TRUE(std::holds_alternative<NotNamed>(read));
    EXPECT_EQ(std::get<NotNamed>(read).says, "no setting is called 'cutin'");
    ASSERT_FALSE(std::get<NotNamed>(read).nearest.empty());
    EXPECT_EQ(std::get<NotNamed>(read).nearest.front().substr(0, 8), "cut-in (");
}

TEST(Finding, AFlagIsYesOrNo) {
    EXPECT_EQ(finding("contacts-open", "").value, 1U);
    EXPECT_EQ(finding("contacts-open", "yes").value, 1U);
    EXPECT_EQ(finding("contacts-open", " Y ").value, 1U);
    EXPECT_EQ(finding("contacts-open", "no").value, 0U);
    EXPECT_EQ(finding("contacts-open", "n").value, 0U);
    EXPECT_EQ(refused("contacts-open", "maybe"), "contacts-open: 'maybe' is neither yes nor no");
}

TEST(Finding, AReadingIsInTheSignsUnit) {
    EXPECT_EQ(finding("system-pressure", "12").reading, 12);
    EXPECT_EQ(finding("system-pressure", "12psi").reading, 12);
    EXPECT_EQ(finding("system-pressure", "12 psi").reading, 12);
    EXPECT_NEAR(finding("system-pressure", "2 bar").reading.value_or(0), 2 * psi_of_a_bar, 1e-6);
    EXPECT_FALSE(finding("system-pressure", "12psi").value.has_value());
}

TEST(Finding, AReadingOfTheWrongKindIsRefusedInWords) {
    EXPECT_EQ(refused("system-pressure", "12 V"), "system-pressure: volts where psi is wanted");
    EXPECT_NE(refused("system-pressure", "1e999 psi"), "(read)");
    EXPECT_NE(refused("system-pressure", "12 psi psi"), "(read)");
    EXPECT_EQ(refused("flow", "12 psi"),
              "flow: '12 psi' is none of its values: full, weak, very-weak or none");
}

TEST(Finding, ALevelIsFoundByItsNameOrAnUnambiguousPiece) {
    EXPECT_EQ(finding("system-pressure", "in-band").value, 0U);
    EXPECT_EQ(finding("system-pressure", "dangerous").value, 2U);
    EXPECT_EQ(finding("system-pressure", "empty").value, 4U);
    EXPECT_EQ(finding("flow", "weak").value, 1U);  // exact, though "very-weak" has it as a piece
    EXPECT_EQ(finding("flow", "very").value, 2U);
    EXPECT_EQ(finding("comes-back", "2-min").value, 1U);
    EXPECT_EQ(refused("flow", "ea"), "flow: 'ea' could be weak or very-weak");
    EXPECT_EQ(refused("system-pressure", "foo"),
              "system-pressure: 'foo' is none of its values: in-band, over-cut-out, dangerous, "
              "below-cut-in or empty; or a number in psi");
}

// "air" is a piece of "no-air". What old jobs have so is still read; what somebody types is not
// kept.
TEST(Finding, APieceFromTheMiddleOfAValueIsTooLoose) {
    const auto against = [](std::string_view sign, std::string_view value) {
        return against_loose_value(small_well::knowledge(), finding(sign, value), value);
    };
    EXPECT_EQ(against("comes-back", "2-min"), "'2-min' is only a piece of 'within-2-min'; say no, "
                                              "within-2-min or later");
    for (const char* enough : {"within-2-min", "Within", "yes", "no", ""})
        EXPECT_EQ(against("comes-back", enough), "") << enough;
    EXPECT_EQ(against("system-pressure", "12 psi"), "");
    EXPECT_EQ(against("contacts-open", "y"), "");
}

TEST(Finding, YesWithoutALevelMeansSomeLevelButNotWhereThereAreTwoSides) {
    EXPECT_EQ(finding("comes-back", "").weights, (Weights{0, 1, 1}));
    EXPECT_EQ(finding("flow", "yes").weights, (Weights{0, 1, 1, 1}));
    EXPECT_EQ(refused("system-pressure", ""),
              "system-pressure: say what was found: in-band, over-cut-out, dangerous, below-cut-in "
              "or empty, or a number in psi");
    EXPECT_NE(refused("system-pressure", "yes"), "(read)");
}

// "no" flow is none, and looked at and nothing wrong is full: who means which is not guessed.
TEST(Finding, NoIsNotTakenWhereAValueIsCalledSo) {
    const std::string says = "flow: 'no' does not say which; say full, weak, very-weak or none";
    EXPECT_EQ(refused("flow", "no"), says);
    EXPECT_EQ(refused("flow", "N"), "flow: 'N' does not say which; say full, weak, very-weak or "
                                    "none");
    EXPECT_EQ(finding("flow", "none").value, 3U);
    EXPECT_EQ(finding("flow", "non").value, 3U);
    EXPECT_EQ(refused("system-pressure", "no"),
              "system-pressure: 'no' does not say which; say in-band, over-cut-out, dangerous, "
              "below-cut-in or empty");
    EXPECT_EQ(finding("comes-back", "no").value, 0U) << "no other value of it is called so";
}

// A minus too many would be a burst bladder.
TEST(Finding, AReadingThatNoInstrumentGivesIsRefused) {
    EXPECT_EQ(refused("system-pressure", "-60psi"),
              "system-pressure: -60 psi can be no reading of it; it is never under 0");
    EXPECT_EQ(finding("system-pressure", "0psi").reading, 0);
    Knowledge knowledge = small_well::knowledge();
    const SignId pressure = sign_named(knowledge, "system-pressure");
    Sign& sign = knowledge.signs[pressure.index()];
    const auto says = [&](std::string_view value) {
        const auto read = read_finding(knowledge, "system-pressure", value, Via::looked);
        const auto* none = std::get_if<NotNamed>(&read);
        return none != nullptr ? none->says : "(read)";
    };
    sign.reading->unit = "pH";
    EXPECT_EQ(says("14.5pH"),
              "system-pressure: 14.5 pH can be no reading of it; the scale goes from 0 to 14");
    EXPECT_EQ(says("-1pH"),
              "system-pressure: -1 pH can be no reading of it; the scale goes from 0 to 14");
    EXPECT_EQ(says("7pH"), "(read)");
    sign.reading->unit = "psi";
    sign.reading->low.front() = {"", 1, -5, {}};
    EXPECT_EQ(says("-8psi"), "(read)") << "its levels go under 0";
}

TEST(Finding, ATestStandsBehindTheSignOnlyWhereItShowsIt) {
    const Finding read = finding("system-pressure", "12 psi@read-gauge");
    EXPECT_EQ(read.via, Via::test);
    EXPECT_EQ(read.test, TestId{0});
    EXPECT_EQ(finding("contacts-open", "@look").test,
              TestId{1});  // only one of its tests so begins
    EXPECT_EQ(finding("contacts-open", "yes").via, Via::looked);
    EXPECT_EQ(refused("system-pressure", "12 psi@look-at-contacts"),
              "'look-at-contacts' does not show system-pressure");
    EXPECT_EQ(refused("system-pressure", "12 psi@gague"), "no test is called 'gague'");
    EXPECT_EQ(refused("comes-back", "yes@x"),
              "no test is called 'x'; no test shows it, so leave '@' away");
    EXPECT_EQ(refused("comes-back", "yes@read-gauge", Via::told),
              "comes-back: only what somebody looked at has a test behind '@'");
}

TEST(Finding, TheWayItIsKnownIsKept) {
    EXPECT_EQ(finding("comes-back", "later", Via::told).via, Via::told);
    EXPECT_EQ(finding("comes-back", "later", Via::sure).via, Via::sure);
}

TEST(Finding, ACauseIsSeenOrNot) {
    const auto read = read_finding(small_well::knowledge(), "plugged-port", "no", Via::looked);
    ASSERT_TRUE(std::holds_alternative<KnownCause>(read));
    EXPECT_EQ(std::get<KnownCause>(read), (KnownCause{CauseId{0}, false, 0}));
    EXPECT_EQ(refused("plugged-port", "12 psi"), "plugged-port: '12 psi' is neither yes nor no");
    EXPECT_EQ(refused("plugged-port", "yes@read-gauge"),
              "plugged-port: a cause is seen or not, without '@'");
}

TEST(Finding, ATableHasTheStatesOfItsText) {
    EXPECT_EQ(finding("rain", "much").value, 2U);
    EXPECT_EQ(finding("rain", "much").what, Findable{SettingId{4}});
    EXPECT_EQ(refused("rain", "snow"), "rain: 'snow' is none of its values: no, some or much");
}

TEST(Finding, SettingsTakeChoicesAndNumbers) {
    EXPECT_EQ(set_to("pump", "submersible"), "pump = submersible");
    EXPECT_EQ(set_to("pump", "deep"), "pump = deep-jet");
    EXPECT_EQ(set_to("pump", "jet"), "? pump: 'jet' could be shallow-jet or deep-jet");
    EXPECT_EQ(set_to("pump", "mersible").substr(0, 41), "? pump: 'mersible' is none of its values:")
        << "a piece from the middle may mean the opposite: on, none";
    EXPECT_EQ(set_to("volts", "230"), "volts = 230");
    EXPECT_EQ(set_to("volts", "0.23 kV"), "volts = 230");
    EXPECT_EQ(set_to("volts", "230 psi"), "? volts: psi where V is wanted");
    EXPECT_EQ(set_to("switch-range", "30/50"), "switch-range = 30/50");
    EXPECT_EQ(set_to("switch-range", "30-50"),
              "? switch-range: '30-50' is none of its values: 20/40 or 30/50");
}

TEST(Finding, ANumberPicksTheChoiceThatBeginsAtOrBelowIt) {
    EXPECT_EQ(set_to("age", "0"), "age = under-5");
    EXPECT_EQ(set_to("age", "4.99 years"), "age = under-5");
    EXPECT_EQ(set_to("age", "5years"), "age = from-5-to-10");
    EXPECT_EQ(set_to("age", "120 months"), "age = older");
    EXPECT_EQ(set_to("age", "older"), "age = older");
    EXPECT_EQ(set_to("age", "-1"), "? age: it begins at 0 years");
}

TEST(Finding, AQuantityOfAChoiceIsSetDirectly) {
    EXPECT_EQ(set_to("cut-in", "38psi"), "cut-in = 38.000000");
    EXPECT_EQ(set_to("cut-out", "4 bar"), "cut-out = " + std::to_string(4 * psi_of_a_bar));
    EXPECT_EQ(set_to("cut-in", "38 V"), "? cut-in: volts where psi is wanted");
}

TEST(Finding, AsTextItIsTheTitleWithWhatWasFound) {
    const Knowledge knowledge = small_well::knowledge();
    EXPECT_EQ(to_text(knowledge, finding("system-pressure", "12")),
              "Gauge at the tank tee: 12 psi");
    EXPECT_EQ(to_text(knowledge, finding("contacts-open", "")),
              "Contacts open while the gauge reads low: yes");
    EXPECT_EQ(to_text(knowledge, finding("comes-back", "")),
              "Water comes back by itself: within-2-min or later");
    Finding weighed = finding("rain", "no");
    weighed.value.reset();
    weighed.weights = {0.5, 0.25, 0};
    EXPECT_EQ(to_text(knowledge, weighed), "It rained: no 0.5, some 0.25 and much 0");
}

TEST(Finding, ControlCharactersComeOutEscaped) {
    Knowledge knowledge = small_well::knowledge();
    knowledge.signs[1].head.title = "Bell\a";
    EXPECT_EQ(to_text(knowledge, finding("contacts-open", "")), "Bell\\x07: yes");
    EXPECT_EQ(refused("contacts-open", "\x1b[2J"),
              "contacts-open: '\\x1b[2J' is neither yes nor no");
}

TEST(Evidence, TheSameWayOfTheSameSignInTheSameStageReplaces) {
    Evidence evidence;
    Finding low = finding("system-pressure", "12@read-gauge");
    add(evidence, low);
    Finding again = finding("system-pressure", "14@read-gauge");
    add(evidence, again);
    ASSERT_EQ(evidence.findings.size(), 1U);
    EXPECT_EQ(evidence.findings[0].reading, 14);

    add(evidence, finding("system-pressure", "15"));  // an untested look is another way
    add(evidence, finding("system-pressure", "empty", Via::told));
    again.stage = 1;
    add(evidence, again);
    EXPECT_EQ(evidence.findings.size(), 4U);
}

}  // namespace
}  // namespace knockwell
