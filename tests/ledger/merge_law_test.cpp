// Merging is union: commutative, associative, idempotent; nothing is lost and nothing doubled, and
// what a writer saw stands before what it wrote.
#include "ledger/histories.hpp"
#include "support/cases.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <ctime>
#include <functional>
#include <set>
#include <sstream>
#include <utility>

namespace knockwell {
namespace {

constexpr std::size_t trucks = 3;
constexpr std::size_t steps = 40;
constexpr std::uint64_t histories = 100;

std::string merged(Fleet& fleet, const std::vector<std::size_t>& order) {
    Ledger all(fleet.fresh());
    for (const std::size_t truck : order)
        (void)all.merge(fleet.file(truck));
    all.verify();
    return exported(all);
}

TEST(MergeLaw, EveryOrderOfMergingGivesTheSameBytes) {
    for (std::uint64_t seed = 1; seed <= cases(histories); ++seed) {
        SCOPED_TRACE("seed " + std::to_string(seed));
        Fleet fleet(seed, trucks);
        for (std::size_t i = 0; i < steps; ++i)
            fleet.step();
        const std::string expected = merged(fleet, {0, 1, 2});
        std::vector<std::size_t> order = {0, 1, 2};
        while (std::next_permutation(order.begin(), order.end()))
            ASSERT_EQ(merged(fleet, order), expected);
        // Twice is once, and what is merged into what does not matter.
        ASSERT_EQ(merged(fleet, {2, 1, 2, 0, 1, 1, 0}), expected);
        (void)fleet.ledger(1).merge(fleet.file(2));
        (void)fleet.ledger(0).merge(fleet.file(1));
        ASSERT_EQ(exported(fleet.ledger(0)), expected);
        const TakenIn again = fleet.ledger(0).merge(fleet.file(2));
        ASSERT_EQ(again.entries + again.new_jobs + again.grown_jobs, 0U);
        ASSERT_EQ(exported(fleet.ledger(0)), expected);
        (void)fleet.ledger(2).merge(fleet.file(0));
        ASSERT_EQ(exported(fleet.ledger(2)), expected);
    }
}

TEST(MergeLaw, NothingIsLostAndNothingDoubled) {
    for (std::uint64_t seed = 1; seed <= cases(histories); ++seed) {
        SCOPED_TRACE("seed " + std::to_string(seed));
        Fleet fleet(seed, trucks);
        for (std::size_t i = 0; i < steps; ++i)
            fleet.step();
        Ledger all(fleet.fresh());
        for (std::size_t truck = 0; truck < trucks; ++truck)
            (void)all.merge(fleet.file(truck));
        std::vector<std::string> kept;
        for (const JobLine& line : all.list(10000)) {
            const Job job = *found(all, line.id);
            for (const Event& event : job.events)
                if (!is_correction(event.kind) && event.kind != EventKind::closed)
                    kept.push_back(line.id + " " + event.value);
        }
        std::vector<std::string> written = fleet.written();
        std::sort(kept.begin(), kept.end());
        std::sort(written.begin(), written.end());
        ASSERT_EQ(kept, written);
    }
}

/// Words of the entries of a job that are no corrections, in order.
std::vector<std::string> words_of(const Job& job) {
    std::vector<std::string> words;
    for (const Event& event : job.events)
        if (!is_correction(event.kind))
            words.push_back(event.value);
    return words;
}

/// Whether `part` is in `whole`, in the same order.
bool in_order_in(const std::vector<std::string>& part, const std::vector<std::string>& whole) {
    auto at = whole.begin();
    for (const std::string& word : part) {
        at = std::find(at, whole.end(), word);
        if (at == whole.end())
            return false;
        ++at;
    }
    return true;
}

// However wrong the clocks: what stood before another entry on one truck stands before it in the
// merged ledger.
TEST(MergeLaw, WhatATruckHadInOrderStaysInOrder) {
    for (std::uint64_t seed = 1; seed <= cases(histories); ++seed) {
        SCOPED_TRACE("seed " + std::to_string(seed));
        Fleet fleet(seed, trucks);
        for (std::size_t i = 0; i < steps; ++i)
            fleet.step();
        Ledger all(fleet.fresh());
        for (std::size_t truck = 0; truck < trucks; ++truck)
            (void)all.merge(fleet.file(truck));
        for (std::size_t truck = 0; truck < trucks; ++truck)
            for (const JobLine& line : fleet.ledger(truck).list(10000)) {
                const Job part = *found(fleet.ledger(truck), line.id);
                const Job whole = *found(all, line.id);
                ASSERT_TRUE(in_order_in(words_of(part), words_of(whole)));
            }
    }
}

// A correction names its entry, wherever that comes to stand.
TEST(MergeLaw, ACorrectionStaysWithItsEntry) {
    const Scratch scratch;
    Ledger one(scratch / "one");
    Ledger two(scratch / "two");
    one.begin(job_numbered(1, {{EventKind::found, "system-pressure", "21 psi"}}));
    (void)two.merge(scratch / "one");
    Event early = note("said before on the other truck");
    early.at = story_begins + 61;  // behind the first entry, ahead of the next ones
    (void)two.append(id_of(1), {early, early, early});
    Event right = event_of({EventKind::instead, "2", "14 psi"}, 100);
    (void)one.append(id_of(1), {event_of({EventKind::found, "gauge", "13 psi"}, 50), right,
                                event_of({EventKind::undo, "1", ""}, 101)});
    (void)one.merge(scratch / "two");
    const std::vector<Event> stands = standing(*found(one, id_of(1)));
    ASSERT_EQ(stands.size(), 4U);
    EXPECT_EQ(stands[3].what, "gauge");
    EXPECT_EQ(stands[3].value, "14 psi");
    EXPECT_EQ(stands[3].number, 5U) << "its number is another now";
}

TEST(Merge, TwoTrucksThatBothCloseAJobBothHaveClosedIt) {
    const Scratch scratch;
    Ledger one(scratch / "one");
    Ledger two(scratch / "two");
    one.begin(job_numbered(1, {}));
    (void)two.merge(scratch / "one");
    (void)one.append(id_of(1), {event_of({EventKind::closed, "", "cured"}, 5)});
    (void)two.append(id_of(1), {event_of({EventKind::closed, "", "not-cured"}, 5)});
    TakenIn taken = one.merge(scratch / "two");
    ASSERT_EQ(taken.crossed.size(), 1U);
    EXPECT_EQ(taken.crossed[0].common.events.size(), 0U);
    EXPECT_EQ(taken.crossed[0].here.events.front().value, "cured");
    EXPECT_EQ(taken.crossed[0].there.events.front().value, "not-cured");
    taken.crossed.clear();
    EXPECT_EQ(taken, (TakenIn{0, 1, 0, 1}));
    EXPECT_EQ(found(one, id_of(1))->events.size(), 2U);
    EXPECT_EQ(one.current(), std::nullopt);
    // Two trucks, one of which reopened it: an undo on one side takes back what it saw, no more.
    (void)two.append(id_of(1), {event_of({EventKind::undo, "1", ""}, 6)});
    (void)one.merge(scratch / "two");
    EXPECT_TRUE(is_closed(*found(one, id_of(1))));
}

TEST(Merge, AJobWhoseOwnRowDiffersIsRefusedAndNothingIsKept) {
    const Scratch scratch;
    Ledger one(scratch / "one");
    Ledger two(scratch / "two");
    one.begin(job_numbered(2, {}));
    Job other = job_numbered(2, {});
    other.area = "quarry-lane";
    two.begin(job_numbered(1, {}));
    two.begin(other);
    expect_in("cannot merge " + (scratch / "two").string() + ": job " + id_of(2) +
                  " is there already with another area",
              error_of([&] { (void)one.merge(scratch / "two"); }));
    EXPECT_EQ(one.count(), 1U);
    one.verify();
}

TEST(Merge, ACallBackOfWhatItCannotBeIsRefusedAndNothingIsKept) {
    const Scratch scratch;
    Ledger one(scratch / "one");
    const auto says = [&](const Job& job, const Job& earlier = job_numbered(5, {})) {
        std::filesystem::remove(scratch / "two");
        Ledger two(scratch / "two");
        two.begin(earlier);
        two.begin(job);
        return error_of([&] { (void)one.merge(scratch / "two"); });
    };
    const auto linked = [](std::uint32_t number, std::uint32_t earlier) {
        return job_numbered(number, {{EventKind::about, "call-back-of", id_of(earlier)}});
    };
    expect_in("job " + id_of(6) + ": the job that it is called a call-back of is neither in here",
              says(linked(6, 9)));
    expect_in("--no-call-back --ledger " + (scratch / "two").string(), says(linked(6, 9)));
    expect_in("that job was opened later", says(linked(4, 5)));
    expect_in("a job is no call-back of itself", says(linked(6, 6)));
    Job first = linked(5, 6);
    first.opened = linked(6, 5).opened;
    expect_in("a call-back of a job that is one of it", says(linked(6, 5), first));
    Job elsewhere = linked(6, 5);
    elsewhere.installation = "HB-18";
    expect_in("that job was at HB-17 and this one is at HB-18", says(elsewhere));
    EXPECT_EQ(one.count(), 0U);
    Job corrected = job_numbered(5, {{EventKind::about, "installation", "HB-17"},
                                     {EventKind::about, "installation", "HB-19"}});
    corrected.installation = "HB-18";
    EXPECT_EQ(says(linked(6, 5), corrected), "") << "it was at HB-17 when it was linked";
}

TEST(Merge, WhatIsNoLedgerOrDamagedIsToldByItsOwnName) {
    const Scratch scratch;
    Ledger one(scratch / "one");
    const auto other = scratch / "other";
    const auto says = [&] { return error_of([&] { (void)one.merge(other); }); };
    expect_in(other.string() + ": cannot open the other ledger: there is no such file", says());
    EXPECT_FALSE(std::filesystem::exists(other)) << "looking for it must not make it";
    std::filesystem::create_directory(other);
    expect_in(other.string() + ": cannot open the other ledger: it is a folder", says());
    std::filesystem::remove(other);
    write(other, std::string(5000, 'x'));
    expect_in(other.string() + ": cannot open the other ledger: it is not a ledger", says());
    std::filesystem::remove(other);
    Ledger(other).begin(job_numbered(1, {{EventKind::note, "", "a"}}));
    from_outside(other).exec("PRAGMA ignore_check_constraints = ON; DROP TRIGGER "
                             "events_stay_as_they_are; UPDATE events SET value = 'b'; CREATE "
                             "TRIGGER events_stay_as_they_are BEFORE UPDATE ON events\n"
                             "BEGIN SELECT RAISE(ABORT, 'events are never changed'); END");
    expect_in(other.string() + ": cannot read the other ledger: it is damaged: job " + id_of(1),
              says());
    EXPECT_EQ(one.count(), 0U);
    (void)one;
}

TEST(Merge, ALedgerMergedIntoItselfStaysAsItIs) {
    const Scratch scratch;
    Ledger one(scratch / "one");
    one.begin(job_numbered(1, {{EventKind::note, "", "a"}}));
    EXPECT_EQ(one.merge(scratch / "one"), (TakenIn{0, 0, 1, 0}));
}

TEST(Merge, OfJobsThatTwoWentOnWithTheFirstThousandAreToldHoweverOftenThereIsMore) {
    TakenIn some;
    some.crossed.resize(600);
    TakenIn all = some;
    all.add(some);
    EXPECT_EQ(all.crossed.size(), 1000U);
}

/// Takes in as many jobs as there are areas; processor seconds.
double seconds_for(const std::function<std::string(std::uint32_t)>& area, TakenIn& taken) {
    Ledger ledger(":memory:");
    std::uint32_t number = 0;
    Intake intake;
    intake.next = [&]() -> std::optional<KeptJob> {
        if (number == 8000)
            return std::nullopt;
        Job job = job_numbered(++number, {});
        job.area = area(number);
        return stamped(job);
    };
    intake.refuse = [](std::size_t, const std::string& why) { FAIL() << why; };
    intake.keep = [] { return true; };
    const std::clock_t begun = std::clock();
    taken = ledger.take_in(intake).value();
    return static_cast<double>(std::clock() - begun) / CLOCKS_PER_SEC;
}

// Every job on a road of its own: all roads are looked up at once, and not each among all jobs.
TEST(Intake, OfManyRoadsTakesAboutAsLongAsOfOne) {
    TakenIn one;
    TakenIn many;
    const double on_one = seconds_for([](std::uint32_t) { return "road"; }, one);
    const auto capitals = [](std::uint32_t number) {
        return (number % 2 == 0 ? "Road-" : "road-") + std::to_string((number - 1) / 2);
    };
    const double on_many = seconds_for(capitals, many);
    EXPECT_LT(on_many, 3 * on_one + 0.1);
    EXPECT_EQ(one.other_spellings.size(), 0U);
    ASSERT_EQ(many.other_spellings.size(), 4000U);
    EXPECT_EQ(many.other_spellings[0], (OtherSpelling{"Road-0", "road-0"})) << "it was there first";
}

TEST(Backup, IsAWholeLedgerAndOverwritesNothing) {
    const Scratch scratch;
    Ledger one(scratch / "one");
    one.begin(job_numbered(1, {{EventKind::note, "", "a"}}));
    one.backup(scratch / "copy");
    EXPECT_EQ(exported(Ledger(scratch / "copy")), exported(one));
    EXPECT_FALSE(std::filesystem::exists(scratch / "copy.part"));
    const std::string before = bytes_of(scratch / "copy");
    one.begin(job_numbered(2, {}));
    EXPECT_EQ(error_of([&] { one.backup(scratch / "copy"); }),
              (scratch / "copy").string() +
                  ": cannot back up the ledger: there is a file of that name already");
    EXPECT_EQ(bytes_of(scratch / "copy"), before);
    const auto nowhere = scratch / "none" / "copy";
    expect_in("No such file or directory", error_of([&] { one.backup(nowhere); }));
}

constexpr std::uint32_t many_jobs = 50;

/// So many pages that they are copied in several stretches.
void fill(Ledger& ledger) {
    const std::vector<Event> notes(100, note(std::string(4000, 'x')));
    for (std::uint32_t number = 1; number <= many_jobs; ++number) {
        Job job = job_numbered(number, {});
        job.events = notes;
        ledger.begin(job);
    }
}

/// Does it after the first stretch of a copy.
Progress in_the_middle(std::function<void()> deed) {
    return [deed = std::move(deed)](std::size_t, std::size_t) mutable {
        if (const auto once = std::exchange(deed, nullptr))
            once();
    };
}

/// What a copy is called while it is made.
std::vector<std::filesystem::path> parts_of(const std::filesystem::path& copy) {
    std::vector<std::filesystem::path> parts;
    for (const auto& entry : std::filesystem::directory_iterator(copy.parent_path()))
        if (entry.path().string().starts_with(copy.string() + ".part"))
            parts.push_back(entry.path());
    return parts;
}

TEST(Backup, OfTwoToOneNameOneIsWholeAndTheOtherRefused) {
    const Scratch scratch;
    Ledger one(scratch / "one");
    fill(one);
    const auto copy = scratch / "copy";
    bool other = false;
    const auto meanwhile = in_the_middle([&] {
        const Ledger same(scratch / "one");
        other = error_of([&] { same.backup(copy); }).empty();
    });
    EXPECT_EQ(error_of([&] { one.backup(copy, meanwhile); }),
              copy.string() + ": cannot back up the ledger: a file of that name has come there "
                              "meanwhile; say another name");
    EXPECT_TRUE(other);
    EXPECT_EQ(Ledger(copy).count(), many_jobs);
    EXPECT_EQ(parts_of(copy).size(), 0U);
}

// A copy that is gone, or is another file, is no backup.
TEST(Backup, WhatWasNotCopiedIsNotCalledWhole) {
    const Scratch scratch;
    Ledger one(scratch / "one");
    fill(one);
    Ledger(scratch / "empty").begin(job_numbered(1, {}));
    const auto copy = scratch / "copy";
    const auto backed_up = [&](const std::function<void(const std::filesystem::path&)>& deed) {
        return error_of([&] {
            one.backup(copy, in_the_middle([&] {
                           for (const auto& part : parts_of(copy))
                               deed(part);
                       }));
        });
    };
    expect_in("cannot back up the ledger: ",
              backed_up([](const auto& part) { std::filesystem::remove(part); }));
    EXPECT_FALSE(std::filesystem::exists(copy));
    expect_in("cannot back up the ledger: the copy has 1 of 50 jobs",
              backed_up([&](const auto& part) {
                  std::filesystem::copy_file(scratch / "empty", scratch / "other");
                  std::filesystem::rename(scratch / "other", part);
              }));
    EXPECT_FALSE(std::filesystem::exists(copy));
    EXPECT_EQ(backed_up([](const auto&) {}), "");
    EXPECT_EQ(Ledger(copy).count(), many_jobs);
}

// What is called so is somebody's, whether a backup comes of it or not.
TEST(Backup, LeavesAFileCalledPartAlone) {
    const Scratch scratch;
    Ledger one(scratch / "one");
    one.begin(job_numbered(1, {}));
    write(scratch / "copy.part", "mine");
    one.backup(scratch / "copy");
    EXPECT_NE(error_of([&] { one.backup(scratch / "copy"); }), "");
    EXPECT_EQ(bytes_of(scratch / "copy.part"), "mine");
}

}  // namespace
}  // namespace knockwell
