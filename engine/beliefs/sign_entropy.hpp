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
// Chain    where the outcomes are decided one after the other (beliefs/chain.hpp) and the k-th is
//          found with chance Q_(k-1) - Q_k,
//              H = sum_k Q_(k-1) h(R_k),  R_k = Q_k / Q_(k-1),  h(p) = f(p) + f(1 - p)
//          R_k is a product as well: a few questions for each k, of positive numbers only
// Alarms   where nothing was noticed (Q_m) one of m kinds is reported by mistake, each with chance
//          e: that adds Q_m (h(m e) + m e lb m), less what it leaves open whether the kind reported
//          was there, g(Q_(k-1) - Q_k, e Q_m) with g(x, y) = f(x) + f(y) - f(x + y). g is concave,
//          grows with y and is 0 for y = 0, so it lies between Q_m g(1 - R_k, e) and
//          Q_(k-1) g(1 - R_k, e): wider than by powers, which are taken where they are not too many
// Again    where the sign has a finding r already, what is asked without it is P(outcome, r | X),
//          and the mean given r is  E[ sum_o f(P(o, r | X)) - f(P(r | X)) ] / P(r)
// Care     a power of a difference cancels: what the absolute values come to is added up beside it
// Held by  tests/laws/joint_law_test.cpp
#pragma once
#include "beliefs/chain.hpp"
#include "beliefs/moments.hpp"
#include "beliefs/product_means.hpp"

#include <cstdint>
#include <map>
#include <optional>
#include <vector>

namespace knockwell {

/// A mean of a product is taken to be off by so much of itself.
inline constexpr double off_of_a_mean = 1e-13;

class SignEntropy {
public:
    /// Asks the means what it needs to know. Both must outlive it. `again`: the sign has a finding;
    /// `chain`: where it has none, if the questions are one.
    /// No more questions than that, or as few as give any bounds.
    SignEntropy(const Questions& questions, ProductMeans& means, bool again,
                const std::optional<Chain>& chain, std::size_t questions_at_most);
    SignEntropy(const SignEntropy&) = delete;
    SignEntropy& operator=(const SignEntropy&) = delete;
    SignEntropy(SignEntropy&&) = delete;
    SignEntropy& operator=(SignEntropy&&) = delete;
    ~SignEntropy() = default;

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
    /// A curve over a chance; `against`: it is taken off. Not every one bounds on both sides.
    struct Term {
        Chance of;
        Curve curve{};
        bool against = false;
        bool bounds_below = true, bounds_above = true;
    };
    /// Where the settings have certain states, or everything; or weighed by a product.
    struct Stretch {
        const Questions* from = nullptr;
        std::size_t any = 0;                  // one of its questions, for the states
        std::optional<std::size_t> weight{};  // a question, with its factor
        std::vector<std::size_t> products{};  // questions that are no constants
        std::vector<Range> reach{};           // [product]
        std::vector<Chance> chance{};         // [outcome]
        std::vector<Term> terms{};
        std::size_t most = most_moments;  // that are worth their questions
        std::map<Exponents, std::size_t> asked{};
    };
    /// What mistaken reports add where nothing was noticed.
    struct Alarm {
        std::size_t asked = 0;  // Q_m
        double bits = 0;
    };

    void put_powers();
    void put_chain(const Chain& chain);
    void put_link(std::optional<std::size_t> before, std::size_t after);
    void put_alarms(const Chain& chain);
    void put(std::size_t question);
    [[nodiscard]] Stretch& stretch_of(std::size_t question);
    [[nodiscard]] std::size_t product_of(Stretch& stretch, std::size_t question);
    void scale();
    void put_terms(Stretch& stretch) const;
    [[nodiscard]] bool can_list();
    void ask();

    [[nodiscard]] static Chance all_of(const Stretch& stretch);
    [[nodiscard]] static Range reach_of(const Stretch& stretch, const Chance& chance);
    [[nodiscard]] std::size_t moments_in(const Stretch& stretch) const;
    [[nodiscard]] Moments moments_of(const Stretch& stretch, const Chance& chance) const;

    const Questions& questions_;
    ProductMeans& means_;
    bool again_;
    std::size_t most_;  // questions
    std::size_t moments_ = most_moments;
    std::vector<Stretch> stretches_;
    Questions chain_;  // [0] always true; of a chain: Q_k and R_k, for each k
    std::optional<Alarm> alarm_;
};

}  // namespace knockwell
