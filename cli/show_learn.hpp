// cli/show_learn.hpp
//
// A proposal of learned numbers as text and JSON.
#pragma once
#include "advice/practice.hpp"
#include "cli/page.hpp"
#include "learning/learn.hpp"
#include "learning/proposal.hpp"

#include <string>
#include <vector>

namespace knockwell {

/// What the numbers do, under those that stand there now and under the new ones.
struct LearnEffect {
    double log_chance_now = 0;  // mean of a job
    double log_chance_new = 0;
    CauseScore causes_now, causes_new;
    std::vector<PracticeResult> practice_now, practice_new;  // one for each case, in one order
};

struct LearnScene {
    const std::vector<Source>* now = nullptr;
    const std::vector<Source>* then = nullptr;
    const LessonBook* book = nullptr;
    const LearnedNumbers* learned = nullptr;
    const Proposal* proposal = nullptr;
    const LearnEffect* effect = nullptr;
    std::size_t forgotten = 0;     // jobs learned from earlier that are not in this ledger
    std::size_t gone_on_with = 0;  // files that an earlier run was cut off at
    bool applied = false;
};

/// Lines of a diff are not broken; everything is safe on a terminal.
[[nodiscard]] std::string learn_text(const LearnScene& scene, PageStyle style);
[[nodiscard]] std::string learn_json(const LearnScene& scene);

}  // namespace knockwell
