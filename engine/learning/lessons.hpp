// learning/lessons.hpp
//
// What closed jobs say, as the learning takes it; jobs that say the same stand together: the same
// findings and causes, and settings that the causes which these speak of do not tell apart.
//
// A call   a job in which somebody reported something. How likely it was is divided by how likely a
//          call was at all at an installation with these settings (a symptom is truly there): who
//          calls has trouble, so the symptom that was reported first is truly there: could wrong
//          reports alone explain calls, numbers under which nobody has any trouble would make them
//          likeliest. A `circumstance` (work done lately) makes nobody call. A visit without a
//          report is left out, since what brought the shop there is not known; a call-back too: it
//          is the trouble of the job that it comes from
// Causes   seen: it was there. fixed-it, guessed: as a report of it that is wrongly given a tenth
//          and half as often as rightly; what nobody looked at stays open. Who names causes at
//          closing names four in five of those that are there: that the others are not named
//          speaks against them, else every cause would be counted where it is named and never
//          where it is not, and all would look common (all of these: judgement, no source)
// Silence  for a cause that the findings of a job do not speak of, that is a lesson by itself, by
//          what is known of the settings that it hangs on: a composite likelihood
// Held by  tests/learning/lessons_test.cpp
#pragma once
#include "beliefs/expected.hpp"
#include "job/job.hpp"
#include "job/summary.hpp"

#include <cstdint>
#include <map>
#include <string>
#include <vector>

namespace knockwell {

/// What was found, and what is said of causes.
struct Testimony {
    Evidence evidence;
    SaidOfCauses said;
};

/// Jobs with the same findings.
struct Lesson {
    Testimony testimony;
    std::vector<std::uint32_t> jobs;  // numbers of LessonBook::ids
};

/// Installations of which the same is known, as far as causes hang on it.
struct Quiet {
    std::map<SettingId, std::size_t> settings;
};

class LessonBook {
public:
    /// `knowledge` must outlive it.
    explicit LessonBook(const Knowledge& knowledge);

    void add(const Job& job);

    [[nodiscard]] const std::vector<Lesson>& lessons() const { return lessons_; }
    [[nodiscard]] const std::vector<Quiet>& quiets() const { return quiets_; }
    /// Of jobs whose findings do not speak of a cause, and whose closing does not name it.
    [[nodiscard]] const std::vector<Testimony>& silences() const { return silences_; }
    /// Every symptom of a trouble truly absent there.
    [[nodiscard]] Evidence evidence_of(const Quiet& quiet) const;
    /// ... wherever that is.
    [[nodiscard]] const Evidence& all_quiet() const { return quiet_; }
    /// Whether some settings are tables, which hang on others.
    [[nodiscard]] bool has_tables() const { return tables_; }
    /// act(number of a silence) for each that a job of a lesson counts in.
    template <class Act>
    void each_silence(std::size_t lesson, std::uint32_t job, Act act) const {
        const Testimony& it = lessons_[lesson].testimony;
        if (!(it.said.unnamed < 1))
            return;
        const std::vector<bool> spoken = spoken_of(it.evidence, it.said);
        const std::vector<std::uint32_t>& all = silences_of_[quiet_of_[job]];
        for (std::size_t c = 0; c < spoken.size(); ++c)
            if (!spoken[c])
                act(all[c]);
    }
    [[nodiscard]] const std::vector<std::string>& ids() const { return ids_; }
    /// [job] number of its installation among quiets().
    [[nodiscard]] const std::vector<std::uint32_t>& quiet_of() const { return quiet_of_; }

    // Jobs that teach nothing, and why.
    std::size_t open = 0;
    std::size_t call_backs = 0;
    std::size_t nothing_reported = 0;
    std::size_t of_lacking_causes = 0;
    std::map<std::string, std::size_t> lacking;  // cause that the knowledge lacks -> jobs naming it

private:
    [[nodiscard]] std::map<SettingId, std::size_t> kept_settings(const Evidence& evidence) const;
    [[nodiscard]] std::vector<bool> spoken_of(const Evidence& evidence,
                                              const SaidOfCauses& said) const;
    void keep_settings_of(const std::vector<bool>& causes, Evidence& evidence) const;
    [[nodiscard]] Testimony testimony_of(Evidence evidence, const Job& job) const;
    void note_silences(std::uint32_t quiet);
    /// Whether a cause is named that the knowledge lacks: of the others it would say that they were
    /// not there.
    [[nodiscard]] bool names_what_is_lacking(const Summary& job);

    const Knowledge* knowledge_;
    std::map<std::string, std::vector<SettingId>> gives_;  // quantity -> settings
    std::vector<std::vector<std::uint32_t>> shown_by_;     // [SignId] causes that show or hide it
    bool tables_ = false;
    Evidence quiet_;
    std::vector<Lesson> lessons_;
    std::vector<Quiet> quiets_;
    std::vector<std::string> ids_;
    std::vector<std::uint32_t> quiet_of_;
    std::map<std::string, std::uint32_t> lesson_at_;
    std::map<std::string, std::uint32_t> quiet_at_;
    std::vector<Testimony> silences_;
    std::map<std::string, std::uint32_t> silence_at_;
    std::vector<std::vector<std::uint32_t>> silences_of_;  // [quiet][CauseId]
};

}  // namespace knockwell
