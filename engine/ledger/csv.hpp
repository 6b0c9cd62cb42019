// ledger/csv.hpp
//
// Rows of a CSV text, one at a time, each with the line it begins on.
//
// Source   RFC 4180 (2005), section 2; also taken: LF for CR LF, another separator, a byte order
//          mark, as spreadsheets write them
// Care     a cell that is no UTF-8, a quote that is never closed, or something behind a closing
//          quote makes the row wrong. Reading goes on behind the line that an open quote began on,
//          so that it does not hide the rows after it (a hundred times; then behind the line where
//          it was seen). A row is 1 MiB at most
// Held by  tests/ledger/csv_test.cpp
#pragma once
#include <cstddef>
#include <istream>
#include <optional>
#include <string>
#include <vector>

namespace knockwell {

struct CsvRow {
    std::size_t line = 0;  // that it begins on, from 1
    std::vector<std::string> cells;
    std::string wrong;  // why it is no row; empty where it is one
    bool operator==(const CsvRow&) const = default;
};

class CsvReader {
public:
    CsvReader(std::istream& in, char separator) : in_(&in), separator_(separator) {}

    /// Nothing at the end. Lines with nothing on them are passed over.
    [[nodiscard]] std::optional<CsvRow> next();

private:
    [[nodiscard]] bool read_line(std::string& line);
    std::istream* in_;
    char separator_;
    std::size_t lines_ = 0;
    std::size_t returns_ = 0;
};

}  // namespace knockwell
