// trials/play.hpp
//
// One call played to its end by one follower, minute by minute.
//
// A call   a drawn house in which a symptom is truly there and the customer tells of it; of several
//          one, by the dice. What he does not tell is unknown
// Play     a qualified person of the shop is there, with the licences of pump work and all tools
//          and parts. A step costs the minutes of engine/advice/cost.hpp. After each repair the
//          complaint is looked at, with the power back and the minutes of the repair's recheck.
//          Who is told that it is gone, leaves. Who leaves too early comes back: the last resort's
//          minutes. One to whom a cause is handed over mends it, or says that it is not there
// Stops    made safe first, for the same minutes whoever follows what; where nothing lifts it the
//          job is handed over: the last resort's minutes
#pragma once
#include "advice/advice.hpp"
#include "advice/candidate.hpp"
#include "trials/house.hpp"
#include "trials/safety_eye.hpp"

#include <optional>
#include <set>
#include <string>
#include <vector>

namespace knockwell::trials {

// Minutes; judgement.
constexpr double minutes_to_make_safe = 15;
constexpr double minutes_to_see_that_it_is_gone = 2;

struct Call {
    std::uint64_t seed = 0;
    SignId complaint;
    std::size_t says = 0;    // the value that is told
    bool listed = false;     // a listed cause is behind it
    std::size_t causes = 0;  // how many are behind it
};

/// The call of this house, if anybody would call.
[[nodiscard]] std::optional<Call> call_of(const Knowledge& knowledge, const House& house,
                                          std::uint64_t seed);

/// One visit as it stands.
struct Visit {
    const Model* model = nullptr;
    Call call;
    House house;  // for the dice, and for who knows the truth
    Evidence evidence;
    Situation situation;
    std::vector<StopNow> stops;
    std::set<CauseId> seen;              // seen by who knows the truth
    std::vector<double> second_visit{};  // [cause] minutes that mending it takes whoever comes then
};

/// Minutes of the last resort: of the second visit, and of mending what is then behind the
/// complaint.
[[nodiscard]] double minutes_of_second_visit(const Visit& visit);

/// What to do next; nothing: the last resort.
class Follower {
public:
    Follower() = default;
    Follower(const Follower&) = delete;
    Follower& operator=(const Follower&) = delete;
    Follower(Follower&&) = delete;
    Follower& operator=(Follower&&) = delete;
    virtual ~Follower() = default;
    [[nodiscard]] virtual std::string_view name() const = 0;
    /// Whether it knows of stops; who does not is stopped by whoever plays.
    [[nodiscard]] virtual bool minds_stops() const { return false; }
    virtual void start(const Visit& visit) = 0;
    [[nodiscard]] virtual std::optional<Suggestion> next(const Visit& visit) = 0;
    /// Whether the last step was chosen without looking, for want of time to think.
    [[nodiscard]] virtual bool was_cut_short() const { return false; }
};

struct Played {
    double minutes = 0;
    std::size_t looks = 0;
    std::size_t repairs = 0;
    std::size_t cut_short = 0;  // steps chosen for want of time to think
    bool last_resort = false;
    bool called_back = false;
    std::vector<std::string> unsafe;  // rules broken, in words
    std::vector<std::string> diary;   // one line a step
};

/// `settings`: known from the start.
[[nodiscard]] Played play(const Model& model, const SafetyTexts& texts, const House& house,
                          const Call& call, const std::vector<SettingId>& settings,
                          Follower& follower);

/// The step as it would be offered from here, by itself.
[[nodiscard]] Suggestion offered(const Knowledge& knowledge, const Situation& situation,
                                 const Candidate& step);

/// The candidate that a suggestion is of.
[[nodiscard]] Candidate candidate_of(const Knowledge& knowledge, const Suggestion& offer);

/// Causes that a refer takes for who is there.
[[nodiscard]] std::vector<CauseId> taken_by(const Visit& visit, ReferId refer);

}  // namespace knockwell::trials
