#include "beliefs/making.hpp"

#include "beliefs/join_rows.hpp"

#include <algorithm>
#include <utility>

namespace knockwell {

// ---------------------------------------------------------------- the room

template <class P>
MakingRoom<P>::MakingRoom(const Folding& of, bool slopes)
    : folding(of), first_slope(slopes ? 0 : of.first_made), numbers(of.end),
      slope(of.end - first_slope), exponent(of.steps.size()), dirty(exponent.size(), 1) {
    lay_out();
    std::size_t most = 0;
    for (const SumVariable& variable : of.given)
        most = std::max(most, room_of(variable.join));
    join.resize(most);
}

template <class P>
bool MakingRoom<P>::is_lone(const Fold& fold) const {
    return first_slope != 0 && fold.combinations == 1 && fold.in.count == 0 &&
           fold.weights.count == 0 && fold.out.count == 1 &&
           !asks(folding.ingredients[fold.out.first]);
}

template <class P>
bool MakingRoom<P>::is_plain(const Fold& fold) const {
    return fold.out.count == 1 && folding.ingredients[fold.out.first].row == nowhere;
}

template <class P>
Slot MakingRoom<P>::made_by(const FoldStep& step) const {
    return step.merge ? folding.merges[step.index].made : folding.folds[step.index].made;
}

template <class P>
void MakingRoom<P>::lay_out() {
    std::size_t end = 0;
    mixed_at.reserve(folding.folds.size());
    for (const Fold& fold : folding.folds) {
        Mixed at;
        if (!is_lone(fold)) {
            const std::size_t n = std::size_t{fold.combinations} * folding.given[fold.var].values;
            at = {end, end + n, end + 2 * n};
            end += 2 * n + (is_plain(fold) ? 0 : n * fold.values);
        }
        mixed_at.push_back(at);
    }
    mixed.resize(end);
}

template struct MakingRoom<double>;
template struct MakingRoom<Pack>;

// ---------------------------------------------------------------- what is made again

template <class P>
Making<P>::Making(const Folding& folding, bool slopes, const Steps<P>& with)
    : room_(folding, slopes), steps_(with) {}

/// Which step each made table goes into, and which variable each given number belongs to: only
/// needed where numbers change.
template <class P>
void Making<P>::find_users() {
    user_.assign(room_.folding.end, nowhere);
    const auto use = [&](const Slice& slice, std::size_t step) {
        for (const Ingredient& it : slice.of(room_.folding.ingredients))
            user_[it.from] = static_cast<std::uint32_t>(step);
    };
    step_of_.assign(room_.folding.given.size(), nowhere);
    for (std::uint32_t i = 0; i < room_.folding.steps.size(); ++i) {
        const FoldStep& step = room_.folding.steps[i];
        if (step.merge) {
            use(room_.folding.merges[step.index].from, i);
            continue;
        }
        const Fold& fold = room_.folding.folds[step.index];
        step_of_[fold.var] = i;
        use(fold.in, i);
        use(fold.weights, i);
        use(fold.out, i);
    }
    owner_.assign(room_.folding.first_made, nowhere);
    for (Var v = 0; v < room_.folding.given.size(); ++v)
        for (std::uint32_t a = 0; a < room_.folding.given[v].values; ++a)
            owner_[room_.folding.given[v].start + a] = owner_[room_.folding.given[v].after + a] = v;
}

template <class P>
void Making<P>::dirty(std::uint32_t step) {
    while (step != nowhere && std::exchange(room_.dirty[step], std::uint8_t{1}) == 0) {
        step = user_[room_.made_by(room_.folding.steps[step])];
    }
}

template <class P>
void Making<P>::changed(Slot number) {
    if (owner_.empty() && room_.folding.first_made > 0)
        find_users();
    const Var owner = owner_[number];
    if (owner == nowhere) {
        all_changed();  // a number of some row: seldom, so it is not looked for
    } else if (step_of_[owner] != nowhere) {
        dirty(step_of_[owner]);
    } else {
        dirty(user_[room_.folding.given[owner].start]);
        dirty(user_[room_.folding.given[owner].after]);
    }
}

template <class P>
void Making<P>::all_changed() {
    std::fill(room_.dirty.begin(), room_.dirty.end(), std::uint8_t{1});
}

template <class P>
Exponent<P> Making<P>::exponent() const {
    Exponent<P> all{};
    for (const Exponent<P>& of : room_.exponent)
        for (std::size_t l = 0; l < lanes_of<P>; ++l)
            all[l] += of[l];
    return all;
}

template <class P>
void Making<P>::want(std::span<const Var> variables) {
    find_users();
    room_.wanted.assign(room_.folding.steps.size(), 0);
    // Whatever a table went into lies before it on the way back.
    for (const Var v : variables)
        for (std::uint32_t i = step_of_[v]; i != nowhere && room_.wanted[i] == 0;
             i = user_[room_.made_by(room_.folding.steps[i])])
            room_.wanted[i] = 1;
}

template <class P>
void Making<P>::clear_slopes() {
    set_to_zero(room_.slope.data(), room_.slope.size());
}

template class Making<double>;
template class Making<Pack>;

}  // namespace knockwell
