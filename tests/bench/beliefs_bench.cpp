// How long the beliefs take: from cold (the plan is sought each time), kept (the plan is there),
// and the ranking of every open check; medians over five cases of evidence. `width` and `cost` are
// those of the plan. The calibration loop is the same arithmetic everywhere, to compare machines
// by.
#include "beliefs/build.hpp"
#include "beliefs/parts.hpp"
#include "bench/instances.hpp"

#include <benchmark/benchmark.h>

#include <map>
#include <string>

namespace knockwell::bench {
namespace {

constexpr std::uint32_t cases = 5;

const Instance& instance_of(const InstanceSize& size) {
    static std::map<std::string, std::unique_ptr<const Instance>> made;
    auto& one = made[size.name];
    if (!one)
        one = make_instance(size);
    return *one;
}

Evidence evidence_for(const Instance& it, std::size_t k, std::uint32_t which, bool known) {
    return evidence_of(make_found(it.plain, k, which, known));
}

void count_width(benchmark::State& state, const Model& model, const Evidence& evidence) {
    const Built built = build(model, evidence, point_values(*model.network));
    const SumParts parts = parts_of(built.sum.shape, built.sum.numbers.size(), *model.plans);
    state.counters["width"] = parts.width();
    state.counters["cost"] = parts.cost();
}

void posterior_from_cold(benchmark::State& state, const InstanceSize& size, bool known) {
    const Instance& it = instance_of(size);
    std::vector<Evidence> evidence;
    for (std::uint32_t which = 0; which < cases; ++which)
        evidence.push_back(
            evidence_for(it, static_cast<std::size_t>(state.range(0)), which, known));
    std::size_t which = 0;
    for (auto _ : state) {
        const Model model{&it.knowledge, &it.network};
        benchmark::DoNotOptimize(posterior(model, evidence[which++ % cases]));
    }
    count_width(state, Model{&it.knowledge, &it.network},
                evidence_for(it, static_cast<std::size_t>(state.range(0)), 0, known));
}

void posterior_kept(benchmark::State& state, const InstanceSize& size, bool known) {
    const Instance& it = instance_of(size);
    const Model model{&it.knowledge, &it.network};
    const Evidence evidence = evidence_for(it, static_cast<std::size_t>(state.range(0)), 0, known);
    for (auto _ : state)
        benchmark::DoNotOptimize(posterior(model, evidence));
}

void every_open_check(benchmark::State& state, const InstanceSize& size, bool known) {
    const Instance& it = instance_of(size);
    const Model model{&it.knowledge, &it.network};
    const Evidence evidence = evidence_for(it, static_cast<std::size_t>(state.range(0)), 0, known);
    const Answer answer = posterior(model, evidence);
    const auto* now = std::get_if<Posterior>(&answer);
    if (!now) {
        state.SkipWithError("no posterior");
        return;
    }
    const std::vector<Look> looks = open_checks(
        it.plain, make_found(it.plain, static_cast<std::size_t>(state.range(0)), 0, known));
    const std::vector<CauseId> causes = explainers(model, evidence);
    for (auto _ : state)
        benchmark::DoNotOptimize(bits_of_all(model, evidence, looks, now->cause, causes));
}

void ranges_of_redraws(benchmark::State& state, const InstanceSize& size) {
    const Instance& it = instance_of(size);
    const Model model{&it.knowledge, &it.network};
    const Evidence evidence = evidence_for(it, static_cast<std::size_t>(state.range(0)), 0, true);
    for (auto _ : state)
        benchmark::DoNotOptimize(ranges(model, evidence, 200, 1));
}

void calibration(benchmark::State& state) {
    std::vector<double> table(4096, 1.0);
    for (auto _ : state) {
        for (double& x : table)
            x = 0.999 * x + 0.001;
        benchmark::DoNotOptimize(table.data());
    }
}

void in_steps(benchmark::internal::Benchmark* it) {
    it->Arg(0)->Arg(4)->Arg(8)->Arg(12)->Unit(benchmark::kMicrosecond);
}

BENCHMARK(calibration)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(posterior_from_cold, S_known, small, true)->Apply(in_steps);
BENCHMARK_CAPTURE(posterior_from_cold, S_unknown, small, false)->Apply(in_steps);
BENCHMARK_CAPTURE(posterior_from_cold, M_known, medium, true)->Apply(in_steps);
BENCHMARK_CAPTURE(posterior_from_cold, L_known, large, true)->Apply(in_steps);
BENCHMARK_CAPTURE(posterior_kept, S_known, small, true)->Apply(in_steps);
BENCHMARK_CAPTURE(posterior_kept, M_known, medium, true)->Apply(in_steps);
BENCHMARK_CAPTURE(posterior_kept, L_known, large, true)->Apply(in_steps);
BENCHMARK_CAPTURE(every_open_check, S_known, small, true)->Apply(in_steps);
BENCHMARK_CAPTURE(every_open_check, M_known, medium, true)->Apply(in_steps);
BENCHMARK_CAPTURE(every_open_check, L_known, large, true)->Apply(in_steps);
BENCHMARK_CAPTURE(ranges_of_redraws, S_known, small)->Apply(in_steps);
BENCHMARK_CAPTURE(ranges_of_redraws, M_known, medium)->Apply(in_steps);

}  // namespace
}  // namespace knockwell::bench

BENCHMARK_MAIN();
