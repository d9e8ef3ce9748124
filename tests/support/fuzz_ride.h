/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_FUZZ_RIDE_H
#define HOLDLINE_TESTS_SUPPORT_FUZZ_RIDE_H

#include <stddef.h>
#include <stdint.h>

/* The readers of rides (rig/ride_file.h), whole and in pieces, and what is cut from what they read:
 * support/fuzz_targets.h. */
void fuzz_ride(const uint8_t *bytes, size_t length);

#endif
