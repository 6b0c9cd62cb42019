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

double at(std::span<const double> strengths, StrengthRange side, std::size_t level) {
    return side.empty() ? 0.0 : strengths[side[level]];
}

// Chance that a trigger with these level strengths stays at `level` or below.
Reach reach_of(std::span<const double> strengths, StrengthRange side, std::size_t levels) {
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

// So many of the best by each guess are weighed exactly (judgement), and of those that look again
// at something found before a repair.
constexpr std::size_t new_ones = 7;
constexpr std::size_t old_ones = 1;

// Whether it looks at something that was found before the last repair.
bool looks_again(const Evidence& evidence, const LookLeft& left) {
    return std::any_of(evidence.findings.begin(), evidence.findings.end(), [&](const Finding& it) {
        return it.stage < evidence.repairs.size() &&
               std::find(left.look.at.begin(), left.look.at.end(), it.what) != left.look.at.end();
    });
}

// The first so many of `order`. What cannot be guessed is weighed and takes nobody's place.
void add_best(std::set<std::size_t>& places, std::vector<std::size_t> order,
              const std::vector<double>& worth, std::size_t most) {
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return worth[a] > worth[b]; });
    std::size_t taken = 0;
    for (const std::size_t i : order) {
        if (std::isfinite(worth[i]) && ++taken > most)
            break;
        places.insert(i);
    }
}

double entropy_of(double p) { return entropy({p, 1 - p}); }

// What one setting tells of the causes that hang on it.
class SettingGlance {
public:
    SettingGlance(const Model& model, std::span<const double> strengths, const Posterior& now,
                  SettingId setting)
        : model_(&model), strengths_(strengths), now_(&now), setting_(setting),
          state_(now.setting[setting.index()]) {}

    double bits(std::span<const CauseId> explainers) const {
        double sum = 0;
        for (const CauseId id : explainers)
            sum += bits_about(id);
        return sum;
    }

private:
    double bits_about(CauseId id) const {
        const CauseNode& node = model_->network->causes[id.index()];
        if (!std::binary_search(node.settings.begin(), node.settings.end(), setting_.value))
            return 0;
        std::vector<double> times;
        double mean = 0;
        for (std::size_t a = 0; a < state_.size(); ++a) {
            times.push_back(times_under(node, a));
            mean += state_[a] * times.back();
        }
        if (mean <= 0)
            return 0;
        const double p = now_->cause[id.index()];
        double bits = entropy_of(p);
        for (std::size_t a = 0; a < state_.size(); ++a)
            bits -= state_[a] * entropy_of(std::min(1.0, p * times[a] / mean));
        return std::max(0.0, bits);
    }

    // How much more often the cause is there under this state.
    double times_under(const CauseNode& node, std::size_t a) const {
        double times = 1;
        for (const Condition& it : node.only_if)
            if (it.setting == setting_ && !among(it, a))
                times = 0;
        for (const RaiseNode& raise : node.raised_by)
            times *= 1 + (strengths_[raise.times] - 1) * chance_of(raise.when, a);
        return times;
    }

    static bool among(const Condition& condition, std::size_t a) {
        return std::find(condition.states.begin(), condition.states.end(), a) !=
               condition.states.end();
    }

    double chance_of(const Conditions& when, std::size_t a) const {
        double chance = 1;
        for (const Condition& it : when) {
            double holds = 0;
            if (it.setting == setting_) {
                holds = among(it, a) ? 1 : 0;
            } else {
                for (const std::size_t state : it.states)
                    holds += now_->setting[it.setting.index()][state];
            }
            chance *= holds;
        }
        return chance;
    }

    const Model* model_;
    std::span<const double> strengths_;
    const Posterior* now_;
    SettingId setting_;
    std::span<const double> state_;  // [state] chance
};

// Whether the edges of a reading that was found hang on the setting.
bool moves_edges(const Knowledge& knowledge, const Evidence& evidence, SettingId setting) {
    const auto hangs = [&](const Edge& edge) {
        return !edge.quantity.empty() && giver_of(knowledge, edge.quantity) == setting;
    };
    return std::any_of(evidence.findings.begin(), evidence.findings.end(), [&](const Finding& it) {
        const auto* sign = std::get_if<SignId>(&it.what);
        if (sign == nullptr || !knowledge[*sign].reading)
            return false;
        const Reading& reading = *knowledge[*sign].reading;
        return std::any_of(reading.low.begin(), reading.low.end(), hangs) ||
               std::any_of(reading.high.begin(), reading.high.end(), hangs);
    });
}

Channel channel_for(const Knowledge& knowledge, const Look& look, const Findable& what) {
    Finding finding;
    finding.what = what;
    finding.via = look.via;
    finding.test = look.test;
    return channel_of(knowledge, finding)
        .value_or(Channel{{Count::Kind::exact, 0, 1}, {Count::Kind::exact, 0, 1}});
}

}  // namespace

std::vector<double> glances(const Model& model, const Evidence& evidence,
                            std::span<const LookLeft> looks, const Posterior& now,
                            std::span<const CauseId> explainers) {
    const std::span<const double> strengths = point_values(*model.network);
    const auto guess = [&](const LookLeft& left, const Findable& what) {
        if (const auto* sign = std::get_if<SignId>(&what)) {
            const Channel channel = channel_for(*model.knowledge, left.look, what);
            return SignGlance(model, strengths, now.cause, *sign, channel).bits(explainers);
        }
        const SettingId setting = std::get<SettingId>(what);
        if ((*model.knowledge)[setting].table || moves_edges(*model.knowledge, evidence, setting))
            return std::numeric_limits<double>::infinity();
        return SettingGlance(model, strengths, now, setting).bits(explainers);
    };
    std::vector<double> guesses;
    for (const LookLeft& left : looks)
        guesses.push_back(std::accumulate(
            left.look.at.begin(), left.look.at.end(), 0.0,
            [&](double bits, const Findable& what) { return bits + guess(left, what); }));
    return guesses;
}

std::set<std::size_t> promising(const Model& model, const Evidence& evidence,
                                std::span<const LookLeft> looks, std::span<const double> minutes,
                                const Posterior& now, std::span<const CauseId> explainers) {
    const std::vector<double> bits = glances(model, evidence, looks, now, explainers);
    std::vector<double> rates;
    std::vector<std::size_t> fresh;
    std::vector<std::size_t> again;
    for (std::size_t i = 0; i < looks.size(); ++i) {
        rates.push_back(bits[i] / minutes[i]);
        (looks_again(evidence, looks[i]) ? again : fresh).push_back(i);
    }
    std::set<std::size_t> places;
    add_best(places, fresh, bits, new_ones);
    add_best(places, fresh, rates, new_ones);
    add_best(places, again, rates, old_ones);
    return places;
}

}  // namespace knockwell
