#include "bench/instances.hpp"

#include "support/knowledge_of.hpp"

#include <boost/random/mersenne_twister.hpp>
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
    std::size_t below(std::size_t n) {
        return boost::random::uniform_int_distribution<std::size_t>(0, n - 1)(engine_);
    }
    std::set<std::size_t> some(std::size_t count, std::size_t first, std::size_t end) {
        std::set<std::size_t> chosen;
        while (chosen.size() < std::min(count, end - first))
            chosen.insert(first + below(end - first));
        return chosen;
    }

private:
    boost::random::mt19937 engine_;
};

std::string as_count(double p) {
    return '"' + std::to_string(std::llround(p * 1e6)) + " in 1000000\"";
}
std::string cause_id(std::size_t c) { return "cause-" + std::to_string(c); }
std::string finding_id(std::size_t f) { return "finding-" + std::to_string(f); }

std::string toml_of_cause(std::size_t c, std::size_t contexts, Dice& dice) {
    std::string toml =
        "[cause." + cause_id(c) + "]\ntitle = \"Cause " + std::to_string(c) + "\"\npresent = ";
    if (c < contexts)
        return toml + as_count(dice.between(0.1, 0.5)) + '\n';
    toml += as_count(dice.log_between(0.002, 0.05)) + '\n';
    if (dice.between(0, 1) >= 0.15)
        return toml;
    toml += "brought_on_by = { ";
    std::string comma;
    for (const std::size_t parent : dice.some(1 + dice.below(2), 0, c)) {
        toml += comma + cause_id(parent) + " = " + as_count(dice.between(0.02, 0.4));
        comma = ", ";
    }
    return toml + " }\n";
}

}  // namespace

std::unique_ptr<const Instance> make_instance(const InstanceSize& size) {
    Dice dice(seed);
    const std::size_t causes = size.contexts + size.causes;
    std::vector<std::string> shows(causes);
    std::string toml;
    auto instance = std::make_unique<Instance>();
    instance->contexts = size.contexts;
    for (std::size_t f = 0; f < size.findings; ++f) {
        toml += "[symptom." + finding_id(f) + "]\ntitle = \"Finding " + std::to_string(f) +
                "\"\nseen_anyway = " + as_count(dice.log_between(0.001, 0.03)) + '\n';
        std::vector<std::uint32_t>& by = instance->shown_by.emplace_back();
        for (const std::size_t c : dice.some(2 + dice.below(7), size.contexts, causes)) {
            shows[c] += finding_id(f) + " = " + as_count(dice.between(0.2, 0.95)) + '\n';
            by.push_back(static_cast<std::uint32_t>(c));
        }
    }
    for (std::size_t c = 0; c < causes; ++c) {
        toml += toml_of_cause(c, size.contexts, dice);
        if (!shows[c].empty())
            toml += "[cause." + cause_id(c) + ".shows]\n" + shows[c];
    }
    instance->knowledge = knowledge_of(toml);
    instance->network = compile(instance->knowledge);
    return instance;
}

Evidence make_evidence(const Instance& instance, std::size_t k, std::uint32_t which,
                       bool contexts_known) {
    Dice dice(seed + 1000 * static_cast<std::uint32_t>(k) + which);
    const std::size_t findings = instance.shown_by.size();
    const std::size_t causes = instance.network.causes.size();
    const std::set<std::size_t> truth = dice.some(1 + dice.below(2), instance.contexts, causes);
    const auto is_shown_by = [&](std::size_t f, const std::set<std::size_t>& any) {
        return std::any_of(instance.shown_by[f].begin(), instance.shown_by[f].end(),
                           [&](std::uint32_t c) { return any.contains(c); });
    };
    Evidence evidence;
    std::set<std::size_t> taken;
    const auto find = [&](std::size_t f, std::size_t value) {
        if (taken.insert(f).second)
            evidence.findings.push_back({SignId(f), value, {}, {}, Via::sure, {}, 0});
    };
    std::set<std::size_t> near;
    // A cause may show too few: after so many throws whatever falls is taken.
    std::size_t throws = 0;
    const auto wanted = [&](std::size_t f, bool touching, const std::set<std::size_t>& any) {
        return !taken.contains(f) && (!touching || ++throws > 50 * findings || is_shown_by(f, any));
    };
    while (taken.size() < k) {
        const std::size_t f = dice.below(findings);
        if (!wanted(f, taken.size() % 3 != 2, truth))
            continue;
        find(f, 1);
        near.insert(instance.shown_by[f].begin(), instance.shown_by[f].end());
    }
    while (taken.size() < 3 * k) {
        const std::size_t f = dice.below(findings);
        if (wanted(f, taken.size() % 2 == 0, near))
            find(f, 0);
    }
    for (std::size_t c = 0; contexts_known && c < instance.contexts; ++c)
        evidence.causes.push_back({CauseId(c), dice.between(0, 1) < 0.3, 0});
    return evidence;
}

std::vector<Look> open_checks(const Instance& instance, const Evidence& evidence) {
    std::set<std::size_t> found;
    for (const Finding& finding : evidence.findings)
        found.insert(std::get<SignId>(finding.what).index());
    std::vector<Look> looks;
    for (std::size_t f = 0; f < instance.shown_by.size(); ++f)
        if (!found.contains(f))
            looks.push_back({{SignId(f)}, Via::sure, {}});
    return looks;
}

}  // namespace knockwell::bench
