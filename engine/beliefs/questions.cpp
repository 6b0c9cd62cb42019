#include "beliefs/questions.hpp"

#include "beliefs/build.hpp"

#include <algorithm>
#include <utility>

namespace knockwell {
namespace {

// More products than this for one look are dearer than measuring its outcomes one by one.
constexpr std::size_t most_questions = 256;

/// Chance that a trigger brings none of the shares from `first` up to `last` (not included).
double none_of(const std::vector<StrengthIndex>& shares, std::span<const double> strengths,
               std::size_t first, std::size_t last, double noticed) {
    double some = 0;
    for (std::size_t i = first; i < last && i < shares.size(); ++i)
        some += strengths[shares[i]];
    return std::max(0.0, 1 - some * noticed);
}

/// Products about one sign: which stretch of its kinds or levels nothing brings.
class SignQuestions {
public:
    SignQuestions(const SignNode& node, std::span<const double> strengths)
        : node_(node), strengths_(strengths) {}

    struct Stretch {
        std::size_t first = 0, last = 0;
        double noticed = 1;
    };

    /// Not hidden, and nothing from these stretches.
    [[nodiscard]] Question none(const Stretch& high, const Stretch& low) const {
        Question it;
        it.factor = chance(node_.leak_high, high) * chance(node_.leak_low, low);
        for (const ShowLink& link : node_.shown_by) {
            const double times = chance(link.high, high) * chance(link.low, low);
            if (times != 1)
                it.causes.push_back({link.from, times, node_.through_acts});
        }
        for (const WeightedLink& link : node_.masked_by)
            it.causes.push_back({link.from, 1 - strengths_[link.strength], node_.through_acts});
        return it;
    }

private:
    [[nodiscard]] double chance(const std::vector<StrengthIndex>& shares,
                                const Stretch& stretch) const {
        return none_of(shares, strengths_, stretch.first, stretch.last, stretch.noticed);
    }

    const SignNode& node_;
    std::span<const double> strengths_;
};

/// What is true of one sign or table, as sums of questions; then what would be found.
struct Sums {
    std::vector<Question> ask;
    std::vector<std::vector<double>> coefficient;  // [value][question]

    std::size_t add(Question question) {
        ask.push_back(std::move(question));
        return ask.size() - 1;
    }
    void plus(std::size_t value, std::size_t question, double by) {
        std::vector<double>& row = coefficient[value];
        row.resize(std::max(row.size(), question + 1), 0.0);
        row[question] += by;
    }
};

/// Flags and kinds: what is noticed (the first written of the kinds noticed is named).
Sums noticed(const SignNode& node, std::span<const double> strengths, double misses) {
    const SignQuestions about(node, strengths);
    const std::size_t kinds = node.high;
    Sums sums;
    sums.coefficient.resize(kinds + 1);
    const std::size_t all = sums.add({});
    std::vector<std::size_t> without;  // [k] not hidden, none of the first k kinds noticed
    for (std::size_t k = 0; k <= kinds; ++k)
        without.push_back(sums.add(about.none({0, k, 1 - misses}, {})));
    sums.plus(0, all, 1);
    sums.plus(0, without[0], -1);
    sums.plus(0, without[kinds], 1);
    for (std::size_t k = 1; k <= kinds; ++k) {
        sums.plus(k, without[k - 1], 1);
        sums.plus(k, without[k], -1);
    }
    return sums;
}

/// Levels: the true one; the low side wins.
Sums true_level(const SignNode& node, std::span<const double> strengths) {
    const SignQuestions about(node, strengths);
    Sums sums;
    sums.coefficient.resize(1 + node.high + node.low);
    const std::size_t all = sums.add({});
    // At most level a of the low side; then nothing low and at most level b of the high side.
    std::vector<std::size_t> low;
    std::vector<std::size_t> high;
    for (std::size_t a = 0; a <= node.low; ++a)
        low.push_back(sums.add(about.none({}, {a, node.low, 1})));
    for (std::size_t b = 0; b < node.high; ++b)
        high.push_back(sums.add(about.none({b, node.high, 1}, {0, node.low, 1})));
    high.push_back(low[0]);
    sums.plus(0, all, 1);
    sums.plus(0, low[node.low], -1);
    sums.plus(0, high[0], 1);
    for (std::size_t b = 1; b <= node.high; ++b) {
        sums.plus(b, high[b], 1);
        sums.plus(b, high[b - 1], -1);
    }
    for (std::size_t a = 1; a <= node.low; ++a) {
        sums.plus(node.high + a, low[a], 1);
        sums.plus(node.high + a, low[a - 1], -1);
    }
    return sums;
}

/// found = chance[found][true] of what is true.
Sums through(const Sums& truth, const std::vector<std::vector<double>>& chance) {
    Sums found;
    found.ask = truth.ask;
    found.coefficient.resize(chance.size());
    for (std::size_t f = 0; f < chance.size(); ++f)
        for (std::size_t t = 0; t < chance[f].size(); ++t)
            for (std::size_t q = 0; q < truth.coefficient[t].size(); ++q)
                if (truth.coefficient[t][q] != 0 && chance[f][t] != 0)
                    found.plus(f, q, chance[f][t] * truth.coefficient[t][q]);
    return found;
}

Question both(const Question& a, const Question& b) {
    Question it = a;
    it.factor *= b.factor;
    it.causes.insert(it.causes.end(), b.causes.begin(), b.causes.end());
    it.settings.insert(it.settings.end(), b.settings.begin(), b.settings.end());
    return it;
}

class LookQuestions {
public:
    LookQuestions(const Model& model, const Evidence& evidence, std::span<const double> strengths,
                  const Look& look)
        : model_(model), evidence_(evidence), strengths_(strengths), look_(look) {}

    std::optional<Questions> all() {
        Questions joint{{{}}, {{}}, {{1.0}}};
        for (const Findable& what : look_.at) {
            const std::optional<Sums> one = sums_of(what);
            if (!one || joint.ask.size() * one->ask.size() > most_questions)
                return std::nullopt;
            joint = times(joint, *one);
        }
        return joint;
    }

private:
    static Questions times(const Questions& a, const Sums& b) {
        Questions joint;
        for (const Question& one : a.ask)
            for (const Question& other : b.ask)
                joint.ask.push_back(both(one, other));
        for (std::size_t o = 0; o < a.values.size(); ++o)
            for (std::size_t v = 0; v < b.coefficient.size(); ++v) {
                joint.values.push_back(a.values[o]);
                joint.values.back().push_back(v);
                std::vector<double>& row = joint.coefficient.emplace_back(joint.ask.size(), 0.0);
                for (std::size_t q = 0; q < a.coefficient[o].size(); ++q)
                    for (std::size_t r = 0; r < b.coefficient[v].size(); ++r)
                        row[q * b.ask.size() + r] += a.coefficient[o][q] * b.coefficient[v][r];
            }
        return joint;
    }

    std::optional<Sums> sums_of(const Findable& what) const {
        if (const auto* setting = std::get_if<SettingId>(&what))
            return of_table(*setting);
        const SignId sign = std::get<SignId>(what);
        if (std::any_of(evidence_.findings.begin(), evidence_.findings.end(),
                        [&](const Finding& finding) { return finding.what == what; }))
            return std::nullopt;
        const SignNode& node = model_.network->signs[sign.index()];
        return node.form == SignForm::levels ? of_levels(sign, node) : of_kinds(sign, node);
    }

    Sums of_kinds(SignId sign, const SignNode& node) const {
        const std::optional<Channel> channel =
            channel_of(*model_.knowledge, finding_of(look_, sign, 0, evidence_));
        const double misses = channel ? channel->misses.mean() : 0;
        const double alarm = channel ? channel->false_alarm.mean() : 0;
        std::vector<std::vector<double>> chance(node.high + 1,
                                                std::vector<double>(node.high + 1, 0.0));
        for (std::size_t v = 0; v <= node.high; ++v) {
            chance[v][v] = 1;
            chance[v][0] = v == 0 ? 1 - alarm : alarm / static_cast<double>(node.high);
        }
        return through(noticed(node, strengths_, misses), chance);
    }

    /// The edges may hang on settings that are not known: then each of their states is a case.
    Sums of_levels(SignId sign, const SignNode& node) const {
        const Sums truth = true_level(node, strengths_);
        Cases cases(*model_.knowledge, evidence_,
                    givers_of(*model_.knowledge, evidence_, (*model_.knowledge)[sign]));
        std::vector<std::vector<std::vector<double>>> chance;  // [case][found][true]
        for (std::size_t which = 0; which < cases.count(); ++which) {
            cases.choose(which);
            chance.push_back(reported(sign, cases));
        }
        const bool alike = std::all_of(chance.begin(), chance.end(),
                                       [&](const auto& one) { return one == chance.front(); });
        if (alike)
            return through(truth, chance.front());
        Sums found;
        found.coefficient.resize(chance.front().size());
        for (std::size_t which = 0; which < cases.count(); ++which) {
            cases.choose(which);
            Question here;
            for (const std::uint32_t s : cases.unknown())
                here.settings.push_back({s, cases.state(s)});
            const Sums one = through(truth, chance[which]);
            const std::size_t first = found.ask.size();
            for (const Question& question : one.ask)
                found.add(both(question, here));
            for (std::size_t v = 0; v < one.coefficient.size(); ++v)
                for (std::size_t q = 0; q < one.coefficient[v].size(); ++q)
                    found.plus(v, first + q, one.coefficient[v][q]);
        }
        return found;
    }

    [[nodiscard]] std::vector<std::vector<double>> reported(SignId id, const Cases& cases) const {
        std::vector<std::vector<double>> chance;
        for (std::size_t v = 0; v < (*model_.knowledge)[id].value_count(); ++v)
            chance.push_back(level_likelihood(
                *model_.knowledge, finding_of(look_, id, v, evidence_), cases.quantities()));
        return chance;
    }

    [[nodiscard]] Sums of_table(SettingId id) const {
        const std::size_t states = model_.network->settings[id.index()].states;
        const bool known = !(*model_.knowledge)[id].table && evidence_.settings.contains(id);
        Sums truth;
        truth.coefficient.resize(states);
        for (std::size_t a = 0; a < states; ++a) {
            Question question;
            if (!known)
                question.settings.push_back({id.value, a});
            else
                question.factor = evidence_.settings.at(id) == a ? 1 : 0;
            truth.plus(a, truth.add(std::move(question)), 1);
        }
        std::vector<std::vector<double>> chance;
        for (std::size_t a = 0; a < states; ++a)
            chance.push_back(
                table_likelihood(*model_.knowledge, finding_of(look_, id, a, evidence_), states));
        return through(truth, chance);
    }

    const Model& model_;
    const Evidence& evidence_;
    std::span<const double> strengths_;
    const Look& look_;
};

}  // namespace

std::optional<Questions> questions_of(const Model& model, const Evidence& evidence,
                                      std::span<const double> strengths, const Look& look) {
    return LookQuestions(model, evidence, strengths, look).all();
}

}  // namespace knockwell
