#include "learning/lessons.hpp"

#include "beliefs/calls.hpp"
#include "beliefs/evidence.hpp"
#include "job/course.hpp"
#include "job/summary.hpp"

#include <algorithm>
#include <bit>
#include <set>
#include <utility>

namespace knockwell {
namespace {

// How often a confirmation is given wrongly, to how often rightly.
constexpr double doubt_of_fixed = 0.1;
constexpr double doubt_of_guess = 0.5;
constexpr double share_named = 0.8;  // of the causes that are there, where some are named at all

/// The symptom that was reported first; null where none was. What was before the trouble makes
/// nobody call.
Finding* first_report(const Knowledge& knowledge, Evidence& evidence) {
    const auto found =
        std::find_if(evidence.findings.begin(), evidence.findings.end(), [&](const Finding& it) {
            const auto* sign = std::get_if<SignId>(&it.what);
            if (sign == nullptr || !knowledge[*sign].symptom || knowledge[*sign].circumstance)
                return false;
            return it.value ? *it.value > 0 : !it.weights.empty() && it.weights.front() == 0;
        });
    return found == evidence.findings.end() ? nullptr : &*found;
}

/// Repairs after which nothing was found say nothing.
void drop_idle_stages(Evidence& evidence, const SaidOfCauses& said) {
    std::size_t last = 0;
    for (const Finding& finding : evidence.findings)
        last = std::max(last, finding.stage);
    for (const KnownCause& known : evidence.causes)
        last = std::max(last, known.stage);
    for (const SaidCause& it : said.causes)
        last = std::max(last, it.cause.stage);
    if (evidence.repairs.size() > last)
        evidence.repairs.resize(last);
}

/// The stage that the first repair of the cause ended: there it was; else the first.
std::size_t stage_of(const Knowledge& knowledge, CauseId cause,
                     const std::vector<RepairId>& repairs) {
    for (std::size_t i = 0; i < repairs.size(); ++i)
        for (const CauseStrength& fixes : knowledge[repairs[i]].fixes)
            if (fixes.cause == cause)
                return i;
    return 0;
}

/// Bytes that are the same for equal evidence and for no other.
class KeyOf {
public:
    explicit KeyOf(const Testimony& it) {
        number(it.said.unnamed);
        whole(it.said.causes.size());
        for (const SaidCause& said : it.said.causes) {
            number(said.wrongly);
            take(said.cause);
        }
        take(it.evidence);
    }
    explicit KeyOf(const std::map<SettingId, std::size_t>& settings) { take(settings); }
    [[nodiscard]] std::string key() { return std::move(key_); }

private:
    void whole(std::uint64_t value) {
        key_ += std::to_string(value);
        key_ += ',';
    }
    void number(double value) { whole(std::bit_cast<std::uint64_t>(value)); }

    void take(const std::map<SettingId, std::size_t>& settings) {
        whole(settings.size());
        for (const auto& [setting, state] : settings) {
            whole(setting.value);
            whole(state);
        }
    }

    void take(const Evidence& evidence) {
        take(evidence.settings);
        whole(evidence.quantities.size());
        for (const auto& [name, value] : evidence.quantities) {
            whole(name.size());
            key_ += name;
            number(value);
        }
        whole(evidence.findings.size());
        for (const Finding& finding : evidence.findings)
            take(finding);
        whole(evidence.causes.size());
        for (const KnownCause& known : evidence.causes)
            take(known);
        for (const RepairId repair : evidence.repairs)
            whole(repair.value);
        key_ += ';';
    }

    void take(const KnownCause& known) {
        whole(known.cause.value);
        whole(known.present ? 1 : 0);
        whole(known.stage);
    }

    void take(const Finding& finding) {
        whole(finding.what.index());
        whole(std::visit([](auto id) { return id.value; }, finding.what));
        whole(finding.value ? *finding.value + 1 : 0);
        whole(finding.reading ? 1 : 0);
        number(finding.reading.value_or(0));
        whole(finding.weights.size());
        for (const double weight : finding.weights)
            number(weight);
        whole(static_cast<std::uint64_t>(finding.via));
        whole(finding.test.value);
        whole(finding.stage);
    }

    std::string key_;
};

/// In an order of its own, so that the order of finding does not part what is the same.
void put_in_order(Testimony& it) {
    Evidence& evidence = it.evidence;
    std::stable_sort(evidence.findings.begin(), evidence.findings.end(),
                     [](const Finding& a, const Finding& b) {
                         return std::tie(a.what, a.stage, a.via, a.test) <
                                std::tie(b.what, b.stage, b.via, b.test);
                     });
    std::stable_sort(evidence.causes.begin(), evidence.causes.end(),
                     [](const KnownCause& a, const KnownCause& b) {
                         return std::tie(a.cause, a.stage) < std::tie(b.cause, b.stage);
                     });
    std::sort(it.said.causes.begin(), it.said.causes.end(),
              [](const SaidCause& a, const SaidCause& b) { return a.cause.cause < b.cause.cause; });
}

/// The first choice of a setting of which these conditions say the same as of `state`.
std::size_t first_alike(const std::vector<const Condition*>& conditions, std::size_t state) {
    for (std::size_t other = 0; other < state; ++other)
        if (std::all_of(conditions.begin(), conditions.end(), [&](const Condition* it) {
                const auto holds = [&](std::size_t at) {
                    return std::binary_search(it->states.begin(), it->states.end(), at);
                };
                return holds(other) == holds(state);
            }))
            return other;
    return state;
}

}  // namespace

LessonBook::LessonBook(const Knowledge& knowledge)
    : knowledge_(&knowledge), quiet_(nobody_calls(knowledge)) {
    for (std::size_t s = 0; s < knowledge.settings.size(); ++s) {
        tables_ = tables_ || knowledge.settings[s].table;
        for (const auto& gives : knowledge.settings[s].gives)
            for (const auto& [quantity, value] : gives)
                if (auto& of = gives_[quantity]; of.empty() || of.back() != SettingId(s))
                    of.emplace_back(s);
    }
    shown_by_.resize(knowledge.signs.size());
    for (std::uint32_t c = 0; c < knowledge.causes.size(); ++c) {
        for (const Shows& shows : knowledge.causes[c].shows)
            shown_by_[shows.sign.index()].push_back(c);
        for (const SignStrength& mask : knowledge.causes[c].masks)
            shown_by_[mask.sign.index()].push_back(c);
    }
}

Evidence LessonBook::evidence_of(const Quiet& quiet) const {
    Evidence evidence = quiet_;
    evidence.settings = quiet.settings;
    return evidence;
}

/// What is known of the settings that a cause reads.
std::map<SettingId, std::size_t> LessonBook::kept_settings(const Evidence& evidence) const {
    Evidence kept;
    kept.settings = evidence.settings;
    keep_settings_of(std::vector<bool>(knowledge_->causes.size(), true), kept);
    return kept.settings;
}

/// Causes that the findings speak of, and what brings those on: those in the sum of the beliefs.
std::vector<bool> LessonBook::spoken_of(const Evidence& evidence, const SaidOfCauses& said) const {
    const Knowledge& knowledge = *knowledge_;
    std::vector<bool> met(knowledge.causes.size(), tables_);
    std::vector<std::size_t> causes;
    const auto meet = [&](std::size_t c) {
        if (!met[c])
            causes.push_back(c);
        met[c] = true;
    };
    for (const KnownCause& known : evidence.causes)
        meet(known.cause.index());
    for (const SaidCause& it : said.causes)
        meet(it.cause.cause.index());
    for (const Finding& finding : evidence.findings)
        if (const auto* sign = std::get_if<SignId>(&finding.what))
            for (const std::uint32_t c : shown_by_[sign->index()])
                meet(c);
    // NOLINTNEXTLINE(modernize-loop-convert): the list grows meanwhile
    for (std::size_t i = 0; i < causes.size(); ++i)
        for (const CauseStrength& parent : knowledge.causes[causes[i]].brought_on_by)
            meet(parent.cause.index());
    return met;
}

/// Takes away the settings and quantities on which none of these causes and no reading hangs, and
/// takes the first of choices that no condition of these causes tells apart.
void LessonBook::keep_settings_of(const std::vector<bool>& causes, Evidence& evidence) const {
    const Knowledge& knowledge = *knowledge_;
    std::vector<bool> read(knowledge.settings.size(), false);  // by an edge
    std::set<std::string> quantities;
    for (const Finding& finding : evidence.findings) {
        const auto* id = std::get_if<SignId>(&finding.what);
        if (id == nullptr || !knowledge[*id].reading)
            continue;
        for (const auto* edges : {&knowledge[*id].reading->low, &knowledge[*id].reading->high})
            for (const Edge& edge : *edges)
                if (const auto of = gives_.find(edge.quantity); of != gives_.end()) {
                    quantities.insert(edge.quantity);
                    for (const SettingId setting : of->second)
                        read[setting.index()] = true;
                }
    }
    std::erase_if(evidence.quantities,
                  [&](const auto& it) { return !quantities.contains(it.first); });
    if (tables_)
        return;
    std::vector<std::vector<const Condition*>> asked(knowledge.settings.size());
    const auto ask = [&](const Conditions& conditions) {
        for (const Condition& condition : conditions)
            asked[condition.setting.index()].push_back(&condition);
    };
    for (std::size_t c = 0; c < causes.size(); ++c) {
        if (!causes[c])
            continue;
        ask(knowledge.causes[c].only_if);
        for (const RaisedBy& raised : knowledge.causes[c].raised_by)
            ask(raised.when);
    }
    std::erase_if(evidence.settings, [&](const auto& it) {
        return asked[it.first.index()].empty() && !read[it.first.index()];
    });
    for (auto& [setting, state] : evidence.settings)
        if (!read[setting.index()])
            state = first_alike(asked[setting.index()], state);
}

/// One silence for each cause, at installations of which that is known.
void LessonBook::note_silences(std::uint32_t quiet) {
    if (silences_of_.size() <= quiet)
        silences_of_.resize(quiet + 1);
    std::vector<std::uint32_t>& all = silences_of_[quiet];
    for (std::size_t c = all.size(); c < knowledge_->causes.size(); ++c) {
        // It may be there and not be named, or it is not there.
        Testimony absent;
        absent.evidence.settings = quiets_[quiet].settings;
        absent.said.causes = {{{CauseId(c), false, 0}, 1 - share_named}};
        keep_settings_of(spoken_of(absent.evidence, absent.said), absent.evidence);
        const auto [at, is_new] =
            silence_at_.emplace(KeyOf(absent).key(), static_cast<std::uint32_t>(silences_.size()));
        if (is_new)
            silences_.push_back(std::move(absent));
        all.push_back(at->second);
    }
}

Testimony LessonBook::testimony_of(Evidence evidence, const Job& job) const {
    Testimony it{std::move(evidence), {}};
    const std::vector<ConfirmedCause> closing = summary_of(job).causes;
    if (!closing.empty())
        it.said.unnamed = 1 - share_named;
    for (const ConfirmedCause& confirmed : closing) {
        const CauseId cause = cause_named(*knowledge_, confirmed.cause);
        if (!cause.valid())
            continue;
        // What was seen after the repair does not say what was there before it.
        const KnownCause known{cause, true, stage_of(*knowledge_, cause, it.evidence.repairs)};
        const std::vector<KnownCause>& causes = it.evidence.causes;
        if (std::any_of(causes.begin(), causes.end(), [&](const KnownCause& other) {
                return other.cause == cause && (other.present || other.stage == known.stage);
            }))
            continue;
        if (confirmed.how == "seen")
            it.evidence.causes.push_back(known);
        else
            it.said.causes.push_back(
                {known, confirmed.how == "fixed-it" ? doubt_of_fixed : doubt_of_guess});
    }
    drop_idle_stages(it.evidence, it.said);
    keep_settings_of(spoken_of(it.evidence, it.said), it.evidence);
    put_in_order(it);
    return it;
}

bool LessonBook::names_what_is_lacking(const Summary& job) {
    bool any = false;
    for (const ConfirmedCause& one : job.causes)
        if (!cause_named(*knowledge_, one.cause).valid()) {
            ++lacking[one.cause];
            any = true;
        }
    return any;
}

void LessonBook::add(const Job& job) {
    if (!is_closed(job)) {
        ++open;
        return;
    }
    const Summary summary = summary_of(job);
    if (summary.call_back_of) {
        ++call_backs;
        return;
    }
    if (names_what_is_lacking(summary)) {
        ++of_lacking_causes;
        return;
    }
    Evidence evidence = course_of(*knowledge_, job).evidence;
    Finding* const report = first_report(*knowledge_, evidence);
    if (report == nullptr) {
        ++nothing_reported;
        return;
    }
    report->via = Via::sure;
    std::map<SettingId, std::size_t> quiet = kept_settings(evidence);
    Testimony testimony = testimony_of(std::move(evidence), job);
    const auto number = static_cast<std::uint32_t>(ids_.size());
    ids_.push_back(job.id);
    const auto [lesson, is_new] =
        lesson_at_.emplace(KeyOf(testimony).key(), static_cast<std::uint32_t>(lessons_.size()));
    if (is_new)
        lessons_.push_back({std::move(testimony), {}});
    lessons_[lesson->second].jobs.push_back(number);
    const auto [at, first] =
        quiet_at_.emplace(KeyOf(quiet).key(), static_cast<std::uint32_t>(quiets_.size()));
    if (first)
        quiets_.push_back({std::move(quiet)});
    quiet_of_.push_back(at->second);
    if (lessons_[lesson->second].testimony.said.unnamed < 1)
        note_silences(at->second);
}

}  // namespace knockwell
