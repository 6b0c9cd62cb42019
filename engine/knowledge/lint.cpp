#include "knowledge/lint.hpp"

#include "base/nearest.hpp"
#include "base/words.hpp"
#include "knowledge/alike.hpp"
#include "knowledge/dominated.hpp"
#include "knowledge/left_over.hpp"
#include "knowledge/provenance.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <string>
#include <utility>

namespace knockwell {
namespace {

const std::vector<std::string>& codes() {
    static const std::vector<std::string> all = {
        "cause-unseen",   "sign-unshown",      "sign-unasked",      "test-dominated",
        "causes-alike",   "no-cure",           "stop-stays",        "reset-unheld",
        "count-too-sure", "expects-nothing",   "hidden-character",  "tool-alike",
        "accept-unused",  "sign-says-nothing", "raised-twice",      "raised-never",
        "brought-never",  "never-anyway",      "recheck-unrelated", "recheck-missing",
        "left-over",      "present-often",     "misses-most"};
    return all;
}

/// The warnings so far, and which accepts have silenced one.
class Warnings {
public:
    /// Whether `head` accepts `code`; it has done its work then.
    bool accepted(const Head& head, const std::string& code) {
        if (!head.accept.contains(code))
            return false;
        used_.emplace(&head, code);
        return true;
    }

    void warn(const Head& head, const std::string& code, std::string says, const std::string& help,
              std::vector<Note> notes = {}) {
        warn_at(head.span, head, code, std::move(says), help, std::move(notes));
    }

    /// The same at a place inside the definition.
    void warn_at(const Span& span, const Head& head, const std::string& code, std::string says,
                 const std::string& help, std::vector<Note> notes = {}) {
        if (accepted(head, code))
            return;
        add(span, code, std::move(says),
            help + ", or say why it is right: accept = { " + code + " = \"...\" }",
            std::move(notes));
    }

    /// The same where nothing can accept it.
    void add(const Span& span, const std::string& code, std::string says, std::string help,
             std::vector<Note> notes) {
        problems_.push_back({.severity = Severity::warning,
                             .code = code,
                             .span = span,
                             .says = std::move(says),
                             .help = std::move(help),
                             .notes = std::move(notes)});
    }

    [[nodiscard]] bool used(const Head& head, const std::string& code) const {
        return used_.contains({&head, code});
    }

    [[nodiscard]] std::vector<Problem> in_order() && {
        put_in_order(problems_);
        return std::move(problems_);
    }

private:
    std::vector<Problem> problems_;
    std::set<std::pair<const Head*, std::string>> used_;
};

/// "cause 'waterlogged'"
std::string named(const std::string& kind, const Head& head) { return kind + " '" + head.id + "'"; }

std::string kind_of(const Sign& sign) { return sign.symptom ? "symptom" : "observation"; }

bool ever(const std::vector<Strength>& strengths) {
    return std::any_of(strengths.begin(), strengths.end(),
                       [](const Strength& strength) { return strength.count.mean() > 0; });
}

void warn_of_unseen_causes(const Knowledge& knowledge, Warnings& warnings) {
    const std::vector<bool> seen = causes_seen(knowledge);
    for (std::size_t i = 0; i < seen.size(); ++i) {
        if (seen[i])
            continue;
        const Cause& cause = knowledge.causes[i];
        std::vector<Note> notes;
        for (const Shows& shows : cause.shows) {
            const Sign& sign = knowledge[shows.sign];
            if (sign.symptom)
                continue;  // a strength of "never"
            notes.push_back({.span = sign.head.span,
                             .says = "no test reveals " + named(kind_of(sign), sign.head) +
                                     " where the cause can be"});
        }
        const std::string help =
            notes.empty() ? "list what it shows under [cause." + cause.head.id + ".shows]"
                          : "add a test that reveals what it shows";
        warnings.warn(cause.head, "cause-unseen",
                      "no test and no customer can ever show cause '" + cause.head.id + "'", help,
                      notes);
    }
}

bool shows_more(const std::vector<Strength>& shown, const std::vector<Strength>& anyway) {
    for (std::size_t i = 0; i < shown.size(); ++i)
        if (shown[i].count.mean() > (i < anyway.size() ? anyway[i].count.mean() : 0))
            return true;
    return false;
}

/// What no cause shows, what is seen without any as often as with one, and what nobody looks for.
void warn_of_idle_signs(const Knowledge& knowledge, Warnings& warnings) {
    std::set<SignId> shown;     // by a cause
    std::set<SignId> telling;   // shown more often than it is seen anyway
    std::set<SignId> revealed;  // by a test
    for (const Cause& cause : knowledge.causes) {
        for (const Shows& shows : cause.shows) {
            const Sign& sign = knowledge[shows.sign];
            if (ever(shows.low) || ever(shows.high))
                shown.insert(shows.sign);
            if (shows_more(shows.high, sign.seen_high) || shows_more(shows.low, sign.seen_low))
                telling.insert(shows.sign);
        }
    }
    for (const Test& test : knowledge.tests) {
        for (const Findable& what : test.reveals) {
            if (const auto* sign = std::get_if<SignId>(&what))
                revealed.insert(*sign);
        }
    }
    for (std::size_t i = 0; i < knowledge.signs.size(); ++i) {
        const Sign& sign = knowledge.signs[i];
        const std::string name = named(kind_of(sign), sign.head);
        if (!shown.contains(SignId(i))) {
            warnings.warn(sign.head, "sign-unshown", "no cause shows " + name,
                          "list it under what a cause shows");
        } else if (!telling.contains(SignId(i))) {
            warnings.warn(sign.head, "sign-says-nothing",
                          "no cause shows " + name + " more often than it is seen anyway",
                          "seen_anyway is how often it is there with no listed cause; write it "
                          "smaller, or what the causes show larger");
        }
        if (shown.contains(SignId(i)) && !ever(sign.seen_high) && !ever(sign.seen_low)) {
            warnings.warn(sign.head, "never-anyway",
                          name + " is never seen without a listed cause, so that one finding of it "
                                 "settles that one of them is there",
                          "write how often it is there all the same, seen_anyway = \"1 in 1000\"");
        }
        if (!sign.symptom && !revealed.contains(SignId(i))) {
            warnings.warn(sign.head, "sign-unasked", "no test reveals " + name,
                          "list it under what a test reveals");
        }
    }
}

void warn_of_dominated_tests(const Knowledge& knowledge, Warnings& warnings) {
    const std::vector<TestId> dominated = dominated_tests(knowledge);
    for (std::size_t i = 0; i < dominated.size(); ++i) {
        if (!dominated[i].valid())
            continue;
        const Head& head = knowledge.tests[i].step.head;
        const Head& better = knowledge[dominated[i]].step.head;
        warnings.warn(head, "test-dominated",
                      named("test", better) + " tells as much as " + named("test", head) +
                          ", as surely, and costs no more",
                      "write what this one does better",
                      {{.span = better.span, .says = named("test", better) + " is here"}});
    }
}

void warn_of_causes_alike(const Knowledge& knowledge, Warnings& warnings) {
    const std::string code = "causes-alike";
    const std::vector<std::vector<CauseId>> alike = causes_alike(knowledge);
    for (std::size_t i = 0; i < alike.size(); ++i) {
        const Head& head = knowledge.causes[i].head;
        std::vector<std::string> others;
        std::vector<Note> notes;
        for (const CauseId earlier : alike[i]) {
            const Head& other = knowledge[earlier].head;
            const bool answered = warnings.accepted(other, code);
            if (warnings.accepted(head, code) || answered)
                continue;
            others.push_back("'" + other.id + "'");
            notes.push_back({.span = other.span, .says = named("cause", other) + " is here"});
        }
        if (others.empty())
            continue;
        warnings.warn(head, code,
                      "no test and no question tells " + named("cause", head) + " from " +
                          list_of(others, "or") + " by a factor of 2",
                      "add a sign that one of them shows at least twice as often",
                      std::move(notes));
    }
}

void warn_of_causes_without_cure(const Knowledge& knowledge, Warnings& warnings) {
    std::set<CauseId> cured;
    for (const Repair& repair : knowledge.repairs) {
        for (const CauseStrength& fixes : repair.fixes) {
            if (fixes.strength.count.mean() > 0 &&
                !exclude_each_other(knowledge[fixes.cause].only_if, repair.step.only_if))
                cured.insert(fixes.cause);
        }
    }
    for (const Refer& refer : knowledge.refers) {
        for (const CauseId cause : refer.takes)
            if (!exclude_each_other(knowledge[cause].only_if, refer.only_if))
                cured.insert(cause);
    }
    for (std::size_t i = 0; i < knowledge.causes.size(); ++i) {
        const Cause& cause = knowledge.causes[i];
        const bool handed_over = cause.refer.valid() &&
                                 !exclude_each_other(cause.only_if, knowledge[cause.refer].only_if);
        if (handed_over || cured.contains(CauseId(i)))
            continue;
        warnings.warn(cause.head, "no-cure",
                      "no repair fixes " + named("cause", cause.head) +
                          " where it can be, and no refer takes it",
                      "list it under what a repair fixes or a refer takes");
    }
}

/// The same conditions, in whatever order.
bool same_conditions(Conditions a, Conditions b) {
    for (Conditions* all : {&a, &b})
        std::sort(all->begin(), all->end(),
                  [](const Condition& x, const Condition& y) { return x.setting < y.setting; });
    return a == b;
}

/// A condition that is written twice multiplies twice, and one that cannot hold where the cause can
/// be multiplies never.
void warn_of_conditions_of_rates(const Knowledge& knowledge, Warnings& warnings) {
    for (const Cause& cause : knowledge.causes) {
        const std::vector<RaisedBy>& all = cause.raised_by;
        const std::string who = named("cause", cause.head);
        for (auto it = all.begin(); it != all.end(); ++it) {
            const auto first = std::find_if(all.begin(), it, [&](const RaisedBy& earlier) {
                return same_conditions(earlier.when, it->when);
            });
            if (first != it)
                warnings.warn_at(it->span, cause.head, "raised-twice",
                                 who + " is raised twice by one condition, so that both multiply",
                                 "write it once, with the number of times that it is meant to be",
                                 {{.span = first->span, .says = "the first one"}});
            if (exclude_each_other(it->when, cause.only_if))
                warnings.warn_at(it->span, cause.head, "raised-never",
                                 who + " is raised by what cannot hold where it can be at all",
                                 "take it out, or write its 'only_if' wider",
                                 {{.span = cause.head.span, .says = "'only_if' of " + who}});
        }
    }
}

/// What cannot be where its cause is brings nothing on.
void warn_of_bringers_elsewhere(const Knowledge& knowledge, Warnings& warnings) {
    for (const Cause& cause : knowledge.causes)
        for (const CauseStrength& brought : cause.brought_on_by) {
            const Cause& bringer = knowledge[brought.cause];
            if (exclude_each_other(bringer.only_if, cause.only_if))
                warnings.warn_at(brought.strength.span, cause.head, "brought-never",
                                 named("cause", cause.head) + " is brought on by " +
                                     named("cause", bringer.head) +
                                     ", which cannot be where it can be",
                                 "take it out, or write one 'only_if' wider",
                                 {{.span = bringer.head.span,
                                   .says = named("cause", bringer.head) + " is here"}});
        }
}

/// A danger outlives every repair that is not named, so that one without any end stays for good.
void warn_of_stops_without_end(const Knowledge& knowledge, Warnings& warnings) {
    for (const Stop& stop : knowledge.stops) {
        if (!stop.cleared_by.empty() || !stop.mended_by.empty())
            continue;
        warnings.warn(stop.head, "stop-stays",
                      "nothing ends " + named("stop", stop.head) + " once it has come up",
                      "name the signs that lift it in cleared_by, or the repairs that take the "
                      "danger away in mended_by");
    }
}

/// A reset waits for what tripped what it puts back; where nothing does it never waits.
void warn_of_resets_that_never_wait(const Knowledge& knowledge, Warnings& warnings) {
    for (const Repair& repair : knowledge.repairs) {
        const bool waits =
            std::any_of(repair.fixes.begin(), repair.fixes.end(), [&](const CauseStrength& fix) {
                return !knowledge[fix.cause].brought_on_by.empty();
            });
        if (!repair.resets || waits)
            continue;
        warnings.warn(repair.step.head, "reset-unheld",
                      "nothing brings on what " + named("repair", repair.step.head) + " resets",
                      "write what trips it in brought_on_by of the cause that it fixes");
    }
}

/// What is there for others only, and that no other names.
void warn_of_left_over(const Knowledge& knowledge, Warnings& warnings) {
    const auto warn = [&](const char* kind, const Head& head, const std::string& where) {
        warnings.warn(head, "left-over", "nothing names " + named(kind, head),
                      where + ", or take it out");
    };
    const LeftOver left = left_over(knowledge);
    for (const SettingId id : left.settings)
        warn("setting", knowledge[id].head,
             "name it in an 'only_if' or a 'raised_by', or a quantity of it in an edge");
    for (const AccessId id : left.accesses)
        warn("access", knowledge[id].head,
             "name it in the 'at' of a step, or the 'via' of an access");
    for (const CautionId id : left.cautions)
        warn("caution", knowledge[id].head, "list it under the 'cautions' of what it warns of");
    for (const PartId id : left.parts)
        warn("part", knowledge[id].head, "list it under the 'parts' of a repair");
}

/// Whether a test reveals a sign that one of these causes shows.
bool is_of_one(const Knowledge& knowledge, TestId test, const std::vector<CauseStrength>& fixes) {
    const std::vector<Findable>& reveals = knowledge[test].reveals;
    const auto is_revealed = [&](SignId sign) {
        return std::find(reveals.begin(), reveals.end(), Findable(sign)) != reveals.end();
    };
    return std::any_of(fixes.begin(), fixes.end(), [&](const CauseStrength& fix) {
        const Cause& cause = knowledge[fix.cause];
        return std::any_of(cause.shows.begin(), cause.shows.end(),
                           [&](const Shows& shows) { return is_revealed(shows.sign); });
    });
}

/// A recheck shows that the repair holds: one that shows no sign of what was mended is mostly of
/// another repair, copied.
void warn_of_rechecks(const Knowledge& knowledge, Warnings& warnings) {
    for (const Repair& repair : knowledge.repairs) {
        const bool any =
            std::any_of(repair.recheck.begin(), repair.recheck.end(),
                        [&](TestId test) { return is_of_one(knowledge, test, repair.fixes); });
        if (repair.recheck.empty())
            warnings.warn(repair.step.head, "recheck-missing",
                          "nothing shows whether " + named("repair", repair.step.head) + " holds",
                          "name a test in 'recheck' that would show what it fixes, were that still "
                          "there");
        if (repair.recheck.empty() || repair.fixes.empty() || any)
            continue;
        warnings.warn(repair.step.head, "recheck-unrelated",
                      "no recheck of " + named("repair", repair.step.head) +
                          " reveals a sign of what it fixes",
                      "name a test in 'recheck' that would show it if it were still there");
    }
}

/// A tool is nothing but its name, so a slip of the finger makes another tool of it: [tool] the one
/// that it is a slip of. Of two that are as rare the later in the alphabet is the slip.
std::map<std::string, std::string> slips_of_tools(const std::map<std::string, std::size_t>& uses) {
    constexpr std::size_t slips = 2;
    constexpr std::size_t shortest = 5;  // below that two names are easily so near
    constexpr std::size_t longest = 64;  // what edits_between looks at
    constexpr std::size_t most = 500;    // names; a large shop has some hundred
    std::map<std::string, std::string> slip_of;
    if (uses.size() > most)
        return slip_of;
    for (const auto& [tool, times] : uses)
        for (const auto& [other, other_times] : uses) {
            const std::size_t less = std::min(tool.size(), other.size());
            const std::size_t more = std::max(tool.size(), other.size());
            if (std::pair(times, other) < std::pair(other_times, tool) && less >= shortest &&
                more <= longest && more - less <= slips && edits_between(tool, other) <= slips)
                slip_of.emplace(tool, other);
        }
    return slip_of;
}

void warn_of_tools_alike(const Knowledge& knowledge, Warnings& warnings) {
    std::map<std::string, std::size_t> uses;
    const auto for_every_tool = [&](auto act) {
        for (const Test& test : knowledge.tests)
            for (const std::string& tool : test.step.tools)
                act("test", test.step.head, tool);
        for (const Repair& repair : knowledge.repairs)
            for (const std::string& tool : repair.step.tools)
                act("repair", repair.step.head, tool);
    };
    for_every_tool([&](const char*, const Head&, const std::string& tool) { ++uses[tool]; });
    const std::map<std::string, std::string> slip_of = slips_of_tools(uses);
    for_every_tool([&](const char* kind, const Head& head, const std::string& tool) {
        if (const auto it = slip_of.find(tool); it != slip_of.end())
            warnings.warn(head, "tool-alike",
                          named(kind, head) + " wants the tool '" + tool + "', another one '" +
                              it->second + "'",
                          "write instead: " + it->second);
    });
}

/// Calls `judge(kind, head)` for every definition.
template <class Judge>
void for_every_head(const Knowledge& knowledge, Judge judge) {
    for (const Setting& it : knowledge.settings)
        judge(it.table ? "table" : "setting", it.head);
    for (const Cause& it : knowledge.causes)
        judge("cause", it.head);
    for (const Sign& it : knowledge.signs)
        judge(kind_of(it), it.head);
    for (const Access& it : knowledge.accesses)
        judge("access", it.head);
    for (const Caution& it : knowledge.cautions)
        judge("caution", it.head);
    for (const Test& it : knowledge.tests)
        judge("test", it.step.head);
    for (const Repair& it : knowledge.repairs)
        judge("repair", it.step.head);
    for (const Refer& it : knowledge.refers)
        judge("refer", it.head);
    for (const Part& it : knowledge.parts)
        judge("part", it.head);
    for (const Stop& it : knowledge.stops)
        judge("stop", it.head);
    for (const Practice& it : knowledge.practice)
        judge("practice", it.head);
}

void warn_of_counts_too_sure(const Knowledge& knowledge, Warnings& warnings) {
    for (const WrittenStrength& one : written_strengths(knowledge)) {
        const Head& head = *one.head;
        const Basis basis = basis_of(knowledge, head);
        if (one.rate || !too_sure_for_a_judgement(one.count) ||
            (basis != Basis::practice && basis != Basis::judgement))
            continue;
        warnings.warn_at(
            one.span.somewhere() ? one.span : head.span, head, "count-too-sure",
            "'" + head.id + "' has the basis " + std::string(to_text(basis)) + " and claims \"" +
                to_text(one.count) + "\"",
            "a judgement is worth about 10 cases: write the same share with a smaller n");
    }
}

/// What a call selects is common among calls, and rare among installations.
void warn_of_causes_everywhere(const Knowledge& knowledge, Warnings& warnings) {
    constexpr double a_fifth = 0.2;
    for (const Cause& cause : knowledge.causes) {
        const Count& present = cause.present.count;
        if (present.mean() > a_fifth)
            warnings.warn_at(cause.present.span, cause.head, "present-often",
                             named("cause", cause.head) + " is in " +
                                 (present.certain() ? "" : to_text(present) + " of ") +
                                 "all installations, whether anybody calls or not",
                             "write how many of all have it at this moment, such as \"4 in 1000\"; "
                             "its share of the calls comes out by itself");
    }
}

/// Mostly it is written how often the look finds it.
void warn_of_looks_that_mostly_fail(const Knowledge& knowledge, Warnings& warnings) {
    // No head: what is of every report or look, which can accept nothing.
    const auto warn = [&](const Head* head, const std::string& who, const std::string& where,
                          const Count& count, const Span& span) {
        constexpr double half = 0.5;
        if (count.kind != Count::Kind::counted || count.mean() <= half || !span.somewhere())
            return;
        const std::string code = "misses-most";
        const std::string says = who + " is wrong " + to_text(count) + " times where " + where;
        const std::string help = "write how often it goes wrong: \"" +
                                 to_text(Count{Count::Kind::counted, count.n - count.k, count.n}) +
                                 "\"";
        if (head != nullptr)
            warnings.warn_at(span, *head, code, says, help);
        else
            warnings.add(span, code, says, help, {});
    };
    const auto of_all = [&](const std::string& who, const Channel& channel) {
        warn(nullptr, who, "a sign is there", channel.misses, channel.misses_at);
        warn(nullptr, who, "a sign is not there", channel.false_alarm, channel.false_alarm_at);
    };
    // A number that is taken from those of all is told there.
    const auto of_one = [&](const Head& head, const std::string& who, const Channel& channel,
                            const Channel& all) {
        if (channel.misses_at != all.misses_at)
            warn(&head, who, "it is there", channel.misses, channel.misses_at);
        if (channel.false_alarm_at != all.false_alarm_at)
            warn(&head, who, "it is not", channel.false_alarm, channel.false_alarm_at);
    };
    const Manifest& manifest = knowledge.manifest;
    of_all("what customers tell ('told' of [reports])", manifest.told);
    of_all("a look without a test ('looked' of [reports])", manifest.looked);
    for (const Sign& sign : knowledge.signs)
        if (sign.phone_report)
            of_one(sign.head, "the report of " + named(kind_of(sign), sign.head),
                   *sign.phone_report, manifest.told);
    for (const Test& test : knowledge.tests)
        if (test.channel)
            of_one(test.step.head, named("test", test.step.head), *test.channel, manifest.looked);
}

bool expects_nothing(const Practice& practice) {
    return !practice.first.valid() && practice.both.empty() && !practice.tempting.valid() &&
           !practice.stop.valid() && practice.next.empty() && practice.gives.empty() &&
           !practice.evidence;
}

/// Such a case passes whatever the knowledge says.
void warn_of_cases_without_expectation(const Knowledge& knowledge, Warnings& warnings) {
    for (const Practice& practice : knowledge.practice)
        if (expects_nothing(practice))
            warnings.warn(practice.head, "expects-nothing",
                          named("practice", practice.head) + " expects nothing",
                          "name the cause that must rank 'first', the 'stop' that must come up, or "
                          "what is suggested 'next'");
}

/// A title goes to terminals, pages and papers. There such a character is written as its number.
void warn_of_hidden_characters(const Knowledge& knowledge, Warnings& warnings) {
    for_every_head(knowledge, [&](const std::string& kind, const Head& head) {
        if (escape_controls(head.title) != head.title)
            warnings.warn(head, "hidden-character",
                          "the title of " + named(kind, head) +
                              " has a character that is not seen: '" + escape_controls(head.title) +
                              "'",
                          "take it out");
    });
}

void warn_of_unused_accepts(const Knowledge& knowledge, Warnings& warnings) {
    const std::string code = "accept-unused";
    for_every_head(knowledge, [&](const std::string& kind, const Head& head) {
        for (const auto& [accepted, reason] : head.accept) {
            const bool ours = std::find(codes().begin(), codes().end(), accepted) != codes().end();
            const bool for_others = kind == "practice" && !ours;
            if (accepted == code || for_others || warnings.used(head, accepted))
                continue;
            if (warnings.accepted(head, code))
                continue;
            const std::vector<std::string> near =
                ours ? std::vector<std::string>{} : nearest(accepted, codes());
            warnings.add(head.span, code,
                         named(kind, head) + " accepts '" + accepted +
                             "', but nothing warns of that",
                         one_of_instead(near, "take it out"), {});
        }
        // An accept of this very warning must silence one too.
        if (head.accept.contains(code) && !warnings.used(head, code)) {
            warnings.add(head.span, code,
                         named(kind, head) + " accepts '" + code + "', but nothing warns of that",
                         "take it out", {});
        }
    });
}

}  // namespace

std::vector<Problem> lint(const Knowledge& knowledge) {
    Warnings warnings;
    warn_of_unseen_causes(knowledge, warnings);
    warn_of_idle_signs(knowledge, warnings);
    warn_of_dominated_tests(knowledge, warnings);
    warn_of_causes_alike(knowledge, warnings);
    warn_of_causes_without_cure(knowledge, warnings);
    warn_of_conditions_of_rates(knowledge, warnings);
    warn_of_bringers_elsewhere(knowledge, warnings);
    warn_of_stops_without_end(knowledge, warnings);
    warn_of_resets_that_never_wait(knowledge, warnings);
    warn_of_left_over(knowledge, warnings);
    warn_of_rechecks(knowledge, warnings);
    warn_of_counts_too_sure(knowledge, warnings);
    warn_of_causes_everywhere(knowledge, warnings);
    warn_of_looks_that_mostly_fail(knowledge, warnings);
    warn_of_cases_without_expectation(knowledge, warnings);
    warn_of_hidden_characters(knowledge, warnings);
    warn_of_tools_alike(knowledge, warnings);
    warn_of_unused_accepts(knowledge, warnings);
    return std::move(warnings).in_order();
}

}  // namespace knockwell
