#include "firmware/sim/chip.hpp"

#include <simavr/avr_uart.h>

#include <stdexcept>
#include <string>
#include <string_view>

namespace pairmark::sim {

WriteHandler replace_write(avr_t& chip, uint16_t address, avr_io_write_t write, void* param) {
    auto& slot = chip.io[AVR_DATA_TO_IO(address)].w;
    const WriteHandler before{slot.c, slot.param};
    slot.c = write;
    slot.param = param;
    return before;
}

void replace_read(avr_t& chip, uint16_t address, avr_io_read_t read, void* param) {
    auto& slot = chip.io[AVR_DATA_TO_IO(address)].r;
    slot.c = read;
    slot.param = param;
}

avr_io_t& find_module(avr_t& chip, const char* kind, char name) {
    for (avr_io_t* module = chip.io_port; module != nullptr; module = module->next) {
        if (module->kind == nullptr || std::string_view(module->kind) != kind) continue;
        if (name == 0 || reinterpret_cast<avr_uart_t*>(module)->name == name) return *module;
    }
    throw std::logic_error(std::string("the simulated chip has no module ") + kind + " " + name);
}

void append_module(avr_t& chip, avr_io_t& module) {
    module.avr = &chip;
    module.next = nullptr;
    avr_io_t** last = &chip.io_port;
    while (*last != nullptr)
        last = &(*last)->next;
    *last = &module;
}

void when_handled(avr_int_vector_t& vector, avr_irq_notify_t again, void* param) {
    avr_irq_register_notify(&vector.irq[AVR_INT_IRQ_RUNNING], again, param);
}

}  // namespace pairmark::sim
