/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_RIDE_H
#define HOLDLINE_SAY_RIDE_H

#include "analysis/ride_summary.h"

#include <stddef.h>

/* A ride that is over, in words; each fits into SAY_SIZE bytes. */

/* '1 h 58 min, up 11 times for 5 min, 84 % of it in the posture' */
void say_ride_whole(char *text, size_t size, const struct ride_summary *ride);
/* '93 % +2': in the band, mm from the target; '-' where that is not known. */
void say_ride_quarter(char *text, size_t size, const struct ride_quarter *quarter);
/* '1 h 12 min, then +11': mm from the target; not lost: '≥ 2 h'; '-' without a band. */
void say_ride_kept(char *text, size_t size, const struct ride_part *channel);
/* '+3 an hour (+1 to +5)', mm; '-' where that is not known. */
void say_ride_trend(char *text, size_t size, const struct ride_part *channel);

#endif
