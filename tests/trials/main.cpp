// Calls drawn from the shipped knowledge, played by every follower; prints what it came to.
#include "knowledge/read.hpp"
#include "knowledge/version.hpp"
#include "support/knowledge_of.hpp"
#include "support/marks.hpp"
#include "trials/followers.hpp"
#include "trials/printed_chart.hpp"
#include "trials/small.hpp"
#include "trials/tally.hpp"

#include <algorithm>
#include <array>
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
    bool unlisted = false;
    bool diary = false;
    std::string followers = "acpBbk";
    double covered = 0.9;  // of the calls, by the lines of a chart made from the knowledge
    Hurry hurry;
    std::string save;     // file of records, added to
    std::string table;    // file whose table is written afresh
    std::string records;  // folder with the records of the table
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
        else if (word.starts_with("--threads="))
            it.hurry.threads = static_cast<unsigned>(std::stoul(value));
        else if (word.starts_with("--minutes="))
            it.hurry.minutes = std::stod(value);
        else if (word.starts_with("--save="))
            it.save = value;
        else if (word.starts_with("--table="))
            it.table = value;
        else if (word.starts_with("--records="))
            it.records = value;
        else if (word == "--redrawn")
            it.redrawn = true;
        else if (word == "--unlisted")
            it.unlisted = true;
        else if (word == "--diary")
            it.diary = true;
        else
            throw std::runtime_error("no such option: " + std::string(word));
    }
    return it;
}

std::unique_ptr<Follower> follower_of(const Model& model, char letter, double covered) {
    switch (letter) {
    case 'a':
        return by_advice(StepsAhead::two);
    case 'o':
        return by_advice(StepsAhead::one);
    case 'c':
        return by_printed_chart(model, KNOCKWELL_CHART,
                                by_chart(model, ChartOrder::common_first, covered));
    case 'm':
        return by_chart(model, ChartOrder::common_first, covered);
    case 'M':
        return by_chart(model, ChartOrder::cheap_first, covered);
    case 'p':
        return by_repairs_alone();
    case 'b':
        return by_bits(true);
    case 'B':
        return by_bits(false);
    case 'k':
        return by_truth();
    default:
        throw std::runtime_error(std::string("no such follower: ") + letter);
    }
}

Crew crew_of(const std::string& letters, double covered) {
    return [=](const Model& model) {
        std::vector<std::unique_ptr<Follower>> all;
        for (const char letter : letters)
            all.push_back(follower_of(model, letter, covered));
        return all;
    };
}

std::vector<std::string> names_of(const Model& model, const std::string& letters, double covered) {
    std::vector<std::string> names;
    for (const auto& follower : crew_of(letters, covered)(model))
        names.emplace_back(follower->name());
    return names;
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

std::string share_of(std::size_t part, std::size_t all) {
    return fixed(100 * static_cast<double>(part) / static_cast<double>(all), 1) + " %";
}

// Rows: followers. The differences are paired with the first.
std::string rows_of(const Outcomes& outcomes) {
    std::string text = "| follower | minutes | more than the first | last resort | called back "
                       "| looks | repairs | cut short | unsafe steps |\n"
                       "|---|--:|--:|--:|--:|--:|--:|--:|--:|\n";
    for (const Tally& it : outcomes.tallies) {
        const std::size_t n = it.minutes.size();
        const Mean mean = mean_of(it.minutes);
        const Mean more = mean_difference(it.minutes, outcomes.tallies.front().minutes);
        const bool first = &it == &outcomes.tallies.front();
        text += "| " + it.name + " | " + fixed(mean.value, 1) + " ± " + fixed(mean.give, 1) +
                " | " + (first ? "" : fixed(more.value, 1) + " ± " + fixed(more.give, 1)) + " | " +
                share_of(it.last_resorts, n) + " | " + share_of(it.called_back, n) + " | " +
                fixed(static_cast<double>(it.looks) / static_cast<double>(n), 1) + " | " +
                fixed(static_cast<double>(it.repairs) / static_cast<double>(n), 1) + " | " +
                share_of(it.cut_short, n) + " | " + std::to_string(it.unsafe) + " |\n";
    }
    return text;
}

std::string about(const Outcomes& outcomes) {
    return std::to_string(outcomes.calls) + " calls (" + std::to_string(outcomes.several) +
           " with several causes behind the complaint) of " + std::to_string(outcomes.houses) +
           " houses.\n\n";
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

void write_into(const std::string& file, const std::string& table) {
    constexpr Marks marks{"<!-- trials -->\n", "<!-- end of trials -->\n"};
    if (!put_between(marks, file, table))
        throw std::runtime_error(file + ": no place for the table");
}

std::string version_of_kb() {
    const auto sources = gather_sources(KNOCKWELL_KB_DIR);
    return read_knowledge(sources, ReadFor::answers).knowledge.manifest.version + " (" +
           fingerprint(sources) + ")";
}

constexpr std::string_view chart_name = "printed chart";

Records records_in(const std::string& file) {
    std::ifstream in(file);
    return read_records(in);
}

// How much of the way from the chart to who knows the cause the first one goes.
std::string gap_of(const Outcomes& outcomes, const std::string& chart) {
    const auto mean = [&](const std::string& name) {
        const auto it = std::find_if(outcomes.tallies.begin(), outcomes.tallies.end(),
                                     [&](const Tally& tally) { return tally.name == name; });
        return mean_of(it->minutes).value;
    };
    const double ours = mean_of(outcomes.tallies.front().minutes).value;
    const double by_chart = mean(chart);
    const double known = mean("knows the cause");
    return "\nFrom the chart to who knows the cause " + outcomes.tallies.front().name + " goes " +
           fixed(100 * (by_chart - ours) / (by_chart - known)) + " % of the way, and is " +
           fixed(100 * (1 - ours / by_chart)) + " % quicker than the chart.\n";
}

// One run of the table, of which the first so many calls count.
struct Section {
    std::string file;
    std::size_t most = 0;
    std::string followers;
    bool redrawn = false;
    bool unlisted = false;
    std::string says;
};

std::string section_of(Trials trials, const Wanted& wanted, const Section& played) {
    trials.calls = played.most;
    trials.redrawn = played.redrawn;
    trials.unlisted = played.unlisted;
    const Outcomes outcomes =
        outcomes_of(trials, records_in(wanted.records + "/" + played.file),
                    names_of(*trials.model, played.followers, wanted.covered));
    if (outcomes.calls == 0)
        return "";
    return "\n" + played.says + " " + about(outcomes) + rows_of(outcomes) +
           (played.unlisted ? "" : gap_of(outcomes, std::string(chart_name)));
}

void write_table(const Trials& trials, const Wanted& wanted) {
    const std::array<Section, 5> sections{{
        {"point.tsv", 20'000, "ocmpk", false, false,
         "**One step ahead**, the numbers of the knowledge as they stand."},
        {"point.tsv", 20'000, "ocmpBbk", false, false,
         "**Beside those who go by bits**, the first of these."},
        {"point.tsv", 1'000, "aocmpBbk", false, false, "**Two steps ahead**, the first of these."},
        {"redrawn.tsv", 2'000, "ocmpk", true, false,
         "**The world is not the model**: every house is drawn under numbers of its own, redrawn "
         "from their counts, while all who go by beliefs go by those of the knowledge."},
        {"unlisted.tsv", 300, "ocmpk", false, true,
         "**Calls that no listed cause explains**, counted apart: they end at the last resort, or "
         "where it is not seen that the complaint is still there."},
    }};
    std::string text = "\nKnowledge " + version_of_kb() + ", houses from seed " +
                       std::to_string(wanted.seed) + " on.\n";
    for (const Section& it : sections)
        text += section_of(trials, wanted, it);
    write_into(wanted.table,
               text +
                   "\n200 reduced problems (3 or 4 causes, 3 checks, 3 repairs, two places), each "
                   "worked out to the end and not sampled.\n\n" +
                   small_rows() + "\n");
}

void save_plays(const Trials& trials, const Wanted& wanted) {
    const Records known = records_in(wanted.save);
    std::ofstream out(wanted.save, std::ios::app);
    play_all(trials, known, crew_of(wanted.followers, wanted.covered), wanted.hurry,
             [&](const Call& call, const House&, const Follower& follower, const Played& played) {
                 write_record(out, call.seed, std::string(follower.name()), record_of(played));
                 for (const std::string& rule : played.unsafe)
                     std::cerr << "unsafe: house " << call.seed << ", " << follower.name() << ": "
                               << rule << '\n';
             });
}

void show_plays(const Trials& trials, const Wanted& wanted) {
    Records records;
    play_all(
        trials, {}, crew_of(wanted.followers, wanted.covered), wanted.hurry,
        [&](const Call& call, const House& house, const Follower& follower, const Played& played) {
            records[std::string(follower.name())][call.seed] = record_of(played);
            if (wanted.diary)
                tell_play(*trials.model->knowledge, call, house, follower, played);
            for (const std::string& rule : played.unsafe)
                std::cout << "unsafe: house " << call.seed << ", " << rule << '\n';
        });
    const Outcomes outcomes =
        outcomes_of(trials, records, names_of(*trials.model, wanted.followers, wanted.covered));
    std::cout << about(outcomes) << rows_of(outcomes);
}

int run_trials(const Wanted& wanted) {
    const ReadResult read = read_knowledge(gather_sources(KNOCKWELL_KB_DIR), ReadFor::answers);
    const Network network = compile(read.knowledge);
    const Model model{&read.knowledge, &network};
    const SafetyTexts texts = SafetyTexts::of_folder(KNOCKWELL_KB_DIR);
    Trials trials{&model, &texts, wanted.calls, wanted.seed, wanted.redrawn, wanted.unlisted, {}};
    for (const char* id : {"pump", "drive", "source"})
        trials.settings.push_back(setting_named(read.knowledge, id));
    if (!wanted.table.empty())
        write_table(trials, wanted);
    else if (!wanted.save.empty())
        save_plays(trials, wanted);
    else
        show_plays(trials, wanted);
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
