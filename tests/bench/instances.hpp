// bench/instances.hpp
//
// Random two-level networks of given sizes, and evidence on them, from a fixed seed.
//
// Recipe   2 to 8 causes a finding, strengths 0.2 to 0.95 uniform, leaks 0.001 to 0.03 and base
// rates 0.002 to 0.05 log-uniform; 15 % of the causes are brought on by one or two others, earlier
// causes or contexts (3, 4 or 6 of them, rate 0.1 to 0.5), with 0.02 to 0.4. Evidence: one or two
// true causes; k findings surely present, two of three of them shown by a true cause; 2k surely
// absent, half of them shown by a cause of a present one
#pragma once
#include "beliefs/beliefs.hpp"

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

namespace knockwell::bench {

struct InstanceSize {
    std::string name;
    std::size_t causes = 0, findings = 0, contexts = 0;
};

inline const InstanceSize small{"S", 40, 80, 3};
inline const InstanceSize medium{"M", 150, 300, 4};
inline const InstanceSize large{"L", 600, 4000, 6};

/// The seed that every figure is published with.
inline constexpr std::uint32_t seed = 20261125;

/// Knowledge with its network, which stay where they are.
struct Instance {
    Knowledge knowledge;
    Network network;
    std::vector<std::vector<std::uint32_t>> shown_by;  // [finding] causes
    std::size_t contexts = 0;                          // the first causes are contexts
};

[[nodiscard]] std::unique_ptr<const Instance> make_instance(const InstanceSize& size);

/// Case number `which` with k findings present; contexts known (each as its rate has it) or not.
[[nodiscard]] Evidence make_evidence(const Instance& instance, std::size_t k, std::uint32_t which,
                                     bool contexts_known);

/// A sure look at every finding that is not in the evidence.
[[nodiscard]] std::vector<Look> open_checks(const Instance& instance, const Evidence& evidence);

}  // namespace knockwell::bench
