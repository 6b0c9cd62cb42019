// review/numbers.hpp
//
// The knowledge's numbers against the jobs: were its chances right, its first guess, its minutes;
// which tests never pay, which causes it lacks, which strengths the jobs contradict, which repairs
// do not hold.
//
// Given    closed jobs, in any order; the chances are of those drawn to be told again, all else is
//          of all
// Idea     of many jobs those with the smallest hash of their identifier are drawn: an even share,
//          the same whatever the order in which they come
// Source   see scores.hpp, statistics.hpp, strengths.hpp
// Held by  tests/review/numbers_test.cpp
#pragma once
#include "job/summary.hpp"
#include "review/replay.hpp"
#include "review/scores.hpp"
#include "review/strengths.hpp"

#include <cstdint>
#include <functional>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace knockwell {

/// How often the guesses were right, of jobs with one first complaint (empty: of all).
struct GuessLine {
    std::string complaint;  // sign; "" in the line of those without one
    std::uint64_t jobs = 0;
    std::uint64_t first_on_phone = 0;
    std::uint64_t three_on_phone = 0;  // among the first three
    std::uint64_t first = 0;           // just before the cause was known
    std::uint64_t three = 0;
};

/// A step's minutes as written and as spent; jobs where they were written down, each once, by the
/// mean of its makings there.
struct MinutesLine {
    std::string step;  // identifier
    bool repair = false;
    std::uint64_t times = 0;
    double written = 0;  // minutes
    double spent = 0;    // mean
    double ratio = 1;    // geometric mean of spent / written
    Limits limits;       // of `ratio`, 95 %; nothing at all known where it was made once
    double p = 1;
    double adjusted = 1;
};

struct TestLine {
    std::string test;
    std::uint64_t made = 0;      // jobs in which it was made
    std::uint64_t in_vain = 0;   // ... with nothing found by it
    std::uint64_t replayed = 0;  // times that it was told again
    std::uint64_t changed = 0;   // ... and another cause came first
    double bits = 0;             // mean gain for the confirmed cause
    double most_bits = 0;        // the largest
    double minutes = 0;          // written
    /// Told again often enough, and it never brought anything.
    [[nodiscard]] bool never_paid() const;
};
constexpr std::uint64_t fewest_makings = 10;
constexpr double worth_a_look = 0.1;  // bits; judgement

/// What the knowledge has no word for: a confirmed cause that it lacks, or jobs that confirmed
/// none.
struct LackingLine {
    std::string cause;  // empty: none was confirmed
    std::uint64_t jobs = 0;
    std::vector<std::pair<std::string, std::uint64_t>> with;  // "sign: value" -> jobs, most first
};

/// Minutes that were written down in jobs, of every making of a step.
struct MinutesSum {
    std::uint64_t makings = 0;
    double minutes = 0;
};

struct RepairLine {
    std::string repair;
    std::uint64_t jobs = 0;        // closed ones in which it was made
    std::uint64_t call_backs = 0;  // ... that were called back to, by jobs that may be open still
    Limits limits;                 // of the share, 95 %
    double p = 1;                  // so many or more if all repairs were alike
    double adjusted = 1;
};

struct NumbersReview {
    std::uint64_t jobs = 0;      // closed ones
    std::uint64_t drawn = 0;     // told again, as far as they could be
    std::uint64_t replayed = 0;  // with an answer
    std::map<NotReplayed, std::uint64_t> not_replayed;
    std::size_t learned = 0;  // counts of the knowledge that come from a ledger

    Scores exact;                    // every job and cause, as said
    Scores classed;                  // by the mean of each class: what the decomposition is of
    std::vector<Limits> happened;    // of classed.rows, 95 %
    double bits_on_phone = 0;        // mean of -log2 of the chance of a confirmed cause
    double bits = 0;                 // the same just before it was known
    std::vector<GuessLine> guesses;  // the first is of all jobs; then most jobs first

    MinutesSum all_spent;                 // on steps of which the knowledge has minutes
    double minutes_written = 0;           // for as many makings
    MinutesSum unwritten;                 // on the others
    std::vector<MinutesLine> minutes;     // smallest p first
    std::vector<TestLine> tests;          // least bits a time first
    std::vector<LackingLine> lacking;     // most jobs first
    std::vector<StrengthCell> strengths;  // smallest p first
    std::vector<RepairLine> repairs;      // smallest p first
    std::uint64_t call_backs = 0;         // repaired jobs that were called back to
};

/// Where the calibration's classes are cut.
[[nodiscard]] const std::vector<double>& calibration_edges();

class NumbersBook {
public:
    /// `most` jobs are told again.
    explicit NumbersBook(const Knowledge& knowledge, std::size_t most = 3000)
        : knowledge_(&knowledge), most_(most) {}

    /// Of an open job only what it is a call-back of counts. `whole` is the job itself, asked for
    /// only where it may come to be told again.
    void add(const Summary& summary, const std::function<Job()>& whole);
    void add(const Job& job) {
        add(summary_of(job), [&] { return job; });
    }

    struct Spent {
        MinutesSum all;
        std::uint64_t times = 0;  // jobs
        double minutes = 0;
        double logs = 0;  // of spent / written
        double squares = 0;
    };
    struct Made {
        std::uint64_t jobs = 0;
        std::uint64_t in_vain = 0;
    };
    struct Lack {
        std::uint64_t jobs = 0;
        std::map<std::string, std::uint64_t> with;
    };
    [[nodiscard]] NumbersReview review(const Model& model) const;

private:
    void spend(const Summary& summary);
    void note_lacking(const Summary& summary);
    void draw(const std::string& id, const std::function<Job()>& whole);
    [[nodiscard]] std::vector<MinutesLine> minutes_lines() const;
    [[nodiscard]] std::vector<LackingLine> lacking_lines() const;
    [[nodiscard]] std::vector<RepairLine> repair_lines(std::uint64_t& call_backs) const;

    const Knowledge* knowledge_;
    std::size_t most_;
    std::uint64_t jobs_ = 0;
    std::map<std::pair<bool, std::string>, Spent>
        spent_;  // by whether it is a repair, and its name
    MinutesSum unwritten_;
    std::map<std::string, Made> tests_;
    std::map<std::string, Lack> lacking_;
    std::map<std::uint64_t, Job> drawn_;  // by hash
    std::map<std::string, std::uint32_t> repair_numbers_;
    std::vector<std::pair<std::uint64_t, std::uint32_t>> repaired_;  // hash of the job, repair
    std::vector<std::uint64_t> called_back_to_;                      // hash of the earlier job
};

}  // namespace knockwell
