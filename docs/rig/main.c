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
    {&rig_module, 25000, 500, 12000, 0, 0, &head_module},
    {&rig_module, 25000, 500, 12000, 0, 0, &chest_module},
};
#else
/* Two ultrasonic sensors. 25 ms a turn: what comes back from over 4 m away is past when the other
 * one listens. Where a hard wall gives ghosts, more. 20 degrees in the room: in one that is a
 * degree warmer all readings are 0.2 % short. */
static const struct rig_sensor sensors[] = {
    {&rig_echo, 25000, 250, 20000, 0, 20, 0},
    {&rig_echo, 25000, 250, 20000, 1, 20, 0},
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
