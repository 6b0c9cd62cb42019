// beliefs/likelihood.hpp
//
// What a finding says about the true value of a sign: a likelihood for each value, through its
// channel or its instrument.
//
// Reading  the mass of Normal(reading, within / 2) in each level; `within` is two standard
//          deviations, and a level that begins more than 8 of them away is excluded
// Level    named for a reading: the chance that a true value, uniform in its level, would be read
//          there (open-ended levels are taken four `within` deep), so that over all levels the
//          chances sum to 1
// Channel  misses: a value other than normal is reported as normal; false alarm: normal is reported
//          as something else, evenly
#pragma once
#include "beliefs/beliefs.hpp"

#include <array>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace knockwell {

/// The channel of a finding; nothing for Via::sure.
[[nodiscard]] std::optional<Channel> channel_of(const Knowledge& knowledge, const Finding& finding);

/// The same as numbers of the network; null for Via::sure.
[[nodiscard]] const ChannelNode* channel_node_of(const Network& network, const Finding& finding);

/// A chance of the network and what is left of it, under some strengths.
template <class P>
struct YesNo {
    P yes = 0;
    P no = 1;
    YesNo() = default;
    YesNo(const ChanceNode& node, std::span<const P> strengths)
        : yes(strengths[node.yes]), no(strengths[node.no]) {}
};

/// A channel as it enters a sum; where there is none, nothing is missed and nothing is made up.
template <class P>
struct Heeded {
    YesNo<P> misses, alarm;
};

template <class P>
[[nodiscard]] Heeded<P> heeded(const Network& network, const Finding& finding,
                               std::span<const P> strengths) {
    if (const ChannelNode* channel = channel_node_of(network, finding))
        return {{channel->misses, strengths}, {channel->false_alarm, strengths}};
    return {};
}

/// Value of a quantity ("cut-in") in the unit of the sign; the caller knows the settings.
using QuantityOf = std::function<double(const std::string&)>;

/// Where the levels of a reading begin: limits[0] is the outermost low one, ascending; the levels
/// from lowest to highest are then low.back() .. low.front(), normal, high.front() .. high.back().
[[nodiscard]] std::vector<double> limits_of(const Sign& sign, const QuantityOf& quantity);

/// P(what was found | true value) for each value of the sign (Sign::value_name). Levels and
/// readings only.
[[nodiscard]] std::vector<double>
level_likelihood(const Knowledge& knowledge, const Finding& finding, const QuantityOf& quantity);

/// The likelihood of each value where the finding is a value or weights, before any channel.
[[nodiscard]] std::vector<double> plain_likelihood(const Finding& finding, std::size_t values);

/// The same of a flag.
[[nodiscard]] std::array<double, 2> plain_likelihood_of_flag(const Finding& finding);

/// P(what was found | true state) of a table, through the channel: misses are spread evenly over
/// the other states, for a table has no normal one.
[[nodiscard]] std::vector<double> table_likelihood(const Knowledge& knowledge,
                                                   const Finding& finding, std::size_t states);

/// What a look finds where it finds this value, in the last stage.
[[nodiscard]] Finding finding_of(const Look& look, const Findable& what, std::size_t value,
                                 const Evidence& evidence);

/// The settings that give a quantity, or nothing.
[[nodiscard]] std::optional<SettingId> giver_of(const Knowledge& knowledge,
                                                const std::string& quantity);

/// In the unit of its giver, where it is known: set directly, or by the choice of its giver.
[[nodiscard]] std::optional<double>
known_quantity(const Knowledge& knowledge, const Evidence& known, const std::string& quantity);

}  // namespace knockwell
