// The answers of `lotwort tank`: what each tank holds, till when, and what is planned for it.
#pragma once

#include <lotwort/brew/board.hpp>
#include <lotwort/report/booked.hpp>
#include <lotwort/report/table.hpp>
#include <string>
#include <vector>

namespace lotwort::report {

// `booked` is null where they are only listed.
[[nodiscard]] std::string tank_text(const std::vector<TankState>& tanks, const Booked* booked);
[[nodiscard]] std::string tank_csv(const std::vector<TankState>& tanks); // a row a use; of a free tank one
[[nodiscard]] std::string tank_json(const std::vector<TankState>& tanks, const Booked* booked); // lotwort/tank/1
[[nodiscard]] Table tank_table(const std::vector<TankState>& tanks);

} // namespace lotwort::report
