#include "beliefs/run.hpp"

#include <algorithm>
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

/// Best-first search by splitting (after K. G. Murty, Operations Research 16, 1968, pp. 682-687):
/// the likeliest-looking set of a part is measured, the rest of the part is split by the first
/// cause on which a set differs from it. A part's bound is a sum over its sets, taken from the
/// shares of its parent, so it never lies below its best set.
class Search {
public:
    Search(const Model& model, const Evidence& evidence, std::size_t how_many)
        : how_many_(how_many), causes_(model.network->causes.size()),
          built_(build(model, evidence, point_values(*model.network),
                       {.causes = BuildChoice::Causes::all})),
          parts_of_sum_(parts_of(built_.sum, *model.plans, Runs::many)) {}

    CauseSets run() {
        CauseSets result;
        if (built_.too_wide() || parts_of_sum_.width() > widest) {
            result.proved = false;
            return result;
        }
        whole_.emplace(built_.sum.shape, parts_of_sum_);
        if (!whole_->run_forward(built_.sum))
            return result;
        all_ = whole_->total();
        parts_.push({});
        for (std::size_t looks = 0; !parts_.empty() && parts_.top().bound > worst_kept(); ++looks) {
            const auto counted = static_cast<double>(looks);
            if (looks == most_looks || looks * causes_ > most_causes_looked_at ||
                2 * counted * parts_of_sum_.cost() > patience) {
                result.proved = false;
                break;
            }
            const SetsPart part = parts_.top();
            parts_.pop();
            look_into(part);
        }
        result.sets = std::move(found_);
        return result;
    }

private:
    static constexpr std::size_t most_looks = 300;
    static constexpr std::size_t most_causes_looked_at = 300'000;

    [[nodiscard]] double worst_kept() const {
        return found_.size() < how_many_ ? 0.0 : found_.back().p;
    }

    /// The share of all that agrees with `fixed`; shares of its causes where they are asked for.
    double mass(const std::vector<Fixed>& fixed, bool shares) {
        std::vector<double> was;
        for (const Fixed& it : fixed) {
            double& number = weight_against(it);
            was.push_back(std::exchange(number, 0.0));
        }
        const bool any = shares ? whole_->run(built_.sum) : whole_->run_forward(built_.sum);
        for (std::size_t i = fixed.size(); i-- > 0;)
            weight_against(fixed[i]) = was[i];
        return any ? ratio(whole_->total(), 0, all_, 0) : 0;
    }

    /// The number that multiplies what is not as fixed.
    double& weight_against(const Fixed& it) {
        const SumVariable& variable = built_.sum.shape.variables[built_.last(it.cause)];
        return built_.sum.numbers[variable.after + (it.present ? 0 : 1)];
    }

    void look_into(const SetsPart& part) {
        const std::vector<Fixed> fixed = part.fixed();
        const double here = mass(fixed, true);
        if (!(here > 0))
            return;
        std::vector<std::pair<double, Fixed>>
            open;  // chance of being otherwise than the likely set has it
        for (const std::uint32_t c : undecided(fixed)) {
            // Both shares, for 1 - p has no digits left where p is near 1.
            const bool present = whole_->share(built_.last(c), 1) > 0.5;
            open.emplace_back(whole_->share(built_.last(c), present ? 0 : 1), Fixed{c, present});
        }
        std::stable_sort(open.begin(), open.end(),
                         [](const auto& a, const auto& b) { return a.first > b.first; });
        auto likely = std::make_shared<std::vector<Fixed>>(fixed);
        for (const auto& [otherwise, as_likely] : open)
            likely->push_back(as_likely);
        for (std::size_t i = 0; i < open.size(); ++i)
            if (const double bound = here * open[i].first; bound > worst_kept())
                parts_.push({likely, fixed.size() + i, bound});
        keep(*likely);
    }

    [[nodiscard]] std::vector<std::uint32_t> undecided(const std::vector<Fixed>& fixed) const {
        std::vector<std::uint8_t> decided(causes_, 0);
        for (const Fixed& it : fixed)
            decided[it.cause] = 1;
        std::vector<std::uint32_t> causes;
        for (std::uint32_t c = 0; c < decided.size(); ++c)
            if (decided[c] == 0)
                causes.push_back(c);
        return causes;
    }

    void keep(const std::vector<Fixed>& all) {
        CauseSet set;
        set.p = mass(all, false);
        if (!(set.p > 0))
            return;
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

    std::size_t how_many_;
    std::size_t causes_;
    Built built_;
    SumParts parts_of_sum_;
    std::optional<Whole<double>> whole_;
    Scaled<double> all_;
    std::priority_queue<SetsPart> parts_;
    std::vector<CauseSet> found_;
};

}  // namespace

CauseSets most_probable_sets(const Model& model, const Evidence& evidence, std::size_t how_many) {
    return Search(model, evidence, how_many).run();
}

}  // namespace knockwell
