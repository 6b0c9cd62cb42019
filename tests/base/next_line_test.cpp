#include "base/next_line.hpp"

#include <gtest/gtest.h>

#include <random>
#include <sstream>
#include <vector>

namespace knockwell {
namespace {

std::vector<std::string> lines_of(const std::string& text, std::size_t most) {
    std::istringstream in(text);
    std::vector<std::string> lines;
    for (std::string line; next_line(in, line, most);)
        lines.push_back(line);
    EXPECT_TRUE(in.eof());
    EXPECT_FALSE(in.bad());
    return lines;
}

std::vector<std::string> by_the_library(const std::string& text) {
    std::istringstream in(text);
    std::vector<std::string> lines;
    for (std::string line; std::getline(in, line);)
        lines.push_back(line);
    return lines;
}

TEST(NextLine, IsThatOfTheStandardLibrary) {
    for (const std::string& text :
         {std::string(), std::string("\n"), std::string("a"), std::string("a\n\nb"),
          std::string("a\nb\n"), std::string("a\0b\nc", 5), std::string(4094, 'x') + "\ny",
          std::string(4095, 'x') + "\ny", std::string(4096, 'x') + "\ny", std::string(4095, 'x'),
          std::string(8190, 'x') + "\n" + std::string(8191, 'y')})
        EXPECT_EQ(lines_of(text, 100'000), by_the_library(text)) << text.size();
    std::mt19937 dice(7);
    for (int round = 0; round < 200; ++round) {
        std::string text;
        for (std::size_t i = dice() % 20'000; i > 0; --i)
            text += dice() % 3000 == 0 ? '\n' : static_cast<char>(dice() % 256);
        EXPECT_EQ(lines_of(text, 100'000), by_the_library(text));
    }
}

TEST(NextLine, IsCutWhereItIsTooLong) {
    const std::string far(50'000, 'x');
    EXPECT_EQ(lines_of("ab\n" + far + "\ncd\nefgh", 3),
              (std::vector<std::string>{"ab", "xxxx", "cd", "efgh"}));
    EXPECT_EQ(lines_of(far, 3), (std::vector<std::string>{"xxxx"}));
}

}  // namespace
}  // namespace knockwell
