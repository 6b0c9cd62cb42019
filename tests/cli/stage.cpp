#include "cli/stage.hpp"

#include "cli/run.hpp"

#include <cstdlib>
#include <sstream>
#include <stdexcept>

namespace knockwell {
namespace {

constexpr std::int64_t stopped_clock = 1795698000;  // 2026-11-26T13:00:00Z

std::filesystem::path new_room() {
    std::string name = (std::filesystem::temp_directory_path() / "knockwell-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr)
        throw std::runtime_error("no temporary folder can be made");
    return name;
}

}  // namespace

Stage::Stage(const std::filesystem::path& folder)
    : room_(new_room()), before_(std::filesystem::current_path()) {
    std::filesystem::current_path(folder);
    here.environment = {{"KNOCKWELL_LEDGER", (room_ / "ledger.sqlite").string()}};
    here.now = [] { return stopped_clock; };
    // The multiplier and increment of Numerical Recipes; any sequence that is always the same will
    // do.
    here.dice = [this] { return dice_ = dice_ * 1664525U + 1013904223U; };
}

std::unique_ptr<Stage> Stage::apart(const std::filesystem::path& folder) {
    auto stage = std::make_unique<Stage>(folder);
    const std::filesystem::path deep = stage->room_ / "a" / "b" / "c";
    std::filesystem::create_directories(deep);
    std::filesystem::copy("kb", deep / "kb");
    std::filesystem::current_path(deep);
    return stage;
}

Stage::~Stage() {
    std::error_code none;
    std::filesystem::current_path(before_, none);
    std::filesystem::remove_all(room_, none);
}

Printed Stage::run(const std::vector<std::string>& arguments) {
    std::ostringstream out;
    std::ostringstream err;
    here.out = &out;
    here.err = &err;
    Printed printed;
    printed.status = knockwell::run(arguments, here);
    printed.out = out.str();
    printed.err = err.str();
    return printed;
}

Printed Stage::type(std::string_view line) {
    std::vector<std::string> words = shell_words(line);
    if (words.empty() || words.front() != "knockwell")
        throw std::runtime_error("not a line for knockwell: " + std::string(line));
    words.erase(words.begin());
    return run(words);
}

std::vector<std::string> shell_words(std::string_view line) {
    std::vector<std::string> words;
    std::string word;
    bool in_word = false;
    char quote = 0;
    for (std::size_t i = 0; i < line.size(); ++i) {
        const char c = line[i];
        if (quote != 0) {
            if (c == quote) {
                quote = 0;
            } else {
                word += c;
            }
        } else if (c == '\'' || c == '"') {
            quote = c;
            in_word = true;
        } else if (c == '\\' && i + 1 < line.size() && line[i + 1] == '\n') {
            ++i;
        } else if (c == ' ' || c == '\n') {
            if (in_word)
                words.push_back(word);
            word.clear();
            in_word = false;
        } else if (std::string_view("\\|<>&;$`(){}*?#~").find(c) != std::string_view::npos) {
            throw std::runtime_error("a shell would read this otherwise: " + std::string(line));
        } else {
            word += c;
            in_word = true;
        }
    }
    if (quote != 0)
        throw std::runtime_error("a quote is open: " + std::string(line));
    if (in_word)
        words.push_back(word);
    return words;
}

}  // namespace knockwell
