/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_NEXT_PRACTICE_H
#define HOLDLINE_SESSION_NEXT_PRACTICE_H

#include "next_inside.h"

/* What a rider alone does next, of what is due of practice (docs/practice.md). */
struct next next_in_practice(const struct session *session);

#endif
