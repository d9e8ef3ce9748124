/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The rig's firmware on an emulated ATmega328P (simavr): echoes answer its triggers, modules its
 * bus, and what leaves its serial port is read back. emulate_avr FIRMWARE.elf echoes|modules LINES
 */
#include "firmware/emulated.h"
#include "support/bus_module.h"

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
};

struct emulation {
    avr_t *avr;
    struct echo echo[EMULATED_CHANNELS];
    struct bus bus;
    unsigned begun[EMULATED_CHANNELS];
    avr_irq_t *sda, *scl;
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

/* The sensor hears the end of its trigger. */
static void triggered(avr_irq_t *irq, uint32_t value, void *context)
{
    struct echo *echo = context;
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
        *echo = (struct echo){emulation, i, 0,
                              avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ('D'), ECHO_0 + i)};
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
    if (count != 4 || elf_read_firmware(arguments[1], &firmware) != 0) {
        fputs("usage: emulate_avr FIRMWARE.elf echoes|modules LINES\n", stderr);
        return 2;
    }
    bool modules = strcmp(arguments[2], "modules") == 0;
    size_t wanted = strtoul(arguments[3], NULL, 10);
    emulation.lines = emulated_lines_create("ATmega328P", modules, 4, 50000);
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
