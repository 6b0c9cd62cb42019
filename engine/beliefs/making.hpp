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

    /// On the way back: derivative of the sum by a made number, up to one factor for all.
    void clear_slopes();
    [[nodiscard]] P* slopes(const TablePlace& made) { return slope_.data() + made.index; }
    /// Adds the shares of all folded variables (up to that factor), each from share_at[variable].
    void unmake(std::vector<P>& shares, const std::vector<std::uint32_t>& share_at);

private:
    void make_fold(const Fold& fold);
    void make_merge(const Merge& merge);
    void unmake_merge(const Merge& merge);
    void unmake_fold(const Fold& fold, P* share);
    void slopes_of_out(const Fold& fold, std::size_t combination, const std::vector<P>& chance,
                       const P* by);
    void slopes_of_weights(const Fold& fold, std::size_t combination, const std::vector<P>& own,
                           const std::vector<P>& worth);
    void slopes_of_in(const Fold& fold, std::size_t combination, const std::vector<P>& worth);

    const Folding& folding_;
    const SumOf<P>* sum_ = nullptr;
    std::vector<P> made_;
    std::vector<P> slope_;
    std::vector<P> scratch_;
};

}  // namespace knockwell
