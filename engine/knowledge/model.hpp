// knowledge/model.hpp
//
// What a knowledge base says, as values: every definition of docs/knowledge.md with its place in
// the text. Everything refers to everything by id; ids index the vectors of `Knowledge`, which keep
// the order of the text (of several texts, that of what each defines first). A value of this type
// has passed every check of knowledge/check.hpp: references hold, graphs are acyclic, counts are
// counts.
#pragma once
#include "base/count.hpp"
#include "base/ids.hpp"
#include "base/source.hpp"

#include <map>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace knockwell {

enum class Basis { none, practice, published, judgement, ledger };
enum class Skill { owner, helper, qualified };
enum class Licence { electrician, pump_installer, well_contractor, laboratory };
enum class Hazard { live, pressure, below_grade, lifting, chemical };

/// What every definition has.
struct Head {
    std::string id;
    std::string title;
    std::string note;
    Basis basis = Basis::none;
    std::string source;
    std::map<std::string, std::string> accept;  // warning code -> reason
    Span span;                                  // of the identifier in [kind.identifier]
    bool operator==(const Head&) const = default;
};

/// A count at its place in the text.
struct Strength {
    Count count;
    Span span;
    bool operator==(const Strength&) const = default;
};

/// A base rate or a multiplier, known to a factor: log-normal with median `value`, two standard
/// deviations = ln(factor). Factor 1 = exact.
struct Factor {
    double value = 1;
    double give_or_take = 1;
    bool operator==(const Factor&) const = default;
};

/// One setting (or table) is in one of these states.
struct Condition {
    SettingId setting;
    std::vector<std::size_t> states;  // ascending, not empty
    bool operator==(const Condition&) const = default;
};
using Conditions = std::vector<Condition>;  // all must hold; empty = always

/// From `least` to `most`, both allowed.
struct Bounds {
    double least = 0;
    double most = 0;
    bool operator==(const Bounds&) const = default;
};

/// A setting, or a plain table (then `rows` is not empty and `prior` is).
/// parents: earlier settings/tables or causes (states no, yes). rows: [combination of parents,
/// first slowest][state].
struct Setting {
    Head head;
    std::string ask;
    std::vector<std::string> states;
    std::vector<Strength> prior;  // one for each state; their means sum to 1 after normalising
    std::string unit;             // numeric settings, and of `gives`
    std::vector<double> starts;   // numeric settings: ascending, one for each state
    std::vector<std::map<std::string, double>>
        gives;  // empty, or one for each state: quantity -> number in `unit`
    std::map<std::string, Bounds> range;  // quantity -> what it can be where it is set directly
    std::vector<std::vector<std::string>>
        also;  // empty, or for each state what a customer calls it
    bool table = false;
    std::vector<std::variant<SettingId, CauseId>> parents;  // tables only
    std::vector<std::vector<double>> rows;                  // tables only
    bool passing = false;  // of the days of the call, and not of the house
    double minutes = 1;
    Skill skill = Skill::owner;
    AccessId at;
    std::vector<CautionId> cautions;
    bool operator==(const Setting&) const = default;
};

struct RaisedBy {
    Conditions when;
    Factor times;
    Span span;
    bool operator==(const RaisedBy&) const = default;
};

/// How one cause shows in one sign: the chance of each level. A flag has the one level "yes" on the
/// high side.
struct Shows {
    SignId sign;
    std::vector<Strength>
        low;  // one for each level of Sign::low, outward from normal; empty = never
    std::vector<Strength>
        high;  // of Sign::high. A flag, one-sided levels and kinds use `high` only
    Span span;
    bool operator==(const Shows&) const = default;
};

struct CauseStrength {
    CauseId cause;
    Strength strength;
    bool operator==(const CauseStrength&) const = default;
};
struct SignStrength {
    SignId sign;
    Strength strength;
    bool operator==(const SignStrength&) const = default;
};

struct Cause {
    Head head;
    std::string part;                    // the subsystem
    Strength present;                    // base rate as written
    std::optional<double> give_or_take;  // empty: the count itself says how well
    Conditions only_if;
    std::vector<RaisedBy> raised_by;
    std::vector<CauseStrength> brought_on_by;
    std::vector<SignStrength> masks;
    std::optional<Strength> comes_and_goes;  // chance that it acts during a visit
    ReferId refer;
    std::vector<Shows> shows;
    bool operator==(const Cause&) const = default;
};

/// How a report of a sign can be wrong; where each number stands that it takes (nowhere: it is not
/// written).
struct Channel {
    Count misses;
    Count false_alarm;
    Span misses_at{};
    Span false_alarm_at{};
    /// Wherever they are written.
    bool operator==(const Channel& other) const {
        return misses == other.misses && false_alarm == other.false_alarm;
    }
};

enum class SignForm { flag, levels, kinds };

/// number, or of * times + plus
struct Edge {
    std::string quantity;  // empty: `plus` is the number
    double times = 1;
    double plus = 0;
    Span span;
    bool operator==(const Edge&) const = default;
};

/// An input of a computation that is not typed where a setting's quantity is known.
struct TakenInput {
    std::string input;
    std::string quantity;
    bool operator==(const TakenInput&) const = default;
};

/// A reading that a computation of the trade (trade/calc.hpp) works out from what is typed.
struct WorkedOut {
    std::string by;    // name of the computation
    std::string line;  // label of the line of its answer that is the reading
    std::vector<TakenInput> takes;
    bool operator==(const WorkedOut&) const = default;
};

struct Reading {
    std::string unit;
    double within = 0;      // two standard deviations, in unit
    std::vector<Edge> low;  // by level of Sign::low: where it begins, going outward
    std::vector<Edge> high;
    std::optional<WorkedOut> worked;  // besides a plain number
    bool operator==(const Reading&) const = default;
};

/// What another sign settles, and by which of that one's values.
struct Moot {
    SignId sign;
    std::vector<std::size_t> by;  // as Sign::value_name numbers them; ascending
    bool operator==(const Moot&) const = default;
};

/// A symptom or an observation.
struct Sign {
    Head head;
    bool symptom = false;
    std::string ask;
    std::vector<std::string> also;
    SignForm form = SignForm::flag;
    std::string normal;            // name of the absent value: "no" for flags and kinds
    std::vector<std::string> low;  // outward from normal
    std::vector<std::string>
        high;  // outward from normal; a flag has {"yes"}; kinds stand here in written order
    std::vector<Strength> seen_low;  // leak by level; empty = never
    std::vector<Strength> seen_high;
    std::optional<Channel> phone_report;
    std::map<std::string, std::string> during;
    std::optional<Reading> reading;
    bool steady = false;
    std::vector<std::size_t>
        pump_stays_off;                 // values that say that the pump does not run, ascending
    std::vector<std::size_t> no_power;  // ... and those that say that no power gets to it
    bool circumstance = false;          // what was before the trouble, not what it shows
    std::vector<Moot> leaves_moot;      // these need not be asked or looked for
    // A flag that nobody needs to find who has stated as much of where one stands.
    bool stated_by_power_off = false;
    bool stated_by_pressure_zero = false;

    /// Values are 0 = normal, 1..high.size() = high side outward, then high.size()+1.. = low side
    /// outward.
    [[nodiscard]] std::size_t value_count() const { return 1 + high.size() + low.size(); }
    [[nodiscard]] const std::string& value_name(std::size_t value) const {
        if (value == 0)
            return normal;
        return value <= high.size() ? high[value - 1] : low[value - 1 - high.size()];
    }
    bool operator==(const Sign&) const = default;
};

struct Access {
    Head head;
    double minutes = 0;    // to get there and to leave it again
    std::string put_back;  // what is done there before power or water comes back; may be empty
    double put_back_minutes = 0;
    AccessId via;
    bool power_off = false;      // is opened only dead
    bool pressure_zero = false;  // is opened only with pressure proved zero
    Skill skill = Skill::owner;
    std::vector<Hazard> hazards;
    std::vector<CautionId> cautions;
    bool operator==(const Access&) const = default;
};

struct Caution {
    Head head;  // title = id
    std::string text;
    std::vector<Hazard> covers;
    bool operator==(const Caution&) const = default;
};

enum class Power { any, on, off };
enum class Pressure { any, zero, up };

struct Needs {
    Power power = Power::any;
    Pressure pressure = Pressure::any;
    bool tank_drained = false;
    std::string pump;  // "", "running", "called", "idle"
    Skill skill = Skill::qualified;
    std::vector<Licence> licence;
    bool operator==(const Needs&) const = default;
};

/// What tests and repairs share: a step that somebody takes somewhere.
struct Step {
    Head head;
    std::string how;
    double minutes = 0;
    AccessId at;
    Needs needs;
    std::string set_dead;  // of a test that wants power: what is set while all is dead; or empty
    std::vector<std::string> tools;
    std::vector<Hazard> hazards;  // of the step itself; those of its accesses come on top
    std::vector<CautionId> cautions;
    Conditions only_if;
    std::vector<SignId> measured_first;  // looked at before, where a look can be made
    bool operator==(const Step&) const = default;
};

/// Signs and plain tables are both things that can be found.
using Findable = std::variant<SignId, SettingId>;

struct Test {
    Step step;
    std::vector<Findable> reveals;
    std::optional<Channel> channel;  // empty: the manifest's `looked`
    std::optional<double> within;    // for readings
    bool operator==(const Test&) const = default;
};

struct PartUse {
    PartId part;
    double pieces = 1;
    bool operator==(const PartUse&) const = default;
};

/// A sign found with one of some values.
struct SignAmong {
    SignId sign;
    std::vector<std::size_t> values;  // as Sign::value_name numbers them; ascending
    bool operator==(const SignAmong&) const = default;
};

struct Repair {
    Step step;
    std::vector<CauseStrength> fixes;
    std::vector<PartUse> parts;
    std::vector<TestId> recheck;
    std::vector<CauseStrength> may_bring;
    bool resets = false;                // puts back what tripped, and mends nothing
    bool power_after = false;           // it ends with the power back on
    std::vector<SignAmong> tried_when;  // any one says that somebody made it already, in vain
    bool operator==(const Repair&) const = default;
};

struct Refer {
    Head head;
    Licence to = Licence::electrician;
    std::vector<CauseId> takes;
    std::string why;
    double minutes = 0;
    double in_vain = 0;  // minutes more where it was none of what it takes
    Conditions only_if;
    std::vector<SignId> measured_first;  // as of a Step
    bool operator==(const Refer&) const = default;
};

struct Part {
    Head head;
    std::optional<double> price;
    bool operator==(const Part&) const = default;
};

struct Stop {
    Head head;
    std::vector<SignAmong> when;  // all must hold
    std::string do_now;
    std::optional<Strength> likely;
    bool blocks_all = true;
    std::vector<Hazard> blocks;
    bool pump_off = false;            // the pump is neither run nor called for
    bool by_drinking = false;         // harms who drinks the water, not who stands there
    std::vector<SignId> cleared_by;   // flags, any one of which lifts it when found `yes`
    std::vector<RepairId> mended_by;  // any one of which takes the danger away
    std::vector<CautionId> cautions;
    bool operator==(const Stop&) const = default;
};

/// Text of a finding in a practice case, kept as written: it goes through the same reader as the
/// command line.
struct WrittenFinding {
    std::string what;   // sign, table or setting
    std::string value;  // "yes", "12 psi", "yes@look-at-contacts"
    Span span;
    bool operator==(const WrittenFinding&) const = default;
};
struct WrittenWeights {
    std::string what;
    std::map<std::string, double> weights;  // state or level -> weight >= 0
    Span span;
    bool operator==(const WrittenWeights&) const = default;
};
struct PracticeStage {
    RepairId did;
    std::vector<WrittenFinding> says, found;
    bool operator==(const PracticeStage&) const = default;
};
struct Expectation {
    std::string what;  // "cause", "table=state", "sign=level"
    double probability = 0;
    Span span;
    bool operator==(const Expectation&) const = default;
};
struct Practice {
    Head head;
    std::vector<WrittenFinding> set, says, found;
    std::vector<WrittenWeights> weighs;
    std::vector<PracticeStage> after;
    CauseId first;
    std::vector<CauseId> both;
    CauseId tempting;
    StopId stop;
    std::vector<std::string> next;  // ids of tests, repairs, refers, settings or signs to ask
    std::vector<Expectation> gives;
    std::optional<double> evidence;
    double within = 1e-9;
    bool operator==(const Practice&) const = default;
};

struct Manifest {
    std::string name;
    std::string version;
    Basis basis = Basis::none;  // of every definition that says none itself
    std::map<std::string, Count> words;
    Channel told;    // a customer's word
    Channel looked;  // an untested look
    bool operator==(const Manifest&) const = default;
};

struct Knowledge {
    Manifest manifest;
    std::vector<Setting> settings;  // settings and tables; a table stands after its parents
    std::vector<Cause> causes;      // in the order of the text
    std::vector<Sign> signs;
    std::vector<Access> accesses;
    std::vector<Caution> cautions;
    std::vector<Test> tests;
    std::vector<Repair> repairs;
    std::vector<Refer> refers;
    std::vector<Part> parts;
    std::vector<Stop> stops;
    std::vector<Practice> practice;
    bool operator==(const Knowledge&) const = default;

    // clang-format off
    [[nodiscard]] const Setting& operator[](SettingId id) const { return settings[id.index()]; }
    [[nodiscard]] const Cause&   operator[](CauseId id)   const { return causes[id.index()]; }
    [[nodiscard]] const Sign&    operator[](SignId id)    const { return signs[id.index()]; }
    [[nodiscard]] const Access&  operator[](AccessId id)  const { return accesses[id.index()]; }
    [[nodiscard]] const Caution& operator[](CautionId id) const { return cautions[id.index()]; }
    [[nodiscard]] const Test&    operator[](TestId id)    const { return tests[id.index()]; }
    [[nodiscard]] const Repair&  operator[](RepairId id)  const { return repairs[id.index()]; }
    [[nodiscard]] const Refer&   operator[](ReferId id)   const { return refers[id.index()]; }
    [[nodiscard]] const Part&    operator[](PartId id)    const { return parts[id.index()]; }
    [[nodiscard]] const Stop&    operator[](StopId id)    const { return stops[id.index()]; }
    // clang-format on
};

// Lookup by identifier; an invalid id where there is none.
[[nodiscard]] SettingId setting_named(const Knowledge& knowledge, std::string_view id);
[[nodiscard]] CauseId cause_named(const Knowledge& knowledge, std::string_view id);
[[nodiscard]] SignId sign_named(const Knowledge& knowledge, std::string_view id);
[[nodiscard]] TestId test_named(const Knowledge& knowledge, std::string_view id);
[[nodiscard]] RepairId repair_named(const Knowledge& knowledge, std::string_view id);
[[nodiscard]] ReferId refer_named(const Knowledge& knowledge, std::string_view id);
[[nodiscard]] AccessId access_named(const Knowledge& knowledge, std::string_view id);

/// Words as a person reads them.
[[nodiscard]] std::string_view to_text(Skill skill);
[[nodiscard]] std::string_view to_text(Licence licence);
[[nodiscard]] std::string_view to_text(Hazard hazard);
[[nodiscard]] std::string_view to_text(Basis basis);

/// An edge of a reading, and the level that begins there.
struct NamedEdge {
    const Edge* edge = nullptr;
    std::string level;
};

/// Of a sign with a reading, from the lowest to the highest. They live no longer than the sign.
[[nodiscard]] std::vector<NamedEdge> rising_edges(const Sign& sign);

/// Hazards of a step with those of every access on the way to it; ascending, no doubles.
[[nodiscard]] std::vector<Hazard> hazards_of(const Knowledge& knowledge, const Step& step);

/// Cautions of a step, in the order in which they are met: the way there first, then the step; no
/// doubles.
[[nodiscard]] std::vector<CautionId> cautions_of(const Knowledge& knowledge, const Step& step);

/// Every tool that a test or a repair names, each once, in the order of the alphabet.
[[nodiscard]] std::vector<std::string> all_tools(const Knowledge& knowledge);

/// The accesses from outside to `at`, outermost first.
[[nodiscard]] std::vector<AccessId> way_to(const Knowledge& knowledge, AccessId at);

}  // namespace knockwell
