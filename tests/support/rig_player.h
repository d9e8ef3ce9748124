/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_RIG_PLAYER_H
#define HOLDLINE_TESTS_SUPPORT_RIG_PLAYER_H

#include "support/cable.h"

#include <stddef.h>
#include <stdint.h>
#include <sys/types.h>

#define RIG_PLAYER_LINE 256
#define RIG_PLAYER_CHANNELS 8

/* A rig as a process of its own: bench lines through a cable at their own pace, channels head,
 * chest and a to f, a rider who never sits still. Whoever measures a program has the rig's own work
 * not in the figures. */

/* The heading, or line number 0, 1, ... with its line end. line holds RIG_PLAYER_LINE. Returns the
 * length. */
size_t rig_player_heading(char *line, int channels, int rate_hz);
size_t rig_player_line(char *line, int channels, int rate_hz, uint64_t number);
/* A line with readings of the caller's, at a time of the rig's clock. */
size_t rig_player_readings(char *line, uint64_t number, uint64_t time_us, const double *range_mm,
                           int channels);
/* Ranges that stand on the target of bench_store_visit. */
double rig_player_seat_mm(int channel);

/* The process; under 0 when there can be none. */
pid_t rig_player_start(const struct cable *cable, int channels, int rate_hz);
void rig_player_stop(pid_t player);

#endif
