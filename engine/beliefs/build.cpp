#include "beliefs/build.hpp"

#include "beliefs/cases.hpp"
#include "beliefs/outside.hpp"

#include <algorithm>
#include <numeric>
#include <set>
#include <tuple>
#include <utility>

namespace knockwell {

namespace {

std::vector<std::uint32_t> settings_in(const Conditions& conditions) {
    std::set<std::uint32_t> settings;
    for (const Condition& condition : conditions)
        settings.insert(condition.setting.value);
    return {settings.begin(), settings.end()};
}

template <class P>
class Builder {
public:
    Builder(const Model& model, const Evidence& evidence, std::span<const P> strengths,
            const BuildChoice& choice)
        : model_(model), knowledge_(*model.knowledge), network_(*model.network),
          evidence_(evidence),
          strengths_(strengths), site_{model, evidence, strengths, choice, built_} {}

    BuiltOf<P> run() {
        const std::size_t causes = network_.causes.size();
        built_.stages = evidence_.stages();
        built_.setting.assign(network_.settings.size(), no_var);
        built_.by_stage.assign(causes * built_.stages, no_var);
        built_.acts.assign(causes, no_var);
        built_.acts_knob.assign(causes, 0);
        find_known();
        reserve();
        for (std::uint32_t s = 0; s < network_.settings.size(); ++s)
            open_setting(s);
        const std::vector<std::uint8_t> wanted = wanted_causes();
        asked_through_acts_ = asked_through_acts();
        for (const std::uint32_t c : network_.cause_order)
            if (wanted[c] != 0)
                add_cause(c);
        for (std::uint32_t s = 0; s < network_.settings.size(); ++s)
            weigh_table(s);
        for (const KnownCause& known : evidence_.causes)
            weigh_known(known);
        add_signs();
        if (site_.choice.causes == BuildChoice::Causes::and_inexact)
            for (const std::uint32_t c : inexact_causes(model_, evidence_, built_))
                add_cause(c);
        return std::move(built_);
    }

private:
    /// Room for about what the findings bring, so that the arrays seldom move.
    void reserve() {
        std::size_t links = 16;
        for (const Finding& finding : evidence_.findings)
            if (const auto* sign = std::get_if<SignId>(&finding.what))
                links += network_.signs[sign->index()].shown_by.size();
        Shape& shape = built_.sum.shape;
        shape.variables.reserve(network_.settings.size() + links);
        shape.links.reserve(links);
        shape.lists.reserve(2 * links);
        built_.sum.numbers.reserve(8 * links);
    }

    [[nodiscard]] bool has_tables() const {
        return std::any_of(knowledge_.settings.begin(), knowledge_.settings.end(),
                           [](const Setting& setting) { return setting.table; });
    }

    /// What the evidence speaks of, and all that can bring it on. Tables may hang on anything.
    [[nodiscard]] std::vector<std::uint8_t> wanted_causes() const {
        const bool all = site_.choice.causes == BuildChoice::Causes::all || has_tables();
        std::vector<std::uint8_t> wanted(network_.causes.size(), all ? 1 : 0);
        if (all)
            return wanted;
        std::vector<std::uint32_t> found;
        const auto want = [&](std::uint32_t c) {
            if (std::exchange(wanted[c], std::uint8_t{1}) == 0)
                found.push_back(c);
        };
        for (const std::uint32_t c : site_.choice.also)
            want(c);
        for (const KnownCause& known : evidence_.causes)
            want(known.cause.value);
        for (const Finding& finding : evidence_.findings)
            if (const auto* sign = std::get_if<SignId>(&finding.what))
                for_causes_of(network_.signs[sign->index()], want);
        // NOLINTNEXTLINE(modernize-loop-convert): the list grows meanwhile
        for (std::size_t i = 0; i < found.size(); ++i)
            for (const WeightedLink& parent : network_.causes[found[i]].parents)
                want(parent.from);
        return wanted;
    }

    /// Causes of which one and the same is known in every stage: found so, or impossible under the
    /// known settings and not said to be there.
    void find_known() {
        built_.known.assign(network_.causes.size(), -1);
        impossible_.assign(network_.causes.size(), 0);
        std::vector<std::uint8_t> clashes(network_.causes.size(), 0);
        for (const KnownCause& it : evidence_.causes) {
            std::int8_t& known = built_.known[it.cause.index()];
            const std::int8_t is = it.present ? 1 : 0;
            if (known != -1 && known != is)
                clashes[it.cause.index()] = 1;
            known = is;
        }
        for (const KnownCause& it : evidence_.causes)
            if (const std::uint32_t c = it.cause.value; clashes[c] != 0 || is_touched(c))
                built_.known[c] = -1;
        if (evidence_.settings.empty())
            return;
        std::vector<std::uint8_t> found(network_.causes.size(), 0);
        for (const KnownCause& it : evidence_.causes)
            found[it.cause.index()] = 1;
        for (std::uint32_t c = 0; c < network_.causes.size(); ++c)
            if (found[c] == 0 && cannot_hold(network_.causes[c].only_if)) {
                impossible_[c] = 1;
                built_.known[c] = 0;
            }
    }

    [[nodiscard]] bool cannot_hold(const Conditions& conditions) const {
        return std::any_of(conditions.begin(), conditions.end(), [&](const Condition& condition) {
            const auto known = evidence_.settings.find(condition.setting);
            return known != evidence_.settings.end() &&
                   !knowledge_.settings[condition.setting.index()].table &&
                   !std::binary_search(condition.states.begin(), condition.states.end(),
                                       known->second);
        });
    }

    [[nodiscard]] bool is_touched(std::uint32_t c) const {
        return std::any_of(evidence_.repairs.begin(), evidence_.repairs.end(), [&](RepairId id) {
            const Repair& repair = knowledge_[id];
            return chance_for(c, repair.fixes) > 0 || chance_for(c, repair.may_bring) > 0;
        });
    }

    void add_variables(const Cases& cases, std::vector<Var>& to) const {
        for (const std::uint32_t s : cases.unknown())
            to.push_back(built_.setting[s]);
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
        built_.setting[s] = built_.sum.add(start);
        if (known == evidence_.settings.end())
            return;
        std::vector<P> only(node.states, P(0));
        only[known->second] = 1;
        built_.sum.weigh(std::span(&built_.setting[s], 1), only);
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
                parent.cause ? built_.first(parent.index) : built_.setting[parent.index];
            const std::size_t states = parent.cause ? 2 : network_.settings[parent.index].states;
            if (var == no_var) {
                rows = rows_at(rows, inner, states, evidence_.settings.at(SettingId(parent.index)));
                continue;
            }
            on.insert(on.begin(), var);
            inner *= states;
        }
        on.push_back(built_.setting[s]);
        built_.sum.weigh(on, std::vector<P>(rows.begin(), rows.end()));
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
        if (impossible_[c] != 0) {
            const Var absent = built_.sum.add({1.0, 0.0});
            for (std::size_t stage = 0; stage < built_.stages; ++stage)
                built_.by_stage[c * built_.stages + stage] = absent;
            return;
        }
        const Cases cases(knowledge_, evidence_, node.settings);
        const Var var = add_caused(node, cases);
        for (const WeightedLink& parent : node.parents)
            link_where(node.only_if, parent.from, var, strengths_[parent.strength]);
        built_.by_stage[c * built_.stages] = var;
        for (std::size_t stage = 1; stage < built_.stages; ++stage)
            built_.by_stage[c * built_.stages + stage] =
                after(evidence_.repairs[stage - 1], c, built_.at(c, stage - 1));
        require(node.only_if, c);
        if (!node.comes_and_goes || asked_through_acts_[c] == 0)
            return;
        const P acts = strengths_[node.acts];
        built_.acts[c] = built_.sum.add({1 - acts, acts});
        if (!site_.choice.acts_knobs)
            return;
        built_.acts_knob[c] = static_cast<Slot>(built_.sum.numbers.size()) + 3;
        built_.sum.weigh({built_.last(c), built_.acts[c]}, {1, 1, 1, 1});
    }

    /// Notes in which states of the unknown settings the cause cannot be.
    void require(const Conditions& only_if, std::uint32_t c) {
        constexpr std::size_t most_states = 64;
        for (const Condition& condition : only_if) {
            const Var on = built_.setting[condition.setting.index()];
            if (on == no_var || knowledge_.settings[condition.setting.index()].table ||
                built_.sum.shape.variables[on].values > most_states)
                continue;
            std::uint64_t allowed = 0;
            for (const std::size_t state : condition.states)
                allowed |= std::uint64_t{1} << state;
            Var last = no_var;
            for (std::size_t stage = 0; stage < built_.stages; ++stage)
                if (const Var var = built_.at(c, stage); var != std::exchange(last, var))
                    built_.sum.shape.requirements.push_back({var, on, allowed});
        }
    }

    /// A variable for a cause as its settings alone bring it.
    Var add_caused(const CauseNode& node, Cases cases) {
        if (cases.unknown().empty()) {
            const P r = base_chance(node, cases, strengths_);
            return built_.sum.add({1 - r, r});
        }
        rows_.clear();
        for (std::size_t which = 0; which < cases.count(); ++which) {
            cases.choose(which);
            const P r = base_chance(node, cases, strengths_);
            rows_.insert(rows_.end(), {1 - r, r});
        }
        const Var var = built_.sum.add({1.0, 0.0});
        sources_.clear();
        add_variables(cases, sources_);
        built_.sum.link(var, sources_, rows_);
        return var;
    }

    static constexpr std::uint32_t always = no_var;

    /// A cause as it was found (or `always`) adds `strength` to `target` where the conditions
    /// hold.
    void link_where(const Conditions& conditions, std::uint32_t cause, Var target,
                    const P& strength) {
        YesNo<P> chance;
        chance.yes = strength;
        chance.no = 1 - strength;
        link_where(conditions, cause, target, chance);
    }

    void link_where(const Conditions& conditions, std::uint32_t cause, Var target,
                    const YesNo<P>& chance) {
        const std::int8_t known = cause == always ? std::int8_t{1} : built_.known[cause];
        if (known == 0)
            return;
        Cases cases(knowledge_, evidence_, settings_in(conditions));
        sources_.clear();
        if (known == -1)
            sources_.push_back(built_.first(cause));
        add_variables(cases, sources_);
        rows_.clear();
        for (std::size_t on = known == -1 ? 0 : 1; on < 2; ++on)
            for (std::size_t which = 0; which < cases.count(); ++which) {
                cases.choose(which);
                const bool holds = on == 1 && cases.hold(conditions);
                rows_.insert(rows_.end(), {holds ? chance.no : P(1), holds ? chance.yes : P(0)});
            }
        built_.sum.link(target, sources_, rows_);
    }

    /// The cause after a repair: it remains unless fixed; the repair may bring it.
    Var after(RepairId repair_id, std::uint32_t c, Var before) {
        const Repair& repair = knowledge_[repair_id];
        const RepairNode& node = network_.repairs[repair_id.index()];
        const YesNo<P> fix = chance_in_sum(c, repair.fixes, node.fixes);
        const YesNo<P> bring = chance_in_sum(c, repair.may_bring, node.may_bring);
        if (is_all(fix.yes, 0) && is_all(bring.yes, 0))
            return before;
        const Var after = built_.sum.add({1.0, 0.0});
        rows_.assign({P(1), P(0), fix.yes, fix.no});
        built_.sum.link(after, std::span(&before, 1), rows_);
        if (!is_all(bring.yes, 0))
            link_where(network_.causes[c].only_if, always, after, bring);
        return after;
    }

    /// What a list of a repair says of a cause, as numbers of the network.
    [[nodiscard]] YesNo<P> chance_in_sum(std::uint32_t c, const std::vector<CauseStrength>& list,
                                         const std::vector<ChanceNode>& nodes) const {
        for (std::size_t i = 0; i < list.size(); ++i)
            if (list[i].cause.value == c)
                return {nodes[i], strengths_};
        return {};
    }

    /// Causes of which a finding asks whether they act: those are told from "present" for it.
    [[nodiscard]] std::vector<std::uint8_t> asked_through_acts() const {
        std::vector<std::uint8_t> asked(network_.causes.size(), 0);
        for (const Finding& finding : evidence_.findings)
            if (const auto* sign = std::get_if<SignId>(&finding.what);
                sign && network_.signs[sign->index()].through_acts)
                for_causes_of(network_.signs[sign->index()],
                              [&](std::uint32_t c) { asked[c] = 1; });
        return asked;
    }

    void weigh_known(const KnownCause& known) {
        const Var var = built_.at(known.cause.index(), evidence_.stage_within(known.stage));
        const P present = known.present ? 1 : 0;
        built_.sum.weigh({var}, {1 - present, present});
    }

    void add_signs() {
        // By sign, and within a sign in an order of their own, so that the order of typing does not
        // matter.
        std::vector<const Finding*> all;
        for (const Finding& finding : evidence_.findings) {
            if (std::holds_alternative<SignId>(finding.what))
                all.push_back(&finding);
            else
                weigh_found_table(finding);
        }
        const auto sign_of = [](const Finding* it) { return std::get<SignId>(it->what); };
        std::stable_sort(all.begin(), all.end(), [&](const Finding* a, const Finding* b) {
            const SignId of_a = sign_of(a);
            const SignId of_b = sign_of(b);
            return std::tie(of_a, a->stage, a->via, a->test, a->value, a->reading, a->weights) <
                   std::tie(of_b, b->stage, b->via, b->test, b->value, b->reading, b->weights);
        });
        for (auto from = all.begin(); from != all.end();) {
            const SignId sign = sign_of(*from);
            const auto to = std::find_if(from, all.end(),
                                         [&](const Finding* it) { return sign_of(it) != sign; });
            const std::span<const Finding* const> findings(&*from,
                                                           static_cast<std::size_t>(to - from));
            if (knowledge_[sign].form == SignForm::levels)
                build_levels(site_, sign, findings);
            else
                build_flag_or_kinds(site_, sign, findings);
            from = to;
        }
    }

    void weigh_found_table(const Finding& finding) {
        const auto s = std::get<SettingId>(finding.what);
        const std::size_t states = network_.settings[s.index()].states;
        std::vector<P> said;
        const YesNo<P> misses = heeded(network_, finding, strengths_).misses;
        const std::vector<double> plain = plain_likelihood(finding, states);
        const double all = std::accumulate(plain.begin(), plain.end(), 0.0);
        for (const double d : plain)
            said.push_back(d * misses.no +
                           misses.yes * ((all - d) / static_cast<double>(states - 1)));
        if (const Var var = built_.setting[s.index()]; var != no_var)
            built_.sum.weigh(std::span<const Var>(&var, 1), std::span<const P>(said));
        else
            built_.sum.factor *= said[evidence_.settings.at(s)];
    }

    const Model& model_;
    const Knowledge& knowledge_;
    const Network& network_;
    const Evidence& evidence_;
    std::span<const P> strengths_;
    BuiltOf<P> built_;
    SiteOf<P> site_;
    std::vector<std::uint8_t> asked_through_acts_;  // [CauseId]
    std::vector<std::uint8_t> impossible_;          // [CauseId] under the known settings
    std::vector<P> rows_;                           // room for a link's
    std::vector<Var> sources_;
};

}  // namespace

double chance_for(std::uint32_t cause, const std::vector<CauseStrength>& list) {
    for (const CauseStrength& entry : list)
        if (entry.cause.value == cause)
            return entry.strength.count.mean();
    return 0;
}

Built build(const Model& model, const Evidence& evidence, std::span<const double> strengths,
            const BuildChoice& choice) {
    return Builder<double>(model, evidence, strengths, choice).run();
}

BuiltOf<Pack> build(const Model& model, const Evidence& evidence, std::span<const Pack> strengths,
                    const BuildChoice& choice) {
    return Builder<Pack>(model, evidence, strengths, choice).run();
}

BuiltOf<Taped> build(const Model& model, const Evidence& evidence, std::span<const Taped> strengths,
                     const BuildChoice& choice) {
    return Builder<Taped>(model, evidence, strengths, choice).run();
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

bool shows_trouble(const Model& model, const Evidence& evidence, const Finding& finding) {
    return !is_circumstance(*model.knowledge, finding) && says_present(model, evidence, finding);
}

}  // namespace knockwell
