#include "base/side_by_side.hpp"
#include "beliefs/outside.hpp"
#include "beliefs/run.hpp"

#include <algorithm>
#include <cmath>

namespace knockwell {
namespace {

/// Quantile by linear interpolation between order statistics (Hyndman & Fan, The American
/// Statistician 50(4), 1996, definition 7). Changes the order of the values.
double quantile(std::vector<double>& values, double at) {
    const double place = at * static_cast<double>(values.size() - 1);
    const auto below = values.begin() + static_cast<std::ptrdiff_t>(place);
    std::nth_element(values.begin(), below, values.end());
    if (below + 1 == values.end())
        return *below;
    const double above = *std::min_element(below + 1, values.end());
    return *below + (place - std::floor(place)) * (above - *below);
}

/// Strengths that the answer hangs on: all of settings and causes, and those of signs with
/// findings. Ascending.
std::vector<StrengthIndex> strengths_asked(const Network& network, const Evidence& evidence) {
    std::vector<bool> asked(network.strengths.size(), false);
    const auto ask = [&](const std::vector<StrengthIndex>& all) {
        for (const StrengthIndex i : all)
            asked[i] = true;
    };
    const auto ask_links = [&](const std::vector<WeightedLink>& links) {
        for (const WeightedLink& link : links)
            asked[link.strength] = true;
    };
    for (const SettingNode& setting : network.settings)
        ask(setting.prior);
    for (const CauseNode& cause : network.causes) {
        asked[cause.base] = true;
        for (const RaiseNode& raise : cause.raised_by)
            asked[raise.times] = true;
        ask_links(cause.parents);
        if (cause.comes_and_goes)
            asked[cause.acts] = true;
    }
    for (const Finding& finding : evidence.findings) {
        const auto* id = std::get_if<SignId>(&finding.what);
        if (!id)
            continue;
        const SignNode& sign = network.signs[id->index()];
        ask(sign.leak_high);
        ask(sign.leak_low);
        for (const ShowLink& link : sign.shown_by) {
            ask(link.high);
            ask(link.low);
        }
        ask_links(sign.masked_by);
    }
    std::vector<StrengthIndex> all;
    for (StrengthIndex i = 0; i < asked.size(); ++i)
        if (asked[i])
            all.push_back(i);
    return all;
}

/// The causes' chances of one draw; empty where it gave no answer.
using Draws = std::vector<std::vector<double>>;

/// Draws from `from` to `to`, eight at a time.
class Redrawer {
public:
    Redrawer(const Model& model, const Evidence& evidence, std::uint64_t seed)
        : model_(model), evidence_(evidence), seed_(seed),
          asked_(strengths_asked(*model.network, evidence)) {}

    void draw(const Built& point, const SumParts& parts, std::uint32_t from, std::uint32_t to,
              Draws& draws) const {
        Whole<Pack> whole(point.sum.shape, parts);
        whole.want(asked_by_carry_down(point));
        for (std::uint32_t first = from; first < to; first += Pack::lanes) {
            const std::uint32_t count = std::min<std::uint32_t>(Pack::lanes, to - first);
            const std::vector<Pack> drawn = strengths(first, count);
            const BuiltOf<Pack> built = build(model_, evidence_, drawn);
            if (!whole.run(built.sum))
                continue;
            const ShareOf<Pack> share = [&](Var var, std::size_t value) {
                return whole.share(var, value);
            };
            const std::vector<Pack> all = carry_down<Pack>(model_, evidence_, drawn, built, share);
            for (std::uint32_t l = 0; l < count; ++l)
                if (lane(whole.total().mantissa, l) > 0)
                    for (const Pack& p : all)
                        draws[first + l].push_back(lane(p, l));
        }
    }

private:
    [[nodiscard]] std::vector<Pack> strengths(std::uint32_t first, std::uint32_t count) const {
        const std::vector<double>& point = point_values(*model_.network);
        std::vector<Pack> packed(point.begin(), point.end());
        std::vector<double> one = point;
        for (std::uint32_t l = 0; l < Pack::lanes; ++l) {
            redraw_some(*model_.network, seed_, first + std::min(l, count - 1), asked_, one);
            for (const StrengthIndex i : asked_)
                set_lane(packed[i], l, one[i]);
        }
        return packed;
    }

    const Model& model_;
    const Evidence& evidence_;
    std::uint64_t seed_;
    std::vector<StrengthIndex> asked_;
};

}  // namespace

Ranges ranges(const Model& model, const Evidence& evidence, std::uint32_t draws,
              std::uint64_t seed) {
    const std::size_t causes = model.network->causes.size();
    Ranges result{std::vector<Range>(causes), std::vector<std::uint32_t>(causes, 0), 0};
    const Built built = build(model, evidence, point_values(*model.network));
    const SumParts parts = parts_of(built.sum, *model.plans, Runs::many);
    if (built.too_wide() || parts.width() > widest || causes == 0)
        return result;
    if (parts.cost() * draws / Pack::lanes > patience_of_eight)
        return result;
    Draws chances(draws);
    const Redrawer redrawer(model, evidence, seed);
    const auto half = static_cast<std::uint32_t>(draws / 2 / Pack::lanes * Pack::lanes);
    // Every batch of eight is the same whoever draws it.
    side_by_side([&] { redrawer.draw(built, parts, half, draws, chances); },
                 [&] { redrawer.draw(built, parts, 0, half, chances); });
    std::vector<std::vector<double>> drawn(causes);
    for (const std::vector<double>& one : chances) {
        if (one.empty())
            continue;
        for (std::size_t c = 0; c < causes; ++c)
            drawn[c].push_back(one[c]);
        ++result.first_in[static_cast<std::size_t>(std::max_element(one.begin(), one.end()) -
                                                   one.begin())];
        ++result.draws;
    }
    for (std::size_t c = 0; c < causes && result.draws > 0; ++c) {
        result.cause[c] = {quantile(drawn[c], 0.05), quantile(drawn[c], 0.95)};
    }
    return result;
}

}  // namespace knockwell
