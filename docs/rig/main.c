/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "board.h"
#include "rig.h"

/* What is wired to the board: change this table, nothing else. */

#ifdef RIG_MODULES
/* Two range modules on one bus, each at an address of its own. The numbers are those of the
 * module's data sheet. */
static const struct rig_module head_module = {0x29, 0x00, 0x01, 18,   0x02,
                                              10,   true, 0x04, 0x1F, 0x00};
static const struct rig_module chest_module = {0x2A, 0x00, 0x01, 18,   0x02,
                                               10,   true, 0x04, 0x1F, 0x00};

static const struct rig_sensor sensors[] = {
    {&rig_module, 25000, 500, 12000, 0, 0, &head_module, 0},
    {&rig_module, 25000, 500, 12000, 0, 0, &chest_module, 0},
};
#elif defined RIG_SERIAL
/* Two modules that answer a byte with a frame of four: FF, the millimetres in two bytes, the low
 * byte of the sum. As many ultrasonic ones do, from memory: the module's data sheet decides. */
static const struct rig_serial module = {.asks = true,
                                         .ask = 0x55,
                                         .longest_ms = 60,
                                         .header = {0xFF},
                                         .header_length = 1,
                                         .length = 4,
                                         .range_at = 1,
                                         .tenths_per_step = 10,
                                         .has_sum = true};

static const struct rig_sensor sensors[] = {
    {&rig_serial, 62500, 500, 20000, 0, 0, 0, &module},
    {&rig_serial, 62500, 500, 20000, 1, 0, 0, &module},
};
#else
/* Two ultrasonic sensors. 25 ms a turn: what comes back from up to 4 m away is past when the other
 * one listens. Where a hard wall gives ghosts, more; where the data sheet wants 60 ms between
 * triggers: turn_us 30000. 20 degrees in the room: in one that is a
 * degree warmer all readings are 0.2 % short. */
static const struct rig_sensor sensors[] = {
    {&rig_echo, 25000, 250, 20000, 0, 20, 0, 0},
    {&rig_echo, 25000, 250, 20000, 1, 20, 0, 0},
};
#endif

int main(void)
{
    struct rig rig;
    board_start();
    rig_begin(&rig, sensors, (uint8_t)(sizeof sensors / sizeof sensors[0]), "bench-a",
              "head,chest");
    for (;;) {
        rig_step(&rig);
        board_idle();
    }
}
