// learning/counting.hpp
//
// How every coin fell in all jobs, expected under some numbers: the E of EM. Inside this floor
// only.
//
// Idea     lessons, what nobody spoke of, and the installations where all was quiet are each heard
//          by two hearers side by side. What they heard is added up in the same order whoever comes
//          first, so that equal jobs give equal bytes
// Held by  tests/learning/
#pragma once
#include "learning/hearer.hpp"
#include "learning/turns.hpp"

#include <array>
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace knockwell {

class Counting {
public:
    /// All must outlive it. `every`: every how manyth lesson is heard.
    Counting(const Model& model, const std::vector<Coin>& coins, const LessonBook& book,
             std::size_t every);

    /// Counts every coin in all jobs. The first time it is also found which jobs can be at all.
    void count(std::span<const double> strengths);

    /// [CoinRow] Tosses and falls, of the last count.
    [[nodiscard]] std::span<const double> of(std::uint32_t coin) const {
        return std::span(counted_).subspan(row_.first(coin), row_.count(coin));
    }
    /// Sum of ln(P(found) / P(call)), of the last count; minus infinity where a job cannot be.
    [[nodiscard]] double log_jobs() const { return log_jobs_; }
    [[nodiscard]] double log_of_a_job() const;
    [[nodiscard]] std::size_t jobs() const { return jobs_; }
    /// Jobs that the first numbers exclude, or that are too wide.
    [[nodiscard]] const std::vector<std::string>& impossible() const { return impossible_; }

    /// After a count: act(lesson, its tosses) for every lesson that can be, in their order.
    void each_lesson(std::span<const double> strengths,
                     const std::function<void(std::size_t, const Tosses&)>& act);
    /// What tell(tosses, in so many jobs, sum) adds up of what nobody spoke of, and of the
    /// installations where all was quiet. [CoinRow]
    using Tell = std::function<void(const Tosses&, double jobs, std::vector<double>& sum)>;
    void tell_silences(std::span<const double> strengths, const Tell& tell,
                       std::vector<double>& sum);
    void tell_quiets(std::span<const double> strengths, const Tell& tell, std::vector<double>& sum);

    [[nodiscard]] const CoinRow& row() const { return row_; }

private:
    /// What one of two hearers heard of its share, added up.
    struct Heard {
        std::vector<double> counted;  // as the row
        double log_jobs = 0;
    };

    template <class List, class Hear>
    void share_out(const List& list, std::vector<double>& counted, Hear hear);
    [[nodiscard]] std::optional<Tosses> hear_lesson(Hearer& hearer, std::size_t lesson,
                                                    std::span<const double> strengths) const;
    void count_jobs();
    void count_lessons(std::span<const double> strengths);
    void count_silences(std::span<const double> strengths);
    void count_quiets(std::span<const double> strengths);
    bool hear_at_once(Hearer& hearer, const Batch& batch, Heard& sum) const;
    void hear_by_themselves(Hearer& hearer, const Batch& batch, std::span<const double> strengths,
                            Heard& sum) const;
    double count_quiet(std::uint32_t which, double log_chance, Heard& sum) const;
    void add(const Tosses& tosses, double times, std::vector<double>& counted) const;

    const LessonBook& book_;
    CoinRow row_;
    std::array<Hearer, 2> hearers_;
    std::vector<std::uint8_t> possible_;  // [lesson]
    std::size_t every_;                   // lesson that is heard
    std::vector<double> quiet_jobs_;      // [quiet]
    std::vector<double> silence_jobs_;    // [silence]
    Turns lessons_, silences_;
    Batches quiets_;
    bool counted_before_ = false;
    std::vector<double> counted_;  // as the row
    double log_jobs_ = 0;
    std::size_t jobs_ = 0;  // that are heard
    std::vector<std::string> impossible_;
};

/// Where all is quiet nobody calls; never everywhere.
[[nodiscard]] double quiet_share(double log_chance);

}  // namespace knockwell
