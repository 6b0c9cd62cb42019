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
    fs::create_symlink("/dev/null", unfinished.part());
    EXPECT_TRUE(unfinished.finish());
    EXPECT_FALSE(fs::exists(fs::symlink_status(scratch / "whole"))) << "before it has its name";
}

TEST(Unfinished, IsPrivateFromItsFirstMomentAndWritesIntoNothingThatIsThere) {
    const Scratch scratch;
    write(scratch / "mine", "kept");
    fs::create_symlink(scratch / "mine", scratch / "whole.part");
    Unfinished unfinished(scratch / "whole");
    const mode_t usual = ::umask(0);
    EXPECT_FALSE(unfinished.make());
    (void)::umask(usual);
    EXPECT_TRUE(fs::is_regular_file(fs::symlink_status(unfinished.part())));
    EXPECT_EQ(fs::status(unfinished.part()).permissions(),
              fs::perms::owner_read | fs::perms::owner_write);
    EXPECT_EQ(bytes_of(scratch / "mine"), "kept");
    EXPECT_TRUE(unfinished.make()) << "somebody put a file there meanwhile";
    EXPECT_FALSE(unfinished.finish());
    EXPECT_TRUE(fs::exists(scratch / "whole"));
}

}  // namespace
}  // namespace knockwell
