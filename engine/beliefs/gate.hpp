// beliefs/gate.hpp
//
// What flags, kinds and levels have in common when their findings are built into a sum. Inside this
// floor only.
#pragma once
#include "beliefs/build.hpp"

#include <boost/container/small_vector.hpp>

#include <cstddef>
#include <cstdint>
#include <span>

namespace knockwell {

/// Values of one variable; beyond it the whole is called too wide. A link is carried out by a
/// matrix of values by values: 32 MiB for these.
inline constexpr std::size_t most_values = std::size_t{1} << 11U;

/// Stages in which one sign has findings, ascending; too_many() says where there are more than can
/// be built.
using Stages = boost::container::small_vector<std::size_t, 4>;

/// A bit for each of them.
using StageBits = std::uint32_t;

template <class Few>
[[nodiscard]] std::span<const typename Few::value_type> as_span(const Few& few) {
    return {few.data(), few.size()};
}

[[nodiscard]] Stages stages_of(const Evidence& evidence, std::span<const Finding* const> findings);

/// Where the stage of a finding stands among the stages of its sign.
[[nodiscard]] std::size_t place_of(const Evidence& evidence, const Finding& finding,
                                   const Stages& stages);

/// log2 of the combinations of stages in which one cause can act on the sign, or in which it can be
/// hidden, where they are more than most_values (or the stages more than StageBits has bits); else
/// 0. To be asked before anything of the sign is built.
template <class P>
[[nodiscard]] double too_many(const BuiltOf<P>& built, const SignNode& sign, const Stages& stages);

/// What one cause brings to one sign: the variables that say in which stages it acts.
// NOLINTNEXTLINE(bugprone-exception-escape): only for want of memory
struct Bringer {
    boost::container::small_vector<Var, 4> vars;          // distinct
    boost::container::small_vector<StageBits, 4> active;  // [combination of vars, first slowest]
};

template <class P>
[[nodiscard]] Bringer source_of(const BuiltOf<P>& built, std::uint32_t cause, const SignNode& sign,
                                const Stages& stages);

/// base^exponent, or something above most_values.
[[nodiscard]] std::size_t power(std::size_t base, std::size_t exponent);

/// log2(base^exponent).
[[nodiscard]] double bits_of_power(std::size_t base, std::size_t exponent);

/// A variable whose bits say in which stages the sign is hidden; no_var where nothing can hide it.
template <class P>
[[nodiscard]] Var add_mask(const SiteOf<P>& site, const SignNode& sign, const Stages& stages);

}  // namespace knockwell
