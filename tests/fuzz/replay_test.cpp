#include "fuzz/feed.hpp"
#include "fuzz/mutate.hpp"
#include "knowledge/read.hpp"
#include "support/cases.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>

namespace knockwell {
namespace {

/// Seconds of this process for one text, with sanitizers; what others do on the machine counts not.
constexpr double patience = 20;

std::vector<Source> seeds() {
    std::vector<Source> all;
    const std::filesystem::path folder = std::filesystem::path(KNOCKWELL_TESTS_DIR) / "fuzz/seeds";
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
        std::ifstream file(entry.path(), std::ios::binary);
        all.push_back({.name = entry.path().filename().string(),
                       .text = {std::istreambuf_iterator<char>(file), {}}});
    }
    std::sort(all.begin(), all.end(),
              [](const Source& a, const Source& b) { return a.name < b.name; });
    return all;
}

/// What comes of `sources`; that they took too long is a trouble too.
Fed fed(const std::vector<Source>& sources) {
    const std::clock_t begin = std::clock();
    Fed result = feed(sources);
    const double seconds = static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC;
    if (result.trouble.empty() && seconds > patience)
        result.trouble = "it took too long";
    return result;
}

// Texts that were hard once, or look as if they might be.
TEST(Replay, BearsEverySeed) {
    const std::vector<Source> all = seeds();
    EXPECT_GE(all.size(), 20U);
    for (const Source& seed : all)
        EXPECT_EQ(fed({seed}).trouble, "") << seed.name;
}

// Something like "it reads nothing at all" must not pass for "it bears everything".
TEST(Replay, ReportsProblemsInTheSeeds) {
    std::size_t problems = 0;
    for (const Source& seed : seeds())
        problems += read_knowledge({seed}).problems.size();
    EXPECT_GE(problems, 40U);
}

TEST(Replay, BearsDamagedSeeds) {
    std::mt19937_64 dice(20261125);
    for (const Source& seed : seeds()) {
        for (int i = 0; i < 10; ++i) {
            const std::string text = damaged(seed.text, dice);
            ASSERT_EQ(fed({{.name = seed.name, .text = text}}).trouble, "")
                << seed.name << ", damage " << i << ":\n"
                << testing::PrintToString(text);
        }
    }
}

// One file of the shipped knowledge is damaged, the others stand: so the damage reaches every
// check.
TEST(Replay, BearsTheShippedKnowledgeDamaged) {
    const std::vector<Source> whole = gather_sources(KNOCKWELL_KB_DIR);
    ASSERT_FALSE(whole.empty());
    const std::uint64_t all = cases(2000);
    std::uint64_t refused = 0;
    for (std::uint64_t seed = 1; seed <= all; ++seed) {
        std::mt19937_64 dice(seed);
        std::vector<Source> sources = whole;
        Source& victim = sources[seed % sources.size()];
        victim.text = damaged(victim.text, dice);
        const Fed result = fed(sources);
        ASSERT_EQ(result.trouble, "") << "seed " << seed << " damages " << victim.name;
        refused += result.accepted ? 0 : 1;
    }
    // Most damage is seen, and some is not: so both the errors and the warnings were reached.
    EXPECT_GT(refused, all / 4);
    // Of few, none may be left.
    if (all >= 100) {
        EXPECT_LT(refused, all);
    }
}

}  // namespace
}  // namespace knockwell
