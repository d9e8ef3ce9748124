/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BIKE_WRENCH_H
#define HOLDLINE_BIKE_WRENCH_H

#include "bike/shift.h"

/* What to turn to get from one setup to another, in the order of work, in words. */
#define WRENCH_STEPS_MAX BIKE_KEYS

struct wrench_step {
    enum bike_key key; /* the measure it is about (a stem: its length) */
    double from, to;   /* NAN = not known */
    char text[160];    /* 'spacers: move 10 mm from under the stem to above it (20 to 10)' */
    /* The same for a table: 'spacers: move 10 mm from under the stem to above it', '20 mm', '10 mm'
     * ('not known'); angles with their sign. */
    char work[128], from_text[48], to_text[48];
};

struct wrench_list {
    int count;
    struct wrench_step step[WRENCH_STEPS_MAX];
    bool has_moves, has_pad_move;
    struct point clamp_move, pad_move; /* where that takes bar clamp and pads */
};

void wrench_list_make(const struct bike_values *from, const struct bike_values *to,
                      struct wrench_list *list);

/* 'down 10, forward 3' in whole millimetres; 'not at all' below half of one. */
void move_text(char *text, size_t size, struct point move);

/* What a change does to a sensor, before a bolt is touched: 'head (base bar): down 10, forward 3;
 * its height is known to 0.5 mm from the parts; a plate reading checks it'. */
void sensor_move_text(char *text, size_t size, const char *name, const struct sensor_mount *mount,
                      const struct bike_values *before, const struct bike_values *after);

/* The parts alone don't say where that sensor will be (unknown, or to no better than 1 mm). */
bool sensor_needs_plate(const struct sensor_mount *mount, const struct bike_values *before,
                        const struct bike_values *after);

/* The cautions that stand under every such list. */
extern const char wrench_cautions[];

#endif
