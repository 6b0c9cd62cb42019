#include "beliefs/gate.hpp"

#include <algorithm>
#include <array>

namespace knockwell {
namespace {

/// One finding of a flag or of kinds. A trigger is noticed by each finding by itself; of the kinds
/// noticed the first written is named. Neighbouring kinds of equal weight share a rank, and a first
/// kind of weight 0 needs none: to notice it is impossible.
template <class P>
// NOLINTNEXTLINE(bugprone-exception-escape): only for want of memory
struct Heard {
    std::size_t stage = 0;  // position among the stages of the sign
    YesNo<P> misses;
    // [rank] of what was found; rank 0 = nothing is noticed, whose weight is `weight_of_nothing`
    boost::container::small_vector<double, 4> weight;
    P weight_of_nothing = 1;
    boost::container::small_vector<std::uint32_t, 4> rank;  // [kind]
    bool first_is_impossible = false;  // noticing the highest rank has weight 0
    [[nodiscard]] bool impossible(std::uint32_t r) const {
        return first_is_impossible && r + 1 == weight.size();
    }
    [[nodiscard]] std::uint32_t values() const {
        return static_cast<std::uint32_t>(weight.size()) - (first_is_impossible ? 1 : 0);
    }
    /// Else it is absorbed: it can only have noticed nothing.
    [[nodiscard]] bool is_digit() const { return values() > 1; }
};

template <class P>
Heard<P> look_of(const SiteOf<P>& site, const Finding& finding, const Sign& sign,
                 const Stages& stages, bool can_hide) {
    Heard<P> look;
    look.stage = place_of(site.evidence, finding, stages);
    const std::vector<double> said = plain_likelihood(finding, sign.value_count());
    double mean = 0;
    for (std::size_t v = 1; v < said.size(); ++v)
        mean += said[v] / static_cast<double>(said.size() - 1);
    const auto [misses, alarm] = heeded(*site.model.network, finding, site.strengths);
    look.misses = misses;
    look.weight_of_nothing = said[0] * alarm.no + mean * alarm.yes;
    look.weight.push_back(lane(look.weight_of_nothing, 0));
    look.rank.resize(sign.high.size());
    for (std::size_t k = sign.high.size(); k-- > 0;) {
        if (look.weight.size() == 1 || look.weight.back() != said[k + 1])
            look.weight.push_back(said[k + 1]);
        look.rank[k] = static_cast<std::uint32_t>(look.weight.size() - 1);
    }
    look.first_is_impossible = !can_hide && look.weight.back() == 0;
    return look;
}

template <class P>
class FlagGate {
public:
    FlagGate(const SiteOf<P>& site, SignId id, std::span<const Finding* const> findings)
        : site_(site), node_(site.model.network->signs[id.index()]),
          stages_(stages_of(site.evidence, findings)) {
        for (const Finding* finding : findings) {
            looks_.push_back(look_of(site, *finding, (*site.model.knowledge)[id], stages_,
                                     !node_.masked_by.empty()));
            present_ = present_ || (site.choice.leaks_only &&
                                    shows_trouble(site.model, site.evidence, *finding));
            if (looks_.back().is_digit())
                ++digits_;
            base_ = std::max(base_, looks_.back().values());
        }
    }

    void add() {
        if (const double bits = too_many(site_.built, node_, stages_); bits > 0) {
            site_.built.refused = bits;
            return;
        }
        values_ = power(base_, digits_);
        if (values_ > most_values) {
            site_.built.refused = bits_of_power(base_, digits_);
            return;
        }
        mask_ = add_mask(site_, node_, stages_);
        rows_.assign(values_, P(0));
        add_row(node_.leak_high, ~StageBits{0}, false, rows_.data());
        if (digits_ == 0) {
            site_.built.sum.factor *= rows_[0] * weight_at(0, 0);
            for (const ShowLink& link : node_.shown_by)
                absorb(link);
            return;
        }
        gate_ = site_.built.sum.add(as_span(rows_), {base_, digits_});
        for (const ShowLink& link : node_.shown_by)
            join(link);
        weigh_gate();
    }

private:
    /// Where a trigger of one kind that fires can leave the digits, with its chance: each finding
    /// notices it or misses it.
    void spread(std::size_t kind, const P& mass, StageBits active, bool bottom_only, P* row) {
        // Nearly every sign is found once: without the ends a third of the set-up is saved.
        if (looks_.size() == 1) {
            const Heard<P>& look = looks_.front();
            if ((active & 1U) == 0) {
                row[0] += mass;
                return;
            }
            row[0] += mass * look.misses.yes;
            if (const std::uint32_t rank = look.rank[kind];
                !look.impossible(rank) && (rank == 0 || !bottom_only))
                row[rank] += mass * look.misses.no;
            return;
        }
        ends_.assign(1, {0, mass});
        std::size_t place = 1;
        for (const Heard<P>& look : looks_) {
            const std::size_t here = place;
            if (look.is_digit())
                place *= base_;
            if (((active >> look.stage) & 1U) == 0)
                continue;
            const std::size_t n = ends_.size();
            for (std::size_t i = 0; i < n; ++i) {
                if (!look.impossible(look.rank[kind]))
                    ends_.push_back({ends_[i].element + here * look.rank[kind],
                                     ends_[i].share * look.misses.no});
                ends_[i].share *= look.misses.yes;
            }
        }
        for (const End& end : ends_)
            if (end.element == 0 || !bottom_only)
                row[end.element] += end.share;
    }

    /// P(what the findings notice | active in these stages) of one trigger, added to zeros; less
    /// than 1 in all where a finding excludes what it would notice.
    void add_row(StrengthRange kinds, StageBits active, bool bottom_only, P* row) {
        P fires = 0;
        for (std::size_t k = 0; k < kinds.size(); ++k) {
            fires += site_.strengths[kinds[k]];
            spread(k, site_.strengths[kinds[k]], active, bottom_only, row);
        }
        row[0] += rest_of(1 - fires);
    }

    void set_rows(const ShowLink& link, const Bringer& source) {
        rows_.assign(source.active.size() * values_, P(0));
        for (std::size_t i = 0; i < source.active.size(); ++i)
            add_row(link.high, source.active[i], present_, rows_.data() + i * values_);
    }

    void absorb(const ShowLink& link) {
        const Bringer source = source_of(site_.built, link.from, node_, stages_);
        set_rows(link, source);
        site_.built.sum.weigh(as_span(source.vars), as_span(rows_));
    }

    void join(const ShowLink& link) {
        const Bringer source = source_of(site_.built, link.from, node_, stages_);
        set_rows(link, source);
        site_.built.sum.link(gate_, as_span(source.vars), as_span(rows_));
    }

    void weigh_gate() {
        rows_.clear();
        const std::size_t masks =
            mask_ == no_var ? 1 : site_.built.sum.shape.variables[mask_].values;
        for (std::size_t value = 0; value < values_; ++value)
            for (std::size_t mask = 0; mask < masks; ++mask)
                rows_.push_back(weight_at(value, mask));
        const std::array<Var, 2> on{gate_, mask_};
        site_.built.sum.weigh(std::span(on).first(mask_ == no_var ? 1 : 2), as_span(rows_));
    }

    /// Weight of everything found, given what rank each digit noticed and in which stages the sign
    /// is hidden.
    [[nodiscard]] P weight_at(std::size_t value, std::size_t mask) const {
        P weight = 1;
        for (const Heard<P>& look : looks_) {
            std::size_t rank = 0;
            if (look.is_digit()) {
                rank = value % base_;
                value /= base_;
            }
            if (((mask >> look.stage) & 1U) != 0)
                rank = 0;
            // Findings with fewer ranks than the widest one never get there.
            if (rank == 0)
                weight *= look.weight_of_nothing;
            else
                weight *= P(rank < look.weight.size() ? look.weight[rank] : 0);
        }
        return weight;
    }

    const SiteOf<P>& site_;
    const SignNode& node_;
    Stages stages_;
    boost::container::small_vector<Heard<P>, 1> looks_;
    std::uint32_t digits_ = 0;  // findings that are digits of the gate
    std::uint32_t base_ = 1;
    std::size_t values_ = 1;
    Var mask_ = no_var;
    Var gate_ = no_var;
    bool present_ = false;  // and no cause may have produced it

    struct End {
        std::size_t element = 0;
        P share = 0;
    };
    boost::container::small_vector<End, 4> ends_;  // room for spread()
    boost::container::small_vector<P, 8> rows_;    // room for a link's rows
};

/// What most findings are: one of a flag that nothing hides. The same numbers as by the gate,
/// without its lists.
template <class P>
class OnceFound {
public:
    OnceFound(const SiteOf<P>& site, const SignNode& node, const Finding& finding)
        : site_(site), built_(site.built), node_(node),
          stage_(site.evidence.stage_within(finding.stage)) {
        const std::array<double, 2> said = plain_likelihood_of_flag(finding);
        const auto [misses, alarm] = heeded(*site.model.network, finding, site.strengths);
        misses_ = misses;
        weight_of_nothing_ = said[0] * alarm.no + said[1] * alarm.yes;
        weight_of_noticed_ = said[1];
        is_digit_ = said[1] != 0;
        leaks_only_ = site.choice.leaks_only && shows_trouble(site.model, site.evidence, finding);
    }

    static bool fits(const SignNode& node, std::span<const Finding* const> findings) {
        return findings.size() == 1 && node.high == 1 && node.low == 0 && node.masked_by.empty() &&
               !node.through_acts;
    }

    void add() {
        const Row leak = row_of(node_.leak_high, false);
        if (is_digit_) {
            gate_ = built_.sum.add({leak.nothing, leak.noticed});
            built_.sum.weigh({gate_}, {weight_of_nothing_, weight_of_noticed_});
        } else {
            built_.sum.factor *= leak.nothing * weight_of_nothing_;
        }
        for (const ShowLink& link : node_.shown_by)
            if (built_.known[link.from] != 0)
                add(link);
    }

private:
    struct Row {
        P nothing = 1;
        P noticed = 0;
    };

    /// Of one trigger that acts; less than 1 in all where what it brings cannot have been noticed.
    [[nodiscard]] Row row_of(StrengthRange kinds, bool leaks_only) const {
        if (kinds.empty())
            return {};
        const P& fires = site_.strengths[kinds[0]];
        return {fires * misses_.yes + rest_of(1 - fires),
                is_digit_ && !leaks_only ? fires * misses_.no : P(0)};
    }

    void add(const ShowLink& link) {
        const Row row = row_of(link.high, leaks_only_);
        const bool is_known = built_.known[link.from] == 1;
        const Var cause = is_known ? no_var : built_.at(link.from, stage_);
        const std::span<const Var> source(&cause, is_known ? 0 : 1);
        const std::array<P, 4> rows{P(1), P(0), row.nothing, row.noticed};
        const std::array<P, 2> weights{P(1), row.nothing};
        const std::size_t at = is_known ? 1 : 0;  // its only row is that it is there
        if (is_digit_)
            built_.sum.link(gate_, source, std::span(rows).subspan(2 * at));
        else
            built_.sum.weigh(source, std::span(weights).subspan(at));
    }

    const SiteOf<P>& site_;
    BuiltOf<P>& built_;
    const SignNode& node_;
    std::size_t stage_;
    YesNo<P> misses_;
    P weight_of_nothing_ = 1;
    P weight_of_noticed_ = 0;
    bool is_digit_ = false;  // else it is absorbed: it can only have noticed nothing
    bool leaks_only_ = false;
    Var gate_ = no_var;
};

}  // namespace

template <class P>
void build_flag_or_kinds(const SiteOf<P>& site, SignId sign,
                         std::span<const Finding* const> findings) {
    const SignNode& node = site.model.network->signs[sign.index()];
    if (OnceFound<P>::fits(node, findings))
        OnceFound<P>(site, node, *findings.front()).add();
    else
        FlagGate<P>(site, sign, findings).add();
}

template void build_flag_or_kinds(const SiteOf<double>&, SignId, std::span<const Finding* const>);
template void build_flag_or_kinds(const SiteOf<Pack>&, SignId, std::span<const Finding* const>);
template void build_flag_or_kinds(const SiteOf<Taped>&, SignId, std::span<const Finding* const>);

}  // namespace knockwell
