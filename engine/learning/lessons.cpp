#include "learning/lessons.hpp"

#include "beliefs/calls.hpp"
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
constexpr std::size_t most_doubted = 2;  // causes of one job; others stay open

/// The symptom that was reported first; null where none was.
Finding* first_report(const Knowledge& knowledge, Evidence& evidence) {
    const auto found =
        std::find_if(evidence.findings.begin(), evidence.findings.end(), [&](const Finding& it) {
            const auto* sign = std::get_if<SignId>(&it.what);
            if (sign == nullptr || !knowledge[*sign].symptom)
                return false;
            return it.value ? *it.value > 0 : !it.weights.empty() && it.weights.front() == 0;
        });
    return found == evidence.findings.end() ? nullptr : &*found;
}

/// Repairs after which nothing was found say nothing.
void drop_idle_stages(Evidence& evidence) {
    std::size_t last = 0;
    for (const Finding& finding : evidence.findings)
        last = std::max(last, finding.stage);
    for (const KnownCause& known : evidence.causes)
        last = std::max(last, known.stage);
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
    explicit KeyOf(const std::vector<Way>& ways) {
        for (const Way& way : ways) {
            number(way.share);
            number(way.unnamed.weight);
            whole(way.unnamed.but.size());
            for (const CauseId cause : way.unnamed.but)
                whole(cause.value);
            take(way.evidence);
        }
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
        for (const KnownCause& known : evidence.causes) {
            whole(known.cause.value);
            whole(known.present ? 1 : 0);
            whole(known.stage);
        }
        for (const RepairId repair : evidence.repairs)
            whole(repair.value);
        key_ += ';';
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
void put_in_order(Evidence& evidence) {
    std::stable_sort(evidence.findings.begin(), evidence.findings.end(),
                     [](const Finding& a, const Finding& b) {
                         return std::tie(a.what, a.stage, a.via, a.test) <
                                std::tie(b.what, b.stage, b.via, b.test);
                     });
    std::stable_sort(evidence.causes.begin(), evidence.causes.end(),
                     [](const KnownCause& a, const KnownCause& b) {
                         return std::tie(a.cause, a.stage) < std::tie(b.cause, b.stage);
                     });
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
    : knowledge_(&knowledge), quiet_(every_symptom_absent(knowledge)) {
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
std::vector<bool> LessonBook::spoken_of(const Evidence& evidence,
                                        const std::vector<CauseId>& also) const {
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
    for (const CauseId cause : also)
        meet(cause.index());
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
const std::vector<std::uint32_t>& LessonBook::silences_at(std::uint32_t quiet) {
    if (silences_of_.size() <= quiet)
        silences_of_.resize(quiet + 1);
    std::vector<std::uint32_t>& all = silences_of_[quiet];
    for (std::size_t c = all.size(); c < knowledge_->causes.size(); ++c) {
        Evidence absent;
        absent.settings = quiets_[quiet].settings;
        absent.causes = {{CauseId(c), false, 0}};
        keep_settings_of(spoken_of(absent, {}), absent);
        // It may be there and not be named, or it is not there.
        Way named;
        named.share = 1 - share_named;
        named.evidence.settings = absent.settings;
        const std::vector<Way> ways = {named, {share_named, absent, {}}};
        const auto [at, is_new] =
            silence_at_.emplace(KeyOf(ways).key(), static_cast<std::uint32_t>(silences_.size()));
        if (is_new)
            silences_.push_back({CauseId(c), ways, 0});
        all.push_back(at->second);
    }
    return all;
}

std::vector<Way> LessonBook::ways_of(Evidence evidence, const Job& job) const {
    struct Doubted {
        KnownCause cause;
        double doubt = 0;
    };
    std::vector<Doubted> doubted;
    const std::vector<RepairId> repairs = evidence.repairs;
    const std::vector<ConfirmedCause> closing = summary_of(job).causes;
    for (const ConfirmedCause& confirmed : closing) {
        const CauseId cause = cause_named(*knowledge_, confirmed.cause);
        if (!cause.valid())
            continue;
        // What was seen after the repair does not say what was there before it.
        const KnownCause known{cause, true, stage_of(*knowledge_, cause, repairs)};
        const bool told =
            std::any_of(evidence.causes.begin(), evidence.causes.end(), [&](const KnownCause& it) {
                return it.cause == cause && (it.present || it.stage == known.stage);
            });
        if (told)
            continue;
        if (confirmed.how == "seen")
            evidence.causes.push_back(known);
        else if (doubted.size() < most_doubted)
            doubted.push_back(
                {known, confirmed.how == "fixed-it" ? doubt_of_fixed : doubt_of_guess});
    }
    drop_idle_stages(evidence);
    Unnamed unnamed;
    if (!closing.empty())
        unnamed.weight = 1 - share_named;
    for (const Doubted& it : doubted)
        unnamed.but.push_back(it.cause.cause);
    std::vector<Way> ways = {{1, evidence, unnamed}};
    for (const Doubted& it : doubted)
        for (std::size_t i = 0, n = ways.size(); i < n; ++i) {
            Way so = ways[i];
            so.share *= 1 - it.doubt;
            so.evidence.repairs.assign(
                repairs.begin(),
                repairs.begin() + static_cast<std::ptrdiff_t>(
                                      std::max(so.evidence.repairs.size(), it.cause.stage)));
            so.evidence.causes.push_back(it.cause);
            ways[i].share *= it.doubt;
            ways.push_back(std::move(so));
        }
    for (Way& way : ways) {
        keep_settings_of(spoken_of(way.evidence, way.unnamed.but), way.evidence);
        put_in_order(way.evidence);
    }
    return ways;
}

void LessonBook::add(const Job& job) {
    if (!is_closed(job)) {
        ++open;
        return;
    }
    if (summary_of(job).call_back_of) {
        ++call_backs;
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
    std::vector<Way> ways = ways_of(std::move(evidence), job);
    const auto number = static_cast<std::uint32_t>(ids_.size());
    ids_.push_back(job.id);
    const auto [lesson, is_new] =
        lesson_at_.emplace(KeyOf(ways).key(), static_cast<std::uint32_t>(lessons_.size()));
    if (is_new)
        lessons_.push_back({std::move(ways), {}});
    lessons_[lesson->second].jobs.push_back(number);
    const Way& way = lessons_[lesson->second].ways.front();
    const auto [at, first] =
        quiet_at_.emplace(KeyOf(quiet).key(), static_cast<std::uint32_t>(quiets_.size()));
    if (first)
        quiets_.push_back({std::move(quiet)});
    quiet_of_.push_back(at->second);
    if (!(way.unnamed.weight < 1))
        return;
    const std::vector<bool> spoken = spoken_of(way.evidence, way.unnamed.but);
    const std::vector<std::uint32_t>& silences = silences_at(at->second);
    for (std::size_t c = 0; c < spoken.size(); ++c)
        if (!spoken[c])
            silences_[silences[c]].jobs += 1;
}

}  // namespace knockwell
