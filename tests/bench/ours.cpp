// The beliefs' own timings. From cold: nothing is there but network and evidence. One finding more:
// the plans of all but the last present finding are there. Kept: the same was asked before.
#include "advice/advice.hpp"
#include "beliefs/build.hpp"
#include "beliefs/finding.hpp"
#include "beliefs/parts.hpp"
#include "bench/rows.hpp"
#include "knowledge/read.hpp"

#include <benchmark/benchmark.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>

namespace knockwell::bench {
namespace {

// A ranking runs the plan some hundred times: beyond this a shortlist would be ranked.
constexpr double widest_ranking = 14;
constexpr double seconds_a_timing = 0.02;

Model cold(const Instance& it) { return {&it.knowledge, &it.network}; }

double width_of(const Model& model, const Evidence& evidence) {
    const Built built = build(model, evidence, point_values(*model.network));
    return parts_of(built.sum, *model.plans).width();
}

/// False, and the timing says so, where there is no answer.
bool answered(benchmark::State& state, const Answer& answer) {
    if (const auto* wide = std::get_if<TooWide>(&answer))
        state.SkipWithError(("too wide: " + std::to_string(wide->width)).c_str());
    else if (std::holds_alternative<Impossible>(answer))
        state.SkipWithError("impossible");
    return std::holds_alternative<Posterior>(answer);
}

void from_cold(benchmark::State& state, const Row& row, std::uint32_t which) {
    const Instance& it = instance_of(row.size);
    const Evidence evidence = evidence_of(found_of(row, which), row.via);
    if (!answered(state, posterior(cold(it), evidence)))
        return;
    for (auto _ : state)
        benchmark::DoNotOptimize(posterior(cold(it), evidence));
    state.counters["width"] = width_of(cold(it), evidence);
}

void one_more(benchmark::State& state, const Row& row, std::uint32_t which) {
    const Instance& it = instance_of(row.size);
    Found found = found_of(row, which);
    const Evidence evidence = evidence_of(found, row.via);
    if (!found.present.empty())
        found.present.pop_back();
    const Evidence before = evidence_of(found, row.via);
    if (!answered(state, posterior(cold(it), evidence)))
        return;
    for (auto _ : state) {
        const Model model = cold(it);
        benchmark::DoNotOptimize(posterior(model, before));
        const auto start = std::chrono::steady_clock::now();
        benchmark::DoNotOptimize(posterior(model, evidence));
        state.SetIterationTime(
            std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
    }
}

void kept(benchmark::State& state, const Row& row, std::uint32_t which) {
    const Instance& it = instance_of(row.size);
    const Model model = cold(it);
    const Evidence evidence = evidence_of(found_of(row, which), row.via);
    if (!answered(state, posterior(model, evidence)))
        return;
    for (auto _ : state)
        benchmark::DoNotOptimize(posterior(model, evidence));
}

void ranking(benchmark::State& state, const Row& row, std::uint32_t which) {
    const Instance& it = instance_of(row.size);
    const Model model = cold(it);
    const Found found = found_of(row, which);
    const Evidence evidence = evidence_of(found, row.via);
    if (const double width = width_of(model, evidence); width > widest_ranking) {
        state.SkipWithError(("too wide: " + std::to_string(width)).c_str());
        return;
    }
    const Answer answer = posterior(model, evidence);
    if (!answered(state, answer))
        return;
    const std::vector<Look> looks = open_checks(it.plain, found, row.via);
    const std::vector<CauseId> causes = explainers(model, evidence);
    const std::vector<double>& now = std::get<Posterior>(answer).cause;
    for (auto _ : state)
        benchmark::DoNotOptimize(bits_of_all(model, evidence, looks, now, causes));
}

void calibration(benchmark::State& state) {
    std::vector<double> table(4096, 1.0);
    for (auto _ : state) {
        for (double& x : table)
            x = 0.999 * x + 0.001;
        benchmark::DoNotOptimize(table.data());
        benchmark::ClobberMemory();
    }
}

// ------------------------------------------------ the shipped knowledge

struct Shipped {
    Knowledge knowledge;
    Network network;
    std::vector<Evidence> cases;  // findings of the practice cases up to the first repair
};

void read_into(Evidence& evidence, const Knowledge& knowledge,
               const std::vector<WrittenFinding>& written, Via via) {
    for (const WrittenFinding& one : written) {
        const auto read = read_finding(knowledge, one.what, one.value, via, &evidence);
        if (const auto* finding = std::get_if<Finding>(&read))
            add(evidence, *finding);
        else if (const auto* cause = std::get_if<KnownCause>(&read))
            evidence.causes.push_back(*cause);
    }
}

const Shipped& shipped() {
    static const std::unique_ptr<const Shipped> made = [] {
        auto it = std::make_unique<Shipped>();
        it->knowledge = read_knowledge(gather_sources(KNOCKWELL_KB_DIR)).knowledge;
        it->network = compile(it->knowledge);
        for (const Practice& practice : it->knowledge.practice) {
            Evidence& evidence = it->cases.emplace_back();
            for (const WrittenFinding& one : practice.set) {
                const auto read = read_setting(it->knowledge, one.what, one.value);
                if (const auto* setting = std::get_if<KnownSetting>(&read))
                    evidence.settings[setting->setting] = setting->state;
                else if (const auto* quantity = std::get_if<KnownQuantity>(&read))
                    evidence.quantities[quantity->name] = quantity->value;
            }
            read_into(evidence, it->knowledge, practice.says, Via::told);
            read_into(evidence, it->knowledge, practice.found, Via::looked);
        }
        return it;
    }();
    return *made;
}

void of_shipped(benchmark::State& state,
                const std::function<void(const Model&, const Evidence&, const Posterior&)>& ask) {
    const Shipped& it = shipped();
    for (auto _ : state)
        for (const Evidence& evidence : it.cases) {
            const Model model{&it.knowledge, &it.network};
            const Answer answer = posterior(model, evidence);
            if (const auto* now = std::get_if<Posterior>(&answer))
                ask(model, evidence, *now);
        }
    state.counters["cases"] = static_cast<double>(it.cases.size());
}

benchmark::internal::Benchmark* timed(benchmark::internal::Benchmark* it) {
    return it->Unit(benchmark::kMicrosecond)->MinTime(seconds_a_timing)->MeasureProcessCPUTime();
}

}  // namespace

void register_ours() {
    timed(benchmark::RegisterBenchmark("calibration", calibration))->MinTime(0.5);
    const auto plainly = [](const Model&, const Evidence&, const Posterior&) {};
    const auto with_ranges = [](const Model& model, const Evidence& evidence, const Posterior&) {
        benchmark::DoNotOptimize(ranges(model, evidence));
    };
    const auto with_advice = [](const Model& model, const Evidence& evidence,
                                const Posterior& now) {
        benchmark::DoNotOptimize(advise(model, evidence, now, Situation{}));
    };
    const auto of_kb = [](const char* name, auto ask) {
        timed(benchmark::RegisterBenchmark(
            name, [ask](benchmark::State& state) { of_shipped(state, ask); }));
    };
    of_kb("shipped|posterior, cold", plainly);
    of_kb("shipped|posterior and ranges over 200 redraws", with_ranges);
    of_kb("shipped|posterior and the next steps", with_advice);
    for (const Row& row : all_rows())
        for (std::uint32_t which = 0; which < cases_a_row; ++which) {
            const auto run = row.what == "posterior, cold"               ? from_cold
                             : row.what == "posterior, one finding more" ? one_more
                             : row.what == "posterior, kept"             ? kept
                                                                         : ranking;
            auto* it = timed(benchmark::RegisterBenchmark(
                timing_name(row.name(), ours, which).c_str(),
                [run, row, which](benchmark::State& state) { run(state, row, which); }));
            if (run == one_more)
                it->UseManualTime();
        }
}

double most_memory() {
    const Instance& it = instance_of(large);
    double most = 0;
    for (std::uint32_t which = 0; which < cases_a_row; ++which) {
        const Row row{"", large, 20, true, Via::sure};
        const Found found = found_of(row, which);
        const Evidence evidence = evidence_of(found);
        if (width_of(cold(it), evidence) > 14)
            continue;
        // A child of its own, so that what is freed does not hide.
        int ends[2];
        if (pipe(ends) != 0)
            return -1;
        const pid_t child = fork();
        if (child == 0) {
            const auto peak = [] {
                rusage used{};
                getrusage(RUSAGE_SELF, &used);
                // The system declares it as a union.
                return static_cast<double>(
                           used.ru_maxrss) /  // NOLINT(cppcoreguidelines-pro-type-union-access)
                       1024;
            };
            const double before = peak();
            const Model model = cold(it);
            const Answer answer = posterior(model, evidence);
            if (const auto* now = std::get_if<Posterior>(&answer))
                benchmark::DoNotOptimize(bits_of_all(model, evidence, open_checks(it.plain, found),
                                                     now->cause, explainers(model, evidence)));
            const double grown = peak() - before;
            _exit(write(ends[1], &grown, sizeof grown) == sizeof grown ? 0 : 1);
        }
        double grown = -1;
        if (read(ends[0], &grown, sizeof grown) != sizeof grown)
            grown = -1;
        int status = 0;
        waitpid(child, &status, 0);
        close(ends[0]);
        close(ends[1]);
        most = std::max(most, grown);
    }
    return most;
}

}  // namespace knockwell::bench
