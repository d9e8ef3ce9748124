/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_MINUTE_ROW_H
#define HOLDLINE_SRC_MEASURE_MINUTE_ROW_H

#include "measure/minutes.h"

/* A row of minutes as it is filled, good reading by good reading. Inside the layer only. */

/* The next reading, which the cue machine has taken, and its state before; it stands for lasts_s.
 * The row was {.mean_mm = NAN, .in_band_share = NAN} and its times at first. */
void minute_row_take(struct minute_row *row, const struct cue_machine *cue, enum cue_state before,
                     double height_mm, double lasts_s);
void minute_row_end(struct minute_row *row, bool has_band);

#endif
