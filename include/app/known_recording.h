/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_KNOWN_RECORDING_H
#define HOLDLINE_APP_KNOWN_RECORDING_H

#include "base/problem.h"

#include <stdbool.h>
#include <stdint.h>

/* A session's seed that was made from its readings tells them again, whatever they were called and
 * whenever their file was written. False with a problem where a session of the store has that seed
 * (and began at started_ms; -1: whenever): which one it is, and what its channels are called, where
 * that is not names ("head, chest"). */
bool known_recording_is_new(const char *store_path, uint64_t seed, int64_t started_ms,
                            const char *names, struct problem *problem);

#endif
