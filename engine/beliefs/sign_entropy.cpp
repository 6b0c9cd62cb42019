#include "beliefs/sign_entropy.hpp"

#include "beliefs/entropy.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <span>
#include <utility>

namespace knockwell {
namespace {

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

SignEntropy::SignEntropy(const Questions& questions, ProductMeans& means, bool again,
                         const std::optional<Chain>& chain, std::size_t questions_at_most)
    : questions_(questions), means_(means), again_(again), most_(questions_at_most) {
    if (!chain || chain->alarm > 0)
        put_powers();
    if (chain && (chain->alarm <= 0 || !can_list()))
        put_chain(*chain);
    ask();
}

void SignEntropy::put_powers() {
    for (std::size_t q = 0; q < questions_.ask.size(); ++q)
        if (questions_.ask[q].factor != 0)
            put(q);
    if (again_)
        scale();
    for (Stretch& stretch : stretches_)
        put_terms(stretch);
}

// ---------------------------------------------------------------- a chain

/// For each k the questions Q_k and R_k; then what hangs on them.
void SignEntropy::put_chain(const Chain& chain) {
    stretches_.clear();
    chain_.ask.push_back({});
    std::optional<std::size_t> before;
    for (const std::size_t after : chain.questions) {
        put_link(before, after);
        before = after;
    }
    for (std::size_t r = 2; r < chain_.ask.size(); r += 2) {
        Stretch& stretch = stretches_.emplace_back();
        stretch.from = &chain_;
        stretch.weight = r == 2 ? 0 : r - 3;
        stretch.products = {r};
        stretch.reach = {means_.reach(chain_, r)};
        stretch.terms = {{{0, {chain_.ask[r].factor}}, {Curve::Of::both}}};
    }
    if (chain.alarm > 0)
        put_alarms(chain);
}

/// Q_k as it is, and R_k. Where Q_(k-1) is 0 it does not matter what R_k is.
void SignEntropy::put_link(std::optional<std::size_t> before, std::size_t after) {
    const auto causes = [&](std::size_t q) {
        return questions_.ask[q].causes.of(questions_.causes);
    };
    const auto times_before = [&](const Questions::OfCause& one) {
        if (before)
            for (const Questions::OfCause& it : causes(*before))
                if (it.cause == one.cause)
                    return it.times;
        return 1.0;
    };
    const auto add = [&](double factor, const auto& times) {
        Questions::Ask ask;
        ask.factor = factor;
        ask.causes.first = static_cast<std::uint32_t>(chain_.causes.size());
        for (Questions::OfCause one : causes(after)) {
            one.times = times(one);
            if (one.times != 1)
                chain_.causes.push_back(one);
        }
        ask.causes.count = static_cast<std::uint32_t>(chain_.causes.size()) - ask.causes.first;
        chain_.ask.push_back(ask);
    };
    const double factor = questions_.ask[after].factor;
    add(factor, [](const Questions::OfCause& one) { return one.times; });
    add(before ? factor / questions_.ask[*before].factor : factor,
        [&](const Questions::OfCause& one) {
            const double was = times_before(one);
            return was > 0 ? std::min(1.0, one.times / was) : 1.0;
        });
}

/// What it leaves open whether a kind was there is bounded from above with the weight of R_k, from
/// below with that of Q_m.
void SignEntropy::put_alarms(const Chain& chain) {
    const std::size_t last = chain_.ask.size() - 2;
    const auto kinds = static_cast<double>(chain.questions.size());
    for (std::size_t i = 0; i < chain.questions.size(); ++i) {
        Term term{stretches_[i].terms.front().of, {Curve::Of::alarm, chain.alarm}, true};
        term.bounds_above = false;
        stretches_[i].terms.push_back(term);
        Stretch least = stretches_[i];
        least.weight = last;
        std::swap(term.bounds_above, term.bounds_below);
        least.terms = {term};
        least.most = 1;  // it is little that is bounded here
        stretches_.push_back(std::move(least));
    }
    const double any = std::min(1.0, kinds * chain.alarm);
    alarm_ = {means_.ask(std::vector<ProductPower>{{&chain_, last, 1}}),
              chain_.ask[last].factor * (entropy_of(any) + any * std::log2(kinds))};
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
    stretches_.push_back({.from = &questions_, .any = question});
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

/// The entropy as a sum of curves: of two outcomes each is what the other leaves to 1.
void SignEntropy::put_terms(Stretch& stretch) const {
    if (!again_ && stretch.chance.size() == 2) {
        stretch.terms = {{stretch.chance.front(), {Curve::Of::both}}};
        return;
    }
    for (const Chance& one : stretch.chance)
        stretch.terms.push_back({one});
    if (again_)
        stretch.terms.push_back({all_of(stretch), {}, true});
}

/// Lists the powers that the moments need; false where there are too many.
bool SignEntropy::can_list() {
    std::size_t count = 0;
    for (Stretch& stretch : stretches_) {
        stretch.asked.clear();
        Exponents exponents(stretch.products.size(), 0);
        for (const Term& term : stretch.terms)
            if (!each_power(term.of.of, 0, moments_in(stretch), exponents, 0,
                            [&](const Exponents& it, std::size_t) {
                                count += stretch.asked.try_emplace(it).second ? 1U : 0U;
                                return count <= most_;
                            }))
                return false;
    }
    return true;
}

void SignEntropy::ask() {
    while (moments_ > 1 && !can_list())
        moments_ -= 2;
    most_ = std::numeric_limits<std::size_t>::max();
    static_cast<void>(can_list());
    std::vector<ProductPower> product;
    for (Stretch& stretch : stretches_)
        for (auto& [exponents, asked] : stretch.asked) {
            product.assign(1, {stretch.from, stretch.any, 0});
            if (stretch.weight)
                product.push_back({stretch.from, *stretch.weight, 1});
            for (std::size_t i = 0; i < exponents.size(); ++i)
                if (exponents[i] != 0)
                    product.push_back({stretch.from, stretch.products[i], exponents[i]});
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

std::size_t SignEntropy::moments_in(const Stretch& stretch) const {
    return std::min(moments_, stretch.most);
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
    moments.count = moments_in(stretch);
    const Range reach = reach_of(stretch, chance);
    moments.least = std::clamp(reach.low, 0.0, 1.0);
    moments.most = std::clamp(reach.high, moments.least, 1.0);
    const double width = moments.most - moments.least;
    const double by = width > 0 ? 1 / width : 0;
    constexpr double size_of_rounding = off_of_a_coefficient / off_of_a_mean;
    const double constant = (chance.constant - moments.least) * by;
    const double size = (std::abs(chance.constant) + moments.least + size_of_rounding) * by;
    Exponents room(chance.of.size(), 0);
    each_power(
        chance.of, 0, moments.count, room, 0, [&](const Exponents& exponents, std::size_t sum) {
            const double weight = stretch.weight ? stretch.from->ask[*stretch.weight].factor : 1;
            const double mean = weight * means_.mean(stretch.asked.at(exponents));
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
            for (std::size_t n = sum; n <= moments.count; ++n) {
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
        for (const Term& term : stretch.terms) {
            Range one = mean_entropy(moments_of(stretch, term.of), term.curve);
            if (term.against)
                one = {-one.high, -one.low};
            sum.low += term.bounds_below ? one.low : 0;
            sum.high += term.bounds_above ? one.high : 0;
        }
    if (alarm_) {
        const double bits = alarm_->bits * means_.mean(alarm_->asked);
        sum.low += bits * (1 - off_of_a_mean);
        sum.high += bits * (1 + off_of_a_mean);
    }
    const double found = this->found();
    return {std::max(0.0, sum.low / found), std::max(0.0, sum.high / found)};
}

}  // namespace knockwell
