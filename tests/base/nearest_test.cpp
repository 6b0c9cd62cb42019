#include "base/nearest.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

using Names = std::vector<std::string>;

struct Pair {
    const char* a;
    const char* b;
    std::size_t edits;
    const char* source;
};

// The restricted distance counts a swap as one edit and edits no substring twice; where a pair
// needs no swap it is the plain edit distance.
TEST(EditsBetween, AgreesWithPublishedPairs) {
    const Pair pairs[] = {
        {"CA", "ABC", 3, "str_distance (crate documentation): 3 restricted, 2 unrestricted"},
        {"ab", "bca", 3, "strsim (crate documentation): 2 unrestricted, the third edit is refused"},
        {"iota", "atom", 3, "edits (README of the Crystal library), restricted edit"},
        {"HEIGHTS", "HEIGTHS", 1, "SURVO MM help, STRDIST: 1 with interchange"},
        {"abc", "acb", 1, "vim-levenshtein (README): a transposition of b and c"},
        {"kitten", "sitting", 3, "from memory: the usual example of the Levenshtein distance"},
        {"intention", "execution", 5, "from memory: Jurafsky, Martin, Speech and Language Proc."},
        {"survey", "surgery", 2, "from memory: Navarro, A guided tour, ACM Comput. Surv. 33(1)"},
    };
    for (const Pair& pair : pairs) {
        SCOPED_TRACE(pair.source);
        EXPECT_EQ(edits_between(pair.a, pair.b), pair.edits);
        EXPECT_EQ(edits_between(pair.b, pair.a), pair.edits);
    }
}

TEST(EditsBetween, CountsEachKindOfEdit) {
    EXPECT_EQ(edits_between("", ""), 0U);
    EXPECT_EQ(edits_between("tank", "tank"), 0U);
    EXPECT_EQ(edits_between("", "tank"), 4U);
    EXPECT_EQ(edits_between("tank", "tan"), 1U);
    EXPECT_EQ(edits_between("tank", "tanks"), 1U);
    EXPECT_EQ(edits_between("tank", "bank"), 1U);
    EXPECT_EQ(edits_between("tank", "atnk"), 1U);
}

TEST(EditsBetween, LooksAtTheFirst64BytesOnly) {
    const std::string a(64, 'a');
    EXPECT_EQ(edits_between(a + "x", a + "yyyy"), 0U);
    EXPECT_EQ(edits_between(std::string(100000, 'a'), std::string(100000, 'b')), 64U);
}

TEST(Nearest, PutsTheNearestFirstAndTiesInOrder) {
    const Names known = {"low-pressure", "overpressure", "under-pressure", "overpressures"};
    EXPECT_EQ(nearest("overpresure", known), (Names{"overpressure", "overpressures"}));
    EXPECT_EQ(nearest("tnak", {"tine", "tank", "tan"}), (Names{"tank", "tan"}));
    EXPECT_EQ(nearest("pum", {"pump", "plum", "pun"}), (Names{"plum", "pump", "pun"}));
}

TEST(Nearest, TakesAtMostSoManyAndNoneTwice) {
    const Names known = {"aaad", "aaac", "aaab", "aaab", "aaae"};
    EXPECT_EQ(nearest("aaaa", known), (Names{"aaab", "aaac", "aaad"}));
    EXPECT_EQ(nearest("aaaa", known, 1), (Names{"aaab"}));
    EXPECT_EQ(nearest("aaaa", known, 0), Names{});
}

TEST(Nearest, LeavesOutWhatIsTooFar) {
    EXPECT_EQ(nearest("tank", {"pump"}), Names{});
    EXPECT_EQ(nearest("ab", {"xy", "x"}), Names{});  // two edits, but nothing in common
    EXPECT_EQ(nearest("", {"a", "ab"}), Names{});
    // Nine letters: three edits are near, four are not.
    EXPECT_EQ(nearest("abcdefghi", {"abcdefxyz", "abcdewxyz"}), (Names{"abcdefxyz"}));
}

TEST(ByCommonWords, PutsThoseWithMostOfTheWordsFirst) {
    const std::vector<std::vector<std::string>> known = {small_words_of("Pump runs dry"),
                                                         small_words_of("Tank rusted through"),
                                                         small_words_of("pump, tank and PUMP-rod")};
    EXPECT_EQ(by_common_words({"tank", "pump"}, known), (std::vector<std::size_t>{2, 0, 1}));
    EXPECT_EQ(by_common_words({"rust"}, known), std::vector<std::size_t>{1}) << "a piece";
    EXPECT_EQ(by_common_words({"throgh"}, known), std::vector<std::size_t>{1}) << "a slip";
    EXPECT_EQ(by_common_words({"an"}, known), std::vector<std::size_t>{}) << "too short";
}

}  // namespace
}  // namespace knockwell
