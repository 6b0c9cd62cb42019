// Jobs are kept, added to all or none, found again, and never changed.
#include "ledger/exchange.hpp"
#include "ledger/ledger.hpp"
#include "ledger/scratch.hpp"

#include <gtest/gtest.h>

#include <utility>

namespace knockwell {
namespace {

const std::vector<StoryEvent> complaint = {
    {EventKind::said, "no-water", "yes"},
    {EventKind::found, "system-pressure", "12 psi@read-gauge"}};

TEST(Ledger, WhatWasKeptComesBackTheSame) {
    Ledger ledger(":memory:");
    Job job = job_numbered(1, complaint);
    job.events[1].minutes = 12.25;
    job.events[1].value = "äöü \"' ; -- \n\t";
    job.opened = -5;
    ledger.begin(job);
    EXPECT_EQ(found(ledger, job.id), job);
}

TEST(Ledger, IsThereTheNextTimeTheFileIsOpened) {
    const Scratch scratch;
    const Job job = job_numbered(1, complaint);
    Ledger(scratch / "ledger.sqlite").begin(job);
    EXPECT_EQ(found(Ledger(scratch / "ledger.sqlite"), job.id), job);
}

TEST(Ledger, AddedEventsAreNumberedOnFromTheLast) {
    Ledger ledger(":memory:");
    ledger.begin(job_numbered(1, complaint));
    const Job now = ledger.append(id_of(1), {note("a"), note("b")});
    ASSERT_EQ(now.events.size(), 4U);
    EXPECT_EQ(now.events[2].number, 3U);
    EXPECT_EQ(now.events[3].number, 4U);
    EXPECT_EQ(found(ledger, id_of(1)), now);
    EXPECT_EQ(ledger.append(id_of(1), {}), now);
}

// What was weighed by the entries that were there is refused once there are others; a remark is
// not.
TEST(Ledger, WhatIsWeighedByOtherEntriesIsRefused) {
    Ledger ledger(":memory:");
    ledger.begin(job_numbered(1, complaint));
    const std::size_t seen = ledger.append(id_of(1), {note("a")}).events.size();
    const Event closing = event_of({EventKind::closed, "", "cured"}, 0);
    const Event undo = event_of({EventKind::undo, "1", ""}, 0);
    (void)ledger.append(id_of(1), {note("b")}, seen);
    for (const Event& weighed : {closing, undo})
        EXPECT_NE(error_of([&] {
                      (void)ledger.append(id_of(1), {weighed}, seen);
                  }).find("somebody added to it meanwhile"),
                  std::string::npos);
    const std::size_t all = ledger.append(id_of(1), {note("c")}, seen).events.size();
    (void)ledger.append(id_of(1), {closing}, all);
    EXPECT_NE(error_of([&] {
                  (void)ledger.append(id_of(1), {note("d")}, all);
              }).find("somebody added to it meanwhile"),
              std::string::npos)
        << "it was closed meanwhile";
}

// Another truck's clock puts its closing before what was seen: it is among the entries, and not
// behind them.
TEST(Ledger, WhatWasClosedByAMergeTakesNothingMore) {
    const Scratch scratch;
    Ledger one(scratch / "one");
    Ledger two(scratch / "two");
    one.begin(job_numbered(1, complaint));
    (void)two.merge(scratch / "one");
    const std::size_t seen = one.append(id_of(1), {note("later")}).events.size();
    Event closing = event_of({EventKind::closed, "", "cured"}, 0);
    closing.at -= 1;
    (void)two.append(id_of(1), {closing});
    (void)one.merge(scratch / "two");
    ASSERT_EQ(found(one, id_of(1))->events.back().value, "later");
    EXPECT_NE(error_of([&] {
                  (void)one.append(id_of(1), {note("d")}, seen);
              }).find("somebody added to it meanwhile"),
              std::string::npos);
    EXPECT_EQ(one.append(id_of(1), {note("d")}, seen + 1).events.back().value, "d");
}

// Where the clock runs behind, entries are counted on; where there is no number left, a second
// later.
TEST(Ledger, AnEntryAfterTheLastNumberOfAMomentIsStillBehindIt) {
    Ledger ledger(":memory:");
    const auto line = from_line(
        R"({"job":")" + id_of(1) +
        R"(","area":"a","installation":"b","knowledge":"c","opened":"2026-11-25T00:00:00Z","entries":[{"at":"2026-11-25T00:01:00Z","kind":"said","what":"no-water","value":"yes","moment":"2999-01-01T00:00:00Z","tick":4294967295}]})");
    ASSERT_TRUE(std::holds_alternative<KeptJob>(line)) << std::get<NoJobLine>(line).says;
    std::optional<KeptJob> once = std::get<KeptJob>(line);
    ASSERT_TRUE(ledger.take_in({[&] { return std::exchange(once, std::nullopt); },
                                [](std::size_t, const std::string& why) { FAIL() << why; },
                                [] { return true; }}));
    (void)ledger.append(id_of(1), {event_of({EventKind::undo, "1", ""}, 0)});
    (void)ledger.append(id_of(1), {note("later")});
    ASSERT_TRUE(found(ledger, id_of(1)));
    EXPECT_EQ(found(ledger, id_of(1))->events.back().value, "later");
    ledger.verify();
}

TEST(Ledger, NothingIsKeptOfAnAdditionThatFailsHalfWay) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    Ledger ledger(file);
    ledger.begin(job_numbered(1, complaint));
    const std::optional<Job> before = found(ledger, id_of(1));
    from_outside(file).exec("CREATE TRIGGER trip BEFORE INSERT ON events WHEN NEW.value = 'trip' "
                            "BEGIN SELECT RAISE(ABORT, 'tripped'); END");
    for (std::size_t place = 0; place < 5; ++place) {  // the n-th insert fails
        std::vector<Event> events(5, note("text"));
        events[place].value = "trip";
        const std::string says = error_of([&] { (void)ledger.append(id_of(1), events); });
        expect_in(file.string() + ": cannot add to job " + id_of(1) + ": tripped", says);
        EXPECT_EQ(found(ledger, id_of(1)), before);
        Job fresh = job_numbered(2, {});
        fresh.events = events;
        expect_in("cannot keep a new job", error_of([&] { ledger.begin(fresh); }));
        EXPECT_EQ(found(ledger, id_of(2)), std::nullopt);
    }
    EXPECT_EQ(ledger.append(id_of(1), {note("text")}).events.size(), 3U);
}

TEST(Ledger, AJobIsKeptOnceAndAnUnknownOneIsNotAddedTo) {
    Ledger ledger(":memory:");
    const Job job = job_numbered(1, complaint);
    ledger.begin(job);
    expect_in(":memory:: cannot keep a new job: the job is there already",
              error_of([&] { ledger.begin(job); }));
    expect_in("there is no such job",
              error_of([&] { (void)ledger.append(id_of(2), {note("a")}); }));
    EXPECT_EQ(found(ledger, job.id), job);
}

TEST(Ledger, WhatAnEventCannotHoldIsRefused) {
    Ledger ledger(":memory:");
    ledger.begin(job_numbered(1, complaint));
    Event event = note("a");
    const auto refused = [&] {
        return error_of([&] { (void)ledger.append(id_of(1), {event}); }).find("CHECK constraint") !=
               std::string::npos;
    };
    EXPECT_FALSE(refused());
    event.minutes = -1;
    EXPECT_TRUE(refused());
    event = note(std::string("nul\0inside", 10));
    EXPECT_TRUE(refused());
    event = note(std::string(longest_value + 1, 'x'));
    EXPECT_TRUE(refused());
    event = note("a");
    event.at = 253402300800;
    EXPECT_TRUE(refused());
    Job job = job_numbered(2, {});
    job.area = std::string(longest_what / 2 + 1, 'x') + std::string(longest_what / 2, 'y');
    expect_in("CHECK constraint", error_of([&] { ledger.begin(job); }));
    job = job_numbered(2, {});
    job.id = "17";
    expect_in("its identifier is none", error_of([&] { ledger.begin(job); }));
}

TEST(Ledger, AJobIsFoundByAnUnambiguousBeginning) {
    Ledger ledger(":memory:");
    ledger.begin(job_numbered(0x12345678, {}));
    ledger.begin(job_numbered(0x12349999, {}));
    ledger.begin(job_numbered(0xabcdef00, {}));
    const auto meant = [&](const std::string& typed) -> std::string {
        const FoundJob it = ledger.find(typed);
        if (const auto* job = std::get_if<Job>(&it))
            return job->id.substr(0, 8);
        if (std::holds_alternative<Ambiguous>(it))
            return "several";
        return std::get<NoneFound>(it) == NoneFound::too_short ? "too short" : "none";
    };
    EXPECT_EQ(meant("12345"), "12345678");
    EXPECT_EQ(meant("ABCD"), "abcdef00");
    EXPECT_EQ(meant("1234"), "several");
    EXPECT_EQ(meant("abc"), "too short");
    EXPECT_EQ(meant("%%%%"), "none");
    EXPECT_EQ(meant("abcdef00' OR '1'='1"), "none");
    EXPECT_EQ(meant(""), "too short");
}

TEST(Ledger, OfSeveralThatSoBeginTheNewestAreNamed) {
    Ledger ledger(":memory:");
    for (std::uint32_t i = 0; i < most_candidates; ++i)
        ledger.begin(job_numbered(0x12340000 + i, {}));
    const auto candidates = [&] { return std::get<Ambiguous>(ledger.find("1234")); };
    EXPECT_EQ(candidates().ids.size(), most_candidates);
    EXPECT_FALSE(candidates().more);
    Job newest = job_numbered(0x12349999, {});
    newest.opened += 1000000000;
    ledger.begin(newest);
    EXPECT_EQ(candidates().ids.size(), most_candidates);
    EXPECT_EQ(candidates().ids.front(), newest.id);
    EXPECT_TRUE(candidates().more);
}

TEST(Ledger, TheCurrentJobIsTheOneOpenedLastThatIsNotClosed) {
    Ledger ledger(":memory:");
    EXPECT_EQ(ledger.current(), std::nullopt);
    ledger.begin(job_numbered(2, complaint));
    ledger.begin(job_numbered(1, complaint));
    EXPECT_EQ(ledger.current()->id, id_of(2));
    (void)ledger.append(id_of(2), {event_of({EventKind::closed, "", "cured"}, 0)});
    EXPECT_EQ(ledger.current()->id, id_of(1));
    (void)ledger.append(id_of(2), {event_of({EventKind::undo, "3", ""}, 0)});
    EXPECT_EQ(ledger.current()->id, id_of(2));
    (void)ledger.append(id_of(2), {event_of({EventKind::closed, "", "cured"}, 0)});
    (void)ledger.append(id_of(1), {event_of({EventKind::closed, "", "not-cured"}, 0)});
    EXPECT_EQ(ledger.current(), std::nullopt);
}

TEST(Ledger, TheListIsNewestFirst) {
    Ledger ledger(":memory:");
    for (std::uint32_t number = 1; number <= 5; ++number)
        ledger.begin(job_numbered(number, number == 2 ? std::vector<StoryEvent>{} : complaint));
    (void)ledger.append(id_of(5), {event_of({EventKind::closed, "", "cured"}, 0)});
    (void)ledger.append(id_of(4), {event_of({EventKind::undo, "1", ""}, 0)});
    const std::vector<JobLine> lines = ledger.list(4);
    ASSERT_EQ(lines.size(), 4U);
    EXPECT_EQ(lines[0].id, id_of(5));
    EXPECT_EQ(lines[3].id, id_of(2));
    EXPECT_TRUE(lines[0].closed);
    EXPECT_EQ(lines[0].events, 3U);
    EXPECT_EQ(lines[0].first_said, "no-water");
    EXPECT_FALSE(lines[1].closed);
    EXPECT_EQ(lines[1].first_said, "");  // taken back
    EXPECT_EQ(lines[2].area, "heron-bottom");
    EXPECT_EQ(lines[2].installation, "HB-17");
    EXPECT_EQ(lines[2].opened, job_numbered(3, {}).opened);
    EXPECT_EQ(ledger.list(0).size(), 0U);
}

TEST(Ledger, ListsTheJobsThatNameACauseOnARoad) {
    Ledger ledger(":memory:");
    for (std::uint32_t number = 1; number <= 6; ++number)
        ledger.begin(job_numbered(number, complaint));
    for (const std::uint32_t number : {2U, 3U, 5U})
        (void)ledger.append(id_of(number),
                            {event_of({EventKind::cause, "worn-contacts", "seen"}, 0)});
    for (const std::uint32_t number : {2U, 3U})
        (void)ledger.append(id_of(number), {event_of({EventKind::closed, "", "cured"}, 0)});
    (void)ledger.append(id_of(2), {event_of({EventKind::about, "area", "mill-road"}, 0)});

    const JobsFound named = ledger.list({.cause = "worn-contacts"}, 2);
    EXPECT_EQ(named.jobs, 3U);
    EXPECT_EQ(named.closed, 2U);
    EXPECT_EQ(named.houses, 2U);
    ASSERT_EQ(named.newest.size(), 2U);
    EXPECT_EQ(named.newest[0].id, id_of(5));
    EXPECT_EQ(named.newest[1].id, id_of(3));
    EXPECT_EQ(named.newest[1].outcome, "cured");
    ASSERT_EQ(named.newest[1].causes.size(), 1U);
    EXPECT_EQ(named.newest[1].causes[0].cause, "worn-contacts");

    EXPECT_EQ(ledger.list({.area = "mill-road"}).newest.front().id, id_of(2));
    EXPECT_EQ(ledger.list({.area = "mill-road"}).jobs, 1U);
    EXPECT_EQ(ledger.list({.area = "heron-bottom", .cause = "worn-contacts"}).jobs, 2U);
    EXPECT_EQ(ledger.list({.since = job_numbered(4, {}).opened}).jobs, 3U);
    EXPECT_EQ(ledger.list({.installation = "HB-1"}).jobs, 0U);
    const JobsFound there = ledger.list({.installation = "HB-17", .cause = "worn-contacts"}, 2);
    EXPECT_EQ(there.jobs, 3U);
    ASSERT_EQ(there.newest.size(), 2U);
    EXPECT_EQ(there.newest[0].id, id_of(5)) << "the newest first by the index too";
}

// `visit` asks for the dangers first, and keeps every "no".
TEST(Ledger, TheListNamesAComplaintAndNoDangerThatWasDenied) {
    Ledger ledger(":memory:");
    ledger.begin(job_numbered(
        1, {{EventKind::said, "pump-never-stops", "no"}, {EventKind::said, "no-water", "yes"}}));
    EXPECT_EQ(ledger.list()[0].first_said, "no-water");
    ledger.begin(job_numbered(2, {{EventKind::said, "pump-never-stops", "no"}}));
    EXPECT_EQ(ledger.list()[0].first_said, "");
}

std::vector<std::string> ids_at(const Ledger& ledger, const std::string& installation,
                                std::size_t most = 50) {
    std::vector<std::string> ids;
    for (const JobLine& line : ledger.at_installation(installation, most))
        ids.push_back(line.id);
    return ids;
}

// The first was opened at HB-17; the second was mistyped and corrected to it, the third away from
// it, and the fourth there and back again.
TEST(Ledger, AnInstallationHasTheJobsThatStandThereNow) {
    Ledger ledger(":memory:");
    const auto opened_at = [&](std::uint32_t number, const std::string& code) {
        Job job = job_numbered(number, {});
        job.installation = code;
        ledger.begin(job);
    };
    const auto correct = [&](std::uint32_t number, EventKind kind, const std::string& what,
                             const std::string& value) {
        (void)ledger.append(id_of(number), {event_of({kind, what, value}, 0)});
    };
    opened_at(1, "HB-17");
    opened_at(2, "HB-71");
    opened_at(3, "HB-17");
    opened_at(4, "HB-17");
    opened_at(5, "HB-9");
    correct(2, EventKind::about, "installation", "HB-17");
    correct(3, EventKind::about, "installation", "HB-71");
    correct(4, EventKind::about, "installation", "HB-71");
    correct(4, EventKind::undo, "1", "");
    correct(5, EventKind::about, "area", "HB-17");
    using Ids = std::vector<std::string>;
    EXPECT_EQ(ids_at(ledger, "HB-17"), (Ids{id_of(4), id_of(2), id_of(1)}));
    EXPECT_EQ(ids_at(ledger, "HB-17", 2), (Ids{id_of(4), id_of(2)}));
    EXPECT_EQ(ids_at(ledger, "HB-71"), (Ids{id_of(3)}));
    // The correction itself is given another value at its place.
    correct(3, EventKind::instead, "1", "HB-9");
    EXPECT_EQ(ids_at(ledger, "HB-71"), Ids{});
    EXPECT_EQ(ids_at(ledger, "HB-9"), (Ids{id_of(5), id_of(3)}));
}

// The second was opened on another road and corrected to this one, the third away from it.
TEST(Ledger, OfAnInstallationOnManyRoadsOneRoadsJobsAreAskedFor) {
    Ledger ledger(":memory:");
    const auto opened_on = [&](std::uint32_t number, const std::string& area) {
        Job job = job_numbered(number, {});
        job.area = area;
        job.installation = "17";
        ledger.begin(job);
    };
    opened_on(1, "heron-bottom");
    opened_on(2, "quarry-lane");
    opened_on(3, "Heron-Bottom");
    opened_on(4, "quarry-lane");
    (void)ledger.append(id_of(2), {event_of({EventKind::about, "area", "elsewhere"}, 0)});
    (void)ledger.append(id_of(2), {event_of({EventKind::instead, "1", "heron-bottom"}, 0)});
    (void)ledger.append(id_of(3), {event_of({EventKind::about, "area", "quarry-lane"}, 0)});
    const auto ids = [](const std::vector<JobLine>& lines) {
        std::vector<std::string> all;
        for (const JobLine& line : lines)
            all.push_back(line.id);
        return all;
    };
    using Ids = std::vector<std::string>;
    EXPECT_EQ(ids(ledger.at_installation("17", 1, "heron-bottom")), (Ids{id_of(2)}));
    EXPECT_EQ(ids(ledger.at_installation("17", 9, "HERON-bottom")), (Ids{id_of(2), id_of(1)}));
    EXPECT_EQ(ids(ledger.at_installation("17", 9, "elsewhere")), Ids{});
    EXPECT_EQ(ids(ledger.ever_at("17", 9, "heron-bottom")), (Ids{id_of(3), id_of(2), id_of(1)}));
    EXPECT_EQ(ids(ledger.at_installation("17")), (Ids{id_of(4), id_of(3), id_of(2), id_of(1)}));
}

// Not even a hand with sqlite3 changes a row by accident.
TEST(Ledger, RowsAreOnlyAdded) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    const Job job = job_numbered(1, complaint);
    Ledger(file).begin(job);
    SQLite::Database hand = from_outside(file);
    for (const char* deed : {"UPDATE events SET value = 'no'", "DELETE FROM events",
                             "UPDATE jobs SET area = 'quarry-lane'", "DELETE FROM jobs",
                             "INSERT OR REPLACE INTO jobs SELECT * FROM jobs",
                             "INSERT OR REPLACE INTO events SELECT * FROM events",
                             "INSERT INTO events SELECT * FROM events", "DELETE FROM tallies",
                             "DELETE FROM summaries"}) {
        EXPECT_THROW(hand.exec(deed), SQLite::Exception) << deed;
    }
    const Ledger ledger(file);
    ledger.verify();
    EXPECT_EQ(found(ledger, job.id), job);
}

}  // namespace
}  // namespace knockwell
