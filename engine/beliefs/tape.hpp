// beliefs/tape.hpp
//
// Numbers that remember how they were worked out, so that what a result depends on can be carried
// back to where it came from. Inside this floor only.
//
// Source   reverse accumulation (A. Griewank & A. Walther, Evaluating Derivatives, 2nd ed., SIAM
//          2008, ch. 3)
// Held by  tests/laws/slopes_law_test.cpp
#pragma once
#include "beliefs/pack.hpp"

#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

namespace knockwell {

/// The steps of a calculation: each number hangs on two earlier ones at most.
class Tape {
public:
    using Entry = std::uint32_t;
    static constexpr Entry constant = std::numeric_limits<Entry>::max();

    Entry add(Entry a, double by_a, Entry b, double by_b) {
        steps_.push_back({a, b, by_a, by_b});
        return static_cast<Entry>(steps_.size() - 1);
    }
    [[nodiscard]] std::size_t size() const { return steps_.size(); }
    /// Forgets all but the first `size` steps.
    void cut_back(std::size_t size) { steps_.resize(size); }

    /// From derivatives by every entry taken for itself to those by everything that went into it,
    /// in place.
    void carry_back(std::vector<double>& by) const {
        for (std::size_t i = steps_.size(); i-- > 0;) {
            if (steps_[i].a != constant)
                by[steps_[i].a] += by[i] * steps_[i].by_a;
            if (steps_[i].b != constant)
                by[steps_[i].b] += by[i] * steps_[i].by_b;
        }
    }

private:
    struct Step {
        Entry a = constant, b = constant;
        double by_a = 0, by_b = 0;
    };
    std::vector<Step> steps_;
};

/// A number on a tape; those that are not are constants.
struct Taped {
    double v = 0;
    Tape::Entry entry = Tape::constant;
    Tape* tape = nullptr;

    Taped() = default;
    // A number is a constant, as in any formula.
    Taped(double x) : v(x) {}  // NOLINT(google-explicit-constructor)
    Taped(double x, Tape& on)
        : v(x), entry(on.add(Tape::constant, 0, Tape::constant, 0)), tape(&on) {}

    Taped& operator+=(const Taped& o) { return *this = *this + o; }
    Taped& operator-=(const Taped& o) { return *this = *this - o; }
    Taped& operator*=(const Taped& o) { return *this = *this * o; }
    Taped& operator/=(const Taped& o) { return *this = *this / o; }
    friend Taped operator+(const Taped& a, const Taped& b) { return of(a.v + b.v, a, 1, b, 1); }
    friend Taped operator-(const Taped& a, const Taped& b) { return of(a.v - b.v, a, 1, b, -1); }
    friend Taped operator*(const Taped& a, const Taped& b) { return of(a.v * b.v, a, b.v, b, a.v); }
    friend Taped operator/(const Taped& a, const Taped& b) {
        return of(a.v / b.v, a, 1 / b.v, b, -a.v / (b.v * b.v));
    }

private:
    static Taped of(double value, const Taped& a, double by_a, const Taped& b, double by_b) {
        Taped it(value);
        it.tape = a.tape != nullptr ? a.tape : b.tape;
        if (it.tape != nullptr)
            it.entry = it.tape->add(a.entry, by_a, b.entry, by_b);
        return it;
    }
};

inline double lane(const Taped& x, std::size_t) { return x.v; }
inline Taped larger(const Taped& a, const Taped& b) { return a.v < b.v ? b : a; }
inline Taped rest_of(const Taped& a) { return a.v > 1e-15 ? a : Taped(0); }
inline bool is_all(const Taped& x, double number) { return x.v == number; }

}  // namespace knockwell
