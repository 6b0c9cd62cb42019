#include "knowledge/version.hpp"

#include <gtest/gtest.h>

#include <set>

namespace knockwell {
namespace {

// The FNV Non-Cryptographic Hash Algorithm (Fowler, Noll, Vo, Eastlake), appendix with test values:
// 64-bit FNV-1a of "", "a" and "foobar".
TEST(Fnv1a, GivesThePublishedValues) {
    EXPECT_EQ(fnv1a(""), 0xcbf29ce484222325U);
    EXPECT_EQ(fnv1a("a"), 0xaf63dc4c8601ec8cU);
    EXPECT_EQ(fnv1a("foobar"), 0x85944171f73967e8U);
}

TEST(Fnv1a, GoesOnFromAnEarlierHash) { EXPECT_EQ(fnv1a("bar", fnv1a("foo")), fnv1a("foobar")); }

TEST(Fingerprint, IsTwelveHexadecimalDigits) {
    const std::string print = fingerprint({{"kb/tank.toml", "a = 1\n"}});
    EXPECT_EQ(print.size(), 12U);
    EXPECT_EQ(print.find_first_not_of("0123456789abcdef"), std::string::npos);
    EXPECT_EQ(print, fingerprint({{"kb/tank.toml", "a = 1\n"}}));
}

TEST(Fingerprint, FoldsTheTopOfTheHashIn) {
    // Nothing hashed at all is the offset basis cbf29ce484222325: cbf2 over 9ce484222325.
    EXPECT_EQ(fingerprint({}), "9ce48422e8d7");
}

TEST(Fingerprint, ChangesWithEveryByteOfTheTexts) {
    const std::vector<Source> sources = {{"kb/a.toml", "one\n"}, {"kb/b.toml", "two\n"}};
    std::set<std::string> prints = {fingerprint(sources)};
    std::size_t changes = 1;
    for (std::size_t i = 0; i < sources.size(); ++i) {
        for (std::size_t at = 0; at < sources[i].text.size(); ++at, ++changes) {
            std::vector<Source> changed = sources;
            changed[i].text[at] ^= 1;
            prints.insert(fingerprint(changed));
        }
    }
    EXPECT_EQ(prints.size(), changes);
}

TEST(Fingerprint, KnowsWhereOneTextEndsAndTheNextBegins) {
    EXPECT_NE(fingerprint({{"a", "abc"}}), fingerprint({{"a", "ab"}, {"b", "c"}}));
    EXPECT_NE(fingerprint({{"a", "b"}, {"", ""}}), fingerprint({{"a", "b"}}));
    EXPECT_NE(fingerprint({{"a", "bc"}, {"b", "d"}}), fingerprint({{"a", "b"}, {"b", "cd"}}));
}

// No answer hangs on them, so jobs of both were worked with the same knowledge.
TEST(Fingerprint, KnowsNeitherNamesNorOrderOfTheTexts) {
    EXPECT_EQ(fingerprint({{"a", "one"}, {"b", "two"}}), fingerprint({{"z", "two"}, {"y", "one"}}));
}

}  // namespace
}  // namespace knockwell
