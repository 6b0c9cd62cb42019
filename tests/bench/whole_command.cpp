// The whole command: `knockwell ask` with ten findings, from the start of its process to its end,
// the knowledge's text read each time. The questions are worked cases with the most findings,
// filled up to ten with what is asked on the phone and answered no (ten_findings.txt).
#include "bench/rows.hpp"

#include <benchmark/benchmark.h>
#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <fstream>
#include <sstream>
#include <utility>

namespace knockwell::bench {
namespace {

constexpr std::int64_t runs_a_question = 31;

/// One a line: what stands behind `ask`.
std::vector<std::vector<std::string>> questions() {
    std::ifstream file(KNOCKWELL_TEN_FINDINGS);
    std::vector<std::vector<std::string>> all;
    for (std::string line; std::getline(file, line);) {
        std::istringstream words(line);
        std::vector<std::string> question{KNOCKWELL_PROGRAM, "ask", "--kb", KNOCKWELL_KB_DIR};
        for (std::string word; words >> word;)
            question.push_back(std::move(word));
        all.push_back(std::move(question));
    }
    return all;
}

/// The status with which it ends, or -1 where it cannot be started; what it says is thrown away.
int run(std::vector<std::string> command) {
    std::vector<char*> words;
    for (std::string& word : command)
        words.push_back(word.data());
    words.push_back(nullptr);
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
    pid_t child = 0;
    int status = -1;
    if (posix_spawn(&child, words.front(), &actions, nullptr, words.data(), environ) == 0)
        waitpid(child, &status, 0);
    posix_spawn_file_actions_destroy(&actions);
    return status;
}

void whole(benchmark::State& state, const std::vector<std::string>& question) {
    std::vector<double> microseconds;
    for (auto _ : state) {
        const auto start = std::chrono::steady_clock::now();
        if (run(question) != 0) {
            state.SkipWithError("ends badly");
            return;
        }
        const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
        state.SetIterationTime(took.count());
        microseconds.push_back(took.count() * 1e6);
    }
    const auto middle = microseconds.begin() + runs_a_question / 2;
    std::nth_element(microseconds.begin(), middle, microseconds.end());
    state.counters["median"] = *middle;
}

}  // namespace

void register_whole_command() {
    const std::vector<std::vector<std::string>> all = questions();
    for (std::size_t i = 0; i < all.size(); ++i)
        benchmark::RegisterBenchmark(
            ("whole|" + std::to_string(i + 1)).c_str(),
            [question = all[i]](benchmark::State& state) { whole(state, question); })
            ->Unit(benchmark::kMicrosecond)
            ->Iterations(runs_a_question)
            ->UseManualTime();
}

}  // namespace knockwell::bench
