// cli/page.hpp
//
// A page of text for a terminal: so many columns, no control character but newline, colour only
// where it is wanted.
#pragma once
#include <cstddef>
#include <string>
#include <string_view>

namespace knockwell {

struct PageStyle {
    std::size_t width = 80;  // columns
    bool colour = false;
};

/// Each line of `text` broken at blanks, what goes over begun two blanks further in; a line of more
/// than 400 bytes is cut. `text` is escaped already.
[[nodiscard]] std::string lines_within(std::string_view text, std::size_t width);

/// Everything that is put on it is escaped first, so that no file, ledger or argument can steer the
/// terminal.
class Page {
public:
    explicit Page(PageStyle style) : style_(style) {}

    /// Words, broken at blanks; the first line begun by `first` blanks, the others by `indent`.
    void text(std::string_view words, std::size_t indent = 0, std::size_t first = 0);
    /// The same with every line begun alike.
    void block(std::string_view words, std::size_t indent) { text(words, indent, indent); }
    /// Words on the left and a few at the right edge; behind a comma where the line is too short.
    void row(std::string_view left, std::string_view right, std::size_t indent, std::size_t first);
    /// A line in capitals, bold where there is colour.
    void heading(std::string_view words);
    /// DANGER, WARNING or CAUTION and the words it stands before.
    void signal(std::string_view word, std::string_view words, std::size_t indent);
    /// An empty line; never two of them, none at the top.
    void gap();

    [[nodiscard]] const std::string& all() const { return all_; }

private:
    PageStyle style_;
    std::string all_;
};

}  // namespace knockwell
