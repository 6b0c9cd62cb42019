#include "cli/choices.hpp"

#include "advice/handover.hpp"
#include "advice/mass.hpp"
#include "advice/phone.hpp"

#include <algorithm>
#include <variant>

namespace knockwell {
namespace {

Choice plain_choice(const std::string& value) { return {value, value}; }

bool was_found_there(const Knowledge& knowledge, const Evidence& evidence, SignId sign) {
    return std::any_of(evidence.findings.begin(), evidence.findings.end(), [&](const Finding& it) {
        return it.what == Findable(sign) && found_present(knowledge, evidence, it);
    });
}

Evidence with_nothing_wrong(const Knowledge& knowledge, Evidence evidence) {
    evidence.causes.clear();
    for (std::size_t c = 0; c < knowledge.causes.size(); ++c)
        evidence.causes.push_back({CauseId(c), false, evidence.stages() - 1});
    return evidence;
}

/// [look] P(a customer tells of it); 0 where the evidence is impossible.
std::vector<double> told_present(const Model& model, const Evidence& evidence,
                                 const std::vector<Look>& looks, const Posterior& now) {
    std::vector<double> all;
    for (const auto& outcomes : predict_all(model, evidence, looks, now.cause, {})) {
        double there = 0;
        for (const Outcome& outcome : outcomes)
            there += outcome.values.front() == 0 ? 0 : outcome.p;
        all.push_back(there);
    }
    return all;
}

}  // namespace

std::vector<Choice> choices_of(const Setting& setting) {
    std::vector<Choice> all;
    for (const std::string& state : setting.states)
        all.push_back(plain_choice(state));
    return all;
}

std::vector<Choice> choices_of(const Knowledge& knowledge, const Findable& what) {
    const auto* id = std::get_if<SignId>(&what);
    if (id == nullptr)
        return choices_of(knowledge[std::get<SettingId>(what)]);
    const Sign& sign = knowledge[*id];
    std::vector<Choice> all;
    for (std::size_t i = sign.low.size(); i-- > 0;)
        all.push_back(plain_choice(sign.low[i]));
    if (sign.form == SignForm::levels)
        all.push_back(plain_choice(sign.normal));
    for (const std::string& value : sign.high)
        all.push_back(plain_choice(value));
    if (sign.form != SignForm::levels)
        all.push_back(plain_choice(sign.normal));
    return all;
}

std::vector<SignId> danger_signs(const Knowledge& knowledge, const Evidence& evidence) {
    std::vector<SignId> all = signs_of_danger(knowledge);
    std::erase_if(all, [&](SignId sign) { return was_found_there(knowledge, evidence, sign); });
    return all;
}

std::vector<SignId> complaints(const Model& model, const Evidence& evidence, const Posterior& now,
                               std::size_t most) {
    const Knowledge& knowledge = *model.knowledge;
    const std::vector<SignId> dangers = signs_of_danger(knowledge);
    std::vector<SignId> signs;
    std::vector<Look> looks;
    for (std::size_t i = 0; i < knowledge.signs.size(); ++i) {
        const SignId sign(i);
        if (!knowledge.signs[i].symptom ||
            std::find(dangers.begin(), dangers.end(), sign) != dangers.end())
            continue;
        signs.push_back(sign);
        looks.push_back({{sign}, Via::told, {}});
    }
    const std::vector<double> told = told_present(model, evidence, looks, now);
    const std::vector<double> anyway =
        told_present(model, with_nothing_wrong(knowledge, evidence), looks, now);
    struct Telling {
        SignId sign;
        double by_trouble = 0;
    };
    std::vector<Telling> all;
    for (std::size_t i = 0; i < signs.size(); ++i)
        all.push_back({signs[i], told[i] - anyway[i]});
    std::stable_sort(all.begin(), all.end(), [](const Telling& a, const Telling& b) {
        return a.by_trouble > b.by_trouble;
    });
    std::vector<SignId> first;
    for (std::size_t i = 0; i < std::min(most, all.size()); ++i)
        first.push_back(all[i].sign);
    return first;
}

Candidate step_at(const Knowledge& knowledge, const Evidence& evidence, const Situation& situation,
                  StepKind kind, std::size_t index) {
    switch (kind) {
    case StepKind::test:
        return candidate(knowledge, TestId(index));
    case StepKind::question:
        return candidate(knowledge, SignId(index));
    case StepKind::setting:
        return candidate(knowledge, SettingId(index));
    case StepKind::repair:
        return candidate(knowledge, RepairId(index));
    case StepKind::refer:
        return referred(knowledge, evidence, situation, ReferId(index));
    }
    return {};
}

std::size_t index_of(const Knowledge& knowledge, StepKind kind, std::string_view id) {
    switch (kind) {
    case StepKind::test:
        return test_named(knowledge, id).index();
    case StepKind::question:
        return sign_named(knowledge, id).index();
    case StepKind::setting:
        return setting_named(knowledge, id).index();
    case StepKind::repair:
        return repair_named(knowledge, id).index();
    case StepKind::refer:
        return refer_named(knowledge, id).index();
    }
    return 0;
}

}  // namespace knockwell
