// ledger/unfinished.hpp
//
// A file that is written under another name until it is whole; taken away where it does not come to
// that.
#pragma once
#include <filesystem>
#include <system_error>

namespace knockwell {

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

    /// To the disk, so that a power cut does not take it, and then its name; what is wrong where
    /// that fails. (No hard link: a stick may know none.)
    [[nodiscard]] std::error_code finish();

private:
    std::filesystem::path whole_;
    std::filesystem::path part_;
};

}  // namespace knockwell
