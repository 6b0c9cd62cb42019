#include "learning/learn.hpp"

#include "base/words.hpp"
#include "cli/commands.hpp"
#include "cli/job_commands.hpp"
#include "cli/learned_file.hpp"
#include "cli/progress.hpp"
#include "cli/show_learn.hpp"
#include "learning/proposal.hpp"

#include <memory>
#include <set>
#include <utility>

namespace knockwell {
namespace {

/// Texts with their knowledge and network, at one place in memory.
struct Understood {
    std::vector<Source> sources;
    Knowledge knowledge;
    Network network;
    std::vector<Coin> coins;
    [[nodiscard]] Model model() const { return {&knowledge, &network}; }
};

/// Nothing where the texts have errors.
std::unique_ptr<Understood> understand(std::vector<Source> sources) {
    ReadResult read = read_knowledge(sources, ReadFor::curator);
    if (!read.ok())
        return nullptr;
    auto it = std::make_unique<Understood>();
    it->sources = std::move(sources);
    it->knowledge = std::move(read.knowledge);
    it->network = compile(it->knowledge);
    it->coins = coins_of(it->knowledge, it->network);
    return it;
}

void read_jobs(const Ledger& ledger, const Desk& desk, LessonBook& book) {
    ProgressBar bar(desk, "reading");
    const Progress progress = bar.progress();
    const std::size_t jobs = ledger.count();
    std::size_t done = 0;
    ledger.each([&](const KeptJob& job) {
        book.add(as_told(job));
        if (progress && ++done % 100 == 0)
            progress(done, jobs);
    });
}

LearnedNumbers learned_from(const Understood& before, const LessonBook& book, std::size_t rounds,
                            const Desk& desk) {
    ProgressBar bar(desk, "learning");
    HowToLearn how;
    how.most_rounds = rounds;
    how.progress = bar.progress();
    return learn(before.model(), before.coins, book, how);
}

/// Both under the knowledge as it was before learning, which differs in its numbers alone.
LearnEffect effect_of(const Understood& before, const Understood& now, const Understood& then,
                      const LessonBook& book, const LearnedNumbers& learned) {
    LearnEffect effect;
    const Model model = before.model();
    effect.log_chance_now = now.network.point == before.network.point
                                ? learned.log_before
                                : mean_log_chance(model, book, now.network.point);
    effect.log_chance_new = mean_log_chance(model, book, then.network.point);
    effect.causes_now = score_of_causes(model, book, now.network.point);
    effect.causes_new = score_of_causes(model, book, then.network.point);
    effect.practice_now = run_practice(now.model());
    effect.practice_new = run_practice(then.model());
    return effect;
}

std::size_t jobs_gone(const LearnedRecord& record, const LessonBook& book) {
    std::set<std::string> gone = record.jobs;
    for (const std::string& id : book.ids())
        gone.erase(id);
    return gone.size();
}

Status not_applied(const Desk& desk, const std::string& changed) {
    desk.complain(
        "knockwell kb learn: " + escape_controls(changed) +
        " was changed while the jobs were learned from; nothing is put in. Run it again\n");
    return status_problems;
}

}  // namespace

Status carry_out(const KbLearnCommand& command, const Desk& desk) {
    const auto folder = knowledge_folder(*desk.here, desk.common.kb);
    const auto cut_off = finish_learning(folder);
    if (const auto* why = std::get_if<std::string>(&cut_off)) {
        desk.complain("knockwell kb learn: " + *why);
        return status_problems;
    }
    const auto kept = read_learned(folder);
    if (const auto* why = std::get_if<std::string>(&kept)) {
        desk.complain("knockwell kb learn: " + *why);
        return status_usage;
    }
    const LearnedRecord& record = std::get<LearnedRecord>(kept);
    auto shelf = desk.shelf(ReadFor::curator);
    if (!shelf)
        return status_usage;
    const auto ledger = open_ledger(desk, false);
    if (const auto* none = std::get_if<NoJob>(&ledger))
        return complain(desk, *none);
    const auto now = understand(shelf->sources);
    const auto before = understand(as_written(now->sources, now->coins, record));
    if (before == nullptr) {
        desk.complain(
            "knockwell kb learn: the knowledge has errors with the numbers that learned.json keeps "
            "as written; put that file back from a copy\n");
        return status_problems;
    }
    LessonBook book(before->knowledge);
    read_jobs(std::get<Ledger>(ledger), desk, book);
    const LearnedNumbers learned = learned_from(*before, book, command.rounds, desk);
    const LearnedFrom from{&now->sources,  &before->sources, &now->coins,
                           &before->coins, &before->network, &record};
    const Proposal proposal = propose(from, learned, book);
    const auto texts = with_changes(now->sources, proposal);
    const auto then = texts ? understand(*texts) : nullptr;
    if (then == nullptr) {
        desk.complain(
            "knockwell kb learn: the knowledge would have errors with the learned numbers; nothing "
            "is changed\n");
        return status_problems;
    }
    const LearnEffect effect = effect_of(*before, *now, *then, book, learned);
    LearnScene scene{&now->sources, &then->sources, &book, &learned, &proposal, &effect};
    scene.forgotten = jobs_gone(record, book);
    scene.gone_on_with = std::get<0>(cut_off).size();
    if (command.apply) {
        const std::string changed = put_in_place(folder, now->sources, record, then->sources,
                                                 record_of(record, proposal, learned, book));
        if (!changed.empty())
            return not_applied(desk, changed);
        scene.applied = true;
    }
    desk.print(desk.common.json ? learn_json(scene) : learn_text(scene, desk.style));
    return status_done;
}

}  // namespace knockwell
