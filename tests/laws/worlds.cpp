#include "laws/worlds.hpp"

#include "laws/sign_chance.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace knockwell::laws {
namespace {

Real chance(const Strength& strength) { return strength.count.mean(); }

Real of(const std::vector<CauseStrength>& list, std::size_t cause) {
    for (const CauseStrength& entry : list)
        if (entry.cause.index() == cause)
            return chance(entry.strength);
    return 0;
}

bool hold(const Conditions& conditions, const World& world) {
    return std::all_of(conditions.begin(), conditions.end(), [&](const Condition& condition) {
        return std::find(condition.states.begin(), condition.states.end(),
                         world.setting[condition.setting.index()]) != condition.states.end();
    });
}

class Adding {
public:
    using Act = std::function<void(const World&, Real)>;

    Adding(const Knowledge& knowledge, const Evidence& evidence, const std::vector<bool>& present,
           Act act = {})
        : k_(knowledge), e_(evidence), stages_(evidence.repairs.size() + 1), act_(std::move(act)),
          due_(knowledge.causes.size() + 1) {
        for (std::size_t s = 0; s < k_.signs.size(); ++s)
            if (std::any_of(e_.findings.begin(), e_.findings.end(), [&](const Finding& finding) {
                    return finding.what == Findable(SignId(s));
                })) {
                SignChance sign(k_, e_, present, s);
                const std::size_t after = sign.causes_end();
                due_[after].push_back(std::move(sign));
            }
    }

    Added run() {
        added_.cause.assign(k_.causes.size(), 0);
        for (const Setting& setting : k_.settings)
            added_.setting.emplace_back(setting.states.size(), 0);
        added_.set.assign(std::size_t{1} << k_.causes.size(), 0);
        world_.setting.assign(k_.settings.size(), 0);
        world_.cause.assign(k_.causes.size(), 0);
        world_.acts.assign(k_.causes.size(), true);
        next_setting(0, 1);
        return std::move(added_);
    }

private:
    /// Settings first (tables over causes wait until the causes are there).
    void next_setting(std::size_t s, Real p) {
        if (p == 0)
            return;
        if (s == k_.settings.size())
            return next_cause(0, p, p);
        const Setting& setting = k_.settings[s];
        const auto known = e_.settings.find(SettingId(s));
        for (std::size_t a = 0; a < setting.states.size(); ++a) {
            if (known != e_.settings.end() && known->second != a)
                continue;
            world_.setting[s] = a;
            const bool given = setting.table || known != e_.settings.end();
            next_setting(s + 1, given ? p : p * chance(setting.prior[a]));
        }
    }

    /// The findings of a sign are multiplied in as soon as its last cause is decided. `silent`: the
    /// same with every listed cause silent; never above p.
    void next_cause(std::size_t c, Real p, Real silent) {
        for (SignChance& sign : due_[c]) {
            if (p == 0)
                return;
            const auto [plain, quiet] = sign(world_);
            p *= plain;
            silent *= quiet;
        }
        if (p == 0)
            return;
        if (c == k_.causes.size())
            return finish(p, silent);
        const Cause& cause = k_.causes[c];
        Real absent = 1;
        Real here = 0;
        if (hold(cause.only_if, world_)) {
            Real odds = chance(cause.present) / (1 - chance(cause.present));
            for (const RaisedBy& raised : cause.raised_by)
                if (hold(raised.when, world_))
                    odds *= raised.times.value;
            absent = std::isinf(odds) ? 0 : 1 / (1 + odds);
            here = std::isinf(odds) ? 1 : odds / (1 + odds);
            for (const CauseStrength& parent : cause.brought_on_by)
                if ((world_.cause[parent.cause.index()] & 1U) != 0) {
                    here += absent * chance(parent.strength);
                    absent *= 1 - chance(parent.strength);
                }
        }
        for (const bool on : {false, true}) {
            world_.cause[c] = on ? 1 : 0;
            const Real share = on ? here : absent;
            next_stage(c, 1, p * share, silent * share);
        }
        world_.cause[c] = 0;
    }

    void next_stage(std::size_t c, std::size_t stage, Real p, Real silent) {
        const bool before = (world_.cause[c] >> (stage - 1) & 1U) != 0;
        if (p == 0 || contradicted(c, stage - 1, before))
            return;
        if (stage == stages_)
            return next_acts(c, p, silent);
        const Repair& repair = k_[e_.repairs[stage - 1]];
        const Real bring = hold(k_.causes[c].only_if, world_) ? of(repair.may_bring, c) : 0;
        const Real stays = before ? 1 - of(repair.fixes, c) : 0;
        const Real on = stays + (1 - stays) * bring;
        const Real off = (1 - stays) * (1 - bring);
        next_stage(c, stage + 1, p * off, silent * off);
        world_.cause[c] |= 1U << stage;
        next_stage(c, stage + 1, p * on, silent * on);
        world_.cause[c] &= ~(1U << stage);
    }

    [[nodiscard]] bool contradicted(std::size_t c, std::size_t stage, bool present) const {
        return std::any_of(e_.causes.begin(), e_.causes.end(), [&](const KnownCause& known) {
            return known.cause.index() == c && known.stage == stage && known.present != present;
        });
    }

    void next_acts(std::size_t c, Real p, Real silent) {
        if (!k_.causes[c].comes_and_goes)
            return next_cause(c + 1, p, silent);
        const Real acts = chance(*k_.causes[c].comes_and_goes);
        next_cause(c + 1, p * acts, silent * acts);
        world_.acts[c] = false;
        next_cause(c + 1, p * (1 - acts), silent * (1 - acts));
        world_.acts[c] = true;
    }

    void finish(Real p, Real silent) {
        Real tables = 1;
        for (std::size_t s = 0; s < k_.settings.size(); ++s)
            tables *= table_chance(k_.settings[s], world_.setting[s]);
        for (const Finding& finding : e_.findings)
            if (const auto* table = std::get_if<SettingId>(&finding.what))
                tables *= table_report(finding, *table);
        p *= tables;
        if (act_ && p > 0)
            act_(world_, p);
        added_.evidence += p;
        added_.silent += silent * tables;
        std::size_t set = 0;
        for (std::size_t c = 0; c < k_.causes.size(); ++c)
            if ((world_.cause[c] >> (stages_ - 1) & 1U) != 0) {
                added_.cause[c] += p;
                set |= std::size_t{1} << c;
            }
        added_.set[set] += p;
        for (std::size_t s = 0; s < k_.settings.size(); ++s)
            added_.setting[s][world_.setting[s]] += p;
    }

    [[nodiscard]] Real table_chance(const Setting& setting, std::size_t state) const {
        if (!setting.table)
            return 1;
        std::size_t row = 0;
        for (const auto& parent : setting.parents) {
            if (const auto* cause = std::get_if<CauseId>(&parent))
                row = row * 2 + (world_.cause[cause->index()] & 1U);
            else
                row = row * k_[std::get<SettingId>(parent)].states.size() +
                      world_.setting[std::get<SettingId>(parent).index()];
        }
        return setting.rows[row][state];
    }

    [[nodiscard]] Real table_report(const Finding& finding, SettingId table) const {
        const std::size_t n = k_[table].states.size();
        const std::vector<double> weights = said(finding, n);
        const Real misses = channel_for(k_, finding).misses.mean();
        Real sum = 0;
        for (std::size_t read = 0; read < n; ++read)
            sum += weights[read] * (read == world_.setting[table.index()]
                                        ? 1 - misses
                                        : misses / static_cast<Real>(n - 1));
        return sum;
    }

    const Knowledge& k_;
    const Evidence& e_;
    std::size_t stages_;
    Act act_;
    std::vector<std::vector<SignChance>> due_;  // [causes that are decided]
    World world_;
    Added added_;
};

}  // namespace

Added add_up_all_worlds(const Knowledge& knowledge, const Evidence& evidence,
                        const std::vector<bool>& present) {
    return Adding(knowledge, evidence, present).run();
}

void each_world(const Knowledge& knowledge, const Evidence& evidence,
                const std::function<void(const World&, Real)>& act) {
    static_cast<void>(
        Adding(knowledge, evidence, std::vector<bool>(evidence.findings.size(), false), act).run());
}

}  // namespace knockwell::laws
