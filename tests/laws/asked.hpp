// tests/laws/asked.hpp
//
// Random cases one after another, each with what the sum over all worlds says of it.
#pragma once
#include "beliefs/beliefs.hpp"
#include "laws/random_case.hpp"
#include "laws/worlds.hpp"
#include "support/cases.hpp"

#include <gtest/gtest.h>

#include <cstdint>
#include <functional>
#include <string>

namespace knockwell::laws {

/// 2 to 8 causes; every 125th case has 10 to 16.
[[nodiscard]] Size size_for(std::uint64_t seed);

/// A random case, ready to be asked; two of four with branches and cases wherever they can be.
struct Posed {
    std::uint64_t seed;
    Case it;
    Network network;
    Model model;
    explicit Posed(std::uint64_t from);
    Posed(const Posed&) = delete;
    Posed& operator=(const Posed&) = delete;
    Posed(Posed&&) = delete;
    Posed& operator=(Posed&&) = delete;
    ~Posed() = default;
    /// Enough to bring a failure back.
    [[nodiscard]] std::string label() const;
    /// [finding] it says that something is there
    [[nodiscard]] std::vector<bool> present() const;
    [[nodiscard]] Added add_up() const;
};

/// Which of the seeds 1.. a test takes: so that two cores share the long ones.
struct Seeds {
    std::uint64_t count = 0;
    std::uint64_t first = 1;
    std::uint64_t step = 1;
};

/// Every case that is possible by the beliefs, with its posterior. Returns how many there were.
std::uint64_t each_possible(const Seeds& seeds,
                            const std::function<void(const Posed&, const Posterior&)>& act);

/// Every case of at most `most_causes` that is possible by the sum over all worlds, with that sum.
/// Returns how many there were.
std::uint64_t each_added_up(const Seeds& seeds, std::size_t most_causes,
                            const std::function<void(const Posed&, const Added&)>& act);

/// The most that an answer may be off, as a share of the right value, however small that is.
inline constexpr double close = 1e-12;

/// `fast` is `slow` to 1e-12 of `slow`; 0 is 0.
[[nodiscard]] testing::AssertionResult agrees(double fast, Real slow);

}  // namespace knockwell::laws
