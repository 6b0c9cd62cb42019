// A ledger of an older version comes up to date with all that stands in it.
#include "job/summary.hpp"
#include "ledger/schema.hpp"
#include "ledger/scratch.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

std::string version(int which) {
    return bytes_of(std::filesystem::path(KNOCKWELL_TESTS_DIR) / "ledger" /
                    ("version-" + std::to_string(which) + ".sql"));
}

/// The fixture of a version has the schema that the steps so far make, and not that of the next.
void expect_made_by_the_steps_to(int which) {
    SQLite::Database raw(":memory:", SQLite::OPEN_READWRITE);
    raw.exec(version(which));
    EXPECT_EQ(against_schema(raw, which), "");
    EXPECT_NE(against_schema(raw, which + 1), "");
}

Event event(std::uint32_t number, std::int64_t at, EventKind kind, const std::string& what,
            const std::string& value) {
    return {number, at, kind, what, value, 0};
}

const Job closed_job = {"6f1c2a90-1d3e-4b5a-9c7d-0123456789ab",
                        "heron-bottom",
                        "HB-17",
                        "2026.10 (00aa11bb22cc)",
                        1793000000,
                        {event(1, 1793000060, EventKind::said, "no-water", "yes"),
                         event(2, 1793003600, EventKind::person, "", "qualified electrician"),
                         event(3, 1793003700, EventKind::did, "clear-switch-port", ""),
                         event(4, 1793003800, EventKind::closed, "", "cured")}};
const Job open_job = {"a0b1c2d3-e4f5-4678-8a9b-ba9876543210",
                      "quarry-lane",
                      "QL-3",
                      "2026.11 (3f9c0a12bd77)",
                      1795000000,
                      {event(1, 1795000060, EventKind::note, "", "dog in the yard – ring first"),
                       event(2, 1795000070, EventKind::undo, "1", "")}};
/// The open job as version 2 and later have it. One of its clocks once ran behind.
Job gone_on() {
    Job job = open_job;
    job.events.push_back(event(3, 1795168800, EventKind::said, "no-water", "yes"));
    job.events.push_back(event(4, 1795165200, EventKind::found, "water-comes-back", "yes"));
    job.events.push_back(event(5, 1795172400, EventKind::undo, "4", ""));
    job.events.push_back(event(6, 1795172400, EventKind::did, "clear-switch-port", ""));
    job.events.back().minutes = 20.5;
    return job;
}
const Job bare_job = {"ffffffff-0000-4000-b000-000000000001", "", "", "", 0, {}};

TEST(Migration, VersionOneComesUpToDateWithAllItsData) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    from_outside(file).exec(version(1));
    Ledger ledger(file);
    ledger.verify();
    EXPECT_EQ(ledger.list().size(), 3U);
    EXPECT_EQ(found(ledger, closed_job.id), closed_job);
    EXPECT_EQ(found(ledger, open_job.id), open_job);
    EXPECT_EQ(found(ledger, bare_job.id), bare_job);
    EXPECT_EQ(ledger.current(), open_job);
    EXPECT_EQ(from_outside(file).execAndGet("PRAGMA user_version").getInt(), schema_version());
}

TEST(Migration, AnOldLedgerThenTakesMinutesAndIsGuardedAsANewOne) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    from_outside(file).exec(version(1));
    Ledger ledger(file);
    Event did = event(0, 1795001000, EventKind::did, "clear-switch-port", "");
    did.minutes = 20.5;
    EXPECT_EQ(ledger.append(open_job.id, {did}).events[2].minutes, 20.5);
    EXPECT_THROW(from_outside(file).exec("UPDATE events SET minutes = 0"), SQLite::Exception);
    SQLite::Database seen = from_outside(file);
    EXPECT_EQ(against_schema(seen, schema_version()), "");
}

TEST(Migration, IsAllOrNothing) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    from_outside(file).exec(version(1));
    SQLite::Database other = from_outside(file);
    other.exec("PRAGMA journal_mode = WAL");
    other.exec("BEGIN IMMEDIATE");
    expect_in("another program is using it", opening(file));
    other.exec("ROLLBACK");
    EXPECT_EQ(other.execAndGet("PRAGMA user_version").getInt(), 1);
    EXPECT_EQ(against_schema(other, 1), "");
    {  // A step that fails half-way: a row that no step can seal twice the same.
        SQLite::Database raw(":memory:", SQLite::OPEN_READWRITE);
        raw.exec(version(1));
        raw.exec(
            "CREATE TRIGGER trip BEFORE UPDATE ON events BEGIN SELECT RAISE(ABORT, 'tripped'); "
            "END");
        {
            SQLite::Transaction all(raw);
            EXPECT_THROW(bring_up_to_date(raw, 1), SQLite::Exception);
        }
        raw.exec("DROP TRIGGER trip");
        EXPECT_EQ(raw.execAndGet("PRAGMA user_version").getInt(), 1);
        EXPECT_EQ(against_schema(raw, 1), "");
        EXPECT_EQ(raw.execAndGet("SELECT count(*) FROM events").getInt(), 6);
    }
}

TEST(Migration, TheFixtureIsWhatTheFirstStepMakes) {
    SQLite::Database raw(":memory:", SQLite::OPEN_READWRITE);
    raw.exec(version(1));
    EXPECT_EQ(against_schema(raw, 1), "");
    EXPECT_EQ(against_schema(raw, 2), "table events is not as it was made");
}

// The order is that of the numbers, whatever the clock said, and the undo names the entry that it
// named.
TEST(Migration, VersionTwoComesUpToDateWithAllItsData) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    from_outside(file).exec(version(2));
    const Ledger ledger(file);
    ledger.verify();
    EXPECT_EQ(ledger.list().size(), 3U);
    EXPECT_EQ(found(ledger, closed_job.id), closed_job);
    EXPECT_EQ(found(ledger, bare_job.id), bare_job);
    EXPECT_EQ(found(ledger, open_job.id), gone_on());
    EXPECT_EQ(ledger.current(), gone_on());
}

TEST(Migration, ADamagedRowOfVersionTwoIsNotSealedAnew) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    std::string damaged = version(2);
    damaged.replace(damaged.find("'clear-switch-port'"), 19, "'clean-switch-port'");
    from_outside(file).exec(damaged);
    expect_in("cannot open the ledger: it is damaged: event 3 of job " + closed_job.id +
                  ": its checksum is wrong",
              opening(file));
    EXPECT_EQ(from_outside(file).execAndGet("PRAGMA user_version").getInt(), 2);
}

TEST(Migration, TheSecondFixtureIsWhatTheFirstTwoStepsMake) { expect_made_by_the_steps_to(2); }

TEST(Migration, VersionThreeComesUpToDateWithASummaryOfEveryJob) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    from_outside(file).exec(version(3));
    const Ledger ledger(file);
    ledger.verify();
    EXPECT_EQ(found(ledger, closed_job.id), closed_job);
    EXPECT_EQ(found(ledger, bare_job.id), bare_job);
    EXPECT_EQ(ledger.current(), gone_on());
    EXPECT_EQ(from_outside(file).execAndGet("SELECT count(*) FROM summaries").getInt(), 3);
    ledger.each_in_short([&](const Summary& summary, const std::function<Job()>& whole) {
        EXPECT_EQ(summary, summary_of(whole()));
    });
}

TEST(Migration, ADamagedRowOfVersionThreeIsNotSummedUp) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    std::string damaged = version(3);
    damaged.replace(damaged.find("'clear-switch-port'"), 19, "'clean-switch-port'");
    from_outside(file).exec(damaged);
    expect_in("cannot open the ledger: it is damaged: job " + closed_job.id, opening(file));
    EXPECT_EQ(from_outside(file).execAndGet("PRAGMA user_version").getInt(), 3);
}

TEST(Migration, TheThirdFixtureIsWhatTheFirstThreeStepsMake) { expect_made_by_the_steps_to(3); }

// The house of the closed job was corrected by the program of that version.
TEST(Migration, VersionFourComesUpToDateAndFindsTheJobsOfAnInstallation) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    from_outside(file).exec(version(4));
    const Ledger ledger(file);
    ledger.verify();
    EXPECT_EQ(found(ledger, bare_job.id), bare_job);
    EXPECT_EQ(ledger.current(), gone_on());
    EXPECT_EQ(ledger.at_installation("HB-17").size(), 0U);
    ASSERT_EQ(ledger.at_installation("HB-18").size(), 1U);
    EXPECT_EQ(ledger.at_installation("HB-18")[0].id, closed_job.id);
}

TEST(Migration, TheFourthFixtureIsWhatTheFirstFourStepsMake) { expect_made_by_the_steps_to(4); }

// Two trucks that each brought the same old file up to date have the same entries.
TEST(Migration, TwoCopiesOfAnOldLedgerMergeWithoutDoubles) {
    const Scratch scratch;
    for (const char* truck : {"one", "two"})
        from_outside(scratch / truck).exec(version(2));
    Ledger one(scratch / "one");
    (void)Ledger(scratch / "two").append(open_job.id, {note("from the second truck")});
    EXPECT_EQ(one.merge(scratch / "two"), (TakenIn{0, 1, 2, 1}));
    EXPECT_EQ(found(one, open_job.id)->events.size(), 7U);
}

// The older file is only read.
TEST(Migration, AnOlderLedgerIsMergedWithoutBringingItUpToDate) {
    const Scratch scratch;
    from_outside(scratch / "old").exec(version(1));
    Ledger ledger(scratch / "new");
    const TakenIn all = {3, 0, 0, 6, 1, {{bare_job.id, "the installation is empty"}}};
    EXPECT_EQ(ledger.merge(scratch / "old"), all);
    EXPECT_EQ(from_outside(scratch / "old").execAndGet("PRAGMA user_version").getInt(), 1);
    EXPECT_EQ(found(ledger, closed_job.id), closed_job);
}

}  // namespace
}  // namespace knockwell
