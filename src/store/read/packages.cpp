#include "file/columns.hpp"
#include "snapshot.hpp"
#include <unordered_map>

namespace lotwort::store {

std::vector<Package> read_packages(Connection& connection, PackagesOf which, std::string_view code) {
    const std::string_view where = which == PackagesOf::all    ? ""
                                   : which == PackagesOf::brew ? "WHERE brew = ?"
                                                               : "WHERE code = ?";
    Query query(connection, fmt::format("SELECT package_id, {} FROM package_now {} ORDER BY packaged, package_run_id",
                                        columns_of<Package>(), where));
    if (which != PackagesOf::all) query.text(code);
    std::vector<Package> packages;
    std::unordered_map<std::int64_t, std::size_t> place_of;
    while (query.next()) {
        place_of[query.read_integer()] = packages.size();
        read_columns(query, packages.emplace_back());
    }
    if (packages.empty()) return packages;
    const bool one = packages.size() == 1;
    Query sent(connection, fmt::format("SELECT package_id, {} FROM package_sent_now {} ORDER BY package_sent_id",
                                       columns_of<Sent>(), one ? "WHERE package_id = ?" : ""));
    if (one) sent.integer(place_of.begin()->first);
    while (sent.next())
        if (const auto place = place_of.find(sent.read_integer()); place != place_of.end())
            read_columns(sent, packages[place->second].sent.emplace_back());
    return packages;
}

} // namespace lotwort::store
