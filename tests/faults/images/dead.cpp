// Sleeps with interrupts off: nothing will ever wake it.
#include <avr/interrupt.h>
#include <avr/sleep.h>

int main() {
    cli();
    for (;;)
        sleep_mode();
}
