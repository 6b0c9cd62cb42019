// beliefs/cutter.hpp
//
// A sum with some of its links cut. Inside this floor only; see beliefs/loosening.hpp.
//
// Held by  tests/beliefs/loosening_test.cpp
#pragma once
#include "beliefs/cut_link.hpp"
#include "beliefs/sum.hpp"

#include <cstdint>
#include <map>
#include <span>
#include <vector>

namespace knockwell {

/// Chances that sum to 1; all alike where there are none.
void make_sum_one(std::vector<double>& chances);

/// The links that are cut, by number.
using CutLinks = std::map<std::uint32_t, CutLink>;

/// What does not change with the cuts.
class Cutter {
public:
    Cutter(const Sum& sum, std::span<const Var> asked);

    /// The cuts must outlive them.
    [[nodiscard]] CutLinks links(std::span<const Cut> cuts) const;
    [[nodiscard]] CutLink link_of(std::uint32_t link, std::vector<const Cut*> cuts) const;
    [[nodiscard]] Sum cut(const CutLinks& links, From from) const;

    /// What a variable is before anything multiplies it, where one row of every link is known.
    template <class RowOf>
    [[nodiscard]] std::vector<double> grown(Var var, RowOf row_of) const {
        const SumVariable& it = sum_.shape.variables[var];
        const double* start = sum_.numbers.data() + it.start;
        std::vector<double> chances(start, start + it.values);
        for (const std::uint32_t l : into_[var])
            if (const std::vector<double> row = row_of(l); !row.empty())
                add(row, it.join, chances);
        return chances;
    }

    [[nodiscard]] const Sum& sum() const { return sum_; }

private:
    static void add(const std::vector<double>& row, const Join& join, std::vector<double>& to);
    void put(std::uint32_t l, const CutLinks& links, From from, Sum& out) const;
    /// What stands in for a row may add where the row adds nothing.
    void put_requirements(const CutLinks& links, Sum& out) const;

    const Sum& sum_;
    std::vector<std::vector<std::uint32_t>> into_;  // [variable] links
    std::vector<std::uint8_t> looked_at_;           // [variable] asked, or by a link or a weight
};

}  // namespace knockwell
