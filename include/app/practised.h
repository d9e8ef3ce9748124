/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_PRACTISED_H
#define HOLDLINE_APP_PRACTISED_H

#include "analysis/learning.h"
#include "base/problem.h"

/* All of a rider's stored sessions, one after the other, as their practice shows in them;
 * concluded. store_path NULL: the default store. NULL with a problem, also where the rider has no
 * sessions; freed with free(). */
struct learning *practised_load(const char *store_path, const char *rider_code,
                                struct problem *problem);

#endif
