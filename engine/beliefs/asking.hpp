// beliefs/asking.hpp
//
// A sum asked again and again with some of its numbers multiplied: how much its total and its
// shares change. Inside this floor only.
//
// Idea     a change touches few parts; the others stay as they are. Within a part changes are
//          answered eight at a time under one plan, equal ones once, on two threads where that
//          pays. A change of one cause alone is read off the shares given that cause, which serve
//          every such change
// Held by  tests/laws/ (predict_all against predict)
#pragma once
#include "beliefs/parts.hpp"
#include "beliefs/whole.hpp"

#include <cstdint>
#include <span>
#include <vector>

namespace knockwell {

/// One number of the sum that is multiplied, and a variable that it belongs to.
struct Knob {
    Var var = 0;
    Slot number = 0;
    double times = 1;
};

class Asking {
public:
    /// `listed`: variables whose share of value 1 is wanted. All must outlive it; `now` has been
    /// run with `sum`.
    Asking(const Sum& sum, const SumParts& parts, const Whole<double>& now,
           std::span<const Var> listed);

    /// Notes a change; the answer is there after answer().
    [[nodiscard]] std::size_t ask(std::span<const Knob> knobs);
    void answer();

    /// Total with the change / total.
    [[nodiscard]] double times(std::size_t change) const { return changes_[change].times; }

    /// Whether a change leaves every share as it is.
    [[nodiscard]] bool touches_nothing(std::size_t change) const {
        return changes_[change].terms.count == 0;
    }

    /// Whether a change of a number of this variable can touch something that is listed.
    [[nodiscard]] bool can_touch(Var var) const {
        const PartPlace& where = parts_.where[var];
        return where.is_alone() ? listed_at_[var] != 0 : !asked_[where.part].places.empty();
    }

    /// What a change can touch, one after the other.
    struct Touched {
        std::vector<std::uint32_t> places;  // in `listed`
        std::vector<double> now;            // its share
        std::vector<double> then;           // its share under the change
    };
    void touched(std::size_t change, Touched& into) const;

    /// Calls act(place in `listed`, share under the change) for whatever the change can touch.
    template <class Act>
    void for_touched(std::size_t change, Act act) const {
        for (const Term& term : changes_[change].terms.of(terms_))
            for_touched(term, act);
    }

private:
    /// What a change does to one part, or to one variable that stands alone.
    struct Term {
        std::uint32_t part = PartPlace::alone;
        std::uint32_t request = 0;  // alone: the place in `listed` + 1, or 0
        Var var = 0;                // of a change of one value only, else none
        double by = 1;              // what its value 1 is multiplied with
        double times = 1;           // total of the part with the change / without
    };
    struct Change {
        Slice terms;
        double untouched = 1;  // total of what holds nothing listed, with the change / without
        double times = 1;
    };
    struct PlacedKnob {
        std::uint32_t part = PartPlace::alone;
        Knob knob;
    };
    struct LocalKnob {
        Slot number = 0;
        double times = 1;
        bool operator==(const LocalKnob&) const = default;
    };
    struct Request {
        Slice knobs;
    };
    struct PartAsked {
        std::vector<Request> requests;
        std::vector<LocalKnob> knobs;
        std::vector<std::uint32_t> given;  // [variable of the part] request that it is 1; none
        // What of it is listed: places in `listed`, variables in the part, shares.
        std::vector<std::uint32_t> places;
        std::vector<Var> vars;
        std::vector<double> now;
        std::vector<double> times;   // [request]
        std::vector<double> shares;  // [request][listed]
    };
    struct Batch {
        std::uint32_t part = 0, from = 0, to = 0;
    };
    static constexpr std::uint32_t none = PartPlace::alone;

    template <class Act>
    void for_touched(const Term& term, Act& act) const {
        if (term.part == PartPlace::alone) {
            if (term.request != 0)
                act(term.request - 1, share_alone(term));
            return;
        }
        const PartAsked& part = asked_[term.part];
        for (std::size_t i = 0; i < part.places.size(); ++i)
            act(part.places[i], share(term, part, i));
    }

    /// Under a term, of number `i` of what is listed in its part.
    [[nodiscard]] static double share(const Term& term, const PartAsked& part, std::size_t i) {
        const double asked = part.shares[term.request * part.places.size() + i];
        if (term.var == none)
            return asked;
        const double joint = part.now[i] - (1 - term.by) * part.times[term.request] * asked;
        return term.times > 0 && joint > 0 ? joint / term.times : 0;
    }

    [[nodiscard]] double share_alone(const Term& term) const {
        return term.times > 0 ? term.by * present_[term.var] / term.times : 0;
    }

    /// Of a change of one value only.
    [[nodiscard]] double times_of_one(const Term& term) const {
        return absent_[term.var] + term.by * present_[term.var];
    }

    void place(std::span<const Knob> knobs);
    [[nodiscard]] double ask_alone(Var var, std::span<const PlacedKnob> knobs);
    [[nodiscard]] double ask_part(std::uint32_t part, std::span<const PlacedKnob> knobs);
    [[nodiscard]] std::uint32_t request_given(std::uint32_t part, Var var);
    [[nodiscard]] std::vector<Batch> batches() const;
    [[nodiscard]] bool has_room_for_two(std::span<const Batch> batches) const;
    void answer(std::span<const Batch> batches);
    template <class P>
    void answer_part(std::span<const Batch> batches);
    void settle();

    const Sum& sum_;
    const SumParts& parts_;
    const Whole<double>& now_;
    std::vector<PartAsked> asked_;          // [part]
    std::vector<std::uint32_t> listed_at_;  // [variable] place in `listed` + 1, or 0
    std::vector<double> absent_, present_;  // [variable] its shares of 0 and 1 without a change
    std::vector<Change> changes_;
    std::vector<Term> terms_;
    std::vector<PlacedKnob> placed_;  // room for those of one change
};

}  // namespace knockwell
