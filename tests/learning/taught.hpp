// learning/taught.hpp
//
// Knowledge, its network and its coins in one, and jobs in a few words.
#pragma once
#include "job/job.hpp"
#include "learning/learn.hpp"
#include "support/knowledge_of.hpp"

#include <initializer_list>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace knockwell {

struct Pupil {
    explicit Pupil(std::string_view toml)
        : knowledge(knowledge_of(toml)), network(compile(knowledge)), model{&knowledge, &network},
          coins(coins_of(knowledge, network)), book(knowledge) {}
    Pupil(const Pupil&) = delete;
    Pupil& operator=(const Pupil&) = delete;
    Pupil(Pupil&&) = delete;
    Pupil& operator=(Pupil&&) = delete;
    ~Pupil() = default;

    /// The coin one side of which has that name, and which side.
    [[nodiscard]] std::pair<std::size_t, std::size_t> at(const std::string& name) const {
        for (std::size_t c = 0; c < coins.size(); ++c)
            for (std::size_t s = 0; s < coins[c].sides.size(); ++s)
                if (coins[c].sides[s].name == name)
                    return {c, s};
        throw std::runtime_error("no number is called " + name);
    }
    [[nodiscard]] StrengthIndex strength(const std::string& name) const {
        const auto [coin, side] = at(name);
        return coins[coin].sides[side].strength;
    }
    [[nodiscard]] LearnedNumbers learned(const HowToLearn& how = {}) const {
        return learn(model, coins, book, how);
    }

    Knowledge knowledge;
    Network network;
    Model model;
    std::vector<Coin> coins;
    LessonBook book;
};

struct Line {
    EventKind kind = EventKind::note;
    std::string what;
    std::string value;
};

/// A job with these events, closed as cured.
[[nodiscard]] inline Job job_of(std::size_t number, const std::vector<Line>& events) {
    Job job;
    std::string digits = std::to_string(number);
    job.id =
        std::string("00000000-0000-4000-8000-") + std::string(12 - digits.size(), '0') + digits;
    job.area = "heron-bottom";
    job.installation = "HB-" + digits;
    job.opened = 1795698000 + static_cast<std::int64_t>(number);
    for (const Line& it : events)
        job.events.push_back(next_event(job, job.opened, it.kind, it.what, it.value));
    job.events.push_back(next_event(job, job.opened, EventKind::closed, "", "cured"));
    return job;
}

}  // namespace knockwell
