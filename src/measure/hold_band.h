/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_HOLD_BAND_H
#define HOLDLINE_SRC_MEASURE_HOLD_BAND_H

#include "series.h"

/* The band's statistics by the cue machine's own rules: the machine is run over the series from its
 * beginning (so that its filter has settled) and counted from from_s on. Fills the band part of
 * summary. */
void hold_band(struct series *series, double from_s, const struct cue_settings *settings,
               double target_mm, struct hold_summary *summary);

#endif
