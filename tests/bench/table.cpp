#include "bench/table.hpp"

#include "bench/rows.hpp"
#include "support/marks.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <ctime>
#include <fstream>
#include <iomanip>
#include <iostream>
#include <iterator>
#include <limits>
#include <optional>
#include <sstream>
#include <thread>

namespace knockwell::bench {
namespace {

constexpr double never = std::numeric_limits<double>::infinity();

std::string number_text(double value, int decimals, bool scientific = false) {
    std::ostringstream text;
    text << (scientific ? std::scientific : std::fixed) << std::setprecision(decimals) << value;
    return text.str();
}

/// Three digits, in the unit that suits.
std::string time_text(double microseconds) {
    const auto text = [](double value, const char* unit) {
        return number_text(value, value < 10 ? 2 : value < 100 ? 1 : 0) + " " + unit;
    };
    if (microseconds < 1000)
        return text(microseconds, "us");
    return microseconds < 1e6 ? text(microseconds / 1e3, "ms") : text(microseconds / 1e6, "s");
}

/// "1234 x"
std::string ratio_text(double ratio) { return number_text(ratio, ratio < 10 ? 1 : 0) + " x"; }

/// The five cases of one who did a row's work; without a time where it was refused.
struct OfARow {
    std::vector<double> cpu, wall, width;
    std::size_t refused = 0;
    std::string why;
    [[nodiscard]] bool any() const { return !cpu.empty(); }
};

OfARow of_a_row(const Timings& timings, const std::string& row, const char* who) {
    OfARow all;
    for (std::uint32_t which = 0; which < cases_a_row; ++which) {
        const auto at = timings.find(timing_name(row, who, which));
        if (at == timings.end())
            continue;
        const bool refused = !at->second.refused.empty();
        all.cpu.push_back(refused ? never : at->second.cpu);
        all.wall.push_back(refused ? never : at->second.wall);
        all.width.push_back(at->second.width);
        if (refused) {
            ++all.refused;
            all.why = at->second.refused;
        }
    }
    return all;
}

double median(std::vector<double> values) {
    std::sort(values.begin(), values.end());
    return values[values.size() / 2];
}

std::string median_text(const OfARow& all) {
    if (!all.any())
        return "";
    const double middle = median(all.cpu);
    std::string text = std::isinf(middle) ? all.why : time_text(middle);
    if (all.refused > 0 && !std::isinf(middle))
        text += " (" + std::to_string(all.refused) + " of 5: " + all.why + ")";
    return text;
}

std::string ratio_of(const OfARow& peer, double ours_median) {
    if (!peer.any() || std::isinf(median(peer.cpu)) || std::isinf(ours_median))
        return "";
    return ratio_text(median(peer.cpu) / ours_median);
}

/// The bars that the project has set itself, microseconds.
std::optional<double> bar_of(const Row& row) {
    if (row.k != 12)
        return std::nullopt;
    const std::string& s = row.size.name;
    if (row.what == "posterior, cold" && row.contexts_known)
        return s == "S" ? 30 : s == "M" ? 50 : 60;
    if (row.what == "ranking of every open check" && row.contexts_known)
        return s == "S" ? 60 : s == "M" ? 250 : 2500;
    if (row.what == "ranking of every open check" && s == "L")
        return 10000;
    return std::nullopt;
}

std::string machine() {
    std::ifstream about("/proc/cpuinfo");
    std::string line;
    while (std::getline(about, line))
        if (line.starts_with("model name"))
            return line.substr(line.find(':') + 2);
    return "unknown processor";
}

std::string today() {
    const std::time_t now = std::time(nullptr);
    std::tm local{};
    localtime_r(&now, &local);
    std::array<char, 16> text{};
    std::strftime(text.data(), text.size(), "%Y-%m-%d", &local);
    return text.data();
}

std::string head_text(double calibration, double worst_error, double memory) {
    std::string text = today() + ", " + machine() + ", " +
                       std::to_string(std::thread::hardware_concurrency()) + " cores, g++ " +
                       std::to_string(__GNUC__) + "." + std::to_string(__GNUC_MINOR__) +
#ifdef NDEBUG
                       ", release"
#else
                       ", NOT a release build"
#endif
                       + ", seed " + std::to_string(seed) +
                       ". Calibration loop (4,096 doubles, a "
                       "multiplication and an addition each): " +
                       time_text(calibration) + ".\n\n";
    text += "Worst difference from numbers of a hundred digits (S and M, k = 12 and 16, P(e) and "
            "every posterior): " +
            number_text(worst_error, 1, true) +
            " of the value; bar 1e-12. Most memory beyond network and evidence for posteriors and "
            "ranking (L, k = 20, width at most 14): " +
            number_text(memory, 0) + " MiB; bar 64.\n\n";
    return text;
}

std::string shipped_text(const Timings& timings, double calibration) {
    std::string text = "### The shipped knowledge\n\nAll practice cases one after another, each "
                       "from cold; time for one.\n\n| | one case | in calibration loops "
                       "|\n|---|---|---|\n";
    for (const auto& [name, timing] : timings)
        if (name.starts_with("shipped|") && timing.width > 0) {
            const double one = timing.cpu / timing.width;  // `width` counts the cases here
            text += "| " + name.substr(8) + " | " + time_text(one) + " | " +
                    number_text(one / calibration, 0) + " |\n";
        }
    return text + "\n";
}

std::string whole_command_text(const Timings& timings) {
    std::string text =
        "### The whole command\n\n`ask` with ten findings, the process from its start "
        "to its end, by the clock; the median of 31.\n\n| question | time "
        "|\n|---|---|\n";
    std::vector<double> all;
    for (const auto& [name, timing] : timings) {
        if (!name.starts_with("whole|"))
            continue;
        all.push_back(timing.refused.empty() ? timing.wall : never);
        text += "| " + name.substr(6) + " | " +
                (timing.refused.empty() ? time_text(timing.wall) : timing.refused) + " |\n";
    }
    if (all.empty())
        return "";
    constexpr double bar = 50e3;
    const double middle = median(all);
    return text + "\nThe median over the questions is " + time_text(middle) + "; bar " +
           time_text(bar) + (middle < bar ? ", met" : ", **missed**") + ".\n\n";
}

std::string part_title(const Row& row) {
    return row.what + (row.contexts_known ? ", contexts known" : ", contexts unknown") +
           (row.via == Via::sure ? ", sure findings" : ", uncertain findings");
}

std::string row_text(const Timings& timings, const Row& row, double calibration) {
    const OfARow mine = of_a_row(timings, row.name(), ours);
    if (!mine.any())
        return "";
    const OfARow peer = of_a_row(timings, row.name(), plain);
    const OfARow lib = of_a_row(timings, row.name(), library);
    const double middle = median(mine.cpu);
    const std::optional<double> bar = bar_of(row);
    const double width = *std::max_element(mine.width.begin(), mine.width.end());
    std::string text = "| " + row.size.name + " | " + std::to_string(row.k) + " | ";
    text += median_text(mine) + " | ";
    text += (bar ? time_text(*bar) + (middle <= *bar ? ", met" : ", **missed**") : "") + " | ";
    text += (std::isinf(middle) ? "" : number_text(middle / calibration, 1)) + " | ";
    text += (std::isinf(median(mine.wall)) ? "" : time_text(median(mine.wall))) + " | ";
    text += (width > 0 ? number_text(median(mine.width), 0) + " to " + number_text(width, 0) : "") +
            " | ";
    text += median_text(peer) + " | " + ratio_of(peer, middle) + " | ";
    return text + median_text(lib) + " | " + ratio_of(lib, middle) + " |\n";
}

}  // namespace

bool Gathering::ReportContext(const Context& /*context*/) { return true; }

void Gathering::ReportRuns(const std::vector<Run>& runs) {
    for (const Run& run : runs) {
        std::string name = run.run_name.function_name;
        std::cerr << name << '\n';
        Timing timing;
        if (run.error_occurred) {
            timing.refused = run.error_message;
            timings_.try_emplace(name, timing);
            continue;
        }
        const auto counter = [&](const char* key, double otherwise) {
            const auto at = run.counters.find(key);
            return at == run.counters.end() ? otherwise : at->second.value;
        };
        const double times = counter("times", 1);
        timing.wall = counter("median", run.GetAdjustedRealTime() * times);
        // Timed by hand: then the processor's time is of more than was timed.
        const bool by_hand = name.find("one finding more") != std::string::npos;
        timing.cpu = by_hand ? timing.wall : run.GetAdjustedCPUTime() * times;
        timing.width = counter("width", counter("cases", 0));
        const auto [kept, first] = timings_.try_emplace(name, timing);
        if (!first && !kept->second.refused.empty())
            kept->second = timing;
        kept->second.cpu = std::min(kept->second.cpu, timing.cpu);
        kept->second.wall = std::min(kept->second.wall, timing.wall);
    }
}

std::string table_of(const Timings& timings, double worst_error, double memory) {
    const auto loop = timings.find("calibration");
    const double calibration = loop == timings.end() ? never : loop->second.cpu;
    std::string text = head_text(calibration, worst_error, memory);
    text += shipped_text(timings, calibration);
    text += whole_command_text(timings);
    std::string title;
    for (const Row& row : all_rows()) {
        const std::string line = row_text(timings, row, calibration);
        if (line.empty())
            continue;
        // A table for each kind of question; the sizes stand below each other.
        Row of_all_sizes = row;
        of_all_sizes.size.name.clear();
        if (part_title(row) != title) {
            title = part_title(row);
            text += std::string(text.ends_with("|\n") ? "\n" : "") + "### " + title +
                    "\n\n| | k | ours | bar | in loops | elapsed | width | plain elimination | "
                    "ratio | dlib | ratio |\n|---|---|---|---|---|---|---|---|---|---|---|\n";
        }
        text += line;
    }
    return text;
}

bool put_between_marks(const std::string& file, const std::string& text) {
    constexpr Marks marks{"<!-- figures -->\n", "<!-- end of figures -->"};
    if (put_between(marks, file, text))
        return true;
    std::cerr << file << ": no place for the figures; they are:\n" << text;
    return false;
}

}  // namespace knockwell::bench
