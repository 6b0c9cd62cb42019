// A ledger of an older version comes up to date with all that stands in it.
#include "ledger/schema.hpp"
#include "ledger/scratch.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

std::string version_1() {
    return bytes_of(std::filesystem::path(KNOCKWELL_TESTS_DIR) / "ledger" / "version-1.sql");
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
const Job bare_job = {"ffffffff-0000-4000-b000-000000000001", "", "", "", 0, {}};

TEST(Migration, VersionOneComesUpToDateWithAllItsData) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    from_outside(file).exec(version_1());
    Ledger ledger(file);
    ledger.verify();
    EXPECT_EQ(ledger.list().size(), 3U);
    EXPECT_EQ(found(ledger, closed_job.id), closed_job);
    EXPECT_EQ(found(ledger, open_job.id), open_job);
    EXPECT_EQ(found(ledger, bare_job.id), bare_job);
    EXPECT_EQ(ledger.current(), open_job);
    EXPECT_EQ(from_outside(file).execAndGet("PRAGMA user_version").getInt(), 2);
}

TEST(Migration, AnOldLedgerThenTakesMinutesAndIsGuardedAsANewOne) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    from_outside(file).exec(version_1());
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
    from_outside(file).exec(version_1());
    SQLite::Database other = from_outside(file);
    other.exec("PRAGMA journal_mode = WAL");
    other.exec("BEGIN IMMEDIATE");
    expect_in("another program is using it", opening(file));
    other.exec("ROLLBACK");
    EXPECT_EQ(other.execAndGet("PRAGMA user_version").getInt(), 1);
    EXPECT_EQ(against_schema(other, 1), "");
    {  // A step that fails half-way: a row that no step can seal twice the same.
        SQLite::Database raw(":memory:", SQLite::OPEN_READWRITE);
        raw.exec(version_1());
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
    raw.exec(version_1());
    EXPECT_EQ(against_schema(raw, 1), "");
    EXPECT_EQ(against_schema(raw, 2), "table events is not as it was made");
}

}  // namespace
}  // namespace knockwell
