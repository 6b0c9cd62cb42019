// beliefs/traced.hpp
//
// A sum that remembers how its numbers came from the strengths, so that what hangs on those numbers
// is carried back to the strengths. Inside this floor only.
//
// Held by  tests/laws/slopes_law_test.cpp, tests/laws/expected_law_test.cpp
#pragma once
#include "beliefs/build.hpp"
#include "beliefs/expected.hpp"
#include "beliefs/tape.hpp"

#include <span>
#include <vector>

namespace knockwell {

/// Wider than this a job is not worth its minutes: 2^18 numbers a table.
inline constexpr double widest_job = 18;

/// act(first, count) for the numbers of every table: each term of the sum takes exactly one of a
/// table's.
template <class Act>
void each_table(const Shape& shape, Act act) {
    for (const SumVariable& it : shape.variables) {
        act(it.start, Slot{it.values});
        act(it.after, Slot{it.values});
    }
    for (const SumLink& it : shape.links)
        act(it.rows, static_cast<Slot>(shape.combinations(shape.sources(it)) *
                                       shape.variables[it.target].values));
    for (const SumWeight& it : shape.weights)
        act(it.table, static_cast<Slot>(shape.combinations(shape.on(it))));
}

/// For one thread. `model` must outlive it.
class Traced {
public:
    explicit Traced(const Model& model) : model_(&model) {}

    /// The sum of the evidence under these strengths; stands until the next one.
    BuiltOf<Taped>& build(const Evidence& evidence, std::span<const double> strengths,
                          const BuildChoice& choice = {});

    /// From the slopes of ln(sum) by its numbers, added up over `times` sets of them, those by the
    /// strengths.
    void carry_back(std::span<const double> slope, double times, std::vector<double>& into);

    /// From the same slopes: what its settings alone make of each cause (Expected::chance, open).
    void tell_chances(const Evidence& evidence, std::span<const double> strengths,
                      std::span<const double> slope, double times, Expected& into) const;

private:
    void take(std::span<const double> strengths);

    const Model* model_;
    Tape tape_;
    std::vector<Taped> taped_;  // strengths, the first steps of the tape
    BuiltOf<Taped> built_;
};

}  // namespace knockwell
