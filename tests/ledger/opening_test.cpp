// Whatever stands in the way of opening is told with the file and the deed, and nothing foreign is
// touched.
#include "ledger/inside.hpp"
#include "ledger/schema.hpp"
#include "ledger/scratch.hpp"

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <sys/wait.h>

namespace knockwell {
namespace {

TEST(Opening, ANewFileIsALedgerInTheWriteAheadLogAndPrivateToItsOwner) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    const Ledger ledger(file);
    SQLite::Database seen = from_outside(file);
    EXPECT_EQ(seen.execAndGet("PRAGMA application_id").getInt(), 0x4B6E776C);
    EXPECT_EQ(seen.execAndGet("PRAGMA user_version").getInt(), schema_version());
    EXPECT_EQ(seen.execAndGet("PRAGMA journal_mode").getString(), "wal");
    for (const char* end : {"", "-wal", "-shm"}) {
        struct stat status {};
        ASSERT_EQ(::stat((file.string() + end).c_str(), &status), 0) << end;
        EXPECT_EQ(status.st_mode & 0777U, 0600U) << end;
    }
}

// What a shop wrote for years must not count as a ledger in which nothing was ever kept.
TEST(Opening, AFileOfNoBytesIsALostLedgerAndNoNewOne) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    write(file, "");
    const std::string lost = "the ledger: it is empty (0 bytes), as a power cut can leave it; put "
                             "back a backup, or remove it if a new ledger is to begin here";
    EXPECT_EQ(opening(file), file.string() + ": cannot open " + lost);
    EXPECT_EQ(bytes_of(file), "");
    std::filesystem::remove(file);
    EXPECT_EQ(opening(file), "");
    const auto folder = std::filesystem::directory_iterator(file.parent_path());
    EXPECT_EQ(std::distance(begin(folder), end(folder)), 1) << "nothing is left beside it";
}

TEST(Opening, WhereNoneIsToBeMadeNoneIs) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    EXPECT_EQ(
        error_of([&] { const Ledger ledger(file, std::chrono::seconds(0), NoLedger::refuse); }),
        file.string() + ": cannot open the ledger: there is no such file");
    EXPECT_TRUE(std::filesystem::is_empty(scratch / ""));
    look_at(file);  // it may go at any moment, and is not made then
    EXPECT_TRUE(std::filesystem::is_empty(scratch / ""));
}

TEST(Opening, ALedgerThatBeginsWithItsJobsIsNotThereBefore) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    const auto begun = [&] {
        return Ledger(file, std::chrono::seconds(5), NoLedger::make_with_jobs);
    };
    {
        const Ledger ledger = begun();
        EXPECT_FALSE(ledger.has_its_name());
        EXPECT_EQ(ledger.count(), 0U);
    }
    EXPECT_TRUE(std::filesystem::is_empty(scratch / "")) << "nothing came of it";
    {
        Ledger ledger = begun();
        EXPECT_FALSE(std::filesystem::exists(file));
        ledger.begin(job_numbered(1, {}));
        EXPECT_TRUE(ledger.has_its_name());
        EXPECT_EQ(Ledger(file).count(), 1U);
        ledger.begin(job_numbered(2, {}));
    }
    const Ledger again = begun();
    EXPECT_TRUE(again.has_its_name());
    EXPECT_EQ(again.count(), 2U);
    again.verify();
    const auto other = scratch / "other.sqlite";
    Ledger late(other, std::chrono::seconds(5), NoLedger::make_with_jobs);
    Ledger(other).begin(job_numbered(3, {}));
    EXPECT_EQ(error_of([&] { (void)late.merge(file); }),
              other.string() + ": cannot make the ledger: another program has begun one there "
                               "meanwhile, and nothing is kept in it; do it once more");
    EXPECT_EQ(Ledger(other).count(), 1U);
}

TEST(Opening, OtherFilesAreRefusedAndLeftAsTheyAre) {
    const Scratch scratch;
    const auto file = scratch / "letter.txt";
    write(file, std::string(5000, 'x'));
    const std::string says = opening(file);
    expect_in(file.string() + ": cannot open the ledger: it is not a ledger", says);
    EXPECT_EQ(bytes_of(file), std::string(5000, 'x'));
}

TEST(Opening, AFewBytesAreNoEmptyLedger) {
    const Scratch scratch;
    const auto file = scratch / "note.txt";
    for (const std::size_t size : {1U, 2U, 100U, 511U}) {
        write(file, std::string(size, 'x'));
        expect_in(file.string() + ": cannot open the ledger: it is not a ledger", opening(file));
        EXPECT_EQ(bytes_of(file), std::string(size, 'x'));
    }
}

TEST(Opening, AnotherProgramsDatabaseIsRefusedAndLeftAsItIs) {
    const Scratch scratch;
    for (const char* make :
         {"CREATE TABLE songs (title TEXT)", "CREATE TABLE jobs (id TEXT); PRAGMA user_version = 1",
          "CREATE TABLE songs (title TEXT); PRAGMA application_id = 7", "PRAGMA application_id = 7",
          "PRAGMA user_version = 2"}) {
        const auto file = scratch / "other.sqlite";
        std::filesystem::remove(file);
        from_outside(file).exec(make);
        const std::string before = bytes_of(file);
        EXPECT_EQ(opening(file), file.string() + ": cannot open the ledger: it belongs to another "
                                                 "program")
            << make;
        EXPECT_EQ(bytes_of(file), before) << make;
    }
}

TEST(Opening, ANewerSchemaIsRefused) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    EXPECT_EQ(opening(file), "");
    from_outside(file).exec("PRAGMA user_version = 99");
    EXPECT_EQ(opening(file), file.string() +
                                 ": cannot open the ledger: it is from a newer "
                                 "knockwell (schema 99, this one knows " +
                                 std::to_string(schema_version()) + ")");
}

// What is left of a ledger is no other kind of file.
TEST(Opening, TheFirstBytesOfALedgerAreADamagedOne) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    EXPECT_EQ(opening(file), "");
    const std::string beginning = bytes_of(file).substr(0, 100);
    write(file, beginning);
    const std::string damaged = "it is damaged: of its first page only 100 bytes are left; put "
                                "back a backup";
    EXPECT_EQ(opening(file), file.string() + ": cannot open the ledger: " + damaged);
    Ledger one(scratch / "one");
    EXPECT_EQ(error_of([&] { (void)one.merge(file); }),
              file.string() + ": cannot open the other ledger: " + damaged);
    EXPECT_EQ(bytes_of(file), beginning);
}

TEST(Opening, TablesThatAreNotAsTheyWereMadeAreRefused) {
    const Scratch scratch;
    for (const auto& [deed, says] : std::vector<std::pair<std::string, std::string>>{
             {"DROP TRIGGER events_are_kept", "trigger events_are_kept is missing"},
             {"DROP TABLE summaries", "table summaries is missing"},
             {"ALTER TABLE jobs ADD COLUMN name TEXT", "table jobs is not as it was made"},
             {"CREATE TRIGGER more AFTER INSERT ON events BEGIN SELECT 1; END",
              "trigger more is not of a ledger"},
             {"PRAGMA user_version = 0", "its schema has no version"}}) {
        const auto file = scratch / "ledger.sqlite";
        std::filesystem::remove(file);
        EXPECT_EQ(opening(file), "");
        from_outside(file).exec(deed);
        EXPECT_EQ(opening(file), file.string() + ": cannot open the ledger: it is damaged: " +
                                     says + "; put back a backup")
            << deed;
    }
}

TEST(Opening, AShopsOwnViewsAndIndexesBesideTheTablesAreLetBe) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    EXPECT_EQ(opening(file), "");
    from_outside(file).exec("CREATE VIEW ours AS SELECT area FROM jobs; CREATE TABLE more (a); "
                            "CREATE INDEX by_area ON jobs (area); ANALYZE");
    EXPECT_EQ(opening(file), "");
}

TEST(Opening, AFolderAndAFolderThatIsNotThereAreTold) {
    const Scratch scratch;
    const auto folder = scratch / "ledger.sqlite";
    std::filesystem::create_directory(folder);
    EXPECT_EQ(opening(folder), folder.string() + ": cannot open the ledger: it is a folder");
    const auto nowhere = scratch / "none" / "ledger.sqlite";
    EXPECT_EQ(opening(nowhere),
              nowhere.string() + ": cannot make the ledger: No such file or directory");
}

/// What `deed` says when somebody without rights does it. Root may write everywhere, so a child
/// gives the rights up.
std::string without_rights(const std::function<std::string()>& deed) {
    if (::geteuid() != 0)
        return deed();
    int ends[2];
    if (::pipe(ends) != 0)
        return "no pipe";
    const pid_t child = ::fork();
    if (child == 0) {
        constexpr unsigned nobody = 65534;
        std::string says = "rights were not given up";
        if (::setgid(nobody) == 0 && ::setuid(nobody) == 0)
            says = deed();
        const auto written = ::write(ends[1], says.data(), says.size());
        ::_exit(written < 0 ? 1 : 0);
    }
    ::close(ends[1]);
    std::string says;
    char buffer[512];
    for (ssize_t got = 0; (got = ::read(ends[0], buffer, sizeof buffer)) > 0;)
        says.append(buffer, static_cast<std::size_t>(got));
    ::close(ends[0]);
    ::waitpid(child, nullptr, 0);
    return says;
}

TEST(Opening, AFolderThatCannotBeWrittenIsTold) {
    const Scratch scratch;
    const auto folder = scratch / "";
    const auto old = scratch / "old.sqlite";
    EXPECT_EQ(opening(old), "");
    ASSERT_EQ(::chmod(old.c_str(), 0444), 0);
    ASSERT_EQ(::chmod(folder.c_str(), 0555), 0);
    const auto fresh = scratch / "new.sqlite";
    EXPECT_EQ(without_rights([&] { return opening(fresh); }),
              fresh.string() + ": cannot make the ledger: Permission denied");
    expect_in(old.string() + ": cannot open the ledger: the file or its folder cannot be written",
              without_rights([&] { return opening(old); }));
    ASSERT_EQ(::chmod(folder.c_str(), 0755), 0);
}

TEST(Opening, WhatAMessageRepeatsIsSafeOnATerminal) {
    const Scratch scratch;
    const std::string says = opening(scratch / "\x1b[2Jx" / "y");
    expect_in("\\x1b[2Jx", says);
    EXPECT_EQ(says.find('\x1b'), std::string::npos);
}

}  // namespace
}  // namespace knockwell
