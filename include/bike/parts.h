/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BIKE_PARTS_H
#define HOLDLINE_BIKE_PARTS_H

#include "bike/limits.h"

/* Parts at hand: what a search may choose from, and the limits it keeps. docs/place.md has the
 * list:
 *
 *     stem length=70..120/10 angle=-17,-10,-6,6
 *     stem length=95 angle=-6 clamp_height=38
 *     spacers 0..30/5
 *     pad_rise 15..65/10
 *     pad_fore_aft -40,-20,0
 *     limit spacers=30 pad_rise=65 column=85
 */
#define PARTS_STEMS_MAX 400
#define PARTS_VALUES_MAX 120

struct stem_at_hand {
    double length_mm, angle_deg, clamp_height_mm; /* clamp height NAN = as on the bike */
};

struct part_values {
    int count; /* 0: this measure stays as it is on the bike */
    double value[PARTS_VALUES_MAX];
};

struct parts_at_hand {
    int stem_count; /* 0: the stem stays */
    struct stem_at_hand stem[PARTS_STEMS_MAX];
    struct part_values spacers, pad_rise, pad_fore_aft, bar_roll;
    struct bike_limits limits;
};
void parts_clear(struct parts_at_hand *parts);

/* One line of the list (blank lines and comments change nothing). The sentence names the word. */
bool parts_read_line(struct parts_at_hand *parts, const char *line, struct problem *problem);

/* A whole list; name for the sentences ('parts.txt, line 3: ...'). */
bool parts_read(struct parts_at_hand *parts, const char *name, const char *text,
                struct problem *problem);

/* '70..120/10,95' into ascending order of writing; false where it is none or has too many. */
bool number_list_read(const char *text, double *values, int most, int *count,
                      struct problem *problem);

#endif
