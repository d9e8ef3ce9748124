/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "board.h"
#include "rig.h"

/* The bus is moved line by line: any two pins do, and it is the same on every board. About 100 kHz
 * at most. A module may hold the clock low while it thinks, 1 ms at most. */
#define STRETCH_PAUSES 200

static bool clock_up(void)
{
    board_bus_pull(BOARD_SCL, false);
    for (int i = 0; i < STRETCH_PAUSES; i++) {
        board_bus_pause();
        if (board_bus_is_high(BOARD_SCL)) {
            return true;
        }
    }
    return false;
}

static bool bus_begin(void)
{
    board_bus_pull(BOARD_SDA, false);
    board_bus_pause();
    if (!clock_up()) {
        return false;
    }
    board_bus_pull(BOARD_SDA, true);
    board_bus_pause();
    board_bus_pull(BOARD_SCL, true);
    board_bus_pause();
    return true;
}

static void bus_end(void)
{
    board_bus_pull(BOARD_SDA, true);
    board_bus_pause();
    (void)clock_up();
    board_bus_pull(BOARD_SDA, false);
    board_bus_pause();
}

/* Puts one bit out and gives the one that was on the line; a bit that is 1 lets the line go, so
 * that the other side may pull it. */
static bool bus_bit(bool bit, bool *heard)
{
    board_bus_pull(BOARD_SDA, !bit);
    board_bus_pause();
    if (!clock_up()) {
        return false;
    }
    *heard = board_bus_is_high(BOARD_SDA);
    board_bus_pull(BOARD_SCL, true);
    board_bus_pause();
    return true;
}

/* True when the module acknowledged the byte. */
static bool bus_write(uint8_t byte)
{
    bool heard = true;
    for (int i = 7; i >= 0; i--) {
        if (!bus_bit((byte >> i) & 1, &heard)) {
            return false;
        }
    }
    return bus_bit(true, &heard) && !heard;
}

static bool bus_read(uint8_t *byte, bool last)
{
    uint8_t value = 0;
    bool heard = false;
    for (int i = 0; i < 8; i++) {
        if (!bus_bit(true, &heard)) {
            return false;
        }
        value = (uint8_t)(value << 1 | (heard ? 1 : 0));
    }
    *byte = value;
    return bus_bit(last, &heard);
}

static bool read_registers(uint8_t address, uint8_t first, uint8_t *bytes, int count)
{
    bool good = bus_begin() && bus_write((uint8_t)(address << 1)) && bus_write(first) &&
                bus_begin() && bus_write((uint8_t)(address << 1 | 1));
    for (int i = 0; i < count && good; i++) {
        good = bus_read(&bytes[i], i == count - 1);
    }
    bus_end();
    return good;
}

static bool begin(const struct rig_sensor *sensor)
{
    const struct rig_module *module = sensor->module;
    bool good = bus_begin() && bus_write((uint8_t)(module->address << 1)) &&
                bus_write(module->begin_register) && bus_write(module->begin_command);
    bus_end();
    return good;
}

static bool ready(const struct rig_sensor *sensor, uint32_t since_us, struct bench_reading *reading,
                  uint32_t *made_us)
{
    const struct rig_module *module = sensor->module;
    uint8_t bytes[2] = {0, 0}, status = module->status_good;
    if (since_us < (uint32_t)module->ready_ms * 1000) {
        return false;
    }
    *made_us += (uint32_t)module->ready_ms * 500; /* the middle of the module's own measuring */
    if (!read_registers(module->address, module->range_register, bytes, 2) ||
        (module->has_status &&
         !read_registers(module->address, module->status_register, &status, 1))) {
        return true; /* as it was begun: no reading */
    }
    reading->tenths = (int32_t)((uint32_t)bytes[0] << 8 | bytes[1]) * module->tenths_per_step;
    reading->mark = 0;
    if (module->has_status && (status & module->status_mask) != module->status_good) {
        reading->mark = 'w';
    }
    return true;
}

const struct rig_kind rig_module = {false, begin, ready};
