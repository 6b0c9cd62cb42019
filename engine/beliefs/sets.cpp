#include "beliefs/run.hpp"

#include <algorithm>
#include <cmath>
#include <queue>

namespace knockwell {
namespace {

/// A part of all sets: those that agree with `fixed` on its causes. `bound`: no set of this part is
/// more probable (relative to P(e)).
struct Part {
    std::vector<KnownCause> fixed;
    double bound = 1;
    bool operator<(const Part& other) const { return bound < other.bound; }
};

/// Best-first search by splitting (after K. G. Murty, Operations Research 16, 1968, pp. 682-687):
/// the likeliest-looking set of a part is measured, the rest of the part is split by the first
/// cause on which a set differs from it. A part's bound is a sum over its sets, taken from the
/// shares of its parent, so it never lies below its best set.
class Search {
public:
    Search(const Model& model, const Evidence& evidence, std::size_t how_many)
        : model_(model), evidence_(evidence), how_many_(how_many),
          strengths_(point_values(*model.network)) {}

    CauseSets run() {
        CauseSets result;
        log_all_ = log_chance(model_, evidence_);
        if (!std::isfinite(log_all_))
            return result;
        parts_.push({{}, 1.0});
        for (std::size_t looks = 0; !parts_.empty() && parts_.top().bound > worst_kept(); ++looks) {
            if (looks == most_looks) {
                result.proved = false;
                break;
            }
            const Part part = parts_.top();
            parts_.pop();
            look_into(part);
        }
        result.sets = std::move(found_);
        return result;
    }

private:
    static constexpr std::size_t most_looks = 300;

    [[nodiscard]] double worst_kept() const {
        return found_.size() < how_many_ ? 0.0 : found_.back().p;
    }

    [[nodiscard]] Evidence with(const std::vector<KnownCause>& fixed) const {
        Evidence evidence = evidence_;
        evidence.causes.insert(evidence.causes.end(), fixed.begin(), fixed.end());
        return evidence;
    }

    void look_into(const Part& part) {
        const Run here = knockwell::run(model_, with(part.fixed), strengths_);
        if (!here.ok())
            return;
        const double mass = std::exp(here.shares.log_sum - log_all_);
        std::vector<KnownCause> likely = part.fixed;
        std::vector<std::pair<double, KnownCause>>
            open;  // chance of being otherwise than the likely set has it
        for (const CauseId c : undecided(part)) {
            // Both shares, for 1 - p has no digits left where p is near 1.
            const std::vector<double>& share =
                here.shares.value[here.built.cause[c.index()].back()];
            const bool present = share[1] > 0.5;
            open.emplace_back(share[present ? 0 : 1],
                              KnownCause{c, present, evidence_.repairs.size()});
        }
        std::stable_sort(open.begin(), open.end(),
                         [](const auto& a, const auto& b) { return a.first > b.first; });
        for (const auto& [otherwise, as_likely] : open) {
            Part child{likely, mass * otherwise};
            child.fixed.push_back(as_likely);
            child.fixed.back().present = !as_likely.present;
            likely.push_back(as_likely);
            if (child.bound > worst_kept())
                parts_.push(std::move(child));
        }
        keep(likely);
    }

    [[nodiscard]] std::vector<CauseId> undecided(const Part& part) const {
        std::vector<bool> decided(model_.network->causes.size(), false);
        for (const KnownCause& known : part.fixed)
            decided[known.cause.index()] = true;
        std::vector<CauseId> causes;
        for (std::size_t c = 0; c < decided.size(); ++c)
            if (!decided[c])
                causes.emplace_back(c);
        return causes;
    }

    void keep(const std::vector<KnownCause>& all) {
        CauseSet set;
        set.p = std::exp(log_chance(model_, with(all)) - log_all_);
        if (!(set.p > 0))
            return;
        for (const KnownCause& known : all)
            if (known.present)
                set.causes.push_back(known.cause);
        std::sort(set.causes.begin(), set.causes.end());
        const auto before = [](const CauseSet& a, const CauseSet& b) {
            return a.p != b.p ? a.p > b.p : a.causes < b.causes;
        };
        found_.insert(std::upper_bound(found_.begin(), found_.end(), set, before), set);
        if (found_.size() > how_many_)
            found_.pop_back();
    }

    const Model& model_;
    const Evidence& evidence_;
    std::size_t how_many_;
    std::vector<double> strengths_;
    double log_all_ = 0;
    std::priority_queue<Part> parts_;
    std::vector<CauseSet> found_;
};

}  // namespace

CauseSets most_probable_sets(const Model& model, const Evidence& evidence, std::size_t how_many) {
    return Search(model, evidence, how_many).run();
}

}  // namespace knockwell
