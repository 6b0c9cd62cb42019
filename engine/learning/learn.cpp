#include "learning/learn.hpp"

#include "learning/tosses.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>
#include <thread>
#include <utility>

namespace knockwell {
namespace {

constexpr std::size_t batch = 64;  // lessons that are worked out before they are counted

double log_odds(double p) { return std::log(p) - std::log1p(-p); }
double of_log_odds(double a) { return 1 / (1 + std::exp(-a)); }

/// A lesson, or an installation where all was quiet, under the numbers as they are.
struct HeardLesson {
    bool possible = false;
    Tosses tosses;
};

/// Whoever hears lessons; each has room of its own, so that two may work side by side.
class Hearer {
public:
    Hearer(const Model& model, const std::vector<Coin>& coins, const CoinRow& row)
        : tosser_(model, coins, row), row_(&row), sum_(row.size(), 0.0), met_(coins.size(), false) {
    }

    [[nodiscard]] HeardLesson hear(const std::vector<Way>& ways,
                                   std::span<const double> strengths) {
        std::vector<Tosses> all;
        for (const Way& way : ways)
            if (auto one = tosser_.of(way.evidence, strengths, way.unnamed)) {
                one->log_chance += std::log(way.share);
                all.push_back(*std::move(one));
            }
        if (all.empty())
            return {};
        if (all.size() == 1)
            return {true, std::move(all.front())};
        return {true, mixed(all)};
    }

    [[nodiscard]] HeardLesson hear(const Evidence& evidence, std::span<const double> strengths) {
        if (auto one = tosser_.of(evidence, strengths))
            return {true, *std::move(one)};
        return {};
    }

private:
    /// Each way as often as it is likely.
    Tosses mixed(const std::vector<Tosses>& all) {
        double most = all.front().log_chance;
        for (const Tosses& one : all)
            most = std::max(most, one.log_chance);
        double sum = 0;
        for (const Tosses& one : all)
            sum += std::exp(one.log_chance - most);
        Tosses mix;
        mix.log_chance = most + std::log(sum);
        for (const Tosses& one : all) {
            const double share = std::exp(one.log_chance - most) / sum;
            const double* number = one.numbers.data();
            for (const std::uint32_t coin : one.coins) {
                if (!met_[coin])
                    mix.coins.push_back(coin);
                met_[coin] = true;
                for (std::size_t i = 0; i < row_->count(coin); ++i)
                    sum_[row_->first(coin) + i] += share * *number++;
            }
        }
        for (const std::uint32_t coin : mix.coins) {
            met_[coin] = false;
            for (std::size_t i = 0; i < row_->count(coin); ++i)
                mix.numbers.push_back(std::exchange(sum_[row_->first(coin) + i], 0.0));
        }
        return mix;
    }

    Tosser tosser_;
    const CoinRow* row_;
    std::vector<double> sum_;
    std::vector<bool> met_;
};

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

class Learning {
public:
    Learning(const Model& model, const std::vector<Coin>& coins, const LessonBook& book,
             const HowToLearn& how)
        : written_(model.network->point), coins_(coins), book_(book), how_(how),
          row_(coins), hearers_{Hearer(model, coins, row_), Hearer(model, coins, row_)},
          strengths_(written_), possible_(book.lessons().size(), true),
          quiet_jobs_(book.quiets().size(), 0.0) {}

    LearnedNumbers run() {
        drop_impossible();
        out_.settled = false;
        for (std::size_t round = 0; round <= how_.most_rounds; ++round) {
            const double before = count();
            if (round == 0)
                out_.log_before = a_job();
            out_.log_after = a_job();
            out_.rounds.push_back(before);
            if (how_.progress)
                how_.progress(round, how_.most_rounds + 1);
            const double enough =
                how_.enough * static_cast<double>(std::max<std::size_t>(1, out_.jobs));
            if (round > 0 && before - out_.rounds[round - 1] < enough) {
                out_.settled = true;
                break;
            }
            if (round < how_.most_rounds)
                take_numbers();
        }
        tell_cases();
        out_.strengths = strengths_;
        return std::move(out_);
    }

    /// Under other numbers; nothing is learned.
    double log_under(std::span<const double> strengths) {
        strengths_.assign(strengths.begin(), strengths.end());
        drop_impossible();
        each_silence([&](std::size_t i, const HeardLesson& heard) {
            if (heard.possible)
                log_jobs_ += book_.silences()[i].jobs * heard.tosses.log_chance;
        });
        each_quiet([&](std::size_t i, const HeardLesson& heard) {
            if (heard.possible)
                log_jobs_ -= quiet_jobs_[i] * std::log1p(-quiet_share(heard));
        });
        return a_job();
    }

private:
    /// Hears all of a list, two at a time, and counts them in their order.
    template <class Hear, class Count>
    void each(std::size_t all, Hear hear, Count count) {
        std::vector<HeardLesson> heard(std::min(all, batch));
        for (std::size_t from = 0; from < all; from += batch) {
            const std::size_t n = std::min(batch, all - from);
            const auto work = [&](Hearer& hearer, std::size_t first, std::size_t last) {
                for (std::size_t i = first; i < last; ++i)
                    heard[i] = hear(hearer, from + i);
            };
            if (n > 1) {
                const std::jthread other([&] { work(hearers_[1], n / 2, n); });
                work(hearers_[0], 0, n / 2);
            } else {
                work(hearers_[0], 0, n);
            }
            for (std::size_t i = 0; i < n; ++i)
                count(from + i, heard[i]);
        }
    }

    template <class Count>
    void each_lesson(Count count) {
        each(
            book_.lessons().size(),
            [&](Hearer& hearer, std::size_t i) {
                return possible_[i] ? hearer.hear(book_.lessons()[i].ways, strengths_)
                                    : HeardLesson{};
            },
            count);
    }

    template <class Count>
    void each_silence(Count count) {
        each(
            book_.silences().size(),
            [&](Hearer& hearer, std::size_t i) {
                return hearer.hear(book_.silences()[i].ways, strengths_);
            },
            count);
    }

    template <class Count>
    void each_quiet(Count count) {
        each(
            book_.quiets().size(),
            [&](Hearer& hearer, std::size_t i) {
                return quiet_jobs_[i] > 0
                           ? hearer.hear(book_.evidence_of(book_.quiets()[i]), strengths_)
                           : HeardLesson{};
            },
            count);
    }

    void drop_impossible() {
        each_lesson([&](std::size_t i, const HeardLesson& heard) {
            possible_[i] = heard.possible;
            for (const std::uint32_t job : book_.lessons()[i].jobs) {
                if (!heard.possible) {
                    out_.impossible.push_back(book_.ids()[job]);
                    continue;
                }
                quiet_jobs_[book_.quiet_of()[job]] += 1;
                log_jobs_ += heard.tosses.log_chance;
                ++out_.jobs;
            }
        });
    }

    [[nodiscard]] double a_job() const {
        return log_jobs_ / static_cast<double>(std::max<std::size_t>(1, out_.jobs));
    }

    /// Where all is quiet nobody calls; never everywhere.
    static double quiet_share(const HeardLesson& heard) {
        return std::min(std::exp(heard.tosses.log_chance), 1 - 1e-12);
    }

    /// Counts every coin under the numbers as they are; returns what is to be the most.
    double count() {
        counted_.assign(row_.size(), 0.0);
        log_jobs_ = 0;
        each_lesson([&](std::size_t i, const HeardLesson& heard) {
            if (!heard.possible)
                return;
            const auto jobs = static_cast<double>(book_.lessons()[i].jobs.size());
            log_jobs_ += jobs * heard.tosses.log_chance;
            add(heard.tosses, jobs);
        });
        each_silence([&](std::size_t i, const HeardLesson& heard) {
            if (!heard.possible)
                return;
            const double jobs = book_.silences()[i].jobs;
            log_jobs_ += jobs * heard.tosses.log_chance;
            add(heard.tosses, jobs);
        });
        each_quiet([&](std::size_t i, const HeardLesson& heard) {
            // Where the symptoms cannot all be absent, every installation calls.
            if (!heard.possible)
                return;
            const double quiet = quiet_share(heard);
            log_jobs_ -= quiet_jobs_[i] * std::log1p(-quiet);
            add(heard.tosses, quiet_jobs_[i] * quiet / (1 - quiet));
        });
        double all = log_jobs_;
        for (const Coin& coin : coins_)
            all += of_written(coin);
        return all;
    }

    void add(const Tosses& tosses, double times) {
        const double* number = tosses.numbers.data();
        for (const std::uint32_t coin : tosses.coins)
            for (std::size_t i = 0; i < row_.count(coin); ++i)
                counted_[row_.first(coin) + i] += times * *number++;
    }

    /// What the written count of a coin says of its numbers.
    [[nodiscard]] double of_written(const Coin& coin) const {
        if (coin.spread > 0) {
            const StrengthIndex at = coin.sides.front().strength;
            const double off = (log_odds(strengths_[at]) - log_odds(written_[at])) / coin.spread;
            return -off * off / 2;
        }
        double all = 0;
        double rest = 1;
        for (const CoinSide& side : coin.sides) {
            all += side.weight * std::log(strengths_[side.strength]);
            rest -= strengths_[side.strength];
        }
        return all + coin.rest * std::log(std::max(rest, 1e-300));
    }

    /// The numbers that the counts give.
    void take_numbers() {
        for (std::uint32_t i = 0; i < coins_.size(); ++i) {
            const double* counted = counted_.data() + row_.first(i);
            if (!(counted[0] > 0))
                continue;
            if (coins_[i].kind == Coin::Kind::rate)
                take_rate(coins_[i], counted[0], counted[1], counted[2]);
            else
                take_shares(coins_[i], counted);
        }
    }

    void take_shares(const Coin& coin, const double* counted) {
        const double all = coin.cases() + counted[0];
        for (std::size_t s = 0; s < coin.sides.size(); ++s)
            strengths_[coin.sides[s].strength] = (coin.sides[s].weight + counted[1 + s]) / all;
    }

    /// The odds times d: the most of a concave function of ln d, by Newton's steps.
    void take_rate(const Coin& coin, double tosses, double fallen, double chances) {
        constexpr double longest = 1;
        constexpr int most = 60;
        const StrengthIndex at = coin.sides.front().strength;
        const double from = log_odds(strengths_[at]);
        const double chance = std::clamp(chances / tosses, 1e-300, 1 - 1e-12);
        const double odds = log_odds(chance);
        double by = 0;
        for (int i = 0; i < most; ++i) {
            const double r = of_log_odds(odds + by);
            const double p = of_log_odds(from + by);
            double slope = fallen - tosses * r;
            double bend = tosses * r * (1 - r);
            if (coin.spread > 0) {
                const double precision = 1 / (coin.spread * coin.spread);
                slope -= (from + by - log_odds(written_[at])) * precision;
                bend += precision;
            } else {
                slope += coin.sides.front().weight * (1 - p) - coin.rest * p;
                bend += coin.cases() * p * (1 - p);
            }
            const double step = std::clamp(slope / bend, -longest, longest);
            by += step;
            if (std::abs(step) < 1e-13)
                break;
        }
        strengths_[at] = of_log_odds(from + by);
    }

    /// How sure one may be of what was learned.
    void tell_cases() {
        std::vector<std::vector<double>> mean;
        std::vector<double> precision(coins_.size(), 0.0);
        std::vector<std::array<double, 3>> loud(coins_.size(), {0, 0, 0});
        for (const Coin& coin : coins_) {
            CoinLearned& it = out_.coins.emplace_back();
            it.fallen.assign(coin.sides.size(), 0.0);
            it.cases = coin.cases();
            it.spread = coin.spread;
            std::vector<double>& of = mean.emplace_back();
            for (const CoinSide& side : coin.sides)
                of.push_back(strengths_[side.strength]);
        }
        each_lesson([&](std::size_t lesson, const HeardLesson& heard) {
            if (!heard.possible)
                return;
            const std::vector<std::uint32_t>& jobs = book_.lessons()[lesson].jobs;
            const double* number = heard.tosses.numbers.data();
            for (const std::uint32_t coin : heard.tosses.coins) {
                const std::span<const double> of(number, row_.count(coin));
                number += row_.count(coin);
                double told = 0;
                for (std::size_t i = 0; i < jobs.size(); ++i)
                    told = hear_case(coin, of, mean[coin], precision[coin]);
                note(coin, of, told, jobs, loud[coin]);
            }
        });
        each_silence([&](std::size_t i, const HeardLesson& heard) {
            if (!heard.possible)
                return;
            const double* number = heard.tosses.numbers.data();
            for (const std::uint32_t coin : heard.tosses.coins) {
                if (coins_[coin].kind == Coin::Kind::rate)
                    precision[coin] +=
                        book_.silences()[i].jobs * told_of_rate(number[0], number[1], number[2]);
                number += row_.count(coin);
            }
        });
        tell_quiet(precision);
        for (std::size_t i = 0; i < coins_.size(); ++i) {
            CoinLearned& it = out_.coins[i];
            it.cases = std::max(it.cases, coins_[i].cases());
            const double gained = std::max(0.0, precision[i]);
            if (coins_[i].spread > 0)
                it.spread = 1 / std::sqrt(1 / (it.spread * it.spread) + gained);
            else if (coins_[i].kind == Coin::Kind::rate)
                it.cases += gained / (mean[i][0] * (1 - mean[i][0]));
        }
    }

    /// What it tells of rates that there is no call from most installations: their number hangs on
    /// chance too, as that of failures before a success.
    void tell_quiet(std::vector<double>& precision) {
        each_quiet([&](std::size_t i, const HeardLesson& heard) {
            if (!heard.possible)
                return;
            const double quiet = quiet_share(heard);
            const double times = quiet / (1 - quiet);
            const double* number = heard.tosses.numbers.data();
            for (const std::uint32_t coin : heard.tosses.coins) {
                if (coins_[coin].kind == Coin::Kind::rate) {
                    const double off = number[1] - number[2];
                    precision[coin] +=
                        quiet_jobs_[i] * (times * told_of_rate(number[0], number[1], number[2]) -
                                          times / (1 - quiet) * off * off);
                }
                number += row_.count(coin);
            }
        });
    }

    /// Fisher's information less what is missing of it (T. A. Louis, J. R. Statist. Soc. B 44,
    /// 1982, pp. 226-233), about the logarithm of the odds.
    static double told_of_rate(double tosses, double fallen, double chances) {
        const double r = chances / tosses;
        const double off = fallen - chances;
        return tosses * r * (1 - r) -
               (fallen * (1 - r) * (1 - r) + (tosses - fallen) * r * r - off * off);
    }

    /// One job more; what it told, in cases of a share or in the precision of a rate's odds.
    double hear_case(std::uint32_t coin, std::span<const double> of,
                     const std::vector<double>& mean, double& precision) {
        if (coins_[coin].kind != Coin::Kind::rate) {
            double& cases = out_.coins[coin].cases;
            const double before = cases;
            cases = cases_after(cases, mean, {of[0], of.subspan(1)});
            return std::abs(cases - before);
        }
        precision += told_of_rate(of[0], of[1], of[2]);
        return std::abs(of[1] - of[2]);
    }

    void note(std::uint32_t coin, std::span<const double> of, double told,
              const std::vector<std::uint32_t>& jobs, std::array<double, 3>& loud) {
        // In cases; of a rate, in tenths of the chance that it had.
        const bool rate = coins_[coin].kind == Coin::Kind::rate;
        const double something = rate ? 0.1 * of[2] : 0.01;
        CoinLearned& it = out_.coins[coin];
        const auto times = static_cast<double>(jobs.size());
        it.tossed += times * of[0];
        for (std::size_t s = 0; s < it.fallen.size(); ++s)
            it.fallen[s] += times * of[1 + s];
        if (told < something)
            return;
        it.jobs += static_cast<std::uint32_t>(jobs.size());
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

    const std::vector<double>& written_;
    const std::vector<Coin>& coins_;
    const LessonBook& book_;
    const HowToLearn& how_;
    CoinRow row_;
    std::array<Hearer, 2> hearers_;
    std::vector<double> strengths_;
    std::vector<bool> possible_;      // [lesson]
    std::vector<double> quiet_jobs_;  // [quiet]
    std::vector<double> counted_;     // as the row
    double log_jobs_ = 0;
    LearnedNumbers out_;
};

}  // namespace

LearnedNumbers learn(const Model& model, const std::vector<Coin>& coins, const LessonBook& book,
                     const HowToLearn& how) {
    return Learning(model, coins, book, how).run();
}

CauseScore score_of_causes(const Model& model, const LessonBook& book,
                           std::span<const double> strengths) {
    CauseScore score;
    double sum = 0;
    Expecting expecting(model);
    for (const Lesson& lesson : book.lessons()) {
        const Way& way = lesson.ways.front();
        if (lesson.ways.size() != 1 || !(way.unnamed.weight < 1))
            continue;  // nobody saw it
        Evidence open = way.evidence;
        Unnamed nothing;
        for (const KnownCause& known : open.causes)
            if (known.present)
                nothing.but.push_back(known.cause);
        std::erase_if(open.causes, [](const KnownCause& it) { return it.present; });
        const auto named = expecting.of(way.evidence, strengths, way.unnamed);
        const auto before = expecting.of(open, strengths, nothing);
        if (!named || !before)
            continue;
        sum +=
            static_cast<double>(lesson.jobs.size()) * (before->log_evidence - named->log_evidence);
        score.jobs += lesson.jobs.size();
    }
    score.mean = score.jobs == 0 ? 0 : sum / static_cast<double>(score.jobs);
    return score;
}

double mean_log_chance(const Model& model, const LessonBook& book,
                       std::span<const double> strengths) {
    const std::vector<Coin> none;
    return Learning(model, none, book, {}).log_under(strengths);
}

}  // namespace knockwell
