// What stands in a file, and what is told of one that cannot be read.
#include "base/whole_file.hpp"

#include <gtest/gtest.h>

#include <fstream>
#include <map>
#include <string>
#include <system_error>

namespace knockwell {
namespace {

namespace fs = std::filesystem;

fs::path file_with(const std::string& text) {
    fs::path file = fs::path(testing::TempDir()) / "knockwell-whole-file";
    std::ofstream(file, std::ios::binary | std::ios::trunc) << text;
    return file;
}

TEST(WholeFile, IsReadToTheLastByte) {
    for (const std::size_t size : {0U, 1U, (1U << 16U) - 1, 1U << 16U, (1U << 16U) + 1, 200000U}) {
        std::string text(size, 'x');
        if (size > 0)
            text.back() = '\0';
        const fs::path file = file_with(text);
        EXPECT_EQ(whole_file(file), text);
        EXPECT_EQ(whole_file(file, 70000), text.substr(0, 70001));
        EXPECT_EQ(whole_file(file, 0), text.substr(0, 1));
        fs::remove(file);
    }
}

// A folder opens, and fails at the first byte.
TEST(WholeFile, ThatCannotBeReadIsToldByItsNameAndTheReason) {
    const std::string none = testing::TempDir() + "there-is-none";
    for (const auto& [name, why] : std::map<std::string, std::string>{
             {testing::TempDir(), "Is a directory"}, {none, "No such file or directory"}}) {
        try {
            (void)whole_file(name);
            ADD_FAILURE() << name;
        } catch (const std::system_error& failed) {
            EXPECT_EQ(failed.what(), "cannot read " + name + ": " + why);
        }
    }
}

}  // namespace
}  // namespace knockwell
