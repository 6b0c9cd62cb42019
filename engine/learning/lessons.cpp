#include "learning/lessons.hpp"

#include "job/course.hpp"
#include "job/summary.hpp"

#include <algorithm>
#include <bit>
#include <utility>

namespace knockwell {
namespace {

// How often a confirmation is given wrongly, to how often rightly.
constexpr double doubt_of_fixed = 0.1;
constexpr double doubt_of_guess = 0.5;
constexpr std::size_t most_doubted = 2;  // causes of one job; others stay open

bool reports_something(const Knowledge& knowledge, const Evidence& evidence) {
    return std::any_of(evidence.findings.begin(), evidence.findings.end(), [&](const Finding& it) {
        const auto* sign = std::get_if<SignId>(&it.what);
        if (sign == nullptr || !knowledge[*sign].symptom)
            return false;
        return it.value ? *it.value > 0 : !it.weights.empty() && it.weights.front() == 0;
    });
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

}  // namespace

LessonBook::LessonBook(const Knowledge& knowledge)
    : knowledge_(&knowledge), any_cause_reads_(knowledge.settings.size(), false) {
    const auto read = [&](const Conditions& conditions) {
        for (const Condition& condition : conditions)
            any_cause_reads_[condition.setting.index()] = true;
    };
    for (const Cause& cause : knowledge.causes) {
        read(cause.only_if);
        for (const RaisedBy& raised : cause.raised_by)
            read(raised.when);
    }
    for (std::size_t s = 0; s < knowledge.settings.size(); ++s) {
        tables_ = tables_ || knowledge.settings[s].table;
        for (const auto& gives : knowledge.settings[s].gives)
            for (const auto& [quantity, value] : gives)
                if (auto& of = gives_[quantity]; of.empty() || of.back() != SettingId(s))
                    of.emplace_back(s);
    }
    for (std::size_t i = 0; i < knowledge.signs.size(); ++i) {
        if (!knowledge.signs[i].symptom)
            continue;
        Finding absent;
        absent.what = SignId(i);
        absent.value = 0;
        absent.via = Via::sure;
        quiet_.findings.push_back(absent);
    }
}

Evidence LessonBook::evidence_of(const Quiet& quiet) const {
    Evidence evidence = quiet_;
    evidence.settings = quiet.settings;
    return evidence;
}

/// What is known of the settings that a cause reads.
std::map<SettingId, std::size_t> LessonBook::kept_settings(const Evidence& evidence) const {
    std::map<SettingId, std::size_t> kept = evidence.settings;
    std::erase_if(kept,
                  [&](const auto& it) { return !tables_ && !any_cause_reads_[it.first.index()]; });
    return kept;
}

/// Without the settings on which nothing that was found hangs.
Evidence LessonBook::with_own_settings(Evidence evidence) const {
    if (tables_)
        return evidence;
    const Knowledge& knowledge = *knowledge_;
    std::vector<bool> wanted(knowledge.settings.size(), false);
    std::vector<bool> met(knowledge.causes.size(), false);
    std::vector<std::size_t> causes;
    const auto meet = [&](std::size_t c) {
        if (!met[c])
            causes.push_back(c);
        met[c] = true;
    };
    const auto want = [&](const Conditions& conditions) {
        for (const Condition& condition : conditions)
            wanted[condition.setting.index()] = true;
    };
    for (const KnownCause& known : evidence.causes)
        meet(known.cause.index());
    std::vector<bool> found(knowledge.signs.size(), false);
    for (const Finding& finding : evidence.findings)
        if (const auto* id = std::get_if<SignId>(&finding.what)) {
            found[id->index()] = true;
            if (const auto& reading = knowledge[*id].reading)
                for (const auto* edges : {&reading->low, &reading->high})
                    for (const Edge& edge : *edges)
                        if (const auto of = gives_.find(edge.quantity); of != gives_.end())
                            for (const SettingId setting : of->second)
                                wanted[setting.index()] = true;
        }
    for (std::size_t c = 0; c < knowledge.causes.size(); ++c) {
        for (const Shows& shows : knowledge.causes[c].shows)
            if (found[shows.sign.index()])
                meet(c);
        for (const SignStrength& mask : knowledge.causes[c].masks)
            if (found[mask.sign.index()])
                meet(c);
    }
    for (std::size_t i = 0; i < causes.size(); ++i) {
        const Cause& cause = knowledge.causes[causes[i]];
        want(cause.only_if);
        for (const RaisedBy& raised : cause.raised_by)
            want(raised.when);
        for (const CauseStrength& parent : cause.brought_on_by)
            meet(parent.cause.index());
    }
    std::erase_if(evidence.settings, [&](const auto& it) { return !wanted[it.first.index()]; });
    return evidence;
}

std::vector<Way> LessonBook::ways_of(Evidence evidence, const Job& job) const {
    struct Doubted {
        KnownCause cause;
        double doubt = 0;
    };
    std::vector<Doubted> doubted;
    const std::vector<RepairId> repairs = evidence.repairs;
    for (const ConfirmedCause& confirmed : summary_of(job).causes) {
        const CauseId cause = cause_named(*knowledge_, confirmed.cause);
        if (!cause.valid())
            continue;
        const bool told = std::any_of(evidence.causes.begin(), evidence.causes.end(),
                                      [&](const KnownCause& it) { return it.cause == cause; });
        if (told)
            continue;
        const KnownCause known{cause, true, stage_of(*knowledge_, cause, repairs)};
        if (confirmed.how == "seen")
            evidence.causes.push_back(known);
        else if (doubted.size() < most_doubted)
            doubted.push_back(
                {known, confirmed.how == "fixed-it" ? doubt_of_fixed : doubt_of_guess});
    }
    drop_idle_stages(evidence);
    std::vector<Way> ways = {{1, evidence}};
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
        way.evidence = with_own_settings(std::move(way.evidence));
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
    if (!reports_something(*knowledge_, evidence)) {
        ++nothing_reported;
        return;
    }
    std::map<SettingId, std::size_t> quiet = kept_settings(evidence);
    std::vector<Way> ways = ways_of(std::move(evidence), job);
    const auto number = static_cast<std::uint32_t>(ids_.size());
    ids_.push_back(job.id);
    const auto [lesson, is_new] =
        lesson_at_.emplace(KeyOf(ways).key(), static_cast<std::uint32_t>(lessons_.size()));
    if (is_new)
        lessons_.push_back({std::move(ways), {}});
    lessons_[lesson->second].jobs.push_back(number);
    const auto [at, first] =
        quiet_at_.emplace(KeyOf(quiet).key(), static_cast<std::uint32_t>(quiets_.size()));
    if (first)
        quiets_.push_back({std::move(quiet)});
    quiet_of_.push_back(at->second);
}

}  // namespace knockwell
