#include "learning/simulated.hpp"

#include "learning/taught.hpp"

#include <random>

namespace knockwell {
namespace {

class House {
public:
    House(const Knowledge& knowledge, const Network& network, std::span<const double> strengths,
          std::mt19937_64& dice)
        : knowledge_(knowledge), network_(network), strengths_(strengths), dice_(dice) {
        for (const SettingNode& node : network.settings) {
            double left = even();
            std::size_t state = 0;
            while (state + 1 < node.prior.size() && left >= strengths[node.prior[state]])
                left -= strengths[node.prior[state++]];
            settings.push_back(state);
        }
        causes.assign(network.causes.size(), false);
        for (const std::uint32_t c : network.cause_order)
            causes[c] = is_there(network.causes[c]);
        fired.resize(network.signs.size());
        for (std::size_t s = 0; s < network.signs.size(); ++s) {
            const SignNode& sign = network.signs[s];
            if (!sign.leak_high.empty() && happens(strengths[sign.leak_high[0]]))
                ++fired[s];
            for (const ShowLink& link : sign.shown_by)
                if (causes[link.from] && happens(strengths[link.high[0]]))
                    ++fired[s];
        }
    }

    [[nodiscard]] bool calls() const {
        for (std::size_t s = 0; s < fired.size(); ++s)
            if (knowledge_.signs[s].symptom && fired[s] > 0)
                return true;
        return false;
    }

    double even() { return std::uniform_real_distribution<double>(0, 1)(dice_); }
    bool happens(double chance) { return even() < chance; }

    std::vector<std::size_t> settings;
    std::vector<bool> causes;
    std::vector<int> fired;  // [sign] triggers that fired

private:
    [[nodiscard]] bool holds(const Conditions& all) const {
        return std::all_of(all.begin(), all.end(), [&](const Condition& one) {
            return std::find(one.states.begin(), one.states.end(), settings[one.setting.index()]) !=
                   one.states.end();
        });
    }

    bool is_there(const CauseNode& node) {
        if (!holds(node.only_if))
            return false;
        const double p = strengths_[node.base];
        double odds = p / (1 - p);
        for (const RaiseNode& raise : node.raised_by)
            if (holds(raise.when))
                odds *= strengths_[raise.times];
        bool there = happens(odds / (1 + odds));
        for (const WeightedLink& parent : node.parents)
            if (causes[parent.from] && happens(strengths_[parent.strength]))
                there = true;
        return there;
    }

    const Knowledge& knowledge_;
    const Network& network_;
    std::span<const double> strengths_;
    std::mt19937_64& dice_;
};

TestId test_for(const Knowledge& knowledge, SignId sign) {
    for (std::size_t t = 0; t < knowledge.tests.size(); ++t)
        for (const Findable& reveals : knowledge.tests[t].reveals)
            if (reveals == Findable(sign))
                return TestId(t);
    return {};
}

}  // namespace

void simulate(const Knowledge& knowledge, const Network& network, std::span<const double> strengths,
              const SimulatedShop& shop, const std::function<void(const Job&)>& visit) {
    std::mt19937_64 dice(shop.seed);
    for (std::size_t number = 1; number <= shop.jobs;) {
        House house(knowledge, network, strengths, dice);
        if (!house.calls())
            continue;
        std::vector<Line> lines;
        for (std::size_t s = 0; s < house.settings.size(); ++s)
            if (house.happens(shop.setting_known))
                lines.push_back({EventKind::set, knowledge.settings[s].head.id,
                                 knowledge.settings[s].states[house.settings[s]]});
        for (std::size_t s = 0; s < house.fired.size(); ++s) {
            const Sign& sign = knowledge.signs[s];
            if (sign.symptom) {
                if (house.fired[s] > 0 || house.happens(shop.looked))
                    lines.push_back(
                        {EventKind::said, sign.head.id, house.fired[s] > 0 ? "yes" : "no"});
                continue;
            }
            if (!house.happens(shop.looked))
                continue;
            const Test& test = knowledge[test_for(knowledge, SignId(s))];
            bool noticed = false;
            for (int t = 0; t < house.fired[s]; ++t)
                noticed = noticed || !house.happens(test.channel->misses.mean());
            noticed = noticed || house.happens(test.channel->false_alarm.mean());
            lines.push_back(
                {EventKind::found, sign.head.id, (noticed ? "yes@" : "no@") + test.step.head.id});
        }
        for (std::size_t c = 0; c < house.causes.size(); ++c)
            if (house.causes[c] && house.happens(shop.seen))
                lines.push_back({EventKind::cause, knowledge.causes[c].head.id, "seen"});
        visit(job_of(number++, lines));
    }
}

}  // namespace knockwell
