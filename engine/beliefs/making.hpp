// beliefs/making.hpp
//
// The numbers of a folding: made on the way forward, and on the way back the derivative of the sum
// by each of them carried down to the shares of the folded variables. Inside this floor only.
//
// Idea     a made table is a sum of products of rows; the derivative by one factor is the product
//          of the others, taken from the left and from the right so that nothing is divided. What
//          no changed number goes into is not made again; what nobody asks for is not unmade
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
    /// `slopes`: of the given numbers too.
    explicit Making(const Folding& folding, bool slopes = false);

    /// The given numbers. Whoever changes some after the first make() says so by changed().
    [[nodiscard]] P* given() { return numbers_.data(); }
    void changed(Slot number);
    void all_changed();
    void make();
    [[nodiscard]] const P* numbers(Slot place) const { return numbers_.data() + place; }

    /// Powers of two, lane by lane, by which the sum is larger than what was made says.
    [[nodiscard]] Exponent<P> exponent() const;

    /// Only the shares of these variables will be asked for; without this, all.
    void want(std::span<const Var> variables);

    /// On the way back: derivative of the sum by a made number, up to one factor a table.
    void clear_slopes();
    [[nodiscard]] P* slopes(Slot made) { return slope_.data() + (made - first_slope_); }
    /// Of a given number, where those were asked for; up to one factor a table.
    [[nodiscard]] const P& slope(Slot number) const { return slope_[number]; }
    /// Adds the shares of all folded variables (each variable up to one factor), each from
    /// share_at[variable].
    void unmake(std::vector<P>& shares, const std::vector<std::uint32_t>& share_at);

private:
    /// What a fold joins, kept from the way forward for the way back: rows of its links in with
    /// its start, whatever weighs its values, rows of its links out.
    struct Mixed {
        std::size_t chances = 0, weights = 0, fired = 0;  // in mixed_
    };

    [[nodiscard]] bool asks(const Ingredient& it) const { return it.from >= first_slope_; }
    [[nodiscard]] std::size_t row(const Ingredient& it, std::size_t entry) const {
        return it.row == nowhere ? entry : folding_.rows[it.row + entry];
    }
    [[nodiscard]] const P* fired_of(const Fold& fold, const Mixed& mixed) const;
    [[nodiscard]] bool is_lone(const Fold& fold) const;
    [[nodiscard]] bool is_plain(const Fold& fold) const;
    void lay_out();
    void find_users();
    void dirty(std::uint32_t step);
    [[nodiscard]] Slot made_by(std::uint32_t step) const;
    [[nodiscard]] std::size_t made_size(const FoldStep& step) const;

    void join_table(P* into, std::size_t rows, const Ingredient& it, std::uint32_t values,
                    const Join& join);
    void join_all(P* into, std::span<const Ingredient> all, std::size_t rows, std::uint32_t values,
                  const Join& join, Exponent<P>& exponent);
    void join_start(P* into, std::size_t rows, const SumVariable& variable);
    void slopes_of(std::span<const Ingredient> all, const P* by, std::size_t rows,
                   std::uint32_t values, const Join& join);

    void make_merge(const Merge& merge, Exponent<P>& exponent);
    void mix(const Fold& fold, const Mixed& mixed, Exponent<P>& exponent);
    void make_lone(const Fold& fold, Exponent<P>& exponent);
    void unmake_lone(const Fold& fold, P* share);
    void make_fold(std::size_t which, Exponent<P>& exponent);
    void unmake_fold(std::size_t which, P* share);
    void unmake_links_in(const Fold& fold);
    void unmake_own(const Fold& fold);

    const Folding& folding_;
    Slot first_slope_;  // the first made number, or the first of all
    std::vector<P> numbers_;
    std::vector<P> slope_;  // from first_slope_ on
    std::vector<P> mixed_;
    std::vector<Mixed> mixed_at_;         // [fold]
    std::vector<Exponent<P>> exponent_;   // [step] powers of two taken out
    std::vector<std::uint8_t> dirty_;     // [step] is to be made
    std::vector<std::uint8_t> wanted_;    // [step]; empty: all
    std::vector<std::uint32_t> user_;     // [first number of a table] the step that it goes into
    std::vector<std::uint32_t> step_of_;  // [variable] that folds it, or nowhere
    std::vector<std::uint32_t> owner_;    // [given number] variable, or nowhere

    // Room of the fold in hand: how the sum depends on what goes into it.
    std::vector<P> of_in_, of_weights_, of_out_;
    std::vector<P> behind_, before_, others_, joined_;
    std::vector<P> room_;  // of a join
};

}  // namespace knockwell
