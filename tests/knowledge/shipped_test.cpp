// The knowledge that is shipped, held to what was promised of it: enough of everything, every
// warning answered, no two causes alike, and a case that each cause leads.
#include "knowledge/alike.hpp"
#include "knowledge/provenance.hpp"
#include "knowledge/read.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

namespace knockwell {
namespace {

class Shipped : public testing::Test {
protected:
    static const ReadResult& read() {
        static const ReadResult result = read_knowledge(gather_sources(KNOCKWELL_KB_DIR));
        return result;
    }
    static const Knowledge& knowledge() { return read().knowledge; }
};

TEST_F(Shipped, HasNoErrorAndNoWarningWithoutAnAnswer) {
    for (const Problem& problem : read().problems)
        ADD_FAILURE() << problem.code << ": " << problem.says;
}

TEST_F(Shipped, IsAsWideAsThePrivateWaterSystem) {
    EXPECT_GE(knowledge().causes.size(), 170U);
    EXPECT_GE(knowledge().signs.size(), 260U);
    EXPECT_GE(knowledge().tests.size(), 180U);
    EXPECT_GE(knowledge().repairs.size(), 130U);
    EXPECT_GE(knowledge().accesses.size() + knowledge().cautions.size(), 40U);
    const auto& cases = knowledge().practice;
    EXPECT_GE(cases.size(), 120U);
    const auto count = [&](auto of) { return std::count_if(cases.begin(), cases.end(), of); };
    EXPECT_GE(count([](const Practice& it) { return it.both.size() >= 2; }), 30);
    EXPECT_GE(count([](const Practice& it) { return it.tempting.valid(); }), 20);
}

TEST_F(Shipped, LeadsACaseWithEachOfItsCauses) {
    std::set<CauseId> led;
    for (const Practice& one : knowledge().practice) {
        if (one.first.valid())
            led.insert(one.first);
        led.insert(one.both.begin(), one.both.end());
    }
    for (std::size_t i = 0; i < knowledge().causes.size(); ++i)
        EXPECT_TRUE(led.contains(CauseId(i))) << knowledge().causes[i].head.id;
}

TEST_F(Shipped, TellsEveryTwoCausesApart) {
    const auto alike = causes_alike(knowledge());
    for (std::size_t i = 0; i < alike.size(); ++i)
        for (const CauseId other : alike[i])
            ADD_FAILURE() << knowledge().causes[i].head.id << " and " << knowledge()[other].head.id;
}

TEST_F(Shipped, SaysOfEachStrengthWhereItIsFrom) {
    EXPECT_TRUE(provenance_of(knowledge()).without.empty());
}

TEST_F(Shipped, NamesASourceOfEachCaution) {
    for (const Caution& caution : knowledge().cautions)
        EXPECT_FALSE(caution.head.source.empty()) << caution.head.id;
}

TEST_F(Shipped, SaysOfEachPartWhatItMustMatch) {
    for (const Part& part : knowledge().parts)
        EXPECT_FALSE(part.head.note.empty()) << part.head.id;
}

TEST_F(Shipped, ChecksEachRepairAfterwards) {
    for (const Repair& repair : knowledge().repairs)
        EXPECT_FALSE(repair.recheck.empty()) << repair.step.head.id;
}

// One mistake, one problem: what stands in a file that cannot be read is missing in no other one.
TEST_F(Shipped, AFileThatIsNoTomlMakesNothingElseWrong) {
    const std::vector<Source> sources = gather_sources(KNOCKWELL_KB_DIR);
    for (std::size_t i = 0; i < sources.size(); ++i) {
        std::vector<Source> cut = sources;
        cut[i].text.insert(0, "[symptom.broken\n");
        const ReadResult it = read_knowledge(cut);
        EXPECT_FALSE(it.problems.empty()) << cut[i].name;
        for (const Problem& problem : it.problems)
            if (problem.code != "syntax")
                ADD_FAILURE() << cut[i].name << ": " << problem.code << ": " << problem.says;
    }
}

}  // namespace
}  // namespace knockwell
