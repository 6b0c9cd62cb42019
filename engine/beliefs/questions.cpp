#include "beliefs/questions.hpp"

#include "beliefs/build.hpp"
#include "beliefs/cases.hpp"

#include <algorithm>
#include <utility>

namespace knockwell {

void Questions::clear() {
    ask.clear();
    causes.clear();
    settings.clear();
    outcomes = 0;
    values.clear();
    coefficient.clear();
}

namespace {

// More products than this for one look are dearer than measuring its outcomes one by one.
constexpr std::size_t most_questions = 100;

/// Chance that a trigger brings none of the shares from `first` up to `last` (not included).
double none_of(StrengthRange shares, std::span<const double> strengths, std::size_t first,
               std::size_t last, double noticed) {
    double some = 0;
    for (std::size_t i = first; i < last && i < shares.size(); ++i)
        some += strengths[shares[i]];
    return rest_of(1 - some * noticed);
}

/// Which kinds or levels of one side nothing brings.
struct LevelSpan {
    std::size_t first = 0, last = 0;
    double noticed = 1;
};

/// Adds the question whether the sign is not hidden and nothing comes from these stretches.
void ask_none(const SignNode& node, std::span<const double> strengths, const LevelSpan& high,
              const LevelSpan& low, Questions& to) {
    const auto chance = [&](StrengthRange shares, const LevelSpan& of) {
        return none_of(shares, strengths, of.first, of.last, of.noticed);
    };
    Questions::Ask it;
    it.factor = chance(node.leak_high, high) * chance(node.leak_low, low);
    it.causes.first = static_cast<std::uint32_t>(to.causes.size());
    it.settings.first = static_cast<std::uint32_t>(to.settings.size());
    for (const ShowLink& link : node.shown_by) {
        const double times = chance(link.high, high) * chance(link.low, low);
        if (times != 1)
            to.causes.push_back({link.from, times, node.through_acts});
    }
    for (const WeightedLink& link : node.masked_by)
        to.causes.push_back({link.from, 1 - strengths[link.strength], node.through_acts});
    it.causes.count = static_cast<std::uint32_t>(to.causes.size()) - it.causes.first;
    to.ask.push_back(it);
}

void set_outcomes(std::size_t outcomes, Questions& to) {
    to.outcomes = outcomes;
    to.coefficient.assign(outcomes * to.ask.size(), 0.0);
}

void plus(std::size_t outcome, std::size_t question, double by, Questions& to) {
    to.coefficient[outcome * to.ask.size() + question] += by;
}

/// Flags and kinds: what is noticed (the first written of the kinds noticed is named).
void ask_noticed(const SignNode& node, std::span<const double> strengths, double misses,
                 Questions& to) {
    const std::size_t kinds = node.high;
    to.ask.push_back({});
    // [first + k] not hidden, none of the first k kinds noticed. Of what nothing hides the one for
    // k = 0 is always so, as the first of all.
    const std::size_t first = node.masked_by.empty() ? 0 : 1;
    for (std::size_t k = 1 - first; k <= kinds; ++k)
        ask_none(node, strengths, {0, k, 1 - misses}, {}, to);
    set_outcomes(kinds + 1, to);
    plus(0, 0, 1, to);
    plus(0, first, -1, to);
    plus(0, first + kinds, 1, to);
    for (std::size_t k = 1; k <= kinds; ++k) {
        plus(k, first + k - 1, 1, to);
        plus(k, first + k, -1, to);
    }
}

/// A finding of flags or kinds: what it says of each kind noticed, and what it misses.
struct Noticed {
    double misses = 0;
    std::vector<double> weight;  // [0: nothing, 1 + kind]
};

Noticed noticed_by(const Knowledge& knowledge, const Finding& finding, std::size_t values) {
    Noticed it;
    it.weight = plain_likelihood(finding, values);
    double mean = 0;
    for (std::size_t v = 1; v < values; ++v)
        mean += it.weight[v] / static_cast<double>(values - 1);
    if (const std::optional<Channel> channel = channel_of(knowledge, finding)) {
        const double alarm = channel->false_alarm.mean();
        it.misses = channel->misses.mean();
        it.weight[0] = it.weight[0] * (1 - alarm) + mean * alarm;
    }
    return it;
}

/// Adds the question whether the sign is not hidden, an earlier look notices none of the first
/// `before` kinds and another none of the first `then`.
void ask_neither(const SignNode& node, std::span<const double> strengths, std::size_t before,
                 double missed_before, std::size_t then, double missed_then, Questions& to) {
    const auto chance = [&](StrengthRange shares) {
        double some = 0;
        for (std::size_t k = 0; k < shares.size(); ++k)
            some += strengths[shares[k]] *
                    (1 - (k < before ? missed_before : 1) * (k < then ? missed_then : 1));
        return rest_of(1 - some);
    };
    Questions::Ask it;
    it.factor = chance(node.leak_high);
    it.causes.first = static_cast<std::uint32_t>(to.causes.size());
    it.settings.first = static_cast<std::uint32_t>(to.settings.size());
    for (const ShowLink& link : node.shown_by)
        if (const double times = chance(link.high); times != 1)
            to.causes.push_back({link.from, times, node.through_acts});
    for (const WeightedLink& link : node.masked_by)
        to.causes.push_back({link.from, 1 - strengths[link.strength], node.through_acts});
    it.causes.count = static_cast<std::uint32_t>(to.causes.size()) - it.causes.first;
    to.ask.push_back(it);
}

/// The same with what was noticed before: each trigger is noticed or missed by either look.
void ask_noticed_again(const SignNode& node, std::span<const double> strengths,
                       const Noticed& before, double misses, Questions& to) {
    const std::size_t kinds = node.high;
    // How much "none of the first k kinds noticed before" counts, in differences.
    std::vector<double> counts(kinds + 1, 0.0);
    for (std::size_t k = 0; k <= kinds; ++k)
        counts[k] =
            (k < kinds ? before.weight[k + 1] : before.weight[0]) - (k > 0 ? before.weight[k] : 0);
    to.ask.push_back({});
    ask_neither(node, strengths, 0, 0, 0, 0, to);
    std::vector<std::size_t> asked;  // those k that count
    for (std::size_t k = 0; k <= kinds; ++k)
        if (counts[k] != 0) {
            asked.push_back(k);
            for (std::size_t then = 0; then <= kinds; ++then)
                ask_neither(node, strengths, k, before.misses, then, misses, to);
        }
    set_outcomes(kinds + 1, to);
    // Hidden: neither notices anything.
    plus(0, 0, before.weight[0], to);
    plus(0, 1, -before.weight[0], to);
    for (std::size_t i = 0; i < asked.size(); ++i) {
        const std::size_t first = 2 + i * (kinds + 1);
        const double by = counts[asked[i]];
        plus(0, first + kinds, by, to);
        for (std::size_t k = 1; k <= kinds; ++k) {
            plus(k, first + k - 1, by, to);
            plus(k, first + k, -by, to);
        }
    }
}

/// Levels: the true one; the low side wins.
void ask_level(const SignNode& node, std::span<const double> strengths, Questions& to) {
    to.ask.push_back({});
    // At most level a of the low side; then nothing low and at most level b of the high side.
    const std::size_t low = 1;
    for (std::size_t a = 0; a <= node.low; ++a)
        ask_none(node, strengths, {}, {a, node.low, 1}, to);
    const std::size_t high = to.ask.size();
    for (std::size_t b = 0; b < node.high; ++b)
        ask_none(node, strengths, {b, node.high, 1}, {0, node.low, 1}, to);
    const auto at_most = [&](std::size_t b) { return b == node.high ? low : high + b; };
    set_outcomes(std::size_t{1} + node.high + node.low, to);
    plus(0, 0, 1, to);
    plus(0, low + node.low, -1, to);
    plus(0, at_most(0), 1, to);
    for (std::size_t b = 1; b <= node.high; ++b) {
        plus(b, at_most(b), 1, to);
        plus(b, at_most(b - 1), -1, to);
    }
    for (std::size_t a = 1; a <= node.low; ++a) {
        plus(node.high + a, low + a, 1, to);
        plus(node.high + a, low + a - 1, -1, to);
    }
}

/// What is found of what is true: found = chance[found][true] of it.
using Report = std::vector<double>;  // [found][true]

void report(const Report& chance, Questions& to) {
    const std::size_t n = to.outcomes;
    const std::size_t asked = to.ask.size();
    const std::vector<double> truth = std::exchange(to.coefficient, {});
    to.coefficient.assign(n * asked, 0.0);
    for (std::size_t f = 0; f < n; ++f)
        for (std::size_t t = 0; t < n; ++t)
            if (const double by = chance[f * n + t]; by != 0)
                for (std::size_t q = 0; q < asked; ++q)
                    to.coefficient[f * asked + q] += by * truth[t * asked + q];
}

/// Both of two questions.
void ask_both(const Questions& a, std::size_t qa, const Questions& b, std::size_t qb,
              Questions& to) {
    Questions::Ask it;
    it.factor = a.ask[qa].factor * b.ask[qb].factor;
    it.causes.first = static_cast<std::uint32_t>(to.causes.size());
    it.settings.first = static_cast<std::uint32_t>(to.settings.size());
    const auto add = [&](const Questions& of, std::size_t q) {
        for (const Questions::OfCause& one : of.ask[q].causes.of(of.causes))
            to.causes.push_back(one);
        for (const Questions::OfSetting& one : of.ask[q].settings.of(of.settings))
            to.settings.push_back(one);
    };
    add(a, qa);
    add(b, qb);
    it.causes.count = static_cast<std::uint32_t>(to.causes.size()) - it.causes.first;
    it.settings.count = static_cast<std::uint32_t>(to.settings.size()) - it.settings.first;
    to.ask.push_back(it);
}

class LookQuestions {
public:
    LookQuestions(const Model& model, const BySign& found, std::span<const double> strengths,
                  const Look& look)
        : model_(model), found_(found), evidence_(found.evidence()), strengths_(strengths),
          look_(look) {}

    bool fill(Questions& into) {
        into.clear();
        if (look_.at.size() == 1) {
            if (!of(look_.at.front(), into) || into.ask.size() > most_questions)
                return false;
            for (std::size_t v = 0; v < into.outcomes; ++v)
                into.values.push_back(v);
            return true;
        }
        into.ask.push_back({});
        into.outcomes = 1;
        into.coefficient = {1};
        for (std::size_t i = 0; i < look_.at.size(); ++i) {
            Questions one;
            if (!of(look_.at[i], one) || into.ask.size() * one.ask.size() > most_questions)
                return false;
            into = times(into, one, i);
        }
        return true;
    }

private:
    static Questions times(const Questions& a, const Questions& b, std::size_t signs) {
        Questions joint;
        for (std::size_t q = 0; q < a.ask.size(); ++q)
            for (std::size_t r = 0; r < b.ask.size(); ++r)
                ask_both(a, q, b, r, joint);
        joint.outcomes = a.outcomes * b.outcomes;
        for (std::size_t o = 0; o < a.outcomes; ++o)
            for (std::size_t v = 0; v < b.outcomes; ++v) {
                for (std::size_t s = 0; s < signs; ++s)
                    joint.values.push_back(a.values[o * signs + s]);
                joint.values.push_back(v);
                for (std::size_t q = 0; q < a.ask.size(); ++q)
                    for (std::size_t r = 0; r < b.ask.size(); ++r)
                        joint.coefficient.push_back(a.by(o, q) * b.by(v, r));
            }
        return joint;
    }

    bool of(const Findable& what, Questions& into) const {
        if (const auto* setting = std::get_if<SettingId>(&what)) {
            of_table(*setting, into);
            return true;
        }
        const SignId sign = std::get<SignId>(what);
        const std::vector<const Finding*> before = found_.findings(sign);
        if (std::any_of(before.begin(), before.end(), [&](const Finding* finding) {
                return finding->stage < evidence_.repairs.size();
            }))
            return false;
        const SignNode& node = model_.network->signs[sign.index()];
        if (node.form == SignForm::levels) {
            of_levels(sign, node, into);
            return true;
        }
        if (before.size() > 1)
            return false;
        of_kinds(sign, node, before.empty() ? nullptr : before.front(), into);
        return true;
    }

    void of_kinds(SignId sign, const SignNode& node, const Finding* before, Questions& into) const {
        const std::optional<Channel> channel =
            channel_of(*model_.knowledge, finding_of(look_, sign, 0, evidence_));
        const double misses = channel ? channel->misses.mean() : 0;
        if (before)
            ask_noticed_again(node, strengths_,
                              noticed_by(*model_.knowledge, *before, node.high + std::size_t{1}),
                              misses, into);
        else
            ask_noticed(node, strengths_, misses, into);
        const double alarm = channel ? channel->false_alarm.mean() : 0;
        if (alarm == 0)
            return;
        const std::size_t n = node.high + 1;
        Report chance(n * n, 0.0);
        for (std::size_t v = 0; v < n; ++v) {
            chance[v * n + v] = 1;
            chance[v * n] = v == 0 ? 1 - alarm : alarm / static_cast<double>(node.high);
        }
        report(chance, into);
    }

    /// The edges may hang on settings that are not known: then each of their states is a case.
    void of_levels(SignId sign, const SignNode& node, Questions& into) const {
        ask_level(node, strengths_, into);
        Cases cases(*model_.knowledge, evidence_,
                    givers_of(*model_.knowledge, evidence_, (*model_.knowledge)[sign]));
        std::vector<Report> chance;  // [case]
        for (std::size_t which = 0; which < cases.count(); ++which) {
            cases.choose(which);
            chance.push_back(reported(sign, cases));
        }
        const bool alike = std::all_of(chance.begin(), chance.end(),
                                       [&](const Report& one) { return one == chance.front(); });
        if (alike) {
            report(chance.front(), into);
            return;
        }
        const Questions truth = std::exchange(into, {});
        const std::size_t asked = truth.ask.size();
        std::vector<Questions> one(cases.count(), truth);
        for (std::size_t which = 0; which < cases.count(); ++which) {
            cases.choose(which);
            Questions here;
            here.ask.push_back({});
            for (const std::uint32_t s : cases.unknown())
                here.settings.push_back({s, cases.state(s)});
            here.ask.front().settings.count = static_cast<std::uint32_t>(here.settings.size());
            for (std::size_t q = 0; q < asked; ++q)
                ask_both(truth, q, here, 0, into);
            report(chance[which], one[which]);
        }
        set_outcomes(truth.outcomes, into);
        for (std::size_t which = 0; which < one.size(); ++which)
            for (std::size_t v = 0; v < truth.outcomes; ++v)
                for (std::size_t q = 0; q < asked; ++q)
                    plus(v, which * asked + q, one[which].by(v, q), into);
    }

    [[nodiscard]] Report reported(SignId id, const Cases& cases) const {
        const std::size_t n = (*model_.knowledge)[id].value_count();
        std::vector<double> said(n, 1.0);  // by what was found already
        for (const Finding* before : found_.findings(id)) {
            const std::vector<double> one =
                level_likelihood(*model_.knowledge, *before, cases.quantities());
            for (std::size_t t = 0; t < n; ++t)
                said[t] *= one[t];
        }
        Report chance;
        for (std::size_t v = 0; v < n; ++v) {
            const std::vector<double> one = level_likelihood(
                *model_.knowledge, finding_of(look_, id, v, evidence_), cases.quantities());
            for (std::size_t t = 0; t < n; ++t)
                chance.push_back(one[t] * said[t]);
        }
        return chance;
    }

    void of_table(SettingId id, Questions& into) const {
        const std::size_t states = model_.network->settings[id.index()].states;
        const bool known = !(*model_.knowledge)[id].table && evidence_.settings.contains(id);
        for (std::size_t a = 0; a < states; ++a) {
            Questions::Ask question;
            if (known) {
                question.factor = evidence_.settings.at(id) == a ? 1 : 0;
            } else {
                question.settings = {static_cast<std::uint32_t>(into.settings.size()), 1};
                into.settings.push_back({id.value, a});
            }
            into.ask.push_back(question);
        }
        set_outcomes(states, into);
        Report chance;
        for (std::size_t a = 0; a < states; ++a) {
            plus(a, a, 1, into);
            const std::vector<double> one =
                table_likelihood(*model_.knowledge, finding_of(look_, id, a, evidence_), states);
            chance.insert(chance.end(), one.begin(), one.end());
        }
        report(chance, into);
    }

    const Model& model_;
    const BySign& found_;
    const Evidence& evidence_;
    std::span<const double> strengths_;
    const Look& look_;
};

}  // namespace

BySign::BySign(const Evidence& evidence, std::size_t signs)
    : evidence_(evidence), places_(Lists::of(signs, [&](const auto& add) {
          for (std::uint32_t i = 0; i < evidence.findings.size(); ++i)
              if (const auto* sign = std::get_if<SignId>(&evidence.findings[i].what))
                  add(sign->value, i);
      })) {}

std::vector<const Finding*> BySign::findings(SignId sign) const {
    std::vector<const Finding*> found;
    for (const std::uint32_t i : places_[sign.index()])
        found.push_back(&evidence_.findings[i]);
    return found;
}

std::vector<SignId> found_already(const BySign& found, const Look& look) {
    std::vector<SignId> again;
    for (const Findable& what : look.at)
        if (const auto* sign = std::get_if<SignId>(&what); sign && found.has(*sign))
            again.push_back(*sign);
    std::sort(again.begin(), again.end());
    return again;
}

bool put_questions(const Model& model, const BySign& found, std::span<const double> strengths,
                   const Look& look, Questions& into) {
    return LookQuestions(model, found, strengths, look).fill(into);
}

}  // namespace knockwell
