#include "cli/keys.hpp"

#include "base/words.hpp"
#include "job/job.hpp"

#include <algorithm>
#include <istream>
#include <utility>

namespace knockwell {
namespace {

constexpr std::size_t most_digits = 4;

bool is_digit(char c) { return c >= '0' && c <= '9'; }

}  // namespace

Reply reply_of(std::string line) {
    for (char& c : line)
        if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f)
            c = ' ';
    Reply reply;
    reply.text = trimmed(line);
    const std::string& text = reply.text;
    if (!text.empty() && text.size() <= most_digits &&
        std::all_of(text.begin(), text.end(), is_digit)) {
        reply.number = std::stoul(text);
    } else if (text.size() == 1 &&
               (text[0] == '?' || (small_letter(text[0]) >= 'a' && small_letter(text[0]) <= 'z'))) {
        reply.key = small_letter(text[0]);
        reply.text.clear();
    }
    return reply;
}

Reply Keys::next() {
    Reply none;
    none.end = true;
    if (in_ == nullptr)
        return none;
    std::string line;
    bool any = false;
    for (char c = 0; in_->get(c);) {
        any = true;
        if (c == '\n')
            break;
        if (line.size() < longest_value)
            line += c;
    }
    return any ? reply_of(std::move(line)) : none;
}

}  // namespace knockwell
