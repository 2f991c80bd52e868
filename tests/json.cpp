#include "json.hpp"
#include <nlohmann/json.hpp>
#include <ostream>

namespace lotwort::test {

namespace {

using Node = nlohmann::json;

const Node& node(const void* here) {
    static const Node null;
    return here != nullptr ? *static_cast<const Node*>(here) : null;
}

} // namespace

Json::Json(const std::string& text) {
    const auto made = std::make_shared<const Node>(text);
    *this = {made, made.get()};
}

Json Json::array(std::initializer_list<const char*> texts) {
    Node list = Node::array();
    for (const char* text : texts) list.push_back(text);
    const auto made = std::make_shared<const Node>(std::move(list));
    return {made, made.get()};
}

Json Json::parse(const std::string& text) {
    const auto made = std::make_shared<const Node>(Node::parse(text));
    return {made, made.get()};
}

Json Json::member(const std::string& key) const {
    const Node& here = node(here_);
    const auto found = here.find(key);
    return found != here.end() ? Json(document_, &*found) : Json();
}

Json Json::element(std::size_t index) const {
    const Node& here = node(here_);
    return index < here.size() ? Json(document_, &*std::next(here.begin(), static_cast<std::ptrdiff_t>(index)))
                               : Json();
}

bool Json::contains(const std::string& key) const {
    return node(here_).contains(key);
}

bool Json::is_null() const {
    return node(here_).is_null();
}

std::size_t Json::size() const {
    return node(here_).size();
}

Json::Iterator Json::begin() const {
    return {*this, 0};
}

Json::Iterator Json::end() const {
    return {*this, size()};
}

std::string Json::text() const {
    return node(here_).get<std::string>();
}

double Json::number() const {
    return node(here_).get<double>();
}

bool Json::is_text(const std::string& text) const {
    return node(here_) == text;
}

bool Json::is_truth(bool truth) const {
    return node(here_) == truth;
}

bool Json::is_number(double number) const {
    return node(here_) == number;
}

bool operator==(const Json& one, const Json& other) {
    return node(one.here_) == node(other.here_);
}

std::ostream& operator<<(std::ostream& out, const Json& json) {
    return out << node(json.here_).dump();
}

} // namespace lotwort::test
