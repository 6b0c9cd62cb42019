#include "learning/lessons.hpp"
#include "learning/taught.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

constexpr std::string_view leaky_well = R"(
    [setting.pump]
    title   = "Pump"
    ask     = "Which?"
    choices = { submersible = "7 in 10", jet = "3 in 10" }

    [setting.colour]
    title   = "Colour of the house"
    ask     = "Which?"
    choices = { red = "1 in 2", white = "1 in 2" }

    [cause.worn]
    title   = "Worn"
    present = "10 in 1000"
    raised_by = [{ when = { pump = "jet" }, times = 2 }]
    shows   = { no-water = "8 in 10", noise = "5 in 10" }

    [cause.tripped]
    title   = "Tripped"
    present = "20 in 1000"
    shows   = { no-water = "9 in 10" }

    [symptom.no-water]
    title = "No water"

    [observation.noise]
    title = "Noise"

    [repair.replace]
    title   = "Replace"
    how     = "Replace it."
    minutes = 10
    fixes   = { worn = "9 in 10" }
)";

TEST(Lessons, ThatAreEqualStandTogether) {
    Pupil pupil(leaky_well);
    pupil.book.add(
        job_of(1, {{EventKind::set, "pump", "jet"}, {EventKind::said, "no-water", "yes"}}));
    pupil.book.add(
        job_of(2, {{EventKind::said, "no-water", "yes"}, {EventKind::set, "pump", "jet"}}));
    // Nothing hangs on the colour, and nothing was looked at after the repair.
    pupil.book.add(job_of(3, {{EventKind::set, "pump", "jet"},
                              {EventKind::set, "colour", "red"},
                              {EventKind::said, "no-water", "yes"},
                              {EventKind::did, "replace", ""}}));
    pupil.book.add(job_of(4, {{EventKind::said, "no-water", "yes"}}));
    ASSERT_EQ(pupil.book.lessons().size(), 2U);
    EXPECT_EQ(pupil.book.lessons()[0].jobs, (std::vector<std::uint32_t>{0, 1, 2}));
    EXPECT_EQ(pupil.book.quiets().size(), 2U);
    EXPECT_EQ(pupil.book.quiet_of(), (std::vector<std::uint32_t>{0, 0, 0, 1}));
    EXPECT_EQ(pupil.book.ids().size(), 4U);
}

TEST(Lessons, AreNotDrawnFromJobsThatAreNoCalls) {
    Pupil pupil(leaky_well);
    Job open = job_of(1, {{EventKind::said, "no-water", "yes"}});
    open.events.pop_back();
    pupil.book.add(open);
    pupil.book.add(
        job_of(2, {{EventKind::found, "noise", "yes"}, {EventKind::said, "no-water", "no"}}));
    pupil.book.add(job_of(3, {{EventKind::said, "no-water", "yes"},
                              {EventKind::about, "call-back-of", job_of(1, {}).id}}));
    EXPECT_TRUE(pupil.book.lessons().empty());
    EXPECT_EQ(pupil.book.open, 1U);
    EXPECT_EQ(pupil.book.nothing_reported, 1U);
    EXPECT_EQ(pupil.book.call_backs, 1U);
}

// Work done lately makes nobody call, so that calls that do not come say nothing of it.
TEST(Lessons, ACircumstanceIsNoCall) {
    const auto with = [](const char* circumstance) {
        return std::string(leaky_well) +
               "[symptom.dug]\ntitle = \"Dug\"\nseen_anyway = " + "\"3 in 10\"\n" + circumstance;
    };
    Pupil pupil(with("circumstance = true\n"));
    pupil.book.add(job_of(1, {{EventKind::said, "dug", "yes"}}));
    EXPECT_EQ(pupil.book.nothing_reported, 1U);
    Pupil plain(with(""));
    for (Pupil* one : {&pupil, &plain})
        for (std::size_t i = 2; i < 22; ++i)
            one->book.add(job_of(i, {{EventKind::said, "no-water", "yes"}}));
    const std::string name = "symptom.dug.seen_anyway";
    EXPECT_EQ(pupil.learned().strengths[pupil.strength(name)],
              pupil.network.point[pupil.strength(name)]);
    EXPECT_LT(plain.learned().strengths[plain.strength(name)],
              0.9 * plain.network.point[plain.strength(name)]);
}

// Of the causes that it has the knowledge would learn that they were not there.
TEST(Lessons, AreNotDrawnFromACauseThatTheKnowledgeLacks) {
    Pupil pupil(leaky_well);
    pupil.book.add(job_of(
        1, {{EventKind::said, "no-water", "yes"}, {EventKind::cause, "called-otherwise", "seen"}}));
    EXPECT_TRUE(pupil.book.lessons().empty());
    EXPECT_EQ(pupil.book.of_lacking_causes, 1U);
    EXPECT_EQ(pupil.book.lacking, (std::map<std::string, std::size_t>{{"called-otherwise", 1}}));
}

TEST(Lessons, TakeACauseAsSurelyAsItIsKnown) {
    Pupil pupil(leaky_well);
    pupil.book.add(
        job_of(1, {{EventKind::said, "no-water", "yes"}, {EventKind::cause, "worn", "seen"}}));
    pupil.book.add(
        job_of(2, {{EventKind::said, "no-water", "yes"}, {EventKind::cause, "worn", "fixed-it"}}));
    pupil.book.add(
        job_of(3, {{EventKind::said, "no-water", "yes"}, {EventKind::cause, "worn", "guessed"}}));
    ASSERT_EQ(pupil.book.lessons().size(), 3U);
    const auto& seen = pupil.book.lessons()[0].testimony;
    EXPECT_EQ(seen.evidence.causes, (std::vector<KnownCause>{{CauseId(0), true, 0}}));
    EXPECT_TRUE(seen.said.causes.empty());
    for (const std::size_t i : {1U, 2U}) {
        const auto& doubted = pupil.book.lessons()[i].testimony;
        EXPECT_TRUE(doubted.evidence.causes.empty());
        ASSERT_EQ(doubted.said.causes.size(), 1U);
        EXPECT_EQ(doubted.said.causes[0].cause, (KnownCause{CauseId(0), true, 0}));
        EXPECT_DOUBLE_EQ(doubted.said.causes[0].wrongly, i == 1 ? 0.1 : 0.5);
    }
    // What is surer tells more of how often the cause is there.
    const LearnedNumbers learned = pupil.learned();
    EXPECT_EQ(learned.jobs, 3U);
    std::vector<double> there;
    for (const char* how : {"seen", "fixed-it", "guessed", ""}) {
        Pupil one(leaky_well);
        std::vector<Line> events = {{EventKind::said, "no-water", "yes"}};
        if (*how != 0)
            events.push_back({EventKind::cause, "worn", how});
        one.book.add(job_of(1, events));
        const LearnedNumbers of = one.learned();
        there.push_back(of.coins[one.at("cause.worn.present").first].fallen[0]);
    }
    EXPECT_NEAR(there[0], 1, 1e-12);
    EXPECT_GT(there[0], there[1]);
    EXPECT_GT(there[1], there[2]);
    EXPECT_GT(there[2], there[3]);
    EXPECT_GT(there[3], 0);
}

/// What the only job of a book says.
Testimony testimony_of(Pupil& pupil, const std::vector<Line>& events) {
    pupil.book.add(job_of(1, events));
    EXPECT_EQ(pupil.book.lessons().size(), 1U);
    return pupil.book.lessons().at(0).testimony;
}

// However many are doubted, none of them counts as not named.
TEST(Lessons, DoubtEveryCauseThatNobodySaw) {
    Pupil pupil(std::string(leaky_well) + R"(
        [cause.frozen]
        title   = "Frozen"
        present = "5 in 1000"
        shows   = { no-water = "9 in 10" }
    )");
    const SaidOfCauses said = testimony_of(pupil, {{EventKind::said, "no-water", "yes"},
                                                   {EventKind::cause, "frozen", "guessed"},
                                                   {EventKind::cause, "worn", "guessed"},
                                                   {EventKind::cause, "tripped", "fixed-it"}})
                                  .said;
    ASSERT_EQ(said.causes.size(), 3U);
    for (std::uint32_t c = 0; c < 3; ++c)
        EXPECT_EQ(said.causes[c].cause, (KnownCause{CauseId(c), true, 0}));
    EXPECT_DOUBLE_EQ(said.unnamed, 0.2);
}

// A cause that the repair ended was there before it, whatever is found later.
TEST(Lessons, PlaceACauseInTheStageThatItsRepairEnded) {
    Pupil pupil(leaky_well);
    const Evidence evidence = testimony_of(pupil, {{EventKind::said, "no-water", "yes"},
                                                   {EventKind::did, "replace", ""},
                                                   {EventKind::said, "no-water", "no"},
                                                   {EventKind::cause, "worn", "seen"}})
                                  .evidence;
    EXPECT_EQ(evidence.causes, (std::vector<KnownCause>{{CauseId(0), true, 0}}));
    EXPECT_EQ(evidence.repairs.size(), 1U);
    EXPECT_EQ(evidence.findings.size(), 2U);
}

}  // namespace
}  // namespace knockwell
