// beliefs/steps.hpp
//
// The operations of the frontier on its tables, for one number and for eight at once: compiled for
// each set of vector instructions that the machine may have, and chosen when the program runs.
//
// Held by  tests/laws/ (every answer), tests/beliefs/steps_test.cpp (all sets of instructions
//          agree)
#pragma once
#include "beliefs/plan.hpp"

#include <string>
#include <vector>

namespace knockwell {

/// Of a folding (beliefs/making.hpp).
template <class P>
struct MakingRoom;

/// Tables are places of op.size entries (close, unclose: before the digit is summed out). `slope`
/// is nullptr where nobody asks how the sum depends on the numbers, `share` where nobody asks for
/// the shares; `scratch` holds 2 * op.values and room_of(op.join).
template <class P>
struct Steps {
    void (*open)(const Operation& op, const P* start, const P* from, P* to);
    /// From one table to the next, or within one.
    void (*link)(const Plan& plan, const Operation& op, const P* rows, const P* from, P* to,
                 P* scratch);
    void (*weigh)(const Plan& plan, const Operation& op, const P* weights, const P* from, P* to);
    /// most[0]: the largest entry written, lane by lane.
    void (*close)(const Operation& op, const P* after, const P* from, P* to, P* most);

    /// Writes the table that `here` and `other` become; `scratch` holds
    /// 2 * plan.most_chances.
    void (*meet)(const Plan& plan, const Operation& op, const P* here, const P* other, P* to,
                 P* scratch);

    void (*unopen)(const Operation& op, const P* start, const P* from, P* back, P* slope);
    void (*unlink)(const Plan& plan, const Operation& op, const P* rows, const P* table, P* back,
                   P* scratch, P* slope);
    void (*unweigh)(const Plan& plan, const Operation& op, const P* weights, const P* table,
                    P* back, P* slope);
    void (*unclose)(const Operation& op, const P* after, const P* from, const P* back, P* wider,
                    P* share, P* slope, P* most);

    /// From the derivative by the table after the meeting those by both before it; `scratch` holds
    /// 3 * plan.most_chances.
    void (*unmeet)(const Plan& plan, const Operation& op, const P* here, const P* other,
                   const P* back, P* back_here, P* back_other, P* scratch);

    /// Makes what is dirty in the room, and takes the slopes of all that was made and is wanted
    /// down to the shares.
    void (*make)(MakingRoom<P>& room);
    void (*unmake)(MakingRoom<P>& room, P* shares, const std::uint32_t* share_at);

    /// Lane by lane.
    void (*largest)(const P* begin, const P* end, P* most);

    /// Each p becomes the entropy in bits of a chance p; 0 outside of 0..1.
    void (*entropies)(double* p, std::size_t count);

    /// The sum of the entropies of x * a[i] + y * b[i].
    double (*mixed_entropy)(double x, const double* a, double y, const double* b,
                            std::size_t count);
};

/// For the machine that the program runs on.
template <class P>
[[nodiscard]] const Steps<P>& steps();

/// Those of every set of instructions that this machine can run, with its name: for tests and
/// benchmarks.
struct NamedSteps {
    std::string instructions;
    const Steps<Pack>* steps = nullptr;
};
[[nodiscard]] std::vector<NamedSteps> all_steps();

}  // namespace knockwell
