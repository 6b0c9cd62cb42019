// beliefs/cases.hpp
//
// What hangs on unknown settings, looked at under every assignment of them. Inside this floor only.
//
// Held by  tests/laws/ (sum over all worlds, written without any of this)
#pragma once
#include "beliefs/likelihood.hpp"

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace knockwell {

/// Settings on which the edges of a sign's reading hang, ascending; those of quantities that were
/// typed do not count.
[[nodiscard]] std::vector<std::uint32_t> givers_of(const Knowledge& knowledge,
                                                   const Evidence& evidence, const Sign& sign);

/// One assignment of the unknown settings among `on`, and whether conditions hold under it.
class Cases {
public:
    /// Unknown are those of `on` that the evidence does not know; tables always count as unknown.
    Cases(const Knowledge& knowledge, const Evidence& evidence,
          const std::vector<std::uint32_t>& on);
    [[nodiscard]] const std::vector<std::uint32_t>& unknown() const { return unknown_; }
    [[nodiscard]] std::size_t count() const { return count_; }
    /// Assignment number `which`, the first unknown slowest.
    void choose(std::size_t which) { chosen_ = which; }
    /// Where only the state of unknown number `i` goes up by one, the number goes up by this.
    [[nodiscard]] std::size_t stride(std::size_t i) const { return strides_[i]; }
    /// The state of unknown number `i` in assignment number `which`.
    [[nodiscard]] std::size_t state_in(std::size_t which, std::size_t i) const {
        return which / strides_[i] % states_[i];
    }
    /// ... and of any setting in the chosen one.
    [[nodiscard]] std::size_t state(std::uint32_t setting) const;
    [[nodiscard]] bool hold(const Conditions& conditions) const;
    /// A quantity as it was typed, else as the chosen state of its setting gives it.
    [[nodiscard]] double quantity(const std::string& name) const;
    /// The same as a function; lives no longer than the cases.
    [[nodiscard]] QuantityOf quantities() const;

private:
    const Knowledge& knowledge_;
    std::vector<std::uint32_t> unknown_;
    std::vector<std::size_t> states_;   // [unknown] number of states
    std::vector<std::size_t> strides_;  // [unknown]
    std::size_t count_ = 1;
    std::size_t chosen_ = 0;
    const Evidence& evidence_;
};

/// P(cause | settings) where nothing brings it on: base odds times every multiplier that holds.
template <class P>
[[nodiscard]] P base_chance(const CauseNode& node, const Cases& cases,
                            std::span<const P> strengths);

}  // namespace knockwell
