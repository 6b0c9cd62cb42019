// On networks whose worlds cannot be added up the beliefs agree with another method in numbers of a
// hundred decimal digits (335 bits, where 128 would do): inclusion and exclusion over the present
// findings, by plain elimination, which shares neither code nor form with theirs.
#include "bench/plain_tables.hpp"
#include "laws/asked.hpp"

#include <boost/multiprecision/cpp_bin_float.hpp>

namespace knockwell::laws {
namespace {

using namespace bench;
using Long = boost::multiprecision::cpp_bin_float_100;

struct Digits {
    std::string name;
    InstanceSize size;
    std::size_t k = 0;
    bool contexts_known = true;
    Via via = Via::sure;
};

// NOLINTNEXTLINE(readability-identifier-naming): gtest looks for this name
void PrintTo(const Digits& digits, std::ostream* to) { *to << digits.name; }

std::vector<Digits> all_digits() {
    std::vector<Digits> all;
    for (const InstanceSize& size : {small, medium})
        for (const std::size_t k : {12U, 16U})
            for (const bool known : {true, false})
                for (const Via via : {Via::sure, Via::looked})
                    all.push_back({size.name + std::to_string(k) + (known ? "Known" : "Unknown") +
                                       (via == Via::sure ? "Sure" : "Looked"),
                                   size, k, known, via});
    return all;
}

class AHundredDigits : public testing::TestWithParam<Digits> {};
INSTANTIATE_TEST_SUITE_P(On, AHundredDigits, testing::ValuesIn(all_digits()),
                         [](const auto& one) { return one.param.name; });

/// `fast` is `slow` to 1e-12 of it.
void expect_agreement(double fast, const Long& slow, const std::string& of) {
    EXPECT_NEAR(static_cast<double>((fast - slow) / slow), 0, close) << of << ": " << fast;
}

TEST_P(AHundredDigits, SayWhatTheBeliefsSay) {
    const auto& [name, size, k, known, via] = GetParam();
    const std::unique_ptr<const Instance> it = make_instance(size);
    for (std::uint32_t which = 0; which < 5; ++which) {
        SCOPED_TRACE("case " + std::to_string(which));
        const Found found = make_found(it->plain, k, which, known);
        ASSERT_EQ(found.present.size(), k);
        const Answer answer = posterior({&it->knowledge, &it->network}, evidence_of(found, via));
        ASSERT_TRUE(std::holds_alternative<Posterior>(answer));
        const auto& fast = std::get<Posterior>(answer);

        PlainTables<Long> tables =
            plain_tables<Long>(it->plain, found, via == Via::sure ? sure_report : looked_report,
                               PresentAs::signed_sum);
        Elimination<Long> slow(tables.bits, std::move(tables.tables));
        const Long sum = slow.total();
        const std::vector<Long> with = slow.with_each(sum);
        EXPECT_NEAR(static_cast<double>(fast.log_evidence - log(sum)), 0, close);
        for (std::size_t c = 0; c < it->plain.causes.size(); ++c) {
            if (with[c] == 0)
                EXPECT_EQ(fast.cause[c], 0) << "a context that is known to be absent";
            else
                expect_agreement(fast.cause[c], with[c] / sum, "cause " + std::to_string(c));
        }
    }
}

}  // namespace
}  // namespace knockwell::laws
