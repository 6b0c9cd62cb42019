#include "trials/printed_chart.hpp"

#include "advice/looks.hpp"
#include "advice/rules.hpp"

#include <toml++/toml.h>

#include <algorithm>
#include <optional>
#include <set>
#include <stdexcept>
#include <string>
#include <vector>

namespace knockwell::trials {
namespace {

struct PrintedLine {
    std::set<SignId> complaints;
    std::optional<TestId> check;
    SignId sign;
    std::set<std::size_t> bad;
    std::vector<Candidate> mends;
};

// Reads the chart with the identifiers of the knowledge.
class ChartReader {
public:
    explicit ChartReader(const Knowledge& knowledge) : knowledge_(&knowledge) {}

    std::vector<PrintedLine> read(const std::filesystem::path& file) const {
        const toml::table all = toml::parse_file(file.string());
        std::vector<PrintedLine> lines;
        for (const toml::node& node : *all["line"].as_array())
            lines.push_back(line(*node.as_table()));
        return lines;
    }

private:
    PrintedLine line(const toml::table& it) const {
        PrintedLine line;
        for (const std::string& id : words(it["complaints"]))
            line.complaints.insert(sign(id));
        for (const std::string& key : words(it["mend"]))
            line.mends.push_back(mend(key));
        const auto check = it["check"].value<std::string>();
        if (!check)
            return line;
        line.check = named<TestId>(knowledge_->tests, *check,
                                   [](const Test& test) { return test.step.head.id; });
        line.sign = sign(it["sign"].value_or(std::string()));
        for (const std::string& word : words(it["bad"]))
            line.bad.insert(value(line.sign, word));
        return line;
    }

    static std::vector<std::string> words(const toml::node_view<const toml::node>& list) {
        std::vector<std::string> all;
        for (const toml::node& word : *list.as_array())
            all.push_back(word.value_or(std::string()));
        return all;
    }

    template <class Id, class Things, class Name>
    static Id named(const Things& things, const std::string& id, Name&& name) {
        for (std::size_t i = 0; i < things.size(); ++i)
            if (name(things[i]) == id)
                return Id(i);
        throw std::runtime_error("the chart names '" + id + "', which the knowledge has not");
    }

    SignId sign(const std::string& id) const {
        return named<SignId>(knowledge_->signs, id, [](const Sign& it) { return it.head.id; });
    }

    std::size_t value(SignId of, const std::string& word) const {
        const Sign& it = (*knowledge_)[of];
        for (std::size_t v = 1; v < it.value_count(); ++v)
            if (it.value_name(v) == word)
                return v;
        throw std::runtime_error("the chart names '" + word + "' of " + it.head.id);
    }

    Candidate mend(const std::string& key) const {
        const std::size_t colon = key.find(':');
        const std::string id = key.substr(colon + 1);
        if (key.substr(0, colon) == "refer")
            return candidate(
                *knowledge_,
                named<ReferId>(knowledge_->refers, id, [](const Refer& it) { return it.head.id; }));
        return candidate(*knowledge_,
                         named<RepairId>(knowledge_->repairs, id,
                                         [](const Repair& it) { return it.step.head.id; }));
    }

    const Knowledge* knowledge_;
};

class ByPrintedChart final : public Follower {
public:
    ByPrintedChart(const Model& model, const std::filesystem::path& chart,
                   std::unique_ptr<Follower> rest)
        : lines_(ChartReader(*model.knowledge).read(chart)), rest_(std::move(rest)) {}

    std::string_view name() const override { return "printed chart"; }

    void start(const Visit& visit) override {
        line_ = 0;
        made_.clear();
        rest_->start(visit);
    }

    std::optional<Suggestion> next(const Visit& visit) override {
        for (; line_ < lines_.size(); ++line_)
            if (lines_[line_].complaints.contains(visit.call.complaint))
                if (auto step = step_of(lines_[line_], visit))
                    return step;
        return rest_->next(visit);
    }

private:
    // What is to be done on this line now; nothing where it is done with.
    std::optional<Suggestion> step_of(const PrintedLine& line, const Visit& visit) {
        if (line.check) {
            const auto found = found_of(line, visit);
            if (!found)
                return checked(line, visit);
            if (!line.bad.contains(*found))
                return {};
        }
        for (const Candidate& step : line.mends)
            if (can_be_made(step, visit) && made_.insert(key_of(step)).second)
                return offered(*visit.model->knowledge, visit.situation, step);
        return {};
    }

    std::optional<Suggestion> checked(const PrintedLine& line, const Visit& visit) {
        const Knowledge& knowledge = *visit.model->knowledge;
        const Candidate check = candidate(knowledge, *line.check);
        for (const Condition& it : check.only_if)
            if (!visit.evidence.settings.contains(it.setting))
                return offered(knowledge, visit.situation, candidate(knowledge, it.setting));
        // A check that has shown nothing of this sign is not made again.
        if (!can_be_made(check, visit) || !made_.insert(key_of(check)).second)
            return {};
        return offered(knowledge, visit.situation, check);
    }

    static bool can_be_made(const Candidate& step, const Visit& visit) {
        const Standing standing{
            visit.model->knowledge, &visit.situation, &visit.evidence, visit.stops, {}, {}};
        // Who holds the licence is handed nothing that he mends himself.
        const bool takes_nothing =
            step.kind == StepKind::refer && taken_by(visit, ReferId(step.index)).empty();
        return !takes_nothing && !cannot_apply(step.only_if, visit.evidence) &&
               !forbids(standing, step);
    }

    // What the check showed, whenever it was made last.
    static std::optional<std::size_t> found_of(const PrintedLine& line, const Visit& visit) {
        std::optional<std::size_t> value;
        for (const Finding& it : visit.evidence.findings)
            if (it.what == Findable(line.sign) && it.via == Via::test && it.test == *line.check)
                value = it.value;
        return value;
    }

    std::vector<PrintedLine> lines_;
    std::unique_ptr<Follower> rest_;
    std::size_t line_ = 0;
    std::set<std::string> made_;
};

}  // namespace

std::unique_ptr<Follower> by_printed_chart(const Model& model, const std::filesystem::path& chart,
                                           std::unique_ptr<Follower> rest) {
    return std::make_unique<ByPrintedChart>(model, chart, std::move(rest));
}

}  // namespace knockwell::trials
