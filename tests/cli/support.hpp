// cli/support.hpp, of the tests
//
// What the tests of the command ask of every output.
#pragma once
#include "base/source.hpp"
#include "cli/stage.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <sstream>
#include <string>
#include <vector>

namespace knockwell {

/// Every line of the list of `close`, said to be so.
inline constexpr const char* all_seen_to =
    " --checked covers,valves,power,cycles,relief,recheck,water,killer,customer --as-left "
    "cut-in=40psi --as-left cut-out=60psi --as-left precharge=38psi --as-left amps=8A --as-left "
    "leak-down=0psi";

/// Where the small fixed knowledge lies.
inline std::filesystem::path small_well() {
    return std::filesystem::path(KNOCKWELL_TESTS_DIR) / "runs";
}

/// The job opened last, as much of its identifier as the list shows.
inline std::string id_of_first(Stage& stage) { return stage.run({"jobs"}).out.substr(0, 8); }

inline std::string text_of_file(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

/// Where the first of these programs lies that is installed; empty where none is.
inline std::filesystem::path program_of(const std::vector<std::string>& names) {
    const char* path = std::getenv("PATH");
    std::istringstream folders(path == nullptr ? "" : path);
    for (std::string folder; std::getline(folders, folder, ':');)
        for (const std::string& name : names)
            if (std::filesystem::exists(std::filesystem::path(folder) / name))
                return std::filesystem::path(folder) / name;
    return {};
}

inline std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines(1);
    for (const char c : text) {
        if (c == '\n') {
            lines.emplace_back();
        } else {
            lines.back() += c;
        }
    }
    return lines;
}

inline std::size_t widest_line(const std::string& text) {
    std::size_t widest = 0;
    for (const std::string& line : lines_of(text))
        widest = std::max(widest, code_points(line));
    return widest;
}

/// Whether nothing but printable characters and newlines is in it: no control character of either
/// set, nothing that turns text around, only well-formed bytes of the second and third plane's
/// UTF-8.
inline bool harmless(const std::string& text) {
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto c = static_cast<unsigned char>(text[i]);
        if ((c < 0x20 && c != '\n') || c == 0x7F || c == 0xFF || c == 0xFE)
            return false;
        const std::string next = text.substr(i, 3);
        if (c == 0xC2 && next.size() > 1 && static_cast<unsigned char>(next[1]) < 0xA0)
            return false;  // U+0080 to U+009F
        if (next == "\xE2\x80\xAE" || next == "\xE2\x80\xA8" || next == "\xE2\x81\xA6")
            return false;  // right-to-left override, line separator, isolate
    }
    return true;
}

/// Places of `first` and `second` in `text`, both there and in that order.
inline testing::AssertionResult in_order(const std::string& text, const std::string& first,
                                         const std::string& second) {
    const std::size_t a = text.find(first);
    const std::size_t b = text.find(second);
    if (a == std::string::npos)
        return testing::AssertionFailure() << "no '" << first << "' in\n" << text;
    if (b == std::string::npos)
        return testing::AssertionFailure() << "no '" << second << "' in\n" << text;
    if (a > b)
        return testing::AssertionFailure() << "'" << second << "' stands before '" << first << "'";
    return testing::AssertionSuccess();
}

}  // namespace knockwell
