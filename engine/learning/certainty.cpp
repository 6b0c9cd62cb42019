#include "learning/certainty.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace knockwell {
namespace {

/// How one coin may have fallen in one job.
struct Falls {
    double tossed = 0;
    std::span<const double> sides;
};

/// n of the Dirichlet with mean `mean` and n `cases` after one such job, by the variance of the
/// exact mixture.
double cases_after(double cases, const std::vector<double>& mean, const Falls& falls) {
    double squares = 0;
    double all = 1;
    double fallen = 0;
    for (std::size_t i = 0; i < mean.size(); ++i) {
        squares += mean[i] * mean[i];
        all -= mean[i];
        fallen += falls.sides[i];
    }
    const double rest = std::max(0.0, all);
    const double n = cases;
    // Means after a fall on side i: (n m + e_i) / (n + 1); their squares summed up.
    const double squares_all = squares + rest * rest;
    const auto squares_after = [&](double m) {
        return (n * n * squares_all + 2 * n * m + 1) / ((n + 1) * (n + 1));
    };
    double inner = 0;  // mean of the variances
    double outer = 0;  // mean of the squares of the means
    const auto take = [&](double chance, double m) {
        const double after = squares_after(m);
        inner += chance * (1 - after) / (n + 2);
        outer += chance * after;
    };
    for (std::size_t i = 0; i < mean.size(); ++i)
        take(falls.sides[i], mean[i]);
    take(std::max(0.0, falls.tossed - fallen), rest);
    inner += (1 - falls.tossed) * (1 - squares_all) / (n + 1);
    outer += (1 - falls.tossed) * squares_all;
    double squares_of_mean = 0;
    const auto mean_after = [&](double chance, double m) {
        return m * (1 - falls.tossed) + (falls.tossed * n * m + chance) / (n + 1);
    };
    for (std::size_t i = 0; i < mean.size(); ++i)
        squares_of_mean += std::pow(mean_after(falls.sides[i], mean[i]), 2);
    squares_of_mean += std::pow(mean_after(std::max(0.0, falls.tossed - fallen), rest), 2);
    const double variance = inner + outer - squares_of_mean;
    return variance > 0 ? (1 - squares_of_mean) / variance - 1 : cases;
}

/// About the logarithm of the odds.
double told_of_rate(double tosses, double fallen, double chances) {
    const double r = chances / tosses;
    const double off = fallen - chances;
    return tosses * r * (1 - r) -
           (fallen * (1 - r) * (1 - r) + (tosses - fallen) * r * r - off * off);
}

class Certainty {
public:
    Certainty(const std::vector<Coin>& coins, const CoinRow& row, std::span<const double> strengths)
        : coins_(coins), row_(row), precision_(coins.size(), 0.0), loud_(coins.size(), {0, 0, 0}) {
        for (const Coin& coin : coins_) {
            CoinLearned& it = out_.emplace_back();
            it.fallen.assign(coin.sides.size(), 0.0);
            it.cases = coin.cases();
            it.spread = coin.spread;
            std::vector<double>& of = mean_.emplace_back();
            for (const CoinSide& side : coin.sides)
                of.push_back(strengths[side.strength]);
        }
    }

    void take_lesson(const Tosses& heard, const std::vector<std::uint32_t>& jobs) {
        const double* number = heard.numbers.data();
        for (const std::uint32_t coin : heard.coins) {
            const std::span<const double> of(number, row_.count(coin));
            number += row_.count(coin);
            double told = 0;
            for (std::size_t i = 0; i < jobs.size(); ++i)
                told = hear_case(coin, of);
            note(coin, of, told, jobs);
        }
    }

    /// What a list tells of rates, into the first place of each.
    void tell_silence(const Tosses& heard, double jobs, std::vector<double>& sum) const {
        each_rate(heard, [&](std::uint32_t coin, const double* number) {
            sum[row_.first(coin)] += jobs * told_of_rate(number[0], number[1], number[2]);
        });
    }

    /// What it tells of rates that there is no call from most installations: their number hangs on
    /// chance too, as that of failures before a success.
    void tell_quiet(const Tosses& heard, double jobs, std::vector<double>& sum) const {
        const double quiet = quiet_share(heard.log_chance);
        const double times = quiet / (1 - quiet);
        each_rate(heard, [&](std::uint32_t coin, const double* number) {
            const double off = number[1] - number[2];
            sum[row_.first(coin)] += jobs * (times * told_of_rate(number[0], number[1], number[2]) -
                                             times / (1 - quiet) * off * off);
        });
    }

    std::vector<CoinLearned> all(const std::vector<double>& told) {
        for (std::uint32_t i = 0; i < coins_.size(); ++i) {
            CoinLearned& it = out_[i];
            it.cases = std::max(it.cases, coins_[i].cases());
            const double gained = std::max(0.0, precision_[i] + told[row_.first(i)]);
            if (coins_[i].spread > 0)
                it.spread = 1 / std::sqrt(1 / (it.spread * it.spread) + gained);
            else if (coins_[i].kind == Coin::Kind::rate)
                it.cases += gained / (mean_[i][0] * (1 - mean_[i][0]));
        }
        return std::move(out_);
    }

private:
    template <class Act>
    void each_rate(const Tosses& heard, Act act) const {
        const double* number = heard.numbers.data();
        for (const std::uint32_t coin : heard.coins) {
            if (coins_[coin].kind == Coin::Kind::rate)
                act(coin, number);
            number += row_.count(coin);
        }
    }

    /// One job more; what it told, in cases of a share or in the precision of a rate's odds.
    double hear_case(std::uint32_t coin, std::span<const double> of) {
        if (coins_[coin].kind != Coin::Kind::rate) {
            double& cases = out_[coin].cases;
            const double before = cases;
            // One look may miss several triggers: so many tosses, taken as if each by itself.
            const double times = std::max(1.0, std::ceil(of[0] - 1e-9));
            std::vector<double> sides(of.begin() + 1, of.end());
            for (double& side : sides)
                side /= times;
            for (double i = 0; i < times; ++i)
                cases = cases_after(cases, mean_[coin], {of[0] / times, sides});
            return std::abs(cases - before);
        }
        precision_[coin] += told_of_rate(of[0], of[1], of[2]);
        return std::abs(of[1] - of[2]);
    }

    void note(std::uint32_t coin, std::span<const double> of, double told,
              const std::vector<std::uint32_t>& jobs) {
        // In cases; of a rate, in tenths of the chance that it had.
        const bool rate = coins_[coin].kind == Coin::Kind::rate;
        const double something = rate ? 0.1 * of[2] : 0.01;
        CoinLearned& it = out_[coin];
        const auto times = static_cast<double>(jobs.size());
        it.tossed += times * of[0];
        for (std::size_t s = 0; s < it.fallen.size(); ++s)
            it.fallen[s] += times * of[1 + s];
        if (told < something)
            return;
        it.jobs += static_cast<std::uint32_t>(jobs.size());
        std::array<double, 3>& loud = loud_[coin];
        for (const std::uint32_t job : jobs) {
            std::size_t place = loud.size();
            while (place > 0 && told > loud[place - 1])
                --place;
            if (place == loud.size())
                return;
            for (std::size_t i = loud.size() - 1; i > place; --i) {
                loud[i] = loud[i - 1];
                it.loudest[i] = it.loudest[i - 1];
            }
            loud[place] = told;
            it.loudest[place] = job;
        }
    }

    const std::vector<Coin>& coins_;
    const CoinRow& row_;
    std::vector<std::vector<double>> mean_;    // [coin][side]
    std::vector<double> precision_;            // [coin] of a rate, gained
    std::vector<std::array<double, 3>> loud_;  // [coin] what the loudest told
    std::vector<CoinLearned> out_;
};

}  // namespace

std::vector<CoinLearned> certainty_of(const std::vector<Coin>& coins, const LessonBook& book,
                                      Counting& counting, std::span<const double> strengths) {
    Certainty certainty(coins, counting.row(), strengths);
    counting.each_lesson(strengths, [&](std::size_t lesson, const Tosses& heard) {
        certainty.take_lesson(heard, book.lessons()[lesson].jobs);
    });
    std::vector<double> told(counting.row().size(), 0.0);
    counting.tell_silences(
        strengths,
        [&](const Tosses& heard, double jobs, std::vector<double>& sum) {
            certainty.tell_silence(heard, jobs, sum);
        },
        told);
    counting.tell_quiets(
        strengths,
        [&](const Tosses& heard, double jobs, std::vector<double>& sum) {
            certainty.tell_quiet(heard, jobs, sum);
        },
        told);
    return certainty.all(told);
}

}  // namespace knockwell
