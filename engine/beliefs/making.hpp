// beliefs/making.hpp
//
// The numbers of a folding: made on the way forward, and on the way back the derivative of the sum
// by each of them carried down to the shares of the folded variables. Inside this floor only.
//
// Idea     a made table is a sum of products of rows; the derivative by one factor is the product
//          of the others, taken from the left and from the right so that nothing is divided
// Care     factors up to one constant a table are left away on the way back: shares are settled
//          to 1 for each variable at the end
// Held by  tests/laws/, tests/beliefs/steps_test.cpp (folded = unfolded)
#pragma once
#include "beliefs/fold.hpp"
#include "beliefs/scale.hpp"
#include "beliefs/sum.hpp"

#include <cstdint>
#include <vector>

namespace knockwell {

template <class P>
class Making {
public:
    explicit Making(const Folding& folding)
        : folding_(folding), numbers_(folding.end), slope_(folding.end - folding.first_made) {}

    /// The given numbers, to be set before make().
    [[nodiscard]] P* given() { return numbers_.data(); }
    void make();
    [[nodiscard]] const P* numbers(Slot place) const { return numbers_.data() + place; }

    /// Powers of two, lane by lane, by which the sum is larger than what was made says.
    [[nodiscard]] const Exponent<P>& exponent() const { return exponent_; }

    /// On the way back: derivative of the sum by a made number, up to one factor a table.
    void clear_slopes();
    [[nodiscard]] P* slopes(Slot made) { return slope_.data() + (made - folding_.first_made); }
    /// Adds the shares of all folded variables (each variable up to one factor), each from
    /// share_at[variable].
    void unmake(std::vector<P>& shares, const std::vector<std::uint32_t>& share_at);

private:
    [[nodiscard]] bool asks(const Ingredient& it) const { return it.from >= folding_.first_made; }
    [[nodiscard]] std::size_t row(const Ingredient& it, std::size_t entry) const {
        return it.row == nowhere ? entry : folding_.rows[it.row + entry];
    }
    void join_table(P* into, std::size_t rows, const Ingredient& it, std::uint32_t values,
                    const Join& join);
    void join_all(std::vector<P>& into, std::span<const Ingredient> all, std::size_t rows,
                  std::uint32_t values, const Join& join, Exponent<P>* exponent);
    void join_start(std::vector<P>& into, std::size_t rows, const SumVariable& variable);
    void slopes_of(std::span<const Ingredient> all, const P* by, std::size_t rows,
                   std::uint32_t values, const Join& join);
    void settle(P* table, std::size_t size);

    void make_merge(const Merge& merge);
    void mix(const Fold& fold, Exponent<P>* exponent);
    void make_fold(const Fold& fold);
    void unmake_fold(const Fold& fold, P* share);
    void unmake_links_in(const Fold& fold);

    const Folding& folding_;
    std::vector<P> numbers_;
    std::vector<P> slope_;    // from first_made on
    Exponent<P> exponent_{};  // powers of two taken out of what was made

    // Of the fold in hand: rows of its links in, weights of its values, rows of its links out; how
    // the sum depends on each.
    std::vector<P> chances_, weights_, fired_, of_in_, of_weights_, of_out_;
    std::vector<P> behind_, before_, others_, joined_;
};

}  // namespace knockwell
