// How long the shipped knowledge takes from the folder to the network: all of it, its stages, and
// the same texts through the TOML library alone. A program that was just started takes longer, for
// its memory is new: perf stat -r 20 knockwell kb graph
#include "knowledge/read.hpp"
#include "knowledge/tree.hpp"
#include "knowledge/version.hpp"
#include "network/network.hpp"

#include <benchmark/benchmark.h>

namespace knockwell::bench {
namespace {

const std::vector<Source>& shipped() {
    static const std::vector<Source> sources = gather_sources(KNOCKWELL_KB_DIR);
    return sources;
}

void count_bytes(benchmark::State& state) {
    std::size_t bytes = 0;
    for (const Source& source : shipped())
        bytes += source.text.size();
    state.SetBytesProcessed(state.iterations() * static_cast<std::int64_t>(bytes));
}

void load_for_an_answer(benchmark::State& state) {
    for (auto _ : state) {
        const std::vector<Source> sources = gather_sources(KNOCKWELL_KB_DIR);
        const ReadResult read = read_knowledge(sources, ReadFor::answers);
        benchmark::DoNotOptimize(compile(read.knowledge));
        benchmark::DoNotOptimize(fingerprint(sources));
    }
    count_bytes(state);
}

void load_for_a_curator(benchmark::State& state) {
    for (auto _ : state) {
        const std::vector<Source> sources = gather_sources(KNOCKWELL_KB_DIR);
        const ReadResult read = read_knowledge(sources);
        benchmark::DoNotOptimize(compile(read.knowledge));
        benchmark::DoNotOptimize(fingerprint(sources));
    }
    count_bytes(state);
}

void files(benchmark::State& state) {
    for (auto _ : state)
        benchmark::DoNotOptimize(gather_sources(KNOCKWELL_KB_DIR));
    count_bytes(state);
}

template <class Reader>
void trees(benchmark::State& state, Reader reader) {
    for (auto _ : state) {
        TreeRoom room;
        std::vector<Problem> problems;
        for (const Source& source : shipped())
            benchmark::DoNotOptimize(reader(source, 0, room, problems));
    }
    count_bytes(state);
}

void bodies(benchmark::State& state) {
    for (auto _ : state)
        benchmark::DoNotOptimize(read_knowledge(shipped(), ReadFor::answers));
    count_bytes(state);
}

BENCHMARK(load_for_an_answer)->Unit(benchmark::kMillisecond);
BENCHMARK(load_for_a_curator)->Unit(benchmark::kMillisecond);
BENCHMARK(files)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(trees, quick, parse_tree)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(trees, library, library_tree)->Unit(benchmark::kMillisecond);
BENCHMARK(bodies)->Name("trees_and_bodies")->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace knockwell::bench
