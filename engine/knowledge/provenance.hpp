// knowledge/provenance.hpp
//
// Where the strengths come from: every count of a knowledge base with the basis of its definition.
//
// Care     base rates and multipliers (`present`, `raised_by`) are counted too, but how far they
//          are trusted is said by `give_or_take` and not by n
#pragma once
#include "knowledge/model.hpp"

#include <array>
#include <cstddef>
#include <set>
#include <vector>

namespace knockwell {

/// One count that somebody wrote.
struct WrittenStrength {
    const Head* head = nullptr;  // of the definition that it stands in
    Count count;
    bool rate = false;  // `present`: known to a factor and not by its n
    Span span;          // of the value
};

/// Every count of settings, causes, signs, tests, repairs and stops, in that order; the certain
/// ones too, if they were written.
[[nodiscard]] std::vector<WrittenStrength> written_strengths(const Knowledge& knowledge);

/// What the definition says, or else the manifest.
[[nodiscard]] Basis basis_of(const Knowledge& knowledge, const Head& head);

/// Whether the count claims more than a judgement can: it is worth about ten cases, and more of
/// them are needed only to write down something rare. So neither side of it exceeds five.
[[nodiscard]] bool too_sure_for_a_judgement(const Count& count);

/// How many strengths have each basis, by the place of the basis in its enumeration.
struct Provenance {
    std::array<std::size_t, 5> strengths{};
    std::vector<const Head*> without;  // definitions with strengths and no basis
    std::size_t strengths_in_all = 0;
    std::size_t sources = 0;  // definitions that name a source
};
/// `learned` = places of the values that jobs have taught: their basis is the ledger, whatever
/// their definition says of the others.
[[nodiscard]] Provenance provenance_of(const Knowledge& knowledge,
                                       const std::set<Span>& learned = {});

}  // namespace knockwell
