#include "cli/shop_file.hpp"

#include "base/nearest.hpp"
#include "base/words.hpp"
#include "cli/ledger_file.hpp"
#include "knowledge/tree.hpp"

#include <system_error>
#include <utility>

namespace knockwell {
namespace {

constexpr double most_money = 1e6;
constexpr std::size_t longest_currency = 20;  // bytes

class ShopReader {
public:
    explicit ShopReader(const Knowledge& knowledge) : knowledge_(&knowledge) {}

    std::variant<Rates, std::vector<Problem>> read(const Source& source) {
        TreeRoom room;
        if (const auto tree = parse_tree(source, 0, room, problems_))
            for (const Entry& entry : tree->entries())
                top(entry);
        if (problems_.empty())
            return std::move(rates_);
        put_in_order(problems_);
        return std::move(problems_);
    }

private:
    void problem(const char* code, Span span, std::string says, std::string help) {
        problems_.push_back({Severity::error, code, span, std::move(says), std::move(help), {}});
    }

    void top(const Entry& entry) {
        if (entry.key == "hour") {
            if (const auto hour = money(entry))
                *hour > 0 ? void(rates_.hour = *hour)
                          : problem("bad-number", entry.value.span,
                                    "an hour of work costs more than nothing", "write hour = 95");
        } else if (entry.key == "currency") {
            currency(entry);
        } else if (entry.key == "price") {
            if (entry.value.kind != Node::Kind::table)
                return problem("wrong-type", entry.value.span, "price is a table of parts",
                               "write [price], and under it a line such as " +
                                   (knowledge_->parts.empty() ? "some-part"
                                                              : knowledge_->parts.front().head.id) +
                                   " = 95");
            for (const Entry& one : entry.value.entries())
                price(one);
        } else {
            problem("unknown-key", entry.key_span,
                    "'" + std::string(entry.key) + "' is no setting of a shop",
                    one_of_instead(nearest(entry.key, {"hour", "currency", "price"}),
                                   "a shop says hour, currency and price"));
        }
    }

    std::optional<double> money(const Entry& entry) {
        const double value = entry.value.number;
        if (entry.value.kind == Node::Kind::number && value >= 0 && value <= most_money)
            return value;
        problem(entry.value.kind == Node::Kind::number ? "bad-number" : "wrong-type",
                entry.value.span, "money is a number from 0 to " + number(most_money),
                "write " + std::string(entry.key) + " = 95, without quotes and without a currency");
        return std::nullopt;
    }

    void currency(const Entry& entry) {
        const std::string word = entry.value.text;
        if (entry.value.kind != Node::Kind::text || word.empty() || word.size() > longest_currency)
            return problem("wrong-type", entry.value.span,
                           "a currency is a word of " + std::to_string(longest_currency) +
                               " letters at most",
                           "write currency = \"dollars\"");
        rates_.currency = word;
    }

    void price(const Entry& entry) {
        const std::string id = entry.key;
        std::vector<std::string> known;
        for (const Part& part : knowledge_->parts) {
            if (part.head.id == id) {
                if (const auto value = money(entry))
                    rates_.price[id] = *value;
                return;
            }
            known.push_back(part.head.id);
        }
        problem("unknown-part", entry.key_span, "no part is called '" + id + "'",
                one_of_instead(nearest(id, known),
                               "knockwell kb show NAME finds a part by a word of its title"));
    }

    const Knowledge* knowledge_;
    Rates rates_;
    std::vector<Problem> problems_;
};

}  // namespace

std::optional<std::filesystem::path> shop_file(const Surroundings& here,
                                               const std::string& ledger) {
    if (const std::string named = here.variable("KNOCKWELL_SHOP"); !named.empty())
        return named;
    const auto file = ledger_file(here, ledger);
    if (!file)
        return std::nullopt;
    const auto beside = file->parent_path() / "shop.toml";
    std::error_code none;
    return std::filesystem::exists(beside, none) ? std::optional(beside) : std::nullopt;
}

std::variant<Rates, std::vector<Problem>> read_shop(const Knowledge& knowledge,
                                                    const Source& source) {
    return ShopReader(knowledge).read(source);
}

}  // namespace knockwell
