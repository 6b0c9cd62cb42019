// Highway includes this file once for each set of instructions.
#undef HWY_TARGET_INCLUDE
// NOLINTNEXTLINE(cppcoreguidelines-macro-usage): asked for by Highway
#define HWY_TARGET_INCLUDE "beliefs/entropy.cpp"
#include "beliefs/entropy.hpp"

#include <hwy/foreach_target.h>  // IWYU pragma: keep
#include <hwy/highway.h>
// Behind the others: it is compiled for each set of instructions.
#include <hwy/contrib/math/math-inl.h>

#include <array>
#include <cmath>
#include <cstddef>

HWY_BEFORE_NAMESPACE();
// NOLINTNEXTLINE(modernize-concat-nested-namespaces): the inner one is a macro
namespace knockwell {
namespace HWY_NAMESPACE {

// NOLINTNEXTLINE(misc-use-internal-linkage): reached through the table below
void entropies_in_place(double* p, std::size_t count) {
    namespace hn = hwy::HWY_NAMESPACE;
    const hn::ScalableTag<double> d;
    const auto zero = hn::Zero(d);
    const auto one = hn::Set(d, 1.0);
    const auto entropy = [&](auto x) HWY_ATTR {
        const auto between = hn::And(hn::Gt(x, zero), hn::Lt(x, one));
        const auto q = hn::Sub(one, x);
        // Outside of 0..1 a number of which there is a logarithm stands in.
        const auto a = hn::Mul(x, hn::Log2(d, hn::IfThenElse(between, x, one)));
        const auto b = hn::Mul(q, hn::Log2(d, hn::IfThenElse(between, q, one)));
        return hn::IfThenElseZero(between, hn::Neg(hn::Add(a, b)));
    };
    const std::size_t lanes = hn::Lanes(d);
    std::size_t i = 0;
    for (; i + lanes <= count; i += lanes)
        hn::StoreU(entropy(hn::LoadU(d, p + i)), d, p + i);
    if (i == count)
        return;
    std::array<double, 64> rest{};
    for (std::size_t j = i; j < count; ++j)
        rest[j - i] = p[j];
    hn::StoreU(entropy(hn::LoadU(d, rest.data())), d, rest.data());
    for (std::size_t j = i; j < count; ++j)
        p[j] = rest[j - i];
}

}  // namespace HWY_NAMESPACE
}  // namespace knockwell
HWY_AFTER_NAMESPACE();

#if HWY_ONCE
namespace knockwell {

HWY_EXPORT(entropies_in_place);

double entropy_of(double p) {
    return p <= 0 || p >= 1 ? 0 : -p * std::log2(p) - (1 - p) * std::log2(1 - p);
}

void entropies_of(std::span<double> p) {
    HWY_DYNAMIC_DISPATCH(entropies_in_place)(p.data(), p.size());
}

}  // namespace knockwell
#endif
