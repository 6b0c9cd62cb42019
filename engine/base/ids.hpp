// base/ids.hpp
//
// Small integers that index one kind of thing and do not mix with those of another.
#pragma once
#include <compare>
#include <cstddef>
#include <cstdint>
#include <limits>

namespace knockwell {

template <class Tag>
struct Id {
    static constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();
    std::uint32_t value = none;
    Id() = default;
    constexpr explicit Id(std::size_t index) : value(static_cast<std::uint32_t>(index)) {}
    [[nodiscard]] constexpr bool valid() const { return value != none; }
    [[nodiscard]] constexpr std::size_t index() const { return value; }
    auto operator<=>(const Id&) const = default;
};

using SettingId = Id<struct SettingTag>;  // settings and plain tables
using CauseId = Id<struct CauseTag>;
using SignId = Id<struct SignTag>;  // symptoms and observations
using AccessId = Id<struct AccessTag>;
using CautionId = Id<struct CautionTag>;
using TestId = Id<struct TestTag>;
using RepairId = Id<struct RepairTag>;
using ReferId = Id<struct ReferTag>;
using PartId = Id<struct PartTag>;
using StopId = Id<struct StopTag>;

}  // namespace knockwell
