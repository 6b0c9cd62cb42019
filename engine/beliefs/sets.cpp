#include "beliefs/run.hpp"

#include <algorithm>
#include <array>
#include <memory>
#include <optional>
#include <queue>
#include <utility>

namespace knockwell {
namespace {

struct Fixed {
    std::uint32_t cause = 0;
    bool present = false;
};

/// A part of all sets: those that agree with the likely set of another part on its first causes,
/// but not on the one behind them. `bound`: no set of this part is more probable (relative to
/// P(e)).
struct SetsPart {
    std::shared_ptr<const std::vector<Fixed>> likely;  // none: all sets
    std::size_t agrees = 0;
    double bound = 1;
    bool operator<(const SetsPart& other) const { return bound < other.bound; }

    [[nodiscard]] std::vector<Fixed> fixed() const {
        if (!likely)
            return {};
        std::vector<Fixed> all(likely->begin(),
                               likely->begin() + static_cast<std::ptrdiff_t>(agrees) + 1);
        all.back().present = !all.back().present;
        return all;
    }
};

/// What is searched.
struct Ground {
    Built built;
    SumParts parts;
    std::size_t causes = 0;
};

/// Best-first search by splitting (after K. G. Murty, Operations Research 16, 1968, pp. 682-687):
/// the likeliest-looking set of a part is measured, the rest of the part is split by the first
/// cause on which a set differs from it. A part's bound is a sum over its sets, taken from the
/// shares of its parent, so it never lies below its best set. As many parts as P has lanes are
/// looked into at once: some of them in vain, which costs little and changes nothing.
template <class P>
class Search {
public:
    Search(const Ground& ground, std::size_t how_many, double least)
        : ground_(ground), how_many_(how_many), least_(least), sum_(ground.built.sum),
          numbers_(sum_.numbers.begin(), sum_.numbers.end()), whole_(sum_.shape, ground.parts),
          share_(2 * ground.causes) {
        std::vector<Var> causes;
        for (std::size_t c = 0; c < ground.causes; ++c)
            causes.push_back(ground.built.last(c));
        whole_.want(causes);
    }

    CauseSets run() {
        CauseSets result;
        parts_.push({});
        std::vector<SetsPart> next;
        for (std::size_t looks = 0; !parts_.empty() && parts_.top().bound > worst_kept();
             looks += next.size()) {
            if (!is_in_time(looks)) {
                result.proved = false;
                break;
            }
            next.clear();
            while (next.size() < lanes_of<P> && !parts_.empty() &&
                   parts_.top().bound > worst_kept()) {
                next.push_back(parts_.top());
                parts_.pop();
            }
            look_into(next);
        }
        result.sets = std::move(found_);
        return result;
    }

private:
    using Masses = std::array<double, lanes_of<P>>;

    [[nodiscard]] bool is_in_time(std::size_t looks) const {
        constexpr std::size_t most_looks = 300;
        constexpr std::size_t most_causes_looked_at = 300'000;
        return looks < most_looks && looks * ground_.causes <= most_causes_looked_at &&
               2 * static_cast<double>(looks) * ground_.parts.cost() <= patience;
    }

    [[nodiscard]] double worst_kept() const {
        return found_.size() < how_many_ ? least_ : found_.back().p;
    }

    /// The share of all that agrees with each, a lane each; shares of its causes where they are
    /// asked for. The first is asked of all.
    Masses masses(const std::vector<std::vector<Fixed>>& fixed, bool shares) {
        for (std::size_t l = 0; l < fixed.size(); ++l)
            for (const Fixed& it : fixed[l])
                set_lane(numbers_[number_against(it)], l, 0);
        whole_.take(numbers_.data());
        const bool any = whole_.run(P(sum_.factor), shares);
        for (const std::vector<Fixed>& one : fixed)
            for (const Fixed& it : one)
                numbers_[number_against(it)] = sum_.numbers[number_against(it)];
        Masses shares_of_all{};
        if (!any)
            return shares_of_all;
        if (!all_)
            all_ = whole_.total();
        for (std::size_t l = 0; l < fixed.size(); ++l)
            if (lane(whole_.total().mantissa, l) > 0)
                shares_of_all[l] = ratio(whole_.total(), l, *all_, 0);
        return shares_of_all;
    }

    /// The number that multiplies what is not as fixed.
    [[nodiscard]] Slot number_against(const Fixed& it) const {
        const SumVariable& variable = sum_.shape.variables[ground_.built.last(it.cause)];
        return variable.after + (it.present ? 0 : 1);
    }

    void look_into(const std::vector<SetsPart>& parts) {
        std::vector<std::vector<Fixed>> fixed;
        for (const SetsPart& part : parts)
            fixed.push_back(part.fixed());
        const Masses here = masses(fixed, true);
        for (std::size_t c = 0; c < ground_.causes; ++c)
            for (std::size_t value = 0; value < 2; ++value)
                share_[2 * c + value] = whole_.share(ground_.built.last(c), value);
        std::vector<std::vector<Fixed>> likely;
        for (std::size_t l = 0; l < parts.size(); ++l)
            if (here[l] > 0)
                likely.push_back(*split(fixed[l], here[l], l));
        const Masses p = masses(likely, false);
        for (std::size_t l = 0; l < likely.size(); ++l)
            keep(likely[l], p[l]);
    }

    /// The likeliest-looking set of the part that agrees with `fixed`, and parts for the others.
    std::shared_ptr<const std::vector<Fixed>> split(const std::vector<Fixed>& fixed, double here,
                                                    std::size_t l) {
        std::vector<std::pair<double, Fixed>>
            open;  // chance of being otherwise than the likely set has it
        for (const std::uint32_t c : undecided(fixed)) {
            // Both shares, for 1 - p has no digits left where p is near 1.
            const bool present = lane(share_[2 * c + 1], l) > 0.5;
            open.emplace_back(lane(share_[2 * c + (present ? 0 : 1)], l), Fixed{c, present});
        }
        std::stable_sort(open.begin(), open.end(),
                         [](const auto& a, const auto& b) { return a.first > b.first; });
        auto likely = std::make_shared<std::vector<Fixed>>(fixed);
        for (const auto& [otherwise, as_likely] : open)
            likely->push_back(as_likely);
        for (std::size_t i = 0; i < open.size(); ++i)
            if (const double bound = here * open[i].first; bound > worst_kept())
                parts_.push({likely, fixed.size() + i, bound});
        return likely;
    }

    [[nodiscard]] std::vector<std::uint32_t> undecided(const std::vector<Fixed>& fixed) const {
        std::vector<std::uint8_t> decided(ground_.causes, 0);
        for (const Fixed& it : fixed)
            decided[it.cause] = 1;
        std::vector<std::uint32_t> causes;
        for (std::uint32_t c = 0; c < decided.size(); ++c)
            if (decided[c] == 0)
                causes.push_back(c);
        return causes;
    }

    void keep(const std::vector<Fixed>& all, double p) {
        if (!(p > least_))
            return;
        CauseSet set;
        set.p = p;
        for (const Fixed& it : all)
            if (it.present)
                set.causes.emplace_back(it.cause);
        std::sort(set.causes.begin(), set.causes.end());
        const auto before = [](const CauseSet& a, const CauseSet& b) {
            return a.p != b.p ? a.p > b.p : a.causes < b.causes;
        };
        found_.insert(std::upper_bound(found_.begin(), found_.end(), set, before), set);
        if (found_.size() > how_many_)
            found_.pop_back();
    }

    const Ground& ground_;
    std::size_t how_many_;
    double least_;
    const Sum& sum_;
    std::vector<P> numbers_;  // those of the sum, but for what is fixed
    Whole<P> whole_;
    std::vector<P> share_;  // [cause][absent, present] of the parts in hand
    std::optional<Scaled<P>> all_;
    std::priority_queue<SetsPart> parts_;
    std::vector<CauseSet> found_;
};

}  // namespace

CauseSets most_probable_sets(const Model& model, const Evidence& evidence, std::size_t how_many,
                             double least) {
    Ground ground{
        build(model, evidence, point_values(*model.network), {.causes = BuildChoice::Causes::all}),
        {},
        model.network->causes.size()};
    ground.parts = parts_of(ground.built.sum, *model.plans, Runs::many);
    if (ground.built.too_wide() || ground.parts.width() > widest)
        return {{}, false};
    // Eight at once pay where there is time for as many.
    if (ground.parts.entries() <= most_pack_entries &&
        2 * Pack::lanes * ground.parts.cost() <= patience)
        return Search<Pack>(ground, how_many, least).run();
    return Search<double>(ground, how_many, least).run();
}

}  // namespace knockwell
