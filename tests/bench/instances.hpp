// bench/instances.hpp
//
// Random two-level networks of given sizes, and evidence on them, from a fixed seed. Their numbers
// are given plainly too, for references that do not read knowledge.
//
// Recipe   2 to 8 causes a finding, strengths 0.2 to 0.95 uniform, leaks 0.001 to 0.03 and base
//          rates 0.002 to 0.05 log-uniform; 15 % of the causes are brought on by one or two others
//          with 0.02 to 0.4, each with even odds a context (3, 4 or 6 of them, rate 0.1 to 0.5) or
//          an earlier cause. Heavy (Q): the causes of a finding are log-normal, mean 10, at most 60
// Evidence one or two causes are true; contexts, other causes and findings are drawn from the model
//          given that. Of the findings that came out present k are found, two of three of them
//          shown by a true cause; of those that came out absent 2k, half of them shown by a cause
//          of a present one. Worlds are drawn until one has enough present findings of both sorts;
//          if a thousand have not, findings of the last one are taken as they come. Contexts, where
//          they are known, are those of the world
#pragma once
#include "beliefs/beliefs.hpp"

#include <cstdint>
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace knockwell::bench {

struct InstanceSize {
    std::string name;
    std::size_t causes = 0, findings = 0, contexts = 0;
    bool heavy = false;
};

inline const InstanceSize small{"S", 40, 80, 3};
inline const InstanceSize medium{"M", 150, 300, 4};
inline const InstanceSize large{"L", 600, 4000, 6};
inline const InstanceSize stress{"Q", 600, 4000, 6, true};

/// The seed that every figure is published with.
inline constexpr std::uint32_t seed = 20261125;

/// The network as its numbers. The first causes are the contexts; a cause is brought on by earlier
/// ones only.
struct TwoLevel {
    struct Link {
        std::uint32_t cause = 0;
        double strength = 0;
    };
    struct Cause {
        double present = 0;
        std::vector<Link> brought_on_by;
    };
    struct Shown {
        double leak = 0;
        std::vector<Link> by;
    };
    std::vector<Cause> causes;
    std::vector<Shown> findings;
    std::size_t contexts = 0;
};

/// What was found: indices of findings, and each known context with what it is.
struct Found {
    std::vector<std::uint32_t> present, absent;
    std::vector<std::pair<std::uint32_t, bool>> contexts;
};

/// How each finding came to be known.
struct Report {
    double misses = 0, false_alarm = 0;
};
inline constexpr Report sure_report{};
/// A look of the instances' knowledge: reports.looked.
inline constexpr Report looked_report{0.05, 0.02};

/// Knowledge with its network, which stay where they are.
struct Instance {
    TwoLevel plain;
    Knowledge knowledge;
    Network network;
};

[[nodiscard]] TwoLevel make_two_level(const InstanceSize& size);
[[nodiscard]] std::string toml_of(const TwoLevel& net);
[[nodiscard]] std::unique_ptr<const Instance> make_instance(const InstanceSize& size);

/// Case number `which` with k findings present; with the contexts known or not.
[[nodiscard]] Found make_found(const TwoLevel& net, std::size_t k, std::uint32_t which,
                               bool contexts_known);

/// The same for the beliefs: each finding sure, or by a look with misses and false alarms.
[[nodiscard]] Evidence evidence_of(const Found& found, Via via = Via::sure);

/// A look at every finding that is not in the evidence.
[[nodiscard]] std::vector<Look> open_checks(const TwoLevel& net, const Found& found,
                                            Via via = Via::sure);

}  // namespace knockwell::bench
