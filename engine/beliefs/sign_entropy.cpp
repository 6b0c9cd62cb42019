#include "beliefs/sign_entropy.hpp"

#include <algorithm>
#include <cmath>
#include <span>

namespace knockwell {
namespace {

// More questions than this for one sign are not worth a narrower enclosure...
constexpr std::size_t most_powers = 300;

// ... nor are more operations than this, eight questions at a time (about half a millisecond).
constexpr double most_operations = 4e5;

// What a coefficient may be off by, itself a difference of numbers up to 1.
constexpr double off_of_a_coefficient = 4e-16;

bool is_alike(const Questions::OfSetting& a, const Questions::OfSetting& b) {
    return a.setting == b.setting && a.state == b.state;
}

bool is_alike(const Questions::OfCause& a, const Questions::OfCause& b) {
    return a.cause == b.cause && a.times == b.times && a.through_acts == b.through_acts;
}

template <class Item>
bool are_alike(std::span<const Item> a, std::span<const Item> b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                      [](const Item& x, const Item& y) { return is_alike(x, y); });
}

/// Calls act(exponents, their sum) for all exponents of the products in `of` that sum to `left` or
/// less, until it says no; says whether it never did.
template <class Act>
bool each_power(const std::vector<double>& of, std::size_t from, std::size_t left,
                std::vector<std::uint8_t>& exponents, std::size_t sum, const Act& act) {
    while (from < of.size() && of[from] == 0)
        ++from;
    if (from == of.size())
        return act(exponents, sum);
    bool all = true;
    for (std::size_t n = 0; n <= left && all; ++n) {
        exponents[from] = static_cast<std::uint8_t>(n);
        all = each_power(of, from + 1, left - n, exponents, sum + n, act);
    }
    exponents[from] = 0;
    return all;
}

double choose(std::size_t n, std::size_t k) {
    double ways = 1;
    for (std::size_t i = 0; i < k; ++i)
        ways = ways * static_cast<double>(n - i) / static_cast<double>(i + 1);
    return ways;
}

}  // namespace

SignEntropy::SignEntropy(const Questions& questions, ProductMeans& means, bool again)
    : questions_(questions), means_(means), again_(again) {
    for (std::size_t q = 0; q < questions.ask.size(); ++q)
        if (questions.ask[q].factor != 0)
            put(q);
    if (again)
        scale();
    const double affordable = most_operations * Pack::lanes / std::max(1.0, means.cost());
    const std::size_t most =
        affordable < most_powers ? static_cast<std::size_t>(affordable) : most_powers;
    moments_ = most_moments;
    while (moments_ > 1 && !can_list(moments_, most))
        moments_ -= 2;
    ask();
}

// ---------------------------------------------------------------- asking

/// Adds a question to the chances of the outcomes.
void SignEntropy::put(std::size_t question) {
    Stretch& stretch = stretch_of(question);
    const Questions::Ask& ask = questions_.ask[question];
    const bool constant = ask.causes.count == 0;
    const std::size_t product = constant ? 0 : product_of(stretch, question);
    for (std::size_t o = 0; o < questions_.outcomes; ++o) {
        const double by = questions_.by(o, question) * ask.factor;
        (constant ? stretch.chance[o].constant : stretch.chance[o].of[product]) += by;
    }
}

SignEntropy::Stretch& SignEntropy::stretch_of(std::size_t question) {
    const auto states = [&](std::size_t q) {
        return questions_.ask[q].settings.of(questions_.settings);
    };
    for (Stretch& stretch : stretches_)
        if (are_alike(states(stretch.any), states(question)))
            return stretch;
    stretches_.push_back({.any = question});
    stretches_.back().chance.resize(questions_.outcomes);
    return stretches_.back();
}

/// Kinds or levels that no cause brings ask the same once more.
std::size_t SignEntropy::product_of(Stretch& stretch, std::size_t question) {
    const auto causes = [&](std::size_t q) {
        return questions_.ask[q].causes.of(questions_.causes);
    };
    for (std::size_t i = 0; i < stretch.products.size(); ++i)
        if (are_alike(causes(stretch.products[i]), causes(question)))
            return i;
    stretch.products.push_back(question);
    stretch.reach.push_back(means_.reach(questions_, question));
    for (Chance& chance : stretch.chance)
        chance.of.push_back(0);
    return stretch.products.size() - 1;
}

/// Weights of a finding are as large as one likes, and only their ratios count: so that no P(r | X)
/// is above 1.
void SignEntropy::scale() {
    double most = 0;
    for (const Stretch& stretch : stretches_)
        most = std::max(most, reach_of(stretch, all_of(stretch)).high);
    if (!(most > 1))
        return;
    for (Stretch& stretch : stretches_)
        for (Chance& chance : stretch.chance) {
            chance.constant /= most;
            for (double& by : chance.of)
                by /= most;
        }
}

/// Lists the powers that so many moments need; false where there are too many.
bool SignEntropy::can_list(std::size_t moments, std::size_t most) {
    std::size_t count = 0;
    for (Stretch& stretch : stretches_) {
        stretch.asked.clear();
        Exponents exponents(stretch.products.size(), 0);
        for (const Term& term : terms_of(stretch))
            if (!each_power(term.of.of, 0, moments, exponents, 0,
                            [&](const Exponents& it, std::size_t) {
                                count += stretch.asked.try_emplace(it).second ? 1U : 0U;
                                return count <= most;
                            }))
                return false;
    }
    return true;
}

void SignEntropy::ask() {
    if (moments_ == 1)
        static_cast<void>(can_list(1, most_powers));
    std::vector<ProductPower> product;
    for (Stretch& stretch : stretches_)
        for (auto& [exponents, asked] : stretch.asked) {
            product.assign(1, {&questions_, stretch.any, 0});
            for (std::size_t i = 0; i < exponents.size(); ++i)
                if (exponents[i] != 0)
                    product.push_back({&questions_, stretch.products[i], exponents[i]});
            asked = means_.ask(product);
        }
}

// ---------------------------------------------------------------- reading off

SignEntropy::Chance SignEntropy::all_of(const Stretch& stretch) {
    Chance all{0, std::vector<double>(stretch.products.size(), 0.0)};
    for (const Chance& one : stretch.chance) {
        all.constant += one.constant;
        for (std::size_t i = 0; i < all.of.size(); ++i)
            all.of[i] += one.of[i];
    }
    return all;
}

/// The entropy as a sum of curves: of two outcomes each is what the other leaves to 1.
std::vector<SignEntropy::Term> SignEntropy::terms_of(const Stretch& stretch) const {
    if (!again_ && stretch.chance.size() == 2)
        return {{stretch.chance.front(), Curve::of_both}};
    std::vector<Term> terms;
    for (const Chance& one : stretch.chance)
        terms.push_back({one});
    if (again_)
        terms.push_back({all_of(stretch), Curve::of_one, true});
    return terms;
}

Range SignEntropy::reach_of(const Stretch& stretch, const Chance& chance) {
    Range it{chance.constant - off_of_a_coefficient, chance.constant + off_of_a_coefficient};
    for (std::size_t i = 0; i < chance.of.size(); ++i) {
        const Range& reach = stretch.reach[i];
        const double by = chance.of[i];
        it.low += by * (by > 0 ? reach.low : reach.high);
        it.high += by * (by > 0 ? reach.high : reach.low);
    }
    return it;
}

/// Moments of the chance, moved and stretched so that it goes from 0 to 1.
Moments SignEntropy::moments_of(const Stretch& stretch, const Chance& chance) const {
    Moments moments;
    moments.count = moments_;
    const Range reach = reach_of(stretch, chance);
    moments.least = std::clamp(reach.low, 0.0, 1.0);
    moments.most = std::clamp(reach.high, moments.least, 1.0);
    const double width = moments.most - moments.least;
    const double by = width > 0 ? 1 / width : 0;
    constexpr double size_of_rounding = off_of_a_coefficient / off_of_a_mean;
    const double constant = (chance.constant - moments.least) * by;
    const double size = (std::abs(chance.constant) + moments.least + size_of_rounding) * by;
    Exponents room(chance.of.size(), 0);
    each_power(chance.of, 0, moments_, room, 0, [&](const Exponents& exponents, std::size_t sum) {
        const double mean = means_.mean(stretch.asked.at(exponents));
        double term = mean;
        double term_size = mean;
        std::size_t left = sum;
        for (std::size_t i = 0; i < exponents.size(); ++i) {
            const double ways = choose(left, exponents[i]);
            left -= exponents[i];
            term *= ways * std::pow(chance.of[i] * by, exponents[i]);
            term_size *=
                ways * std::pow((std::abs(chance.of[i]) + size_of_rounding) * by, exponents[i]);
        }
        for (std::size_t n = sum; n <= moments_; ++n) {
            const double ways = choose(n, sum);
            const auto rest = static_cast<double>(n - sum);
            moments.mean[n] += ways * term * std::pow(constant, rest);
            moments.off[n] += off_of_a_mean * ways * term_size * std::pow(size, rest);
        }
        return true;
    });
    return moments;
}

double SignEntropy::found() const {
    if (!again_)
        return 1;
    double sum = 0;
    for (const Stretch& stretch : stretches_) {
        const Chance all = all_of(stretch);
        const Moments it = moments_of(stretch, all);
        sum += it.least * it.mean[0] + (it.most - it.least) * it.mean[1];
    }
    return sum;
}

Range SignEntropy::bits() const {
    Range sum;
    for (const Stretch& stretch : stretches_)
        for (const Term& term : terms_of(stretch)) {
            const Range one = mean_entropy(moments_of(stretch, term.of), term.curve);
            sum.low += term.against ? -one.high : one.low;
            sum.high += term.against ? -one.low : one.high;
        }
    const double found = this->found();
    return {std::max(0.0, sum.low / found), std::max(0.0, sum.high / found)};
}

}  // namespace knockwell
