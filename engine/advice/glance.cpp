#include "advice/glance.hpp"

#include "beliefs/likelihood.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <variant>

namespace knockwell {
namespace {

// One side of a sign: for each level, the chance of that level or a lower one.
using Reach = std::vector<double>;

double at(std::span<const double> strengths, const std::vector<StrengthIndex>& side,
          std::size_t level) {
    return side.empty() ? 0.0 : strengths[side[level]];
}

// Chance that a trigger with these level strengths stays at `level` or below.
Reach reach_of(std::span<const double> strengths, const std::vector<StrengthIndex>& side,
               std::size_t levels) {
    Reach reach(levels + 1, 1.0);
    for (std::size_t level = levels; level-- > 0;)
        reach[level] = std::max(0.0, reach[level + 1] - at(strengths, side, level));
    return reach;
}

void multiply(Reach& reach, const Reach& by, double p) {
    for (std::size_t i = 0; i < reach.size(); ++i)
        reach[i] *= 1 - p + p * by[i];
}

// The sides of a sign, joined as Sign::value_name numbers its values; the low side wins.
std::vector<double> joined(const Reach& high, const Reach& low) {
    std::vector<double> value(high.size() + low.size() - 1);
    value[0] = low[0] * high[0];
    for (std::size_t i = 1; i < high.size(); ++i)
        value[i] = low[0] * (high[i] - high[i - 1]);
    for (std::size_t i = 1; i < low.size(); ++i)
        value[high.size() - 1 + i] = low[i] - low[i - 1];
    return value;
}

std::vector<double> reported(std::vector<double> value, const Channel& channel) {
    const double misses = channel.misses.mean();
    const double alarm = channel.false_alarm.mean();
    const auto others = static_cast<double>(value.size() - 1);
    const double there = 1 - value[0];
    const double absent = value[0];
    for (std::size_t i = 1; i < value.size(); ++i)
        value[i] = value[i] * (1 - misses) + absent * alarm / others;
    value[0] = absent * (1 - alarm) + there * misses;
    return value;
}

double entropy(const std::vector<double>& value) {
    return std::accumulate(value.begin(), value.end(), 0.0, [](double sum, double p) {
        return p > 0 ? sum - p * std::log2(p) : sum;
    });
}

// All that bears on one sign, read once.
class SignGlance {
public:
    SignGlance(const Model& model, std::span<const double> strengths, std::span<const double> cause,
               SignId sign, const Channel& channel)
        : node_(&model.network->signs[sign.index()]), cause_(cause), channel_(channel) {
        high_ = reach_of(strengths, node_->leak_high, node_->high);
        low_ = reach_of(strengths, node_->leak_low, node_->low);
        for (const ShowLink& link : node_->shown_by) {
            highs_.push_back(reach_of(strengths, link.high, node_->high));
            lows_.push_back(reach_of(strengths, link.low, node_->low));
        }
    }

    double bits(std::span<const CauseId> explainers) const {
        double sum = 0;
        for (std::size_t link = 0; link < node_->shown_by.size(); ++link) {
            const CauseId id(node_->shown_by[link].from);
            if (std::find(explainers.begin(), explainers.end(), id) != explainers.end())
                sum += bits_about(link, cause_[id.index()]);
        }
        return sum;
    }

private:
    double bits_about(std::size_t link, double p) const {
        const std::vector<double> with = value_if(link, 1);
        const std::vector<double> without = value_if(link, 0);
        std::vector<double> mixed(with.size());
        for (std::size_t i = 0; i < mixed.size(); ++i)
            mixed[i] = p * with[i] + (1 - p) * without[i];
        return entropy(mixed) - p * entropy(with) - (1 - p) * entropy(without);
    }

    std::vector<double> value_if(std::size_t chosen, double present) const {
        Reach high = high_;
        Reach low = low_;
        for (std::size_t link = 0; link < highs_.size(); ++link) {
            const double p = link == chosen ? present : cause_[node_->shown_by[link].from];
            multiply(high, highs_[link], p);
            multiply(low, lows_[link], p);
        }
        return reported(joined(high, low), channel_);
    }

    const SignNode* node_;
    std::span<const double> cause_;
    Channel channel_;
    Reach high_;
    Reach low_;
    std::vector<Reach> highs_;
    std::vector<Reach> lows_;
};

Channel channel_for(const Knowledge& knowledge, const Look& look, const Findable& what) {
    Finding finding;
    finding.what = what;
    finding.via = look.via;
    finding.test = look.test;
    return channel_of(knowledge, finding)
        .value_or(Channel{{Count::Kind::exact, 0, 1}, {Count::Kind::exact, 0, 1}});
}

}  // namespace

std::vector<double> glances(const Model& model, std::span<const LookLeft> looks,
                            std::span<const double> cause, std::span<const CauseId> explainers) {
    const std::vector<double> strengths = point_values(*model.network);
    std::vector<double> guesses;
    for (const LookLeft& left : looks) {
        double bits = 0;
        for (const Findable& what : left.look.at) {
            const auto* sign = std::get_if<SignId>(&what);
            if (sign == nullptr) {
                bits = std::numeric_limits<double>::infinity();
                continue;
            }
            const Channel channel = channel_for(*model.knowledge, left.look, what);
            bits += SignGlance(model, strengths, cause, *sign, channel).bits(explainers);
        }
        guesses.push_back(bits);
    }
    return guesses;
}

}  // namespace knockwell
