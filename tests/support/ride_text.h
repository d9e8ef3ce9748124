/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_RIDE_TEXT_H
#define HOLDLINE_TESTS_SUPPORT_RIDE_TEXT_H

#include "rig/ride_file.h"

/* Rides from texts, tables or GPX, fed so many bytes at a time. */

struct ride *ride_text_in(const char *bytes, size_t length, size_t step, struct problem *problem);
/* A ride, or the test fails. */
struct ride *ride_text(const char *text);
/* Refused with a sentence that has why in it, whatever pieces it comes in. */
void ride_text_refused(const char *text, const char *why);

#endif
