#include "base/problem.hpp"

#include "base/utf8.hpp"
#include "base/words.hpp"

#include <algorithm>
#include <string_view>
#include <tuple>

namespace knockwell {
namespace {

constexpr std::size_t page = 100;  // columns
constexpr std::size_t margin = 2;  // blanks before everything under the first line
constexpr std::size_t room = page - margin;
constexpr std::size_t before_caret = 40;  // columns kept in front of it where a line is cut
constexpr std::string_view cut = "...";

/// "kb/tank.toml:14:1: ", or nothing where the span is nowhere.
std::string place_of(const Span& span, const std::vector<Source>& sources) {
    if (!span.somewhere() || span.source >= sources.size())
        return {};
    return escape_controls(sources[span.source].name) + ':' + std::to_string(span.begin.line) +
           ':' + std::to_string(span.begin.column) + ": ";
}

/// One code point as it is shown.
struct Cell {
    std::string text;
    std::size_t columns = 0;
};

/// A stretch of code points or cells, [first, last).
struct Stretch {
    std::size_t first = 0;
    std::size_t last = 0;
};

std::vector<Cell> cells_of(std::string_view line, Stretch wanted) {
    std::vector<Cell> cells;
    for (std::size_t at = 0; at < wanted.last; ++at) {
        const std::string_view point = line.substr(0, first_glyph(line).bytes);
        if (at >= wanted.first) {
            std::string shown = point == "\t" ? " " : escape_controls(point);
            const std::size_t columns = columns_of(shown);
            cells.push_back({.text = std::move(shown), .columns = columns});
        }
        line.remove_prefix(point.size());
    }
    return cells;
}

std::size_t columns_between(const std::vector<Cell>& cells, std::size_t first, std::size_t last) {
    std::size_t columns = 0;
    for (std::size_t i = first; i < last; ++i)
        columns += cells[i].columns;
    return columns;
}

/// The code points under the caret; empty where it stands behind the end of the line.
Stretch marked(const Span& span, std::size_t points) {
    const std::size_t first = std::min<std::size_t>(std::max(span.begin.column, 1U) - 1, points);
    std::size_t last = points;
    if (span.end.line == span.begin.line)
        last = std::max(span.end.column, 1U) - 1;
    if (span.end.line < span.begin.line)
        last = first + 1;
    return {first, std::clamp(last, std::min(first + 1, points), points)};
}

/// The cells that are shown of a line that is too long, leaving room for `cut` on both sides.
Stretch window(const std::vector<Cell>& cells, std::size_t caret) {
    Stretch shown{caret, caret};
    std::size_t columns = 0;
    while (shown.first > 0 && columns + cells[shown.first - 1].columns <= before_caret) {
        columns += cells[--shown.first].columns;
    }
    const std::size_t most = room - 2 * cut.size();
    while (shown.last < cells.size() && columns + cells[shown.last].columns <= most) {
        columns += cells[shown.last++].columns;
    }
    while (shown.first > 0 && columns + cells[shown.first - 1].columns <= most) {
        columns += cells[--shown.first].columns;
    }
    return shown;
}

/// The line of the text and the caret line under it; nothing where there is nothing to see.
std::string picture(const Span& span, const std::vector<Source>& sources) {
    if (!span.somewhere() || span.source >= sources.size())
        return {};
    const std::string_view line = line_of(sources[span.source].text, span.begin.line);
    if (line.empty())
        return {};
    const std::size_t points = code_points(line);
    const Stretch mark = marked(span, points);
    // Further from the caret than a page nothing is seen, and a line may be as long as a file.
    const Stretch near{mark.first > page ? mark.first - page : 0,
                       std::min(points, mark.first + page)};
    const std::vector<Cell> cells = cells_of(line, near);
    const bool whole =
        near.first == 0 && near.last == points && columns_between(cells, 0, cells.size()) <= room;
    const std::size_t caret = mark.first - near.first;
    const Stretch shown = whole ? Stretch{0, cells.size()} : window(cells, caret);

    const std::string head(near.first + shown.first > 0 ? cut : "");
    std::string text = std::string(margin, ' ') + head;
    for (std::size_t i = shown.first; i < shown.last; ++i)
        text += cells[i].text;
    if (near.first + shown.last < points)
        text += cut;
    text.erase(text.find_last_not_of(' ') + 1);

    const std::size_t blanks = head.size() + columns_between(cells, shown.first, caret);
    const std::size_t end = std::min(mark.last - near.first, shown.last);
    const std::size_t under = columns_between(cells, caret, end);
    return text + '\n' + std::string(margin + blanks, ' ') + '^' +
           std::string(under > 1 ? under - 1 : 0, '~') + '\n';
}

}  // namespace

std::string to_text(const Problem& problem, const std::vector<Source>& sources) {
    std::string out = place_of(problem.span, sources);
    out += problem.severity == Severity::error ? "error: " : "warning: ";
    out += shortened(escape_controls(problem.says)) + " (" + escape_controls(problem.code) + ")\n";
    out += picture(problem.span, sources);
    for (const Note& note : problem.notes) {
        const std::string text =
            place_of(note.span, sources) + "note: " + escape_controls(note.says);
        out += wrap(text, page, 2 * margin, margin) + '\n';
    }
    if (!problem.help.empty()) {
        out += wrap(escape_controls(problem.help), page, 2 * margin, margin) + '\n';
    }
    return out;
}

void put_in_order(std::vector<Problem>& problems) {
    const auto key = [](const Problem& problem) {
        return std::tie(problem.span.source, problem.span.begin, problem.severity, problem.span.end,
                        problem.code, problem.says);
    };
    std::stable_sort(problems.begin(), problems.end(),
                     [&key](const Problem& a, const Problem& b) { return key(a) < key(b); });
    const auto doubles =
        std::unique(problems.begin(), problems.end(),
                    [&key](const Problem& a, const Problem& b) { return key(a) == key(b); });
    problems.erase(doubles, problems.end());
}

bool any_error(const std::vector<Problem>& problems) {
    return std::any_of(problems.begin(), problems.end(),
                       [](const Problem& problem) { return problem.severity == Severity::error; });
}

}  // namespace knockwell
