#include "ledger/short_form.hpp"

#include "ledger/bad_row.hpp"

#include <array>
#include <charconv>
#include <cstdint>
#include <utility>

namespace knockwell {
namespace {

class Writer {
public:
    void text(std::string_view text) { bytes_.append(text).push_back('\0'); }

    template <class Number>
    void number(Number value) {
        std::array<char, 32> digits{};
        const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), value).ptr;
        text({digits.data(), static_cast<std::size_t>(end - digits.data())});
    }

    void maybe(const std::optional<std::string>& value) {
        text(value ? "1" : "");
        if (value)
            text(*value);
    }

    template <class List, class Each>
    void list(const List& all, Each each) {
        number(all.size());
        for (const auto& one : all)
            each(one);
    }

    void texts(const std::vector<std::string>& all) {
        list(all, [&](const std::string& one) { text(one); });
    }

    [[nodiscard]] std::string bytes() { return std::move(bytes_); }

private:
    std::string bytes_;
};

class Reader {
public:
    explicit Reader(std::string_view bytes) : left_(bytes) {}

    std::string_view text() {
        const std::size_t end = left_.find('\0');
        if (end == std::string_view::npos)
            throw BadRow("its summary ends too soon");
        const std::string_view text = left_.substr(0, end);
        left_.remove_prefix(end + 1);
        return text;
    }

    template <class Number>
    Number number() {
        const std::string_view digits = text();
        Number value{};
        const auto [end, error] =
            std::from_chars(digits.data(), digits.data() + digits.size(), value);
        if (error != std::errc() || end != digits.data() + digits.size())
            throw BadRow("a number of its summary is none");
        return value;
    }

    std::optional<std::string> maybe() {
        if (text().empty())
            return std::nullopt;
        return std::string(text());
    }

    /// A wrong count runs into the end of the bytes.
    template <class Each>
    void list(Each each) {
        for (auto left = number<std::size_t>(); left > 0; --left)
            each();
    }

    std::vector<std::string> texts() {
        std::vector<std::string> all;
        list([&] { all.emplace_back(text()); });
        return all;
    }

    void end() const {
        if (!left_.empty())
            throw BadRow("something stands behind its summary");
    }

private:
    std::string_view left_;
};

}  // namespace

std::string short_form(const Summary& summary) {
    Writer out;
    out.text(summary.closed ? "1" : "");
    if (summary.closed)
        out.number(*summary.closed);
    out.text(summary.outcome);
    out.text(summary.area);
    out.text(summary.installation);
    out.texts(summary.knowledge);
    out.maybe(summary.call_back_of);
    out.text(summary.complaint);
    out.list(summary.settings, [&](const auto& one) {
        out.text(one.first);
        out.text(one.second);
    });
    out.list(summary.causes, [&](const ConfirmedCause& one) {
        out.text(one.cause);
        out.text(one.how);
    });
    out.list(summary.readings, [&](const auto& one) {
        out.text(one.first);
        out.maybe(one.second.found);
        out.maybe(one.second.left);
    });
    out.texts(summary.repairs);
    out.texts(summary.tests);
    out.texts(summary.in_vain);
    out.list(summary.makings, [&](const Summary::Making& one) {
        out.text(one.repair ? "1" : "");
        out.text(one.step);
        out.number(one.minutes);
    });
    out.number(summary.minutes);
    out.texts(summary.clashes);
    return out.bytes();
}

Summary summary_from(std::string_view bytes) {
    Reader in(bytes);
    Summary summary;
    if (!in.text().empty())
        summary.closed = in.number<std::int64_t>();
    summary.outcome = in.text();
    summary.area = in.text();
    summary.installation = in.text();
    summary.knowledge = in.texts();
    summary.call_back_of = in.maybe();
    summary.complaint = in.text();
    in.list([&] {
        const std::string_view setting = in.text();
        summary.settings.emplace_hint(summary.settings.end(), setting, in.text());
    });
    in.list([&] {
        const std::string_view cause = in.text();
        summary.causes.push_back({std::string(cause), std::string(in.text())});
    });
    in.list([&] {
        FoundAndLeft& reading = summary.readings[std::string(in.text())];
        reading.found = in.maybe();
        reading.left = in.maybe();
    });
    summary.repairs = in.texts();
    summary.tests = in.texts();
    summary.in_vain = in.texts();
    in.list([&] {
        const bool repair = !in.text().empty();
        const std::string_view step = in.text();
        summary.makings.push_back({repair, std::string(step), in.number<double>()});
    });
    summary.minutes = in.number<double>();
    summary.clashes = in.texts();
    in.end();
    return summary;
}

}  // namespace knockwell
