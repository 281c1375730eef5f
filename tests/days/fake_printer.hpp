// A printer whose luck comes from the seed, and the pile of paper before it.
#pragma once

#include <functional>
#include <memory>
#include <set>
#include <string>
#include <vector>

#include "host/printing/printer.hpp"
#include "tests/days/chance.hpp"

namespace pairmark::days {

class FakePrinter final : public printing::Printer {
  public:
    enum class Mood { good, out_of_paper, doubtful, taken_names, bad_day };
    /// device: bytes leave and cannot be found again. folder: it can tell whether it has a document.
    enum class Kind { device, folder };

    explicit FakePrinter(Chance chance) : chance_(chance) {}
    std::string name() const override { return "the day's printer"; }
    void print(printing::Job job, Begins begins, Done done) override;
    /// The program that gave the jobs was killed. What the printer has of a document it goes on with.
    void forget_program() { program_ = std::make_shared<int>(); }

    struct Sheet {
        std::string number;
        int copy = 0;
        bool was_in_force = false;  // when it began to come out
    };
    Kind kind = Kind::device;
    Mood mood = Mood::good;
    /// It answers one job in so many later; 0: each at once.
    unsigned late_one_in = 0;
    std::function<bool(const std::string& number)> is_in_force;
    std::function<void(const std::string&)> tell;
    std::function<void(unsigned ms, std::function<void()>)> after;

    std::vector<Sheet> pile;
    /// What it left in doubt, or what was being sent when the program was killed: number and copy.
    std::set<std::pair<std::string, int>> doubted;
    unsigned held = 0;
    unsigned failed = 0;
    unsigned late = 0;
    /// For the trial of the trial: every sheet comes out twice; a document comes out before `begins` is
    /// asked, and whatever that says.
    bool prints_twice = false;
    bool asks_nobody = false;

  private:
    void begin(const printing::Job& job, Mood mood, unsigned delay, const Begins& begins, Done done);
    void come_out(const printing::Job& job);
    void later(unsigned ms, std::function<void()> what);

    Chance chance_;
    std::shared_ptr<int> program_ = std::make_shared<int>();
};

}  // namespace pairmark::days
