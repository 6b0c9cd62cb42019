#include "beliefs/asking.hpp"

#include "base/side_by_side.hpp"

#include <algorithm>
#include <utility>

namespace knockwell {
namespace {

// Operations on packs below which a second thread is not worth its start.
constexpr double worth_a_thread = 1.5e6;

std::size_t lanes_for(const SumPart& part) {
    return part.entries() <= most_pack_entries ? Pack::lanes : 1;
}

}  // namespace

Asking::Asking(const Sum& sum, const SumParts& parts, const Whole<double>& now,
               std::span<const Var> listed)
    : sum_(sum), parts_(parts), now_(now), asked_(parts.parts.size()),
      listed_at_(sum.shape.variables.size(), 0) {
    absent_.reserve(listed_at_.size());
    present_.reserve(listed_at_.size());
    for (Var v = 0; v < listed_at_.size(); ++v) {
        absent_.push_back(now.share(v, 0));
        present_.push_back(sum.shape.variables[v].values > 1 ? now.share(v, 1) : 0);
    }
    for (std::size_t p = 0; p < asked_.size(); ++p)
        asked_[p].given.assign(parts.parts[p].vars.size(), none);
    for (std::uint32_t i = 0; i < listed.size(); ++i) {
        listed_at_[listed[i]] = i + 1;
        if (const PartPlace& where = parts.where[listed[i]]; !where.is_alone()) {
            PartAsked& part = asked_[where.part];
            part.places.push_back(i);
            part.vars.push_back(where.var);
            part.now.push_back(present_[listed[i]]);
        }
    }
}

// ---------------------------------------------------------------- asking

std::size_t Asking::ask(std::span<const Knob> knobs) {
    place(knobs);
    Change change;
    change.terms.first = static_cast<std::uint32_t>(terms_.size());
    for (std::size_t from = 0; from < placed_.size();) {
        const PlacedKnob& first = placed_[from];
        const auto same = [&](const PlacedKnob& it) {
            return it.part == first.part &&
                   (it.part != PartPlace::alone || it.knob.var == first.knob.var);
        };
        std::size_t to = from + 1;
        while (to < placed_.size() && same(placed_[to]))
            ++to;
        const std::span<const PlacedKnob> here = std::span(placed_).subspan(from, to - from);
        if (first.part == PartPlace::alone)
            change.untouched *= ask_alone(first.knob.var, here);
        else
            change.untouched *= ask_part(first.part, here);
        from = to;
    }
    change.terms.count = static_cast<std::uint32_t>(terms_.size()) - change.terms.first;
    changes_.push_back(change);
    return changes_.size() - 1;
}

/// Part by part, alone ones last; equal numbers side by side.
void Asking::place(std::span<const Knob> knobs) {
    placed_.clear();
    for (const Knob& knob : knobs)
        placed_.push_back({parts_.where[knob.var].part, knob});
    const auto before = [](const PlacedKnob& a, const PlacedKnob& b) {
        return std::pair(a.part, a.knob.number) < std::pair(b.part, b.knob.number);
    };
    if (!std::is_sorted(placed_.begin(), placed_.end(), before))
        std::sort(placed_.begin(), placed_.end(), before);
}

/// What the total is multiplied with, where that touches nothing that is listed; else a term is
/// noted.
double Asking::ask_alone(Var var, std::span<const PlacedKnob> knobs) {
    const SumVariable& it = sum_.shape.variables[var];
    Term term;
    term.var = var;
    term.request = listed_at_[var];
    term.times = 0;
    for (std::uint32_t a = 0; a < it.values; ++a) {
        double by = 1;
        for (const PlacedKnob& placed : knobs)
            if (placed.knob.number == it.after + a)
                by *= placed.knob.times;
        term.times += by * (a == 0 ? absent_[var] : a == 1 ? present_[var] : now_.share(var, a));
        if (a == 1)
            term.by = by;
    }
    if (term.request == 0)
        return term.times;
    terms_.push_back(term);
    return 1;
}

double Asking::ask_part(std::uint32_t p, std::span<const PlacedKnob> knobs) {
    PartAsked& part = asked_[p];
    const auto first = static_cast<std::uint32_t>(part.knobs.size());
    for (std::size_t i = 0; i < knobs.size(); ++i) {
        const Knob& knob = knobs[i].knob;
        if (i > 0 && knob.number == knobs[i - 1].knob.number)
            part.knobs.back().times *= knob.times;
        else
            part.knobs.push_back({parts_.number_at[knob.number], knob.times});
    }
    const auto count = static_cast<std::uint32_t>(part.knobs.size()) - first;
    Term term;
    term.part = p;
    term.var = none;
    const Knob& knob = knobs.front().knob;
    const SumVariable& only = sum_.shape.variables[knob.var];
    if (count == 1 && only.values == 2 && knob.number == only.after + 1) {
        term.by = part.knobs.back().times;
        part.knobs.pop_back();
        term.var = knob.var;
        if (part.places.empty())
            return times_of_one(term);
        term.request = request_given(p, term.var);
        terms_.push_back(term);
        return 1;
    }
    term.request = static_cast<std::uint32_t>(part.requests.size());
    // Neighbours in the asking are often alike: kinds and levels of one sign.
    for (std::size_t r = part.requests.size(); r-- > 0 && r + 4 > part.requests.size();) {
        const std::span<const LocalKnob> other = part.requests[r].knobs.of(part.knobs);
        if (std::equal(other.begin(), other.end(), part.knobs.begin() + first, part.knobs.end())) {
            term.request = static_cast<std::uint32_t>(r);
            part.knobs.resize(first);
            terms_.push_back(term);
            return 1;
        }
    }
    part.requests.push_back({{first, count}});
    terms_.push_back(term);
    return 1;
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

/// Whether two threads, each with tables of its own, stay within what one may keep.
bool Asking::has_room_for_two(std::span<const Batch> batches) const {
    return std::all_of(batches.begin(), batches.end(), [&](const Batch& batch) {
        const SumPart& part = parts_.parts[batch.part];
        return 2 * part.entries() * lanes_for(part) <= most_pack_entries * Pack::lanes;
    });
}

/// Batches are dealt out to two threads; each answer depends on its own batch only, so the bytes
/// do not depend on who made it.
void Asking::answer() {
    for (PartAsked& part : asked_) {
        part.times.assign(part.requests.size(), 0.0);
        part.shares.assign(part.requests.size() * part.places.size(), 0.0);
    }
    const std::vector<Batch> all = batches();
    double cost = 0;
    for (const Batch& batch : all)
        cost += parts_.parts[batch.part].cost();
    double done = 0;
    std::size_t half = 0;
    while (half < all.size() && 2 * done < cost)
        done += parts_.parts[all[half++].part].cost();
    if (cost < worth_a_thread || half == all.size() || !has_room_for_two(all)) {
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
    part_sum.want(asked.vars);
    const std::size_t listed = asked.vars.size();
    const Scaled<double>& total = now_.part(batches.front().part).total();
    for (const Batch& batch : batches) {
        for (std::uint32_t r = batch.from; r < batch.to; ++r)
            for (const LocalKnob& knob : asked.requests[r].knobs.of(asked.knobs)) {
                set_lane(numbers[knob.number], r - batch.from,
                         lane(numbers[knob.number], r - batch.from) * knob.times);
                part_sum.changed(knob.number);
            }
        // Shares are what the way back is for.
        if (part_sum.run(listed > 0)) {
            for (std::uint32_t r = batch.from; r < batch.to; ++r)
                if (const std::uint32_t l = r - batch.from; lane(part_sum.total().mantissa, l) > 0)
                    asked.times[r] = ratio(part_sum.total(), l, total, 0);
            // Where there is no total, the shares are 0 too.
            for (std::size_t i = 0; i < listed; ++i) {
                const P share = part_sum.share(asked.vars[i], 1);
                for (std::uint32_t r = batch.from; r < batch.to; ++r)
                    asked.shares[r * listed + i] = lane(share, r - batch.from);
            }
        }
        for (std::uint32_t r = batch.from; r < batch.to; ++r)
            for (const LocalKnob& knob : asked.requests[r].knobs.of(asked.knobs)) {
                numbers[knob.number] = sum_.numbers[part.numbers[knob.number]];
                part_sum.changed(knob.number);
            }
    }
}

void Asking::touched(std::size_t change, Touched& into) const {
    into.places.clear();
    into.now.clear();
    into.then.clear();
    for (const Term& term : changes_[change].terms.of(terms_)) {
        if (term.part != PartPlace::alone) {
            const PartAsked& part = asked_[term.part];
            into.places.insert(into.places.end(), part.places.begin(), part.places.end());
            into.now.insert(into.now.end(), part.now.begin(), part.now.end());
            const std::size_t first = into.then.size();
            into.then.resize(first + part.places.size());
            for (std::size_t i = 0; i < part.places.size(); ++i)
                into.then[first + i] = share(term, part, i);
        } else if (term.request != 0) {
            into.places.push_back(term.request - 1);
            into.now.push_back(present_[term.var]);
            into.then.push_back(share_alone(term));
        }
    }
}

/// The changes from the requests that they came to.
void Asking::settle() {
    for (Change& change : changes_) {
        change.times = change.untouched;
        for (std::uint32_t i = 0; i < change.terms.count; ++i) {
            Term& term = terms_[change.terms.first + i];
            if (term.part != PartPlace::alone)
                term.times =
                    term.var == none ? asked_[term.part].times[term.request] : times_of_one(term);
            change.times *= term.times;
        }
    }
}

}  // namespace knockwell
