// What has to happen before main.
#pragma once

#include <stdint.h>

namespace pairmark {
namespace firmware {
namespace start {

/// MCUSR as it was at reset.
extern uint8_t reset_flags;

/// Bytes between the variables and the deepest point that the stack ever reached.
uint16_t untouched();

}  // namespace start
}  // namespace firmware
}  // namespace pairmark
