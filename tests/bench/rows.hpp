// bench/rows.hpp
//
// What a timing is of, as its name carries it, and the rows that the table has.
#pragma once
#include "bench/instances.hpp"

#include <functional>
#include <string>
#include <vector>

namespace knockwell::bench {

inline constexpr std::uint32_t cases_a_row = 5;

/// One line of the table: all five cases of evidence.
struct Row {
    std::string what;  // "posterior, cold"
    InstanceSize size;
    std::size_t k = 0;
    bool contexts_known = true;
    Via via = Via::sure;
    [[nodiscard]] std::string name() const;  // "posterior, cold|L|12|known|sure"
    bool operator<(const Row& other) const { return name() < other.name(); }
};

/// Who did the work.
inline constexpr const char* ours = "ours";
inline constexpr const char* plain = "plain elimination";
inline constexpr const char* library = "dlib";

/// Every row of random networks, in the order of the table.
[[nodiscard]] std::vector<Row> all_rows();

/// Networks are made once.
[[nodiscard]] const Instance& instance_of(const InstanceSize& size);

[[nodiscard]] Found found_of(const Row& row, std::uint32_t which);

/// Calls `add(row, who, case)` names as timings are called: "<row>|<who>|<case>".
[[nodiscard]] std::string timing_name(const std::string& row, const char* who, std::uint32_t which);

void register_ours();
void register_plain();
void register_library();
void register_whole_command();

/// The worst difference from numbers of a hundred digits, as a share of the right value, over S and
/// M at k = 12 and 16.
[[nodiscard]] double worst_error();

/// MiB that posteriors and a ranking take beyond network and evidence: L, k = 20, the most of five
/// cases.
[[nodiscard]] double most_memory();

}  // namespace knockwell::bench
