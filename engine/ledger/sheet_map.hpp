// ledger/sheet_map.hpp
//
// What each column of a shop's spreadsheet is. docs/ledger.md shows a mapping.
//
// Held by  tests/ledger/spreadsheet_test.cpp
#pragma once
#include "base/problem.hpp"

#include <map>
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

}  // namespace knockwell
