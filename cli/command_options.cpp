#include "cli/command_options.hpp"

#include "base/quantity.hpp"
#include "base/words.hpp"
#include "job/job.hpp"

#include <cmath>
#include <variant>

namespace knockwell {

std::string in_column(const std::string& says) {
    return wrap(says, page_width - name_column, 0, 0);
}

CLI::Option* text_option(CLI::App& app, const std::string& name, std::string& into,
                         const std::string& says, const std::string& shape) {
    return app.add_option(name, into, in_column(says))->type_name(shape);
}

void many_option(CLI::App& app, const std::string& name, std::vector<std::string>& into,
                 const std::string& says, const std::string& shape) {
    app.add_option(name, into, in_column(says))
        ->type_name(shape)
        ->type_size(1)
        ->expected(1)
        ->allow_extra_args(false)
        ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
}

void word_option(CLI::App& app, const std::string& name, std::string& into, const std::string& says,
                 const std::vector<std::string>& allowed) {
    app.add_option(name, into, in_column(says))
        ->type_name(CLI::detail::join(allowed, "|"))
        ->check(CLI::IsMember(allowed).description(""));
}

CLI::Validator number_between(double low, double high, Numbers which) {
    const auto against = [low, high, which](const std::string& typed) {
        const std::string from_to = number(low) + " to " + number(high);
        const auto read = parse_quantity(typed);
        const auto* quantity = std::get_if<Quantity>(&read);
        if (quantity == nullptr || !quantity->unit.empty())
            return in_quotes(typed) + " is no plain number; it is one from " + from_to;
        if (which == Numbers::whole && std::floor(quantity->value) != quantity->value)
            return in_quotes(typed) + " is no whole number; it is one from " + from_to;
        if (quantity->value < low || quantity->value > high)
            return "Value " + typed + " not in range " + from_to;
        return std::string();
    };
    return {[against](std::string& typed) { return against(typed); }, ""};
}

CLI::Option* minutes_option(CLI::App& app, double& into, const std::string& says) {
    return app.add_option("--minutes", into, says)
        ->type_name("N")
        ->check(number_between(0.0, most_minutes));
}

void common_options(CLI::App& app, Common& into) {
    app.add_flag("--json", into.json, "Print JSON");
    whole_number_option(app, "--width", into.width, "Columns of the text, 40 to 200", 40, 200);
    text_option(app, "--kb", into.kb, "Folder of the knowledge", "FOLDER");
}

void kept_options(CLI::App& app, Common& into, std::string* job) {
    common_options(app, into);
    text_option(app, "--ledger", into.ledger, "File of the ledger", "FILE");
    text_option(app, "--now", into.now, "Time of it, instead of the clock", "ISO8601");
    if (job != nullptr)
        text_option(app, "--job", *job, "Another job than the last one opened", "ID");
}

void most_option(CLI::App& app, std::size_t& into) {
    whole_number_option(app, "--most", into, "How many causes and how many steps (5)", 1, 100);
}

void told_options(CLI::App& app, Told& into, bool asked_once) {
    many_option(app, "--set", into.set, "Fact of the installation", "SETTING=VALUE");
    many_option(app, "--says", into.says, "What the customer reports", "SIGN[=VALUE]");
    many_option(app, "--found", into.found, "What was found", "SIGN[=VALUE][@TEST]");
    word_option(app, "--who", into.who, "Who is there (owner)", {"owner", "helper", "qualified"});
    many_option(app, "--licence", into.licences, "Licence of who is there",
                "electrician|pump-installer|...");
    app.add_flag("--on-site", into.on_site, "Not on the phone (any more, or again)");
    many_option(app, "--at", into.at, "Where one stands, or what is open", "ACCESS");
    word_option(app, "--power", into.power, "off = off, locked and proved dead on every leg",
                {"on", "off"});
    word_option(app, "--pressure", into.pressure, "zero = an opened drain has stopped running",
                {"zero", "up"});
    word_option(app, "--tank", into.tank, "drained of its water or not", {"drained", "filled"});
    many_option(app, "--lacks", into.lacks, "Part or tool that is not on the truck", "THING");
    many_option(app, "--carries", into.carries, "Part or tool that is there after all", "THING");
    many_option(app, "--cannot", into.cannot, "Step that cannot be done here", "STEP");
    many_option(app, "--not-sure", into.not_sure, "Step that left one not sure", "STEP");
    if (asked_once)
        return;
    text_option(app, "--note", into.note, "Words to keep with the job", "TEXT");
    app.add_flag("--left", into.left, "Everybody left");
}

void add_command(CLI::App& parent, Room& room, const std::string& name, const std::string& says,
                 const std::string& example, const Fill& fill) {
    CLI::App& app = *parent.add_subcommand(name, in_column(says));
    app.preparse_callback([&app, &room, example, fill](std::size_t) {
        app.footer("Example:\n" + example);
        fill(app, room);
    });
}

}  // namespace knockwell
