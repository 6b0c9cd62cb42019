#include "beliefs/build.hpp"
#include "beliefs/loosening.hpp"

#include <algorithm>

namespace knockwell {
namespace {

// Each time the cuts are chosen by what the last ones left of the chances.
constexpr int choices = 3;
constexpr int rounds = 12;
// What a run there and back takes of each operation that its plan counts.
constexpr double there_and_back = 3;

/// Both hold.
void take_tighter(Enclosed::Bounds& bounds, const Enclosed::Bounds& other) {
    bounds.low = std::max(bounds.low, other.low);
    bounds.high = std::min(bounds.high, other.high);
}

/// Where nothing is loose the two differ by roundings, this way or that.
Range range_of(const Enclosed::Bounds& bounds) {
    return {std::min(bounds.low, bounds.high), std::max(bounds.low, bounds.high)};
}

}  // namespace

std::optional<Enclosure> enclose(const Model& model, const Evidence& evidence, double operations) {
    const Built built =
        build(model, evidence, point_values(*model.network), {.causes = BuildChoice::Causes::all});
    if (built.too_wide())
        return std::nullopt;
    std::vector<Var> asked;
    for (std::size_t c = 0; c < model.network->causes.size(); ++c)
        asked.push_back(built.last(c));
    const double a_run = operations / (choices * rounds * there_and_back);
    std::optional<Enclosed> best;
    std::size_t cuts = 0;
    for (int i = 0; i < choices; ++i) {
        const auto chosen = cuts_for(built.sum, asked, a_run, best ? best->guess : Guess{});
        if (!chosen)
            break;
        Enclosed found = enclosed(built.sum, asked, *chosen, rounds);
        cuts = chosen->size();
        if (best) {
            take_tighter(found.log_sum, best->log_sum);
            for (std::size_t c = 0; c < asked.size(); ++c)
                for (std::size_t a = 0; a < found.shares[c].size(); ++a)
                    take_tighter(found.shares[c][a], best->shares[c][a]);
        }
        best = std::move(found);
        if (cuts == 0 || best->guess.empty())
            break;
    }
    if (!best)
        return std::nullopt;
    Enclosure it;
    it.cuts = cuts;
    it.log_evidence = range_of(best->log_sum);
    it.log_evidence.high = std::min(it.log_evidence.high, 0.0);
    for (const std::vector<Enclosed::Bounds>& shares : best->shares)
        it.cause.push_back(range_of(shares[1]));
    return it;
}

}  // namespace knockwell
