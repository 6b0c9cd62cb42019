// What cannot be added to a job, and in which words it is kept.
#include "beliefs/small_well.hpp"
#include "job/course.hpp"
#include "job/identity.hpp"
#include "job/story.hpp"

#include <gtest/gtest.h>

#include <limits>

namespace knockwell {
namespace {

const std::string blank;

std::string against(const StoryEvent& told, const Job& job = story({})) {
    return refusal(small_well::knowledge(), job,
                   event_of(told, static_cast<std::uint32_t>(job.events.size() + 1)));
}

std::string kept(EventKind kind, const std::string& what, const std::string& value) {
    const Event event = spelled_out(small_well::knowledge(), event_of({kind, what, value}, 1));
    return event.what + "=" + event.value;
}

TEST(Refusal, WhatNamesThingsOfTheKnowledgeIsTaken) {
    EXPECT_EQ(against({EventKind::set, "pump", "submersible"}), blank);
    EXPECT_EQ(against({EventKind::set, "cut-in", "38 psi"}), blank);
    EXPECT_EQ(against({EventKind::said, "comes-back", "yes"}), blank);
    EXPECT_EQ(against({EventKind::found, "system-pressure", "12 psi@read-gauge"}), blank);
    EXPECT_EQ(against({EventKind::found, "plugged-port", "no"}), blank);
    EXPECT_EQ(against({EventKind::found, "rain", "some"}), blank);
    EXPECT_EQ(against({EventKind::pass, "test:read-gauge", "cannot"}), blank);
    EXPECT_EQ(against({EventKind::pass, "question:comes-back", "not-sure"}), blank);
    EXPECT_EQ(against({EventKind::pass, "refer:call-electrician", "cannot"}), blank);
    EXPECT_EQ(against({EventKind::did_test, "read-gauge", ""}), blank);
    EXPECT_EQ(against({EventKind::did, "clear-port", ""}), blank);
    EXPECT_EQ(against({EventKind::person, "", "qualified electrician well-contractor"}), blank);
    EXPECT_EQ(against({EventKind::state, "access", "switch-cover-off"}), blank);
    EXPECT_EQ(against({EventKind::state, "tank", "drained"}), blank);
    EXPECT_EQ(against({EventKind::cause, "plugged-port", "fixed-it"}), blank);
    EXPECT_EQ(against({EventKind::note, "", "dog in the yard\nring first"}), blank);
    EXPECT_EQ(against({EventKind::left, "", ""}), blank);
    EXPECT_EQ(against({EventKind::resumed, "", ""}), blank);
    EXPECT_EQ(against({EventKind::closed, "", "handed-over"}), blank);
}

TEST(Refusal, OfANumberUnderWhichLevelsMeetOrCross) {
    EXPECT_EQ(against({EventKind::set, "cut-in", "5 psi"}),
              "with cut-in = 5 psi the levels of 'system-pressure' meet: 'empty' at 2 psi, "
              "'below-cut-in' at 2 psi; read it again, or set the other one first");
    EXPECT_EQ(against({EventKind::set, "cut-in", "0 psi"}),
              "cut-in: 0 psi is out of range; it is above 0 psi");
    EXPECT_EQ(against({EventKind::set, "cut-in", "50 psi"}), blank);
    const StoryEvent range = {EventKind::set, "switch-range", "20/40"};
    EXPECT_NE(against({EventKind::set, "cut-in", "50 psi"}, story({range})), blank);
    EXPECT_EQ(against({EventKind::set, "cut-in", "50 psi"},
                      story({range, {EventKind::set, "cut-out", "70 psi"}})),
              blank);
    EXPECT_NE(against(range, story({{EventKind::set, "cut-in", "50 psi"}})), blank)
        << "a choice can be what does not fit, too";
    const Course old =
        course_of(small_well::knowledge(), story({{EventKind::set, "cut-in", "0 psi"}, range}));
    EXPECT_TRUE(old.evidence.quantities.empty());
    EXPECT_EQ(old.lost.size(), 1U) << "an old ledger's is told, and not used";
}

TEST(Refusal, WhatDoesNotIsRefusedWithWhatToWrite) {
    EXPECT_EQ(against({EventKind::said, "comes-bakc", "yes"}),
              "no sign is called 'comes-bakc'; nearest: comes-back (Water comes back by itself)");
    EXPECT_EQ(against({EventKind::found, "system-pressure", "12 V"}),
              "system-pressure: volts where psi is wanted");
    EXPECT_EQ(against({EventKind::said, "plugged-port", "yes"}),
              "a customer reports signs, not causes");
    EXPECT_EQ(against({EventKind::did, "clear-prot", ""}),
              "no repair is called 'clear-prot'; nearest: clear-port");
    EXPECT_EQ(against({EventKind::did_test, "xyzzy", ""}), "no test is called 'xyzzy'");
    EXPECT_EQ(against({EventKind::pass, "read-gauge", "cannot"}),
              "no step is called 'read-gauge'; write test:, question:, setting:, repair: or refer: "
              "and its identifier");
    EXPECT_EQ(against({EventKind::pass, "test:read-gauge", "later"}),
              "'later' is none of these: cannot or not-sure");
    EXPECT_EQ(against({EventKind::person, "", "boss"}),
              "'boss' is none of these: owner, helper or qualified");
    EXPECT_EQ(against({EventKind::person, "", "qualified pilot"}),
              "'pilot' is none of these: electrician, pump-installer, well-contractor or "
              "laboratory");
    EXPECT_EQ(against({EventKind::state, "power", "maybe"}),
              "power: 'maybe' is none of these: off or on");
    EXPECT_EQ(against({EventKind::state, "mood", "good"}),
              "'mood' is none of these: power, pressure, tank, access, lacks or carries");
    EXPECT_EQ(against({EventKind::state, "access", "tnak"}),
              "no access is called 'tnak'; nearest: tank");
    EXPECT_EQ(against({EventKind::cause, "plugged-port", "sure"}),
              "'sure' is none of these: seen, fixed-it or guessed");
    EXPECT_EQ(against({EventKind::closed, "", ""}),
              "'' is none of these: cured, not-cured or handed-over");
    EXPECT_EQ(against({EventKind::note, "", ""}), "the note is empty");
}

TEST(Refusal, APieceOfATitleIsNotEnoughForALedger) {
    EXPECT_EQ(against({EventKind::found, "tank tee", "12 psi"}),
              "no sign is called 'tank tee'; nearest: system-pressure (Gauge at the tank tee)");
    EXPECT_EQ(against({EventKind::found, "worn", "yes"}),
              "no sign is called 'worn'; nearest: worn-pump (Pump worn out)");
    EXPECT_EQ(against({EventKind::set, "range", "20/40"}),
              "no setting is called 'range'; nearest: switch-range (Pressure-switch range)");
    EXPECT_EQ(against({EventKind::did, "Clear it", ""}),
              "no repair is called 'Clear it'; nearest: clear-port");
}

TEST(Refusal, AnUndoMustNameAnEventThatStands) {
    const Job job =
        story({{EventKind::note, "", "a"}, {EventKind::undo, "1", ""}, {EventKind::note, "", "b"}});
    EXPECT_EQ(against({EventKind::undo, "3", ""}, job), blank);
    EXPECT_EQ(against({EventKind::undo, "1", ""}, job), "event 1 is already taken back");
    EXPECT_EQ(against({EventKind::undo, "2", ""}, job),
              "event 2 is itself an undo; enter again what it took back");
    EXPECT_EQ(against({EventKind::undo, "4", ""}, job), "there is no event 4; the last one is 3");
    EXPECT_EQ(against({EventKind::undo, "x", ""}, job), "an undo names the number of an event");
}

TEST(Refusal, AClosedJobTakesNothing) {
    const Job job = story({{EventKind::closed, "", "cured"}});
    const std::string closed = "the job is closed; nothing can be added to it (knockwell jobs "
                               "reopen, or jobs correct)";
    EXPECT_EQ(against({EventKind::note, "", "b"}, job), closed);
    EXPECT_EQ(against({EventKind::undo, "1", ""}, job), closed);
}

std::string against_late(const StoryEvent& told, const Job& job) {
    return refusal_of_correction(small_well::knowledge(), job, event_of(told, 9));
}

TEST(Refusal, AClosedJobIsCorrectedAllTheSame) {
    const Job job = story({{EventKind::said, "comes-back", "yes"},
                           {EventKind::instead, "1", "no"},
                           {EventKind::closed, "", "cured"}});
    EXPECT_EQ(against_late({EventKind::undo, "3", ""}, job), "");
    EXPECT_EQ(against_late({EventKind::instead, "1", "yes"}, job), "");
    EXPECT_NE(against_late({EventKind::instead, "1", "perhaps"}, job), "");
    EXPECT_EQ(against_late({EventKind::instead, "2", "yes"}, job),
              "event 2 is itself a correction; correct event 1");
    EXPECT_EQ(against_late({EventKind::instead, "7", "yes"}, job),
              "there is no event 7; the last one is 3");
    EXPECT_EQ(against_late({EventKind::instead, "x", "yes"}, job),
              "a correction names the number of an event");
    EXPECT_EQ(against_late({EventKind::instead, "3", "not-cured"}, job), "");
    EXPECT_NE(against_late({EventKind::instead, "3", "half-cured"}, job), "");
}

TEST(Refusal, NothingIsSaidOfAJobBeforeItWasOpened) {
    Job job = story({{EventKind::note, "", "a"}});
    Event event = event_of({EventKind::closed, "", "cured"}, 2);
    event.at = job.opened;
    EXPECT_EQ(refusal(small_well::knowledge(), job, event), "");
    event.at = job.opened - 1;
    EXPECT_EQ(refusal(small_well::knowledge(), job, event),
              "its time, 2026-11-25T09:46:39Z, is before job " + short_id(job.id) +
                  " was opened, 2026-11-25T09:46:40Z; set the clock or say --now, or say with "
                  "--job which job is meant");
    EXPECT_EQ(refusal_of_correction(small_well::knowledge(), job, event), "")
        << "what the clock said when it was opened can be the mistake";
}

TEST(Refusal, WhatIsSaidOfTheJobItself) {
    const Job job = story({});
    EXPECT_EQ(against({EventKind::about, "area", "quarry-lane"}, job), "");
    EXPECT_EQ(against({EventKind::about, "area", ""}, job), "the area is empty");
    EXPECT_EQ(against({EventKind::about, "owner", "x"}, job),
              "'owner' is none of these: area, installation, knowledge or call-back-of");
    EXPECT_EQ(against({EventKind::about, "call-back-of", "17"}, job),
              "'17' is no identifier of a job");
    EXPECT_EQ(against({EventKind::about, "call-back-of", ""}, job), "");
    EXPECT_EQ(against({EventKind::about, "installation", std::string(201, 'x')}, job),
              "the installation is longer than 200 bytes");
    EXPECT_EQ(against({EventKind::about, "area", " quarry-lane"}, job),
              "the area has blanks at its ends; leave them out");
    EXPECT_EQ(against({EventKind::about, "area", "quarry\tlane"}, job),
              "the area has control characters in it");
    EXPECT_EQ(
        against({EventKind::about, "area", "quarry\u200blane"}, job),
        "the area has characters in it that are not seen ('quarry\\u200blane'); type it anew");
}

TEST(Refusal, NumbersAndTextsHaveTheirBounds) {
    Event event = event_of({EventKind::did, "clear-port", ""}, 1);
    const auto refused = [&] { return refusal(small_well::knowledge(), story({}), event); };
    event.minutes = most_minutes;
    EXPECT_EQ(refused(), blank);
    for (const double minutes : {-1.0, most_minutes + 1, std::numeric_limits<double>::infinity(),
                                 std::numeric_limits<double>::quiet_NaN()}) {
        event.minutes = minutes;
        EXPECT_EQ(refused(), "minutes go from 0 to 100000");
    }
    event.minutes = 0;
    event.at = std::numeric_limits<std::int64_t>::max();
    EXPECT_EQ(refused(), "the time lies outside of the years 1950 to 2199");
    EXPECT_EQ(against({EventKind::note, "", std::string(longest_value, 'x')}), blank);
    EXPECT_EQ(against({EventKind::note, "", std::string(longest_value + 1, 'x')}),
              "it is longer than an event can hold");
    EXPECT_EQ(against({EventKind::note, "", "bell\a"}), "it has control characters in it");
    EXPECT_EQ(against({EventKind::note, "", std::string("nul\0", 4)}),
              "it has control characters in it");
}

TEST(SpelledOut, ValuesAreKeptSoThatLaterKnowledgeReadsThemTheSame) {
    EXPECT_EQ(kept(EventKind::found, "system-pressure", "12"), "system-pressure=12 psi");
    EXPECT_EQ(kept(EventKind::found, "system-pressure", "2 bar@read"),
              "system-pressure=2 bar@read-gauge");
    EXPECT_EQ(kept(EventKind::found, "flow", "very"), "flow=very-weak");
    EXPECT_EQ(kept(EventKind::said, "water comes back", ""), "comes-back=yes");
    EXPECT_EQ(kept(EventKind::found, "contacts-open", "@look"),
              "contacts-open=yes@look-at-contacts");
    EXPECT_EQ(kept(EventKind::found, "plugged-port", "n"), "plugged-port=no");
    EXPECT_EQ(kept(EventKind::found, "rain", "mu"), "rain=much");
    EXPECT_EQ(kept(EventKind::set, "age", "7"), "age=from-5-to-10");
    EXPECT_EQ(kept(EventKind::set, "cut-in", "38"), "cut-in=38 psi");
    EXPECT_EQ(kept(EventKind::set, "cut-in", "2.6 bar"), "cut-in=2.6 bar");
    EXPECT_EQ(kept(EventKind::found, "nonsense", "x"), "nonsense=x");
}

TEST(SpelledOut, WhatIsSpelledOutIsTakenAndStaysAsItIs) {
    const Knowledge knowledge = small_well::knowledge();
    for (const StoryEvent& told : {StoryEvent{EventKind::found, "tank tee", "12@read"},
                                   StoryEvent{EventKind::found, "faucet", ""},
                                   StoryEvent{EventKind::said, "by itself", "later"},
                                   StoryEvent{EventKind::set, "supply", "230 V"}}) {
        const Event once = spelled_out(knowledge, event_of(told, 1));
        EXPECT_EQ(refusal(knowledge, story({}), once), blank) << told.what;
        EXPECT_EQ(spelled_out(knowledge, once), once) << told.what;
    }
}

}  // namespace
}  // namespace knockwell
