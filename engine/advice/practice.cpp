#include "advice/practice.hpp"

#include "advice/advice.hpp"
#include "advice/rules.hpp"
#include "base/words.hpp"
#include "beliefs/edges.hpp"
#include "beliefs/finding.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>
#include <numeric>
#include <optional>
#include <system_error>
#include <utility>
#include <variant>

namespace knockwell {
namespace {

// The circumstances of every case: a qualified technician has just come, and nothing is open or
// off.
Situation at_the_door() {
    Situation situation;
    situation.who = Skill::qualified;
    situation.on_site = true;
    return situation;
}

std::string quoted(std::string_view id) { return "'" + std::string(id) + "'"; }

// Plays one case: reads it, asks, and compares.
class Examiner {
public:
    Examiner(const Model& model, const Practice& practice) : model_(&model), practice_(&practice) {
        result_.id = practice.head.id;
        result_.title = practice.head.title;
        result_.span = practice.head.span;
        result_.where = practice.head.span;
        wanted_ = practice.both;
        if (practice.first.valid())
            wanted_ = {practice.first};
        result_.wanted = wanted_.size();
        result_.complains = !wanted_.empty() && !practice.says.empty();
    }

    PracticeResult make() {
        read();
        if (result_.failures.empty())
            ask();
        result_.passed = result_.failures.empty();
        return std::move(result_);
    }

    /// The same with only what the customer says and answers on the phone, for `complaint`.
    void ask_the_complaint(PracticeResult& result) {
        if (!result.complains)
            return;
        for (const WrittenFinding& written : practice_->set)
            if (asked_on_the_phone(written))
                set(written);
        read_findings(practice_->says, Via::told, 0);
        const Answer answer = posterior(*model_, evidence_);
        const auto* now = std::get_if<Posterior>(&answer);
        if (now == nullptr)
            return;
        rank(*now);
        result.complaint = ranked_.size();
        for (const CauseId cause : wanted_)
            result.complaint = std::min(result.complaint, place_of(cause));
    }

private:
    const Knowledge& knowledge() const { return *model_->knowledge; }

    void fail(const Span& span, std::string says) {
        if (result_.failures.empty() && span.somewhere())
            result_.span = span;
        result_.failures.push_back(std::move(says));
    }

    // --- the case as evidence

    void read() {
        for (const WrittenFinding& written : practice_->set)
            set(written);
        if (const std::string why = edges_that_cross(knowledge(), evidence_); !why.empty())
            fail(practice_->head.span, why);
        read_findings(practice_->says, Via::told, 0);
        read_findings(practice_->found, Via::looked, 0);
        for (const WrittenWeights& written : practice_->weighs)
            weigh(written);
        std::size_t stage = 0;
        for (const PracticeStage& after : practice_->after) {
            evidence_.repairs.push_back(after.did);
            ++stage;
            read_findings(after.says, Via::told, stage);
            read_findings(after.found, Via::looked, stage);
        }
    }

    void not_read(const WrittenFinding& written, const NotNamed& why) {
        std::string says = quoted(written.what + " = " + written.value) + ": " + why.says;
        if (!why.nearest.empty())
            says += "; the nearest: " + list_of(why.nearest, "or");
        fail(written.span, std::move(says));
    }

    void set(const WrittenFinding& written) {
        const auto read = read_setting(knowledge(), written.what, written.value);
        if (const auto* why = std::get_if<NotNamed>(&read))
            return not_read(written, *why);
        if (const auto* setting = std::get_if<KnownSetting>(&read))
            evidence_.settings[setting->setting] = setting->state;
        if (const auto* quantity = std::get_if<KnownQuantity>(&read))
            evidence_.quantities[quantity->name] = quantity->value;
    }

    // Whether it is a question that the owner is asked on the phone: pump seen or not, drilled or
    // dug, storm or none. `check` holds that nothing on the owner's way is dangerous.
    bool asked_on_the_phone(const WrittenFinding& written) const {
        const auto for_the_owner = [](const Setting& it) {
            return it.skill == Skill::owner && !it.ask.empty();
        };
        const SettingId named = setting_named(knowledge(), written.what);
        if (named.valid())
            return for_the_owner(knowledge()[named]);
        const auto& all = knowledge().settings;
        return std::any_of(all.begin(), all.end(), [&](const Setting& it) {
            return for_the_owner(it) && !it.gives.empty() &&
                   it.gives.front().contains(written.what);
        });
    }

    void read_findings(const std::vector<WrittenFinding>& findings, Via via, std::size_t stage) {
        for (const WrittenFinding& written : findings) {
            auto read = read_finding(knowledge(), written.what, written.value, via, &evidence_);
            if (const auto* why = std::get_if<NotNamed>(&read)) {
                not_read(written, *why);
            } else if (auto* finding = std::get_if<Finding>(&read)) {
                finding->stage = stage;
                add(evidence_, *finding);
            } else if (auto* cause = std::get_if<KnownCause>(&read)) {
                cause->stage = stage;
                evidence_.causes.push_back(*cause);
            }
        }
    }

    void weigh(const WrittenWeights& written) {
        const SignId sign = sign_named(knowledge(), written.what);
        const SettingId table = setting_named(knowledge(), written.what);
        std::vector<std::string> names;
        if (sign.valid()) {
            const Sign& it = knowledge()[sign];
            for (std::size_t v = 0; v < it.value_count(); ++v)
                names.push_back(it.value_name(v));
        } else if (table.valid()) {
            names = knowledge()[table].states;
        } else {
            return fail(written.span, quoted(written.what) + " is neither a sign nor a table");
        }
        std::vector<double> weights(names.size(), 0.0);
        for (const auto& [name, weight] : written.weights) {
            const auto at = std::find(names.begin(), names.end(), name);
            if (at == names.end())
                return fail(written.span, quoted(written.what) + " has no value " + quoted(name));
            weights[static_cast<std::size_t>(at - names.begin())] = weight;
        }
        Finding finding;
        finding.what = sign.valid() ? Findable(sign) : Findable(table);
        finding.weights = std::move(weights);
        finding.via = Via::sure;
        add(evidence_, std::move(finding));
    }

    // --- what was asked for

    void ask() {
        const Answer answer = posterior(*model_, evidence_);
        if (std::holds_alternative<Impossible>(answer))
            return fail({}, "these findings cannot all be true");
        if (std::holds_alternative<TooWide>(answer))
            return fail({}, "too many things hang together to be added up exactly");
        const auto& now = std::get<Posterior>(answer);
        rank(now);
        for (const CauseId cause : wanted_)
            result_.place = std::max(result_.place, place_of(cause));
        compare_ranks(now);
        compare_advice(now);
        compare_numbers(now);
    }

    void rank(const Posterior& now) {
        // As an answer lists them: what the findings do not speak of comes last.
        const std::vector<bool> spoken = spoken_of(*model_, evidence_);
        ranked_.resize(now.cause.size());
        std::iota(ranked_.begin(), ranked_.end(), std::size_t{0});
        std::stable_sort(ranked_.begin(), ranked_.end(), [&](std::size_t a, std::size_t b) {
            return spoken[a] != spoken[b] ? spoken[a] : now.cause[a] > now.cause[b];
        });
    }

    std::size_t place_of(CauseId cause) const {
        const auto at = std::find(ranked_.begin(), ranked_.end(), cause.index());
        return static_cast<std::size_t>(at - ranked_.begin()) + 1;
    }

    std::string ranking(const Posterior& now, std::size_t wanted) const {
        static constexpr std::array<std::string_view, 3> places = {"first", "second", "third"};
        std::vector<std::string> words;
        for (std::size_t i = 0; i < std::min(ranked_.size(), std::max(wanted + 1, std::size_t{2}));
             ++i)
            words.push_back(quoted(knowledge().causes[ranked_[i]].head.id) +
                            (i == 0 ? " ranks " : " ") +
                            (i < 3 ? std::string(places[i]) : "number " + std::to_string(i + 1)) +
                            " (" + percent(now.cause[ranked_[i]]) + ")");
        return list_of(words);
    }

    std::string own_chance(const Posterior& now, CauseId cause) const {
        std::string words =
            quoted(knowledge()[cause].head.id) + " has " + percent(now.cause[cause.index()]);
        for (const Condition& wanted : knowledge()[cause].only_if)
            if (cannot_apply({wanted}, evidence_))
                words += ", since its only_if excludes " + knowledge()[wanted.setting].head.id +
                         " = " +
                         knowledge()[wanted.setting].states[evidence_.settings.at(wanted.setting)];
        return words;
    }

    void compare_ranks(const Posterior& now) {
        const Practice& it = *practice_;
        if (it.first.valid() && ranked_.front() != it.first.index())
            fail({}, ranking(now, 1) + "; wanted first: " + own_chance(now, it.first));
        if (it.tempting.valid() && ranked_.front() == it.tempting.index())
            fail({}, "the tempting guess comes first: " + ranking(now, 1));
        for (const CauseId cause : it.both) {
            const auto end = ranked_.begin() + static_cast<std::ptrdiff_t>(it.both.size());
            if (std::find(ranked_.begin(), end, cause.index()) == end)
                fail({}, ranking(now, it.both.size()) + "; wanted among the first " +
                             std::to_string(it.both.size()) + ": " + own_chance(now, cause));
        }
    }

    void compare_advice(const Posterior& now) {
        if (practice_->stop.valid()) {
            const auto stops = stops_now(*model_, evidence_, at_the_door());
            const bool there = std::any_of(stops.begin(), stops.end(), [&](const StopNow& it) {
                return it.stop == practice_->stop;
            });
            if (!there)
                fail({}, "the stop " + quoted(knowledge()[practice_->stop].head.id) +
                             " does not come up");
        }
        if (practice_->next.empty())
            return;
        const Advice advice = advise(*model_, evidence_, now, at_the_door(), {.told = 0});
        const auto& wanted = practice_->next;
        const std::string in_place = advice.stopped ? "a stop comes first"
                                     : advice.next.empty()
                                         ? "nothing is suggested"
                                         : quoted(advice.next.front().id) + " is suggested first";
        const bool right =
            !advice.next.empty() &&
            std::find(wanted.begin(), wanted.end(), advice.next.front().id) != wanted.end();
        if (!right)
            fail({}, in_place + "; wanted: " + list_of(wanted, "or"));
    }

    void compare_numbers(const Posterior& now) {
        for (const Expectation& it : practice_->gives) {
            const std::optional<double> got = probability_of(it.what, now);
            if (!got) {
                fail(it.span, quoted(it.what) + " names no cause, table=state or sign=level");
            } else if (std::isnan(*got)) {
                fail(it.span,
                     quoted(it.what) + " cannot be worked out; wanted " + exact(it.probability));
            } else if (!(std::abs(*got - it.probability) <= practice_->within)) {
                fail(it.span,
                     quoted(it.what) + " has " + exact(*got) + "; wanted " + exact(it.probability));
            }
        }
        if (!practice_->evidence)
            return;
        const double wanted = *practice_->evidence;
        const double got = std::exp(now.log_evidence);
        if (!(std::abs(got - wanted) <= practice_->within * wanted))
            fail({},
                 "all that was found has probability " + exact(got) + "; wanted " + exact(wanted));
    }

    // Enough digits to see a difference of the tolerance.
    static std::string exact(double value) {
        std::string digits = std::to_string(value);
        std::array<char, 32> text{};
        const auto end = std::to_chars(text.data(), text.data() + text.size(), value,
                                       std::chars_format::general, 12);
        if (end.ec == std::errc())
            digits.assign(text.data(), end.ptr);
        return digits;
    }

    // Nothing where `what` names nothing; no number where it cannot be worked out.
    std::optional<double> probability_of(const std::string& what, const Posterior& now) const {
        const std::size_t equals = what.find('=');
        const std::string id = what.substr(0, equals);
        if (equals == std::string::npos) {
            const CauseId cause = cause_named(knowledge(), id);
            if (!cause.valid())
                return {};
            return now.cause[cause.index()];
        }
        const std::string value = what.substr(equals + 1);
        if (const SettingId table = setting_named(knowledge(), id); table.valid()) {
            const auto& states = knowledge()[table].states;
            const auto at = std::find(states.begin(), states.end(), value);
            if (at == states.end())
                return {};
            return now.setting[table.index()][static_cast<std::size_t>(at - states.begin())];
        }
        if (const SignId sign = sign_named(knowledge(), id); sign.valid())
            for (std::size_t v = 0; v < knowledge()[sign].value_count(); ++v)
                if (knowledge()[sign].value_name(v) == value)
                    return chance_of(*model_, evidence_, sign, std::vector<std::size_t>{v})
                        .value_or(std::numeric_limits<double>::quiet_NaN());
        return {};
    }

    const Model* model_;
    const Practice* practice_;
    Evidence evidence_;
    std::vector<CauseId> wanted_;  // the causes that must come first
    std::vector<std::size_t> ranked_;
    PracticeResult result_;
};

}  // namespace

std::vector<PracticeResult> run_practice(const Model& model, Complaint complaint) {
    std::vector<PracticeResult> results;
    for (const Practice& practice : model.knowledge->practice) {
        results.push_back(Examiner(model, practice).make());
        const auto reason = practice.head.accept.find("practice-fails");
        if (!results.back().passed && reason != practice.head.accept.end())
            results.back().accepted = reason->second;
        if (complaint == Complaint::too)
            Examiner(model, practice).ask_the_complaint(results.back());
    }
    return results;
}

std::vector<PracticeRates> practice_rates(const std::vector<PracticeResult>& results,
                                          const std::vector<Source>& sources) {
    constexpr std::size_t few = 3;
    constexpr std::size_t handful = 5;
    std::vector<PracticeRates> rates;
    for (const PracticeResult& result : results) {
        if (result.wanted == 0)
            continue;
        const std::string& name = sources.at(result.where.source).name;
        const std::size_t slash = name.rfind('/');
        const std::string folder = slash == std::string::npos ? "." : name.substr(0, slash);
        auto at = std::find_if(rates.begin(), rates.end(),
                               [&](const PracticeRates& one) { return one.folder == folder; });
        if (at == rates.end())
            at = rates.insert(rates.end(), PracticeRates{folder, 0, 0, 0, 0, 0});
        ++at->cases;
        at->first += result.place > 0 && result.place <= result.wanted ? 1U : 0U;
        at->three += result.place > 0 && result.place <= std::max(few, result.wanted) ? 1U : 0U;
        at->complaints += result.complains ? 1U : 0U;
        at->five += result.complaint > 0 && result.complaint <= handful ? 1U : 0U;
    }
    return rates;
}

std::vector<Problem> practice_problems(const Model& model) {
    std::vector<Problem> problems;
    for (const PracticeResult& result : run_practice(model)) {
        if (result.passed || result.accepted)
            continue;
        for (const std::string& failure : result.failures)
            problems.push_back({Severity::warning,
                                "practice-fails",
                                result.span,
                                "practice case " + quoted(result.id) + ": " + failure,
                                "",
                                {}});
    }
    return problems;
}

}  // namespace knockwell
