// cli/show_ledger.hpp
//
// What the commands on the whole ledger say, as text or JSON; and jobs as rows of a spreadsheet.
#pragma once
#include "cli/desk.hpp"
#include "job/summary.hpp"
#include "ledger/ledger.hpp"
#include "ledger/spreadsheet.hpp"

#include <string>
#include <vector>

namespace knockwell {

void show_verified(const Desk& desk, std::size_t jobs);
void show_backed_up(const Desk& desk, const std::string& file, std::size_t jobs);
void show_exported(const Desk& desk, const std::string& file, std::size_t jobs);
/// `warnings`: dangers of what came in, and those that are told no more.
void show_taken_in(const Desk& desk, const TakenIn& taken,
                   const std::vector<std::string>& warnings);

/// Every line that was refused, and that therefore nothing is kept.
void show_refused(const Desk& desk, const std::string& file,
                  const std::vector<RefusedRow>& refused);

/// The heading of `sheet_row`, without its newline.
[[nodiscard]] std::string sheet_heading();

/// A job in short, as CSV. A cell that a spreadsheet would take for a formula is begun by an
/// apostrophe, and control characters are spelled out.
/// Source   RFC 4180 (2005), section 2
[[nodiscard]] std::string sheet_row(const Job& job);

}  // namespace knockwell
