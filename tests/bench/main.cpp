// Timings of the beliefs beside those of their peers, and the table of docs/speed.md.
//
//   bench                        every timing as Google Benchmark prints it, with its options
//   bench --table                the table on standard output
//   bench --table=docs/speed.md  the table between the marks of that file
#include "bench/rows.hpp"
#include "bench/table.hpp"

#include <benchmark/benchmark.h>

#include <cstring>
#include <iostream>
#include <string>
#include <string_view>

int main(int argc, char** argv) {
    using namespace knockwell::bench;
    bool table = false;
    std::string into;
    std::string filter;
    int kept = 1;
    for (int i = 1; i < argc; ++i) {
        constexpr std::string_view only = "--benchmark_filter=";
        if (std::string_view(argv[i]).starts_with(only))
            filter = argv[i] + only.size();
        if (std::strncmp(argv[i], "--table", 7) != 0) {
            argv[kept++] = argv[i];
            continue;
        }
        table = true;
        if (argv[i][7] == '=')
            into = argv[i] + 8;
    }
    argc = kept;
    argv[argc] = nullptr;
    // Before any thread is there and any memory is grown: both fork.
    const double memory = table ? most_memory() : 0;
    register_ours();
    register_plain();
    register_library();
    register_whole_command();
    benchmark::Initialize(&argc, argv);
    if (benchmark::ReportUnrecognizedArguments(argc, argv))
        return 2;
    if (!table)
        return benchmark::RunSpecifiedBenchmarks() > 0 ? 0 : 1;
    Gathering gathering;
    constexpr int passes = 3;
    // Those that have rows, not the loading of files.
    for (int pass = 0; pass < passes; ++pass)
        benchmark::RunSpecifiedBenchmarks(&gathering, filter.empty() ? "calibration|[|]" : filter);
    const std::string text = table_of(gathering.timings(), worst_error(), memory);
    if (into.empty()) {
        std::cout << text;
        return 0;
    }
    return put_between_marks(into, text) ? 0 : 1;
}
