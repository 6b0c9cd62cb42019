// support/marks.hpp
//
// Tables in the documents that are written by programs: each stands between two marks.
#pragma once
#include <fstream>
#include <iterator>
#include <string>
#include <string_view>

namespace knockwell {

struct Marks {
    std::string_view begin;  // a line, with its end
    std::string_view end;
};

/// Puts `text` between the marks of the file; false, and the file stays, where it has none.
[[nodiscard]] inline bool put_between(const Marks& marks, const std::string& file,
                                      std::string_view text) {
    std::ifstream in(file, std::ios::binary);
    std::string all{std::istreambuf_iterator<char>(in), {}};
    in.close();
    const std::size_t from = all.find(marks.begin);
    const std::size_t to = all.find(marks.end);
    if (from == std::string::npos || to == std::string::npos || to < from)
        return false;
    all.replace(from + marks.begin.size(), to - from - marks.begin.size(), text);
    std::ofstream(file, std::ios::binary | std::ios::trunc) << all;
    return true;
}

}  // namespace knockwell
