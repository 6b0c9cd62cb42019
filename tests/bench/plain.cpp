// The peer of our own: plain elimination on doubles, helped by hand as far as one who uses a
// general method would help it: known contexts put in, absent findings absorbed as weights, a
// present finding as a chain of ors, the order kept for the ranking.
#include "bench/plain_tables.hpp"
#include "bench/rows.hpp"

#include <benchmark/benchmark.h>
#include <boost/multiprecision/cpp_bin_float.hpp>

#include <cmath>

namespace knockwell::bench {
namespace {

constexpr std::size_t widest = 20;
constexpr std::size_t widest_ranking = 14;
// Of the open checks so many are run, evenly spread, and the time is taken times the rest.
constexpr std::size_t checks_run = 16;

Report report_of(const Row& row) { return row.via == Via::sure ? sure_report : looked_report; }

Elimination<double> prepared(const Row& row, const Found& found) {
    PlainTables<double> tables =
        plain_tables<double>(instance_of(row.size).plain, found, report_of(row), PresentAs::chain);
    return {tables.bits, std::move(tables.tables)};
}

bool fits(benchmark::State& state, const Elimination<double>& it, std::size_t most) {
    if (it.width() <= most)
        return true;
    state.SkipWithError(("too wide: " + std::to_string(it.width())).c_str());
    return false;
}

void from_cold(benchmark::State& state, const Row& row, std::uint32_t which) {
    const Found found = found_of(row, which);
    if (!fits(state, prepared(row, found), widest))
        return;
    for (auto _ : state) {
        Elimination<double> it = prepared(row, found);
        const double sum = it.total();
        benchmark::DoNotOptimize(it.with_each(sum));
    }
}

void kept(benchmark::State& state, const Row& row, std::uint32_t which) {
    Elimination<double> it = prepared(row, found_of(row, which));
    if (!fits(state, it, widest))
        return;
    for (auto _ : state) {
        const double sum = it.total();
        benchmark::DoNotOptimize(it.with_each(sum));
    }
}

void ranking(benchmark::State& state, const Row& row, std::uint32_t which) {
    const TwoLevel& net = instance_of(row.size).plain;
    const Found found = found_of(row, which);
    PlainTables<double> tables = plain_tables<double>(net, found, report_of(row), PresentAs::chain);
    const std::vector<std::size_t> weight = tables.weight;
    Elimination<double> it(tables.bits, std::move(tables.tables));
    if (!fits(state, it, widest_ranking))
        return;
    const PlainTablesMaker<double> maker(net, found, report_of(row));
    const std::vector<Look> looks = open_checks(net, found);
    const std::size_t run = std::min(checks_run, looks.size());
    for (auto _ : state)
        for (std::size_t i = 0; i < run; ++i) {
            const auto sign = std::get<SignId>(looks[i * looks.size() / run].at[0]).index();
            // "It comes out absent" is one more absent finding.
            for (const TwoLevel::Link& link : net.findings[sign].by)
                it.table(weight[link.cause]).entries[1] *= maker.silence(link);
            const double sum = it.total();
            benchmark::DoNotOptimize(it.with_each(sum));
            for (const TwoLevel::Link& link : net.findings[sign].by)
                it.table(weight[link.cause]).entries[1] /= maker.silence(link);
        }
    state.counters["times"] = static_cast<double>(looks.size()) / static_cast<double>(run);
}

}  // namespace

void register_plain() {
    for (const Row& row : all_rows()) {
        if (row.what == "posterior, one finding more" || row.k % 4 != 0 || row.k > 12)
            continue;
        const auto run = row.what == "posterior, cold"   ? from_cold
                         : row.what == "posterior, kept" ? kept
                                                         : ranking;
        for (std::uint32_t which = 0; which < cases_a_row; ++which)
            benchmark::RegisterBenchmark(
                timing_name(row.name(), plain, which).c_str(),
                [run, row, which](benchmark::State& state) { run(state, row, which); })
                ->Unit(benchmark::kMicrosecond)
                ->MinTime(0.01)
                ->MeasureProcessCPUTime();
    }
}

double worst_error() {
    using Long = boost::multiprecision::cpp_bin_float_100;
    double worst = 0;
    for (const InstanceSize& size : {small, medium})
        for (const std::size_t k : {12U, 16U})
            for (std::uint32_t which = 0; which < cases_a_row; ++which) {
                const Instance& it = instance_of(size);
                const Found found = make_found(it.plain, k, which, true);
                const Answer answer = posterior({&it.knowledge, &it.network}, evidence_of(found));
                const auto* fast = std::get_if<Posterior>(&answer);
                if (fast == nullptr)
                    return std::nan("");
                PlainTables<Long> tables =
                    plain_tables<Long>(it.plain, found, sure_report, PresentAs::signed_sum);
                Elimination<Long> slow(tables.bits, std::move(tables.tables));
                const Long sum = slow.total();
                const std::vector<Long> with = slow.with_each(sum);
                worst =
                    std::max(worst, std::abs(static_cast<double>(fast->log_evidence - log(sum))));
                for (std::size_t c = 0; c < fast->cause.size(); ++c)
                    if (with[c] != 0) {
                        const Long right = with[c] / sum;
                        worst = std::max(
                            worst, std::abs(static_cast<double>((fast->cause[c] - right) / right)));
                    }
            }
    return worst;
}

}  // namespace knockwell::bench
