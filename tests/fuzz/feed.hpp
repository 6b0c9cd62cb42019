// fuzz/feed.hpp
//
// Any bytes through the reader and out on the terminal.
#pragma once
#include "base/source.hpp"

#include <string>
#include <vector>

namespace knockwell {

struct Fed {
    bool accepted = false;  // no error
    std::string trouble;    // empty: none
};

/// Reads `sources` as knowledge and prints every problem. Says what went wrong with that: a control
/// character that came through, a broken line, a place that is not in the text, a quick_tree that
/// is not the tree of the TOML library.
[[nodiscard]] Fed feed(const std::vector<Source>& sources);

struct Trees {
    bool quick = false;  // quick_tree answers
    bool same = true;    // and the TOML library gives the same tree, to the last span
};

/// Reads `source` both ways.
[[nodiscard]] Trees trees_of(const Source& source);

}  // namespace knockwell
