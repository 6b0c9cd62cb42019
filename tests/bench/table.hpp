// bench/table.hpp
//
// The timings as the table of docs/speed.md: medians over the five cases of a row.
//
// Idea     other guests of the machine make it slower by a half for minutes at a time, never
//          quicker: of passes that lie minutes apart the least time of each case counts
// Source   J. Chen, J. Revels, Robust benchmarking in noisy environments, arXiv:1608.04295, 2016
//          (from memory)
#pragma once
#include <benchmark/benchmark.h>

#include <map>
#include <string>
#include <vector>

namespace knockwell::bench {

struct Timing {
    double cpu = 0;   // microseconds of all threads together
    double wall = 0;  // microseconds
    double width = 0;
    std::string refused;  // why there is no time
};

/// [name of the timing]
using Timings = std::map<std::string, Timing>;

/// Keeps the least time of each, and says on standard error where it is.
class Gathering : public benchmark::BenchmarkReporter {
public:
    bool ReportContext(const Context& context) override;
    void ReportRuns(const std::vector<Run>& runs) override;
    [[nodiscard]] const Timings& timings() const { return timings_; }

private:
    Timings timings_;
};

/// Markdown. `worst_error` and `memory` as rows.hpp gives them.
[[nodiscard]] std::string table_of(const Timings& timings, double worst_error, double memory);

/// Puts `text` between the marks of the file; false (and says so) where it has none.
[[nodiscard]] bool put_between_marks(const std::string& file, const std::string& text);

}  // namespace knockwell::bench
