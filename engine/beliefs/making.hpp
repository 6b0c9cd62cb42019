// beliefs/making.hpp
//
// Carries out a folding on numbers: the small tables that it makes, and on the way back how the sum
// depends on them, which gives the folded variables their shares. Inside this floor only.
#pragma once
#include "beliefs/fold.hpp"
#include "beliefs/sum.hpp"

#include <cstdint>
#include <vector>

namespace knockwell {

template <class P>
class Making {
public:
    explicit Making(const Folding& folding) : folding_(folding) {}

    void make(const SumOf<P>& sum);
    /// First number of a table; nullptr for an `after` that is all ones.
    [[nodiscard]] const P* numbers(const TablePlace& place) const;

    /// Powers of two, lane by lane, by which the sum is larger than what was made says.
    [[nodiscard]] const std::vector<std::int64_t>& exponent() const { return exponent_; }

    /// On the way back: derivative of the sum by a made number, up to one factor a table.
    void clear_slopes();
    [[nodiscard]] P* slopes(const TablePlace& made) { return slope_.data() + made.index; }
    /// Adds the shares of all folded variables (each variable up to one factor), each from
    /// share_at[variable].
    void unmake(std::vector<P>& shares, const std::vector<std::uint32_t>& share_at);

private:
    void join_rows(std::vector<P>& into, const Ingredient& it, std::uint32_t values,
                   const Join& join);
    [[nodiscard]] std::vector<P> joined(const std::vector<Ingredient>& all, std::size_t rows,
                                        std::uint32_t values, const Join& join,
                                        std::vector<std::int64_t>* exponent);
    void slopes_of(const std::vector<Ingredient>& all, const std::vector<P>& by,
                   std::uint32_t values, const Join& join);
    void store(std::vector<P> table, std::uint32_t made);

    void make_merge(const Merge& merge);
    void unmake_merge(const Merge& merge);
    [[nodiscard]] std::vector<P> own_chances(const Fold& fold, std::vector<std::int64_t>* exponent);
    [[nodiscard]] std::vector<P> own_weights(const Fold& fold, std::vector<std::int64_t>* exponent);
    void make_fold(const Fold& fold);
    void unmake_fold(const Fold& fold, P* share);

    const Folding& folding_;
    const SumOf<P>* sum_ = nullptr;
    std::vector<P> made_;
    std::vector<P> slope_;
    std::vector<P> scratch_;
    std::vector<std::int64_t> exponent_;  // [lane] powers of two taken out of what was made
};

}  // namespace knockwell
