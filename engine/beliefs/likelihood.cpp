#include "beliefs/likelihood.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace knockwell {
namespace {

/// P(Z <= z) of the standard normal distribution.
double normal_below(double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); }

// No instrument misreads by so many standard deviations (1e-15): what lies further off is excluded,
// which keeps the levels that a reading leaves open few.
constexpr double cut_off = 8;

/// Mass of Normal(mean, sd) in [from, to); without spread all of it lies at the mean.
double mass_between(double from, double to, double mean, double sd) {
    if (!(from < to))
        return 0;
    if (sd <= 0)
        return mean >= from && mean < to ? 1 : 0;
    if (from > mean + cut_off * sd || to < mean - cut_off * sd)
        return 0;
    // In the upper tail 1 - P loses digits; the mirrored difference keeps them.
    if (from > mean)
        return normal_below((mean - from) / sd) - normal_below((mean - to) / sd);
    return normal_below((to - mean) / sd) - normal_below((from - mean) / sd);
}

/// Position on the scale, from the lowest level up, of a value as Sign::value_name numbers it.
std::size_t position_of(const Sign& sign, std::size_t value) {
    const std::size_t low = sign.low.size();
    return value <= sign.high.size() ? low + value : low - (value - sign.high.size());
}

struct Stretch {
    double from;
    double to;
};

Stretch stretch_of(const std::vector<double>& limits, std::size_t position) {
    constexpr double far = std::numeric_limits<double>::infinity();
    return {position == 0 ? -far : limits[position - 1],
            position == limits.size() ? far : limits[position]};
}

double reading_sd(const Knowledge& knowledge, const Finding& finding, const Sign& sign) {
    double within = sign.reading->within;
    if (finding.via == Via::test && finding.test.valid() && knowledge[finding.test].within)
        within = *knowledge[finding.test].within;
    return within / 2;
}

/// P(read in `read` | true value uniform in `truth`), by the midpoint rule.
double misreading(Stretch truth, Stretch read, double sd) {
    const double depth = std::max(8 * sd, 1e-9);
    if (std::isinf(truth.from) && std::isinf(truth.to))
        return 1;
    if (std::isinf(truth.from))
        truth.from = truth.to - depth;
    if (std::isinf(truth.to))
        truth.to = truth.from + depth;
    constexpr int points = 16;
    double sum = 0;
    for (int i = 0; i < points; ++i)
        sum += mass_between(read.from, read.to,
                            truth.from + (truth.to - truth.from) * (i + 0.5) / points, sd);
    return sum / points;
}

std::vector<double> reading_likelihood(const Knowledge& knowledge, const Finding& finding,
                                       const Sign& sign, const QuantityOf& quantity) {
    const std::vector<double> limits = limits_of(sign, quantity);
    const double sd = reading_sd(knowledge, finding, sign);
    std::vector<double> likelihood(sign.value_count());
    for (std::size_t v = 0; v < likelihood.size(); ++v) {
        const Stretch truth = stretch_of(limits, position_of(sign, v));
        if (finding.reading)
            likelihood[v] = mass_between(truth.from, truth.to, *finding.reading, sd);
        else
            likelihood[v] =
                misreading(truth, stretch_of(limits, position_of(sign, *finding.value)), sd);
    }
    return likelihood;
}

}  // namespace

std::optional<Channel> channel_of(const Knowledge& knowledge, const Finding& finding) {
    switch (finding.via) {
    case Via::sure:
        return std::nullopt;
    case Via::test:
        if (finding.test.valid() && knowledge[finding.test].channel)
            return knowledge[finding.test].channel;
        return knowledge.manifest.looked;
    case Via::told:
        if (const auto* sign = std::get_if<SignId>(&finding.what);
            sign && knowledge[*sign].phone_report)
            return knowledge[*sign].phone_report;
        return knowledge.manifest.told;
    case Via::looked:
        break;
    }
    return knowledge.manifest.looked;
}

const ChannelNode* channel_node_of(const Network& network, const Finding& finding) {
    switch (finding.via) {
    case Via::sure:
        return nullptr;
    case Via::test:
        return finding.test.valid() ? &network.test[finding.test.index()] : &network.looked;
    case Via::told:
        if (const auto* sign = std::get_if<SignId>(&finding.what))
            return &network.told_of[sign->index()];
        return &network.told;
    case Via::looked:
        break;
    }
    return &network.looked;
}

std::vector<double> limits_of(const Sign& sign, const QuantityOf& quantity) {
    const auto place = [&](const Edge& edge) {
        return edge.quantity.empty() ? edge.plus : quantity(edge.quantity) * edge.times + edge.plus;
    };
    std::vector<double> limits;
    for (std::size_t l = sign.reading->low.size(); l-- > 0;)
        limits.push_back(place(sign.reading->low[l]));
    for (const Edge& edge : sign.reading->high)
        limits.push_back(place(edge));
    // Quantities that were typed can cross edges that no choice of the settings crosses: such a
    // level is then empty.
    for (std::size_t i = 1; i < limits.size(); ++i)
        limits[i] = std::max(limits[i], limits[i - 1]);
    return limits;
}

std::vector<double> plain_likelihood(const Finding& finding, std::size_t values) {
    if (!finding.weights.empty())
        return finding.weights;
    std::vector<double> likelihood(values, 0.0);
    likelihood[*finding.value] = 1;
    return likelihood;
}

std::array<double, 2> plain_likelihood_of_flag(const Finding& finding) {
    if (!finding.weights.empty())
        return {finding.weights[0], finding.weights[1]};
    const double there = *finding.value == 1 ? 1 : 0;
    return {1 - there, there};
}

std::vector<double> level_likelihood(const Knowledge& knowledge, const Finding& finding,
                                     const QuantityOf& quantity) {
    const Sign& sign = knowledge[std::get<SignId>(finding.what)];
    if (finding.reading || (sign.reading && finding.weights.empty() && finding.via != Via::sure))
        return reading_likelihood(knowledge, finding, sign, quantity);
    std::vector<double> said = plain_likelihood(finding, sign.value_count());
    const std::optional<Channel> channel = channel_of(knowledge, finding);
    if (!channel)
        return said;
    const double misses = channel->misses.mean();
    const double alarm = channel->false_alarm.mean();
    double others = 0;
    for (std::size_t v = 1; v < said.size(); ++v)
        others += said[v];
    std::vector<double> likelihood(said.size());
    likelihood[0] = said[0] * (1 - alarm) + alarm * others / static_cast<double>(said.size() - 1);
    for (std::size_t v = 1; v < said.size(); ++v)
        likelihood[v] = said[v] * (1 - misses) + said[0] * misses;
    return likelihood;
}

std::vector<double> table_likelihood(const Knowledge& knowledge, const Finding& finding,
                                     std::size_t states) {
    std::vector<double> said = plain_likelihood(finding, states);
    const std::optional<Channel> channel = channel_of(knowledge, finding);
    if (!channel)
        return said;
    const double misses = channel->misses.mean();
    const double wrong = misses / static_cast<double>(states - 1);
    const double all = std::accumulate(said.begin(), said.end(), 0.0);
    for (double& d : said)
        d = d * (1 - misses) + (all - d) * wrong;
    return said;
}

Finding finding_of(const Look& look, const Findable& what, std::size_t value,
                   const Evidence& evidence) {
    return {what, value, {}, {}, look.via, look.test, evidence.repairs.size()};
}

std::optional<SettingId> giver_of(const Knowledge& knowledge, const std::string& quantity) {
    for (std::size_t s = 0; s < knowledge.settings.size(); ++s)
        if (!knowledge.settings[s].gives.empty() &&
            knowledge.settings[s].gives.front().contains(quantity))
            return SettingId(s);
    return std::nullopt;
}

std::optional<double> known_quantity(const Knowledge& knowledge, const Evidence& known,
                                     const std::string& quantity) {
    if (const auto direct = known.quantities.find(quantity); direct != known.quantities.end())
        return direct->second;
    const std::optional<SettingId> giver = giver_of(knowledge, quantity);
    if (!giver)
        return std::nullopt;
    const auto choice = known.settings.find(*giver);
    if (choice == known.settings.end())
        return std::nullopt;
    return knowledge[*giver].gives[choice->second].at(quantity);
}

}  // namespace knockwell
