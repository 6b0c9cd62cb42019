// Calls drawn from the shipped knowledge, played by every follower; prints what it came to.
#include "knowledge/read.hpp"
#include "trials/followers.hpp"
#include "trials/tally.hpp"

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <iostream>
#include <string>
#include <string_view>

namespace knockwell::trials {
namespace {

struct Wanted {
    std::size_t calls = 200;
    std::uint64_t seed = 1;
    bool redrawn = false;
    bool diary = false;
    std::string followers = "actpbBk";
    double covered = 0.9;
};

Wanted wanted_of(int argc, char** argv) {
    Wanted it;
    for (int i = 1; i < argc; ++i) {
        const std::string_view word = argv[i];
        const std::size_t equals = word.find('=');
        const std::string value(equals == word.npos ? "" : word.substr(equals + 1));
        if (word.starts_with("--calls="))
            it.calls = std::stoul(value);
        else if (word.starts_with("--seed="))
            it.seed = std::stoul(value);
        else if (word.starts_with("--followers="))
            it.followers = value;
        else if (word.starts_with("--covered="))
            it.covered = std::stod(value);
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

void show(const Outcomes& outcomes) {
    std::printf(
        "%zu calls with a listed cause (%zu with several) of %zu houses; %zu calls without\n",
        outcomes.tallies.front().minutes.size(), outcomes.several, outcomes.houses,
        outcomes.unlisted);
    for (const Tally& it : outcomes.tallies) {
        const auto n = static_cast<double>(it.minutes.size());
        const Mean mean = mean_of(it.minutes);
        const Mean more = mean_difference(it.minutes, outcomes.tallies.front().minutes);
        std::printf("%-22s %6.1f +-%5.1f  %+7.1f +-%5.1f  last %4.1f%%  back %4.1f%%  looks %4.1f  "
                    "repairs %4.2f  unsafe %zu\n",
                    it.name.c_str(), mean.value, mean.give, more.value, more.give,
                    100 * static_cast<double>(it.last_resorts) / n,
                    100 * static_cast<double>(it.called_back) / n,
                    static_cast<double>(it.looks) / n, static_cast<double>(it.repairs) / n,
                    it.unsafe.size());
        for (const std::string& rule : it.unsafe)
            std::printf("  unsafe: %s\n", rule.c_str());
    }
}

int run_trials(const Wanted& wanted) {
    const ReadResult read = read_knowledge(gather_sources(KNOCKWELL_KB_DIR), ReadFor::answers);
    const Network network = compile(read.knowledge);
    const Model model{&read.knowledge, &network};
    const SafetyTexts texts = SafetyTexts::of_folder(KNOCKWELL_KB_DIR);
    Trials trials{&model, &texts, wanted.calls, wanted.seed, wanted.redrawn, {}};
    for (const char* id : {"pump", "drive", "source"})
        trials.settings.push_back(setting_named(read.knowledge, id));
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
