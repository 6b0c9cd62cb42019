#include "beliefs/asking.hpp"

#include "base/side_by_side.hpp"

#include <algorithm>
#include <utility>

namespace knockwell {
namespace {

// Operations on packs below which a second thread is not worth its start.
constexpr double worth_a_thread = 2e5;

std::size_t lanes_for(const SumPart& part) {
    return part.entries() <= most_pack_entries ? Pack::lanes : 1;
}

}  // namespace

Asking::Asking(const Sum& sum, const SumParts& parts, const Whole<double>& now,
               std::span<const Var> listed)
    : sum_(sum), parts_(parts), now_(now), asked_(parts.parts.size()),
      listed_at_(sum.shape.variables.size(), 0) {
    for (std::size_t p = 0; p < asked_.size(); ++p)
        asked_[p].given.assign(parts.parts[p].vars.size(), none);
    for (std::uint32_t i = 0; i < listed.size(); ++i) {
        listed_at_[listed[i]] = i + 1;
        if (const PartPlace& where = parts.where[listed[i]]; !where.is_alone())
            asked_[where.part].listed.push_back({i, where.var, now.share(listed[i], 1)});
    }
}

// ---------------------------------------------------------------- asking

std::size_t Asking::ask(std::span<const Knob> knobs) {
    knobs_.assign(knobs.begin(), knobs.end());
    const auto part_of = [&](const Knob& knob) { return parts_.where[knob.var].part; };
    // SumPart by part, alone ones last; equal numbers side by side.
    std::sort(knobs_.begin(), knobs_.end(), [&](const Knob& a, const Knob& b) {
        return std::pair(part_of(a), a.number) < std::pair(part_of(b), b.number);
    });
    Change change;
    change.terms.first = static_cast<std::uint32_t>(terms_.size());
    for (std::size_t from = 0; from < knobs_.size();) {
        const std::uint32_t part = part_of(knobs_[from]);
        const auto same = [&](const Knob& it) {
            return part_of(it) == part && (part != PartPlace::alone || it.var == knobs_[from].var);
        };
        std::size_t to = from + 1;
        while (to < knobs_.size() && same(knobs_[to]))
            ++to;
        const std::span<const Knob> here = std::span(knobs_).subspan(from, to - from);
        if (part == PartPlace::alone)
            ask_alone(knobs_[from].var, here);
        else
            ask_part(part, here);
        from = to;
    }
    change.terms.count = static_cast<std::uint32_t>(terms_.size()) - change.terms.first;
    changes_.push_back(change);
    return changes_.size() - 1;
}

void Asking::ask_alone(Var var, std::span<const Knob> knobs) {
    const SumVariable& it = sum_.shape.variables[var];
    Term term;
    term.var = var;
    term.request = listed_at_[var];
    term.times = 0;
    for (std::uint32_t a = 0; a < it.values; ++a) {
        double by = 1;
        for (const Knob& knob : knobs)
            if (knob.number == it.after + a)
                by *= knob.times;
        term.times += by * now_.share(var, a);
        if (a == 1)
            term.by = by;
    }
    terms_.push_back(term);
}

void Asking::ask_part(std::uint32_t p, std::span<const Knob> knobs) {
    PartAsked& part = asked_[p];
    const auto first = static_cast<std::uint32_t>(part.knobs.size());
    for (std::size_t i = 0; i < knobs.size(); ++i) {
        if (i > 0 && knobs[i].number == knobs[i - 1].number)
            part.knobs.back().times *= knobs[i].times;
        else
            part.knobs.push_back({parts_.number_at[knobs[i].number], knobs[i].times});
    }
    const auto count = static_cast<std::uint32_t>(part.knobs.size()) - first;
    Term term;
    term.part = p;
    term.var = none;
    const SumVariable& only = sum_.shape.variables[knobs.front().var];
    if (count == 1 && only.values == 2 && knobs.front().number == only.after + 1) {
        term.by = part.knobs.back().times;
        part.knobs.pop_back();
        term.var = knobs.front().var;
        term.request = request_given(p, term.var);
        terms_.push_back(term);
        return;
    }
    term.request = static_cast<std::uint32_t>(part.requests.size());
    // Neighbours in the asking are often alike: kinds and levels of one sign.
    for (std::size_t r = part.requests.size(); r-- > 0 && r + 4 > part.requests.size();) {
        const std::span<const LocalKnob> other = part.requests[r].knobs.of(part.knobs);
        if (std::equal(other.begin(), other.end(), part.knobs.begin() + first, part.knobs.end())) {
            term.request = static_cast<std::uint32_t>(r);
            part.knobs.resize(first);
            terms_.push_back(term);
            return;
        }
    }
    part.requests.push_back({{first, count}});
    terms_.push_back(term);
}

/// That a cause is there: its value 0 weighs nothing.
std::uint32_t Asking::request_given(std::uint32_t p, Var var) {
    PartAsked& part = asked_[p];
    std::uint32_t& request = part.given[parts_.where[var].var];
    if (request == none) {
        request = static_cast<std::uint32_t>(part.requests.size());
        part.requests.push_back({{static_cast<std::uint32_t>(part.knobs.size()), 1}});
        part.knobs.push_back({parts_.number_at[sum_.shape.variables[var].after], 0.0});
    }
    return request;
}

// ---------------------------------------------------------------- answering

std::vector<Asking::Batch> Asking::batches() const {
    std::vector<Batch> all;
    for (std::uint32_t p = 0; p < asked_.size(); ++p) {
        const auto count = static_cast<std::uint32_t>(asked_[p].requests.size());
        const auto lanes = static_cast<std::uint32_t>(lanes_for(parts_.parts[p]));
        for (std::uint32_t from = 0; from < count; from += lanes)
            all.push_back({p, from, std::min(from + lanes, count)});
    }
    return all;
}

/// Batches are dealt out to two threads; each answer depends on its own batch only, so the bytes
/// do not depend on who made it.
void Asking::answer() {
    for (PartAsked& part : asked_) {
        part.times.assign(part.requests.size(), 0.0);
        part.shares.assign(part.requests.size() * part.listed.size(), 0.0);
    }
    const std::vector<Batch> all = batches();
    double cost = 0;
    for (const Batch& batch : all)
        cost += parts_.parts[batch.part].cost();
    double done = 0;
    std::size_t half = 0;
    while (half < all.size() && 2 * done < cost)
        done += parts_.parts[all[half++].part].cost();
    if (cost < worth_a_thread || half == all.size()) {
        answer(all);
    } else {
        side_by_side([&] { answer(std::span(all).subspan(half)); },
                     [&] { answer(std::span(all).first(half)); });
    }
    settle();
}

void Asking::answer(std::span<const Batch> batches) {
    for (std::size_t i = 0; i < batches.size();) {
        std::size_t end = i + 1;
        while (end < batches.size() && batches[end].part == batches[i].part)
            ++end;
        const std::span<const Batch> here = batches.subspan(i, end - i);
        if (lanes_for(parts_.parts[batches[i].part]) == 1)
            answer_part<double>(here);
        else
            answer_part<Pack>(here);
        i = end;
    }
}

/// Batches of one part.
template <class P>
void Asking::answer_part(std::span<const Batch> batches) {
    const SumPart& part = parts_.parts[batches.front().part];
    PartAsked& asked = asked_[batches.front().part];
    PartSum<P> part_sum(part);
    P* numbers = part_sum.numbers();
    for (std::size_t i = 0; i < part.numbers.size(); ++i)
        numbers[i] = sum_.numbers[part.numbers[i]];
    std::vector<Var> wanted;
    for (const Listed& listed : asked.listed)
        wanted.push_back(listed.var);
    part_sum.want(wanted);
    const Scaled<double>& total = now_.part(batches.front().part).total();
    for (const Batch& batch : batches) {
        for (std::uint32_t r = batch.from; r < batch.to; ++r)
            for (const LocalKnob& knob : asked.requests[r].knobs.of(asked.knobs)) {
                set_lane(numbers[knob.number], r - batch.from,
                         lane(numbers[knob.number], r - batch.from) * knob.times);
                part_sum.changed(knob.number);
            }
        // Shares are what the way back is for.
        const bool any = part_sum.run(!asked.listed.empty());
        for (std::uint32_t r = batch.from; r < batch.to; ++r) {
            const std::uint32_t l = r - batch.from;
            if (!any || !(lane(part_sum.total().mantissa, l) > 0))
                continue;
            asked.times[r] = ratio(part_sum.total(), l, total, 0);
            double* shares = asked.shares.data() + r * asked.listed.size();
            for (const Listed& listed : asked.listed)
                *shares++ = lane(part_sum.share(listed.var, 1), l);
        }
        for (std::uint32_t r = batch.from; r < batch.to; ++r)
            for (const LocalKnob& knob : asked.requests[r].knobs.of(asked.knobs)) {
                numbers[knob.number] = sum_.numbers[part.numbers[knob.number]];
                part_sum.changed(knob.number);
            }
    }
}

/// The changes from the requests that they came to.
void Asking::settle() {
    for (Change& change : changes_) {
        change.times = 1;
        for (std::uint32_t i = 0; i < change.terms.count; ++i) {
            Term& term = terms_[change.terms.first + i];
            if (term.part != PartPlace::alone)
                term.times = term.var == none
                                 ? asked_[term.part].times[term.request]
                                 : now_.share(term.var, 0) + term.by * now_.share(term.var, 1);
            change.times *= term.times;
        }
    }
}

}  // namespace knockwell
