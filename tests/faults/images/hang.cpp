// Loops for ever with interrupts and watchdog off.
#include <avr/interrupt.h>

int main() {
    cli();
    for (;;) {
    }
}
