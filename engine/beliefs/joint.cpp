#include "beliefs/joint.hpp"

#include "beliefs/sign_entropy.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>
#include <set>
#include <utility>

namespace knockwell {
namespace {

// More operations than this for one sign, eight questions at a time, are not worth a narrower
// enclosure (about a millisecond).
constexpr double most_operations = 4e5;

// More combinations of questions than this for one bundle: no answer.
constexpr std::size_t most_combinations = 300;

using Signs = std::vector<SignId>;

/// -p lb p of a chance that is off by no more than `off`.
Range entropy_about(double p, double off) {
    const auto curve = [](double x) { return x > 0 ? -x * std::log2(x) : 0; };
    const auto [low, high] =
        std::minmax({curve(std::clamp(p - off, 0.0, 1.0)), curve(std::clamp(p + off, 0.0, 1.0))});
    return {low, high + off};
}

/// The evidence without what was found of some signs, and what is asked of it.
struct MeansWithout {
    std::vector<std::uint32_t> causes;  // of which there will be talk
    std::unique_ptr<ProductMeans> means{};
};
using AllMeans = std::map<Signs, MeansWithout>;

/// One thing of one look.
struct Seen {
    Signs again;  // itself, where it was found already
    Questions questions;
    std::optional<Chain> chain{};
    std::unique_ptr<SignEntropy> entropy{};
};

class JointLook {
public:
    JointLook(const Model& model, const BySign& found, const Bundle& bundle)
        : model_(model), found_(found), bundle_(bundle) {}

    /// False where there is no answer.
    bool put(AllMeans& without) {
        if (looks_twice())
            return false;
        std::size_t combinations = 1;
        for (const Look& look : bundle_) {
            Questions& of = looks_.emplace_back();
            if (!put_questions(model_, found_, point_values(*model_.network), look, of))
                return false;
            combinations *= of.ask.size();
            if (combinations > most_combinations)
                return false;
            const Signs again = found_already(found_, look);
            again_.insert(again_.end(), again.begin(), again.end());
        }
        std::sort(again_.begin(), again_.end());
        for (const Look& look : bundle_)
            for (const Findable& what : look.at)
                if (!put(look, what))
                    return false;
        for (const Seen& seen : seen_)
            name_causes(without[seen.again].causes);
        name_causes(without[again_].causes);
        return true;
    }

    /// False where there is no answer.
    bool ask(const AllMeans& without, std::size_t questions) {
        for (Seen& seen : seen_) {
            ProductMeans& means = *without.at(seen.again).means;
            if (!means.can_ask())
                return false;
            const double affordable = most_operations * Pack::lanes / std::max(1.0, means.cost());
            seen.entropy = std::make_unique<SignEntropy>(
                seen.questions, means, !seen.again.empty(), seen.chain,
                affordable < static_cast<double>(questions) ? static_cast<std::size_t>(affordable)
                                                            : questions);
        }
        means_ = without.at(again_).means.get();
        if (!means_->can_ask() ||
            means_->cost() * most_combinations > patience_of_eight * Pack::lanes)
            return false;
        ask_combinations();
        return true;
    }

    /// After the answer.
    [[nodiscard]] std::optional<Range> bits() const {
        const std::optional<Range> found = entropy_of_outcomes();
        if (!found)
            return {};
        Range given;
        for (const Seen& seen : seen_) {
            if (!(seen.entropy->found() >= least_found))
                return {};
            const Range one = seen.entropy->bits();
            given.low += one.low;
            given.high += one.high;
        }
        return Range{std::max(0.0, found->low - given.high),
                     std::clamp(found->high - given.low, 0.0, found->high)};
    }

private:
    [[nodiscard]] bool looks_twice() const {
        std::set<Findable> met;
        for (const Look& look : bundle_)
            for (const Findable& what : look.at)
                if (!met.insert(what).second)
                    return true;
        return false;
    }

    bool put(const Look& look, const Findable& what) {
        const Look only{{what}, look.via, look.test};
        Seen& seen = seen_.emplace_back();
        seen.again = found_already(found_, only);
        if (!put_questions(model_, found_, point_values(*model_.network), only, seen.questions))
            return false;
        if (const auto* sign = std::get_if<SignId>(&what); sign && seen.again.empty())
            seen.chain = chain_of(model_.network->signs[sign->index()], seen.questions);
        return true;
    }

    void name_causes(std::vector<std::uint32_t>& causes) const {
        for (const Questions& of : looks_)
            for (const Questions::OfCause& it : of.causes)
                causes.push_back(it.cause);
    }

    /// One question of each look, the first look slowest.
    void ask_combinations() {
        std::vector<ProductPower> product;
        for (const Questions& of : looks_)
            product.push_back({&of, 0, 1});
        for (bool more = true; more;) {
            factor_.push_back(1);
            for (const ProductPower& it : product)
                factor_.back() *= it.of->ask[it.question].factor;
            asked_.push_back(means_->ask(product));
            more = false;
            for (std::size_t l = product.size(); l-- > 0 && !more;) {
                more = ++product[l].question < looks_[l].ask.size();
                if (!more)
                    product[l].question = 0;
            }
        }
    }

    /// From combinations of questions to those of outcomes, look by look; `by(coefficient)`.
    template <class By>
    std::vector<double> outcomes(std::vector<double> values, By by) const {
        std::size_t before = 1;
        for (const Questions& of : looks_) {
            const std::size_t asks = of.ask.size();
            const std::size_t after = values.size() / before / asks;
            std::vector<double> next(before * of.outcomes * after, 0.0);
            for (std::size_t b = 0; b < before; ++b)
                for (std::size_t o = 0; o < of.outcomes; ++o)
                    for (std::size_t q = 0; q < asks; ++q)
                        for (std::size_t a = 0; a < after; ++a)
                            next[(b * of.outcomes + o) * after + a] +=
                                by(of.by(o, q)) * values[(b * asks + q) * after + a];
            values = std::move(next);
            before *= of.outcomes;
        }
        return values;
    }

    /// Nothing where what was found before is too unlikely.
    [[nodiscard]] std::optional<Range> entropy_of_outcomes() const {
        std::vector<double> values;
        for (std::size_t i = 0; i < asked_.size(); ++i)
            values.push_back(factor_[i] * means_->mean(asked_[i]));
        const std::vector<double> chances = outcomes(values, [](double by) { return by; });
        const std::vector<double> sizes = outcomes(values, [](double by) { return std::abs(by); });
        double all = 0;
        double size = 0;
        for (std::size_t o = 0; o < chances.size(); ++o) {
            all += chances[o];
            size += sizes[o];
        }
        if (!(all >= least_found))
            return {};
        Range entropy;
        for (std::size_t o = 0; o < chances.size(); ++o) {
            const double p = chances[o] / all;
            const double off = off_of_a_mean * (sizes[o] + p * size) / all;
            const Range one = entropy_about(p, off);
            entropy.low += one.low;
            entropy.high += one.high;
        }
        return entropy;
    }

    const Model& model_;
    const BySign& found_;
    const Bundle& bundle_;
    std::vector<Questions> looks_;  // [look]
    std::vector<Seen> seen_;
    Signs again_;  // what of all looks was found already
    ProductMeans* means_ = nullptr;
    std::vector<double> factor_;      // [combination]
    std::vector<std::size_t> asked_;  // [combination]
};

}  // namespace

std::vector<std::optional<Range>> joint_bits(const Model& model, const Evidence& evidence,
                                             std::span<const Bundle> bundles,
                                             std::size_t questions) {
    const BySign found(evidence, model.network->signs.size());
    AllMeans without;
    std::vector<JointLook> looks;
    looks.reserve(bundles.size());
    std::vector<bool> answered;
    for (const Bundle& bundle : bundles)
        answered.push_back(looks.emplace_back(model, found, bundle).put(without));
    for (auto& [again, asked] : without)
        asked.means =
            std::make_unique<ProductMeans>(model, evidence, again, std::move(asked.causes));
    for (std::size_t i = 0; i < looks.size(); ++i)
        answered[i] = answered[i] && looks[i].ask(without, questions);
    for (const auto& [again, asked] : without)
        if (asked.means->can_ask())
            asked.means->answer();
    std::vector<std::optional<Range>> all;
    for (std::size_t i = 0; i < looks.size(); ++i)
        all.push_back(answered[i] ? looks[i].bits() : std::nullopt);
    return all;
}

}  // namespace knockwell
