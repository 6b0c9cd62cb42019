// A file that has its name only when it is whole and on the disk.
#include "ledger/scratch.hpp"
#include "ledger/unfinished.hpp"

#include <gtest/gtest.h>
#include <sys/stat.h>

namespace knockwell {
namespace {

namespace fs = std::filesystem;

// The kernel's own folder stands for a file system that syncs no folders, a device for a disk that
// fails.
TEST(Unfinished, WhatTheDiskDoesNotTakeIsTold) {
    EXPECT_FALSE(to_disk("/proc"));
    EXPECT_TRUE(to_disk("/dev/null"));
    const Scratch scratch;
    EXPECT_FALSE(to_disk(scratch / ""));
    EXPECT_TRUE(to_disk(scratch / "missing"));
    Unfinished unfinished(scratch / "whole");
    ASSERT_FALSE(unfinished.make());
    fs::remove(unfinished.part());
    fs::create_symlink("/dev/null", unfinished.part());
    EXPECT_TRUE(unfinished.finish());
    EXPECT_TRUE(unfinished.replace());
    EXPECT_FALSE(fs::exists(fs::symlink_status(scratch / "whole"))) << "before it has its name";
    EXPECT_TRUE(Unfinished(scratch / "none" / "whole").make());
}

TEST(Unfinished, IsPrivateFromItsFirstMomentAndGoesAwayWhereItComesToNothing) {
    const Scratch scratch;
    fs::path part;
    {
        Unfinished unfinished(scratch / "whole");
        const mode_t usual = ::umask(0);
        EXPECT_FALSE(unfinished.make());
        (void)::umask(usual);
        part = unfinished.part();
        EXPECT_EQ(fs::status(part).permissions(), fs::perms::owner_read | fs::perms::owner_write);
        write(part.string() + "-wal", "SQLite's");
    }
    EXPECT_TRUE(fs::is_empty(scratch / ""));
}

// Two at one name do not write into one file, and the second is told.
TEST(Unfinished, TakesAwayAndOverwritesNothing) {
    const Scratch scratch;
    write(scratch / "whole.part", "mine");
    Unfinished one(scratch / "whole");
    Unfinished other(scratch / "whole");
    ASSERT_FALSE(one.make());
    ASSERT_FALSE(other.make());
    EXPECT_NE(one.part(), other.part());
    write(one.part(), "one");
    write(other.part(), "other");
    EXPECT_FALSE(one.finish());
    EXPECT_EQ(other.finish(), std::errc::file_exists);
    EXPECT_EQ(bytes_of(scratch / "whole"), "one");
    EXPECT_FALSE(other.replace());
    EXPECT_EQ(bytes_of(scratch / "whole"), "other");
    EXPECT_EQ(bytes_of(scratch / "whole.part"), "mine");
    fs::create_symlink(scratch / "nothing", scratch / "link");
    Unfinished third(scratch / "link");
    ASSERT_FALSE(third.make());
    EXPECT_EQ(third.finish(), std::errc::file_exists) << "a link that leads nowhere is somebody's";
}

}  // namespace
}  // namespace knockwell
