/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The rig's firmware on an emulated ATmega328P (simavr): echoes answer its triggers, modules its
 * bus, and what leaves its serial port is read back. emulate_avr FIRMWARE.elf echoes|modules|serial
 * LINES
 */
#include "firmware/emulated.h"
#include "support/bus_module.h"

#include <math.h>
#include <simavr/avr_ioport.h>
#include <simavr/avr_uart.h>
#include <simavr/sim_avr.h>
#include <simavr/sim_elf.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ECHO_0 = 2, TRIGGER_0 = 4, SDA = 4, SCL = 5, UNDER_WAY_US = 450 };

struct emulation;
struct echo {
    struct emulation *of;
    int channel;
    unsigned asked;
    avr_irq_t *pin;
    struct serial_module serial;
};

struct emulation {
    avr_t *avr;
    struct echo echo[EMULATED_CHANNELS];
    struct bus bus;
    unsigned begun[EMULATED_CHANNELS];
    avr_irq_t *sda, *scl;
    enum emulated_kind kind;
    struct emulated_lines *lines;
};

static avr_cycle_count_t echo_ends(avr_t *avr, avr_cycle_count_t when, void *context)
{
    struct echo *echo = context;
    (void)avr, (void)when;
    avr_raise_irq(echo->pin, 0);
    return 0;
}

static avr_cycle_count_t echo_begins(avr_t *avr, avr_cycle_count_t when, void *context)
{
    struct echo *echo = context;
    (void)when;
    avr_raise_irq(echo->pin, 1);
    avr_cycle_timer_register_usec(avr, emulated_width_us(echo->channel, echo->asked - 1), echo_ends,
                                  echo);
    return 0;
}

static double now_us(const avr_t *avr)
{
    return (double)avr->cycle / 16;
}

/* Each edge of what a serial module says. */
static avr_cycle_count_t says(avr_t *avr, avr_cycle_count_t when, void *context)
{
    struct echo *echo = context;
    double us = (double)when / 16 + 0.1; /* a cycle's rounding */
    (void)avr;
    avr_raise_irq(echo->pin, serial_module_high(&echo->serial, us));
    double next_us = serial_module_next_us(&echo->serial, us);
    return next_us < HUGE_VAL ? (avr_cycle_count_t)(next_us * 16) : 0;
}

/* The sensor hears the end of its trigger, a serial module a byte. */
static void triggered(avr_irq_t *irq, uint32_t value, void *context)
{
    struct echo *echo = context;
    if (echo->of->kind == EMULATED_SERIAL) {
        avr_t *avr = echo->of->avr;
        if (serial_module_line(&echo->serial, value != 0, now_us(avr))) {
            emulated_answer(&echo->serial, echo->channel, now_us(avr));
            double next_us = serial_module_next_us(&echo->serial, now_us(avr));
            avr_cycle_timer_register(avr, (avr_cycle_count_t)((next_us - now_us(avr)) * 16), says,
                                     echo);
        }
        return;
    }
    if (value != 0 || irq->value == 0) {
        return;
    }
    echo->asked++;
    if (emulated_width_us(echo->channel, echo->asked - 1) > 0) {
        avr_cycle_timer_register_usec(echo->of->avr, UNDER_WAY_US, echo_begins, echo);
    }
}

/* What each module will say next, whenever it was told to begin. */
static void set_modules(struct emulation *emulation)
{
    for (int i = 0; i < emulation->bus.modules; i++) {
        struct bus_module *module = &emulation->bus.module[i];
        bool good;
        uint16_t mm =
            emulated_module_mm(i, module->begun > 0 ? (unsigned)module->begun - 1 : 0, &good);
        module->registers[2] = (uint8_t)(mm >> 8);
        module->registers[3] = (uint8_t)mm;
        module->registers[4] = good ? 0x00 : 0x04;
    }
}

/* A pin that is an output is pulled low, one that is an input is let go. */
static void directions(avr_irq_t *irq, uint32_t value, void *context)
{
    struct emulation *emulation = context;
    (void)irq;
    bool scl = (value >> SCL & 1) == 0, sda = (value >> SDA & 1) == 0;
    bus_lines(&emulation->bus, scl, sda);
    set_modules(emulation);
    avr_raise_irq(emulation->scl, scl);
    avr_raise_irq(emulation->sda, sda && !emulation->bus.pulls);
}

static void sent(avr_irq_t *irq, uint32_t value, void *context)
{
    struct emulation *emulation = context;
    (void)irq;
    emulated_byte(emulation->lines, (char)value);
}

/* Asleep until the next timer: not in real time. */
static void asleep(avr_t *avr, avr_cycle_count_t how_long)
{
    (void)avr, (void)how_long; /* the emulator moves its clock on */
}

static void wire(struct emulation *emulation)
{
    avr_t *avr = emulation->avr;
    for (int i = 0; i < EMULATED_CHANNELS; i++) {
        struct echo *echo = &emulation->echo[i];
        *echo = (struct echo){.of = emulation,
                              .channel = i,
                              .pin = avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ('D'), ECHO_0 + i)};
        serial_module_init(&echo->serial, 9600 * (i == 0 ? 1.02 : 0.98)); /* their own clocks */
        if (emulation->kind == EMULATED_SERIAL) {
            avr_raise_irq(echo->pin, 1); /* its line rests high */
        }
        avr_irq_register_notify(avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ('D'), TRIGGER_0 + i),
                                triggered, echo);
    }
    emulation->sda = avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ('C'), SDA);
    emulation->scl = avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ('C'), SCL);
    avr_raise_irq(emulation->sda, 1);
    avr_raise_irq(emulation->scl, 1);
    avr_irq_register_notify(
        avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ('C'), IOPORT_IRQ_DIRECTION_ALL), directions,
        emulation);
    uint32_t flags = 0;
    avr_ioctl(avr, AVR_IOCTL_UART_GET_FLAGS('0'), &flags);
    flags &= ~(uint32_t)(AVR_UART_FLAG_STDIO | AVR_UART_FLAG_POLL_SLEEP);
    avr_ioctl(avr, AVR_IOCTL_UART_SET_FLAGS('0'), &flags);
    avr_irq_register_notify(avr_io_getirq(avr, AVR_IOCTL_UART_GETIRQ('0'), UART_IRQ_OUTPUT), sent,
                            emulation);
}

int main(int count, char **arguments)
{
    static struct emulation emulation;
    elf_firmware_t firmware;
    memset(&firmware, 0, sizeof firmware);
    if (!emulated_kind_read(count, arguments, &emulation.kind) ||
        elf_read_firmware(arguments[1], &firmware) != 0) {
        return 2;
    }
    size_t wanted = strtoul(arguments[3], NULL, 10);
    emulation.lines = emulated_lines_create("ATmega328P", emulation.kind, 4);
    if (emulation.lines == NULL) {
        return 2;
    }
    avr_t *avr = emulation.avr = avr_make_mcu_by_name("atmega328p");
    avr_init(avr);
    avr->frequency = 16000000;
    avr->sleep = asleep;
    avr->log = LOG_ERROR;
    avr_load_firmware(avr, &firmware);
    bus_init(&emulation.bus, EMULATED_CHANNELS, (const uint8_t[]){0x29, 0x2A});
    wire(&emulation);
    while (emulated_count(emulation.lines) < wanted) {
        int state = avr_run(avr);
        if (state == cpu_Done || state == cpu_Crashed) {
            printf("ATmega328P: stopped after %zu lines\n", emulated_count(emulation.lines));
            return 1;
        }
    }
    printf("ATmega328P: %.0f s of its time\n", (double)avr->cycle / 16e6);
    return emulated_judge(emulation.lines) ? 0 : 1;
}
