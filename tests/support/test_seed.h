/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_TEST_SEED_H
#define HOLDLINE_TESTS_SUPPORT_TEST_SEED_H

#include <stdint.h>

/* The seed of a test that simulates: its usual one, so that results stay; where
 * HOLDLINE_TEST_SEED=N is in the environment another, made of both. The program prints once, at its
 * start, which N it is (0: the usual ones). */
uint64_t test_seed(uint64_t usual);

#endif
