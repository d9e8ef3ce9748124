/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_NUMBER_IN_STORE_H
#define HOLDLINE_TESTS_SUPPORT_NUMBER_IN_STORE_H

#include <stdint.h>

/* The first number that a query of a store gives, read as another program would; -1 where it can't
 * be read. */
int64_t number_in_store(const char *store, const char *sql);

#endif
