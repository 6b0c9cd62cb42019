#include "learning/learn.hpp"

#include "base/side_by_side.hpp"
#include "learning/hearer.hpp"
#include "learning/squarem.hpp"
#include "learning/turns.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>
#include <utility>

namespace knockwell {
namespace {

double log_odds(double p) { return std::log(p) - std::log1p(-p); }
double of_log_odds(double a) { return 1 / (1 + std::exp(-a)); }

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

/// What one of two hearers heard of its share, added up.
struct Heard {
    std::vector<double> counted;  // as the row
    double log_jobs = 0;
};

class Learning {
public:
    Learning(const Model& model, const std::vector<Coin>& coins, const LessonBook& book,
             const HowToLearn& how, std::size_t every = 1)
        : written_(model.network->point), coins_(coins), book_(book), how_(how),
          row_(coins), hearers_{Hearer(model, coins, row_, book), Hearer(model, coins, row_, book)},
          strengths_(written_), possible_(book.lessons().size(), 1), every_(every),
          quiet_jobs_(book.quiets().size(), 0.0), silence_jobs_(book.silences().size(), 0.0),
          lessons_(book.lessons().size(), every), silences_(book.silences().size(), 1) {}

    /// `guess`: numbers to go on from where they are likelier than those that are written.
    LearnedNumbers run(const std::vector<double>& guess) {
        find(guess);
        tell_cases();
        out_.strengths = strengths_;
        return std::move(out_);
    }

    /// The likeliest numbers.
    std::vector<double> find(const std::vector<double>& guess) {
        out_.settled = false;
        Squarem steps(coins_, how_.hasten);
        double before = 0;
        bool guessed = false;
        for (std::size_t round = 0; round <= how_.most_rounds; ++round) {
            const double now = count();
            if (round == 0)
                out_.log_before = a_job();
            if (how_.progress)
                how_.progress(round, how_.most_rounds + 1);
            if (std::exchange(guessed, false)) {
                const bool good = now >= before;
                before = -std::numeric_limits<double>::infinity();  // no round of EM led here
                if (!good) {
                    strengths_ = written_;
                    out_.rounds.pop_back();
                    continue;
                }
            }
            if (round > 0 && steps.leapt() && !(now >= before)) {
                strengths_ = steps.instead();
                continue;
            }
            out_.rounds.push_back(now);
            out_.log_after = a_job();
            const double enough =
                how_.enough * static_cast<double>(std::max<std::size_t>(1, out_.jobs));
            if (round > 0 && !steps.leapt() && now - before < enough) {
                out_.settled = true;
                break;
            }
            before = now;
            if (round == how_.most_rounds)
                break;
            if (round == 0 && !guess.empty()) {
                strengths_ = guess;
                guessed = true;
                continue;
            }
            const std::vector<double> from = strengths_;
            take_numbers();
            strengths_ = steps.next(from, strengths_);
        }
        return strengths_;
    }

    /// Under other numbers; nothing is learned.
    double log_under(std::span<const double> strengths) {
        strengths_.assign(strengths.begin(), strengths.end());
        count();
        return a_job();
    }

private:
    /// hear(hearer, which, sum) for all of a list, by two side by side; what they heard is added
    /// up in the same order whoever comes first.
    template <class List, class Hear>
    void share_out(const List& list, Hear hear) {
        std::array<Heard, 2> sums;
        for (Heard& sum : sums)
            sum.counted.assign(row_.size(), 0.0);
        const auto work = [&](std::size_t mine) {
            list.each(mine, [&](const auto& which) { hear(hearers_[mine], which, sums[mine]); });
        };
        side_by_side([&] { work(0); }, [&] { work(1); });
        for (const Heard& sum : sums) {
            log_jobs_ += sum.log_jobs;
            for (std::size_t i = 0; i < sum.counted.size(); ++i)
                counted_[i] += sum.counted[i];
        }
    }

    /// Hears all lessons, two at a time, and hands them on in their order.
    template <class Count>
    void each_lesson(Count count) {
        constexpr std::size_t batch = 256;
        const std::size_t all = book_.lessons().size();
        std::vector<std::optional<Tosses>> heard(std::min(all, batch));
        for (std::size_t from = 0; from < all; from += batch) {
            const std::size_t n = std::min(batch, all - from);
            const auto work = [&](std::size_t mine) {
                for (std::size_t i = mine; i < n; i += 2)
                    heard[i] = hear_lesson(hearers_[mine], from + i);
            };
            side_by_side([&] { work(0); }, [&] { work(1); });
            for (std::size_t i = 0; i < n; ++i)
                count(from + i, heard[i]);
        }
    }

    [[nodiscard]] std::optional<Tosses> hear_lesson(Hearer& hearer, std::size_t i) const {
        if (possible_[i] == 0)
            return std::nullopt;
        return hearer.hear(book_.lessons()[i].testimony, strengths_);
    }

    /// Which jobs can be at all, once each was heard.
    void count_jobs() {
        for (std::size_t i = 0; i < possible_.size(); i += every_)
            for (const std::uint32_t job : book_.lessons()[i].jobs) {
                if (possible_[i] == 0) {
                    out_.impossible.push_back(book_.ids()[job]);
                    continue;
                }
                book_.each_silence(i, job, [&](std::uint32_t at) { silence_jobs_[at] += 1; });
                quiet_jobs_[book_.quiet_of()[job]] += 1;
                ++out_.jobs;
            }
        quiets_ = Batches(book_, hearers_.front().installations(), quiet_jobs_);
    }

    [[nodiscard]] double a_job() const {
        return log_jobs_ / static_cast<double>(std::max<std::size_t>(1, out_.jobs));
    }

    /// Where all is quiet nobody calls; never everywhere.
    static double quiet_share(double log_chance) {
        return std::min(std::exp(log_chance), 1 - 1e-12);
    }

    /// Counts every coin under the numbers as they are; returns what is to be the most.
    double count() {
        counted_.assign(row_.size(), 0.0);
        log_jobs_ = 0;
        count_lessons();
        if (!heard_before_)
            count_jobs();
        count_silences();
        count_quiets();
        if (!heard_before_)
            for (Turns* turns : {&lessons_, &silences_})
                turns->settle();
        heard_before_ = true;
        double all = log_jobs_;
        for (const Coin& coin : coins_)
            all += of_written(coin);
        return all;
    }

    void count_lessons() {
        share_out(lessons_, [&](Hearer& hearer, std::size_t i, Heard& sum) {
            const std::optional<Tosses> heard = hear_lesson(hearer, i);
            if (!heard_before_) {
                possible_[i] = heard ? 1 : 0;
                lessons_.note(i, heard ? heard->shape : 0);
            }
            if (!heard) {
                // What the written numbers allow no others may exclude.
                if (possible_[i] != 0)
                    sum.log_jobs = -std::numeric_limits<double>::infinity();
                return;
            }
            const auto jobs = static_cast<double>(book_.lessons()[i].jobs.size());
            sum.log_jobs += jobs * heard->log_chance;
            add(*heard, jobs, sum.counted);
        });
    }

    void count_silences() {
        share_out(silences_, [&](Hearer& hearer, std::size_t i, Heard& sum) {
            if (!(silence_jobs_[i] > 0))
                return;
            const auto heard = hearer.hear(book_.silences()[i], strengths_);
            if (!heard)
                return;
            if (!heard_before_)
                silences_.note(i, heard->shape);
            const double jobs = silence_jobs_[i];
            sum.log_jobs += jobs * heard->log_chance;
            add(*heard, jobs, sum.counted);
        });
    }

    void count_quiets() {
        for (Hearer& hearer : hearers_)
            hearer.installations().begin(strengths_);
        share_out(quiets_, [&](Hearer& hearer, const Batch& batch, Heard& sum) {
            if (book_.has_tables() || !hear_at_once(hearer, batch, sum))
                hear_by_themselves(hearer, batch, sum);
        });
        for (Hearer& hearer : hearers_)
            add(hearer.heard_there(strengths_), 1, counted_);
    }

    /// Where the symptoms cannot all be absent, every installation calls.
    bool hear_at_once(Hearer& hearer, const Batch& batch, Heard& sum) const {
        std::vector<const Installations::Settings*> known;
        for (const std::uint32_t i : batch)
            known.push_back(&book_.quiets()[i].settings);
        return hearer.installations().add(known, [&](std::size_t which, double log_chance) {
            return count_quiet(batch[which], log_chance, sum);
        });
    }

    void hear_by_themselves(Hearer& hearer, const Batch& batch, Heard& sum) const {
        for (const std::uint32_t i : batch)
            if (const auto heard = hearer.hear(book_.quiets()[i], strengths_))
                add(*heard, count_quiet(i, heard->log_chance, sum), sum.counted);
    }

    /// How many installations there are besides, from which no call came.
    double count_quiet(std::uint32_t i, double log_chance, Heard& sum) const {
        const double quiet = quiet_share(log_chance);
        sum.log_jobs -= quiet_jobs_[i] * std::log1p(-quiet);
        return quiet_jobs_[i] * quiet / (1 - quiet);
    }

    void add(const Tosses& tosses, double times, std::vector<double>& counted) const {
        const double* number = tosses.numbers.data();
        for (const std::uint32_t coin : tosses.coins)
            for (std::size_t i = 0; i < row_.count(coin); ++i)
                counted[row_.first(coin) + i] += times * *number++;
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
        if (coin.left != Coin::none)
            strengths_[coin.left] = 1 - strengths_[coin.sides.front().strength];
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
        each_lesson([&](std::size_t lesson, const std::optional<Tosses>& heard) {
            if (!heard)
                return;
            const std::vector<std::uint32_t>& jobs = book_.lessons()[lesson].jobs;
            const double* number = heard->numbers.data();
            for (const std::uint32_t coin : heard->coins) {
                const std::span<const double> of(number, row_.count(coin));
                number += row_.count(coin);
                double told = 0;
                for (std::size_t i = 0; i < jobs.size(); ++i)
                    told = hear_case(coin, of, mean[coin], precision[coin]);
                note(coin, of, told, jobs, loud[coin]);
            }
        });
        tell_silences();
        tell_quiet();
        for (std::size_t i = 0; i < coins_.size(); ++i)
            precision[i] += counted_[row_.first(static_cast<std::uint32_t>(i))];
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

    /// What a list tells of rates, into the first place of each in `counted_`.
    void tell_silences() {
        counted_.assign(row_.size(), 0.0);
        share_out(silences_, [&](Hearer& hearer, std::size_t i, Heard& sum) {
            if (!(silence_jobs_[i] > 0))
                return;
            const auto heard = hearer.hear(book_.silences()[i], strengths_);
            if (!heard)
                return;
            const double* number = heard->numbers.data();
            for (const std::uint32_t coin : heard->coins) {
                if (coins_[coin].kind == Coin::Kind::rate)
                    sum.counted[row_.first(coin)] +=
                        silence_jobs_[i] * told_of_rate(number[0], number[1], number[2]);
                number += row_.count(coin);
            }
        });
    }

    /// What it tells of rates that there is no call from most installations: their number hangs on
    /// chance too, as that of failures before a success.
    void tell_quiet() {
        share_out(quiets_, [&](Hearer& hearer, const Batch& batch, Heard& sum) {
            for (const std::uint32_t i : batch)
                if (const auto heard = hearer.hear(book_.quiets()[i], strengths_))
                    tell_quiet(*heard, quiet_jobs_[i], sum);
        });
    }

    void tell_quiet(const Tosses& tosses, double jobs, Heard& sum) const {
        const double quiet = quiet_share(tosses.log_chance);
        const double times = quiet / (1 - quiet);
        const double* number = tosses.numbers.data();
        for (const std::uint32_t coin : tosses.coins) {
            if (coins_[coin].kind == Coin::Kind::rate) {
                const double off = number[1] - number[2];
                sum.counted[row_.first(coin)] +=
                    jobs * (times * told_of_rate(number[0], number[1], number[2]) -
                            times / (1 - quiet) * off * off);
            }
            number += row_.count(coin);
        }
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
            // One look may miss several triggers: so many tosses, taken as if each by itself.
            const double times = std::max(1.0, std::ceil(of[0] - 1e-9));
            std::vector<double> sides(of.begin() + 1, of.end());
            for (double& side : sides)
                side /= times;
            for (double i = 0; i < times; ++i)
                cases = cases_after(cases, mean, {of[0] / times, sides});
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
    std::vector<std::uint8_t> possible_;  // [lesson]
    std::size_t every_;                   // lesson that is heard
    std::vector<double> quiet_jobs_;      // [quiet]
    std::vector<double> silence_jobs_;    // [silence]
    Turns lessons_, silences_;
    Batches quiets_;
    bool heard_before_ = false;
    std::vector<double> counted_;  // as the row
    double log_jobs_ = 0;
    LearnedNumbers out_;
};

/// Adds -ln P(the causes named | what was found) for each job of a lesson, where they were seen.
void add_score(Expecting& expecting, const Lesson& lesson, std::span<const double> strengths,
               CauseScore& score) {
    const auto& [evidence, said] = lesson.testimony;
    if (!said.causes.empty() || !(said.unnamed < 1))
        return;  // nobody saw it
    Evidence open = evidence;
    SaidOfCauses nothing;
    for (const KnownCause& known : open.causes)
        if (known.present)
            nothing.causes.push_back({known, 1});
    std::erase_if(open.causes, [](const KnownCause& it) { return it.present; });
    const Expected* const named = expecting.of(evidence, strengths, said);
    if (named == nullptr)
        return;
    const double log_named = named->log_evidence;
    const Expected* const before = expecting.of(open, strengths, nothing);
    if (before == nullptr)
        return;
    score.mean += static_cast<double>(lesson.jobs.size()) * (before->log_evidence - log_named);
    score.jobs += lesson.jobs.size();
}

}  // namespace

LearnedNumbers learn(const Model& model, const std::vector<Coin>& coins, const LessonBook& book,
                     const HowToLearn& how) {
    constexpr std::size_t more = 10;
    // In a part the numbers that are likeliest for all lie about half a nat a coin below its own
    // (S. S. Wilks, Ann. Math. Statist. 9, 1938, pp. 60-62): what gains a small share of that is
    // not looked for.
    constexpr double nats_a_coin = 0.02;
    std::vector<double> guess;
    for (std::size_t every = book.lessons().size() / std::max<std::size_t>(1, how.part); every > 1;
         every /= more) {
        HowToLearn roughly = how;
        roughly.enough = std::max(how.enough, nats_a_coin * static_cast<double>(coins.size()) *
                                                  static_cast<double>(every) /
                                                  static_cast<double>(book.ids().size()));
        guess = Learning(model, coins, book, roughly, every).find(guess);
    }
    return Learning(model, coins, book, how).run(guess);
}

CauseScore score_of_causes(const Model& model, const LessonBook& book,
                           std::span<const double> strengths) {
    constexpr std::size_t most = 20'000;
    const std::size_t every = 1 + book.lessons().size() / most;
    std::array<CauseScore, 2> halves;  // `mean` is the sum until the end
    const auto work = [&](std::size_t mine) {
        Expecting expecting(model);
        for (std::size_t i = mine * every; i < book.lessons().size(); i += halves.size() * every)
            add_score(expecting, book.lessons()[i], strengths, halves[mine]);
    };
    side_by_side([&] { work(0); }, [&] { work(1); });
    CauseScore score{halves[0].mean + halves[1].mean, halves[0].jobs + halves[1].jobs};
    score.mean = score.jobs == 0 ? 0 : score.mean / static_cast<double>(score.jobs);
    return score;
}

double mean_log_chance(const Model& model, const LessonBook& book,
                       std::span<const double> strengths) {
    const std::vector<Coin> none;
    return Learning(model, none, book, {}).log_under(strengths);
}

}  // namespace knockwell
