/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_CHECK_H
#define HOLDLINE_SAY_CHECK_H

#include "analysis/check.h"

#include <stddef.h>

/* What a check of the sensors found, in sentences joined by '; ': 'head: noise 1.8 mm; drift ...'.
 */
void say_check(char *text, size_t size, const struct check_findings *findings,
               const struct placing_record *placing);

#endif
