#include "reference/to_knowledge.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <stdexcept>

namespace knockwell::reference {
namespace {

constexpr const char* manifest = R"([manifest]
name = "A published network"
version = "1"
format = 1

[reports]
told = { misses = "1 in 10", false_alarm = "1 in 20" }
looked = { misses = "1 in 20", false_alarm = "1 in 50" }
)";

// The shortest text that reads back as the same number, as a TOML float.
std::string exact(double value) {
    std::array<char, 32> buffer{};
    const auto [end, error] = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value);
    if (error != std::errc{})
        throw std::runtime_error("a number that cannot be written");
    std::string text(buffer.data(), end);
    return text.find_first_of(".e") == std::string::npos ? text + ".0" : text;
}

std::string quoted(const std::string& text) { return '"' + text + '"'; }

template <class Items, class Write>
std::string listed(const Items& items, Write write) {
    std::string text;
    for (const auto& item : items)
        text += (text.empty() ? "" : ", ") + write(item);
    return "[" + text + "]";
}

std::string table_text(const Node& node) {
    const auto name = [](const std::string& text) { return quoted(identifier(text)); };
    std::string text =
        "\n[table." + identifier(node.name) + "]\nstates = " + listed(node.states, name) + "\n";
    if (!node.parents.empty())
        text += "given = " + listed(node.parents, name) + "\n";
    const auto row_text = [](const std::vector<double>& row) { return listed(row, exact); };
    return text + "rows = " + listed(node.rows, row_text) + "\n";
}

// "{ mild = 0.3, severe = 0.2 }": the chance of each level but the first.
std::string levels_text(const Node& child, const std::vector<double>& chances) {
    std::string text;
    for (std::size_t level = 1; level < child.states.size(); ++level)
        text += (level == 1 ? "{ " : ", ") + identifier(child.states[level]) + " = " +
                exact(chances[level]);
    return text + " }";
}

std::string chances_text(const Network& network, const Canonical& gate,
                         const std::vector<double>& chances) {
    return gate.is_or ? exact(chances[0]) : levels_text(node_named(network, gate.child), chances);
}

// What the cause that stands for one state of `root` shows.
std::string shows_text(const Network& network, const std::string& root, std::size_t state) {
    std::string text = "shows = { ";
    bool first = true;
    for (const Canonical& gate : network.canonical)
        for (std::size_t parent = 0; parent < gate.parents.size(); ++parent) {
            if (gate.parents[parent] != root)
                continue;
            text += (first ? "" : ", ") + identifier(gate.child) + " = " +
                    chances_text(network, gate, gate.contributions[parent][state]);
            first = false;
        }
    return text + " }\n";
}

std::string cause_head(const std::string& id, const std::string& present) {
    return "\n[cause." + id + "]\ntitle = " + quoted(id) + "\npresent = " + present + "\n";
}

std::string root_text(const Network& network, const Node& root) {
    if (root.states.size() == 2) {
        const std::size_t state = present_state(network, root);
        return cause_head(identifier(root.name), exact(root.rows[0][state])) +
               shows_text(network, root.name, state);
    }
    std::string text = table_text(root);
    for (std::size_t state = 1; state < root.states.size(); ++state)
        text += cause_head(cause_of_state(root.name, root.states[state]), "\"always\"") +
                "only_if = { " + identifier(root.name) + " = " +
                quoted(identifier(root.states[state])) + " }\n" +
                shows_text(network, root.name, state);
    return text;
}

std::string child_text(const Network& network, const Canonical& gate) {
    const Node& child = node_named(network, gate.child);
    const std::string id = identifier(gate.child);
    std::string text = "\n[symptom." + id + "]\ntitle = " + quoted(id) + "\n";
    if (!gate.is_or) {
        std::vector<std::string> levels(child.states.begin() + 1, child.states.end());
        text += "normal = " + quoted(identifier(child.states[0])) + "\nlevels = " +
                listed(levels, [](const std::string& level) { return quoted(identifier(level)); }) +
                "\n";
    }
    return text + "seen_anyway = " + chances_text(network, gate, gate.leak) + "\n";
}

Finding certain(Findable what, std::size_t value) {
    Finding finding;
    finding.what = what;
    finding.value = value;
    finding.via = Via::sure;
    return finding;
}

Finding weighed(Findable what, const std::vector<double>& weights) {
    Finding finding;
    finding.what = what;
    finding.weights = weights;
    finding.via = Via::sure;
    return finding;
}

template <class Id>
Id sure(Id id, const std::string& name) {
    if (!id.valid())
        throw std::runtime_error("nothing is called '" + name + "' in the knowledge");
    return id;
}

}  // namespace

std::string identifier(std::string name) {
    std::replace(name.begin(), name.end(), '_', '-');
    return name;
}

std::string finding_identifier(std::size_t finding) { return "finding-" + std::to_string(finding); }
std::string cause_identifier(std::size_t cause) { return "cause-" + std::to_string(cause); }

std::string cause_of_state(const std::string& root, const std::string& state) {
    return identifier(root) + "-" + identifier(state);
}

std::size_t present_state(const Network& network, const Node& node) {
    for (const Canonical& gate : network.canonical) {
        const bool here =
            gate.child == node.name ||
            std::find(gate.parents.begin(), gate.parents.end(), node.name) != gate.parents.end();
        if (here)
            return gate.is_or ? 0 : 1;
    }
    throw std::runtime_error(node.name + ": stands in no gate");
}

std::string as_tables(const Network& network) {
    std::string text = manifest;
    for (const Node& node : network.nodes)
        text += table_text(node);
    return text;
}

std::string as_causes(const Network& network) {
    std::string text = manifest;
    for (const Node& node : network.nodes) {
        const auto gate =
            std::find_if(network.canonical.begin(), network.canonical.end(),
                         [&](const Canonical& candidate) { return candidate.child == node.name; });
        if (gate != network.canonical.end())
            text += child_text(network, *gate);
        else if (node.parents.empty())
            text += root_text(network, node);
        else
            throw std::runtime_error(node.name + ": neither a root nor a gate");
    }
    return text;
}

std::string as_causes(const NoisyOrNet& net) {
    std::string text = manifest;
    for (std::size_t finding = 0; finding < net.leak.size(); ++finding) {
        const std::string id = finding_identifier(finding + 1);
        text += "\n[symptom." + id + "]\ntitle = " + quoted(id) +
                "\nseen_anyway = " + exact(net.leak[finding]) + "\n";
    }
    for (std::size_t cause = 0; cause < net.prior.size(); ++cause) {
        text += cause_head(cause_identifier(cause + 1), exact(net.prior[cause])) + "shows = { ";
        bool first = true;
        for (std::size_t finding = 0; finding < net.leak.size(); ++finding) {
            const double strength = net.strength[finding][cause];
            if (strength == 0)
                continue;
            text += (first ? "" : ", ") + finding_identifier(finding + 1) + " = " + exact(strength);
            first = false;
        }
        text += " }\n";
    }
    return text;
}

Evidence evidence_on_tables(const Knowledge& knowledge, const Network& network, const Case& one) {
    Evidence evidence;
    const auto table = [&](const std::string& name) {
        return sure(setting_named(knowledge, identifier(name)), name);
    };
    for (const auto& [name, state] : one.evidence)
        add(evidence, certain(table(name), state_named(node_named(network, name), state)));
    for (const auto& [name, weights] : one.likelihood)
        add(evidence, weighed(table(name), weights));
    return evidence;
}

Evidence evidence_on_causes(const Knowledge& knowledge, const Network& network, const Case& one) {
    if (!one.likelihood.empty())
        throw std::runtime_error(one.id + ": no case of the file has uncertain evidence on a gate");
    Evidence evidence;
    for (const auto& [name, state] : one.evidence) {
        const Node& node = node_named(network, name);
        const std::size_t value = state_named(node, state);
        const SignId sign = sign_named(knowledge, identifier(name));
        const SettingId table = setting_named(knowledge, identifier(name));
        const bool flag_child = sign.valid() && node.states.size() == 2;
        if (flag_child)
            add(evidence, certain(sign, value == present_state(network, node) ? 1 : 0));
        else if (sign.valid())
            add(evidence, certain(sign, value));
        else if (table.valid())
            add(evidence, certain(table, value));
        else
            evidence.causes.push_back({sure(cause_named(knowledge, identifier(name)), name),
                                       value == present_state(network, node), 0});
    }
    return evidence;
}

Evidence evidence_on_causes(const Knowledge& knowledge, const NoisyOrCase& one) {
    Evidence evidence;
    const auto sign = [&](std::size_t finding) {
        const std::string id = finding_identifier(finding);
        return sure(sign_named(knowledge, id), id);
    };
    const auto cause = [&](std::size_t number) {
        const std::string id = cause_identifier(number);
        return sure(cause_named(knowledge, id), id);
    };
    for (const std::size_t finding : one.positive)
        add(evidence, certain(sign(finding), 1));
    for (const std::size_t finding : one.negative)
        add(evidence, certain(sign(finding), 0));
    for (const std::size_t number : one.known_present)
        evidence.causes.push_back({cause(number), true, 0});
    for (const std::size_t number : one.known_absent)
        evidence.causes.push_back({cause(number), false, 0});
    return evidence;
}

}  // namespace knockwell::reference
