// network/network.hpp
//
// The knowledge as arrays of numbers: what inference reads. Everything is an index; the strengths
// stand in one vector, so that the same network can be asked under other numbers (redrawn counts,
// learned counts) without compiling again.
//
// Given    Knowledge that passed its checks
// Wanted   nodes of four kinds: settings and tables, causes (noisy-OR), signs (noisy-MAX with leak
//          and masks)
// Held by  tests/network/compile_test.cpp
#pragma once
#include "knowledge/model.hpp"

#include <boost/iterator/counting_iterator.hpp>

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace knockwell {

using StrengthIndex = std::uint32_t;

/// Numbers that stand side by side.
struct StrengthRange {
    StrengthIndex first = 0;
    std::uint32_t count = 0;
    [[nodiscard]] std::size_t size() const { return count; }
    [[nodiscard]] bool empty() const { return count == 0; }
    [[nodiscard]] StrengthIndex operator[](std::size_t i) const {
        return first + static_cast<StrengthIndex>(i);
    }
    [[nodiscard]] auto begin() const { return boost::counting_iterator<StrengthIndex>(first); }
    [[nodiscard]] auto end() const {
        return boost::counting_iterator<StrengthIndex>(first + count);
    }
    bool operator==(const StrengthRange&) const = default;
};

/// How one number of the network may vary: what a redraw of the counts draws from.
struct StrengthLaw {
    enum class Kind { exact, beta, dirichlet, log_normal_odds, log_normal };
    Kind kind = Kind::exact;
    double mean = 0;  // the point value: a probability, or a multiplier (log_normal)
    double a = 0;  // beta: a, b. dirichlet: this share's weight (0: never). log-normals: standard
                   // deviation of the logarithm
    double b = 0;  // dirichlet: number of the group (shares of one group are drawn together; the
                   // rest goes to "normal")
    double rest = 0;  // dirichlet: weight of the unused share
    bool operator==(const StrengthLaw&) const = default;
};

/// P(state | parents): prior[state] by strength, or rows for tables. Parents: settings and causes
/// by index.
struct SettingNode {
    std::uint32_t states = 0;
    StrengthRange prior;
    struct Parent {
        bool cause = false;
        std::uint32_t index = 0;
        bool operator==(const Parent&) const = default;
    };
    std::vector<Parent> parents;
    std::vector<double> rows;  // [combination of parents, first slowest][state]
    bool operator==(const SettingNode&) const = default;
};

struct WeightedLink {
    std::uint32_t from = 0;  // cause
    StrengthIndex strength = 0;
    bool operator==(const WeightedLink&) const = default;
};

struct RaiseNode {
    Conditions when;
    StrengthIndex times = 0;
    bool operator==(const RaiseNode&) const = default;
};

/// P(cause = 0 | s, x) = (1 - r(s)) prod (1 - w_j)^{x_j} where only_if holds, else 1.
struct CauseNode {
    StrengthIndex base = 0;
    std::vector<RaiseNode> raised_by;
    Conditions only_if;
    std::vector<WeightedLink> parents;
    std::vector<std::uint32_t> settings;  // every setting that r or only_if reads, ascending
    bool comes_and_goes = false;
    StrengthIndex acts = 0;
    bool operator==(const CauseNode&) const = default;
};

/// Levels are numbered as Sign::value_name does: 1..high outward, then high+1..high+low.
struct ShowLink {
    std::uint32_t from = 0;
    StrengthRange high;  // by level from 1; empty = never
    StrengthRange low;
    bool operator==(const ShowLink&) const = default;
};

struct SignNode {
    SignForm form = SignForm::flag;
    std::uint32_t high = 1;
    std::uint32_t low = 0;
    StrengthRange leak_high;  // empty = never
    StrengthRange leak_low;
    std::vector<ShowLink> shown_by;       // ascending by cause
    std::vector<WeightedLink> masked_by;  // ascending by cause
    bool through_acts = false;            // comes-and-goes causes show only while they act
    bool operator==(const SignNode&) const = default;
};

/// A chance and what is left of 1, as numbers of their own: the slopes by both say how often it
/// came to one and to the other.
struct ChanceNode {
    StrengthIndex yes = 0;
    StrengthIndex no = 0;
    bool operator==(const ChanceNode&) const = default;
};

/// How a report can be wrong. Exact: the model uses these at their means.
struct ChannelNode {
    ChanceNode misses;
    ChanceNode false_alarm;
    bool operator==(const ChannelNode&) const = default;
};

/// What a repair does to the causes of its lists, in their order; exact too.
struct RepairNode {
    std::vector<ChanceNode> fixes;
    std::vector<ChanceNode> may_bring;
    bool operator==(const RepairNode&) const = default;
};

struct Network {
    std::vector<StrengthLaw> strengths;
    std::vector<double> point;          // [StrengthIndex] their means
    std::vector<SettingNode> settings;  // parents first where they are settings
    std::vector<CauseNode> causes;
    std::vector<SignNode> signs;
    std::vector<std::uint32_t> cause_order;  // causes, each after those that bring it on
    ChannelNode told;                        // a customer's word, where its sign has no report
    ChannelNode looked;
    std::vector<ChannelNode> told_of;  // [SignId]
    std::vector<ChannelNode> test;     // [TestId]
    std::vector<RepairNode> repairs;   // [RepairId]
    bool operator==(const Network&) const = default;
};

/// One value for each strength: the point values of the network, which must outlive them.
[[nodiscard]] inline const std::vector<double>& point_values(const Network& network) {
    return network.point;
}

/// One redraw of the counts, from `seed` and `draw` alone (Boost.Random's distributions, so that
/// the bytes are the same everywhere).
[[nodiscard]] std::vector<double> redraw(const Network& network, std::uint64_t seed,
                                         std::uint32_t draw);

/// Only these strengths (ascending) of the same draw, put into `values`; shares that are drawn
/// together are wanted together.
void redraw_some(const Network& network, std::uint64_t seed, std::uint32_t draw,
                 std::span<const StrengthIndex> wanted, std::vector<double>& values);

/// `knowledge` must have passed its checks.
[[nodiscard]] Network compile(const Knowledge& knowledge);

}  // namespace knockwell
