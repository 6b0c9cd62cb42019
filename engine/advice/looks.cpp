#include "advice/looks.hpp"

#include "advice/mass.hpp"

#include <algorithm>
#include <set>
#include <utility>
#include <variant>

namespace knockwell {
namespace {

bool found_now(const Evidence& evidence, const Findable& what, auto&& counts) {
    return std::any_of(evidence.findings.begin(), evidence.findings.end(), [&](const Finding& it) {
        return it.stage + 1 == evidence.stages() && it.what == what && counts(it);
    });
}

/// Signs that another one, found so in this stage and by no finding of it denied, settles; but for
/// what lifts a danger.
std::set<SignId> moot_signs(const Knowledge& knowledge, const Evidence& evidence) {
    std::set<SignId> moot;
    for (std::size_t i = 0; i < knowledge.signs.size(); ++i) {
        for (const Moot& it : knowledge.signs[i].leaves_moot)
            if (said_now(knowledge, evidence, SignId(i), it.by) != nullptr)
                moot.insert(it.sign);
    }
    for (const Stop& stop : knowledge.stops)
        for (const SignId sign : stop.cleared_by)
            moot.erase(sign);
    return moot;
}

bool is_moot(const std::set<SignId>& moot, const Look& look) {
    return std::all_of(look.at.begin(), look.at.end(), [&](const Findable& what) {
        const auto* sign = std::get_if<SignId>(&what);
        return sign != nullptr && moot.contains(*sign);
    });
}

bool is_made(const Knowledge& knowledge, const Evidence& evidence, const std::set<SignId>& again,
             TestId id) {
    const auto& reveals = knowledge[id].reveals;
    const bool wanted = std::any_of(reveals.begin(), reveals.end(), [&](const Findable& what) {
        const auto* sign = std::get_if<SignId>(&what);
        return sign != nullptr && again.contains(*sign);
    });
    return !wanted && left_to_find(knowledge, evidence, id).empty();
}

void add(std::vector<LookLeft>& looks, const Knowledge& knowledge, Candidate step) {
    Look look = look_of(knowledge, step);
    looks.push_back({std::move(step), std::move(look)});
}

void add_tests(std::vector<LookLeft>& looks, const Knowledge& knowledge, const Evidence& evidence,
               const std::set<SignId>& again) {
    for (std::size_t i = 0; i < knowledge.tests.size(); ++i) {
        const TestId id(i);
        if (is_made(knowledge, evidence, again, id))
            continue;
        add(looks, knowledge, candidate(knowledge, id));
    }
}

void add_questions(std::vector<LookLeft>& looks, const Knowledge& knowledge,
                   const Evidence& evidence) {
    for (std::size_t i = 0; i < knowledge.signs.size(); ++i) {
        const Findable what = SignId(i);
        if (!knowledge.signs[i].symptom)
            continue;
        if (found_now(evidence, what, [](const Finding&) { return true; }))
            continue;
        add(looks, knowledge, candidate(knowledge, SignId(i)));
    }
}

void add_settings(std::vector<LookLeft>& looks, const Knowledge& knowledge,
                  const Evidence& evidence) {
    for (std::size_t i = 0; i < knowledge.settings.size(); ++i) {
        const SettingId id(i);
        if (knowledge[id].table || evidence.settings.contains(id))
            continue;
        add(looks, knowledge, candidate(knowledge, id));
    }
}

}  // namespace

Look look_of(const Knowledge& knowledge, const Candidate& step) {
    if (step.kind == StepKind::test)
        return {knowledge.tests[step.index].reveals, Via::test, TestId(step.index)};
    if (step.kind == StepKind::question)
        return {{SignId(step.index)}, Via::told, {}};
    return {{SettingId(step.index)}, Via::sure, {}};
}

std::vector<Findable> left_to_find(const Knowledge& knowledge, const Evidence& evidence,
                                   TestId test) {
    std::vector<Findable> left = knowledge[test].reveals;
    std::erase_if(left, [&](const Findable& what) {
        return found_now(evidence, what, [&](const Finding& it) {
            return it.via == Via::test ? it.test == test : it.via != Via::told;
        });
    });
    return left;
}

std::vector<std::string> found_at(const Knowledge& knowledge, const std::vector<Findable>& at,
                                  const Outcome& outcome) {
    std::vector<std::string> found;
    for (std::size_t i = 0; i < at.size(); ++i) {
        const std::size_t value = outcome.values[i];
        if (const auto* sign = std::get_if<SignId>(&at[i]))
            found.push_back(knowledge[*sign].value_name(value));
        else
            found.push_back(knowledge[std::get<SettingId>(at[i])].states[value]);
    }
    return found;
}

std::vector<LookLeft> looks_left(const Knowledge& knowledge, const Evidence& evidence,
                                 const std::set<SignId>& again) {
    std::vector<LookLeft> looks;
    add_tests(looks, knowledge, evidence, again);
    add_questions(looks, knowledge, evidence);
    add_settings(looks, knowledge, evidence);
    const std::set<SignId> moot = moot_signs(knowledge, evidence);
    std::erase_if(looks, [&](const LookLeft& left) { return is_moot(moot, left.look); });
    return looks;
}

Evidence with_outcome(const Evidence& evidence, const Look& look, const Outcome& outcome) {
    Evidence then = evidence;
    for (std::size_t i = 0; i < look.at.size(); ++i) {
        if (look.via == Via::sure) {
            then.settings[std::get<SettingId>(look.at[i])] = outcome.values[i];
            continue;
        }
        Finding finding;
        finding.what = look.at[i];
        finding.value = outcome.values[i];
        finding.via = look.via;
        finding.test = look.test;
        finding.stage = then.stages() - 1;
        add(then, std::move(finding));
    }
    return then;
}

}  // namespace knockwell
