/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The rig's firmware on an emulated Cortex-M0+ (Unicorn) with the few peripherals of an STM32G031
 * that it uses: timer 2, serial port 2, two ports of pins, the system's tick. The core's
 * instructions are the emulator's; what the registers do is written here, from memory of the
 * reference manual as the firmware's addresses are: this shows that the firmware does what it means
 * to, and not that the registers are right. Interrupts are taken while it sleeps. emulate_m0
 * FIRMWARE.elf echoes|modules|serial LINES */
#include "firmware/emulated.h"
#include "support/bus_module.h"

#include <elf.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unicorn/unicorn.h>

enum { FLASH = 0x08000000, FLASH_SIZE = 0x10000, RAM = 0x20000000, RAM_SIZE = 0x2000 };
enum { ENOUGH = FLASH + FLASH_SIZE - 16 }; /* where a handler returns to */
enum { TICK = 15, TIMER = 16 + 15, SERIAL = 16 + 28 };
enum { TRIGGER_0 = 4, SCL = 6, SDA = 7, UNDER_WAY_US = 450 };
#define BYTE_US (10e6 / 115200)

struct machine {
    uc_engine *core;
    double now_us;
    double tick_us, byte_us; /* when each comes next; the port is empty from then on */
    double rises_us[EMULATED_CHANNELS],
        falls_us[EMULATED_CHANNELS]; /* falls_us: a serial module's next edge */
    unsigned asked[EMULATED_CHANNELS];
    uint32_t caught[EMULATED_CHANNELS], flags; /* of timer 2 */
    uint32_t high, pins_b, serial_control;
    bool ticked, sleeps;
    struct bus bus;
    struct serial_module serial[EMULATED_CHANNELS];
    enum emulated_kind kind;
    struct emulated_lines *lines;
};

#define LATER 1e18

static void failed(uc_err error, const char *what)
{
    if (error != UC_ERR_OK) {
        printf("Cortex-M0+: %s: %s\n", what, uc_strerror(error));
        exit(1);
    }
}

static void set_modules(struct machine *machine)
{
    for (int i = 0; i < machine->bus.modules; i++) {
        struct bus_module *module = &machine->bus.module[i];
        bool good;
        uint16_t mm =
            emulated_module_mm(i, module->begun > 0 ? (unsigned)module->begun - 1 : 0, &good);
        module->registers[2] = (uint8_t)(mm >> 8);
        module->registers[3] = (uint8_t)mm;
        module->registers[4] = good ? 0x00 : 0x04;
    }
}

static uint64_t read_timer(uc_engine *core, uint64_t offset, unsigned size, void *context)
{
    struct machine *machine = context;
    (void)core, (void)size;
    machine->now_us += 0.5; /* some instructions */
    switch (offset) {
    case 0x10:
        return machine->flags;
    case 0x24:
        return (uint32_t)(uint64_t)machine->now_us;
    case 0x34:
    case 0x38: {
        int channel = offset == 0x38;
        machine->flags &= ~(2U << channel);
        return machine->caught[channel];
    }
    default:
        return 0;
    }
}

static uint64_t read_pins(uc_engine *core, uint64_t offset, unsigned size, void *context)
{
    struct machine *machine = context;
    (void)core, (void)size;
    if (offset == 0x10) {
        return machine->high;
    }
    if (offset == 0x410) {
        bool scl = machine->pins_b >> SCL & 1,
             sda = (machine->pins_b >> SDA & 1) && !machine->bus.pulls;
        return (uint64_t)scl << SCL | (uint64_t)sda << SDA;
    }
    return 0xEBFFFFFF; /* modes after a reset: analogue */
}

/* A serial module hears the trigger's line, and its first edge comes. */
static void hear(struct machine *machine, int channel, uint64_t value)
{
    struct serial_module *module = &machine->serial[channel];
    int pin = TRIGGER_0 + channel;
    bool high = value >> pin & 1, low = value >> (16 + pin) & 1;
    if ((high || low) && serial_module_line(module, high, machine->now_us)) {
        emulated_answer(module, channel, machine->now_us);
        machine->falls_us[channel] = serial_module_next_us(module, machine->now_us);
    }
}

static void write_pins(uc_engine *core, uint64_t offset, unsigned size, uint64_t value,
                       void *context)
{
    struct machine *machine = context;
    (void)core, (void)size;
    for (int i = 0; offset == 0x18 && i < EMULATED_CHANNELS; i++) {
        if (machine->kind == EMULATED_SERIAL) {
            hear(machine, i, value);
        } else if (value >> (16 + TRIGGER_0 + i) &
                   1) { /* the sensor hears the end of its trigger */
            uint32_t width_us = emulated_width_us(i, machine->asked[i]++);
            machine->rises_us[i] = width_us > 0 ? machine->now_us + UNDER_WAY_US : LATER;
            machine->falls_us[i] = machine->rises_us[i] + width_us;
        }
    }
    if (offset == 0x418) {
        machine->pins_b = (machine->pins_b | (uint32_t)(value & 0xFFFF)) & ~(uint32_t)(value >> 16);
        bus_lines(&machine->bus, machine->pins_b >> SCL & 1, machine->pins_b >> SDA & 1);
        set_modules(machine);
    }
}

static uint64_t read_serial(uc_engine *core, uint64_t offset, unsigned size, void *context)
{
    struct machine *machine = context;
    (void)core, (void)size;
    bool empty = machine->now_us >= machine->byte_us;
    return offset == 0x400 ? machine->serial_control : offset == 0x41C && empty ? 0xC0 : 0;
}

static void write_serial(uc_engine *core, uint64_t offset, unsigned size, uint64_t value,
                         void *context)
{
    struct machine *machine = context;
    (void)core, (void)size;
    if (offset == 0x400) {
        machine->serial_control = (uint32_t)value;
    } else if (offset == 0x428) {
        emulated_byte(machine->lines, (char)value);
        machine->byte_us = machine->now_us + BYTE_US;
    }
}

static uint64_t read_nothing(uc_engine *core, uint64_t offset, unsigned size, void *context)
{
    (void)core, (void)offset, (void)size, (void)context;
    return 0;
}

static void write_nothing(uc_engine *core, uint64_t offset, unsigned size, uint64_t value,
                          void *context)
{
    (void)core, (void)offset, (void)size, (void)value, (void)context;
}

/* What has come by now: edges are caught with the time at which they were. */
static void catch_up(struct machine *machine)
{
    for (int i = 0; i < EMULATED_CHANNELS; i++) {
        if (machine->kind == EMULATED_SERIAL && machine->now_us >= machine->falls_us[i]) {
            double edge_us = machine->falls_us[i];
            bool high = serial_module_high(&machine->serial[i], edge_us);
            machine->caught[i] = (uint32_t)(uint64_t)edge_us;
            machine->high = (machine->high & ~(1U << i)) | (uint32_t)high << i;
            machine->flags |= 2U << i;
            machine->falls_us[i] = serial_module_next_us(&machine->serial[i], edge_us);
        } else if (machine->now_us >= machine->rises_us[i]) {
            machine->caught[i] = (uint32_t)(uint64_t)machine->rises_us[i];
            machine->high |= 1U << i;
            machine->flags |= 2U << i;
            machine->rises_us[i] = LATER;
        } else if (machine->now_us >= machine->falls_us[i] && (machine->high >> i & 1)) {
            machine->caught[i] = (uint32_t)(uint64_t)machine->falls_us[i];
            machine->high &= ~(1U << i);
            machine->flags |= 2U << i;
            machine->falls_us[i] = LATER;
        }
    }
    while (machine->now_us >= machine->tick_us) {
        machine->tick_us += 1000;
        machine->ticked = true;
    }
}

static void sleep_until_something(struct machine *machine)
{
    double next_us = machine->tick_us;
    for (int i = 0; i < EMULATED_CHANNELS; i++) {
        next_us = machine->rises_us[i] < next_us ? machine->rises_us[i] : next_us;
        next_us = machine->falls_us[i] < next_us ? machine->falls_us[i] : next_us;
    }
    if ((machine->serial_control & 0x80) && machine->byte_us < next_us) {
        next_us = machine->byte_us;
    }
    machine->now_us = next_us > machine->now_us ? next_us : machine->now_us;
}

/* A handler is run as a function would be, and everything put back as it was. */
static void interrupt(struct machine *machine, int number)
{
    uc_context *before = NULL;
    uint32_t handler = 0, stack = 0, link = ENOUGH | 1;
    failed(uc_mem_read(machine->core, FLASH + 4 * (uint64_t)number, &handler, 4), "vector");
    failed(uc_context_alloc(machine->core, &before), "context");
    failed(uc_context_save(machine->core, before), "context");
    uc_reg_read(machine->core, UC_ARM_REG_SP, &stack);
    stack = (stack - 32) & ~7U;
    uc_reg_write(machine->core, UC_ARM_REG_SP, &stack);
    uc_reg_write(machine->core, UC_ARM_REG_LR, &link);
    failed(uc_emu_start(machine->core, handler | 1, ENOUGH, 0, 0), "interrupt");
    failed(uc_context_restore(machine->core, before), "context");
    uc_context_free(before);
}

static void interrupts(struct machine *machine)
{
    uint32_t masked = 0;
    uc_reg_read(machine->core, UC_ARM_REG_PRIMASK, &masked);
    catch_up(machine);
    if (masked & 1) {
        return;
    }
    if (machine->flags != 0) {
        interrupt(machine, TIMER);
    }
    if (machine->ticked) {
        machine->ticked = false;
        interrupt(machine, TICK);
    }
    while ((machine->serial_control & 0x80) && machine->now_us >= machine->byte_us) {
        interrupt(machine, SERIAL);
    }
}

/* The program headers' contents into flash and memory. */
static bool load(struct machine *machine, const char *path)
{
    static unsigned char bytes[1 << 20];
    FILE *file = fopen(path, "rb");
    size_t size = file != NULL ? fread(bytes, 1, sizeof bytes, file) : 0;
    Elf32_Ehdr header;
    if (file != NULL) {
        fclose(file);
    }
    if (size < sizeof header) {
        return false;
    }
    memcpy(&header, bytes, sizeof header);
    for (int i = 0; i < header.e_phnum; i++) {
        Elf32_Phdr part;
        memcpy(&part, bytes + header.e_phoff + (size_t)i * header.e_phentsize, sizeof part);
        if (part.p_type == PT_LOAD && part.p_filesz > 0) {
            failed(uc_mem_write(machine->core, part.p_paddr, bytes + part.p_offset, part.p_filesz),
                   "load");
        }
    }
    return true;
}

static void wire(struct machine *machine)
{
    uc_engine *core = machine->core;
    failed(uc_mem_map(core, FLASH, FLASH_SIZE, UC_PROT_ALL), "flash");
    failed(uc_mem_map(core, RAM, RAM_SIZE, UC_PROT_ALL), "memory");
    failed(uc_mmio_map(core, 0x40000000, 0x1000, read_timer, machine, write_nothing, machine),
           "timer");
    failed(uc_mmio_map(core, 0x40004000, 0x1000, read_serial, machine, write_serial, machine),
           "serial");
    failed(uc_mmio_map(core, 0x40021000, 0x1000, read_nothing, machine, write_nothing, machine),
           "clocks");
    failed(uc_mmio_map(core, 0x50000000, 0x1000, read_pins, machine, write_pins, machine), "pins");
    failed(uc_mmio_map(core, 0xE000E000, 0x1000, read_nothing, machine, write_nothing, machine),
           "core");
}

/* The emulator has nobody to wake it from a wfi: it is stopped before each, and the machine sleeps.
 */
static void before_wfi(uc_engine *core, uint64_t address, uint32_t size, void *context)
{
    struct machine *machine = context;
    (void)address, (void)size;
    machine->sleeps = true;
    uc_emu_stop(core);
}

static void watch_wfi(struct machine *machine)
{
    static uint16_t flash[FLASH_SIZE / 2];
    void (*const function)(uc_engine *, uint64_t, uint32_t, void *) = before_wfi;
    void *callback; /* ISO C has no cast from one to the other */
    memcpy(&callback, &function, sizeof callback);
    failed(uc_mem_read(machine->core, FLASH, flash, sizeof flash), "flash");
    for (uint64_t i = 0; i < FLASH_SIZE / 2; i++) {
        uc_hook hook;
        if (flash[i] == 0xBF30) {
            failed(uc_hook_add(machine->core, &hook, UC_HOOK_CODE, callback, machine, FLASH + 2 * i,
                               FLASH + 2 * i),
                   "hook");
        }
    }
}

static void run(struct machine *machine, size_t wanted)
{
    uint32_t vectors[2], at;
    failed(uc_mem_read(machine->core, FLASH, vectors, sizeof vectors), "vectors");
    uc_reg_write(machine->core, UC_ARM_REG_SP, &vectors[0]);
    at = vectors[1];
    while (emulated_count(machine->lines) < wanted) {
        machine->sleeps = false;
        failed(uc_emu_start(machine->core, at | 1, ENOUGH, 0, 0), "run");
        uc_reg_read(machine->core, UC_ARM_REG_PC, &at);
        if (machine->sleeps) {
            at += 2;
            uc_reg_write(machine->core, UC_ARM_REG_PC, &at);
            sleep_until_something(machine);
        }
        machine->now_us += 1;
        interrupts(machine);
    }
}

int main(int count, char **arguments)
{
    static struct machine machine;
    if (!emulated_kind_read(count, arguments, &machine.kind)) {
        return 2;
    }
    machine.lines = emulated_lines_create("Cortex-M0+", machine.kind, 2);
    failed(uc_open(UC_ARCH_ARM, UC_MODE_THUMB | UC_MODE_MCLASS, &machine.core), "open");
    failed(uc_ctl_set_cpu_model(machine.core, UC_CPU_ARM_CORTEX_M0), "model");
    wire(&machine);
    if (machine.lines == NULL || !load(&machine, arguments[1])) {
        return 2;
    }
    watch_wfi(&machine);
    machine.tick_us = 1000;
    for (int i = 0; i < EMULATED_CHANNELS; i++) {
        machine.rises_us[i] = machine.falls_us[i] = LATER;
        serial_module_init(&machine.serial[i],
                           9600 * (i == 0 ? 1.02 : 0.98)); /* their own clocks */
        machine.high |= (uint32_t)(machine.kind == EMULATED_SERIAL) << i;
    }
    bus_init(&machine.bus, EMULATED_CHANNELS, (const uint8_t[]){0x29, 0x2A});
    run(&machine, strtoul(arguments[3], NULL, 10));
    printf("Cortex-M0+: %.0f s of its time\n", machine.now_us / 1e6);
    uc_close(machine.core);
    return emulated_judge(machine.lines) ? 0 : 1;
}
