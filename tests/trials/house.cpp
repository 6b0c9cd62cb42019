#include "trials/house.hpp"

#include "beliefs/likelihood.hpp"
#include "trials/dice.hpp"

#include <algorithm>
#include <stdexcept>

namespace knockwell::trials {
namespace {

// What a number of the dice is for.
enum Purpose : std::uint64_t {
    of_setting = 1,
    of_cause,
    of_acting,
    of_trigger,
    of_mask,
    of_noticing,
    of_false_alarm,
    of_reading,
    of_fixing,
    of_bringing,
};

// The place of `u` among shares that need not sum to 1; their number where it falls behind them.
template <class Share>
std::size_t place_among(std::size_t count, double u, Share&& share) {
    double sum = 0;
    for (std::size_t i = 0; i < count; ++i) {
        sum += share(i);
        if (u < sum)
            return i;
    }
    return count;
}

std::uint64_t number_of(Via via, TestId test) {
    return via == Via::test ? 10 + test.index() : static_cast<std::uint64_t>(via);
}

}  // namespace

House::House(const Model& model, std::span<const double> strengths, std::uint64_t seed)
    : model_(model), strengths_(strengths.begin(), strengths.end()), seed_(seed) {
    draw_settings();
    draw_causes();
}

void House::draw_settings() {
    const auto& nodes = model_.network->settings;
    for (std::size_t s = 0; s < nodes.size(); ++s) {
        if (nodes[s].prior.empty())
            throw std::runtime_error("a table cannot be drawn: " +
                                     model_.knowledge->settings[s].head.id);
        const std::size_t state =
            place_among(nodes[s].prior.size(), even(seed_, {of_setting, s}),
                        [&](std::size_t i) { return strengths_[nodes[s].prior[i]]; });
        setting_.push_back(std::min(state, nodes[s].prior.size() - 1));
    }
}

bool House::holds(const Conditions& conditions) const {
    return std::all_of(conditions.begin(), conditions.end(), [&](const Condition& it) {
        return std::find(it.states.begin(), it.states.end(), setting_[it.setting.index()]) !=
               it.states.end();
    });
}

void House::draw_causes() {
    cause_.assign(model_.network->causes.size(), false);
    for (const std::uint32_t c : model_.network->cause_order) {
        const CauseNode& node = model_.network->causes[c];
        if (!holds(node.only_if))
            continue;
        const double base = strengths_[node.base];
        double odds = base / (1 - base);
        for (const RaiseNode& raise : node.raised_by)
            if (holds(raise.when))
                odds *= strengths_[raise.times];
        double absent = 1 / (1 + odds);
        for (const WeightedLink& link : node.parents)
            if (cause_[link.from])
                absent *= 1 - strengths_[link.strength];
        cause_[c] = even(seed_, {of_cause, c}) >= absent;
    }
}

std::size_t House::level(StrengthRange shares, std::uint64_t sign, std::uint64_t trigger,
                         std::uint64_t side) const {
    const double u = even(seed_, {of_trigger, sign, trigger, side});
    const std::size_t place =
        place_among(shares.size(), u, [&](std::size_t i) { return strengths_[shares[i]]; });
    return place == shares.size() ? 0 : place + 1;
}

bool House::shows_now(std::uint32_t cause, const SignNode& node) const {
    if (!cause_[cause])
        return false;
    const CauseNode& it = model_.network->causes[cause];
    return !node.through_acts || !it.comes_and_goes ||
           even(seed_, {of_acting, cause}) < strengths_[it.acts];
}

std::vector<House::Fired> House::fired(SignId sign) const {
    const SignNode& node = model_.network->signs[sign.index()];
    std::vector<Fired> all;
    const auto fire = [&](std::uint32_t trigger, StrengthRange high, StrengthRange low) {
        const Fired it{trigger, level(high, sign.index(), trigger, 0),
                       level(low, sign.index(), trigger, 1)};
        if (it.high + it.low > 0)
            all.push_back(it);
    };
    fire(0, node.leak_high, node.leak_low);
    for (const ShowLink& link : node.shown_by)
        if (shows_now(link.from, node))
            fire(1 + link.from, link.high, link.low);
    return all;
}

bool House::hidden(SignId sign) const {
    const SignNode& node = model_.network->signs[sign.index()];
    return std::any_of(node.masked_by.begin(), node.masked_by.end(), [&](const WeightedLink& link) {
        return shows_now(link.from, node) &&
               even(seed_, {of_mask, sign.index(), link.from}) < strengths_[link.strength];
    });
}

std::size_t House::value_of(SignId sign, const std::vector<Fired>& fired) const {
    const SignNode& node = model_.network->signs[sign.index()];
    std::size_t high = 0;
    std::size_t low = 0;
    for (const Fired& it : fired) {
        // Of kinds the first written drowns the others, of levels the outermost.
        if (node.form == SignForm::levels)
            high = std::max(high, it.high);
        else if (it.high > 0 && (high == 0 || it.high < high))
            high = it.high;
        low = std::max(low, it.low);
    }
    return low > 0 ? node.high + low : high;
}

std::size_t House::truth(SignId sign) const {
    return hidden(sign) ? 0 : value_of(sign, fired(sign));
}

std::vector<CauseId> House::behind(SignId sign) const {
    std::vector<CauseId> causes;
    for (const Fired& it : fired(sign))
        if (it.trigger > 0)
            causes.emplace_back(it.trigger - 1);
    return causes;
}

std::size_t House::notice(SignId sign, const Channel& channel,
                          std::initializer_list<std::uint64_t> look) const {
    std::vector<std::uint64_t> names(look);
    const auto chance = [&](Purpose purpose, std::uint64_t which) {
        return even(seed_, {purpose, which, names[0], names[1], names[2]});
    };
    std::vector<Fired> noticed = hidden(sign) ? std::vector<Fired>{} : fired(sign);
    std::erase_if(noticed, [&](const Fired& it) {
        return chance(of_noticing, it.trigger) < channel.misses.mean();
    });
    if (const std::size_t value = value_of(sign, noticed))
        return value;
    const double alarm = chance(of_false_alarm, 0) / channel.false_alarm.mean();
    const auto kinds = static_cast<double>(model_.network->signs[sign.index()].high);
    return alarm < 1 ? 1 + static_cast<std::size_t>(alarm * kinds) : 0;
}

std::size_t House::read(const Finding& look, std::size_t truth, double chance) const {
    const Sign& sign = (*model_.knowledge)[std::get<SignId>(look.what)];
    const auto quantity = [&](const std::string& name) {
        const SettingId from = *giver_of(*model_.knowledge, name);
        return (*model_.knowledge)[from].gives[state(from)].at(name);
    };
    const std::size_t value = place_among(sign.value_count(), chance, [&](std::size_t v) {
        Finding as_read = look;
        as_read.value = v;
        return level_likelihood(*model_.knowledge, as_read, quantity)[truth];
    });
    return std::min(value, sign.value_count() - 1);
}

std::size_t House::report(SignId sign, Via via, TestId test, std::size_t stage) const {
    Finding look;
    look.what = sign;
    look.via = via;
    look.test = test;
    const std::uint64_t who = number_of(via, test);
    const Channel channel = channel_of(*model_.knowledge, look).value();
    if (model_.network->signs[sign.index()].form != SignForm::levels)
        return notice(sign, channel, {sign.index(), who, stage});
    return read(look, truth(sign), even(seed_, {of_reading, sign.index(), who, stage}));
}

void House::repair(RepairId repair) {
    const Repair& it = (*model_.knowledge)[repair];
    for (const CauseStrength& fix : it.fixes)
        if (even(seed_, {of_fixing, repair.index(), fix.cause.index()}) < fix.strength.count.mean())
            cause_[fix.cause.index()] = false;
    for (const CauseStrength& bring : it.may_bring)
        if (holds((*model_.knowledge)[bring.cause].only_if) &&
            even(seed_, {of_bringing, repair.index(), bring.cause.index()}) <
                bring.strength.count.mean())
            cause_[bring.cause.index()] = true;
}

void House::hand_over(const std::vector<CauseId>& causes) {
    for (const CauseId cause : causes)
        cause_[cause.index()] = false;
}

}  // namespace knockwell::trials
