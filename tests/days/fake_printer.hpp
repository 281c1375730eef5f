// A printer whose luck comes from the seed, and the pile of paper before it.
#pragma once

#include <functional>
#include <set>
#include <string>
#include <vector>

#include "host/printing/printer.hpp"
#include "tests/days/chance.hpp"

namespace pairmark::days {

class FakePrinter final : public printing::Printer {
  public:
    enum class Mood { good, out_of_paper, doubtful, taken_names, bad_day };

    explicit FakePrinter(Chance chance) : chance_(chance) {}
    std::string name() const override { return "the day's printer"; }
    printing::Result print(const printing::Job& job) override;

    struct Sheet {
        std::string number;
        int copy = 0;
        bool was_in_force = false;
    };
    Mood mood = Mood::good;
    /// Asked when a document begins to come out.
    std::function<bool(const std::string& number)> is_in_force;
    std::function<void(const std::string&)> tell;

    std::vector<Sheet> pile;
    std::set<std::string> doubted;  // numbers that it left in doubt
    /// For the trial of the trial.
    bool prints_twice = false;

  private:
    Chance chance_;
};

}  // namespace pairmark::days
