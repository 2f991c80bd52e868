#include "markup.hpp"
#include <array>
#include <stdexcept>
#include <utility>

namespace lotwort::test {

namespace {

void gather(const Node& node, const std::string& wanted, std::vector<const Node*>& found) {
    for (const Node& child : node.children) {
        if (child.name == wanted) found.push_back(&child);
        gather(child, wanted, found);
    }
}

class Reader {
public:
    explicit Reader(const std::string& text) : text_(text) {}

    Node document() {
        if (text_.rfind("<!DOCTYPE html>\n", 0) == 0) at_ = 16;
        Node root = element();
        while (at_ < text_.size() && is_space(text_[at_])) ++at_;
        demand(at_ == text_.size(), "something follows the root");
        return root;
    }

private:
    static bool is_space(char c) { return c == ' ' || c == '\n' || c == '\t'; }
    void demand(bool holds, const std::string& what) const {
        if (!holds) throw std::runtime_error(what + " at: " + text_.substr(at_ < 40 ? 0 : at_ - 40, 90));
    }
    bool take(const std::string& piece) {
        if (text_.compare(at_, piece.size(), piece) != 0) return false;
        at_ += piece.size();
        return true;
    }
    std::string word() {
        const auto begun = at_;
        while (at_ < text_.size() &&
               (std::isalnum(static_cast<unsigned char>(text_[at_])) || text_[at_] == '-' || text_[at_] == ':'))
            ++at_;
        demand(at_ > begun, "a name is missing");
        return text_.substr(begun, at_ - begun);
    }
    std::string until(char end) {
        std::string out;
        while (at_ < text_.size() && text_[at_] != end) {
            demand(text_[at_] != '<', "a < that is not escaped");
            out += text_[at_] == '&' ? entity() : text_[at_++];
        }
        return out;
    }
    char entity() {
        static constexpr std::array<std::pair<const char*, char>, 5> known{
            {{"&amp;", '&'}, {"&lt;", '<'}, {"&gt;", '>'}, {"&quot;", '"'}, {"&apos;", '\''}}};
        for (const auto& [name, c] : known)
            if (take(name)) return c;
        demand(false, "an & that is no entity");
        return ' ';
    }
    Node element() {
        demand(take("<"), "an element is missing");
        Node node;
        node.name = word();
        while (text_[at_] == ' ') {
            ++at_;
            const std::string name = word();
            demand(take("=\""), "an attribute without quotes");
            demand(node.attributes.emplace(name, until('"')).second, "an attribute twice");
            demand(take("\""), "an attribute without its end");
        }
        if (take("/>")) return node;
        demand(take(">"), "a tag without its end");
        for (;;) {
            node.text += until('<');
            demand(at_ < text_.size(), node.name + " is not closed");
            if (take("</")) {
                demand(word() == node.name, node.name + " is closed by another");
                demand(take(">"), "a tag without its end");
                return node;
            }
            Node child = element();
            if (child.name == "span") node.text += child.text; // a word among others, kept whole
            node.children.push_back(std::move(child));
        }
    }

    const std::string& text_;
    std::size_t at_ = 0;
};

} // namespace

std::vector<const Node*> Node::all(const std::string& wanted) const {
    std::vector<const Node*> found;
    gather(*this, wanted, found);
    return found;
}

Parsed parse_markup(const std::string& text) {
    try {
        return {Reader(text).document(), ""};
    } catch (const std::runtime_error& e) {
        return {std::nullopt, e.what()};
    }
}

} // namespace lotwort::test
