#include "cli/show_paper.hpp"

#include "base/words.hpp"
#include "cli/json_values.hpp"

#include <string>
#include <vector>

namespace knockwell {
namespace {

void show_part(Page& page, std::string_view heading, const std::vector<std::string>& lines) {
    if (lines.empty())
        return;
    page.gap();
    page.heading(heading);
    for (const std::string& line : lines)
        page.text(line, 4, 2);
}

}  // namespace

void show_paper(Page& page, const LeavingPaper& paper) {
    show_part(page, "AS LEFT", paper.as_left);
    if (!paper.not_kept.empty())
        page.text("Not kept as left: " + list_of(paper.not_kept) + ".", 4, 2);
    show_part(page, "WHAT MAY HAVE KILLED IT", paper.killers);
    show_part(page, "FOR THE CUSTOMER", paper.customer);
    if (!paper.call_back.empty())
        page.text(paper.call_back, 4, 2);
    show_part(page, "FOR THE INVOICE", paper.invoice);
}

Json left_json(const LeavingNow& left) {
    Json readings = Json::array();
    for (const LeftReading& one : left_readings())
        if (const auto it = left.readings.find(std::string(one.word)); it != left.readings.end())
            readings.push_back({{"what", it->first},
                                {"value", json_number(it->second)},
                                {"unit", std::string(one.unit)}});
    Json said = Json::object();
    Json without = Json::object();
    for (const auto& [word, value] : left.said)
        said[word] = value;
    for (const auto& [word, why] : left.without)
        without[word] = json_text(why);
    return {{"readings", readings}, {"said", said}, {"without", without}};
}

Json paper_json(const LeavingPaper& paper) {
    return {{"as_left", json_texts(paper.as_left)},   {"not_kept", json_texts(paper.not_kept)},
            {"left", left_json(paper.left)},          {"killers", json_texts(paper.killers)},
            {"customer", json_texts(paper.customer)}, {"call_back", json_text(paper.call_back)},
            {"invoice", json_texts(paper.invoice)}};
}

}  // namespace knockwell
