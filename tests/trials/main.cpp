// Calls drawn from the shipped knowledge, played by every follower; prints what it came to.
#include "knowledge/read.hpp"
#include "support/knowledge_of.hpp"
#include "trials/followers.hpp"
#include "trials/small.hpp"
#include "trials/tally.hpp"

#include <fstream>
#include <iomanip>
#include <iostream>
#include <sstream>
#include <stdexcept>
#include <string>
#include <string_view>

namespace knockwell::trials {
namespace {

struct Wanted {
    std::size_t calls = 200;
    std::uint64_t seed = 1;
    bool redrawn = false;
    bool diary = false;
    std::string followers = "actpbk";
    double covered = 0.9;  // of the calls, by the lines of a chart
    std::string table;     // file whose table is written afresh
};

Wanted wanted_of(int argc, char** argv) {
    Wanted it;
    for (int i = 1; i < argc; ++i) {
        const std::string_view word = argv[i];
        const std::size_t equals = word.find('=');
        const std::string value(equals == std::string_view::npos ? "" : word.substr(equals + 1));
        if (word.starts_with("--calls="))
            it.calls = std::stoul(value);
        else if (word.starts_with("--seed="))
            it.seed = std::stoul(value);
        else if (word.starts_with("--followers="))
            it.followers = value;
        else if (word.starts_with("--covered="))
            it.covered = std::stod(value);
        else if (word.starts_with("--table="))
            it.table = value;
        else if (word == "--redrawn")
            it.redrawn = true;
        else if (word == "--diary")
            it.diary = true;
        else
            throw std::runtime_error("no such option: " + std::string(word));
    }
    return it;
}

std::vector<std::unique_ptr<Follower>> followers_of(const Model& model, const Wanted& wanted) {
    std::vector<std::unique_ptr<Follower>> all;
    for (const char letter : wanted.followers) {
        if (letter == 'a')
            all.push_back(by_advice());
        if (letter == 'c')
            all.push_back(by_chart(model, ChartOrder::common_first, wanted.covered));
        if (letter == 't')
            all.push_back(by_chart(model, ChartOrder::cheap_first, wanted.covered));
        if (letter == 'p')
            all.push_back(by_repairs_alone());
        if (letter == 'b')
            all.push_back(by_bits(true));
        if (letter == 'B')
            all.push_back(by_bits(false));
        if (letter == 'k')
            all.push_back(by_truth());
    }
    return all;
}

void tell_play(const Knowledge& knowledge, const Call& call, const House& house,
               const Follower& follower, const Played& played) {
    std::cout << "house " << call.seed << ", " << knowledge[call.complaint].head.id << " = "
              << knowledge[call.complaint].value_name(call.says) << ", because";
    for (const CauseId cause : house.behind(call.complaint))
        std::cout << ' ' << knowledge[cause].head.id;
    std::cout << "\n  " << follower.name() << ": " << played.minutes << " minutes\n";
    for (const std::string& line : played.diary)
        std::cout << "    " << line << '\n';
}

std::string fixed(double value, int digits = 0) {
    std::ostringstream text;
    text << std::fixed << std::setprecision(digits) << value;
    return text.str();
}

void show(const Outcomes& outcomes) {
    std::cout << outcomes.tallies.front().minutes.size() << " calls with a listed cause ("
              << outcomes.several << " with several) of " << outcomes.houses << " houses; "
              << outcomes.unlisted << " calls without\n";
    for (const Tally& it : outcomes.tallies) {
        const auto n = static_cast<double>(it.minutes.size());
        const Mean mean = mean_of(it.minutes);
        const Mean more = mean_difference(it.minutes, outcomes.tallies.front().minutes);
        std::cout << std::left << std::setw(22) << it.name << std::right << ' '
                  << fixed(mean.value, 1) << " +-" << fixed(mean.give, 1) << "  more "
                  << fixed(more.value, 1) << " +-" << fixed(more.give, 1) << "  last "
                  << fixed(100 * static_cast<double>(it.last_resorts) / n, 1) << "%  back "
                  << fixed(100 * static_cast<double>(it.called_back) / n, 1) << "%  looks "
                  << fixed(static_cast<double>(it.looks) / n, 1) << "  repairs "
                  << fixed(static_cast<double>(it.repairs) / n, 2) << "  unsafe "
                  << it.unsafe.size() << '\n';
        for (const std::string& rule : it.unsafe)
            std::cout << "  unsafe: " << rule << '\n';
    }
}

std::string share_of(std::size_t part, std::size_t all) {
    return fixed(100 * static_cast<double>(part) / static_cast<double>(all), 1) + " %";
}

// Rows: followers. The first is the advice, the differences are paired with it.
std::string rows_of(const Outcomes& outcomes) {
    std::string text = "| follower | minutes | more than by the advice | last resort | called back "
                       "| looks | repairs | unsafe steps |\n|---|--:|--:|--:|--:|--:|--:|--:|\n";
    for (const Tally& it : outcomes.tallies) {
        const std::size_t n = it.minutes.size();
        const Mean mean = mean_of(it.minutes);
        const Mean more = mean_difference(it.minutes, outcomes.tallies.front().minutes);
        const bool first = &it == &outcomes.tallies.front();
        text += "| " + it.name + " | " + fixed(mean.value) + " ± " + fixed(mean.give) + " | " +
                (first ? "" : fixed(more.value) + " ± " + fixed(more.give)) + " | " +
                share_of(it.last_resorts, n) + " | " + share_of(it.called_back, n) + " | " +
                fixed(static_cast<double>(it.looks) / static_cast<double>(n), 1) + " | " +
                fixed(static_cast<double>(it.repairs) / static_cast<double>(n), 1) + " | " +
                std::to_string(it.unsafe.size()) + " |\n";
    }
    return text;
}

std::string about(const Outcomes& outcomes) {
    return std::to_string(outcomes.tallies.front().minutes.size()) + " calls (" +
           std::to_string(outcomes.several) + " with several causes behind the complaint) of " +
           std::to_string(outcomes.houses) + " houses; " + std::to_string(outcomes.unlisted) +
           " calls more had no listed cause and were not played.\n\n";
}

// Means over reduced problems, beside the best of all plans.
std::string small_rows() {
    constexpr std::uint64_t many = 200;
    std::vector<std::string> names{"best of all plans"};
    std::vector<std::vector<double>> minutes(1);
    for (std::uint64_t seed = 1; seed <= many; ++seed) {
        const SmallProblem problem = small_problem(seed);
        const Knowledge knowledge = knowledge_of(problem.toml());
        const Network network = compile(knowledge);
        const Model model{&knowledge, &network};
        minutes[0].push_back(best_minutes(problem));
        std::vector<std::unique_ptr<Follower>> all;
        all.push_back(by_advice());
        all.push_back(by_repairs_alone());
        all.push_back(by_bits(true));
        all.push_back(by_chart(model, ChartOrder::common_first, 1));
        minutes.resize(1 + all.size());
        for (std::size_t i = 0; i < all.size(); ++i) {
            if (seed == 1)
                names.emplace_back(all[i]->name());
            minutes[1 + i].push_back(expected_minutes(problem, model, *all[i]));
        }
    }
    const double best = mean_of(minutes[0]).value;
    std::string text = "| follower | minutes | above the best plan |\n|---|--:|--:|\n";
    for (std::size_t i = 0; i < names.size(); ++i) {
        const double mean = mean_of(minutes[i]).value;
        text += "| " + names[i] + " | " + fixed(mean, 1) + " | " +
                (i == 0 ? "" : fixed(100 * (mean / best - 1), 1) + " %") + " |\n";
    }
    return text;
}

constexpr std::string_view table_begins = "<!-- trials -->\n";
constexpr std::string_view table_ends = "<!-- end of trials -->\n";

void write_into(const std::string& file, const std::string& table) {
    std::ostringstream old;
    old << std::ifstream(file).rdbuf();
    const std::string text = old.str();
    const std::size_t from = text.find(table_begins);
    const std::size_t to = text.find(table_ends);
    if (from == std::string::npos || to == std::string::npos)
        throw std::runtime_error(file + ": no place for the table");
    std::ofstream(file) << text.substr(0, from + table_begins.size()) << table << text.substr(to);
}

void write_table(Trials trials, const Wanted& wanted) {
    const auto played = [&](bool redrawn) {
        trials.redrawn = redrawn;
        return run(trials, followers_of(*trials.model, wanted));
    };
    const Outcomes point = played(false);
    const Outcomes redrawn = played(true);
    write_into(wanted.table,
               "\nThe numbers of the knowledge as they stand. " + about(point) + rows_of(point) +
                   "\nThe same with every house drawn under numbers of its own, redrawn from "
                   "their counts, while the advice goes by those of the knowledge. " +
                   about(redrawn) + rows_of(redrawn) +
                   "\n200 reduced problems (3 or 4 causes, 3 checks, 3 repairs, two places), each "
                   "worked out to the end and not sampled.\n\n" +
                   small_rows() + "\n");
}

int run_trials(const Wanted& wanted) {
    const ReadResult read = read_knowledge(gather_sources(KNOCKWELL_KB_DIR), ReadFor::answers);
    const Network network = compile(read.knowledge);
    const Model model{&read.knowledge, &network};
    const SafetyTexts texts = SafetyTexts::of_folder(KNOCKWELL_KB_DIR);
    Trials trials{&model, &texts, wanted.calls, wanted.seed, wanted.redrawn, {}};
    for (const char* id : {"pump", "drive", "source"})
        trials.settings.push_back(setting_named(read.knowledge, id));
    if (!wanted.table.empty()) {
        write_table(trials, wanted);
        return 0;
    }
    Tell tell;
    if (wanted.diary)
        tell = [&](const Call& call, const House& house, const Follower& follower,
                   const Played& played) {
            tell_play(read.knowledge, call, house, follower, played);
        };
    show(run(trials, followers_of(model, wanted), tell));
    return 0;
}

}  // namespace
}  // namespace knockwell::trials

int main(int argc, char** argv) {
    try {
        return knockwell::trials::run_trials(knockwell::trials::wanted_of(argc, argv));
    } catch (const std::exception& error) {
        std::cerr << "trials: " << error.what() << '\n';
        return 2;
    }
}
