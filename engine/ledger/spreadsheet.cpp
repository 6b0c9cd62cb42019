#include "ledger/spreadsheet.hpp"

#include "base/words.hpp"
#include "job/apply.hpp"
#include "job/course.hpp"
#include "job/identity.hpp"
#include "job/time_text.hpp"
#include "job/vocabulary.hpp"
#include "knowledge/version.hpp"
#include "ledger/exchange.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <utility>

namespace knockwell {
namespace {

constexpr std::string_view any_blank = " \t\r\n";  // a quoted cell may go over lines

/// "3/7/2024" in the order of the mapping, at noon; or a date and time of ISO 8601.
std::optional<std::int64_t> date_of(const std::string& cell, SheetDates order) {
    if (const auto whole = parse_time(cell))
        return whole;
    std::array<std::string, 3> parts;
    std::size_t part = 0;
    for (const char c : cell) {
        if (c >= '0' && c <= '9')
            parts.at(part) += c;
        else if (part < 2 && (c == '-' || c == '/' || c == '.'))
            ++part;
        else
            return std::nullopt;
    }
    std::array<std::size_t, 3> place = {0, 1, 2};  // of year, month, day
    if (order == SheetDates::month_day_year)
        place = {2, 0, 1};
    if (order == SheetDates::day_month_year)
        place = {2, 1, 0};
    std::string month = parts.at(place[1]);
    std::string day = parts.at(place[2]);
    for (std::string* two : {&month, &day})
        if (two->size() == 1)
            two->insert(0, "0");
    return parse_time(parts.at(place[0]) + "-" + month + "-" + day + "T12:00:00Z");
}

std::string job_name(const std::string& number) { return "spreadsheet " + number; }

/// One row becoming a job. What is wrong with a cell is noted, and the others are read all the
/// same.
class RowReader {
public:
    RowReader(const SheetMap& map, const Knowledge& knowledge,
              const std::vector<const SheetColumn*>& columns, const CsvRow& row, std::int64_t now)
        : map_(&map), knowledge_(&knowledge), columns_(&columns), row_(&row), now_(now) {}

    [[nodiscard]] Job read() {
        job_.opened = opened();
        job_.installation = text(SheetField::installation);
        job_.area = text(SheetField::area);
        codes();
        job_.knowledge = "spreadsheet";
        for (const SheetField field : {SheetField::set, SheetField::said, SheetField::found})
            for_each(field, [&](const SheetColumn& column, const std::string& cell) {
                finding(column, cell);
            });
        const double minutes = minutes_of(text(SheetField::minutes));
        repairs(minutes);
        causes();
        if (const std::string earlier = text(SheetField::call_back_of); !earlier.empty())
            add(SheetField::call_back_of, EventKind::about, "call-back-of",
                job_id_for(job_name(earlier)), 0);
        for_each(SheetField::note, [&](const SheetColumn& column, const std::string& cell) {
            add(column, EventKind::note, "", cell, 0);
        });
        std::string outcome = text(SheetField::outcome);
        if (outcome.empty())
            outcome = map_->outcome;
        if (outcome.empty())
            refuse(SheetField::outcome, "the outcome is empty");
        else
            add(SheetField::outcome, EventKind::closed, "", outcome, repaired_ ? 0 : minutes);
        return std::move(job_);
    }

    [[nodiscard]] std::string text(SheetField field) const {
        std::string found;
        for_each(field, [&](const SheetColumn&, const std::string& cell) { found = cell; });
        return found;
    }

    void refuse(SheetField field, std::string says) {
        const auto column =
            std::find_if(columns_->begin(), columns_->end(),
                         [&](const SheetColumn* one) { return one->field == field; });
        wrong_.emplace_back(column - columns_->begin(), std::move(says));
    }

    /// What is wrong, in the order of the cells.
    [[nodiscard]] std::vector<RefusedRow> refused() {
        std::stable_sort(wrong_.begin(), wrong_.end(),
                         [](const auto& a, const auto& b) { return a.first < b.first; });
        std::vector<RefusedRow> all;
        for (const auto& [place, says] : wrong_) {
            // What the mapping says for all rows stands in no column.
            const bool of_column = place < static_cast<std::ptrdiff_t>(columns_->size());
            const auto column = static_cast<std::size_t>(place);
            all.push_back(
                {row_->line,
                 (of_column ? "column " + in_quotes((*columns_)[column]->name) + ": " : "") +
                     says});
        }
        return all;
    }

private:
    /// Cells of such columns that have something in them, in the words of the knowledge.
    template <class Visit>
    void for_each(SheetField field, Visit visit) const {
        for (std::size_t i = 0; i < columns_->size(); ++i) {
            const SheetColumn& column = *(*columns_)[i];
            if (column.field != field)
                continue;
            std::string cell(trimmed(row_->cells[i], any_blank));
            if (const auto means = column.values.find(cell); means != column.values.end())
                cell = means->second;
            if (!cell.empty())
                visit(column, cell);
        }
    }

    [[nodiscard]] std::int64_t opened() {
        const std::string cell = text(SheetField::opened);
        const auto at = date_of(cell, map_->dates);
        if (!at)
            refuse(SheetField::opened, in_quotes(cell) + " is no date as the mapping has it");
        else if (*at > now_ + day_seconds)  // a shop's clock may run before that of the reader
            refuse(SheetField::opened, in_quotes(cell) + " lies after today, " + format_time(now_));
        else if (*at < first_written)
            refuse(SheetField::opened,
                   in_quotes(cell) + " lies before 1950; write the year in full");
        return at.value_or(0);
    }

    /// A sheet may keep no areas, and a house must have its code.
    void codes() {
        if (const std::string why = against_code("installation", job_.installation); !why.empty())
            refuse(SheetField::installation, why);
        if (const std::string why = against_code("area", job_.area);
            !why.empty() && !job_.area.empty())
            refuse(SheetField::area, why);
    }

    [[nodiscard]] double minutes_of(const std::string& cell) {
        double minutes = 0;
        const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), minutes);
        const bool whole = error == std::errc() && end == cell.data() + cell.size();
        if (cell.empty() || (whole && minutes >= 0 && minutes <= most_minutes))
            return minutes;
        refuse(SheetField::minutes, in_quotes(cell) + " are no minutes");
        return 0;
    }

    void finding(const SheetColumn& column, const std::string& cell) {
        const EventKind kind = column.field == SheetField::set    ? EventKind::set
                               : column.field == SheetField::said ? EventKind::said
                                                                  : EventKind::found;
        if (!column.of.empty())
            return add(column, kind, column.of, cell, 0);
        const std::size_t equals = cell.find('=');
        add(column, kind, cell.substr(0, equals),
            equals == std::string::npos ? "yes" : cell.substr(equals + 1), 0);
    }

    void repairs(double minutes) {
        for_each(SheetField::did, [&](const SheetColumn& column, const std::string& cell) {
            add(column, EventKind::did, cell, "", repaired_ ? 0 : minutes);
            repaired_ = true;
        });
    }

    void causes() {
        std::string how = text(SheetField::how_sure);
        if (how.empty())
            how = map_->how_sure;
        const bool understood =
            std::find(ways_to_know().begin(), ways_to_know().end(), how) != ways_to_know().end();
        bool any = false;
        for_each(SheetField::cause, [&](const SheetColumn& column, const std::string& cell) {
            add(column, EventKind::cause, cell, understood ? how : "guessed", 0);
            any = true;
        });
        if (any && !understood)
            refuse(SheetField::how_sure, "how-sure: " + none_of_these(how, ways_to_know()));
    }

    void add(SheetField field, EventKind kind, const std::string& what, const std::string& value,
             double minutes) {
        if (const std::string why = added(kind, what, value, minutes); !why.empty())
            refuse(field, why);
    }
    void add(const SheetColumn& column, EventKind kind, const std::string& what,
             const std::string& value, double minutes) {
        const auto place = std::find(columns_->begin(), columns_->end(), &column);
        if (std::string why = added(kind, what, value, minutes); !why.empty())
            wrong_.emplace_back(place - columns_->begin(), std::move(why));
    }

    /// Why it cannot be added; empty where it was.
    [[nodiscard]] std::string added(EventKind kind, const std::string& what,
                                    const std::string& value, double minutes) {
        Event event = next_event(job_, job_.opened, kind, what, value, minutes);
        if (what.size() > longest_what || value.size() > longest_value)
            return std::string(to_text(kind)) + ": it is longer than an event can hold";
        if (const std::string why = apply(*knowledge_, event, course_); !why.empty())
            return std::string(to_text(kind)) + " " + echo(what.empty() ? value : what) + ": " +
                   why;
        job_.events.push_back(spelled_out(*knowledge_, std::move(event)));
        return {};
    }

    const SheetMap* map_;
    const Knowledge* knowledge_;
    const std::vector<const SheetColumn*>* columns_;
    const CsvRow* row_;
    std::int64_t now_;
    Job job_;
    Course course_;
    bool repaired_ = false;
    std::vector<std::pair<std::ptrdiff_t, std::string>> wrong_;  // place of the cell, what it is
};

}  // namespace

SheetReader::SheetReader(std::istream& in, const SheetMap& map, const Knowledge& knowledge,
                         std::int64_t now)
    : rows_(in, map.separator), map_(&map), knowledge_(&knowledge), now_(now) {
    const std::optional<CsvRow> head = rows_.next();
    if (!head) {
        wrong_ = "it is empty";
        return;
    }
    if (!head->wrong.empty()) {
        wrong_ = "its heading is none: " + head->wrong;
        return;
    }
    std::vector<std::string> unknown;
    for (const std::string& cell : head->cells) {
        const std::string name(trimmed(cell, any_blank));
        const auto column = std::find_if(map.columns.begin(), map.columns.end(),
                                         [&](const SheetColumn& one) { return one.name == name; });
        if (column == map.columns.end())
            unknown.push_back(in_quotes(name));
        else
            columns_.push_back(&*column);
    }
    if (!unknown.empty()) {
        wrong_ = "the mapping says nothing of the column " + list_of(unknown, "and") +
                 "; write \"skip\" where it means nothing";
        return;
    }
    for (const SheetColumn& column : map.columns)
        if (std::count(columns_.begin(), columns_.end(), &column) != 1)
            wrong_ = "the sheet has the column " + in_quotes(column.name) + " " +
                     std::to_string(std::count(columns_.begin(), columns_.end(), &column)) +
                     " times, and once is wanted";
}

std::optional<std::variant<KeptJob, std::vector<RefusedRow>>> SheetReader::next() {
    const std::optional<CsvRow> row = rows_.next();
    if (!row)
        return std::nullopt;
    line_ = row->line;
    unread_ = unread_ || !row->wrong.empty() || row->cells.size() != columns_.size();
    if (!row->wrong.empty())
        return std::vector<RefusedRow>{{row->line, row->wrong}};
    if (row->cells.size() != columns_.size())
        return std::vector<RefusedRow>{{row->line, "it has " + std::to_string(row->cells.size()) +
                                                       " cells where the heading has " +
                                                       std::to_string(columns_.size())}};
    RowReader reader(*map_, *knowledge_, columns_, *row, now_);
    const std::string number = reader.text(SheetField::number);
    Job job = reader.read();
    if (number.empty()) {
        std::string all;
        for (const std::string& cell : row->cells)
            all += std::to_string(cell.size()) + " " + cell;
        const std::uint32_t nth = ++same_[fnv1a(all)];
        job.id = job_id_for("spreadsheet row " + all + " " + std::to_string(nth));
    } else {
        const auto [there, is_new] = numbers_.emplace(number, row->line);
        if (!is_new)
            reader.refuse(SheetField::number, "the number " + echo(number) + " stands in line " +
                                                  std::to_string(there->second) + " already");
        job.id = job_id_for(job_name(number));
        if (reader.text(SheetField::call_back_of) == number)
            reader.refuse(SheetField::call_back_of, "it is called a call-back of itself");
    }
    std::vector<RefusedRow> refused = reader.refused();
    if (refused.empty()) {
        KeptJob kept = stamped(job);
        const std::string why = against_kept(kept);
        if (why.empty())
            return kept;
        refused.push_back({row->line, escape_controls(why)});
    }
    refused_.insert(job.id);
    return refused;
}

}  // namespace knockwell
