// trials/safety_eye.hpp
//
// A second pair of eyes: reads the TOML by itself, keeps its own record of what is off, drained and
// open, and says which safety rule a step that was offered breaks. It shares nothing with the
// engine: not its reader, not its rules, not its arithmetic of preparations.
//
// Rules    docs/advice.md, "Hard rules"; 29 CFR 1910.147(d)(5), 1910.333(a)(1) and (b); the rest
//          common practice, no source
// Held by  tests/trials/safety_eye_test.cpp: each rule broken on purpose
#pragma once
#include <filesystem>
#include <map>
#include <memory>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace knockwell::trials {

/// A preparation as a person reads it.
struct ToldFirst {
    std::string says;
    std::vector<std::string> cautions;
};

/// A step as a person reads it.
struct Offer {
    std::string kind;  // test, question, setting, repair, refer
    std::string id;
    std::vector<ToldFirst> first;
    std::vector<std::string> cautions;
};

struct Hands {
    std::string skill = "owner";
    std::vector<std::string> licences;
    bool on_site = false;
};

/// The safety of a knowledge base, from its texts.
class SafetyTexts {
public:
    /// The *.toml of a folder. Throws where a text is no TOML.
    static SafetyTexts of_folder(const std::filesystem::path& folder);
    static SafetyTexts of_text(std::string_view toml);

    struct Place {
        std::string title, via, skill;
        bool dead = false, zero = false;
        std::string put_back;
        std::set<std::string> hazards;
        std::vector<std::string> cautions;
    };
    struct Deed {
        std::string at, power, pressure, pump, skill;
        bool drained = false;
        std::string set_dead;
        std::set<std::string> hazards, licences;
        std::vector<std::string> cautions;
    };
    struct Danger {
        std::map<std::string, std::set<std::string>> when;  // sign -> values
        bool blocks_all = true;
        std::set<std::string> blocks, cleared_by, mended_by;
    };
    std::map<std::string, Place> places;
    std::map<std::string, Deed> deeds;                    // "test:read-gauge"
    std::map<std::string, std::set<std::string>> covers;  // caution -> hazards
    std::map<std::string, Danger> dangers;

private:
    void add(std::string_view toml, std::string_view name);
};

/// One visit, watched.
class SafetyEye {
public:
    SafetyEye(const SafetyTexts& texts, Hands hands) : texts_(&texts), hands_(std::move(hands)) {}

    /// Something was found; `value` by its name ("yes", "dangerous").
    void found(const std::string& sign, const std::string& value);

    /// A sign that lifts stops was found.
    void cleared(const std::string& sign) { cleared_.insert(sign); }

    /// The step is offered and then done: the rules that it breaks, in words; none: safe.
    [[nodiscard]] std::vector<std::string> watch(const Offer& offer);

    /// One preparation by itself, made when a repair is looked at.
    [[nodiscard]] std::vector<std::string> prepared(const ToldFirst& told);

private:
    void prepare(const Offer& offer, const ToldFirst& told);
    void reach(const std::string& id, const Offer& offer);
    void hold_against_stops(const Offer& offer, const std::set<std::string>& hazards);
    void hold_against_hands(const SafetyTexts::Deed& deed, const std::set<std::string>& hazards);
    void hold_against_state(const Offer& offer, const SafetyTexts::Deed& deed,
                            const std::set<std::string>& hazards);
    void hold_against_cautions(const Offer& offer, const SafetyTexts::Deed& deed,
                               const std::set<std::string>& hazards);
    [[nodiscard]] std::vector<std::string> way(const std::string& at) const;
    // A cover that was opened dead, or what is to be put back, and is not on the way there.
    [[nodiscard]] bool is_left_uncovered(const std::string& id, const std::string& at) const;
    // Any such that is open.
    [[nodiscard]] bool uncovered(const std::string& at) const;
    void must(bool holds, std::string_view rule);

    const SafetyTexts* texts_;
    Hands hands_;
    bool off_ = false;       // locked and proved dead
    bool set_dead_ = false;  // what this step sets on dead parts is set
    bool breaker_ = false;   // switched off by hand for this step alone
    bool zero_ = false;
    bool drained_ = false;
    std::set<std::string> open_;
    std::map<std::string, std::set<std::string>> found_;
    std::map<std::string, std::map<std::string, std::set<std::string>>> mended_;
    std::set<std::string> cleared_;
    std::set<std::string> repaired_;
    std::vector<std::string> broken_;
};

}  // namespace knockwell::trials
