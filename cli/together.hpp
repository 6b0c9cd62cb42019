// cli/together.hpp
//
// Looks that go with the first step: what it opens and switches is paid once for all of them.
#pragma once
#include "advice/advice.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace knockwell {

struct Together {
    std::size_t place = 0;  // among the steps of the advice, from 1
    std::string id;
    double minutes = 0;  // when it is made right after the first step
    double alone = 0;    // when it is made by itself
};

/// Of the other looks that are offered those that cost less right after the first step, in the
/// order of the advice. Nothing where the first step is no look.
[[nodiscard]] std::vector<Together>
looks_together(const Knowledge& knowledge, const Situation& situation, const Advice& advice);

}  // namespace knockwell
