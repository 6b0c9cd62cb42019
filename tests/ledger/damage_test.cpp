// A failing disk: opening and reading a damaged ledger never crashes, and verify() never calls
// wrong data right.
#include "ledger/scratch.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

namespace knockwell {
namespace {

std::vector<Job> jobs() {
    std::vector<Job> all;
    for (std::uint32_t number = 1; number <= 12; ++number) {
        std::vector<StoryEvent> events = {{EventKind::said, "no-water", "yes"},
                                          {EventKind::person, "", "qualified electrician"}};
        for (std::uint32_t i = 0; i < number; ++i)
            events.push_back({EventKind::found, "system-pressure", std::to_string(i) + " psi"});
        if (number % 2 == 0)
            events.push_back({EventKind::closed, "", "cured"});
        events.push_back({EventKind::note, "", std::string(std::size_t{100} * number, 'n')});
        all.push_back(job_numbered(number, events));
    }
    return all;
}

/// The bytes of a ledger with those jobs, all of it in the one file.
std::string healthy(const Scratch& scratch) {
    const auto file = scratch / "healthy.sqlite";
    {
        Ledger ledger(file);
        for (const Job& job : jobs())
            ledger.begin(job);
    }
    EXPECT_FALSE(std::filesystem::exists(file.string() + "-wal"));
    return bytes_of(file);
}

/// Reads all there is. What comes is checked for nothing but being readable.
std::vector<Job> read_all(const Ledger& ledger) {
    std::vector<Job> all;
    for (const JobLine& line : ledger.list())
        if (const auto job = found(ledger, line.id))
            all.push_back(*job);
    (void)ledger.current();
    std::reverse(all.begin(), all.end());
    return all;
}

struct Counts {
    std::size_t refused = 0;
    std::size_t same = 0;
};

/// Opens and reads the bytes as a ledger. Each job that comes must be one that was kept; what
/// verify() passes, all of them.
void try_out(const std::filesystem::path& file, const std::string& bytes, Counts& counts) {
    for (const char* end : {"-wal", "-shm"})
        std::filesystem::remove(file.string() + end);
    write(file, bytes);
    bool verified = false;
    std::vector<Job> read;
    const std::string says = error_of([&] {
        Ledger ledger(file, std::chrono::milliseconds(0));
        read = read_all(ledger);
        ledger.verify();
        verified = true;
    });
    const std::vector<Job> kept = jobs();
    for (const Job& job : read) {
        const Job& was =
            kept[static_cast<std::size_t>(std::stoul(job.id.substr(0, 8), nullptr, 16) - 1)];
        // Of a job whose last pages are gone the first events may be left, but none that never was.
        ASSERT_LE(job.events.size(), was.events.size());
        ASSERT_TRUE(std::equal(job.events.begin(), job.events.end(), was.events.begin()));
    }
    if (verified) {
        ASSERT_EQ(read, kept);
        ++counts.same;
    } else {
        expect_in(file.string() + ": cannot ", says);
        ++counts.refused;
    }
}

TEST(Damage, FlippedBytesGiveAnErrorOrTheRightData) {
    const Scratch scratch;
    const std::string good = healthy(scratch);
    Counts counts;
    for (std::uint32_t seed = 1; seed <= 300; ++seed) {
        SCOPED_TRACE("seed " + std::to_string(seed));
        std::mt19937 engine(seed);
        std::string bad = good;
        const std::size_t flips = 1 + engine() % 3;
        for (std::size_t i = 0; i < flips; ++i) {
            const std::size_t place = engine() % bad.size();
            bad[place] =
                static_cast<char>(static_cast<unsigned char>(bad[place]) ^ (1 + engine() % 255));
        }
        ASSERT_NO_FATAL_FAILURE(try_out(scratch / "damaged.sqlite", bad, counts));
    }
    EXPECT_GT(counts.refused, 50U);  // most of the file matters
    EXPECT_GT(counts.same, 0U);      // unused bytes do not
}

// The first hundred bytes say what the file is and how to read it: each is tried.
TEST(Damage, EveryByteOfTheHeaderMayBeWrong) {
    const Scratch scratch;
    const std::string good = healthy(scratch);
    Counts counts;
    for (std::size_t place = 0; place < 100; ++place)
        for (const unsigned flip : {0x01U, 0x80U, 0xFFU}) {
            SCOPED_TRACE("byte " + std::to_string(place));
            std::string bad = good;
            bad[place] = static_cast<char>(static_cast<unsigned char>(bad[place]) ^ flip);
            ASSERT_NO_FATAL_FAILURE(try_out(scratch / "damaged.sqlite", bad, counts));
        }
    EXPECT_GT(counts.refused, 100U);
}

TEST(Damage, AFileCutShortGivesAnErrorOrTheRightData) {
    const Scratch scratch;
    const std::string good = healthy(scratch);
    constexpr std::size_t page = 4096;
    Counts whole_pages_gone;
    Counts part_of_the_last;  // which may be unused
    for (std::size_t length = 1; length < good.size(); length += 397) {
        SCOPED_TRACE("cut to " + std::to_string(length) + " of " + std::to_string(good.size()));
        Counts& counts = length + page <= good.size() ? whole_pages_gone : part_of_the_last;
        ASSERT_NO_FATAL_FAILURE(
            try_out(scratch / "damaged.sqlite", good.substr(0, length), counts));
    }
    EXPECT_EQ(whole_pages_gone.same, 0U);
    EXPECT_GT(whole_pages_gone.refused, 30U);
}

TEST(Damage, APageThatIsLostIsSeenAtOpening) {
    const Scratch scratch;
    const auto file = scratch / "damaged.sqlite";
    std::string bad = healthy(scratch);
    constexpr std::size_t page = 4096;
    write(file, bad);
    const auto root = static_cast<std::size_t>(
        from_outside(file)
            .execAndGet("SELECT rootpage FROM sqlite_schema WHERE name = 'events'")
            .getInt());
    bad.replace((root - 1) * page, page, page, '\0');
    write(file, bad);
    const std::string says = opening(file);
    expect_in(file.string() + ": cannot open the ledger: it is damaged: ", says);
    expect_in("; put back a backup", says);
    EXPECT_EQ(says.find("***"), std::string::npos) << says;
    EXPECT_EQ(says.find("\\x0a"), std::string::npos) << says;
}

TEST(Damage, ATextThatWasChangedIsToldWithItsJobAndEvent) {
    const Scratch scratch;
    const auto file = scratch / "damaged.sqlite";
    std::string bad = healthy(scratch);
    const std::size_t place = bad.find("saidno-water");  // of an entry: kind and what
    ASSERT_NE(place, std::string::npos);
    bad.replace(place, 12, "saidmo-water");
    write(file, bad);
    const Ledger ledger(file);
    const std::string says = error_of([&] { (void)ledger.list(); });
    expect_in(file.string() + ": cannot list the jobs: it is damaged: job ", says);
    expect_in("event 1 of job ", says);
    expect_in("its checksum is wrong", says);
}

/// What an open ledger says of a row that another hand puts in past the checks.
std::string reading_after(const std::string& deed) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    Ledger ledger(file);
    ledger.begin(job_numbered(1, {{EventKind::note, "", "a"}}));
    SQLite::Database hand = from_outside(file);
    hand.exec("PRAGMA ignore_check_constraints = ON");
    hand.exec(deed);
    return error_of([&] { (void)ledger.find(id_of(1)); });
}

TEST(Damage, ARowOfAnotherHandIsNotTakenOnTrust) {
    const std::string head = "INSERT INTO events VALUES (1, 1895600000, 0, ";
    expect_in("its kind is unknown", reading_after(head + "0, 'hearsay', '', '', 0, 0)"));
    expect_in("a number is out of its range",
              reading_after(head + "9223372036854775807, 'note', '', '', 0, 0)"));
    expect_in("the minutes are out of range", reading_after(head + "0, 'note', '', '', 1e300, 0)"));
    expect_in("a text is too long",
              reading_after(head + "0, 'note', '', printf('%.*c', 100000, 'x'), 0, 0)"));
    expect_in("its checksum is wrong", reading_after(head + "0, 'note', '', '', 0, 0)"));
    EXPECT_EQ(reading_after("SELECT 1"), "");
}

TEST(Damage, EntriesThatAreGoneAndAWrongTallyAreSeen) {
    const std::string gone = "its entries are not those that were kept";
    expect_in(gone, reading_after("DROP TRIGGER events_are_kept; DELETE FROM events"));
    expect_in(gone, reading_after("UPDATE tallies SET open = 0"));
    expect_in(gone, reading_after("UPDATE tallies SET seal = seal - 1"));
    expect_in(gone, reading_after("UPDATE tallies SET events = 2"));
    expect_in("a number is missing",
              reading_after("DROP TRIGGER tallies_are_kept; DELETE FROM tallies"));
}

}  // namespace
}  // namespace knockwell
