#include "learning/counting.hpp"

#include "base/side_by_side.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace knockwell {

double quiet_share(double log_chance) { return std::min(std::exp(log_chance), 1 - 1e-12); }

Counting::Counting(const Model& model, const std::vector<Coin>& coins, const LessonBook& book,
                   std::size_t every)
    : book_(book),
      row_(coins), hearers_{Hearer(model, coins, row_, book), Hearer(model, coins, row_, book)},
      possible_(book.lessons().size(), 1), every_(every), quiet_jobs_(book.quiets().size(), 0.0),
      silence_jobs_(book.silences().size(), 0.0), lessons_(book.lessons().size(), every),
      silences_(book.silences().size(), 1) {}

/// hear(hearer, which, sum) for all of a list.
template <class List, class Hear>
void Counting::share_out(const List& list, std::vector<double>& counted, Hear hear) {
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
            counted[i] += sum.counted[i];
    }
}

void Counting::count(std::span<const double> strengths) {
    counted_.assign(row_.size(), 0.0);
    log_jobs_ = 0;
    count_lessons(strengths);
    if (!counted_before_)
        count_jobs();
    count_silences(strengths);
    count_quiets(strengths);
    if (!counted_before_)
        for (Turns* turns : {&lessons_, &silences_})
            turns->settle();
    counted_before_ = true;
}

double Counting::log_of_a_job() const {
    return log_jobs_ / static_cast<double>(std::max<std::size_t>(1, jobs_));
}

std::optional<Tosses> Counting::hear_lesson(Hearer& hearer, std::size_t lesson,
                                            std::span<const double> strengths) const {
    if (possible_[lesson] == 0)
        return std::nullopt;
    return hearer.hear(book_.lessons()[lesson].testimony, strengths);
}

/// Which jobs can be at all, once each was heard.
void Counting::count_jobs() {
    for (std::size_t i = 0; i < possible_.size(); i += every_)
        for (const std::uint32_t job : book_.lessons()[i].jobs) {
            if (possible_[i] == 0) {
                impossible_.push_back(book_.ids()[job]);
                continue;
            }
            book_.each_silence(i, job, [&](std::uint32_t at) { silence_jobs_[at] += 1; });
            quiet_jobs_[book_.quiet_of()[job]] += 1;
            ++jobs_;
        }
    quiets_ = Batches(book_, hearers_.front().installations(), quiet_jobs_);
}

void Counting::count_lessons(std::span<const double> strengths) {
    share_out(lessons_, counted_, [&](Hearer& hearer, std::size_t i, Heard& sum) {
        const std::optional<Tosses> heard = hear_lesson(hearer, i, strengths);
        if (!counted_before_) {
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

void Counting::count_silences(std::span<const double> strengths) {
    share_out(silences_, counted_, [&](Hearer& hearer, std::size_t i, Heard& sum) {
        if (!(silence_jobs_[i] > 0))
            return;
        const auto heard = hearer.hear(book_.silences()[i], strengths);
        if (!heard)
            return;
        if (!counted_before_)
            silences_.note(i, heard->shape);
        const double jobs = silence_jobs_[i];
        sum.log_jobs += jobs * heard->log_chance;
        add(*heard, jobs, sum.counted);
    });
}

void Counting::count_quiets(std::span<const double> strengths) {
    for (Hearer& hearer : hearers_)
        hearer.installations().begin(strengths);
    share_out(quiets_, counted_, [&](Hearer& hearer, const Batch& batch, Heard& sum) {
        if (book_.has_tables() || !hear_at_once(hearer, batch, sum))
            hear_by_themselves(hearer, batch, strengths, sum);
    });
    for (Hearer& hearer : hearers_)
        add(hearer.heard_there(strengths), 1, counted_);
}

/// Where the symptoms cannot all be absent, every installation calls.
bool Counting::hear_at_once(Hearer& hearer, const Batch& batch, Heard& sum) const {
    std::vector<const Installations::Settings*> known;
    for (const std::uint32_t i : batch)
        known.push_back(&book_.quiets()[i].settings);
    return hearer.installations().add(known, [&](std::size_t which, double log_chance) {
        return count_quiet(batch[which], log_chance, sum);
    });
}

void Counting::hear_by_themselves(Hearer& hearer, const Batch& batch,
                                  std::span<const double> strengths, Heard& sum) const {
    for (const std::uint32_t i : batch)
        if (const auto heard = hearer.hear(book_.quiets()[i], strengths))
            add(*heard, count_quiet(i, heard->log_chance, sum), sum.counted);
}

/// How many installations there are besides, from which no call came.
double Counting::count_quiet(std::uint32_t which, double log_chance, Heard& sum) const {
    const double quiet = quiet_share(log_chance);
    sum.log_jobs -= quiet_jobs_[which] * std::log1p(-quiet);
    return quiet_jobs_[which] * quiet / (1 - quiet);
}

void Counting::add(const Tosses& tosses, double times, std::vector<double>& counted) const {
    const double* number = tosses.numbers.data();
    for (const std::uint32_t coin : tosses.coins)
        for (std::size_t i = 0; i < row_.count(coin); ++i)
            counted[row_.first(coin) + i] += times * *number++;
}

/// They are heard two at a time and handed on in their order.
void Counting::each_lesson(std::span<const double> strengths,
                           const std::function<void(std::size_t, const Tosses&)>& act) {
    constexpr std::size_t batch = 256;
    const std::size_t all = book_.lessons().size();
    std::vector<std::optional<Tosses>> heard(std::min(all, batch));
    for (std::size_t from = 0; from < all; from += batch) {
        const std::size_t n = std::min(batch, all - from);
        const auto work = [&](std::size_t mine) {
            for (std::size_t i = mine; i < n; i += 2)
                heard[i] = hear_lesson(hearers_[mine], from + i, strengths);
        };
        side_by_side([&] { work(0); }, [&] { work(1); });
        for (std::size_t i = 0; i < n; ++i)
            if (heard[i])
                act(from + i, *heard[i]);
    }
}

void Counting::tell_silences(std::span<const double> strengths, const Tell& tell,
                             std::vector<double>& sum) {
    share_out(silences_, sum, [&](Hearer& hearer, std::size_t i, Heard& mine) {
        if (!(silence_jobs_[i] > 0))
            return;
        if (const auto heard = hearer.hear(book_.silences()[i], strengths))
            tell(*heard, silence_jobs_[i], mine.counted);
    });
}

void Counting::tell_quiets(std::span<const double> strengths, const Tell& tell,
                           std::vector<double>& sum) {
    share_out(quiets_, sum, [&](Hearer& hearer, const Batch& batch, Heard& mine) {
        for (const std::uint32_t i : batch)
            if (const auto heard = hearer.hear(book_.quiets()[i], strengths))
                tell(*heard, quiet_jobs_[i], mine.counted);
    });
}

}  // namespace knockwell
