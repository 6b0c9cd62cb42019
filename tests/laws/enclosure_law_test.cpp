// Bounds are never crossed by the sum over all worlds, however little may be spent on them.
#include "laws/asked.hpp"

#include <algorithm>
#include <cmath>

namespace knockwell::laws {
namespace {

/// `inside` lies between the bounds, up to roundings.
testing::AssertionResult holds(const Range& bounds, double inside) {
    if (bounds.low <= inside * (1 + close) && inside <= bounds.high * (1 + close))
        return testing::AssertionSuccess();
    return testing::AssertionFailure()
           << inside << " is not between " << bounds.low << " and " << bounds.high;
}

/// How far apart the bounds of many causes are.
struct Apart {
    double sum = 0;
    std::uint64_t count = 0;
    [[nodiscard]] double mean() const { return sum / static_cast<double>(count); }
};

void check(const Enclosure& bounds, const Added& slow, Apart& apart) {
    const double log = static_cast<double>(std::log(slow.evidence));
    ASSERT_LE(bounds.log_evidence.low, log + close);
    ASSERT_GE(bounds.log_evidence.high, log - close);
    for (std::size_t c = 0; c < bounds.cause.size(); ++c) {
        const Range& of = bounds.cause[c];
        ASSERT_TRUE(holds(of, static_cast<double>(slow.cause[c] / slow.evidence))) << "cause " << c;
        apart.sum += of.high - of.low;
        ++apart.count;
    }
}

TEST(Enclosures, AreNeverCrossed) {
    constexpr std::size_t most_causes = 9;
    std::uint64_t loosened = 0;
    Apart little;
    Apart exact;
    const auto act = [&](const Posed& posed, const Added& slow) {
        SCOPED_TRACE(posed.label());
        // From what is enough for the exact answer down to where everything is cut.
        for (double operations = 1e6; operations > 1e3; operations /= 4) {
            const auto bounds = enclose(posed.model, posed.it.evidence, operations);
            if (!bounds)
                break;
            check(*bounds, slow, bounds->cuts > 0 ? little : exact);
            if (testing::Test::HasFatalFailure())
                return;
            loosened += bounds->cuts > 0 ? 1U : 0U;
        }
    };
    const std::uint64_t asked = each_added_up({cases(2000)}, most_causes, act);
    EXPECT_GT(loosened, asked / 3) << "bounds must be loosened, or the test says little";
    EXPECT_LT(exact.mean(), 1e-12) << "what is enough for the exact answer gives it";
    EXPECT_LT(little.mean(), 0.75) << "bounds that say nothing hold as well";
}

}  // namespace
}  // namespace knockwell::laws
