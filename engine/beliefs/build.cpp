#include "beliefs/build.hpp"

#include <algorithm>
#include <cassert>
#include <map>
#include <set>

namespace knockwell {

Cases::Cases(const Knowledge& knowledge, const Evidence& evidence,
             const std::vector<std::uint32_t>& on)
    : knowledge_(knowledge), evidence_(evidence) {
    for (const std::uint32_t s : on) {
        if (!knowledge.settings[s].table && evidence.settings.contains(SettingId(s)))
            continue;
        unknown_.push_back(s);
        states_.push_back(knowledge.settings[s].states.size());
    }
    chosen_.assign(unknown_.size(), 0);
}

std::size_t Cases::count() const {
    std::size_t product = 1;
    for (const std::size_t n : states_)
        product *= n;
    return product;
}

void Cases::choose(std::size_t which) {
    for (std::size_t i = unknown_.size(); i-- > 0;) {
        chosen_[i] = which % states_[i];
        which /= states_[i];
    }
}

std::size_t Cases::state(std::uint32_t setting) const {
    const auto found = std::find(unknown_.begin(), unknown_.end(), setting);
    if (found != unknown_.end())
        return chosen_[static_cast<std::size_t>(found - unknown_.begin())];
    return evidence_.settings.at(SettingId(setting));
}

bool Cases::hold(const Conditions& conditions) const {
    return std::all_of(conditions.begin(), conditions.end(), [&](const Condition& condition) {
        return std::binary_search(condition.states.begin(), condition.states.end(),
                                  state(condition.setting.value));
    });
}

double Cases::quantity(const std::string& name) const {
    const auto typed = evidence_.quantities.find(name);
    if (typed != evidence_.quantities.end())
        return typed->second;
    const SettingId giver = *giver_of(knowledge_, name);
    return knowledge_[giver].gives[state(giver.value)].at(name);
}

QuantityOf Cases::quantities() const {
    return [this](const std::string& name) { return quantity(name); };
}

std::vector<std::uint32_t> causes_of(const SignNode& sign) {
    std::vector<std::uint32_t> causes;
    for (const ShowLink& link : sign.shown_by)
        causes.push_back(link.from);
    for (const WeightedLink& link : sign.masked_by)
        causes.push_back(link.from);
    return causes;
}

std::vector<std::uint32_t> givers_of(const Knowledge& knowledge, const Evidence& evidence,
                                     const Sign& sign) {
    std::set<std::uint32_t> settings;
    if (!sign.reading)
        return {};
    for (const std::vector<Edge>* edges : {&sign.reading->low, &sign.reading->high})
        for (const Edge& edge : *edges)
            if (!edge.quantity.empty() && !evidence.quantities.contains(edge.quantity))
                settings.insert(giver_of(knowledge, edge.quantity)->value);
    return {settings.begin(), settings.end()};
}

namespace {

std::vector<std::uint32_t> settings_in(const Conditions& conditions) {
    std::set<std::uint32_t> settings;
    for (const Condition& condition : conditions)
        settings.insert(condition.setting.value);
    return {settings.begin(), settings.end()};
}

template <class P>
std::vector<Var> vars_of(const BuiltOf<P>& built, const std::vector<std::uint32_t>& settings) {
    std::vector<Var> vars;
    for (const std::uint32_t s : settings)
        vars.push_back(built.setting[s]);
    return vars;
}

template <class P>
class Builder {
public:
    Builder(const Model& model, const Evidence& evidence, std::span<const P> strengths,
            const BuildChoice& choice)
        : knowledge_(*model.knowledge), network_(*model.network), evidence_(evidence),
          strengths_(strengths), site_{model, evidence, strengths, choice, built_} {}

    BuiltOf<P> run() {
        built_.setting.assign(network_.settings.size(), no_var);
        built_.cause.assign(network_.causes.size(), {});
        built_.acts.assign(network_.causes.size(), no_var);
        built_.acts_knob.assign(network_.causes.size(), 0);
        for (std::uint32_t s = 0; s < network_.settings.size(); ++s)
            open_setting(s);
        const std::vector<bool> wanted = wanted_causes();
        asked_through_acts_ = asked_through_acts();
        for (const std::uint32_t c : network_.cause_order)
            if (wanted[c])
                add_cause(c);
        for (std::uint32_t s = 0; s < network_.settings.size(); ++s)
            weigh_table(s);
        for (const KnownCause& known : evidence_.causes)
            weigh_known(known);
        add_signs();
        return std::move(built_);
    }

private:
    /// What the evidence speaks of, and all that can bring it on. Tables may hang on anything.
    [[nodiscard]] std::vector<bool> wanted_causes() const {
        const bool tables = std::any_of(knowledge_.settings.begin(), knowledge_.settings.end(),
                                        [](const Setting& setting) { return setting.table; });
        std::vector<bool> wanted(network_.causes.size(), site_.choice.whole || tables);
        if (site_.choice.whole || tables)
            return wanted;
        for (const std::uint32_t c : site_.choice.also)
            wanted[c] = true;
        for (const KnownCause& known : evidence_.causes)
            wanted[known.cause.index()] = true;
        for (const Finding& finding : evidence_.findings)
            if (const auto* sign = std::get_if<SignId>(&finding.what))
                for (const std::uint32_t c : causes_of(network_.signs[sign->index()]))
                    wanted[c] = true;
        for (std::size_t i = network_.cause_order.size(); i-- > 0;)
            if (const std::uint32_t c = network_.cause_order[i]; wanted[c])
                for (const WeightedLink& parent : network_.causes[c].parents)
                    wanted[parent.from] = true;
        return wanted;
    }

    void open_setting(std::uint32_t s) {
        const SettingNode& node = network_.settings[s];
        const bool table = knowledge_.settings[s].table;
        const auto known = evidence_.settings.find(SettingId(s));
        if (known != evidence_.settings.end() && !table)
            return;
        std::vector<P> start(node.states, P(1));
        if (!table)
            for (std::uint32_t a = 0; a < node.states; ++a)
                start[a] = strengths_[node.prior[a]];
        else if (node.parents.empty())
            start.assign(node.rows.begin(), node.rows.end());
        built_.setting[s] = built_.sum.add(std::move(start));
        if (known == evidence_.settings.end())
            return;
        std::vector<P> only(node.states, P(0));
        only[known->second] = 1;
        built_.sum.weigh({built_.setting[s]}, std::move(only));
    }

    /// P(table | parents), once the causes among the parents have variables.
    void weigh_table(std::uint32_t s) {
        const SettingNode& node = network_.settings[s];
        if (!knowledge_.settings[s].table || node.parents.empty())
            return;
        std::vector<Var> on;
        std::vector<double> rows = node.rows;
        // Parents are taken from the fastest to the slowest, so that fixing a known one leaves a
        // table of the same order.
        std::size_t inner = node.states;
        for (std::size_t p = node.parents.size(); p-- > 0;) {
            const SettingNode::Parent& parent = node.parents[p];
            const Var var =
                parent.cause ? built_.cause[parent.index].front() : built_.setting[parent.index];
            const std::size_t states = parent.cause ? 2 : network_.settings[parent.index].states;
            if (var == no_var) {
                rows = rows_at(rows, inner, states, evidence_.settings.at(SettingId(parent.index)));
                continue;
            }
            on.insert(on.begin(), var);
            inner *= states;
        }
        on.push_back(built_.setting[s]);
        built_.sum.weigh(std::move(on), std::vector<P>(rows.begin(), rows.end()));
    }

    /// The rows in which one parent (with `inner` numbers to each of its states) is `state`.
    static std::vector<double> rows_at(const std::vector<double>& rows, std::size_t inner,
                                       std::size_t states, std::size_t state) {
        std::vector<double> kept;
        for (std::size_t begin = state * inner; begin < rows.size(); begin += states * inner)
            kept.insert(kept.end(), rows.begin() + static_cast<std::ptrdiff_t>(begin),
                        rows.begin() + static_cast<std::ptrdiff_t>(begin + inner));
        return kept;
    }

    void add_cause(std::uint32_t c) {
        const CauseNode& node = network_.causes[c];
        Cases cases(knowledge_, evidence_, node.settings);
        std::vector<P> rows;
        for (std::size_t which = 0; which < cases.count(); ++which) {
            cases.choose(which);
            const P r = base_chance(node, cases, strengths_);
            rows.insert(rows.end(), {1 - r, r});
        }
        Var var = no_var;
        if (cases.unknown().empty()) {
            var = built_.sum.add(std::move(rows));
        } else {
            var = built_.sum.add({1.0, 0.0});
            built_.sum.links.push_back({var, vars_of(built_, cases.unknown()), std::move(rows)});
        }
        for (const WeightedLink& parent : node.parents)
            link_where(node.only_if, built_.cause[parent.from].front(), var,
                       strengths_[parent.strength]);
        built_.cause[c].push_back(var);
        for (const auto& repair : evidence_.repairs)
            add_stage(c, repair);
        if (node.comes_and_goes && asked_through_acts_[c]) {
            const P acts = strengths_[node.acts];
            built_.acts[c] = built_.sum.add({1 - acts, acts});
            if (site_.choice.acts_knobs) {
                built_.acts_knob[c] = static_cast<std::uint32_t>(built_.sum.weights.size());
                built_.sum.weigh({built_.cause[c].back(), built_.acts[c]}, {1, 1, 1, 1});
            }
        }
    }

    /// `source` (none: always) adds `strength` to `target` where the conditions hold.
    void link_where(const Conditions& conditions, std::optional<Var> source, Var target,
                    const P& strength) {
        Cases cases(knowledge_, evidence_, settings_in(conditions));
        std::vector<Var> sources;
        if (source)
            sources.push_back(*source);
        for (const Var var : vars_of(built_, cases.unknown()))
            sources.push_back(var);
        std::vector<P> rows;
        for (std::size_t on = source ? 0 : 1; on < 2; ++on)
            for (std::size_t which = 0; which < cases.count(); ++which) {
                cases.choose(which);
                const P w = on == 1 && cases.hold(conditions) ? strength : P(0);
                rows.insert(rows.end(), {1 - w, w});
            }
        built_.sum.links.push_back({target, std::move(sources), std::move(rows)});
    }

    /// The cause after a repair: it remains unless fixed; the repair may bring it.
    void add_stage(std::uint32_t c, RepairId repair_id) {
        const Repair& repair = knowledge_[repair_id];
        const double fix = chance_for(c, repair.fixes);
        const double bring = chance_for(c, repair.may_bring);
        const Var before = built_.cause[c].back();
        if (fix == 0 && bring == 0) {
            built_.cause[c].push_back(before);
            return;
        }
        const Var after = built_.sum.add({1.0, 0.0});
        link_where({}, before, after, 1 - fix);
        if (bring > 0) {
            if (network_.causes[c].only_if.empty())
                built_.sum.variables[after].start = {P(1 - bring), P(bring)};
            else
                link_where(network_.causes[c].only_if, std::nullopt, after, bring);
        }
        built_.cause[c].push_back(after);
    }

    /// Causes of which a finding asks whether they act: those are told from "present" for it.
    [[nodiscard]] std::vector<bool> asked_through_acts() const {
        std::vector<bool> asked(network_.causes.size(), false);
        for (const Finding& finding : evidence_.findings)
            if (const auto* sign = std::get_if<SignId>(&finding.what);
                sign && network_.signs[sign->index()].through_acts)
                for (const std::uint32_t c : causes_of(network_.signs[sign->index()]))
                    asked[c] = true;
        return asked;
    }

    void weigh_known(const KnownCause& known) {
        const Var var =
            built_.cause[known.cause.index()][std::min(known.stage, evidence_.repairs.size())];
        built_.sum.weigh({var}, known.present ? std::vector<P>{0, 1} : std::vector<P>{1, 0});
    }

    void add_signs() {
        // By sign, and within a sign in an order of their own, so that the order of typing does not
        // matter.
        std::map<SignId, std::vector<const Finding*>> by_sign;
        for (const Finding& finding : evidence_.findings) {
            if (const auto* sign = std::get_if<SignId>(&finding.what))
                by_sign[*sign].push_back(&finding);
            else
                weigh_found_table(finding);
        }
        for (auto& [sign, findings] : by_sign) {
            std::stable_sort(
                findings.begin(), findings.end(), [](const Finding* a, const Finding* b) {
                    return std::tie(a->stage, a->via, a->test, a->value, a->reading, a->weights) <
                           std::tie(b->stage, b->via, b->test, b->value, b->reading, b->weights);
                });
            if (knowledge_[sign].form == SignForm::levels)
                build_levels(site_, sign, findings);
            else
                build_flag_or_kinds(site_, sign, findings);
        }
    }

    void weigh_found_table(const Finding& finding) {
        const auto s = std::get<SettingId>(finding.what);
        const std::size_t states = network_.settings[s.index()].states;
        const std::vector<double> said = table_likelihood(knowledge_, finding, states);
        if (built_.setting[s.index()] != no_var)
            built_.sum.weigh({built_.setting[s.index()]}, std::vector<P>(said.begin(), said.end()));
        else
            built_.sum.weigh({}, {P(said[evidence_.settings.at(s)])});
    }

    const Knowledge& knowledge_;
    const Network& network_;
    const Evidence& evidence_;
    std::span<const P> strengths_;
    BuiltOf<P> built_;
    SiteOf<P> site_;
    std::vector<bool> asked_through_acts_;  // [CauseId]
};

}  // namespace

double chance_for(std::uint32_t cause, const std::vector<CauseStrength>& list) {
    for (const CauseStrength& entry : list)
        if (entry.cause.value == cause)
            return entry.strength.count.mean();
    return 0;
}

template <class P>
P base_chance(const CauseNode& node, const Cases& cases, std::span<const P> strengths) {
    if (!cases.hold(node.only_if))
        return 0;
    const P base = strengths[node.base];
    P times = 1;
    for (const RaiseNode& raise : node.raised_by)
        if (cases.hold(raise.when))
            times *= strengths[raise.times];
    return times * base / (1 - base + times * base);
}
template double base_chance(const CauseNode&, const Cases&, std::span<const double>);
template Pack base_chance(const CauseNode&, const Cases&, std::span<const Pack>);

Built build(const Model& model, const Evidence& evidence, std::span<const double> strengths,
            const BuildChoice& choice) {
    return Builder<double>(model, evidence, strengths, choice).run();
}

BuiltOf<Pack> build(const Model& model, const Evidence& evidence, std::span<const Pack> strengths,
                    const BuildChoice& choice) {
    return Builder<Pack>(model, evidence, strengths, choice).run();
}

bool says_present(const Model& model, const Evidence& evidence, const Finding& finding) {
    const auto* id = std::get_if<SignId>(&finding.what);
    if (!id)
        return false;
    const Knowledge& knowledge = *model.knowledge;
    const Sign& sign = knowledge[*id];
    std::vector<double> likelihood;
    if (finding.reading) {
        // With unknown settings the likeliest choice of each gives the edges.
        const auto quantity = [&](const std::string& name) {
            if (const auto typed = evidence.quantities.find(name);
                typed != evidence.quantities.end())
                return typed->second;
            const SettingId giver = *giver_of(knowledge, name);
            const auto known = evidence.settings.find(giver);
            std::size_t state = known != evidence.settings.end() ? known->second : 0;
            if (known == evidence.settings.end())
                for (std::size_t a = 1; a < knowledge[giver].states.size(); ++a)
                    if (knowledge[giver].prior[a].count.mean() >
                        knowledge[giver].prior[state].count.mean())
                        state = a;
            return knowledge[giver].gives[state].at(name);
        };
        likelihood = level_likelihood(knowledge, finding, quantity);
    } else {
        likelihood = plain_likelihood(finding, sign.value_count());
    }
    return std::max_element(likelihood.begin(), likelihood.end()) != likelihood.begin();
}

}  // namespace knockwell
