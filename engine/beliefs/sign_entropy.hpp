// beliefs/sign_entropy.hpp
//
// What one thing looked at would leave open if everything hidden were known: the mean entropy of
// its outcome given which causes are present, which of them act, and every setting. Inside this
// floor only.
//
// Given    P(outcome | X) = sum_q coefficient[q] * product_q(X)  (beliefs/questions.hpp), and where
//          settings have a say the same for each of their states
// Idea     the mean of f(P(outcome | X)), f(p) = -p lb p, hangs on the moments of P(outcome | X)
//          (beliefs/moments.hpp), and the n-th power of a sum of products is a sum of products:
//          each one question more. No table over the causes of the sign is made
// Again    where the sign has a finding r already, what is asked without it is P(outcome, r | X),
//          and the mean given r is  E[ sum_o f(P(o, r | X)) - f(P(r | X)) ] / P(r)
// Care     a power of a difference cancels: what the absolute values come to is added up beside it
// Held by  tests/laws/joint_law_test.cpp
#pragma once
#include "beliefs/moments.hpp"
#include "beliefs/product_means.hpp"

#include <cstdint>
#include <map>
#include <vector>

namespace knockwell {

/// A mean of a product is taken to be off by so much of itself.
inline constexpr double off_of_a_mean = 1e-13;

class SignEntropy {
public:
    /// Asks the means what it needs to know. Both must outlive it. `again`: the sign has a finding.
    SignEntropy(const Questions& questions, ProductMeans& means, bool again);

    /// After the answer: mean entropy in bits.
    [[nodiscard]] Range bits() const;
    /// The same: P(r), 1 where nothing was found.
    [[nodiscard]] double found() const;

private:
    using Exponents = std::vector<std::uint8_t>;  // [product]
    /// A chance as a sum over the products of its stretch.
    struct Chance {
        double constant = 0;
        std::vector<double> of;  // [product]
    };
    /// Where the settings have certain states; everything where they have no say.
    struct Stretch {
        std::size_t any = 0;                  // one of its questions, for the states
        std::vector<std::size_t> products{};  // questions that are no constants, each once
        std::vector<Range> reach{};           // [product]
        std::vector<Chance> chance{};         // [outcome]
        std::map<Exponents, std::size_t> asked{};
    };
    /// A curve over a chance, for or against.
    struct Term {
        Chance of;
        Curve curve = Curve::of_one;
        bool against = false;
    };

    void put(std::size_t question);
    [[nodiscard]] Stretch& stretch_of(std::size_t question);
    [[nodiscard]] std::size_t product_of(Stretch& stretch, std::size_t question);
    void scale();
    [[nodiscard]] bool can_list(std::size_t moments, std::size_t most);
    void ask();

    [[nodiscard]] static Chance all_of(const Stretch& stretch);
    [[nodiscard]] std::vector<Term> terms_of(const Stretch& stretch) const;
    [[nodiscard]] static Range reach_of(const Stretch& stretch, const Chance& chance);
    [[nodiscard]] Moments moments_of(const Stretch& stretch, const Chance& chance) const;

    const Questions& questions_;
    ProductMeans& means_;
    bool again_;
    std::size_t moments_ = 1;
    std::vector<Stretch> stretches_;
};

}  // namespace knockwell
