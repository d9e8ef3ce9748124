/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_HOLD_QUALITY_H
#define HOLDLINE_SAY_HOLD_QUALITY_H

#include "analysis/analysis.h"
#include "base/numbers.h"

#include <stddef.h>

/* How good a hold's data are: what was cut, missing, doubtful or left out, and why. */

#define SAY_QUALITY_SIZE 3968 /* eight channels with everything wrong */
/* The findings of a hold, joined by '; '; "" where nothing was cut but single readings. */
void say_hold_quality(char text[SAY_QUALITY_SIZE], const struct session_record *record,
                      const struct analysis *analysis, int hold);
/* Its findings are samples that were lost, and nothing else. */
bool say_hold_only_lost(const struct session_record *record, const struct analysis *analysis,
                        int hold);
/* Readings that were not used, over all holds of a channel; "" where it has none. */
void say_channel_quality(char *text, size_t size, const struct session_record *record,
                         const struct analysis *analysis, int channel);

#endif
