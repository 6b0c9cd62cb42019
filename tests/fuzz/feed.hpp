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
/// character that came through, a broken line, a place that is not in the text.
[[nodiscard]] Fed feed(const std::vector<Source>& sources);

}  // namespace knockwell
