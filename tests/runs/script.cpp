#include "runs/script.hpp"

namespace knockwell {
namespace {

/// Lines with their ends.
std::vector<std::string> lines_of(std::string_view text) {
    std::vector<std::string> lines;
    while (!text.empty()) {
        const std::size_t end = text.find('\n');
        const std::size_t size = end == std::string_view::npos ? text.size() : end + 1;
        lines.emplace_back(text.substr(0, size));
        text.remove_prefix(size);
    }
    return lines;
}

bool is_command(const std::string& line) { return line.rfind("$ ", 0) == 0; }

/// Takes the lines of one stretch, from its text on.
class Reader {
public:
    explicit Reader(Stretch& into) : into_(&into) {}

    void take(const std::string& line) {
        if (goes_on_ || is_command(line)) {
            if (!goes_on_)
                into_->turns.emplace_back();
            std::string& typed = into_->turns.back().typed;
            typed += goes_on_ ? line : line.substr(2);
            goes_on_ = line.size() > 1 && line[line.size() - 2] == '\\';
        } else if (into_->turns.empty()) {
            into_->text += line;
        } else {
            into_->turns.back().expected += line;
        }
    }

private:
    Stretch* into_;
    bool goes_on_ = false;
};

}  // namespace

std::vector<Stretch> read_run(std::string_view file) {
    std::vector<Stretch> stretches(1);
    Reader reader(stretches.back());
    for (const std::string& line : lines_of(file))
        reader.take(line);
    return stretches;
}

std::vector<Stretch> read_page(std::string_view page) {
    std::vector<Stretch> stretches(1);
    const std::vector<std::string> lines = lines_of(page);
    for (std::size_t i = 0; i < lines.size(); ++i) {
        stretches.back().text += lines[i];
        const bool begins = lines[i] == "```sh\n" && i + 1 < lines.size() &&
                            lines[i + 1].rfind("$ knockwell", 0) == 0;
        if (!begins)
            continue;
        Reader reader(stretches.back());
        while (++i < lines.size() && lines[i] != "```\n")
            reader.take(lines[i]);
        stretches.emplace_back();
        if (i < lines.size())
            stretches.back().text += lines[i];
    }
    return stretches;
}

std::string to_text(const std::vector<Stretch>& stretches) {
    std::string text;
    for (const Stretch& stretch : stretches) {
        text += stretch.text;
        for (const Turn& turn : stretch.turns)
            text += "$ " + turn.typed + turn.expected;
    }
    return text;
}

}  // namespace knockwell
