/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_PLOTS_POSTURE_WORDS_H
#define HOLDLINE_REPORT_PLOTS_POSTURE_WORDS_H

#include "bike/geometry.h"

#include <stddef.h>

/* What is written beside the side view of a posture. */

#define POSTURE_WORDS_SIZE 96

enum posture_part { PART_BAR, PART_PADS, PART_TIPS, PART_SADDLE, PARTS_MOVED };

/* 'pads 35 mm lower, 20 mm forward'; "" where it did not move. */
void posture_moved(char *text, size_t size, enum posture_part part, struct point from,
                   struct point to);

/* On two lines, broken behind the comma, where they are longer than so many letters; how many there
 * are. */
int posture_words_lines(const char *words, int letters, char line[2][POSTURE_WORDS_SIZE]);

/* 'pad rise: lower by 20 mm (not drawn)' of every change of a part whose place is not known on both
 * bikes, so that no picture can show it; from, to: their points. How many there are. */
#define POSTURE_UNDRAWN_MAX 4
#define POSTURE_UNDRAWN_SIZE 160
int posture_undrawn(const struct bike_values *found, const struct bike_values *chosen,
                    const struct bike_points *from, const struct bike_points *to,
                    char words[POSTURE_UNDRAWN_MAX][POSTURE_UNDRAWN_SIZE]);
/* What saddle and rider are not drawn for want of. How many lines there are; 0: they are drawn. */
#define POSTURE_RIDER_MAX 2
int posture_undrawn_rider(bool has_saddle, bool has_marks,
                          char words[POSTURE_RIDER_MAX][POSTURE_UNDRAWN_SIZE]);

#endif
