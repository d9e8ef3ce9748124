/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_STORE_FROM_LOG_H
#define HOLDLINE_STORE_FROM_LOG_H

#include "base/problem.h"

#include <stdbool.h>

/* What earlier versions kept in the log of commands only, into tables of its own. */
struct store;

/* The limits of version 4's 'limits ...' lines. */
bool store_limits_from_log(struct store *store, struct problem *problem);

#endif
