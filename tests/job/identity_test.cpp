// Job identifiers are version 4 or 5 UUIDs of RFC 9562.
#include "job/identity.hpp"

#include <gtest/gtest.h>

#include <random>
#include <set>

namespace knockwell {
namespace {

std::string seeded(std::uint32_t seed) {
    std::mt19937 engine(seed);
    return new_job_id([&] { return static_cast<std::uint32_t>(engine()); });
}

TEST(Identity, SaysVersionFourAndTheVariantOfTheStandard) {
    for (std::uint32_t seed = 1; seed <= 500; ++seed) {
        const std::string id = seeded(seed);
        ASSERT_EQ(id.size(), 36U);
        EXPECT_EQ(id[14], '4') << id;                                          // section 5.4, ver
        EXPECT_NE(std::string("89ab").find(id[19]), std::string::npos) << id;  // section 4.1, var
        EXPECT_TRUE(is_job_id(id)) << id;
    }
}

TEST(Identity, AllZerosAndAllOnesLeaveOnlyVersionAndVariantStanding) {
    EXPECT_EQ(new_job_id([] { return 0U; }), "00000000-0000-4000-8000-000000000000");
    EXPECT_EQ(new_job_id([] { return 0xFFFFFFFFU; }), "ffffffff-ffff-4fff-bfff-ffffffffffff");
}

TEST(Identity, TheSameBitsGiveTheSameAndOthersAnother) {
    EXPECT_EQ(seeded(7), seeded(7));
    std::set<std::string> all;
    for (std::uint32_t seed = 1; seed <= 500; ++seed)
        all.insert(seeded(seed));
    EXPECT_EQ(all.size(), 500U);
}

// RFC 9562, appendix A.3: the worked example of version 4, and A.1 and A.5 of others.
TEST(Identity, KnowsTheExamplesOfTheStandard) {
    EXPECT_TRUE(is_job_id("919108f7-52d1-4320-9bac-f847db4148a8"));
    EXPECT_FALSE(is_job_id("C232AB00-9414-11EC-B3C8-9F6BDECED846"));  // version 1
    EXPECT_FALSE(is_job_id("5df41881-3aed-3515-88a7-2f4a814cf09e"));  // version 3
}

// RFC 9562, section 5.5; the value is what uuid5 of Python 3.11's standard library gives for the
// same namespace and name.
TEST(Identity, AJobThatHasANameElsewhereAlwaysGetsTheSame) {
    EXPECT_EQ(job_id_for("spreadsheet 17"), "92b52cf4-43da-51d9-a92b-f810db2e16d0");
    EXPECT_NE(job_id_for("spreadsheet 18"), job_id_for("spreadsheet 17"));
    EXPECT_TRUE(is_job_id(job_id_for("")));
}

TEST(Identity, OtherTextIsNone) {
    EXPECT_FALSE(is_job_id(""));
    EXPECT_FALSE(is_job_id("919108f7-52d1-4320-9bac-f847db4148a"));
    EXPECT_FALSE(is_job_id("919108f7-52d1-4320-9bac-f847db4148a8 "));
    EXPECT_FALSE(is_job_id("919108f7-52d1-4320-cbac-f847db4148a8"));
    EXPECT_FALSE(is_job_id("919108f7x52d1-4320-9bac-f847db4148a8"));
    EXPECT_FALSE(is_job_id("919108g7-52d1-4320-9bac-f847db4148a8"));
}

}  // namespace
}  // namespace knockwell
