#include "review/causes.hpp"

#include <algorithm>
#include <unordered_set>

namespace knockwell {

CauseReview review_causes(const ShopBook& book) {
    CauseReview review;
    std::vector<CauseLine> lines(book.causes.size());
    std::unordered_set<std::uint64_t> seen;  // cause and installation
    std::int64_t first = 0;
    std::int64_t last = 0;
    for (const Visit& visit : book.visits()) {
        first = review.jobs == 0 ? visit.opened : std::min(first, visit.opened);
        last = review.jobs == 0 ? visit.opened : std::max(last, visit.opened);
        ++review.jobs;
        review.without_cause += visit.causes == 0 ? 1U : 0U;
        for (const auto& [cause, sure] : book.causes_of(visit)) {
            CauseLine& line = lines[cause];
            line.cause = cause;
            ++line.jobs;
            if (seen.insert(std::uint64_t{cause} << 32U | visit.installation).second)
                ++line.houses;
            else
                ++line.again;
            line.call_backs += visit.call_back ? 1U : 0U;
            line.guessed += sure ? 0U : 1U;
            if (visit.minutes > 0) {
                line.minutes += static_cast<double>(visit.minutes);
                ++line.timed;
            }
        }
    }
    review.years = static_cast<double>(last - first) / static_cast<double>(year_seconds);
    const double shared_by = review.by_the_year() ? review.years : 1;
    for (CauseLine& line : lines) {
        if (line.timed > 0)
            line.minutes /= static_cast<double>(line.timed);
        line.rate = static_cast<double>(line.jobs) / shared_by;
        const Limits limits = poisson_limits(line.jobs);
        line.limits = {limits.low / shared_by, limits.high / shared_by};
    }
    std::stable_sort(lines.begin(), lines.end(),
                     [](const CauseLine& a, const CauseLine& b) { return a.jobs > b.jobs; });
    review.lines = std::move(lines);
    return review;
}

}  // namespace knockwell
