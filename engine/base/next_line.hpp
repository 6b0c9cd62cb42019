// base/next_line.hpp
//
// Lines of a foreign text, however long they are.
//
// Held by  tests/base/next_line_test.cpp
#pragma once
#include <cstddef>
#include <istream>
#include <string>

namespace knockwell {

/// The next line without its end. Of a longer one than `most` bytes the first `most` + 1, so that
/// whoever checks its length refuses it; the others are passed over. False where there is none.
[[nodiscard]] bool next_line(std::istream& in, std::string& line, std::size_t most);

}  // namespace knockwell
