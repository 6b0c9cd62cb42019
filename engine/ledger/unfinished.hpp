// ledger/unfinished.hpp
//
// A file that is written under another name until it is whole; taken away where it does not come to
// that.
//
// Idea     the other name is one that nobody has, and the file gets its own in one deed that leaves
//          alone what has that already: two who make the same file do not write into one, and none
//          of them takes away what is not its own
// Care     what was killed half-way stays under the other name: whose it is cannot be known
// Held by  tests/ledger/unfinished_test.cpp
#pragma once
#include <filesystem>
#include <system_error>

namespace knockwell {

/// To the disk, so that a power cut does not take it; what is wrong where that fails. A folder that
/// its file system cannot sync by itself, or that may not be read, is let be.
[[nodiscard]] std::error_code to_disk(const std::filesystem::path& what);

class Unfinished {
public:
    explicit Unfinished(std::filesystem::path whole);
    ~Unfinished();
    Unfinished(const Unfinished&) = delete;
    Unfinished& operator=(const Unfinished&) = delete;
    Unfinished(Unfinished&&) = delete;
    Unfinished& operator=(Unfinished&&) = delete;

    /// Makes the part, empty and private to its owner from its first moment; what is wrong where
    /// that fails. The other name has ".part-" and six characters behind it.
    [[nodiscard]] std::error_code make();

    /// Empty until it is made.
    [[nodiscard]] const std::filesystem::path& part() const { return part_; }

    /// To the disk and then its name; what is wrong where that fails: std::errc::file_exists where
    /// something has that name, which stays as it is.
    [[nodiscard]] std::error_code finish();

    /// Its name alone, for what is on the disk by itself and is not missed where a power cut takes
    /// the name.
    [[nodiscard]] std::error_code take_name();

    /// To the disk and then in place of what has the name; what is wrong where that fails.
    [[nodiscard]] std::error_code replace();

private:
    std::filesystem::path whole_;
    std::filesystem::path part_;
};

}  // namespace knockwell
