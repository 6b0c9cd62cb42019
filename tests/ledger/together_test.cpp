// Several programs on one ledger.
#include "ledger/schema.hpp"
#include "ledger/scratch.hpp"

#include <gtest/gtest.h>
#include <sys/wait.h>

#include <thread>

namespace knockwell {
namespace {

constexpr auto no_patience = std::chrono::milliseconds(0);
constexpr auto patience = std::chrono::seconds(20);

TEST(Together, AWriterThatIsAtWorkIsToldAndReadingGoesOn) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    Ledger ledger(file, no_patience);
    const Job job = job_numbered(1, {{EventKind::note, "", "a"}});
    ledger.begin(job);
    SQLite::Database other = from_outside(file);
    other.exec("BEGIN IMMEDIATE");
    expect_in(file.string() + ": cannot add to job " + job.id +
                  ": another program is using it; try again when that is done",
              error_of([&] { (void)ledger.append(job.id, {note("b")}); }));
    EXPECT_EQ(found(ledger, job.id), job);
    other.exec("ROLLBACK");
    EXPECT_EQ(ledger.append(job.id, {note("b")}).events.size(), 2U);
}

TEST(Together, AnExclusiveLockIsToldAtOpening) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    SQLite::Database other = from_outside(file);
    other.exec("PRAGMA user_version = 1; PRAGMA user_version = 0; BEGIN EXCLUSIVE");
    expect_in(file.string() + ": cannot open the ledger: another program is using it",
              opening(file));
    other.exec("ROLLBACK");
    EXPECT_EQ(opening(file), "");
}

TEST(Together, ALockThatIsGivenUpInTimeIsWaitedFor) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    Ledger ledger(file, patience);
    ledger.begin(job_numbered(1, {}));
    SQLite::Database other = from_outside(file);
    other.exec("BEGIN IMMEDIATE");
    const std::jthread gives_up([&] {
        std::this_thread::sleep_for(std::chrono::milliseconds(50));
        other.exec("ROLLBACK");
    });
    EXPECT_EQ(ledger.append(id_of(1), {note("a")}).events.size(), 1U);
}

/// Opens the ledger by itself and adds to a job, `times` times; the exit status of a child.
int add_notes(const std::filesystem::path& file, const std::string& id, int times) {
    for (int i = 0; i < times; ++i) {
        const std::string says = error_of([&] {
            Ledger ledger(file, patience);
            (void)ledger.append(id, {note("one"), note("two")});
        });
        if (!says.empty())
            return 1;
    }
    return 0;
}

/// Runs both in processes of their own; whether both did well.
bool both(const std::function<int()>& one, const std::function<int()>& other) {
    std::vector<pid_t> children;
    for (const auto& deed : {one, other}) {
        const pid_t child = ::fork();
        if (child == 0)
            ::_exit(deed());
        children.push_back(child);
    }
    bool well = true;
    for (const pid_t child : children) {
        int status = 1;
        ::waitpid(child, &status, 0);
        well = well && WIFEXITED(status) && WEXITSTATUS(status) == 0;
    }
    return well;
}

TEST(Together, TwoProgramsAddToTwoJobsAndToOne) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    {
        Ledger ledger(file);
        ledger.begin(job_numbered(1, {}));
        ledger.begin(job_numbered(2, {}));
    }
    EXPECT_TRUE(both([&] { return add_notes(file, id_of(1), 20); },
                     [&] { return add_notes(file, id_of(2), 20); }));
    EXPECT_TRUE(both([&] { return add_notes(file, id_of(1), 20); },
                     [&] { return add_notes(file, id_of(1), 20); }));
    const Ledger ledger(file);
    ledger.verify();
    ASSERT_EQ(found(ledger, id_of(1))->events.size(), 120U);
    EXPECT_EQ(found(ledger, id_of(2))->events.size(), 40U);
    // Each addition is whole: no other program's event stands between its two.
    const std::vector<Event> events = found(ledger, id_of(1))->events;
    for (std::size_t i = 0; i < events.size(); ++i)
        EXPECT_EQ(events[i].value, i % 2 == 0 ? "one" : "two") << i;
}

TEST(Together, TwoProgramsMakeTheSameNewLedger) {
    for (std::uint32_t round = 0; round < 20; ++round) {
        const Scratch scratch;
        const auto file = scratch / "ledger.sqlite";
        const auto make = [&](std::uint32_t number) {
            return error_of([&] { Ledger(file, patience).begin(job_numbered(number, {})); }).empty()
                       ? 0
                       : 1;
        };
        ASSERT_TRUE(both([&] { return make(1); }, [&] { return make(2); })) << round;
        EXPECT_EQ(Ledger(file).list().size(), 2U);
    }
}

}  // namespace
}  // namespace knockwell
