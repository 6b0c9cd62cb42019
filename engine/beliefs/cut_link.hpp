// beliefs/cut_link.hpp
//
// One link that is cut from some of its sources: the row that stands in for many. Inside this floor
// only; see beliefs/loosening.hpp.
#pragma once
#include "beliefs/sum.hpp"

#include <cstdint>
#include <span>
#include <vector>

namespace knockwell {

enum class From : std::uint8_t { above, below };

/// The row of a link does not hang on one of its sources any more.
struct Cut {
    std::uint32_t link = 0;
    Var source = 0;
    std::vector<double> above, below;  // [value of the source] m for either side

    [[nodiscard]] const std::vector<double>& times(From from) const {
        return from == From::above ? above : below;
    }
    [[nodiscard]] std::vector<double>& times(From from) {
        return from == From::above ? above : below;
    }
};

/// How a variable looks at what is added to it: at every number of a row; where nothing but its own
/// numbers looks at it and those rise (fall) with its value, at "at least e" ("at most e").
class Comparison {
public:
    Comparison(const Sum& sum, Var target, bool nothing_else_looks);
    /// A row as it is compared, and back.
    void add_up(double* row) const;
    void take_apart(double* row) const;
    /// What each number of a row counts -> what each counts as it is compared.
    void weigh(double* worth) const;

private:
    enum class How : std::uint8_t { each, at_least, at_most };
    How how_ = How::each;
    std::size_t values_;
};

/// The cuts of one link; they must outlive it.
class CutLink {
public:
    CutLink(const Sum& sum, std::uint32_t link, std::vector<const Cut*> cuts, Comparison compared);

    [[nodiscard]] const std::vector<const Cut*>& cuts() const { return cuts_; }
    /// The sources that it keeps.
    [[nodiscard]] const std::vector<Var>& left() const { return left_; }

    /// The row that stands in, as it is compared: [combination of what is left][e].
    [[nodiscard]] std::vector<double> stand_in(From from) const;
    void take_apart(std::vector<double>& row) const;
    /// Of a stand-in from above: how much of the `share` of its numbers was made by each value of
    /// the source of each cut. [cut][value]; equal makers share alike.
    [[nodiscard]] std::vector<std::vector<double>> made_by(const std::vector<double>& row,
                                                           const std::vector<double>& share) const;
    /// What each number of the row counts in the sum -> as it is compared.
    void weigh(std::vector<double>& worth) const;
    /// Of the row as it was, as it is compared: the mean over the sources' values where the cut
    /// ones have these chances. [combination of what is left][e]
    [[nodiscard]] std::vector<double>
    mean(const std::vector<const std::vector<double>*>& chance) const;

private:
    void place(const Shape& shape, std::span<const Var> sources, std::size_t combination);
    [[nodiscard]] std::size_t given(std::size_t combination, std::size_t cut) const {
        return given_[combination * cuts_.size() + cut];
    }
    [[nodiscard]] double times(std::size_t combination, From from) const;

    Comparison compared_;
    std::vector<const Cut*> cuts_;
    std::vector<Var> left_;
    std::size_t values_ = 1, combinations_ = 1, others_ = 1;
    std::vector<double> rows_;        // [combination][e], as they are compared
    std::vector<std::size_t> other_;  // [combination] of what is left
    std::vector<std::size_t> given_;  // [combination][cut] value
};

}  // namespace knockwell
