// The hard rules over random situations, on the shipped knowledge: what they promise holds for
// every step, wherever one stands.
#include "advice/cost.hpp"
#include "advice/rules.hpp"
#include "advice/well.hpp"
#include "knowledge/read.hpp"

#include <algorithm>
#include <random>

namespace knockwell {
namespace {

const ReadResult& shipped() {
    static const ReadResult read = read_knowledge(gather_sources(KNOCKWELL_KB_DIR));
    return read;
}

std::vector<Candidate> every_step(const Knowledge& knowledge) {
    std::vector<Candidate> steps;
    for (std::size_t i = 0; i < knowledge.tests.size(); ++i)
        steps.push_back(candidate(knowledge, TestId(i)));
    for (std::size_t i = 0; i < knowledge.repairs.size(); ++i)
        steps.push_back(candidate(knowledge, RepairId(i)));
    for (std::size_t i = 0; i < knowledge.settings.size(); ++i)
        if (!knowledge.settings[i].table)
            steps.push_back(candidate(knowledge, SettingId(i)));
    for (std::size_t i = 0; i < knowledge.signs.size(); ++i)
        if (knowledge.signs[i].symptom)
            steps.push_back(candidate(knowledge, SignId(i)));
    for (std::size_t i = 0; i < knowledge.refers.size(); ++i)
        steps.push_back(candidate(knowledge, ReferId(i)));
    return steps;
}

// Whoever is there, and whatever is open, off or drained: an owner is never shown these states as
// they should be, so that a rule that leans on one of them alone is found out.
Situation random_situation(std::uint32_t seed, const Knowledge& knowledge, Skill who) {
    std::mt19937 random(seed);
    const auto coin = [&] { return (random() & 1U) != 0; };
    Situation made;
    made.who = who;
    made.on_site = coin();
    made.power_off = coin();
    made.pressure_zero = coin();
    made.tank_drained = coin();
    for (std::size_t i = 0; i < knowledge.accesses.size(); ++i)
        if (coin())
            made.reached.insert(AccessId(i));
    for (const Licence licence : {Licence::electrician, Licence::pump_installer,
                                  Licence::well_contractor, Licence::laboratory})
        if (coin())
            made.licences.push_back(licence);
    return made;
}

constexpr std::uint32_t situations = 200;

TEST(Random, TheOwnerNeverMeetsAHazard) {
    const Knowledge& knowledge = shipped().knowledge;
    ASSERT_TRUE(shipped().ok());
    const std::vector<Candidate> steps = every_step(knowledge);
    std::size_t offered = 0;
    for (std::uint32_t seed = 1; seed <= situations; ++seed) {
        const Situation here = random_situation(seed, knowledge, Skill::owner);
        const Evidence nothing;
        const Standing standing{&knowledge, &here, &nothing, {}, {}, {}};
        for (const Candidate& step : steps) {
            if (forbids(standing, step))
                continue;
            ++offered;
            EXPECT_TRUE(step.hazards.empty()) << "seed " << seed << ": " << step.id;
            EXPECT_EQ(step.needs.skill, Skill::owner) << "seed " << seed << ": " << step.id;
            EXPECT_FALSE(wants_zero(knowledge, step)) << "seed " << seed << ": " << step.id;
            for (const AccessId access : way_to(knowledge, step.at))
                EXPECT_EQ(knowledge[access].skill, Skill::owner)
                    << "seed " << seed << ": " << step.id;
        }
    }
    EXPECT_GT(offered, situations * 10) << "an owner can look, listen and read";
}

// Nobody but a qualified person is near live parts with power on, and nobody mends there.
TEST(Random, LivePartsAreDeadOrWatchedByAQualifiedPerson) {
    const Knowledge& knowledge = shipped().knowledge;
    ASSERT_TRUE(shipped().ok());
    const std::vector<Candidate> steps = every_step(knowledge);
    std::size_t watched = 0;
    for (std::uint32_t seed = 1; seed <= situations; ++seed) {
        const auto who = static_cast<Skill>(seed % 3);
        const Situation here = random_situation(seed, knowledge, who);
        const Evidence nothing;
        const Standing standing{&knowledge, &here, &nothing, {}, {}, {}};
        for (const Candidate& step : steps) {
            if (forbids(standing, step) || !meets(step, Hazard::live))
                continue;
            const Outlay cost = outlay(knowledge, here, step);
            if (cost.then.power_off)
                continue;
            ++watched;
            EXPECT_TRUE(here.on_site && who == Skill::qualified)
                << "seed " << seed << ": " << step.id;
            EXPECT_NE(step.kind, StepKind::repair) << "seed " << seed << ": " << step.id;
            EXPECT_TRUE(energized(step)) << "seed " << seed << ": " << step.id;
        }
    }
    EXPECT_GT(watched, 0U);
}

// Every step that wants pressure zero gets it from a drain or from what was proved before.
TEST(Random, PressureIsProvedZeroBeforeItIsLeantOn) {
    const Knowledge& knowledge = shipped().knowledge;
    ASSERT_TRUE(shipped().ok());
    for (const Candidate& step : every_step(knowledge)) {
        if (!wants_zero(knowledge, step))
            continue;
        const Situation here = well::on_site(Skill::qualified);
        const Outlay cost = outlay(knowledge, here, step);
        const auto at = [&](std::string_view piece) {
            return std::find_if(cost.first.begin(), cost.first.end(), [&](const Preparation& it) {
                return it.says.find(piece) != std::string::npos;
            });
        };
        if (energized(step))
            continue;  // held back by no-power-on-open-water
        const auto drained = at("has stopped running");
        ASSERT_NE(drained, cost.first.end()) << step.id;
        EXPECT_LT(at("prove every leg dead"), drained) << step.id;
        for (auto opened = cost.first.begin(); opened != drained; ++opened)
            for (const Access& access : knowledge.accesses)
                EXPECT_FALSE(access.pressure_zero && access.head.title == opened->says)
                    << step.id << ": " << opened->says << " is opened under pressure";
    }
}

// What is offered keeps every caution of the way and of the step.
TEST(Random, NoCautionIsLost) {
    const Knowledge& knowledge = shipped().knowledge;
    ASSERT_TRUE(shipped().ok());
    for (std::size_t i = 0; i < knowledge.tests.size(); ++i)
        EXPECT_EQ(candidate(knowledge, TestId(i)).cautions,
                  cautions_of(knowledge, knowledge.tests[i].step));
    for (std::size_t i = 0; i < knowledge.repairs.size(); ++i)
        EXPECT_EQ(candidate(knowledge, RepairId(i)).cautions,
                  cautions_of(knowledge, knowledge.repairs[i].step));
}

}  // namespace
}  // namespace knockwell
