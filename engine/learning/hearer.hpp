// learning/hearer.hpp
//
// Whoever hears lessons, one by one, and installations where all was quiet, many at once. Inside
// this floor only.
#pragma once
#include "beliefs/installations.hpp"
#include "learning/lessons.hpp"
#include "learning/tosses.hpp"

#include <optional>
#include <span>
#include <vector>

namespace knockwell {

/// Each has room of its own, so that two may work side by side.
class Hearer {
public:
    /// All must outlive it.
    Hearer(const Model& model, const std::vector<Coin>& coins, const CoinRow& row,
           const LessonBook& book)
        : book_(&book), tosser_(model, coins, row), installations_(model, book.all_quiet()) {}

    /// Nothing where it is impossible or too wide.
    [[nodiscard]] std::optional<Tosses> hear(const Testimony& it,
                                             std::span<const double> strengths) {
        return tosser_.of(it.evidence, strengths, it.said);
    }
    [[nodiscard]] std::optional<Tosses> hear(const Quiet& quiet,
                                             std::span<const double> strengths) {
        return tosser_.of(book_->evidence_of(quiet), strengths);
    }

    /// Installations where all was quiet, to be asked side by side.
    [[nodiscard]] Installations& installations() { return installations_; }

    /// What was added up of them.
    [[nodiscard]] Tosses heard_there(std::span<const double> strengths) {
        return tosser_.tosses(book_->all_quiet(), installations_.sum(), strengths);
    }

private:
    const LessonBook* book_;
    Tosser tosser_;
    Installations installations_;
};

}  // namespace knockwell
