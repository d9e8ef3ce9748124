/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_RIDE_GPX_H
#define HOLDLINE_RIG_RIDE_GPX_H

#include "base/problem.h"
#include "measure/ride.h"

/* A ride from the track points of a GPX 1.1 file (rig/ride_file.h), bytes as they come. */
struct ride_gpx;
struct ride_gpx *ride_gpx_create(void);
bool ride_gpx_feed(struct ride_gpx *gpx, const char *bytes, size_t length, struct problem *problem);
struct ride *ride_gpx_finish(struct ride_gpx *gpx, struct problem *problem);
void ride_gpx_free(struct ride_gpx *gpx);

#endif
