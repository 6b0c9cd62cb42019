#include "beliefs/chain.hpp"

#include <algorithm>
#include <cmath>

namespace knockwell {
namespace {

// Coefficients that differ by less are equal.
constexpr double equal_coefficients = 1e-14;

/// A question with the outcome that is found where it says no and the one before says yes.
struct ChainLink {
    std::size_t question = 0;
    std::size_t outcome = 0;
};

/// As the questions are put of what nothing hides: the kinds in the order in which they are
/// written; the levels from outside in, the low side first.
std::vector<ChainLink> links_of(const SignNode& node) {
    std::vector<ChainLink> links;
    if (node.form != SignForm::levels) {
        for (std::size_t k = 1; k <= node.high; ++k)
            links.push_back({k, k});
        return links;
    }
    for (std::size_t a = node.low; a-- > 0;)
        links.push_back({1 + a, node.high + a + 1});
    for (std::size_t b = node.high; b-- > 0;)
        links.push_back({2 + node.low + b, b + 1});
    return links;
}

/// The questions that are none of the chain are always true.
bool others_are_certain(const Questions& of, const std::vector<ChainLink>& links) {
    for (std::size_t q = 0; q < of.ask.size(); ++q)
        if (std::none_of(links.begin(), links.end(),
                         [&](const ChainLink& link) { return link.question == q; }) &&
            (of.ask[q].causes.count != 0 || of.ask[q].factor != 1))
            return false;
    return true;
}

/// Whether the outcome is so much of "certain" (question 0 stands for all such) and of the links.
bool is_made_of(const Questions& of, const std::vector<ChainLink>& links, std::size_t outcome,
                std::vector<double> expected) {
    double certain = 0;
    for (std::size_t q = 0; q < of.ask.size(); ++q)
        certain += of.by(outcome, q);
    for (const ChainLink& link : links) {
        const double by = of.by(outcome, link.question);
        certain -= by;
        if (std::abs(by - expected[link.question]) > equal_coefficients)
            return false;
    }
    return std::abs(certain - expected[0]) <= 4 * equal_coefficients;
}

}  // namespace

std::optional<Chain> chain_of(const SignNode& node, const Questions& questions) {
    const std::vector<ChainLink> links = links_of(node);
    if (!questions.settings.empty() || links.size() < 2 || links.size() + 1 != questions.outcomes ||
        questions.ask.size() <= links.size() || !others_are_certain(questions, links))
        return {};
    for (const ChainLink& link : links)
        if (link.question >= questions.ask.size() || questions.ask[link.question].factor == 0)
            return {};
    const std::size_t last = links.back().question;
    Chain chain;
    chain.alarm = (1 - questions.by(0, last)) / static_cast<double>(links.size());
    std::vector<double> expected(questions.ask.size(), 0.0);
    expected[last] = questions.by(0, last);
    if (!is_made_of(questions, links, 0, expected))
        return {};
    std::size_t before = 0;
    for (const ChainLink& link : links) {
        expected.assign(expected.size(), 0.0);
        expected[before] += 1;
        expected[link.question] -= 1;
        expected[last] += chain.alarm;
        if (!is_made_of(questions, links, link.outcome, expected))
            return {};
        chain.questions.push_back(link.question);
        before = link.question;
    }
    return chain;
}

}  // namespace knockwell
