// ledger/spreadsheet.hpp
//
// Jobs of a shop that kept a spreadsheet: a row a job, by a mapping that says what each column is.
//
// Care     a row is taken whole or refused with its line and all that is wrong in it. Its job gets
//          its identifier from the shop's own number of it (or from all it says, where it has
//          none), so that the same row taken in twice is one job
// Held by  tests/ledger/spreadsheet_test.cpp
#pragma once
#include "knowledge/model.hpp"
#include "ledger/csv.hpp"
#include "ledger/kept.hpp"
#include "ledger/sheet_map.hpp"

#include <cstdint>
#include <istream>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <variant>
#include <vector>

namespace knockwell {

/// One thing for which a row is refused.
struct RefusedRow {
    std::size_t line = 0;
    std::string says;  // lower case, no full stop, safe on a terminal
    bool operator==(const RefusedRow&) const = default;
};

class SheetReader {
public:
    /// All three must outlive it. `now`: seconds since 1970; a job that was opened more than a day
    /// after it, or before 1950, has its date mistyped.
    SheetReader(std::istream& in, const SheetMap& map, const Knowledge& knowledge,
                std::int64_t now);

    /// Why the heading of the sheet does not go with the mapping; empty where it does.
    [[nodiscard]] const std::string& wrong() const { return wrong_; }

    /// The job, or all that is wrong with its row in the order of the cells; nothing at the end.
    [[nodiscard]] std::optional<std::variant<KeptJob, std::vector<RefusedRow>>> next();

    /// Whether the job of an identifier may be of a row that was refused: one of its number, or one
    /// whose cells could not be told apart.
    [[nodiscard]] bool may_be_refused(const std::string& job) const {
        return unread_ || refused_.contains(job);
    }

    /// The line that the row read last begins on.
    [[nodiscard]] std::size_t line() const { return line_; }

private:
    CsvReader rows_;
    const SheetMap* map_;
    const Knowledge* knowledge_;
    std::int64_t now_;
    std::string wrong_;
    std::size_t line_ = 0;
    std::vector<const SheetColumn*> columns_;      // by place in the sheet
    std::map<std::string, std::size_t> numbers_;   // the shop's number -> line
    std::set<std::string> refused_;                // identifiers of the jobs of refused rows
    bool unread_ = false;                          // a row's number is not known
    std::map<std::uint64_t, std::uint32_t> same_;  // rows without a number: how many said the same
};

}  // namespace knockwell
