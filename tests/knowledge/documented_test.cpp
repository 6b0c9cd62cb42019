// docs/knowledge.md promises that its examples load.
#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>

namespace knockwell {
namespace {

/// The knowledge bases of the page: its blocks from one [manifest] to the next.
std::vector<std::string> documented() {
    std::ifstream file(KNOCKWELL_TESTS_DIR "/../docs/knowledge.md");
    const std::string page{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    constexpr std::string_view open = "```toml\n";
    std::vector<std::string> all;
    for (std::size_t at = page.find(open); at != std::string::npos; at = page.find(open, at)) {
        at += open.size();
        const std::string block = page.substr(at, page.find("```\n", at) - at);
        if (block.rfind("[manifest]", 0) == 0)
            all.emplace_back();
        if (all.empty()) {
            ADD_FAILURE() << "a block stands before the first manifest\n" << block;
            return all;
        }
        all.back() += block + "\n";
    }
    return all;
}

TEST(DocumentedKnowledge, LoadsWithoutError) {
    const std::vector<std::string> all = documented();
    ASSERT_EQ(all.size(), 3U);
    for (const std::string& text : all) {
        const Knowledge knowledge = knowledge_of(text);
        EXPECT_EQ(knowledge.practice.size(), 1U);
    }
}

// The whole examples are shown as something to begin with, so they are clean of warnings too.
TEST(DocumentedKnowledge, HasNoWarningsInTheWholeExamples) {
    const std::vector<std::string> all = documented();
    ASSERT_EQ(all.size(), 3U);
    EXPECT_EQ(problems_of(all[1]), "");
    EXPECT_EQ(problems_of(all[2]), "");
}

// Each kind of definition has an example.
TEST(DocumentedKnowledge, ShowsEveryKind) {
    const std::vector<std::string> all = documented();
    ASSERT_FALSE(all.empty());
    const Knowledge it = knowledge_of(all.front());
    EXPECT_FALSE(it.settings.empty());
    EXPECT_TRUE(it.settings.back().table);
    EXPECT_FALSE(it.causes.empty());
    EXPECT_FALSE(it.signs.empty());
    EXPECT_FALSE(it.accesses.empty());
    EXPECT_FALSE(it.cautions.empty());
    EXPECT_FALSE(it.tests.empty());
    EXPECT_FALSE(it.repairs.empty());
    EXPECT_FALSE(it.refers.empty());
    EXPECT_FALSE(it.parts.empty());
    EXPECT_FALSE(it.stops.empty());
}

}  // namespace
}  // namespace knockwell
