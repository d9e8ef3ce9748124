/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RECORD_RIDER_CODE_H
#define HOLDLINE_RECORD_RIDER_CODE_H

#include <stdbool.h>

/* Whether two riders' codes may be one that was typed in another way: the same but for capitals
 * (of a to z), blanks, punctuation and zeros before a number. 'R-7', 'r07' and 'R 007' are alike,
 * 'R-7' and 'R-70' are not. What has neither letter nor digit is like nothing. */
bool rider_codes_alike(const char *a, const char *b);

#endif
