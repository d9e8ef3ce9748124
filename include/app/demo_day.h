/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_DEMO_DAY_H
#define HOLDLINE_APP_DEMO_DAY_H

#include "base/problem.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* The demo's day of runs (rig/virtual_day.h): a rider of the winter group, two setups, four runs of
 * each on a straight road. Writes the rides as files into the folder (the first ones as tables, the
 * last two as GPX; older ones of the demo are replaced) and gives the day as a script.
 * DEMO_DAY_SCRIPT_SIZE is room enough. False with a sentence. */
bool demo_day(const char *folder, uint64_t seed, char *script, size_t size,
              struct problem *problem);
#define DEMO_DAY_SCRIPT_SIZE 65536

#endif
