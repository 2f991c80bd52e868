#include <lotwort/brew/package.hpp>

namespace lotwort {

Litres packaged_volume(const Package& package) {
    return Litres(package.count * package.each.value());
}

int sent_out(const Package& package) {
    int sum = 0;
    for (const Sent& sent : package.sent) sum += sent.count;
    return sum;
}

int sent_to(const Package& package, const std::string& whom) {
    int sum = 0;
    for (const Sent& sent : package.sent)
        if (sent.to == whom) sum += sent.count;
    return sum;
}

} // namespace lotwort
