// What goes wrong on a bad day.
#pragma once

#include <string>

#include "tests/days/chance.hpp"
#include "tests/days/world.hpp"

namespace pairmark::days {

class Troubles {
  public:
    Troubles(World& world, Chance chance);
    /// From now on something goes wrong every few seconds. It must outlive the world's plans, or `end` be
    /// called.
    void begin();
    /// Everything is in order again: plugged in, powered, with paper and room, on time.
    void end();

  private:
    using Trouble = void (Troubles::*)();
    struct Named {
        const char* name;
        Trouble trouble;
    };
    static const std::vector<Named>& all();
    void next();
    /// Undoes a trouble in a while.
    void for_a_while(unsigned least_ms, unsigned most_ms, std::function<void()> undo);

    void replug();
    void another_name();
    void adapter_reset();
    void power_cut();
    void cut_while_writing();
    void wire_noise();
    void half_line();
    void host_stalls();
    void dead_cable();
    void no_paper();
    void printer_doubts();
    void names_taken();
    void printer_has_a_bad_day();
    void disk_full();
    void daemon_killed();
    void clock_ahead();
    void clock_back();
    void second_adapter();
    void port_taken();

    void power_back_soon();
    void plug_in();

    World& world_;
    Chance chance_;
    bool over_ = false;
    std::string path_ = "/dev/ttyACM0";
    unsigned names_ = 0;
};

}  // namespace pairmark::days
