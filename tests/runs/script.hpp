// runs/script.hpp
//
// Command lines with what they print, as they stand in a .run file or in the sh blocks of a
// Markdown page:
//
//   $ knockwell ask --says presure
//   knockwell: --says presure: no sign is called 'presure'
//   [2]
//
// What goes to the error stream stands after what goes to the output. A status other than 0 stands
// in brackets, last. A line that ends in a backslash goes on in the next. What stands before the
// first command is for people. ROOM is the temporary folder of the ledger.
#pragma once
#include <string>
#include <string_view>
#include <vector>

namespace knockwell {

struct Turn {
    std::string typed;     // without "$ ", several lines where it goes on
    std::string expected;  // all that follows, up to the next turn
};

/// A stretch of text that stays as it is, then turns; the last one may have none.
struct Stretch {
    std::string text;
    std::vector<Turn> turns;
};

/// A .run file: comments and empty lines before the first command are its text.
[[nodiscard]] std::vector<Stretch> read_run(std::string_view file);

/// A Markdown page: the turns of every ```sh block whose first line begins with "$ knockwell".
[[nodiscard]] std::vector<Stretch> read_page(std::string_view page);

/// The file again, byte for byte where nothing was changed.
[[nodiscard]] std::string to_text(const std::vector<Stretch>& stretches);

}  // namespace knockwell
