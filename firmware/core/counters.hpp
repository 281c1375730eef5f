// What the adapter counts since its start, for STATUS.
#pragma once

#include <stdint.h>

namespace pairmark {
namespace firmware {

/// In the order of STATUS.
struct Counters {
    uint32_t bytes;    // from the instrument
    uint32_t refused;  // captures that were no reading, or could not be kept
    uint32_t again;    // events sent again
    uint32_t torn;     // slots found torn at start
    uint32_t clash;    // acknowledgements that did not match the event in flight
    uint32_t framing;  // instrument bytes with a framing or parity error
    uint32_t overrun;  // instrument bytes that were lost before we could take them
};

}  // namespace firmware
}  // namespace pairmark
