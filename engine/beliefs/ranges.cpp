#include "base/side_by_side.hpp"
#include "beliefs/outside.hpp"
#include "beliefs/run.hpp"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <memory>

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
    const auto ask = [&](StrengthRange all) {
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

}  // namespace

class Redrawing::Inside {
public:
    Inside(const Model& model, const Evidence& evidence, std::uint32_t draws, std::uint64_t seed)
        : network_(model.network), knowledge_(model.knowledge), evidence_(&evidence), seed_(seed),
          built_(build(model, evidence, point_values(*model.network))),
          parts_(parts_of(built_.sum, *model.plans, Runs::many)) {
        if (built_.too_wide() || parts_.width() > widest || network_->causes.empty() ||
            parts_.entries() > most_pack_entries ||
            parts_.cost() * draws / Pack::lanes > patience_of_eight)
            return;
        asked_ = strengths_asked(*network_, evidence);
        draws_ = {draws, std::vector<double>(network_->causes.size() * draws),
                  std::vector<std::uint8_t>(draws, 0)};
    }

    /// Every batch of eight is the same whoever draws it. A second helper has tables of its own:
    /// where those would be large it leaves all of it to the first.
    void help() {
        if (helpers_.fetch_add(1) > 0 && 2 * parts_.entries() > most_pack_entries)
            return;
        const auto begin_batch = [&] { return next_.fetch_add(Pack::lanes); };
        std::uint32_t first = begin_batch();
        if (first >= draws_.count)
            return;
        const Model own{knowledge_, network_};
        Whole<Pack> whole(built_.sum.shape, parts_);
        whole.want(asked_by_carry_down(built_));
        for (; first < draws_.count; first = begin_batch())
            draw(own, whole, first);
    }

    [[nodiscard]] Ranges result() const {
        const std::size_t causes = network_->causes.size();
        Ranges result{std::vector<Range>(causes), std::vector<std::uint32_t>(causes, 0), 0};
        if (draws_.count == 0)
            return result;
        const std::vector<std::size_t> first = firsts();
        for (std::uint32_t d = 0; d < draws_.count; ++d) {
            result.first_in[first[d]] += draws_.answered[d];
            result.draws += draws_.answered[d];
        }
        std::vector<double> drawn;
        for (std::size_t c = 0; c < causes && result.draws > 0; ++c) {
            drawn.clear();
            for (std::uint32_t d = 0; d < draws_.count; ++d)
                if (draws_.answered[d] != 0)
                    drawn.push_back(draws_.of(c)[d]);
            result.cause[c] = {quantile(drawn, 0.05), quantile(drawn, 0.95)};
        }
        return result;
    }

private:
    /// The causes' chances in each draw, and the draws that gave an answer.
    struct Draws {
        std::uint32_t count = 0;
        std::vector<double> chance;  // [CauseId][draw]
        std::vector<std::uint8_t> answered;

        [[nodiscard]] const double* of(std::size_t cause) const { return &chance[cause * count]; }
        [[nodiscard]] double* of(std::size_t cause) { return &chance[cause * count]; }
    };

    /// [draw] which cause is first, of equal ones the first of the text.
    [[nodiscard]] std::vector<std::size_t> firsts() const {
        std::vector<std::size_t> first(draws_.count, 0);
        std::vector<double> most(draws_.of(0), draws_.of(0) + draws_.count);
        for (std::size_t c = 1; c < network_->causes.size(); ++c) {
            const double* const chance = draws_.of(c);
            for (std::uint32_t d = 0; d < draws_.count; ++d)
                if (chance[d] > most[d]) {
                    most[d] = chance[d];
                    first[d] = c;
                }
        }
        return first;
    }

    void draw(const Model& own, Whole<Pack>& whole, std::uint32_t first) {
        const std::uint32_t count = std::min<std::uint32_t>(Pack::lanes, draws_.count - first);
        const std::vector<Pack> drawn = strengths(first, count);
        const BuiltOf<Pack> built = build(own, *evidence_, drawn);
        if (!whole.run(built.sum))
            return;
        const ShareOf<Pack> share = [&](Var var, std::size_t value) {
            return whole.share(var, value);
        };
        const std::vector<Pack> all = carry_down<Pack>(own, *evidence_, drawn, built, share);
        for (std::uint32_t l = 0; l < count; ++l)
            draws_.answered[first + l] = lane(whole.total().mantissa, l) > 0 ? 1 : 0;
        for (std::size_t c = 0; c < all.size(); ++c)
            for (std::uint32_t l = 0; l < count; ++l)
                draws_.of(c)[first + l] = lane(all[c], l);
    }

    [[nodiscard]] std::vector<Pack> strengths(std::uint32_t first, std::uint32_t count) const {
        const std::vector<double>& point = point_values(*network_);
        std::vector<Pack> packed(point.begin(), point.end());
        std::vector<double> one = point;
        for (std::uint32_t l = 0; l < Pack::lanes; ++l) {
            redraw_some(*network_, seed_, first + std::min(l, count - 1), asked_, one);
            for (const StrengthIndex i : asked_)
                set_lane(packed[i], l, one[i]);
        }
        return packed;
    }

    const Network* network_;
    const Knowledge* knowledge_;
    const Evidence* evidence_;
    std::uint64_t seed_;
    Built built_;
    SumParts parts_;
    std::vector<StrengthIndex> asked_;
    Draws draws_;
    std::atomic<std::uint32_t> next_ = 0;  // the first draw that nobody has begun
    std::atomic<std::uint32_t> helpers_ = 0;
};

Redrawing::Redrawing(const Model& model, const Evidence& evidence, std::uint32_t draws,
                     std::uint64_t seed)
    : inside_(std::make_unique<Inside>(model, evidence, draws, seed)) {}

Redrawing::~Redrawing() = default;

void Redrawing::help() { inside_->help(); }

Ranges Redrawing::result() const { return inside_->result(); }

Ranges ranges(const Model& model, const Evidence& evidence, std::uint32_t draws,
              std::uint64_t seed) {
    Redrawing redrawing(model, evidence, draws, seed);
    side_by_side([&] { redrawing.help(); }, [&] { redrawing.help(); });
    return redrawing.result();
}

}  // namespace knockwell
