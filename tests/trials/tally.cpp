#include "trials/tally.hpp"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cmath>
#include <istream>
#include <mutex>
#include <ostream>
#include <sstream>
#include <stdexcept>
#include <thread>

namespace knockwell::trials {
namespace {

// Of the network's redraws, which have seeds of their own.
constexpr std::uint64_t seed_of_redraws = 7;

// So many calls are played with the same memory of plans; then it is begun afresh.
constexpr std::size_t calls_a_memory = 200;

void add_to(Tally& tally, const Record& played) {
    tally.minutes.push_back(played.minutes);
    tally.looks += played.looks;
    tally.repairs += played.repairs;
    tally.last_resorts += played.last_resort ? 1 : 0;
    tally.called_back += played.called_back ? 1 : 0;
    tally.cut_short += played.cut_short > 0 ? 1 : 0;
    tally.unsafe += played.unsafe;
}

}  // namespace

Record record_of(const Played& played) {
    return {played.minutes,     played.looks,       played.repairs,      played.cut_short,
            played.last_resort, played.called_back, played.unsafe.size()};
}

House house_of(const Trials& trials, std::uint64_t seed) {
    const Network& network = *trials.model->network;
    if (!trials.redrawn)
        return {*trials.model, point_values(network), seed};
    return {*trials.model, redraw(network, seed_of_redraws, static_cast<std::uint32_t>(seed)),
            seed};
}

namespace {

// Up to the first call of its sort that is not wanted.
template <class Wanted>
Calls calls_while(const Trials& trials, Wanted&& wanted) {
    Calls all;
    for (std::uint64_t seed = trials.seed; all.calls.size() < trials.calls; ++seed) {
        const auto call = call_of(*trials.model->knowledge, house_of(trials, seed), seed);
        if (call && call->listed != trials.unlisted) {
            if (!wanted(*call))
                return all;
            all.calls.push_back(*call);
        } else if (call) {
            ++all.left_out;
        }
        ++all.houses;
    }
    return all;
}

}  // namespace

Calls calls_of(const Trials& trials) {
    return calls_while(trials, [](const Call&) { return true; });
}

Records read_records(std::istream& in) {
    Records records;
    std::string line;
    while (std::getline(in, line)) {
        std::istringstream words(line);
        std::uint64_t seed = 0;
        std::string name;
        Record it;
        words >> seed;
        words.ignore(1, '\t');
        std::getline(words, name, '\t');
        words >> it.minutes >> it.looks >> it.repairs >> it.cut_short >> it.last_resort >>
            it.called_back >> it.unsafe;
        if (!words)
            throw std::runtime_error("no record: " + line);
        records[name][seed] = it;
    }
    return records;
}

void write_record(std::ostream& out, std::uint64_t seed, const std::string& follower,
                  const Record& record) {
    std::ostringstream line;
    line.precision(17);
    line << seed << '\t' << follower << '\t' << record.minutes << '\t' << record.looks << '\t'
         << record.repairs << '\t' << record.cut_short << '\t' << record.last_resort << '\t'
         << record.called_back << '\t' << record.unsafe << '\n';
    out << line.str() << std::flush;
}

Outcomes outcomes_of(const Trials& trials, const Records& records,
                     const std::vector<std::string>& followers) {
    const auto find = [&](const std::string& name, std::uint64_t seed) -> const Record* {
        const auto by = records.find(name);
        if (by == records.end())
            return nullptr;
        const auto one = by->second.find(seed);
        return one == by->second.end() ? nullptr : &one->second;
    };
    const auto played_by_all = [&](const Call& call) {
        return std::all_of(followers.begin(), followers.end(), [&](const std::string& name) {
            return find(name, call.seed) != nullptr;
        });
    };
    const Calls all = calls_while(trials, played_by_all);
    Outcomes outcomes{{}, all.calls.size(), all.houses, all.left_out, 0};
    for (const Call& call : all.calls)
        outcomes.several += call.causes > 1 ? 1U : 0U;
    for (const std::string& name : followers) {
        Tally& tally = outcomes.tallies.emplace_back();
        tally.name = name;
        for (const Call& call : all.calls)
            add_to(tally, *find(name, call.seed));
    }
    return outcomes;
}

Mean mean_of(const std::vector<double>& values) {
    const auto n = static_cast<double>(values.size());
    if (values.empty())
        return {};
    double sum = 0;
    for (const double value : values)
        sum += value;
    const double mean = sum / n;
    double squares = 0;
    for (const double value : values)
        squares += (value - mean) * (value - mean);
    return {mean, n > 1 ? 1.96 * std::sqrt(squares / (n - 1) / n) : 0};
}

Mean mean_difference(const std::vector<double>& a, const std::vector<double>& b) {
    std::vector<double> differences;
    for (std::size_t i = 0; i < a.size(); ++i)
        differences.push_back(a[i] - b[i]);
    return mean_of(differences);
}

namespace {

// The calls shared out among threads, one after the other.
class Shift {
public:
    Shift(const Trials& trials, const Records& known, const Crew& crew, const Hurry& hurry,
          const Tell& tell)
        : trials_(trials), known_(known), crew_(crew), hurry_(hurry), tell_(tell),
          calls_(calls_of(trials).calls) {}

    void work() {
        Trials mine = trials_;
        Model model = *trials_.model;
        mine.model = &model;
        std::vector<std::unique_ptr<Follower>> followers;
        for (std::size_t played = 0;; ++played) {
            if (played % calls_a_memory == 0)
                model.plans = make_plan_cache();
            if (played == 0)
                followers = crew_(model);
            const std::size_t next = next_++;
            if (next >= calls_.size() || is_over())
                return;
            for (const auto& follower : followers)
                play_one(mine, calls_[next], *follower);
        }
    }

private:
    bool is_over() const {
        return hurry_.minutes > 0 &&
               std::chrono::steady_clock::now() - began_ >
                   std::chrono::duration<double, std::ratio<60>>(hurry_.minutes);
    }

    void play_one(const Trials& mine, const Call& call, Follower& follower) {
        const auto by = known_.find(std::string(follower.name()));
        if (by != known_.end() && by->second.contains(call.seed))
            return;
        const House house = house_of(mine, call.seed);
        const Played played = play(*mine.model, *mine.texts, house, call, mine.settings, follower);
        const std::lock_guard<std::mutex> alone(telling_);
        tell_(call, house, follower, played);
    }

    const Trials& trials_;
    const Records& known_;
    const Crew& crew_;
    const Hurry& hurry_;
    const Tell& tell_;
    std::vector<Call> calls_;
    std::atomic<std::size_t> next_ = 0;
    std::mutex telling_;
    std::chrono::steady_clock::time_point began_ = std::chrono::steady_clock::now();
};

}  // namespace

void play_all(const Trials& trials, const Records& known, const Crew& crew, const Hurry& hurry,
              const Tell& tell) {
    Shift shift(trials, known, crew, hurry, tell);
    std::vector<std::thread> others;
    for (unsigned i = 1; i < hurry.threads; ++i)
        others.emplace_back([&] { shift.work(); });
    shift.work();
    for (std::thread& other : others)
        other.join();
}

Outcomes run(const Trials& trials, const Crew& crew) {
    std::vector<std::string> names;
    for (const auto& follower : crew(*trials.model))
        names.emplace_back(follower->name());
    Records records;
    play_all(trials, {}, crew, {},
             [&](const Call& call, const House&, const Follower& follower, const Played& played) {
                 records[std::string(follower.name())][call.seed] = record_of(played);
             });
    return outcomes_of(trials, records, names);
}

}  // namespace knockwell::trials
