#include "base/same_road.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

TEST(SameRoad, IsOneThatDiffersByCapitalsBlanksOrDotsAtTheEnd) {
    for (const char* same : {"mill rd", "Mill  Rd.", " MILL RD. ", "Mill Rd . "})
        EXPECT_EQ(same_road(same), "mill rd") << same;
    for (const char* other : {"mill road", "mill-rd", "millrd", "m.ill rd", "mill rd 1"})
        EXPECT_NE(same_road(other), "mill rd") << other;
}

TEST(SameRoad, HasANameWhereItHasOne) {
    EXPECT_EQ(same_road(""), "");
    EXPECT_EQ(same_road("."), ".");
}

}  // namespace
}  // namespace knockwell
