// The peer from outside: the exact inference (join tree) of dlib, helped by hand: known contexts
// put in, absent findings as one weight a cause, causes that nothing found speaks of left out. Each
// case is tried in a process of its own first, which is ended where it takes too long. D. E. King,
// Dlib-ml: A Machine Learning Toolkit, J. Mach. Learn. Res. 10, 2009, pp. 1755-1758.
#include "bench/plain_tables.hpp"
#include "bench/rows.hpp"

#include <benchmark/benchmark.h>
#include <dlib/bayes_utils.h>
#include <dlib/directed_graph.h>
#include <dlib/graph.h>
#include <dlib/graph_utils.h>
#include <dlib/set.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <set>

namespace knockwell::bench {
namespace {

constexpr unsigned seconds_to_finish = 5;
constexpr rlim_t most_bytes = rlim_t{6} << 30U;

using DlibNetwork = dlib::directed_graph<dlib::bayes_node>::kernel_1a_c;
namespace utils = dlib::bayes_node_utils;

/// Builds the network of what matters for one case.
class Builder {
public:
    Builder(const TwoLevel& net, const Found& found) : net_(net), place_(net.causes.size(), -1) {
        for (const auto& [cause, present] : found.contexts)
            known_[cause] = present;
        for (const std::uint32_t f : found.present)
            for (const TwoLevel::Link& link : net.findings[f].by)
                take(link.cause);
        for (const std::uint32_t f : found.absent)
            for (const TwoLevel::Link& link : net.findings[f].by)
                take(link.cause);
        std::vector<double> quiet(causes_.size(), 1.0);
        for (const std::uint32_t f : found.absent)
            for (const TwoLevel::Link& link : net.findings[f].by)
                quiet[index(link.cause)] *= 1 - link.strength;
        made_.set_number_of_nodes(2 * causes_.size() + found.present.size() + causes_.size() - 1);
        for (unsigned long i = 0; i < made_.number_of_nodes(); ++i)
            utils::set_node_num_values(made_, i, 2);
        for (std::size_t i = 0; i < causes_.size(); ++i) {
            std::vector<TwoLevel::Link> by;
            double leak = net.causes[causes_[i]].present;
            for (const TwoLevel::Link& link : net.causes[causes_[i]].brought_on_by) {
                if (!known_.contains(link.cause))
                    by.push_back(link);
                else if (known_[link.cause])
                    leak = 1 - (1 - leak) * (1 - link.strength);
            }
            noisy_or(i, leak, by);
            // What was found absent, as evidence on a node of the cause's own.
            noisy_or(causes_.size() + i, 0, {{causes_[i], 1 - quiet[i]}});
            observe(causes_.size() + i, 0);
        }
        for (std::size_t f = 0; f < found.present.size(); ++f) {
            const TwoLevel::Shown& shown = net.findings[found.present[f]];
            noisy_or(2 * causes_.size() + f, shown.leak, shown.by);
            observe(2 * causes_.size() + f, 1);
        }
        // The join tree wants one piece: nodes that say nothing hold the causes together.
        for (std::size_t i = 1; i < causes_.size(); ++i)
            noisy_or(2 * causes_.size() + found.present.size() + i - 1, 0.5,
                     {{causes_[i - 1], 0.5}, {causes_[i], 0.5}});
    }

    double solve() {
        using Set = dlib::set<unsigned long>::compare_1b_c;
        dlib::graph<Set, Set>::kernel_1a_c tree;
        dlib::create_moral_graph(made_, tree);
        dlib::create_join_tree(tree, tree);
        const dlib::bayesian_network_join_tree solution(made_, tree);
        double sum = 0;
        for (std::size_t i = 0; i < causes_.size(); ++i)
            sum += solution.probability(i)(1);
        return sum;
    }

private:
    void take(std::uint32_t cause) {
        if (place_[cause] >= 0 || known_.contains(cause))
            return;
        place_[cause] = static_cast<int>(causes_.size());
        causes_.push_back(cause);
        for (const TwoLevel::Link& link : net_.causes[cause].brought_on_by)
            take(link.cause);
    }

    [[nodiscard]] std::size_t index(std::uint32_t cause) const {
        return static_cast<std::size_t>(place_[cause]);
    }

    void noisy_or(unsigned long node, double leak, const std::vector<TwoLevel::Link>& by) {
        for (const TwoLevel::Link& link : by)
            made_.add_edge(index(link.cause), node);
        for (std::size_t row = 0; row < (std::size_t{1} << by.size()); ++row) {
            dlib::assignment parents;
            double absent = 1 - leak;
            for (std::size_t i = 0; i < by.size(); ++i) {
                const bool there = (row >> i & 1U) != 0;
                parents.add(index(by[i].cause), there ? 1 : 0);
                absent *= there ? 1 - by[i].strength : 1;
            }
            utils::set_node_probability(made_, node, 0, parents, absent);
            utils::set_node_probability(made_, node, 1, parents, 1 - absent);
        }
    }

    void observe(unsigned long node, unsigned long value) {
        utils::set_node_value(made_, node, value);
        utils::set_node_as_evidence(made_, node);
    }

    const TwoLevel& net_;
    std::vector<int> place_;  // [cause] its node, or -1
    std::map<std::uint32_t, bool> known_;
    std::vector<std::uint32_t> causes_;  // [node]
    DlibNetwork made_;
};

/// Whether one run ends in time, found out in a child.
bool finishes(const TwoLevel& net, const Found& found) {
    const pid_t child = fork();
    if (child == 0) {
        const rlimit memory{most_bytes, most_bytes};
        setrlimit(RLIMIT_AS, &memory);
        std::signal(SIGALRM, SIG_DFL);
        alarm(seconds_to_finish);
        try {
            benchmark::DoNotOptimize(Builder(net, found).solve());
        } catch (const std::exception&) {
            _exit(1);
        }
        _exit(0);
    }
    int status = 1;
    return child > 0 && waitpid(child, &status, 0) == child && status == 0;
}

void from_cold(benchmark::State& state, const Row& row, std::uint32_t which) {
    // Where one case of a row does not finish the others are not tried.
    static std::set<std::string> given_up;
    const TwoLevel& net = instance_of(row.size).plain;
    const Found found = found_of(row, which);
    if (given_up.contains(row.name()) || !finishes(net, found)) {
        given_up.insert(row.name());
        state.SkipWithError("does not finish");
        return;
    }
    for (auto _ : state)
        benchmark::DoNotOptimize(Builder(net, found).solve());
}

}  // namespace

void register_library() {
    for (const Row& row : all_rows()) {
        if (row.what != "posterior, cold" || row.k == 0 || row.via != Via::sure ||
            !row.contexts_known)
            continue;
        for (std::uint32_t which = 0; which < cases_a_row; ++which)
            benchmark::RegisterBenchmark(
                timing_name(row.name(), library, which).c_str(),
                [row, which](benchmark::State& state) { from_cold(state, row, which); })
                ->Unit(benchmark::kMicrosecond)
                ->MinTime(0.01)
                ->MeasureProcessCPUTime();
    }
}

}  // namespace knockwell::bench
