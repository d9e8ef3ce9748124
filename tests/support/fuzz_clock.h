/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_FUZZ_CLOCK_H
#define HOLDLINE_TESTS_SUPPORT_FUZZ_CLOCK_H

#include <stddef.h>
#include <stdint.h>

/* The clock's target: support/fuzz_targets.h says what its input is. */
void fuzz_clock(const uint8_t *bytes, size_t length);

#endif
