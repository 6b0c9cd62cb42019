#include "cli/show_why.hpp"

#include "base/words.hpp"
#include "cli/lettered.hpp"
#include "cli/words.hpp"

#include <algorithm>
#include <string>

namespace knockwell {
namespace {

constexpr std::size_t most_outcomes = 6;

struct Mended {
    CauseId cause;
    double chance = 0;
};

std::vector<Mended> mended_by(const Knowledge& knowledge, const Candidate& step) {
    std::vector<Mended> all;
    if (step.kind == StepKind::repair) {
        for (const CauseStrength& fix : knowledge.repairs[step.index].fixes)
            all.push_back({fix.cause, fix.strength.count.mean()});
        return all;
    }
    for (const CauseId cause : step.takes)
        all.push_back({cause, 1});
    return all;
}

}  // namespace

void show_effects(Page& page, const Knowledge& knowledge, const Candidate& step,
                  const std::vector<Effect>& effects) {
    page.heading("WHAT EACH OUTCOME WOULD CHANGE");
    page.text(std::string(deed(step.kind, step.own_licence)) + ": " + step.title + " (" + step.id +
                  ")",
              4, 2);
    const Lettered letters(knowledge, step.kind, step.id);
    if (const std::string legend = letters.legend(); !legend.empty())
        page.text(legend, 4, 4);
    if (effects.empty())
        page.text("What it would tell cannot be worked out here.", 2, 2);
    for (std::size_t i = 0; i < std::min(effects.size(), most_outcomes); ++i) {
        const Effect& effect = effects[i];
        page.text("If " + letters.told(effect.found) + " (" + percent(effect.p) +
                      "), first would be " + knowledge[effect.first].head.title + " " +
                      percent(effect.first_p),
                  6, 4);
        for (const Moved& moved : effect.moved)
            page.text(knowledge[moved.cause].head.title + ": from " + percent(moved.before) +
                          " to " + percent(moved.after),
                      10, 8);
    }
    if (effects.size() > most_outcomes)
        page.text("and " + std::to_string(effects.size() - most_outcomes) + " rarer outcomes", 4,
                  4);
}

void show_what_it_mends(Page& page, const Knowledge& knowledge, const Posterior& now,
                        const Candidate& step) {
    page.heading("WHAT IT TAKES AWAY");
    page.text(std::string(deed(step.kind, step.own_licence)) + ": " + step.title + " (" + step.id +
                  ")",
              4, 2);
    std::vector<Mended> all = mended_by(knowledge, step);
    std::stable_sort(all.begin(), all.end(), [&](const Mended& a, const Mended& b) {
        return now.cause[a.cause.index()] > now.cause[b.cause.index()];
    });
    for (const Mended& it : all)
        page.row(knowledge[it.cause].head.title + ", gone with " + percent(it.chance) +
                     " where it is there",
                 percent(now.cause[it.cause.index()]), 6, 4);
}

}  // namespace knockwell
