#include "beliefs/gate.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <set>

namespace knockwell {

Stages stages_of(const Evidence& evidence, std::span<const Finding* const> findings) {
    Stages stages;
    for (const Finding* finding : findings)
        stages.push_back(std::min(finding->stage, evidence.repairs.size()));
    std::sort(stages.begin(), stages.end());
    stages.erase(std::unique(stages.begin(), stages.end()), stages.end());
    return stages;
}

std::size_t place_of(const Evidence& evidence, const Finding& finding, const Stages& stages) {
    const std::size_t stage = std::min(finding.stage, evidence.repairs.size());
    return static_cast<std::size_t>(std::lower_bound(stages.begin(), stages.end(), stage) -
                                    stages.begin());
}

std::size_t power(std::size_t base, std::size_t exponent) {
    std::size_t result = 1;
    for (std::size_t i = 0; i < exponent && result <= most_values; ++i)
        result *= base;
    return result;
}

double bits_of_power(std::size_t base, std::size_t exponent) {
    return std::log2(static_cast<double>(base)) * static_cast<double>(exponent);
}

template <class P>
double too_many(const BuiltOf<P>& built, const SignNode& sign, const Stages& stages) {
    constexpr std::size_t most = std::bit_width(most_values) - 1;
    constexpr std::size_t bits = std::numeric_limits<StageBits>::digits;
    if (stages.size() < most)  // with the variable of what acts only now and then
        return 0;
    if (stages.size() > bits || !sign.masked_by.empty())
        return static_cast<double>(stages.size());
    std::size_t most_vars = 0;
    for (const ShowLink& link : sign.shown_by) {
        std::set<Var> vars;
        for (const std::size_t stage : stages)
            vars.insert(built.at(link.from, stage));
        most_vars = std::max(most_vars, vars.size());
    }
    return most_vars < most ? 0 : static_cast<double>(most_vars);
}

template <class P>
Bringer source_of(const BuiltOf<P>& built, std::uint32_t cause, const SignNode& sign,
                  const Stages& stages) {
    Bringer source;
    // Nearly every cause, before a repair: with nothing to look up.
    if (stages.size() == 1 && built.known[cause] == -1 &&
        (!sign.through_acts || built.acts[cause] == no_var)) {
        source.vars.push_back(built.at(cause, stages.front()));
        source.active = {0, 1};
        return source;
    }
    boost::container::small_vector<std::size_t, 4> place;  // [stage of the sign] -> vars
    const std::int8_t known = built.known[cause];
    for (const std::size_t stage : stages) {
        if (known != -1)
            break;
        const Var var = built.at(cause, stage);
        const auto met = std::find(source.vars.begin(), source.vars.end(), var);
        place.push_back(static_cast<std::size_t>(met - source.vars.begin()));
        if (met == source.vars.end())
            source.vars.push_back(var);
    }
    const Var acts = sign.through_acts && known != 0 ? built.acts[cause] : no_var;
    if (acts != no_var)
        source.vars.push_back(acts);
    const std::size_t n = source.vars.size();
    const auto in_all = static_cast<StageBits>((std::uint64_t{1} << stages.size()) - 1);
    for (std::size_t combination = 0; combination < (std::size_t{1} << n); ++combination) {
        const auto on = [&](std::size_t i) { return ((combination >> (n - 1 - i)) & 1U) != 0; };
        StageBits active = known == 1 ? in_all : 0;
        for (std::size_t t = 0; t < place.size(); ++t)
            if (on(place[t]))
                active |= StageBits{1} << t;
        source.active.push_back(acts == no_var || on(n - 1) ? active : 0);
    }
    return source;
}

template <class P>
Var add_mask(const SiteOf<P>& site, const SignNode& sign, const Stages& stages) {
    if (sign.masked_by.empty())
        return no_var;
    SumOf<P>& sum = site.built.sum;
    const std::size_t values = std::size_t{1} << stages.size();
    std::vector<P> start(values, P(0));
    start[0] = 1;
    const Var mask = sum.add(start, {2, static_cast<std::uint32_t>(stages.size())});
    std::vector<P> rows;
    for (const WeightedLink& link : sign.masked_by) {
        const Bringer source = source_of(site.built, link.from, sign, stages);
        const P hides = site.strengths[link.strength];
        rows.assign(source.active.size() * values, P(0));
        for (std::size_t i = 0; i < source.active.size(); ++i) {
            P* row = rows.data() + i * values;
            row[0] = source.active[i] == 0 ? P(1) : 1 - hides;
            if (source.active[i] != 0)
                row[source.active[i]] += hides;
        }
        sum.link(mask, as_span(source.vars), rows);
    }
    return mask;
}

template double too_many(const BuiltOf<double>&, const SignNode&, const Stages&);
template double too_many(const BuiltOf<Pack>&, const SignNode&, const Stages&);
template double too_many(const BuiltOf<Taped>&, const SignNode&, const Stages&);
template Bringer source_of(const BuiltOf<double>&, std::uint32_t, const SignNode&, const Stages&);
template Bringer source_of(const BuiltOf<Pack>&, std::uint32_t, const SignNode&, const Stages&);
template Bringer source_of(const BuiltOf<Taped>&, std::uint32_t, const SignNode&, const Stages&);
template Var add_mask(const SiteOf<double>&, const SignNode&, const Stages&);
template Var add_mask(const SiteOf<Pack>&, const SignNode&, const Stages&);
template Var add_mask(const SiteOf<Taped>&, const SignNode&, const Stages&);

}  // namespace knockwell
