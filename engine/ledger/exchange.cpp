#include "ledger/exchange.hpp"

#include "base/hex.hpp"
#include "base/utf8.hpp"
#include "base/words.hpp"
#include "job/identity.hpp"
#include "job/time_text.hpp"
#include "job/vocabulary.hpp"
#include "ledger/bad_row.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>
#include <stdexcept>
#include <vector>

namespace knockwell {
namespace {

using Line = nlohmann::ordered_json;

constexpr const char* format_name = "knockwell-jobs";
constexpr int format_version = 1;

/// What is wrong with a line.
class BadLine : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

std::string to_hex(std::string_view bytes) {
    std::string text;
    for (const char c : bytes)
        text += hex(static_cast<unsigned char>(c), 2);
    return text;
}

std::string from_hex(const std::string& text) {
    if (text.size() % 2 != 0)
        throw BadLine("hexadecimal digits come in pairs");
    std::string bytes;
    for (std::size_t i = 0; i < text.size(); i += 2) {
        const std::size_t high = hex_digits.find(text[i]);
        const std::size_t low = hex_digits.find(text[i + 1]);
        if (high == std::string_view::npos || low == std::string_view::npos)
            throw BadLine("a hexadecimal digit is 0 to 9 or a to f");
        bytes += static_cast<char>(16 * high + low);
    }
    return bytes;
}

void put(Line& into, const std::string& name, const std::string& text) {
    if (is_utf8(text))
        into[name] = text;
    else
        into[name + "-hex"] = to_hex(text);
}

/// The fields of one object, each taken once; what is left over is unknown.
class Fields {
public:
    Fields(const Line& line, std::string name) : line_(&line), name_(std::move(name)) {
        if (!line.is_object())
            throw BadLine(name_ + " is no object");
    }

    std::string text(const std::string& name) {
        if (const Line* plain = find(name)) {
            if (!plain->is_string())
                throw BadLine(name_ + ": " + name + " is no text");
            return plain->get<std::string>();
        }
        const Line* hex = find(name + "-hex");
        if (hex == nullptr)
            throw BadLine(name_ + ": " + name + " is missing");
        if (!hex->is_string())
            throw BadLine(name_ + ": " + name + "-hex is no text");
        std::string bytes = from_hex(hex->get<std::string>());
        // One text, one way to write it: else what comes out again would differ.
        if (is_utf8(bytes))
            throw BadLine(name_ + ": " + name + "-hex is UTF-8 and wants to be " + name);
        return bytes;
    }

    std::int64_t moment(const std::string& name) {
        const std::string text = this->text(name);
        const auto at = parse_time(text);
        if (!at || format_time(*at) != text)
            throw BadLine(name_ + ": " + name + " is written 2026-11-25T13:14:45Z");
        return *at;
    }

    std::optional<std::int64_t> optional_moment(const std::string& name) {
        return line_->contains(name) ? std::optional(moment(name)) : std::nullopt;
    }

    double number_or(const std::string& name, double otherwise) {
        const Line* value = find(name);
        if (value == nullptr)
            return otherwise;
        if (!value->is_number())
            throw BadLine(name_ + ": " + name + " is no number");
        return value->get<double>();
    }

    const Line& list(const std::string& name) {
        const Line* value = find(name);
        if (value == nullptr)
            throw BadLine(name_ + ": " + name + " is missing");
        if (!value->is_array())
            throw BadLine(name_ + ": " + name + " is no list");
        return *value;
    }

    void end() const {
        for (const auto& field : line_->items())
            if (std::find(taken_.begin(), taken_.end(), field.key()) == taken_.end())
                throw BadLine(name_ + " has the field " + in_quotes(field.key()) +
                              ", which is not known here");
    }

private:
    const Line* find(const std::string& name) {
        const auto it = line_->find(name);
        if (it == line_->end())
            return nullptr;
        taken_.push_back(name);
        return &*it;
    }

    const Line* line_;
    std::string name_;
    std::vector<std::string> taken_;  // names; a handful
};

Line entry_of(const KeptEvent& kept) {
    const Event& event = kept.event;
    Line line;
    line["at"] = format_time(event.at);
    line["kind"] = to_text(event.kind);
    // What is as most are is left out: the line is half as long.
    if (!event.what.empty())
        put(line, "what", event.what);
    if (!event.value.empty())
        put(line, "value", event.value);
    if (event.minutes > 0)
        line["minutes"] = event.minutes;
    if (kept.stamp.moment != event.at)
        line["moment"] = format_time(kept.stamp.moment);
    if (kept.stamp.tick != 0)
        line["tick"] = kept.stamp.tick;
    return line;
}

std::string text_or_none(Fields& fields, const Line& line, const std::string& name) {
    return line.contains(name) || line.contains(name + "-hex") ? fields.text(name) : "";
}

KeptEvent entry_from(const Line& line, const std::string& name) {
    Fields fields(line, name);
    KeptEvent kept;
    Event& event = kept.event;
    event.at = fields.moment("at");
    const auto kind = event_kind(fields.text("kind"));
    if (!kind)
        throw BadLine(name + ": its kind is unknown");
    event.kind = *kind;
    event.what = text_or_none(fields, line, "what");
    event.value = text_or_none(fields, line, "value");
    event.minutes = fields.number_or("minutes", 0);
    kept.stamp.moment = fields.optional_moment("moment").value_or(event.at);
    const double tick = fields.number_or("tick", 0);
    if (!(tick >= 0 && tick <= std::numeric_limits<std::uint32_t>::max() &&
          std::floor(tick) == tick))
        throw BadLine(name + ": the tick is no count");
    kept.stamp.tick = static_cast<std::uint32_t>(tick);
    fields.end();
    return kept;
}

/// The fields of a job and of its entries, each counted once.
std::size_t fields_of(const Line& job) {
    std::size_t all = job.size();
    for (const Line& entry : job["entries"])
        all += entry.size();
    return all;
}

/// The name of a field that an object of the line has more than once. Only of a line that has one:
/// it goes over all of it again.
std::string written_twice(std::string_view line) {
    std::vector<std::set<std::string>> open;  // the names of each object that is not closed yet
    std::string twice;
    const auto note = [&](int /*depth*/, Line::parse_event_t event, const Line& parsed) {
        if (event == Line::parse_event_t::object_start)
            open.emplace_back();
        else if (event == Line::parse_event_t::object_end)
            open.pop_back();
        else if (event == Line::parse_event_t::key && !open.back().insert(parsed).second)
            twice = parsed;
        return true;
    };
    const Line tree = Line::parse(line, note, false);
    return tree.is_discarded() ? "" : twice;
}

/// Where a line stops to be JSON, as a column in bytes.
std::string against_json(std::string_view line) {
    try {
        [[maybe_unused]] const Line tree = Line::parse(line);
        return "it is no JSON";
    } catch (const Line::parse_error& error) {
        return "it is no JSON from its byte " + std::to_string(error.byte) + " on";
    } catch (const Line::out_of_range&) {
        return "it holds a number larger than any that can be kept";
    }
}

KeptJob job_from(const Line& line) {
    Fields fields(line, "the job");
    KeptJob job;
    job.head.id = fields.text("job");
    job.head.area = fields.text("area");
    job.head.installation = fields.text("installation");
    job.head.knowledge = fields.text("knowledge");
    job.head.opened = fields.moment("opened");
    for (const Line& entry : fields.list("entries"))
        job.events.push_back(entry_from(entry, "entry " + std::to_string(job.events.size() + 1)));
    fields.end();
    return job;
}

std::string against_text(const std::string& name, const std::string& text, std::size_t longest) {
    if (text.size() > longest)
        return name + " is longer than " + std::to_string(longest) + " bytes";
    if (text.find('\0') != std::string::npos)
        return name + " has a zero byte in it";
    return {};
}

bool is_about_something(EventKind kind) {
    return kind != EventKind::person && kind != EventKind::note && kind != EventKind::left &&
           kind != EventKind::resumed && kind != EventKind::closed;
}

std::string against_entry(const KeptEvent& kept) {
    const Event& event = kept.event;
    for (const std::string& why :
         {against_text("what", event.what, longest_what),
          against_text("value", event.value, longest_value), against_time("at", event.at)})
        if (!why.empty())
            return why;
    if (event.what.empty() && is_about_something(event.kind))
        return std::string(to_text(event.kind)) + ": what it is about is missing";
    if (kept.stamp.moment < event.at)
        return "its moment is before its time";
    if (kept.stamp.moment > last_moment)  // where clocks ran ahead, it counts on from theirs
        return "moment is after the year 9999";
    if (!(event.minutes >= 0 && event.minutes <= most_minutes))
        return "minutes go from 0 to " + number(most_minutes);
    if (is_correction(event.kind) && !is_reference(event.what) && event.what.rfind('?', 0) != 0)
        return "a correction names an entry by its stamp";
    return {};
}

std::string against_head(const Job& head) {
    if (!is_job_id(head.id))
        return is_job_id(small_letters(head.id))
                   ? "its identifier has capitals; write it in small letters, as export does"
                   : "its identifier is none; export writes one like "
                     "3b241101-e2bb-4255-8caf-4136c566a962";
    for (const std::string& why : {against_text("area", head.area, longest_what),
                                   against_text("installation", head.installation, longest_what),
                                   against_text("knowledge", head.knowledge, longest_what),
                                   against_time("opened", head.opened)})
        if (!why.empty())
            return why;
    return {};
}

}  // namespace

std::string exchange_head(std::size_t jobs) {
    const Line line = {{"format", format_name}, {"version", format_version}, {"jobs", jobs}};
    return line.dump();
}

std::variant<std::size_t, NoJobLine> from_exchange_head(std::string_view line) {
    const Line head = Line::parse(line, nullptr, false);
    const auto field = [&](const char* name) {
        return head.is_object() && head.contains(name) ? head[name] : Line();
    };
    if (field("format") != format_name)
        return NoJobLine{R"(the first line is not {"format":"knockwell-jobs",...})"};
    if (field("version") != format_version)
        return NoJobLine{"it is of another version than " + std::to_string(format_version)};
    const Line jobs = field("jobs");
    if (!jobs.is_number_unsigned())
        return NoJobLine{"the first line does not say how many jobs there are"};
    return jobs.get<std::size_t>();
}

std::string to_line(const KeptJob& job) {
    Line line;
    line["job"] = job.head.id;
    put(line, "area", job.head.area);
    put(line, "installation", job.head.installation);
    put(line, "knowledge", job.head.knowledge);
    line["opened"] = format_time(job.head.opened);
    Line entries = Line::array();
    for (const KeptEvent& kept : job.events)
        entries.push_back(entry_of(kept));
    line["entries"] = std::move(entries);
    return line.dump(-1, ' ', true);  // ASCII: whatever a terminal would obey is spelled out
}

std::string against_kept(const KeptJob& job) {
    if (std::string why = against_head(job.head); !why.empty())
        return why;
    for (std::size_t i = 0; i < job.events.size(); ++i) {
        const std::string name = "entry " + std::to_string(i + 1) + ": ";
        if (const std::string why = against_entry(job.events[i]); !why.empty())
            return name + why;
        if (i > 0 && order_of(job.events[i - 1], job.events[i]) >= 0)
            return name + "it is not behind the one before it";
    }
    try {
        return against_words(as_told(job));
    } catch (const BadRow& bad) {
        return bad.what();
    }
}

std::variant<KeptJob, NoJobLine> from_line(std::string_view line) {
    if (line.size() > longest_line)
        return NoJobLine{"it is longer than 16 MiB"};
    std::size_t written = 0;  // fields; of two that are called alike the tree has only one
    const auto count = [&](int /*depth*/, Line::parse_event_t event, const Line& /*parsed*/) {
        written += event == Line::parse_event_t::key ? 1U : 0U;
        return true;
    };
    const Line tree = Line::parse(line, count, false);
    if (tree.is_discarded())
        return NoJobLine{against_json(line)};
    try {
        KeptJob job = job_from(tree);
        if (written != fields_of(tree))
            return NoJobLine{"the field " + in_quotes(written_twice(line)) + " is written twice"};
        if (const std::string why = against_kept(job); !why.empty())
            return NoJobLine{escape_controls(why)};
        return job;
    } catch (const BadLine& bad) {
        return NoJobLine{escape_controls(bad.what())};
    }
}

}  // namespace knockwell
