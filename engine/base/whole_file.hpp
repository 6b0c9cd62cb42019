// base/whole_file.hpp
//
// What stands in a file.
//
// Held by  tests/base/whole_file_test.cpp
#pragma once
#include <cstddef>
#include <filesystem>
#include <limits>
#include <string>

namespace knockwell {

/// All of it. Of a longer one than `most` bytes the first `most` + 1, so that whoever checks its
/// length refuses it. Throws std::system_error with its name and the reason where it cannot be
/// read: a folder, which opens as a file does, and a disk that fails half-way among them.
[[nodiscard]] std::string whole_file(const std::filesystem::path& file,
                                     std::size_t most = std::numeric_limits<std::size_t>::max() -
                                                        1);

}  // namespace knockwell
