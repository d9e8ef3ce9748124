/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_DEVICE_H
#define HOLDLINE_RIG_DEVICE_H

#include "base/problem.h"

#include <stdbool.h>

/* What is common to all device files that a rig may hang on. */

/* Why a device could not be opened, told so that a person can act on it: error is errno. A device
 * that may not be opened names the group that owns it and how to join. Returns false. */
bool device_open_problem(const char *path, int error, struct problem *problem);

/* Keeps other programs off an open terminal device, so that no two readers split its bytes. False
 * with a sentence when another program has it. */
bool device_take(int descriptor, const char *path, struct problem *problem);

/* Undoes device_take before the descriptor is closed: a pseudo-terminal outlives it. */
void device_give_back(int descriptor);

/* Is it the slave's side of a pseudo-terminal? */
bool device_is_pseudo_terminal(const char *path);

#endif
