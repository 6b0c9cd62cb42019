#include "review/trends.hpp"

#include "review/statistics.hpp"

#include <algorithm>
#include <array>
#include <chrono>
#include <numeric>
#include <unordered_map>
#include <utility>

namespace knockwell {
namespace {

constexpr std::array outbreak_times = {3.0, 10.0};  // a common cause, a rare one

/// Counts by period of all jobs and of each cause.
struct Counts {
    std::vector<std::uint64_t> all;
    std::vector<std::vector<std::uint64_t>> of;  // [cause][period]

    Counts(std::size_t periods, std::size_t causes)
        : all(periods, 0), of(causes, std::vector<std::uint64_t>(periods, 0)) {}
};

/// Jobs of a cause as they would fall if its share of the jobs never changed.
std::vector<double> expected_of(const Counts& counts, std::uint32_t cause) {
    const auto sum = [](const std::vector<std::uint64_t>& all) {
        return static_cast<double>(std::accumulate(all.begin(), all.end(), std::uint64_t{0}));
    };
    const double all = sum(counts.all);
    const double share = all > 0 ? sum(counts.of[cause]) / all : 0;
    std::vector<double> expected;
    for (const std::uint64_t jobs : counts.all)
        expected.push_back(share * static_cast<double>(jobs));
    return expected;
}

/// Visits in the order of time with the causes that count: not those that the same house had within
/// the year before.
template <class Visitor>
void each_cause_in_time(const ShopBook& book, Visitor visitor) {
    std::unordered_map<std::uint64_t, std::int64_t> last;  // installation and cause
    for (const std::uint32_t i : book.in_time()) {
        const Visit& visit = book.visits()[i];
        for (const auto& [cause, sure] : book.causes_of(visit)) {
            const auto [before, is_new] =
                last.emplace(std::uint64_t{visit.installation} << 32U | cause, visit.opened);
            const bool again = !is_new && visit.opened - before->second < year_seconds;
            before->second = visit.opened;
            if (!again)
                visitor(visit, cause);
        }
    }
}

/// Where a CUSUM that was at its highest last stood at nothing, and where it was highest.
std::pair<std::size_t, std::size_t> climb(const std::vector<double>& sums) {
    const auto top =
        static_cast<std::size_t>(std::max_element(sums.begin(), sums.end()) - sums.begin());
    std::size_t foot = top;
    while (foot > 0 && sums[foot - 1] > 0)
        --foot;
    return {foot, top};
}

class Teller {
public:
    explicit Teller(TimeReview& into) : into_(&into) {}

    void rise(Trend base, const std::vector<std::uint64_t>& counts,
              const std::vector<double>& expected) {
        const bool everywhere =
            std::all_of(expected.begin(), expected.end(), [](double one) { return one > 0; });
        if (counts.size() < 2 || !everywhere)
            return;
        base.kind = TrendKind::rise;
        base.all = std::accumulate(counts.begin(), counts.end(), std::uint64_t{0});
        base.observed = counts.back();
        base.expected = expected.back();
        base.p = rising_trend(counts, expected);
        add(std::move(base));
    }

    void season(Trend base, const std::vector<std::uint64_t>& counts,
                const std::vector<double>& expected) {
        const double whole = std::accumulate(expected.begin(), expected.end(), 0.0);
        for (std::size_t quarter = 0; quarter < counts.size(); ++quarter) {
            if (!(expected[quarter] > 0))
                continue;
            base.kind = TrendKind::season;
            base.from = static_cast<int>(3 * quarter) + 1;
            base.to = base.from + 2;
            base.observed = counts[quarter];
            base.expected = expected[quarter];
            base.p =
                share_at_least(counts[quarter], base.all, std::min(1.0, expected[quarter] / whole));
            add(base);
        }
    }

    void outbreak(Trend base, const std::vector<std::uint64_t>& counts,
                  const std::vector<double>& expected, int first_month) {
        std::vector<double> sums;
        for (const double times : outbreak_times) {
            std::vector<double> these = poisson_cusum(counts, expected, times);
            if (sums.empty() || *std::max_element(these.begin(), these.end()) >
                                    *std::max_element(sums.begin(), sums.end()))
                sums = std::move(these);
        }
        const auto [foot, top] = climb(sums);
        base.kind = TrendKind::outbreak;
        base.from = first_month + static_cast<int>(foot);
        base.to = first_month + static_cast<int>(top);
        for (std::size_t i = foot; i <= top; ++i) {
            base.observed += counts[i];
            base.expected += expected[i];
        }
        base.p = cusum_chance(sums[top], outbreak_times.size() * counts.size());
        add(std::move(base));
    }

private:
    void add(Trend trend) {
        ++into_->tested;
        into_->trends.push_back(std::move(trend));
    }
    TimeReview* into_;
};

}  // namespace

int month_of(std::int64_t moment) {
    const auto day = std::chrono::floor<std::chrono::days>(
        std::chrono::sys_seconds{std::chrono::seconds{moment}});
    const std::chrono::year_month_day date{day};
    return 12 * static_cast<int>(date.year()) +
           static_cast<int>(static_cast<unsigned>(date.month())) - 1;
}

TimeReview review_time(const ShopBook& book) {
    TimeReview review;
    if (book.visits().empty())
        return review;
    const auto [first, last] =
        std::minmax_element(book.visits().begin(), book.visits().end(),
                            [](const Visit& a, const Visit& b) { return a.opened < b.opened; });
    review.first = first->opened;
    review.last = last->opened;
    review.jobs = book.visits().size();
    const int first_month = month_of(review.first);
    const auto months = static_cast<std::size_t>(month_of(review.last) - first_month) + 1;
    // Whole years, counted back from the last job; what is before them is no year and in none.
    const auto years = std::max<std::size_t>(
        1, static_cast<std::size_t>((review.last - review.first) / year_seconds));
    const std::int64_t years_from = review.last - static_cast<std::int64_t>(years) * year_seconds;
    if (review.first < years_from)
        review.years_from = years_from;
    Counts by_month(months, book.causes.size());
    Counts by_year(years, book.causes.size());
    Counts by_quarter(4, book.causes.size());
    each_cause_in_time(book, [&](const Visit& visit, std::uint32_t cause) {
        const int month = month_of(visit.opened);
        // The moment at which two years meet belongs to the later one, the first moment of all to
        // the first.
        const auto ago = static_cast<std::size_t>(
            std::max<std::int64_t>(0, review.last - visit.opened - 1) / year_seconds);
        const auto take = [&](Counts& counts, std::size_t period) {
            ++counts.all[period];
            ++counts.of[cause][period];
        };
        take(by_month, static_cast<std::size_t>(month - first_month));
        if (ago < years)
            take(by_year, years - 1 - ago);
        take(by_quarter, static_cast<std::size_t>(month % 12 / 3));
    });
    Teller teller(review);
    for (std::uint32_t cause = 0; cause < book.causes.size(); ++cause) {
        Trend base;
        base.cause = cause;
        base.by_year = by_year.of[cause];
        base.expected_by_year = expected_of(by_year, cause);
        const std::vector<std::uint64_t>& ever = by_quarter.of[cause];
        base.all = std::accumulate(ever.begin(), ever.end(), std::uint64_t{0});
        if (base.all == 0)
            continue;
        teller.rise(base, by_year.of[cause], base.expected_by_year);
        teller.season(base, by_quarter.of[cause], expected_of(by_quarter, cause));
        teller.outbreak(base, by_month.of[cause], expected_of(by_month, cause), first_month);
    }
    std::vector<double> p;
    for (const Trend& trend : review.trends)
        p.push_back(trend.p);
    const std::vector<double> adjusted = false_discovery(p);
    for (std::size_t i = 0; i < adjusted.size(); ++i)
        review.trends[i].adjusted = adjusted[i];
    std::stable_sort(review.trends.begin(), review.trends.end(),
                     [](const Trend& a, const Trend& b) { return a.p < b.p; });
    return review;
}

}  // namespace knockwell
