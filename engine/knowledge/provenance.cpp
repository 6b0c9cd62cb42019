#include "knowledge/provenance.hpp"

#include <algorithm>

namespace knockwell {
namespace {

class StrengthList {
public:
    void add(const Head& head, const Strength& one, bool rate = false) {
        if (!one.count.certain())  // levels that were left out stand here as certain too
            all_.push_back({&head, one.count, rate, one.span});
    }
    void add(const Head& head, const std::vector<Strength>& many) {
        for (const Strength& one : many)
            add(head, one);
    }
    template <class Named>
    void add_named(const Head& head, const std::vector<Named>& many) {
        for (const Named& one : many)
            add(head, one.strength);
    }
    void add(const Head& head, const std::optional<Channel>& channel, const Channel& otherwise) {
        if (!channel)
            return;
        if (channel->misses != otherwise.misses)
            add(head, Strength{channel->misses, channel->misses_at});
        if (channel->false_alarm != otherwise.false_alarm)
            add(head, Strength{channel->false_alarm, channel->false_alarm_at});
    }
    [[nodiscard]] std::vector<WrittenStrength> all() && { return std::move(all_); }

private:
    std::vector<WrittenStrength> all_;
};

void add_cause(const Cause& cause, StrengthList& list) {
    list.add(cause.head, cause.present, true);
    list.add_named(cause.head, cause.brought_on_by);
    list.add_named(cause.head, cause.masks);
    if (cause.comes_and_goes)
        list.add(cause.head, *cause.comes_and_goes);
    for (const Shows& shows : cause.shows) {
        list.add(cause.head, shows.low);
        list.add(cause.head, shows.high);
    }
}

}  // namespace

std::vector<WrittenStrength> written_strengths(const Knowledge& knowledge) {
    StrengthList list;
    for (const Setting& setting : knowledge.settings)
        list.add(setting.head, setting.prior);
    for (const Cause& cause : knowledge.causes)
        add_cause(cause, list);
    for (const Sign& sign : knowledge.signs) {
        list.add(sign.head, sign.seen_low);
        list.add(sign.head, sign.seen_high);
        list.add(sign.head, sign.phone_report, knowledge.manifest.told);
    }
    for (const Test& test : knowledge.tests)
        list.add(test.step.head, test.channel, knowledge.manifest.looked);
    for (const Repair& repair : knowledge.repairs) {
        list.add_named(repair.step.head, repair.fixes);
        list.add_named(repair.step.head, repair.may_bring);
    }
    for (const Stop& stop : knowledge.stops)
        if (stop.likely)
            list.add(stop.head, *stop.likely);
    return std::move(list).all();
}

Basis basis_of(const Knowledge& knowledge, const Head& head) {
    return head.basis != Basis::none ? head.basis : knowledge.manifest.basis;
}

bool too_sure_for_a_judgement(const Count& count) {
    constexpr double half_of_ten = 5;
    return count.kind == Count::Kind::counted &&
           std::min(count.k, count.n - count.k) > half_of_ten + 1e-9;
}

Provenance provenance_of(const Knowledge& knowledge, const std::set<Span>& learned) {
    Provenance found;
    for (const WrittenStrength& one : written_strengths(knowledge)) {
        const Basis basis =
            learned.contains(one.span) ? Basis::ledger : basis_of(knowledge, *one.head);
        ++found.strengths[static_cast<std::size_t>(basis)];
        ++found.strengths_in_all;
        if (basis == Basis::none && (found.without.empty() || found.without.back() != one.head))
            found.without.push_back(one.head);
    }
    const auto has_source = [](const auto& it) { return !it.head.source.empty(); };
    const auto of_step = [](const auto& it) { return !it.step.head.source.empty(); };
    const auto count = [&](const auto& many, auto has) {
        found.sources += static_cast<std::size_t>(std::count_if(many.begin(), many.end(), has));
    };
    count(knowledge.settings, has_source);
    count(knowledge.causes, has_source);
    count(knowledge.signs, has_source);
    count(knowledge.cautions, has_source);
    count(knowledge.stops, has_source);
    count(knowledge.tests, of_step);
    count(knowledge.repairs, of_step);
    return found;
}

}  // namespace knockwell
