// trade/running_amps.cpp
//
// Amps and watts of a running pump as shares of their record, and what such shares go with.
//
// Formula  100*measured/record
// Source   bound pump 3 to 6 times: TM 5-3820-256-24-6 Table 4-1 (US Dept. of the Army, 1989); the
//          other shares common practice, no source; makers' and forum texts disagree about running
//          dry
// Range    the same duty as the record's; single-phase amps change little below half load, watts
//          tell more
// Held by  tests/trade/checks.toml
#include "trade/computations.hpp"

#include <array>

namespace knockwell {
namespace {

Outcome<CalcAnswer> work_running_amps(const CalcValues& values) {
    const auto amps = values.find("measured");
    const auto amps_record = values.find("record");
    const auto watts = values.find("watts");
    const auto watts_record = values.find("record-watts");
    RangeCheck check;
    check.demand(amps.has_value() == amps_record.has_value(),
                 "record: amps and their record go together");
    check.demand(watts.has_value() == watts_record.has_value(),
                 "record-watts: watts and their record go together");
    check.demand(amps.has_value() || watts.has_value(),
                 "measured: neither amps nor watts are given");
    if (!check.fine())
        return check.wrong();
    CalcAnswer answer;
    answer.cautions = {live_work};
    if (amps)
        answer.lines.push_back({"amps", 100 * *amps / *amps_record, "%"});
    if (watts)
        answer.lines.push_back({"watts", 100 * *watts / *watts_record, "%"});
    const auto goes_with = std::to_array<CalcLine>({{"bound pump, from", 300, "%"},
                                                    {"bound pump, to", 600, "%"},
                                                    {"pump without water, near", 65, "%"},
                                                    {"its watts, near", 55, "%"},
                                                    {"against a shut valve, near", 80, "%"},
                                                    {"worn pump, near", 85, "%"},
                                                    {"hole in the drop pipe, near", 105, "%"}});
    answer.lines.insert(answer.lines.end(), goes_with.begin(), goes_with.end());
    answer.remarks = {
        "The shares that it goes with are broad and overlap: 40 to 90 % without "
        "water, 65 to 95 % against a shut valve, 75 to 95 % worn (common practice, no "
        "source)."};
    return answer;
}

}  // namespace

WorkedComputation running_amps_computation() {
    return {
        {"running-amps",
         "amps and watts of a running pump as shares of their record",
         "With the shares that known faults go with.",
         {may_be_left_out("measured", "A", "amps read, the pump running", {0, 1000}),
          may_be_left_out("record", "A", "amps on record at that duty, or service-factor amps",
                          {0.1, 500}),
          may_be_left_out("watts", "W", "watts read", {0, 100000}),
          may_be_left_out("record-watts", "W", "watts on record at that duty", {1, 100000})},
         "--measured 5.2A --record 8A --watts 640W --record-watts 1350W",
         "100*measured/record",
         "bound pump: TM 5-3820-256-24-6 Table 4-1 (US Dept. of the Army, 1989); the rest common "
         "practice, no source",
         "the same duty as the record's"},
        work_running_amps};
}

}  // namespace knockwell
