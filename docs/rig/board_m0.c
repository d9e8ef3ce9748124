/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "board.h"

#include "heard.h"

/* An STM32G031 (Cortex-M0+) at its own 16 MHz. Port A: 0 and 1 echo of head and chest (or
 * what their modules send), 2 serial out, 4 and 5 their triggers. Port B: 6 SCL, 7 SDA, open drain.
 * Timer 2 catches both edges of an echo by itself, to the microsecond.
 *
 * Addresses and bits of the registers are from memory of the family's reference manual. */

#define REGISTER(address) (*(volatile uint32_t *)(uintptr_t)(address))
#define BIT(n) (1UL << (n))

#define RCC 0x40021000UL
#define RCC_IOPENR REGISTER(RCC + 0x34)
#define RCC_APBENR1 REGISTER(RCC + 0x3C)
#define PORT_A 0x50000000UL
#define PORT_B 0x50000400UL
#define PORT_MODE(port) REGISTER((port) + 0x00)
#define PORT_KIND(port) REGISTER((port) + 0x04)
#define PORT_IN(port) REGISTER((port) + 0x10)
#define PORT_SET(port) REGISTER((port) + 0x18) /* the upper half clears */
#define PORT_FUNCTIONS(port) REGISTER((port) + 0x20)
#define TIMER 0x40000000UL
#define TIMER_CR1 REGISTER(TIMER + 0x00)
#define TIMER_DIER REGISTER(TIMER + 0x0C)
#define TIMER_SR REGISTER(TIMER + 0x10)
#define TIMER_EGR REGISTER(TIMER + 0x14)
#define TIMER_CCMR1 REGISTER(TIMER + 0x18)
#define TIMER_CCER REGISTER(TIMER + 0x20)
#define TIMER_CNT REGISTER(TIMER + 0x24)
#define TIMER_PSC REGISTER(TIMER + 0x28)
#define TIMER_ARR REGISTER(TIMER + 0x2C)
#define TIMER_CAUGHT(channel) REGISTER(TIMER + 0x34 + 4 * (uint32_t)(channel))
#define SERIAL 0x40004400UL
#define SERIAL_CR1 REGISTER(SERIAL + 0x00)
#define SERIAL_BRR REGISTER(SERIAL + 0x0C)
#define SERIAL_ISR REGISTER(SERIAL + 0x1C)
#define SERIAL_TDR REGISTER(SERIAL + 0x28)
#define SYSTICK_CSR REGISTER(0xE000E010UL)
#define SYSTICK_RVR REGISTER(0xE000E014UL)
#define SYSTICK_CVR REGISTER(0xE000E018UL)
#define NVIC_ISER REGISTER(0xE000E100UL)

enum { CLOCK_HZ = 16000000, BAUD = 115200, TIMER_IRQ = 15, SERIAL_IRQ = 28, ROOM = 256 };
enum { TRIGGER_0 = 4, TRIGGER_1 = 5, SCL = 6, SDA = 7 };

static struct heard_pin pins[BOARD_ECHO_CHANNELS];

static volatile char waiting[ROOM];
static volatile uint8_t head, tail; /* come round at ROOM by themselves */

static void interrupts(bool on)
{
    if (on) {
        __asm volatile("cpsie i" ::: "memory");
    } else {
        __asm volatile("cpsid i" ::: "memory");
    }
}

uint32_t board_micros(void)
{
    return TIMER_CNT;
}

void timer_2_interrupt(void)
{
    for (uint32_t channel = 0; channel < BOARD_ECHO_CHANNELS; channel++) {
        if ((TIMER_SR & BIT(1 + channel)) != 0) {
            uint32_t caught = TIMER_CAUGHT(channel); /* reading it clears the flag */
            heard_pin_edge(&pins[channel], PORT_IN(PORT_A) & BIT(channel), caught);
        }
    }
}

/* Waits by the timer: 1 us more than asked at most. */
static void wait_us(uint32_t us)
{
    uint32_t since = TIMER_CNT;
    while (TIMER_CNT - since <= us) {
    }
}

void board_trigger(uint8_t channel, bool high)
{
    uint32_t trigger = channel == 0 ? TRIGGER_0 : TRIGGER_1;
    PORT_SET(PORT_A) = BIT(high ? trigger : trigger + 16);
}

void board_echo_begin(uint8_t channel)
{
    heard_pin_wait(&pins[channel]);
    board_trigger(channel, true);
    wait_us(11);
    board_trigger(channel, false);
}

bool board_echo_ended(uint8_t channel, uint32_t *width_us, uint32_t *ended_us)
{
    return heard_pulse(&pins[channel], width_us, ended_us);
}

bool board_listen(uint8_t channel)
{
    bool listened = heard_pin_listen(&pins[channel]);
    if (!listened) {
        board_trigger(channel, true);
    }
    return listened;
}

bool board_heard(uint8_t channel, uint8_t *byte, uint32_t *began_us)
{
    interrupts(false);
    bool has = heard_byte(&pins[channel].bytes, TIMER_CNT, byte, began_us);
    interrupts(true);
    return has;
}

void board_bus_pull(enum board_line line, bool low)
{
    uint32_t pin = line == BOARD_SCL ? SCL : SDA;
    PORT_SET(PORT_B) = BIT(low ? pin + 16 : pin);
}

bool board_bus_is_high(enum board_line line)
{
    return PORT_IN(PORT_B) & BIT(line == BOARD_SCL ? SCL : SDA);
}

void board_bus_pause(void)
{
    wait_us(5);
}

size_t board_serial_room(void)
{
    return ROOM - 1 - (uint8_t)(head - tail);
}

bool board_serial_idle(void)
{
    return head == tail && (SERIAL_ISR & BIT(6)); /* transmission complete */
}

void serial_2_interrupt(void)
{
    if (head == tail) {
        SERIAL_CR1 &= ~BIT(7); /* nothing more to ask for */
    } else if (SERIAL_ISR & BIT(7)) {
        SERIAL_TDR = (uint8_t)waiting[tail];
        tail++;
    }
}

void board_serial_write(const char *bytes, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        waiting[head] = bytes[i];
        head++;
    }
    interrupts(false); /* the interrupt changes the same register */
    SERIAL_CR1 |= BIT(7);
    interrupts(true);
}

void board_idle(void)
{
    __asm volatile("wfi");
}

void systick_interrupt(void)
{
    /* wakes the loop each millisecond */
}

/* Pins 0 and 1 and 2 of port A to their own uses (timer 2, serial 2), 4 and 5 out; 6 and 7 of port
 * B out, open drain, let go. Two bits a pin: 1 out, 2 its own use; all others stay as they are
 * after a reset. */
static void start_pins(void)
{
    RCC_IOPENR |= BIT(0) | BIT(1);
    PORT_FUNCTIONS(PORT_A) = (PORT_FUNCTIONS(PORT_A) & ~0xFFFUL) | 0x122UL;
    PORT_MODE(PORT_A) = (PORT_MODE(PORT_A) & ~0xF3FUL) | 0x52AUL;
    PORT_SET(PORT_B) = BIT(SCL) | BIT(SDA);
    PORT_KIND(PORT_B) |= BIT(SCL) | BIT(SDA);
    PORT_MODE(PORT_B) = (PORT_MODE(PORT_B) & ~0xF000UL) | 0x5000UL;
}

void board_start(void)
{
    RCC_APBENR1 |= BIT(0) | BIT(17); /* timer 2, serial 2 */
    start_pins();
    TIMER_PSC = CLOCK_HZ / 1000000 - 1;
    TIMER_ARR = 0xFFFFFFFFUL;
    TIMER_EGR = BIT(0);     /* takes the prescaler over */
    TIMER_CCMR1 = 0x0101UL; /* channels 1 and 2 catch their own pins */
    TIMER_CCER = 0xBBUL;    /* both edges of both */
    TIMER_SR = 0;
    TIMER_DIER = BIT(1) | BIT(2);
    TIMER_CR1 = BIT(0);
    SERIAL_BRR = (CLOCK_HZ + BAUD / 2) / BAUD;
    SERIAL_CR1 = BIT(0) | BIT(3);
    SYSTICK_RVR = CLOCK_HZ / 1000 - 1;
    SYSTICK_CVR = 0;
    SYSTICK_CSR = 7;
    NVIC_ISER = BIT(TIMER_IRQ) | BIT(SERIAL_IRQ);
    interrupts(true);
}

/* What the core does after a reset
 * -------------------------------------------------------------------------- */

int main(void);
extern uint32_t stack_end[], data_begin[], data_end[], data_stored[], bss_begin[], bss_end[];

void reset(void)
{
    const uint32_t *from = data_stored;
    for (uint32_t *to = data_begin; to < data_end; to++, from++) {
        *to = *from;
    }
    for (uint32_t *to = bss_begin; to < bss_end; to++) {
        *to = 0;
    }
    (void)main();
    for (;;) {
    }
}

/* A fault: the rig is silent, and the program says so. */
void halt(void)
{
    for (;;) {
    }
}

#define CORE 16
__attribute__((section(".vectors"), used)) static void (*const vectors[CORE + 32])(void) = {
    [0] = (void (*)(void))(uintptr_t)stack_end,
    [1] = reset,
    [2] = halt,
    [3] = halt,
    [11] = halt,
    [14] = halt,
    [15] = systick_interrupt,
    [CORE + TIMER_IRQ] = timer_2_interrupt,
    [CORE + SERIAL_IRQ] = serial_2_interrupt,
};
