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
        double times = 1;
    };
    struct LocalKnob {
        Slot number = 0;
        double times = 1;
        bool operator==(const LocalKnob&) const = default;
    };
    struct Listed {
        std::uint32_t place = 0;  // in `listed`
        Var var = 0;              // in its part
        double now = 0;
    };
    struct Request {
        Slice knobs;
    };
    struct PartAsked {
        std::vector<Request> requests;
        std::vector<LocalKnob> knobs;
        std::vector<std::uint32_t> given;  // [variable of the part] request that it is 1; none
        std::vector<Listed> listed;
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
                act(term.request - 1,
                    term.times > 0 ? term.by * now_.share(term.var, 1) / term.times : 0);
            return;
        }
        const PartAsked& part = asked_[term.part];
        const double* shares = part.shares.data() + term.request * part.listed.size();
        if (term.var == none) {
            for (std::size_t i = 0; i < part.listed.size(); ++i)
                act(part.listed[i].place, shares[i]);
            return;
        }
        const double loss = (1 - term.by) * part.times[term.request];
        for (std::size_t i = 0; i < part.listed.size(); ++i) {
            const double joint = part.listed[i].now - loss * shares[i];
            act(part.listed[i].place, term.times > 0 && joint > 0 ? joint / term.times : 0);
        }
    }

    void ask_alone(Var var, std::span<const Knob> knobs);
    void ask_part(std::uint32_t part, std::span<const Knob> knobs);
    [[nodiscard]] std::uint32_t request_given(std::uint32_t part, Var var);
    [[nodiscard]] std::vector<Batch> batches() const;
    void answer(std::span<const Batch> batches);
    template <class P>
    void answer_part(std::span<const Batch> batches);
    void settle();

    const Sum& sum_;
    const SumParts& parts_;
    const Whole<double>& now_;
    std::vector<PartAsked> asked_;          // [part]
    std::vector<std::uint32_t> listed_at_;  // [variable] place in `listed` + 1, or 0
    std::vector<Change> changes_;
    std::vector<Term> terms_;
    std::vector<Knob> knobs_;  // room for those of one change
};

}  // namespace knockwell
