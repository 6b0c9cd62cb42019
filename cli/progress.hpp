// cli/progress.hpp
//
// How far a long deed is, on the error stream and only where that is a terminal.
#pragma once
#include "cli/desk.hpp"
#include "ledger/ledger.hpp"

#include <string>

namespace knockwell {

/// "importing  [########............]  40 %", drawn over itself, gone at the end. Two of these must
/// not be there at once.
class ProgressBar {
public:
    ProgressBar(const Desk& desk, std::string deed);
    ~ProgressBar();
    ProgressBar(const ProgressBar&) = delete;
    ProgressBar& operator=(const ProgressBar&) = delete;
    ProgressBar(ProgressBar&&) = delete;
    ProgressBar& operator=(ProgressBar&&) = delete;

    /// Empty where nothing is to be shown.
    [[nodiscard]] Progress progress();

private:
    void draw(std::size_t done, std::size_t all);
    const Desk* desk_;
    std::string deed_;
    std::size_t drawn_ = 101;  // the percents that stand there; 101 = nothing does
};

}  // namespace knockwell
