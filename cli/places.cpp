#include "cli/places.hpp"

#include "base/words.hpp"
#include "ledger/csv.hpp"

#include <charconv>
#include <cmath>
#include <optional>

namespace knockwell {
namespace {

std::optional<double> coordinate(const std::string& cell) {
    const std::string_view text = trimmed(cell);
    double value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(value))
        return std::nullopt;
    return value;
}

/// What is wrong with the row; empty where it was taken in.
std::string take(const CsvRow& row, Places& places) {
    if (!row.wrong.empty())
        return row.wrong;
    if (row.cells.size() != 3)
        return "it wants three cells: area, east and north";
    const std::optional<double> east = coordinate(row.cells[1]);
    const std::optional<double> north = coordinate(row.cells[2]);
    if (!east || !north)
        return in_quotes(row.cells[east ? 2 : 1]) + " is no number; write 12.5";
    if (!places.emplace(std::string(trimmed(row.cells[0])), Whereabouts{*east, *north}).second)
        return "the area " + in_quotes(row.cells[0]) + " is there already";
    return {};
}

}  // namespace

std::variant<Places, std::vector<std::string>> read_places(std::istream& in) {
    Places places;
    std::vector<std::string> wrong;
    CsvReader reader(in, ',');
    const std::optional<CsvRow> head = reader.next();
    if (!head || head->cells != std::vector<std::string>{"area", "east", "north"})
        return std::vector<std::string>{"line 1: the first row must be area,east,north"};
    while (const std::optional<CsvRow> row = reader.next())
        if (const std::string why = take(*row, places); !why.empty())
            wrong.push_back("line " + std::to_string(row->line) + ": " + why);
    if (!wrong.empty())
        return wrong;
    return places;
}

}  // namespace knockwell
