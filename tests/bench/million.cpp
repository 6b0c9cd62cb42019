// A shop of a million jobs through the whole program: taken in, verified, reviewed. The time and
// the peak memory of each command, as the kernel counts them.
//
//   million PROGRAM KB ROOM [--jobs=1000000] [--table=docs/review.md] [--learn]
//
// ROOM is a folder for some gigabytes of files, which stay; what is there already is not made
// again. The jobs are those of the made-up shop (review/demo_shop.hpp), the same for the same
// number.
#include "base/words.hpp"
#include "job/summary.hpp"
#include "job/time_text.hpp"
#include "knowledge/read.hpp"
#include "ledger/exchange.hpp"
#include "review/demo_shop.hpp"
#include "support/marks.hpp"

#include <fcntl.h>
#include <spawn.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <stdexcept>
#include <string>
#include <vector>

namespace {

using namespace knockwell;
namespace fs = std::filesystem;

struct Asked {
    fs::path program;
    fs::path kb;
    fs::path room;
    std::size_t jobs = 1000000;
    std::string table;
    bool learn = false;
};

struct Row {
    std::string what;
    double elapsed = 0;    // seconds
    double processor = 0;  // seconds, user and system
    double peak = 0;       // MiB
};

/// A row of a shop's spreadsheet.
void write_sheet_row(std::ostream& out, const Job& job) {
    const Summary summary = summary_of(job);
    const auto pump = summary.settings.find("pump");
    const std::string cause = summary.causes.empty() ? "" : summary.causes.front().cause;
    const std::string sure = summary.causes.empty() ? "" : summary.causes.front().how;
    out << job.id << ',' << format_time(job.opened).substr(0, 10) << ',' << job.area << ','
        << job.installation << ',' << (pump == summary.settings.end() ? "" : pump->second) << ','
        << (summary.repairs.empty() ? "" : summary.repairs.front()) << ',' << summary.minutes << ','
        << cause << ',' << sure << ',' << summary.outcome << '\n';
}

constexpr const char* mapping = R"([columns]
"No." = "number"
"Date" = "opened"
"Road" = "area"
"House" = "installation"
"Pump" = "set pump"
"Done" = "did"
"Minutes" = "minutes"
"Fault" = "cause"
"Sure" = "how-sure"
"Outcome" = "outcome"
)";

/// The same jobs as a line of JSON and as a row of a spreadsheet each.
void make_up(const Asked& asked) {
    const fs::path lines = asked.room / "shop.jsonl";
    const fs::path sheet = asked.room / "shop.csv";
    std::ofstream(asked.room / "columns.toml") << mapping;
    if (fs::exists(lines) && fs::exists(sheet))
        return;
    std::cout << "making up " << asked.jobs << " jobs ..." << std::endl;
    const Knowledge knowledge = read_knowledge(gather_sources(asked.kb)).knowledge;
    DemoPlan plan;
    plan.jobs = asked.jobs;
    {
        std::ofstream jsonl(lines.string() + ".part", std::ios::binary);
        std::ofstream csv(sheet.string() + ".part", std::ios::binary);
        jsonl << exchange_head(plan.jobs) << '\n';
        csv << "No.,Date,Road,House,Pump,Done,Minutes,Fault,Sure,Outcome\n";
        (void)demo_shop(knowledge, plan, [&](const Job& job) {
            jsonl << to_line(stamped(job)) << '\n';
            write_sheet_row(csv, job);
        });
    }
    fs::rename(lines.string() + ".part", lines);
    fs::rename(sheet.string() + ".part", sheet);
}

Row timed(const Asked& asked, const std::string& what, std::vector<std::string> words) {
    std::cout << what << " ..." << std::flush;
    words.insert(words.begin(), asked.program.string());
    std::vector<char*> arguments;
    arguments.reserve(words.size() + 1);
    for (std::string& word : words)
        arguments.push_back(word.data());
    arguments.push_back(nullptr);
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    const std::string out = (asked.room / "out.txt").string();
    posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, out.c_str(),
                                     O_WRONLY | O_CREAT | O_TRUNC, 0600);
    pid_t child = 0;
    const auto begin = std::chrono::steady_clock::now();
    if (posix_spawn(&child, arguments[0], &actions, nullptr, arguments.data(), environ) != 0)
        throw std::runtime_error("the program cannot be started");
    int status = 0;
    rusage used{};
    if (::wait4(child, &status, 0, &used) != child)
        throw std::runtime_error("the program was lost");
    const std::chrono::duration<double> elapsed = std::chrono::steady_clock::now() - begin;
    posix_spawn_file_actions_destroy(&actions);
    if (!WIFEXITED(status) || WEXITSTATUS(status) != 0)
        throw std::runtime_error(what + ": the program failed; see " + out);
    const auto seconds = [](const timeval& time) {
        return static_cast<double>(time.tv_sec) + static_cast<double>(time.tv_usec) / 1e6;
    };
    Row row{what, elapsed.count(), seconds(used.ru_utime) + seconds(used.ru_stime),
            // NOLINTNEXTLINE(cppcoreguidelines-pro-type-union-access): the system declares it so
            static_cast<double>(used.ru_maxrss) / 1024};
    std::cout << " " << row.elapsed << " s, processor " << row.processor << " s, peak " << row.peak
              << " MiB" << std::endl;
    return row;
}

std::vector<Row> measured(const Asked& asked) {
    const auto in_room = [&](const char* name) { return (asked.room / name).string(); };
    for (const char* old : {"shop.sqlite", "sheet.sqlite", "page.html", "again.jsonl"})
        for (const char* end : {"", "-wal", "-shm"})
            fs::remove(in_room(old) + end);
    std::vector<Row> rows;
    const auto command = [&](const std::string& what, const char* ledger,
                             std::vector<std::string> words) {
        words.insert(words.end(), {"--ledger", in_room(ledger)});
        rows.push_back(timed(asked, what, std::move(words)));
    };
    const std::string kb = asked.kb.string();
    command("`ledger import shop.jsonl`", "shop.sqlite",
            {"ledger", "import", in_room("shop.jsonl")});
    command(
        "`ledger import shop.csv --map columns.toml`", "sheet.sqlite",
        {"ledger", "import", in_room("shop.csv"), "--map", in_room("columns.toml"), "--kb", kb});
    for (const char* part : {"areas", "causes", "time", "numbers"})
        command(std::string("`review ") + part + "`", "shop.sqlite", {"review", part, "--kb", kb});
    command("`review --html page.html`, all of them", "shop.sqlite",
            {"review", "--html", in_room("page.html"), "--kb", kb});
    command("`ledger export again.jsonl`", "shop.sqlite",
            {"ledger", "export", in_room("again.jsonl")});
    command("`ledger verify`", "shop.sqlite", {"ledger", "verify"});
    if (asked.learn)
        command("`kb learn`", "shop.sqlite", {"kb", "learn", "--kb", kb});
    return rows;
}

std::string first_after(const std::string& file, const std::string& key) {
    std::ifstream in(file);
    for (std::string line; std::getline(in, line);)
        if (line.rfind(key, 0) == 0)
            if (const std::size_t at = line.find(": "); at != std::string::npos)
                return line.substr(at + 2);
    return "unknown processor";
}

std::string table_of(const Asked& asked, const std::vector<Row>& rows, double busy) {
    const auto gib = [&](const char* name) {
        return number(std::round(static_cast<double>(fs::file_size(asked.room / name)) / 0x1p30 *
                                 100) /
                      100) +
               " GiB";
    };
    const auto now = std::chrono::duration_cast<std::chrono::seconds>(
                         std::chrono::system_clock::now().time_since_epoch())
                         .count();
    std::string text = format_time(now).substr(0, 10) + ", " +
                       first_after("/proc/cpuinfo", "model name") + ", " +
                       std::to_string(::sysconf(_SC_NPROCESSORS_ONLN)) + " cores" +
#ifdef NDEBUG
                       ", release. "
#else
                       ", NOT a release build. "
#endif
                       + std::to_string(asked.jobs) + " jobs: " + gib("shop.jsonl") +
                       " as JSON Lines, " + gib("shop.sqlite") + " as a ledger; " +
                       gib("shop.csv") + " as a spreadsheet. On the mean " + number(busy) +
                       " other programs wanted the cores meanwhile.\n\n"
                       "| command | by the clock | of the processor | peak memory |\n"
                       "|---|---|---|---|\n";
    const auto seconds = [](double time) {
        return number(time < 10 ? std::round(time * 10) / 10 : std::round(time)) + " s";
    };
    for (const Row& row : rows)
        text += "| " + row.what + " | " + seconds(row.elapsed) + " | " + seconds(row.processor) +
                " | " + number(std::round(row.peak)) + " MiB |\n";
    return text;
}

void write_into(const std::string& file, const std::string& text) {
    constexpr Marks marks{"<!-- a million jobs -->\n", "<!-- end of a million jobs -->"};
    if (!put_between(marks, file, text))
        throw std::runtime_error(file + ": it has no marks for the table");
}

Asked asked_for(const std::vector<std::string>& words) {
    Asked asked;
    std::vector<fs::path> places;
    for (const std::string& word : words) {
        if (word.rfind("--jobs=", 0) == 0)
            asked.jobs = std::stoul(word.substr(7));
        else if (word.rfind("--table=", 0) == 0)
            asked.table = word.substr(8);
        else if (word == "--learn")
            asked.learn = true;
        else
            places.emplace_back(word);
    }
    if (places.size() != 3)
        throw std::runtime_error("million PROGRAM KB ROOM [--jobs=N] [--table=FILE] [--learn]");
    asked.program = fs::absolute(places[0]);
    asked.kb = fs::absolute(places[1]);
    asked.room = fs::absolute(places[2]);
    return asked;
}

/// Programs that are running or want to, this one and the one it waits for left out.
double others() {
    double load = 0;
    std::ifstream("/proc/loadavg") >> load;
    return std::max(0.0, load - 1);
}

}  // namespace

int main(int count, char** words) {
    try {
        const Asked asked = asked_for({words + 1, words + count});
        fs::create_directories(asked.room);
        make_up(asked);
        const double before = others();
        const std::vector<Row> rows = measured(asked);
        const std::string text =
            table_of(asked, rows, std::round((before + others()) / 2 * 10) / 10);
        std::cout << '\n' << text;
        if (!asked.table.empty())
            write_into(asked.table, text);
        return 0;
    } catch (const std::exception& failed) {
        std::cerr << "million: " << failed.what() << '\n';
        return 1;
    }
}
