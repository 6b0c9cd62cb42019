// A job's summary in a few bytes beside the job: always that of its entries, never a reason to
// believe anything else.
#include "job/story.hpp"
#include "ledger/bad_row.hpp"
#include "ledger/histories.hpp"
#include "ledger/short_form.hpp"

#include <gtest/gtest.h>

#include <algorithm>

namespace knockwell {
namespace {

Job full_job() {
    Job job = job_with({{EventKind::set, "pump", "submersible"},
                        {EventKind::set, "water", "soft-acid"},
                        {EventKind::said, "no-water", "yes"},
                        {EventKind::found, "system-pressure", "12 psi@read-gauge"},
                        {EventKind::did_test, "knock-on-tank", ""},
                        {EventKind::did, "clear-switch-port", ""},
                        {EventKind::found, "system-pressure", "58 psi@read-gauge"},
                        {EventKind::cause, "plugged-port", "guessed"},
                        {EventKind::cause, "plugged-port", "seen"},
                        {EventKind::about, "call-back-of", id_of(7)},
                        {EventKind::about, "knowledge", "2026.12 (00aa11bb22cc)"},
                        {EventKind::closed, "", "cured"}});
    job.events[3].minutes = 1.5;
    job.events[5].minutes = 20;
    return job;
}

Summary through_bytes(const Summary& summary) {
    Summary back = summary_from(short_form(summary));
    back.id = summary.id;
    back.opened = summary.opened;
    return back;
}

TEST(ShortForm, HoldsAllThatASummarySays) {
    const Summary full = summary_of(full_job());
    ASSERT_FALSE(full.clashes.empty());
    ASSERT_FALSE(full.in_vain.empty());
    ASSERT_EQ(full.makings.size(), 2U);
    EXPECT_EQ(through_bytes(full), full);
    const Summary bare = summary_of(job_with({}));
    EXPECT_EQ(through_bytes(bare), bare);
}

// Ledgers out there have these bytes. Where this fails, count `summary_form` up, so that they are
// drawn up afresh, and write the new bytes here.
TEST(ShortForm, ChangesOnlyWithItsNumber) {
    std::string bytes = short_form(summary_of(full_job()));
    std::replace(bytes.begin(), bytes.end(), '\0', '|');
    EXPECT_EQ(summary_form, 1);
    EXPECT_EQ(bytes, "1|1795600720|cured|heron-bottom|HB-17|2|2026.11 (3f9c0a12bd77)|"
                     "2026.12 (00aa11bb22cc)|1|00000007-e2bb-4255-8caf-4136c566a962|no-water|"
                     "2|pump|submersible|water|soft-acid|1|plugged-port|seen|"
                     "1|system-pressure|1|12 psi|1|58 psi|1|clear-switch-port|"
                     "2|read-gauge|knock-on-tank|1|knock-on-tank|"
                     "2||read-gauge|1.5|1|clear-switch-port|20|21.5|"
                     "1|plugged-port is confirmed as guessed and as seen|");
}

TEST(ShortForm, WhatIsCutShortOrGoesOnIsNone) {
    const std::string bytes = short_form(summary_of(full_job()));
    for (std::size_t length = 0; length < bytes.size(); ++length)
        EXPECT_THROW((void)summary_from(bytes.substr(0, length)), BadRow) << length;
    EXPECT_THROW((void)summary_from(bytes + std::string(1, '\0')), BadRow);
    EXPECT_THROW((void)summary_from(std::string("\0\0\0\0999999999999\0", 17)), BadRow);
}

std::vector<Summary> in_order(std::vector<Summary> all) {
    std::sort(all.begin(), all.end(),
              [](const Summary& a, const Summary& b) { return a.id < b.id; });
    return all;
}

std::vector<Summary> in_short(const Ledger& ledger, bool with_the_whole) {
    std::vector<Summary> all;
    ledger.each_in_short([&](const Summary& summary, const std::function<Job()>& whole) {
        all.push_back(summary);
        if (with_the_whole) {
            EXPECT_EQ(summary_of(whole()), summary);
        }
    });
    return in_order(std::move(all));
}

std::vector<Summary> from_entries(const Ledger& ledger) {
    std::vector<Summary> all;
    ledger.each([&](const KeptJob& job) { all.push_back(summary_of(as_told(job))); });
    return in_order(std::move(all));
}

// However a job came to its entries: written, added to, corrected, merged, taken in.
TEST(ShortForm, IsKeptWithEveryChangeOfAJob) {
    for (std::uint64_t seed = 1; seed <= 5; ++seed) {
        SCOPED_TRACE("seed " + std::to_string(seed));
        Fleet fleet(seed, 3);
        for (int i = 0; i < 60; ++i)
            fleet.step();
        for (std::size_t truck = 0; truck < fleet.size(); ++truck) {
            Ledger& ledger = fleet.ledger(truck);
            EXPECT_EQ(in_short(ledger, true), from_entries(ledger));
            ledger.verify();
        }
    }
}

/// What a reading in short and a verifying say after another hand was at it.
struct Said {
    std::string reading;
    std::string verifying;
    bool same = false;  // what was read is what the entries come to
};

Said after(const std::string& deed) {
    const Scratch scratch;
    const auto file = scratch / "ledger.sqlite";
    Ledger ledger(file);
    for (std::uint32_t number = 1; number <= 3; ++number)
        ledger.begin(job_numbered(number, {{EventKind::set, "pump", "submersible"},
                                           {EventKind::cause, "plugged-port", "seen"},
                                           {EventKind::closed, "", "cured"}}));
    from_outside(file).exec(deed);
    Said said;
    said.reading = error_of([&] {
        const std::vector<Summary> read = in_short(ledger, false);
        said.same = read == from_entries(ledger);
    });
    said.verifying = error_of([&] { ledger.verify(); });
    return said;
}

TEST(ShortForm, AnotherProgramsIsNotReadButDrawnUpAfresh) {
    const Said said = after("UPDATE summaries SET form = 999, summary = x'00' WHERE job = 2");
    EXPECT_EQ(said.reading, "");
    EXPECT_TRUE(said.same);
    EXPECT_EQ(said.verifying, "");
}

TEST(ShortForm, OneThatIsDamagedIsToldWithItsJob) {
    const std::string wrong = "job " + id_of(2) + ": the checksum of its summary is wrong";
    for (const char* deed :
         {"UPDATE summaries SET summary = x'00' WHERE job = 2",
          "UPDATE summaries SET checksum = checksum - 1 WHERE job = 2",
          "UPDATE summaries SET (summary, checksum) = "
          "(SELECT summary, checksum FROM summaries WHERE job = 1) WHERE job = 2"}) {
        const Said said = after(deed);
        expect_in(wrong, said.reading);
        expect_in(wrong, said.verifying);
    }
    // It belongs to the entries that it was drawn up from.
    expect_in(wrong, after("UPDATE tallies SET seal = seal - 1 WHERE job = 2").reading);
}

TEST(ShortForm, AJobIsNeverWithoutOne) {
    EXPECT_THROW((void)after("DELETE FROM summaries"), SQLite::Exception);
    const Said said = after("DROP TRIGGER summaries_are_kept; DELETE FROM summaries WHERE job = 3");
    EXPECT_EQ(said.reading, "");
    EXPECT_TRUE(said.same);
    expect_in("job " + id_of(3) + ": its summary is missing", said.verifying);
}

}  // namespace
}  // namespace knockwell
