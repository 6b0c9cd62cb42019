// beliefs/evidence.hpp
//
// What is known on a job, as the beliefs take it. A repair ends a stage; what is found afterwards
// belongs to the next one.
#pragma once
#include "knowledge/model.hpp"

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace knockwell {

/// Who vouches for a finding, which gives its misses and false alarms.
enum class Via {
    told,    // a customer's word: the sign's phone_report, else reports.told
    looked,  // an untested look: reports.looked
    test,    // the channel of Finding::test
    sure,    // no channel: the value is certain (settings, tables, practice cases of published
             // networks)
};

/// One sign or table with what was found. Exactly one of value, reading, weights says it.
struct Finding {
    Findable what;
    std::optional<std::size_t> value;  // Sign::value_name, or the state of a table
    std::optional<double> reading;     // in the sign's unit
    std::vector<double>
        weights;  // uncertain evidence: a weight >= 0 for each value, multiplied into the joint
    Via via = Via::looked;
    TestId test;
    std::size_t stage = 0;
    bool operator==(const Finding&) const = default;
};

/// A cause that was seen, or excluded for certain, in a stage.
struct KnownCause {
    CauseId cause;
    bool present = true;
    std::size_t stage = 0;
    bool operator==(const KnownCause&) const = default;
};

struct Evidence {
    std::map<SettingId, std::size_t> settings;  // known choices
    std::map<std::string, double>
        quantities;  // set directly: cut-in -> 38 (in the unit of the setting that gives it)
    std::vector<Finding> findings;
    std::vector<KnownCause> causes;
    std::vector<RepairId> repairs;  // repairs[i] ended stage i
    [[nodiscard]] std::size_t stages() const { return repairs.size() + 1; }
    /// That stage; the last one where there are not so many.
    [[nodiscard]] std::size_t stage_within(std::size_t stage) const {
        return stage < repairs.size() ? stage : repairs.size();
    }
    bool operator==(const Evidence&) const = default;
};

/// Whether it tells what was before the trouble (`circumstance` of a symptom), which asks for no
/// cause: it makes some likelier, and is itself nothing to be explained or mended.
[[nodiscard]] bool is_circumstance(const Knowledge& knowledge, const Finding& finding);

/// Adds a finding: the same test (or the same untested way) of the same sign in the same stage
/// replaces its earlier finding, others stay.
void add(Evidence& evidence, Finding finding);

}  // namespace knockwell
