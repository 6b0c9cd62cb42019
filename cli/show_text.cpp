#include "cli/show_text.hpp"

#include "advice/looks.hpp"
#include "advice/mass.hpp"
#include "advice/tripped.hpp"
#include "base/words.hpp"
#include "beliefs/finding.hpp"
#include "beliefs/worked.hpp"
#include "cli/lettered.hpp"
#include "cli/together.hpp"
#include "cli/words.hpp"

#include <algorithm>
#include <cmath>
#include <set>

namespace knockwell {
namespace {

constexpr std::size_t body = 5;        // columns before what belongs to a numbered line
constexpr double worth_a_line = 0.01;  // causes below it are left to --json
constexpr double common = 0.05;        // so often, that it is named though nothing speaks of it

using Shown = std::set<CautionId>;

void show_cautions(Page& page, const Knowledge& knowledge, const std::vector<CautionId>& cautions,
                   std::size_t indent, Shown& shown) {
    for (const CautionId id : cautions) {
        if (!shown.insert(id).second)
            continue;
        page.signal(signal_word(knowledge[id]), knowledge[id].text, indent);
    }
}

// ---- stops

void show_stop(Page& page, const Knowledge& knowledge, const StopNow& now) {
    const Stop& stop = knowledge[now.stop];
    page.signal("DANGER", stop.head.title, 0);
    if (stop.by_drinking)
        page.text("It harms whoever drinks the water.", 2, 2);
    page.block(stands_words(knowledge, now), 2);
    Shown shown;
    show_cautions(page, knowledge, stop.cautions, 2, shown);
    page.text("Do now: " + stop.do_now, 4, 2);
    const std::string lifted = lifted_words(knowledge, stop);
    if (!lifted.empty())
        page.text("It is lifted by " + lifted, 4, 2);
    if (const std::string told = in_vain_words(knowledge, now); !told.empty())
        page.text(told, 4, 2);
    page.gap();
}

// ---- causes

bool anything_known(const Evidence& evidence) {
    return !evidence.findings.empty() || !evidence.causes.empty();
}

/// Of what tripped: that mostly something else has tripped it, and what; else empty.
std::string tripped_words(const Knowledge& knowledge, const Known& known, CauseId id) {
    const CauseId by = tripped_by(knowledge, known.advice.own, known.now, id);
    if (!by.valid())
        return {};
    return "in " + percent(1 - known.advice.own[id.index()]) +
           " of that something is here that trips it, likeliest: " + knowledge[by].head.title;
}

void show_causes(Page& page, const Knowledge& knowledge, const Known& known, std::size_t most) {
    std::size_t place = 0;
    std::vector<std::string> silent;
    for (const CauseId id : known.by_rank) {
        const double p = known.now.cause[id.index()];
        if (place == most || (place > 0 && p < worth_a_line))
            break;
        if (!known.spoken_of[id.index()]) {
            if (p >= common)
                silent.push_back(knowledge[id].head.title + ", " + percent(p));
            continue;
        }
        ++place;
        const std::string left = std::to_string(place) + ". " + knowledge[id].head.title + " (" +
                                 knowledge[id].head.id + ")";
        page.row(left, percent(p), body, 2);
        if (known.ranges.draws > 0)
            page.block(place_words(known.ranges, id), body);
        if (const std::string tripped = tripped_words(knowledge, known, id); !tripped.empty())
            page.block(tripped, body);
    }
    if (known.ranges.draws == 0)
        page.text("How far the counts leave these open would take too long to work out.", body, 2);
    if (!silent.empty())
        page.text("Common, but what was found does not speak of it: " + list_of(silent), body, 2);
}

void show_sets(Page& page, const Knowledge& knowledge, const CauseSets& sets) {
    for (const CauseSet& set : sets.sets) {
        if (set.causes.size() < 2 || set.p < several_worth_a_line)
            continue;
        std::vector<std::string> titles;
        for (const CauseId id : set.causes)
            titles.push_back(knowledge[id].head.title);
        page.text((set.causes.size() == 2 ? "Both at once: " : "All at once: ") + list_of(titles) +
                      ", " + percent(set.p),
                  body, 2);
    }
}

void show_misfit(Page& page, const Knowledge& knowledge, const Evidence& evidence,
                 const Known& known) {
    const std::string words = misfit_words(known.misfit);
    if (words.empty())
        return;
    page.text(words, body, 2);
    constexpr double three_times = 1.0986122886681098;  // ln 3
    // What cannot be told of one finding is not the worst.
    const std::vector<double>& each = known.misfit_of_each;
    const auto worst = std::max_element(each.begin(), each.end(), [](double a, double b) {
        return !std::isnan(b) && (std::isnan(a) || a < b);
    });
    if (worst == each.end() || !(*worst >= three_times))
        return;
    const auto place = static_cast<std::size_t>(worst - each.begin());
    page.text("Least fitting: " + to_text(knowledge, evidence.findings[place]) +
                  ". Read or ask it again.",
              body, 2);
}

void show_beliefs(Page& page, const Knowledge& knowledge, const AnswerNow& answer,
                  const Known& known, std::size_t most) {
    const Evidence& evidence = answer.course.evidence;
    page.heading("MOST LIKELY");
    if (!anything_known(evidence))
        page.block("Nothing is reported yet, so this is only how common each is.", 2);
    show_causes(page, knowledge, known, most);
    show_sets(page, knowledge, known.sets);
    page.row("Nothing listed explains it",
             known.unlisted ? percent(*known.unlisted) : "cannot be worked out", body, 2);
    show_misfit(page, knowledge, evidence, known);
    for (const std::string& lost : answer.course.lost)
        page.text("Not used: " + lost, body, 2);
}

// ---- the next steps

/// How the outcome is told to the program, so that nobody has to guess names.
std::string tell_it_as(const Knowledge& knowledge, const Evidence& evidence,
                       const Suggestion& step) {
    if (step.kind == StepKind::question)
        return "--says " + step.id + "=...";
    if (step.kind == StepKind::setting)
        return "--set " + step.id + "=...";
    if (step.kind == StepKind::repair)
        return "knockwell did " + step.id;
    if (step.kind != StepKind::test)
        return {};
    std::vector<std::string> signs;
    for (const Findable& what : left_to_find(knowledge, evidence, test_named(knowledge, step.id))) {
        const std::string& id =
            std::visit([&](auto it) -> const std::string& { return knowledge[it].head.id; }, what);
        signs.push_back("--found " + id + "=...@" + step.id);
        const auto* sign = std::get_if<SignId>(&what);
        if (sign != nullptr && knowledge[*sign].reading && knowledge[*sign].reading->worked)
            signs.back() += ", or with " + inputs_to_type(*knowledge[*sign].reading->worked) +
                            " in place of the dots";
    }
    return list_of(signs);
}

/// Whoever told one thing that a look shows has made it, and is not sent to make it afresh.
void show_what_was_told(Page& page, const Knowledge& knowledge, const Evidence& evidence,
                        const Suggestion& step) {
    if (step.kind != StepKind::test)
        return;
    const TestId test = test_named(knowledge, step.id);
    const std::vector<Findable> left = left_to_find(knowledge, evidence, test);
    if (left.empty() || left.size() == knowledge[test].reveals.size())
        return;
    std::vector<std::string> titles;
    for (const Findable& what : left)
        titles.push_back(std::visit([&](auto it) { return knowledge[it].head.title; }, what));
    page.text("Part of this look was told. Seen then already? Tell it. Still to tell: " +
                  list_of(titles),
              body + 2, body);
}

/// The likeliest ones; what is left out is said.
void show_outcomes(Page& page, const Knowledge& knowledge, const Suggestion& step) {
    constexpr std::size_t most_told = 5;
    std::vector<OutcomeWords> outcomes = step.outcomes;
    std::stable_sort(outcomes.begin(), outcomes.end(),
                     [](const OutcomeWords& a, const OutcomeWords& b) { return a.p > b.p; });
    const Lettered letters(knowledge, step.kind, step.id);
    if (const std::string legend = letters.legend(); !legend.empty() && !outcomes.empty())
        page.text(legend, body + 2, body);
    for (std::size_t i = 0; i < std::min(most_told, outcomes.size()); ++i) {
        const OutcomeWords& it = outcomes[i];
        page.text("If " + letters.told(it.found) + " (" + percent(it.p) +
                      "): " + cause_title(knowledge, it.then_first) + " " + percent(it.then_p),
                  body + 2, body);
    }
    if (outcomes.size() > most_told)
        page.block("and " + std::to_string(outcomes.size() - most_told) + " rarer outcomes", body);
}

/// Only where the shop says what an hour costs.
void show_money(Page& page, const Knowledge& knowledge, const Rates& rates,
                const Suggestion& step) {
    const std::string costs = step_money(knowledge, rates, step);
    if (costs.empty())
        return;
    const auto saved = money_of(rates, step.minutes_saved);
    page.text("Money: costs " + costs +
                  (step.minutes_saved > 0 ? "; saves " + money_words(rates, *saved) + " in the mean"
                                          : ""),
              body + 2, body);
}

void show_first_step(Page& page, const Knowledge& knowledge, const Rates& rates,
                     const Evidence& evidence, const Suggestion& step) {
    page.row("1. " + std::string(deed(step.kind, step.own_licence)) + ": " + step.title,
             minutes_words(step.minutes), body, 2);
    Shown shown;
    show_cautions(page, knowledge, step.cautions, body, shown);
    for (const Preparation& before : step.first) {
        show_cautions(page, knowledge, before.cautions, body, shown);
        page.text((before.what == Prepares::reach ? "Reach: " : "First: ") + before.says, body + 2,
                  body);
    }
    const bool asks = step.kind == StepKind::question || step.kind == StepKind::setting;
    page.text(asks ? "\"" + step.how + "\"" : "Do: " + step.how, body + 2, body);
    show_what_was_told(page, knowledge, evidence, step);
    if (!step.needs.empty())
        page.text("Needs: " + list_of(step.needs), body + 2, body);
    if (!step.awaited_by.empty())
        page.text("Waits for it: " + step.awaited_by, body + 2, body);
    if (!step.parts.empty())
        page.text("Parts: " + list_of(step.parts), body + 2, body);
    show_money(page, knowledge, rates, step);
    if (step.helps > 0)
        page.block((step.kind == StepKind::refer ? "Is theirs to cure: " : "Ends the trouble: ") +
                       percent(step.helps),
                   body);
    show_outcomes(page, knowledge, step);
    const std::string tell = tell_it_as(knowledge, evidence, step);
    if (!tell.empty())
        page.text("Tell it as: " + tell, body + 2, body);
}

/// What is open is paid once. The others are named below, with their cautions.
void show_together(Page& page, const std::vector<Together>& looks) {
    std::vector<std::string> words;
    for (const Together& look : looks)
        words.push_back(std::to_string(look.place) + " takes " + minutes_words(look.minutes) +
                        " and not " + minutes_words(look.alone));
    if (!words.empty())
        page.text("Right after it, while that is open: step " + list_of(words), body + 2, body);
}

/// Only a name; its cautions are named before it, in full with `kb show`.
void show_other_step(Page& page, const Knowledge& knowledge, const Suggestion& step,
                     std::size_t place) {
    std::set<Hazard> hazards;
    for (const CautionId id : step.cautions)
        hazards.insert(knowledge[id].covers.begin(), knowledge[id].covers.end());
    std::vector<std::string> words;
    for (const Hazard hazard : hazards)
        words.emplace_back(to_text(hazard));
    std::string left = std::to_string(place) + ". ";
    if (!words.empty())
        left += "WARNING (" + list_of(words) + "): ";
    else if (!step.cautions.empty())
        left += "CAUTION: ";
    left +=
        std::string(deed(step.kind, step.own_licence)) + ": " + step.title + " (" + step.id + ")";
    page.row(left, minutes_words(step.minutes), body, 2);
}

struct HeldGroup {
    std::string why;
    std::vector<std::string> ids;
};

/// Steps held back for the same reason, the largest group first.
std::vector<HeldGroup> grouped(const std::vector<HeldBack>& all) {
    std::vector<HeldGroup> groups;
    for (const HeldBack& held : all) {
        auto it = std::find_if(groups.begin(), groups.end(),
                               [&](const HeldGroup& group) { return group.why == held.why; });
        if (it == groups.end())
            it = groups.insert(groups.end(), {held.why, {}});
        it->ids.push_back(held.id);
    }
    std::stable_sort(groups.begin(), groups.end(), [](const HeldGroup& a, const HeldGroup& b) {
        return a.ids.size() > b.ids.size();
    });
    return groups;
}

/// The repair that somebody else, or another truck, is wanted for.
void show_what_would_come_first(Page& page, const Advice& advice) {
    const auto it = std::find_if(advice.held_back.begin(), advice.held_back.end(),
                                 [](const HeldBack& held) { return held.helps > 0; });
    if (it == advice.held_back.end())
        return;
    page.text("Would come first, and end the trouble with " + percent(it->helps) + ": " +
                  std::string(deed(it->kind)) + ": " + it->title + " (" + it->id +
                  "). Held back: " + it->why,
              body, 2);
    const bool any_saves =
        std::any_of(advice.next.begin(), advice.next.end(),
                    [](const Suggestion& step) { return step.minutes_saved > 0; });
    if (!advice.next.empty() && !any_saves)
        page.text("Nothing below saves time by now: send who may do it.", body, 2);
}

void show_held_back(Page& page, const Advice& advice) {
    constexpr std::size_t most_told = 3;  // reasons, and steps of one reason
    const std::size_t count = advice.held_back.size();
    if (count == 0)
        return;
    page.text("Held back: " + std::to_string(count) + (count == 1 ? " step" : " steps"), body, 2);
    std::vector<HeldGroup> groups = grouped(advice.held_back);
    const std::size_t more = groups.size() > most_told ? groups.size() - most_told : 0;
    groups.resize(std::min(groups.size(), most_told));
    for (HeldGroup& group : groups) {
        if (group.ids.size() > most_told) {
            const std::size_t others = group.ids.size() - most_told;
            group.ids.resize(most_told);
            group.ids.push_back(std::to_string(others) + " more");
        }
        page.text(list_of(group.ids) + ": " + group.why, body + 2, body);
    }
    if (more > 0)
        page.block("and for " + std::to_string(more) + " more (--json has them)", body);
}

/// Empty where nothing is gone.
std::string gone_words(const Knowledge& knowledge, const Evidence& evidence) {
    std::vector<std::string> gone;
    for (const SignId sign : gone_since_repair(knowledge, evidence))
        gone.push_back(knowledge[sign].head.title);
    return gone.empty() ? ""
                        : "Gone since the last repair: " + list_of(gone) +
                              ". What must be true before leaving: knockwell close --cured.";
}

void show_advice(Page& page, const Knowledge& knowledge, const AnswerNow& answer,
                 const Advice& advice) {
    page.heading("NEXT, for " + situation_words(knowledge, answer.course.situation));
    if (advice.stopped) {
        page.block("Nothing but what stands under DANGER, until that is lifted.", 2);
        return;
    }
    if (const std::string gone = gone_words(knowledge, answer.course.evidence); !gone.empty())
        page.text(gone, 4, 2);
    show_what_would_come_first(page, advice);
    if (advice.next.empty()) {
        const bool others_can = answer.course.situation.who != Skill::qualified;
        page.block(!advice.held_back.empty() && others_can
                       ? "Nothing that this person may do here. With --who helper or --who "
                         "qualified there is more."
                       : "Nothing is left that would pay: no look tells more, and no repair is "
                         "likely enough. Hand it to somebody who knows more, or come back while "
                         "it shows.",
                   2);
    }
    for (std::size_t i = 0; i < advice.next.size(); ++i) {
        if (i == 0) {
            show_first_step(page, knowledge, answer.rates, answer.course.evidence, advice.next[i]);
            show_together(page, looks_together(knowledge, answer.course.situation, advice));
        } else
            show_other_step(page, knowledge, advice.next[i], i + 1);
    }
    show_held_back(page, advice);
}

// ---- what cannot be

void show_clash(Page& page, const Knowledge& knowledge, const Evidence& evidence,
                const Impossible& clash) {
    page.heading("THESE CANNOT ALL BE TRUE");
    for (const std::size_t i : clash.findings)
        page.text(to_text(knowledge, evidence.findings[i]), 4, 2);
    for (const std::size_t i : clash.causes) {
        const KnownCause& known = evidence.causes[i];
        page.text(knowledge[known.cause].head.title + (known.present ? ": yes" : ": no"), 4, 2);
    }
    for (const SettingId id : clash.settings) {
        const auto known = evidence.settings.find(id);
        const std::string state =
            known == evidence.settings.end() ? "any" : knowledge[id].states[known->second];
        page.text(knowledge[id].head.title + ": " + state, 4, 2);
    }
    page.block("Read or ask them again, and take one back.", 2);
}

/// Causes of which something can be said all the same, the highest bounds first.
void show_bounds(Page& page, const Knowledge& knowledge, const Enclosure& bounds,
                 std::size_t most) {
    constexpr double says_something = 0.5;
    std::vector<CauseId> order;
    for (std::size_t c = 0; c < bounds.cause.size(); ++c)
        if (bounds.cause[c].high - bounds.cause[c].low < says_something)
            order.emplace_back(c);
    const std::size_t silent = bounds.cause.size() - order.size();
    const auto middle = [&](CauseId c) {
        return bounds.cause[c.index()].low + bounds.cause[c.index()].high;
    };
    std::stable_sort(order.begin(), order.end(),
                     [&](CauseId a, CauseId b) { return middle(a) > middle(b); });
    page.heading("WHAT IS SURE");
    if (order.empty()) {
        page.block("Nothing: the bounds that could be found in two seconds are too far apart.", 2);
        return;
    }
    page.block("Each chance lies between its two bounds, wherever in between.", 2);
    for (std::size_t i = 0; i < order.size() && i < most; ++i)
        page.row(std::to_string(i + 1) + ". " + knowledge[order[i]].head.title + " (" +
                     knowledge[order[i]].head.id + ")",
                 range_words(bounds.cause[order[i].index()]), body, 2);
    if (silent > 0)
        page.block("Of " + std::to_string(silent) + " more the bounds are too far apart.", 2);
}

void show_too_wide(Page& page, const Knowledge& knowledge, const AnswerNow& answer,
                   const TooWide& wide, std::size_t most) {
    page.heading("NO EXACT ANSWER");
    page.block("So much hangs together here that an exact answer would need tables of 2^" +
                   number(std::round(wide.width)) +
                   " numbers, and no next step can be weighed. Tell fewer findings at once, or "
                   "more of what is installed.",
               2);
    if (!answer.bounds)
        return;
    if (std::isinf(answer.bounds->log_evidence.high)) {
        page.block("What was told cannot all be true. Read or ask it again.", 2);
        return;
    }
    show_bounds(page, knowledge, *answer.bounds, most);
}

}  // namespace

void show_stops(Page& page, const Knowledge& knowledge, const std::vector<StopNow>& stops) {
    for (const StopNow& stop : stops)
        show_stop(page, knowledge, stop);
}

void show_answer(Page& page, const Model& model, const AnswerNow& answer, std::size_t most) {
    const Knowledge& knowledge = *model.knowledge;
    show_stops(page, knowledge, answer.stops);
    if (const auto* clash = std::get_if<Impossible>(&answer.says)) {
        show_clash(page, knowledge, answer.course.evidence, *clash);
    } else if (const auto* wide = std::get_if<TooWide>(&answer.says)) {
        show_too_wide(page, knowledge, answer, *wide, most);
    } else {
        const Known& known = std::get<Known>(answer.says);
        show_beliefs(page, knowledge, answer, known, most);
        page.gap();
        show_advice(page, knowledge, answer, known.advice);
    }
    page.gap();
    page.text(it_can_be_wrong());
}

namespace {

/// How firm its place is, and what would change it.
void show_rank(Page& page, const Knowledge& knowledge, const Known& known, const Reasons& reason) {
    const bool first = !known.by_rank.empty() && known.by_rank.front() == reason.cause;
    page.text(place_words(known.ranges, reason.cause), 4, 2);
    for (const Overturn& it : reason.overturns) {
        const Lettered letters(knowledge, it.look.kind, it.look.id);
        page.text(std::string(first ? "Overturned by: " : "Brought first by: ") + it.look.title +
                      " (" + it.look.id + "): if " + letters.told(it.found) + " (" + percent(it.p) +
                      "), first is " + knowledge[it.first].head.title + " " + percent(it.first_p) +
                      (it.all > it.p ? "; all such outcomes " + percent(it.all) : ""),
                  4, 2);
        if (const std::string legend = letters.legend(); !legend.empty())
            page.text(legend, 6, 4);
    }
    if (reason.overturns.empty())
        page.text(first ? "No single look that is left would take the first place from it."
                        : "No single look that is left would bring it to the first place.",
                  4, 2);
}

/// What each finding does, and how many do nothing.
void show_weights(Page& page, const Knowledge& knowledge, const Evidence& evidence,
                  const Reasons& reason) {
    std::size_t silent = 0;
    for (const Reason& one : reason.findings) {
        if (says_nothing(one.decibans)) {
            ++silent;
            continue;
        }
        page.text(to_text(knowledge, evidence.findings[one.finding]), 4, 2);
        page.block(weight_words(one.decibans) +
                       (std::isfinite(one.decibans)
                            ? ", " + number(std::round(one.decibans)) + " decibans"
                            : ""),
                   4);
    }
    const std::string other = silent < reason.findings.size() ? " other" : "";
    if (silent > 0)
        page.block(
            std::to_string(silent) + other +
                (silent == 1 ? " finding says nothing of it." : " findings say nothing of it."),
            2);
    if (reason.findings.empty())
        page.block("Nothing is found yet.", 2);
}

}  // namespace

void show_reasons(Page& page, const Model& model, const AnswerNow& answer,
                  const std::vector<Reasons>& reasons) {
    const Knowledge& knowledge = *model.knowledge;
    const Known& known = std::get<Known>(answer.says);
    for (const Reasons& reason : reasons) {
        page.row(knowledge[reason.cause].head.title + " (" + knowledge[reason.cause].head.id + ")",
                 percent(known.now.cause[reason.cause.index()]), 2, 0);
        show_weights(page, knowledge, answer.course.evidence, reason);
        show_rank(page, knowledge, known, reason);
        page.gap();
    }
    const std::string misfit = misfit_words(known.misfit);
    page.text(misfit.empty() ? "The findings fit together." : misfit);
    for (std::size_t i = 0; i < known.misfit_of_each.size(); ++i) {
        // Where all of them fit together, none is called out for leaning the other way.
        if (misfit.empty() || !clash(known.misfit_of_each[i]))
            continue;
        page.text(to_text(knowledge, answer.course.evidence.findings[i]) +
                      ": does not sit easily with the rest",
                  4, 2);
    }
    page.text("A weight is what the odds lose when that one finding is left out: 10 decibans are "
              "ten to one. Weights do not add up. " +
              std::string(it_can_be_wrong()));
}

void show_recheck(Page& page, const Knowledge& knowledge, const Recheck& recheck) {
    const Step& step = knowledge[recheck.test].step;
    page.row(step.head.title + " (" + step.head.id + ")", minutes_words(step.minutes), 4, 2);
    if (recheck.held_back) {
        page.text("Held back: " + *recheck.held_back, 6, 4);
        return;
    }
    Shown shown;
    show_cautions(page, knowledge, cautions_of(knowledge, step), 4, shown);
    page.text("Do: " + how_by_itself(step), 6, 4);
}

}  // namespace knockwell
