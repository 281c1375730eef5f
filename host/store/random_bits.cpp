#include "host/store/random_bits.hpp"

#include <sys/random.h>

#include <stdexcept>

namespace pairmark::store {

std::uint64_t random_bits_of_the_system() {
    std::uint64_t bits = 0;
    if (::getentropy(&bits, sizeof bits) != 0) throw std::runtime_error("the system gives no random bits");
    return bits;
}

}  // namespace pairmark::store
