#include "review/demo_shop.hpp"

#include "job/identity.hpp"
#include "job/time_text.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <random>
#include <utility>

namespace knockwell {
namespace {

constexpr std::array roads = {"heron-bottom",  "quarry-lane",  "mill-race",   "copper-ford",
                              "tinker-hollow", "sallow-bank",  "long-furrow", "chapel-rise",
                              "otter-bend",    "beech-hanger", "salt-pit",    "windmill-hill"};
constexpr std::int64_t year = 365 * day_seconds + day_seconds / 4;

/// Even numbers in [0, 1) that are the same everywhere, which the standard's distributions are not.
class Dice {
public:
    explicit Dice(std::uint64_t seed) : engine_(seed) {}
    double even() { return static_cast<double>(engine_() >> 11U) * 0x1p-53; }
    bool happens(double p) { return even() < p; }
    std::size_t below(std::size_t n) {
        return static_cast<std::size_t>(even() * static_cast<double>(n));
    }
    /// A place of `weights`, by their size; their number where all are 0.
    std::size_t weighted(const std::vector<double>& weights) {
        double left = 0;
        for (const double one : weights)
            left += one;
        left *= even();
        for (std::size_t i = 0; i < weights.size(); ++i) {
            left -= weights[i];
            if (left < 0)
                return i;
        }
        return weights.size();
    }
    std::uint32_t bits() { return static_cast<std::uint32_t>(engine_() >> 32U); }

private:
    std::mt19937_64 engine_;  // its sequence is fixed by the standard
};

/// A setting that is otherwise than usual somewhere, for some time, and is never written down.
struct Hidden {
    std::string words;
    std::set<std::string> areas;
    std::string setting;
    std::string state;
    double share = 1;  // of the houses
    double times = 1;  // what the setting makes likelier is so much likelier still: it is extreme
    std::int64_t from = 0;
    std::int64_t to = 0;
    bool of_time = false;
};

struct DemoHouse {
    std::size_t road = 0;
    std::string code;
    std::vector<std::size_t> states;  // [setting]
    std::vector<bool> told;           // [setting] whether it is written down
    double mark = 0;                  // even: whether a hidden setting of a share takes hold here
};

bool holds(const Knowledge& knowledge, const Conditions& all,
           const std::vector<std::size_t>& states, bool unknown) {
    return std::all_of(all.begin(), all.end(), [&](const Condition& one) {
        if (knowledge[one.setting].table)
            return unknown;
        return std::binary_search(one.states.begin(), one.states.end(),
                                  states[one.setting.index()]);
    });
}

double odds_of(const Knowledge& knowledge, const Cause& cause,
               const std::vector<std::size_t>& states) {
    if (!holds(knowledge, cause.only_if, states, true))
        return 0;
    double odds = cause.present.count.mean();
    for (const RaisedBy& raised : cause.raised_by)
        if (holds(knowledge, raised.when, states, false))
            odds *= raised.times.value;
    return odds;
}

/// Whether the house has it at that moment.
bool is_hit(const Hidden& one, const DemoHouse& house, std::int64_t at) {
    const bool here = one.areas.empty() || one.areas.contains(roads.at(house.road));
    return here && at >= one.from && at < one.to && house.mark < one.share;
}

std::string initials(const std::string& road) {
    std::string letters;
    bool begins = true;
    for (const char c : road) {
        if (begins && c >= 'a' && c <= 'z')
            letters += static_cast<char>(c - 'a' + 'A');
        begins = c == '-';
    }
    return letters;
}

class Shop {
public:
    Shop(const Knowledge& knowledge, const DemoPlan& plan)
        : knowledge_(&knowledge), plan_(plan), dice_(plan.seed),
          begins_(plan.ends - plan.years * year) {
        find_steps();
        if (plan.planted)
            plant();
        build();
    }

    [[nodiscard]] DemoTruths truths() const;
    void run(const std::function<void(const Job&)>& visit);

private:
    void find_steps();
    void plant();
    void build();
    [[nodiscard]] DemoHouse new_house();
    [[nodiscard]] std::vector<std::size_t> states_at(const DemoHouse& house, std::int64_t at) const;
    [[nodiscard]] double planted_times(const DemoHouse& house, std::size_t cause,
                                       std::int64_t at) const;
    [[nodiscard]] std::set<std::string> raised_by(const Hidden& one) const;
    [[nodiscard]] Job call(const DemoHouse& house, std::int64_t at);
    void say(Job& job, EventKind kind, std::string what, std::string value,
             double minutes = 0) const;
    void settings(Job& job, const DemoHouse& house);
    void work_on(Job& job, std::size_t cause);
    [[nodiscard]] std::string value_of(const Shows& shows);

    const Knowledge* knowledge_;
    DemoPlan plan_;
    Dice dice_;
    std::int64_t begins_;
    std::vector<Hidden> hidden_;
    std::vector<std::set<std::string>> raised_;  // [hidden] causes that it makes likelier
    std::string arrestor_road_;
    std::vector<DemoHouse> houses_;
    std::vector<double> wear_;                     // [house] how often it calls
    std::vector<std::optional<RepairId>> repair_;  // [cause] that fixes it most surely
    std::vector<std::vector<std::pair<TestId, const Shows*>>> looks_;  // [cause]
    std::int64_t now_ = 0;  // of the job that is being told
};

void Shop::find_steps() {
    const Knowledge& knowledge = *knowledge_;
    repair_.resize(knowledge.causes.size());
    looks_.resize(knowledge.causes.size());
    std::vector<double> best(knowledge.causes.size(), 0);
    for (std::size_t r = 0; r < knowledge.repairs.size(); ++r)
        for (const CauseStrength& fixes : knowledge.repairs[r].fixes)
            if (const double chance = fixes.strength.count.mean();
                chance > best[fixes.cause.index()]) {
                best[fixes.cause.index()] = chance;
                repair_[fixes.cause.index()] = RepairId(r);
            }
    for (std::size_t c = 0; c < knowledge.causes.size(); ++c)
        for (const Shows& shows : knowledge.causes[c].shows)
            for (std::size_t t = 0; t < knowledge.tests.size(); ++t)
                for (const Findable& sign : knowledge.tests[t].reveals)
                    if (sign == Findable(shows.sign))
                        looks_[c].emplace_back(TestId(t), &shows);
}

void Shop::plant() {
    const std::int64_t never = plan_.ends + year;
    // The middle of the summer two years and a half before the end.
    const std::int64_t summer = plan_.ends - 3 * year + 182 * day_seconds;
    hidden_ = {
        {"acid water under two roads",
         {"mill-race", "copper-ford"},
         "water",
         "soft-acid",
         0.95,
         6,
         begins_ - year,
         never,
         false},
        {"mud since a field was drilled beside the road",
         {"heron-bottom"},
         "sediment",
         "heavy",
         0.9,
         6,
         plan_.ends - 4 * year,
         never,
         false},
        {"thunderstorms in one summer",
         {},
         "storm",
         "lately",
         0.8,
         12,
         summer,
         summer + 92 * day_seconds,
         true},
    };
    std::erase_if(hidden_, [&](const Hidden& one) {
        const SettingId id = setting_named(*knowledge_, one.setting);
        if (!id.valid())
            return true;
        const auto& states = (*knowledge_)[id].states;
        return std::find(states.begin(), states.end(), one.state) == states.end();
    });
    for (const Hidden& one : hidden_)
        raised_.push_back(raised_by(one));
    if (cause_named(*knowledge_, "torque-arrestor-loose").valid())
        arrestor_road_ = "tinker-hollow";
}

DemoHouse Shop::new_house() {
    const Knowledge& knowledge = *knowledge_;
    DemoHouse house;
    house.road = dice_.below(roads.size());
    house.code = initials(roads.at(house.road)) + "-" + std::to_string(houses_.size() + 1);
    house.mark = dice_.even();
    for (const Setting& setting : knowledge.settings) {
        std::vector<double> shares;
        for (const Strength& one : setting.prior)
            shares.push_back(one.count.mean());
        // Roads differ in their pumps, which is written down: a mix that must be allowed for.
        if (setting.head.id == "pump" && house.road % 4 == 1 && shares.size() > 1)
            shares[1] *= 3;
        const std::size_t state = setting.table ? 0 : dice_.weighted(shares);
        house.states.push_back(std::min(state, setting.states.size() - 1));
        const bool kind =
            setting.head.id == "pump" || setting.head.id == "source" || setting.head.id == "drive";
        const bool secret = std::any_of(hidden_.begin(), hidden_.end(), [&](const Hidden& one) {
            return one.setting == setting.head.id &&
                   (one.areas.empty() || one.areas.contains(roads.at(house.road)));
        });
        house.told.push_back(!setting.table && !secret && (kind || dice_.happens(0.6)));
    }
    return house;
}

void Shop::build() {
    const std::size_t count = std::max<std::size_t>(roads.size(), plan_.jobs / 2);
    for (std::size_t i = 0; i < count; ++i) {
        houses_.push_back(new_house());
        wear_.push_back(-std::log(1 - dice_.even()) + 0.3);  // some call often
    }
}

std::vector<std::size_t> Shop::states_at(const DemoHouse& house, std::int64_t at) const {
    std::vector<std::size_t> states = house.states;
    for (const Hidden& one : hidden_) {
        if (!is_hit(one, house, at))
            continue;
        const SettingId id = setting_named(*knowledge_, one.setting);
        const auto& names = (*knowledge_)[id].states;
        states[id.index()] = static_cast<std::size_t>(
            std::find(names.begin(), names.end(), one.state) - names.begin());
    }
    return states;
}

double Shop::planted_times(const DemoHouse& house, std::size_t cause, std::int64_t at) const {
    constexpr double left_out = 40;
    const std::string& id = knowledge_->causes[cause].head.id;
    double times = 1;
    if (roads.at(house.road) == arrestor_road_ && id == "torque-arrestor-loose")
        times *= left_out;
    for (std::size_t i = 0; i < hidden_.size(); ++i)
        if (is_hit(hidden_[i], house, at) && raised_[i].contains(id))
            times *= hidden_[i].times;
    return times;
}

void Shop::say(Job& job, EventKind kind, std::string what, std::string value,
               double minutes) const {
    job.events.push_back(next_event(job, now_, kind, std::move(what), std::move(value), minutes));
}

void Shop::settings(Job& job, const DemoHouse& house) {
    for (std::size_t i = 0; i < house.states.size(); ++i)
        if (house.told[i])
            say(job, EventKind::set, knowledge_->settings[i].head.id,
                knowledge_->settings[i].states[house.states[i]]);
}

std::string Shop::value_of(const Shows& shows) {
    std::vector<double> weights;
    double sum = 0;
    for (const auto* side : {&shows.high, &shows.low})
        for (const Strength& one : *side)
            weights.push_back(one.count.mean());
    for (const double one : weights)
        sum += one;
    weights.insert(weights.begin(), std::max(0.0, 1 - sum));
    const Sign& sign = (*knowledge_)[shows.sign];
    std::size_t value = dice_.weighted(weights);
    // Places of the low side stand behind all levels of the high one.
    if (value > shows.high.size())
        value += sign.high.size() - shows.high.size();
    return sign.value_name(std::min(value, sign.value_count() - 1));
}

void Shop::work_on(Job& job, std::size_t cause) {
    const Knowledge& knowledge = *knowledge_;
    for (const Shows& shows : knowledge.causes[cause].shows) {
        const Sign& sign = knowledge[shows.sign];
        const std::string value = value_of(shows);
        if (sign.symptom && value != sign.normal)
            say(job, EventKind::said, sign.head.id, value);
    }
    now_ += 3600;
    say(job, EventKind::person, "", "qualified");
    for (std::size_t tries = 0; tries < 2 && !looks_[cause].empty(); ++tries) {
        const auto& [test, shows] = looks_[cause][dice_.below(looks_[cause].size())];
        const Step& step = knowledge[test].step;
        now_ += static_cast<std::int64_t>(60 * step.minutes);
        say(job, EventKind::found, knowledge[shows->sign].head.id,
            value_of(*shows) + "@" + step.head.id, step.minutes);
    }
    if (repair_[cause]) {
        const Step& step = knowledge[*repair_[cause]].step;
        const double minutes = std::round(step.minutes * (0.6 + 0.9 * dice_.even()));
        now_ += static_cast<std::int64_t>(60 * minutes);
        say(job, EventKind::did, step.head.id, "", minutes);
    }
}

Job Shop::call(const DemoHouse& house, std::int64_t at) {
    const Knowledge& knowledge = *knowledge_;
    now_ = at;
    Job job;
    job.id = new_job_id([&] { return dice_.bits(); });
    job.area = roads.at(house.road);
    job.installation = house.code;
    job.knowledge = knowledge.manifest.version + " (demonstration)";
    job.opened = at;
    settings(job, house);
    const std::vector<std::size_t> states = states_at(house, at);
    std::vector<double> odds;
    for (std::size_t c = 0; c < knowledge.causes.size(); ++c)
        odds.push_back(odds_of(knowledge, knowledge.causes[c], states) *
                       planted_times(house, c, at));
    std::vector<std::size_t> causes = {dice_.weighted(odds)};
    if (dice_.happens(0.05))
        causes.push_back(dice_.weighted(odds));
    bool mended = true;
    for (const std::size_t cause : causes) {
        if (cause >= knowledge.causes.size())
            continue;
        work_on(job, cause);
        mended = mended && repair_[cause].has_value();
    }
    for (std::size_t i = 0; i < causes.size(); ++i) {
        const bool again =
            std::find(causes.begin(), causes.begin() + static_cast<std::ptrdiff_t>(i), causes[i]) !=
            causes.begin() + static_cast<std::ptrdiff_t>(i);
        if (causes[i] >= knowledge.causes.size() || again)
            continue;
        const double how = dice_.even();
        say(job, EventKind::cause, knowledge.causes[causes[i]].head.id,
            how < 0.6   ? "seen"
            : how < 0.9 ? "fixed-it"
                        : "guessed");
    }
    say(job, EventKind::closed, "", mended ? "cured" : "handed-over");
    return job;
}

void Shop::run(const std::function<void(const Job&)>& visit) {
    std::vector<double> moments;
    for (std::size_t i = 0; i < plan_.jobs; ++i)
        moments.push_back(dice_.even());
    std::sort(moments.begin(), moments.end());
    // The sum of the wear up to each house, so that a house is drawn in a few steps.
    std::vector<double> sums;
    double all = 0;
    for (const double one : wear_)
        sums.push_back(all += one);
    std::optional<Job> last;
    const DemoHouse* there = nullptr;
    for (const double moment : moments) {
        const std::int64_t at =
            begins_ + static_cast<std::int64_t>(
                          moment * static_cast<double>(plan_.ends - begins_ - day_seconds));
        const auto drawn = std::lower_bound(sums.begin(), sums.end(), dice_.even() * all);
        const DemoHouse* house = &houses_[static_cast<std::size_t>(
            std::min(drawn - sums.begin(), static_cast<std::ptrdiff_t>(sums.size()) - 1))];
        const bool again = last && dice_.happens(0.03);
        Job job = call(again ? *there : *house, at);
        if (again) {
            const Event& closing = job.events.back();
            job.events.push_back(next_event(job, closing.at, EventKind::about, "call-back-of",
                                            last->id, closing.minutes));
        }
        visit(job);
        there = again ? there : house;
        last = std::move(job);
    }
}

std::set<std::string> Shop::raised_by(const Hidden& one) const {
    const Knowledge& knowledge = *knowledge_;
    const SettingId id = setting_named(knowledge, one.setting);
    const auto& names = knowledge[id].states;
    const auto state =
        static_cast<std::size_t>(std::find(names.begin(), names.end(), one.state) - names.begin());
    std::set<std::string> causes;
    for (const Cause& cause : knowledge.causes)
        for (const RaisedBy& raised : cause.raised_by)
            for (const Condition& when : raised.when)
                if (when.setting == id && raised.times.value >= 2 &&
                    std::binary_search(when.states.begin(), when.states.end(), state))
                    causes.insert(cause.head.id);
    return causes;
}

DemoTruths Shop::truths() const {
    DemoTruths truths;
    for (std::size_t i = 0; i < hidden_.size(); ++i)
        truths.planted.push_back({hidden_[i].words, hidden_[i].areas, raised_[i], hidden_[i].from,
                                  hidden_[i].to, hidden_[i].of_time});
    if (!arrestor_road_.empty())
        truths.planted.push_back({"an installer left the torque arrestors out",
                                  {arrestor_road_},
                                  {"torque-arrestor-loose"},
                                  begins_,
                                  plan_.ends,
                                  false});
    return truths;
}

}  // namespace

DemoTruths demo_shop(const Knowledge& knowledge, const DemoPlan& plan,
                     const std::function<void(const Job&)>& visit) {
    Shop shop(knowledge, plan);
    shop.run(visit);
    return shop.truths();
}

}  // namespace knockwell
