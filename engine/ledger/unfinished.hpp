// ledger/unfinished.hpp
//
// A file that is written under another name until it is whole; taken away where it does not come to
// that.
//
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
    /// The other name has ".part" behind it. What a run that was cut off left there is taken away.
    explicit Unfinished(std::filesystem::path whole);
    ~Unfinished();
    Unfinished(const Unfinished&) = delete;
    Unfinished& operator=(const Unfinished&) = delete;
    Unfinished(Unfinished&&) = delete;
    Unfinished& operator=(Unfinished&&) = delete;

    [[nodiscard]] const std::filesystem::path& part() const { return part_; }

    /// Makes the part, empty and private to its owner from its first moment; what is wrong where
    /// that fails. What somebody put there meanwhile, a link too, is not written into.
    [[nodiscard]] std::error_code make() const;

    /// To the disk and then its name; what is wrong where that fails. (No hard link: a stick may
    /// know none.)
    [[nodiscard]] std::error_code finish();

private:
    std::filesystem::path whole_;
    std::filesystem::path part_;
};

}  // namespace knockwell
