#include "learning/learn.hpp"

#include "base/side_by_side.hpp"
#include "learning/certainty.hpp"
#include "learning/counting.hpp"
#include "learning/likeliest.hpp"
#include "learning/squarem.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <utility>

namespace knockwell {
namespace {

class Learning {
public:
    Learning(const Model& model, const std::vector<Coin>& coins, const LessonBook& book,
             const HowToLearn& how, std::size_t every = 1)
        : written_(model.network->point), coins_(coins), book_(book), how_(how),
          counting_(model, coins, book, every), strengths_(written_) {}

    /// `guess`: numbers to go on from where they are likelier than those that are written.
    LearnedNumbers run(const std::vector<double>& guess) {
        find(guess);
        out_.coins = certainty_of(coins_, book_, counting_, strengths_);
        out_.strengths = strengths_;
        out_.jobs = counting_.jobs();
        out_.impossible = counting_.impossible();
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
                out_.log_before = counting_.log_of_a_job();
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
            out_.log_after = counting_.log_of_a_job();
            const double enough =
                how_.enough * static_cast<double>(std::max<std::size_t>(1, counting_.jobs()));
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
            take_likeliest(coins_, counting_, written_, strengths_);
            strengths_ = steps.next(from, strengths_);
        }
        return strengths_;
    }

    /// Under other numbers; nothing is learned.
    double log_under(std::span<const double> strengths) {
        strengths_.assign(strengths.begin(), strengths.end());
        count();
        return counting_.log_of_a_job();
    }

private:
    /// Counts under the numbers as they are; returns what is to be the most.
    double count() {
        counting_.count(strengths_);
        double all = counting_.log_jobs();
        for (const Coin& coin : coins_)
            all += log_of_written(coin, written_, strengths_);
        return all;
    }

    const std::vector<double>& written_;
    const std::vector<Coin>& coins_;
    const LessonBook& book_;
    const HowToLearn& how_;
    Counting counting_;
    std::vector<double> strengths_;
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
