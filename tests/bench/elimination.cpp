#include "bench/elimination.hpp"

#include <set>

namespace knockwell::bench {
namespace {

using Near = std::vector<std::set<std::uint32_t>>;

std::size_t fill(const Near& near, std::uint32_t bit) {
    std::size_t missing = 0;
    for (auto a = near[bit].begin(); a != near[bit].end(); ++a)
        for (auto b = std::next(a); b != near[bit].end(); ++b)
            missing += near[*a].contains(*b) ? 0U : 1U;
    return missing;
}

}  // namespace

std::vector<std::uint32_t> min_fill_order(std::size_t bits,
                                          const std::vector<std::vector<std::uint32_t>>& scopes) {
    Near near(bits);
    for (const auto& scope : scopes)
        for (const std::uint32_t a : scope)
            for (const std::uint32_t b : scope)
                if (a != b)
                    near[a].insert(b);
    std::vector<std::size_t> missing(bits);
    std::set<std::uint32_t> left;
    for (std::uint32_t bit = 0; bit < bits; ++bit) {
        missing[bit] = fill(near, bit);
        left.insert(bit);
    }
    std::vector<std::uint32_t> order;
    while (!left.empty()) {
        const std::uint32_t next = *std::min_element(
            left.begin(), left.end(), [&](auto a, auto b) { return missing[a] < missing[b]; });
        order.push_back(next);
        left.erase(next);
        const std::set<std::uint32_t> around = near[next];
        std::set<std::uint32_t> changed;
        for (const std::uint32_t a : around) {
            near[a].erase(next);
            for (const std::uint32_t b : around)
                if (a != b)
                    near[a].insert(b);
        }
        for (const std::uint32_t a : around) {
            changed.insert(a);
            changed.insert(near[a].begin(), near[a].end());
        }
        for (const std::uint32_t a : changed)
            missing[a] = fill(near, a);
    }
    return order;
}

}  // namespace knockwell::bench
