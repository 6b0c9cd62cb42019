// beliefs/product_means.hpp
//
// Means of products over the causes, given the evidence, many at once under one plan. Inside this
// floor only.
//
// Idea     a power of a product of u_c over the causes that are present is the same product with
//          u_c^n: one question more (beliefs/questions.hpp). Of a cause that acts only now and then
//          it is what it does while it acts that is raised: that it acts is one of the things that
//          are not known, and the mean is over that too
// Held by  tests/laws/joint_law_test.cpp
#pragma once
#include "beliefs/turning.hpp"
#include "beliefs/whole.hpp"

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace knockwell {

/// A question's product (without its factor) to some power; to the power 0 what is left of it is
/// the states that it asks of the settings.
struct ProductPower {
    const Questions* of = nullptr;
    std::size_t question = 0;
    std::uint32_t exponent = 1;
};

class ProductMeans {
public:
    /// To the evidence without what was found of the signs of `again`; `causes` may be asked for.
    ProductMeans(const Model& model, const Evidence& evidence, std::span<const SignId> again,
                 std::vector<std::uint32_t> causes);
    ProductMeans(const ProductMeans&) = delete;
    ProductMeans& operator=(const ProductMeans&) = delete;
    ProductMeans(ProductMeans&&) = delete;
    ProductMeans& operator=(ProductMeans&&) = delete;
    ~ProductMeans() = default;

    /// False where the evidence is impossible or too wide to add up: then nothing may be asked.
    [[nodiscard]] bool can_ask() const { return asking_.has_value(); }
    /// Operations of one question.
    [[nodiscard]] double cost() const;

    /// Notes a product of powers; its mean is there after answer().
    [[nodiscard]] std::size_t ask(std::span<const ProductPower> product);
    void answer() { asking_->answer(); }
    [[nodiscard]] double mean(std::size_t asked) const { return asking_->times(asked); }

    /// Between which values a question's product can lie, given what is known of single causes.
    [[nodiscard]] Range reach(const Questions& of, std::size_t question) const;

private:
    const Network& network_;
    std::span<const double> strengths_;
    Evidence without_;
    Built built_;
    SumParts parts_;
    Turning turning_;
    std::optional<Whole<double>> now_;
    std::optional<Asking> asking_;
    Questions room_;  // for one question
};

}  // namespace knockwell
