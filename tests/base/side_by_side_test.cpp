#include "base/side_by_side.hpp"

#include <gtest/gtest.h>

#include <stdexcept>
#include <string>

namespace knockwell {
namespace {

void fails(const char* why) { throw std::runtime_error(why); }

std::string what_is_thrown(bool here, bool other) {
    try {
        side_by_side([&] { here ? fails("here") : void(); },
                     [&] { other ? fails("other") : void(); });
    } catch (const std::runtime_error& failure) {
        return failure.what();
    }
    return "nothing";
}

TEST(SideBySide, BothAreDone) {
    int here = 0;
    int other = 0;
    side_by_side([&] { here = 1; }, [&] { other = 2; });
    EXPECT_EQ(here, 1);
    EXPECT_EQ(other, 2);
}

TEST(SideBySide, WhatOneThrowsIsThrownOn) {
    EXPECT_EQ(what_is_thrown(false, false), "nothing");
    EXPECT_EQ(what_is_thrown(true, false), "here");
    EXPECT_EQ(what_is_thrown(false, true), "other");
    EXPECT_EQ(what_is_thrown(true, true), "here");
}

}  // namespace
}  // namespace knockwell
