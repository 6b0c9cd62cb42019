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
#include "beliefs/steps.hpp"
#include "beliefs/sum.hpp"

#include <cstdint>
#include <span>
#include <vector>

namespace knockwell {

/// What the steps of a folding are carried out in (making_steps.cpp).
template <class P>
struct MakingRoom {
    /// What a fold joins, kept from the way forward for the way back: rows of its links in with
    /// its start, whatever weighs its values, rows of its links out.
    struct Mixed {
        std::size_t chances = 0, weights = 0, fired = 0;  // in `mixed`
    };

    /// `slopes`: of the given numbers too.
    MakingRoom(const Folding& of, bool slopes);

    [[nodiscard]] bool asks(const Ingredient& it) const { return it.from >= first_slope; }
    /// Whether it is a variable by itself with one link, whose rows were given.
    [[nodiscard]] bool is_lone(const Fold& fold) const;
    /// Whether the rows of its links out stand somewhere as they are.
    [[nodiscard]] bool is_plain(const Fold& fold) const;
    [[nodiscard]] Slot made_by(const FoldStep& step) const;

    const Folding& folding;
    Slot first_slope;  // the first made number, or the first of all
    std::vector<P> numbers;
    std::vector<P> slope;  // from first_slope on
    std::vector<P> mixed;
    std::vector<Mixed> mixed_at;        // [fold]
    std::vector<Exponent<P>> exponent;  // [step] powers of two taken out
    std::vector<std::uint8_t> dirty;    // [step] is to be made
    std::vector<std::uint8_t> wanted;   // [step]; empty: all

    // Room of the fold in hand: how the sum depends on what goes into it.
    std::vector<P> of_in, of_weights, of_out;
    std::vector<P> behind, before, others, joined;
    std::vector<P> join;

private:
    void lay_out();
};

template <class P>
class Making {
public:
    explicit Making(const Folding& folding, bool slopes = false, const Steps<P>& with = steps<P>());

    /// The given numbers. Whoever changes some after the first make() says so by changed().
    [[nodiscard]] P* given() { return room_.numbers.data(); }
    void changed(Slot number);
    void all_changed();
    void make() { steps_.make(room_); }
    [[nodiscard]] const P* numbers(Slot place) const { return room_.numbers.data() + place; }

    /// Powers of two, lane by lane, by which the sum is larger than what was made says.
    [[nodiscard]] Exponent<P> exponent() const;

    /// Only the shares of these variables will be asked for; without this, all.
    void want(std::span<const Var> variables);

    /// On the way back: derivative of the sum by a made number, up to one factor a table.
    void clear_slopes();
    [[nodiscard]] P* slopes(Slot made) { return room_.slope.data() + (made - room_.first_slope); }
    /// Of a given number, where those were asked for; up to one factor a table.
    [[nodiscard]] const P& slope(Slot number) const { return room_.slope[number]; }
    /// Adds the shares of all folded variables (each variable up to one factor), each from
    /// share_at[variable].
    void unmake(std::vector<P>& shares, const std::vector<std::uint32_t>& share_at) {
        steps_.unmake(room_, shares.data(), share_at.data());
    }

private:
    void find_users();
    void dirty(std::uint32_t step);

    MakingRoom<P> room_;
    const Steps<P>& steps_;
    std::vector<std::uint32_t> user_;     // [first number of a table] the step that it goes into
    std::vector<std::uint32_t> step_of_;  // [variable] that folds it, or nowhere
    std::vector<std::uint32_t> owner_;    // [given number] variable, or nowhere
};

}  // namespace knockwell
