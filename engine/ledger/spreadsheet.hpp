// ledger/spreadsheet.hpp
//
// Jobs of a shop that kept a spreadsheet: a row a job, by a mapping that says what each column is.
// docs/ledger.md shows a mapping.
//
// Care     a row is taken whole or refused with its line and all that is wrong in it. Its job gets
//          its identifier from the shop's own number of it (or from all it says, where it has
//          none), so that the same row taken in twice is one job
// Held by  tests/ledger/spreadsheet_test.cpp
#pragma once
#include "base/problem.hpp"
#include "knowledge/model.hpp"
#include "ledger/csv.hpp"
#include "ledger/kept.hpp"

#include <cstdint>
#include <istream>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <variant>
#include <vector>

namespace knockwell {

/// What the cells of one column are.
enum class SheetField {
    skip,
    number,  // the shop's own number of the job
    opened,  // a date, or a date and time
    area,
    installation,
    set,           // `of` = setting or quantity
    said,          // the cell names the sign, or `of` does and the cell has the value
    found,         // the same
    did,           // the cell names the repair
    minutes,       // of the repair, or of the whole where there is none
    cause,         // the cell names the cause
    how_sure,      // seen, fixed-it or guessed
    outcome,       // cured, not-cured or handed-over
    call_back_of,  // the shop's number of the earlier job
    note,
};

struct SheetColumn {
    std::string name;
    SheetField field = SheetField::skip;
    std::string of;
    std::map<std::string, std::string>
        values;  // what stands in a cell -> what it means; "" = nothing
};

enum class SheetDates { year_month_day, month_day_year, day_month_year };

struct SheetMap {
    char separator = ',';
    SheetDates dates = SheetDates::year_month_day;
    std::string how_sure = "guessed";  // where no column says so
    std::string outcome;               // the same; empty = a row must say
    std::vector<SheetColumn> columns;
};

/// The mapping, a TOML text, or all that is wrong with it.
[[nodiscard]] std::variant<SheetMap, std::vector<Problem>> read_sheet_map(const Source& source);

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
