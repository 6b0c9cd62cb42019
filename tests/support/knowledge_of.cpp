#include "support/knowledge_of.hpp"

#include <gtest/gtest.h>

namespace knockwell {
namespace {

std::vector<Source> one_source(std::string_view toml) {
    return {{.name = "test.toml", .text = std::string(toml)}};
}

constexpr std::string_view manifest = "\n[manifest]\n"
                                      "name = \"Test wells\"\n"
                                      "version = \"1\"\n"
                                      "format = 1\n";

}  // namespace

ReadResult read_text(std::string_view toml) { return read_knowledge(one_source(toml)); }

std::string problems_of(std::string_view toml) {
    std::string all;
    for (const Problem& problem : read_text(toml).problems)
        all += to_text(problem, one_source(toml));
    return all;
}

Knowledge knowledge_of(std::string_view toml) {
    std::string text(toml);
    if (text.find("[manifest]") == std::string::npos)
        text += manifest;
    ReadResult read = read_text(text);
    for (const Problem& problem : read.problems)
        if (problem.severity == Severity::error)
            ADD_FAILURE() << to_text(problem, one_source(text));
    return std::move(read.knowledge);
}

}  // namespace knockwell
