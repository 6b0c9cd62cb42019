// beliefs/digits.hpp
//
// Where the combinations of some digits of a table stand. Inside this floor only.
#pragma once
#include <cstddef>
#include <cstdint>
#include <vector>

namespace knockwell {

/// A digit of a table: its values, and how far apart they stand.
struct Digit {
    std::uint32_t values = 1;
    std::size_t stride = 0;
};

/// Appends where each combination of some digits stands, the first digit slowest.
template <class Number>
void add_offsets(const std::vector<Digit>& digits, std::vector<Number>& to) {
    const std::size_t first = to.size();
    to.push_back(0);
    for (const Digit& digit : digits) {
        // From the back, so that each one's followers do not overwrite what is still to be read.
        const std::size_t count = to.size() - first;
        to.resize(first + count * digit.values);
        for (std::size_t i = count; i-- > 0;)
            for (std::size_t a = digit.values; a-- > 0;)
                to[first + i * digit.values + a] =
                    static_cast<Number>(to[first + i] + a * digit.stride);
    }
}

}  // namespace knockwell
