/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_HOLD_PAIR_H
#define HOLDLINE_MEASURE_HOLD_PAIR_H

#include "measure/ellipse.h"
#include "measure/hold.h"

/* Where two channels of one hold were together (docs/measures.md, 'One hold'): the ellipse that
 * holds 95 % of the posture's time. Made ready as for hold_summarise: outliers and marks left out,
 * from where both channels had settled, samples that both have, 5 Hz zero-lag so that it is the
 * body and not the sensors' noise. x and y have the same time stamps. MEASURE_TOO_FEW under
 * HOLD_PAIR_KEPT_S together. */
enum measure_status hold_pair(const struct hold_input *x, const struct hold_input *y,
                              struct ellipse *ellipse);
/* The same of a piece of a longer hold, whose beginning is not cut: to be pooled (ellipse_pool). */
enum measure_status hold_pair_piece(const struct hold_input *x, const struct hold_input *y,
                                    struct ellipse *ellipse);

#endif
