#include "bench/instances.hpp"

#include "support/knowledge_of.hpp"

#include <boost/random/mersenne_twister.hpp>
#include <boost/random/normal_distribution.hpp>
#include <boost/random/uniform_01.hpp>
#include <boost/random/uniform_int_distribution.hpp>

#include <algorithm>
#include <cmath>
#include <set>

namespace knockwell::bench {
namespace {

class Dice {
public:
    explicit Dice(std::uint32_t from) : engine_(from) {}
    double between(double low, double high) {
        return low + (high - low) * boost::random::uniform_01<double>()(engine_);
    }
    double log_between(double low, double high) {
        return std::exp(between(std::log(low), std::log(high)));
    }
    double log_normal(double mean, double sd) {
        const double mu = std::log(mean) - sd * sd / 2;
        return std::exp(boost::random::normal_distribution<double>(mu, sd)(engine_));
    }
    bool chance(double p) { return between(0, 1) < p; }
    std::size_t below(std::size_t n) {
        return boost::random::uniform_int_distribution<std::size_t>(0, n - 1)(engine_);
    }
    std::set<std::size_t> some(std::size_t count, std::size_t first, std::size_t end) {
        std::set<std::size_t> chosen;
        while (chosen.size() < std::min(count, end - first))
            chosen.insert(first + below(end - first));
        return chosen;
    }
    void shuffle(std::vector<std::uint32_t>& items) {
        for (std::size_t i = items.size(); i > 1; --i)
            std::swap(items[i - 1], items[below(i)]);
    }

private:
    boost::random::mt19937 engine_;
};

/// As the knowledge writes it: a count in a million.
constexpr double million = 1e6;
double in_millionths(double p) { return static_cast<double>(std::llround(p * million)) / million; }
std::string as_count(double p) {
    return '"' + std::to_string(std::llround(p * million)) + " in 1000000\"";
}
std::string cause_id(std::size_t c) { return "cause-" + std::to_string(c); }
std::string finding_id(std::size_t f) { return "finding-" + std::to_string(f); }

std::size_t causes_of_finding(Dice& dice, bool heavy) {
    if (!heavy)
        return 2 + dice.below(7);
    return static_cast<std::size_t>(std::clamp(std::round(dice.log_normal(10, 0.8)), 1.0, 60.0));
}

TwoLevel::Cause make_cause(std::size_t c, std::size_t contexts, Dice& dice) {
    TwoLevel::Cause cause;
    if (c < contexts) {
        cause.present = in_millionths(dice.between(0.1, 0.5));
        return cause;
    }
    cause.present = in_millionths(dice.log_between(0.002, 0.05));
    if (!dice.chance(0.15))
        return cause;
    std::set<std::size_t> by;
    for (std::size_t parents = 1 + dice.below(2); by.size() < parents;)
        by.insert(c == contexts || dice.chance(0.5) ? dice.below(contexts)
                                                    : contexts + dice.below(c - contexts));
    for (const std::size_t parent : by)
        cause.brought_on_by.push_back(
            {static_cast<std::uint32_t>(parent), in_millionths(dice.between(0.02, 0.4))});
    return cause;
}

/// One way in which everything is.
struct Drawn {
    std::set<std::size_t> truth;
    std::vector<bool> cause, finding;
    std::vector<std::uint32_t> own, other, absent;  // findings: of a true cause, others present
};

bool shown_by(const TwoLevel::Shown& finding, const std::vector<bool>& any) {
    return std::any_of(finding.by.begin(), finding.by.end(),
                       [&](const TwoLevel::Link& link) { return any[link.cause]; });
}

Drawn draw_world(const TwoLevel& net, Dice& dice) {
    Drawn world;
    world.truth = dice.some(1 + dice.below(2), net.contexts, net.causes.size());
    std::vector<bool> truth(net.causes.size(), false);
    for (const std::size_t c : world.truth)
        truth[c] = true;
    for (std::size_t c = 0; c < net.causes.size(); ++c) {
        double absent = 1 - net.causes[c].present;
        for (const TwoLevel::Link& link : net.causes[c].brought_on_by)
            absent *= world.cause[link.cause] ? 1 - link.strength : 1;
        world.cause.push_back(!dice.chance(absent) || truth[c]);
    }
    for (std::size_t f = 0; f < net.findings.size(); ++f) {
        const TwoLevel::Shown& finding = net.findings[f];
        double absent = 1 - finding.leak;
        for (const TwoLevel::Link& link : finding.by)
            absent *= world.cause[link.cause] ? 1 - link.strength : 1;
        const auto index = static_cast<std::uint32_t>(f);
        if (dice.chance(absent))
            world.absent.push_back(index);
        else
            (shown_by(finding, truth) ? world.own : world.other).push_back(index);
    }
    dice.shuffle(world.own);
    dice.shuffle(world.other);
    dice.shuffle(world.absent);
    return world;
}

/// Moves up to `count` of `from` to the end of `to`.
void take(std::vector<std::uint32_t>& to, std::size_t count, std::vector<std::uint32_t>& from) {
    for (; count > 0 && !from.empty(); --count) {
        to.push_back(from.back());
        from.pop_back();
    }
}

}  // namespace

TwoLevel make_two_level(const InstanceSize& size) {
    Dice dice(seed);
    TwoLevel net;
    net.contexts = size.contexts;
    const std::size_t causes = size.contexts + size.causes;
    for (std::size_t f = 0; f < size.findings; ++f) {
        TwoLevel::Shown finding{in_millionths(dice.log_between(0.001, 0.03)), {}};
        for (const std::size_t c :
             dice.some(causes_of_finding(dice, size.heavy), size.contexts, causes))
            finding.by.push_back(
                {static_cast<std::uint32_t>(c), in_millionths(dice.between(0.2, 0.95))});
        net.findings.push_back(std::move(finding));
    }
    for (std::size_t c = 0; c < causes; ++c)
        net.causes.push_back(make_cause(c, size.contexts, dice));
    return net;
}

std::string toml_of(const TwoLevel& net) {
    std::string toml = "[manifest]\nname = \"A random network\"\nversion = \"1\"\nformat = 1\n"
                       "[reports]\nlooked = { misses = " +
                       as_count(looked_report.misses) +
                       ", false_alarm = " + as_count(looked_report.false_alarm) + " }\n";
    std::vector<std::string> shows(net.causes.size());
    for (std::size_t f = 0; f < net.findings.size(); ++f) {
        toml += "[symptom." + finding_id(f) + "]\ntitle = \"Finding " + std::to_string(f) +
                "\"\nseen_anyway = " + as_count(net.findings[f].leak) + '\n';
        for (const TwoLevel::Link& link : net.findings[f].by)
            shows[link.cause] += finding_id(f) + " = " + as_count(link.strength) + '\n';
    }
    for (std::size_t c = 0; c < net.causes.size(); ++c) {
        toml += "[cause." + cause_id(c) + "]\ntitle = \"Cause " + std::to_string(c) +
                "\"\npresent = " + as_count(net.causes[c].present) + '\n';
        std::string by;
        for (const TwoLevel::Link& link : net.causes[c].brought_on_by)
            by += (by.empty() ? "" : ", ") + cause_id(link.cause) + " = " + as_count(link.strength);
        if (!by.empty())
            toml += "brought_on_by = { " + by + " }\n";
        if (!shows[c].empty())
            toml += "[cause." + cause_id(c) + ".shows]\n" + shows[c];
    }
    return toml;
}

std::unique_ptr<const Instance> make_instance(const InstanceSize& size) {
    auto instance = std::make_unique<Instance>();
    instance->plain = make_two_level(size);
    instance->knowledge = knowledge_of(toml_of(instance->plain));
    instance->network = compile(instance->knowledge);
    return instance;
}

Found make_found(const TwoLevel& net, std::size_t k, std::uint32_t which, bool contexts_known) {
    Dice dice(seed + 1000 * static_cast<std::uint32_t>(k) + which);
    const std::size_t others = k / 3;
    Drawn world;
    for (int draw = 0; draw < 1000; ++draw) {
        world = draw_world(net, dice);
        if (world.own.size() >= k - others && world.other.size() >= others)
            break;
    }
    Found found;
    take(found.present, k - others, world.own);
    take(found.present, others, world.other);
    // Where the last world has too few.
    take(found.present, k - found.present.size(), world.own);
    take(found.present, k - found.present.size(), world.other);
    take(found.present, k - found.present.size(), world.absent);

    std::vector<bool> near(net.causes.size(), false);
    for (const std::uint32_t f : found.present)
        for (const TwoLevel::Link& link : net.findings[f].by)
            near[link.cause] = true;
    const auto touching =
        std::partition(world.absent.begin(), world.absent.end(),
                       [&](std::uint32_t f) { return !shown_by(net.findings[f], near); });
    std::vector<std::uint32_t> touched(touching, world.absent.end());
    world.absent.erase(touching, world.absent.end());
    take(found.absent, k, touched);
    world.absent.insert(world.absent.end(), touched.begin(), touched.end());
    dice.shuffle(world.absent);
    take(found.absent, 2 * k - found.absent.size(), world.absent);
    for (std::uint32_t c = 0; contexts_known && c < net.contexts; ++c)
        found.contexts.emplace_back(c, world.cause[c]);
    return found;
}

Evidence evidence_of(const Found& found, Via via) {
    Evidence evidence;
    for (const std::uint32_t f : found.present)
        evidence.findings.push_back({SignId(f), 1, {}, {}, via, {}, 0});
    for (const std::uint32_t f : found.absent)
        evidence.findings.push_back({SignId(f), 0, {}, {}, via, {}, 0});
    for (const auto& [cause, present] : found.contexts)
        evidence.causes.push_back({CauseId(cause), present, 0});
    return evidence;
}

std::vector<Look> open_checks(const TwoLevel& net, const Found& found, Via via) {
    std::vector<bool> known(net.findings.size(), false);
    for (const auto* list : {&found.present, &found.absent})
        for (const std::uint32_t f : *list)
            known[f] = true;
    std::vector<Look> looks;
    for (std::size_t f = 0; f < net.findings.size(); ++f)
        if (!known[f])
            looks.push_back({{SignId(f)}, via, {}});
    return looks;
}

}  // namespace knockwell::bench
