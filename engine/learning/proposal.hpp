// learning/proposal.hpp
//
// What was learned as other numbers in the texts, one by one; and what was written before jobs
// taught anything, so that learning begins there each time and no job counts twice.
//
// Idea     every number has a name ("cause.worn-pump.present"). Beside the texts stands a record of
//          the numbers that were learned: name, what was written, what was put there, and the jobs
//          used. A number that still stands as it was put there is taken back to what was written
//          before learning; one that a person has changed since is what is written now
// Held by  tests/learning/proposal_test.cpp
#pragma once
#include "base/source.hpp"
#include "learning/coins.hpp"
#include "learning/learn.hpp"

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace knockwell {

struct LearnedRecord {
    struct Number {
        std::string written;  // as in the text, with its quotes; empty: no such line was there
        std::string learned;
        bool operator==(const Number&) const = default;
    };
    std::map<std::string, Number> numbers;  // by name
    std::set<std::string> jobs;             // identifiers
    bool operator==(const LearnedRecord&) const = default;
};

/// The texts as they were before learning. Numbers that cannot be found any more are left alone.
[[nodiscard]] std::vector<Source> as_written(const std::vector<Source>& sources,
                                             const std::vector<Coin>& coins,
                                             const LearnedRecord& record);

/// Where the values stand that learning put there and nobody has changed since.
[[nodiscard]] std::set<Span> learned_places(const std::vector<Source>& sources,
                                            const std::vector<Coin>& coins,
                                            const LearnedRecord& record);

struct NumberChange {
    std::string name;
    Span span;            // in the present texts; without length: a line that is put in
    std::string now;      // what stands there
    std::string written;  // before any learning
    std::string learned;
    double p_written = 0;
    double p_learned = 0;  // of what stands in `learned`
    double fallen = 0;  // expected jobs in which it came out so, of `tossed` in which it could have
    double tossed = 0;
    std::uint32_t jobs = 0;            // that told something of it
    std::vector<std::string> loudest;  // identifiers of those that told most
};

struct Proposal {
    std::vector<NumberChange> changes;  // in the order of the text
    std::size_t numbers = 0;            // that could be learned
    std::vector<std::string> odd;       // names of those that cannot be changed where they stand
};

/// `present` = the texts as they are, `coins` = of their knowledge; `learned` from those of
/// as_written(), whose coins are `first`.
struct LearnedFrom {
    const std::vector<Source>* present = nullptr;
    const std::vector<Source>* before = nullptr;
    const std::vector<Coin>* coins = nullptr;
    const std::vector<Coin>* first = nullptr;
    const Network* first_network = nullptr;
    const LearnedRecord* record = nullptr;
};
[[nodiscard]] Proposal propose(const LearnedFrom& from, const LearnedNumbers& learned,
                               const LessonBook& book);

/// The texts with the changes made; nothing where one of them cannot be made.
[[nodiscard]] std::optional<std::vector<Source>> with_changes(const std::vector<Source>& present,
                                                              const Proposal& proposal);

/// The record to keep beside those texts.
[[nodiscard]] LearnedRecord record_of(const LearnedRecord& before, const Proposal& proposal,
                                      const LearnedNumbers& learned, const LessonBook& book);

/// "21.37 in 1290.4": as many digits as matter, in quotes.
[[nodiscard]] std::string count_text(double k, double n);

}  // namespace knockwell
