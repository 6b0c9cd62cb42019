#include "knowledge/check.hpp"

#include <optional>

namespace knockwell {
namespace {

// The beliefs go through every case of the settings that a cause or a reading hangs on, and keep a
// row for each: so many of one definition, and so many rows of all together.
constexpr std::size_t most_cases = std::size_t{1} << 16;
constexpr std::size_t most_rows = std::size_t{1} << 18;

using Settings = std::set<std::size_t>;

void add_settings(const Conditions& conditions, Settings& into) {
    for (const Condition& condition : conditions)
        into.insert(condition.setting.index());
}

Settings settings_of(const Cause& cause) {
    Settings settings;
    add_settings(cause.only_if, settings);
    for (const RaisedBy& raised : cause.raised_by)
        add_settings(raised.when, settings);
    return settings;
}

Settings settings_of(const ReadRun& run, const Reading& reading) {
    Settings settings;
    for (const std::vector<Edge>* edges : {&reading.low, &reading.high})
        for (const Edge& edge : *edges)
            if (const auto given = run.quantities.find(edge.quantity);
                given != run.quantities.end())
                settings.insert(given->second.setting.index());
    return settings;
}

/// How many cases there are; nothing beyond `most_cases`, where the product may fit into no number.
std::optional<std::size_t> cases_of(const ReadRun& run, const Settings& settings) {
    std::size_t cases = 1;
    for (const std::size_t s : settings) {
        if (run.shapeless.contains({Kind::setting, s}))
            continue;
        cases *= run.knowledge.settings[s].states.size();
        if (cases > most_cases)
            return std::nullopt;
    }
    return cases;
}

class CaseCount {
public:
    explicit CaseCount(ReadRun& run) : run_(run) {}

    /// Each case takes `rows_each` rows.
    void add(std::string_view word, const Head& head, const Settings& settings,
             std::size_t rows_each) {
        const std::optional<std::size_t> cases = cases_of(run_, settings);
        if (!cases)
            return report_one(called(word, head.id), head, settings);
        const bool fitted = rows_ <= most_rows;
        if (!settings.empty())
            rows_ += *cases * rows_each;
        if (fitted && rows_ > most_rows)
            report_all(called(word, head.id), head);
    }

private:
    void report_one(const std::string& who, const Head& head, const Settings& settings) {
        std::vector<std::string> hung_on;
        for (const std::size_t s : settings) {
            const Setting& setting = run_.knowledge.settings[s];
            hung_on.push_back("'" + setting.head.id + "' (" +
                              std::to_string(setting.states.size()) + " choices)");
        }
        run_.error("too-many-cases", head.span,
                   who + " hangs on over " + std::to_string(most_cases) + " cases of its settings",
                   "let it hang on fewer settings: it has " + some_of(hung_on));
    }

    void report_all(const std::string& who, const Head& head) {
        run_.error("too-many-cases", head.span,
                   "with " + who + " causes and readings have over " + std::to_string(most_rows) +
                       " rows for the cases of their settings",
                   "let those with the most cases hang on fewer settings");
    }

    ReadRun& run_;
    std::size_t rows_ = 0;
};

}  // namespace

void check_cases(ReadRun& run) {
    CaseCount count(run);
    for (std::size_t i = 0; i < run.knowledge.causes.size(); ++i) {
        const Cause& cause = run.knowledge.causes[i];
        if (!run.broken.contains({Kind::cause, i}))
            count.add("cause", cause.head, settings_of(cause), 1 + cause.brought_on_by.size());
    }
    for (std::size_t i = 0; i < run.knowledge.signs.size(); ++i) {
        const Sign& sign = run.knowledge.signs[i];
        if (sign.reading && !run.broken.contains({Kind::sign, i}))
            count.add(sign.symptom ? "symptom" : "observation", sign.head,
                      settings_of(run, *sign.reading), sign.value_count() * sign.value_count());
    }
}

}  // namespace knockwell
