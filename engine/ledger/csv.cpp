#include "ledger/csv.hpp"

#include "base/next_line.hpp"
#include "base/utf8.hpp"
#include "base/words.hpp"

#include <algorithm>
#include <string_view>

namespace knockwell {
namespace {

constexpr std::size_t longest_row = std::size_t{1} << 20U;  // bytes
constexpr std::size_t most_returns = 100;  // or a hostile text would be read over and over
constexpr std::string_view byte_order_mark = "\xef\xbb\xbf";

/// The cells of one row, which may go over several lines.
class Cells {
public:
    Cells(CsvRow& into, char separator) : into_(&into), separator_(separator) {
        into_->cells.emplace_back();
    }

    /// Takes a line; whether the row goes on on the next one.
    bool goes_on(std::string_view line) {
        size_ += line.size() + 1;  // its end too: an open quote takes empty lines in
        if (size_ > longest_row)
            return fail("it is longer than 1 MiB; is a quote open?");
        if (where_ == Where::quoted)
            into_->cells.back() += '\n';
        for (const char c : line)
            if (!take(c))
                return false;
        return where_ == Where::quoted;
    }

private:
    enum class Where { begin, plain, quoted, behind };

    bool fail(const char* why) {
        into_->wrong = why;
        return false;
    }

    bool take(char c) {
        std::string& cell = into_->cells.back();
        if (where_ == Where::quoted) {
            if (c == '"')
                where_ = Where::behind;
            else
                cell += c;
            return true;
        }
        if (c == separator_) {
            into_->cells.emplace_back();
            where_ = Where::begin;
            return true;
        }
        if (c == '"') {
            if (where_ == Where::plain)
                return fail("a quote stands in a cell that does not begin with one");
            if (where_ == Where::behind)
                cell += '"';
            where_ = Where::quoted;
            return true;
        }
        if (where_ == Where::behind)
            return fail("something stands behind a closing quote");
        where_ = Where::plain;
        cell += c;
        return true;
    }

    CsvRow* into_;
    char separator_;
    Where where_ = Where::begin;
    std::size_t size_ = 0;
};

/// What another alphabet's bytes stand for is guessed by nobody: in the ledger they would stay
/// wrong.
std::string against_bytes(const std::vector<std::string>& cells) {
    const auto bad = std::find_if(cells.begin(), cells.end(),
                                  [](const std::string& cell) { return !is_utf8(cell); });
    if (bad == cells.end())
        return {};
    return in_quotes(*bad) + " is not UTF-8; save the sheet as CSV in UTF-8, and take that one";
}

}  // namespace

bool CsvReader::read_line(std::string& line) {
    if (!next_line(*in_, line, longest_row))
        return false;
    ++lines_;
    if (lines_ == 1 && line.rfind(byte_order_mark, 0) == 0)
        line.erase(0, byte_order_mark.size());
    if (line.ends_with('\r'))
        line.pop_back();
    return true;
}

std::optional<CsvRow> CsvReader::next() {
    std::string line;
    do {
        if (!read_line(line))
            return std::nullopt;
    } while (line.empty());
    CsvRow row;
    row.line = lines_;
    Cells cells(row, separator_);
    std::istream::pos_type behind =
        -1;  // the line that it began on; asked for only where it goes on
    while (cells.goes_on(line)) {
        if (lines_ == row.line)
            behind = in_->tellg();
        if (!read_line(line)) {
            row.wrong = "a quote is open to the end of the file";
            break;
        }
    }
    if (!row.wrong.empty() && behind != std::istream::pos_type(-1) && returns_ < most_returns) {
        ++returns_;
        in_->clear();
        in_->seekg(behind);
        lines_ = row.line;
    }
    if (row.wrong.empty())
        row.wrong = against_bytes(row.cells);
    return row;
}

}  // namespace knockwell
