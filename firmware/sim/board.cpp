#include "firmware/sim/board.hpp"

#include <simavr/sim_elf.h>

#include <algorithm>
#include <array>
#include <cstdarg>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <stdexcept>

namespace pairmark::sim {
namespace {

constexpr uint16_t sram_begin = 0x200;
/// 100 instead of the library's 1 doubles the speed; interrupts and timers still come at their own cycle.
constexpr avr_cycle_count_t burst_cycles = 100;

void say_nothing(avr_t*, int, const char*, va_list) {}

/// The library does not look: any file at all would be loaded as an empty image.
bool is_avr_elf(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    std::array<unsigned char, 20> head{};
    file.read(reinterpret_cast<char*>(head.data()), head.size());
    constexpr unsigned char avr_machine = 83;
    return file && head[0] == 0x7F && head[1] == 'E' && head[2] == 'L' && head[3] == 'F' &&
           head[18] == avr_machine;
}

struct Image : elf_firmware_t {
    Image() : elf_firmware_t{} {}
    ~Image() {
        std::free(flash);
        std::free(eeprom);
        std::free(fuse);
        std::free(lockbits);
        for (uint32_t i = 0; i < symbolcount; ++i)
            std::free(symbol[i]);
        std::free(symbol);
    }
    Image(const Image&) = delete;
    Image& operator=(const Image&) = delete;
};

}  // namespace

void Board::Free::operator()(avr_t* chip) const {
    // The library forgets the listeners of its interrupts and the table of its signals.
    for (uint8_t i = 0; i < chip->interrupts.vector_count; ++i)
        avr_free_irq(chip->interrupts.vector[i]->irq, AVR_INT_IRQ_COUNT);
    avr_free_irq(chip->interrupts.irq, AVR_INT_IRQ_COUNT);
    avr_terminate(chip);
    std::free(chip->irq_pool.irq);
    std::free(chip);
}

Board::Board(const std::string& elf_path, uint64_t seed)
    : eeprom_(seed), chance_(seed ^ 0x9E3779B97F4A7C15ull) {
    load(elf_path);
    eeprom_.attach(*chip_);
    uart0_.attach(*chip_, '0');
    uart1_.attach(*chip_, '1');
    pins_.attach(*chip_);
    reset_hook_.board = this;
    reset_hook_.module.kind = "board";
    reset_hook_.module.reset = on_reset;
    append_module(*chip_, reset_hook_.module);
}

Board::~Board() = default;

void Board::load(const std::string& elf_path) {
    // Asked first, because the library ends the program over a file that it cannot open.
    if (!std::filesystem::is_regular_file(elf_path))
        throw std::runtime_error("no firmware image at " + elf_path + "; build the firmware first");
    avr_global_logger_set(say_nothing);
    Image image;
    if (!is_avr_elf(elf_path) || elf_read_firmware(elf_path.c_str(), &image) != 0 || image.flash == nullptr)
        throw std::runtime_error(elf_path + " is not an ELF image for this chip");
    chip_.reset(avr_make_mcu_by_name("atmega2560"));
    if (!chip_) throw std::runtime_error("this libsimavr does not know the ATmega2560");
    avr_init(chip_.get());
    chip_->log = LOG_NONE;
    chip_->sleep = on_sleep;
    chip_->custom.data = this;
    if (image.flashsize > chip_->flashend + 1)
        throw std::runtime_error(elf_path + " does not fit into the chip's flash");
    image.frequency = clock_hz;
    avr_load_firmware(chip_.get(), &image);
    chip_->frequency = clock_hz;
}

void Board::on_reset(avr_io_t* hook) {
    // `module` is the first member, so the hook's address is the module's.
    Board& board = *reinterpret_cast<ResetHook*>(hook)->board;
    ++board.resets_;
    board.alarm_ = 0;  // the reset threw every timer away, and the limit of a burst
    board.chip_->run_cycle_limit = board.watching_ ? 1 : burst_cycles;
    board.let_in_ = false;
    board.masked_since_ = UINT64_MAX;
    board.eeprom_.chip_reset();
    board.uart0_.chip_reset();
    board.uart1_.chip_reset();
    board.pins_.chip_reset();
    if (board.pins_.on_store) board.pins_.on_store();
}

void Board::restart(ResetCause cause) {
    chip_->run = avr_callback_run_raw;  // a watchdog that has just fired puts its own in
    avr_reset(chip_.get());
    chip_->state = cpu_Running;
    chip_->data[mcusr] = static_cast<uint8_t>(cause);
}

void Board::power_on(ResetCause cause) {
    if (powered_) return;
    powered_ = true;
    if (cause == ResetCause::brown_out) return restart(cause);
    for (size_t at = sram_begin; at <= chip_->ramend; at += sizeof(uint64_t)) {
        const uint64_t noise = chance_();
        for (size_t i = 0; i < sizeof noise && at + i <= chip_->ramend; ++i)
            chip_->data[at + i] = static_cast<uint8_t>(noise >> (8 * i));
    }
    restart(cause);
}

void Board::power_cut() {
    if (!powered_) return;
    powered_ = false;
    eeprom_.cut();
    uart0_.cut();
    uart1_.cut();
    avr_cycle_timer_reset(chip_.get());
    alarm_ = 0;
    if (pins_.on_store) pins_.on_store();
}

void Board::press_reset() {
    if (powered_) restart(ResetCause::pin);
}

void Board::disturb(uint16_t address, uint8_t value) {
    chip_->data[address] = value;
}

BoardState Board::state() const {
    const bool alive = chip_->state == cpu_Running || chip_->state == cpu_Sleeping;
    return powered_ && alive ? BoardState::running : BoardState::dead;
}

/// Called instead of waiting: pace, if there is to be one, is the caller's.
void Board::on_sleep(avr_t* chip, avr_cycle_count_t cycles) {
    static_cast<Board*>(chip->custom.data)->asleep_cycles_ += cycles + 1;
}

avr_cycle_count_t Board::on_alarm(avr_t*, avr_cycle_count_t, void*) {
    return 0;
}

void Board::watch_closely() {
    watching_ = true;
    chip_->run_cycle_limit = 1;
}

void Board::note(uint64_t before) {
    if (chip_->sreg[S_I] != 0) {
        if (masked_since_ != UINT64_MAX)
            longest_masked_ = std::max<uint64_t>(longest_masked_, chip_->cycle - masked_since_);
        masked_since_ = UINT64_MAX;
        let_in_ = true;
    } else if (let_in_ && masked_since_ == UINT64_MAX) {
        masked_since_ = before;
    }
    const unsigned pointer = chip_->data[R_SPL] | (chip_->data[R_SPH] << 8);
    if (pointer > sram_begin && pointer <= chip_->ramend)
        deepest_stack_ = std::max(deepest_stack_, static_cast<uint16_t>(chip_->ramend - pointer));
}

void Board::step(uint64_t until) {
    const uint64_t before = chip_->cycle;
    if (!powered_) {
        chip_->cycle = until;
        return;
    }
    if (alarm_ != until) {
        // A timer at the goal keeps a sleeping chip from sleeping past it and a busy one from a burst beyond
        // it.
        avr_cycle_timer_register(chip_.get(), until - before, on_alarm, this);
        alarm_ = until;
    }
    if (state() == BoardState::running || chip_->run != avr_callback_run_raw) {
        chip_->run(chip_.get());
        if (watching_) note(before);
        return;
    }
    // The chip has stopped for good, but time has not: its timers go on, and the watchdog may yet wake it.
    const avr_cycle_count_t idle = avr_cycle_timer_process(chip_.get());
    chip_->cycle = std::min<uint64_t>(until, chip_->cycle + std::max<avr_cycle_count_t>(idle, 1));
}

bool Board::run_until(uint64_t cycle) {
    stop_ = false;
    while (chip_->cycle < cycle && !stop_)
        step(cycle);
    return chip_->cycle >= cycle;
}

bool Board::run_until(const std::function<bool()>& done, uint64_t cycles) {
    const uint64_t limit = chip_->cycle + cycles;
    while (!done()) {
        if (chip_->cycle >= limit) return false;
        step(limit);
    }
    return true;
}

}  // namespace pairmark::sim
