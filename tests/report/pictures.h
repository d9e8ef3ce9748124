/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_REPORT_PICTURES_H
#define HOLDLINE_TESTS_REPORT_PICTURES_H

#include "example_report.h"

#include "support/markup.h"

#include <math.h>
#include <string.h>

/* What the tests of pictures and of the page share: readings, and markup that is well-formed. */

static struct sample made[3000];
static int64_t stray_second; /* of the session: both ranges are 300 mm too long; 0: none */

/* Both ranges go up and down by 4 mm once in 20 s, a quarter apart, so that an ellipse has room. */
static inline bool made_samples(void *context, int64_t first, int64_t last,
                                const struct sample **samples, size_t *count)
{
    (void)context;
    *count = (size_t)(last - first + 1);
    ck_assert_uint_le(*count, sizeof made / sizeof made[0]);
    for (size_t i = 0; i < *count; i++) {
        double turn = 2 * M_PI * (double)i / 1000;
        memset(&made[i], 0, sizeof made[i]);
        made[i].number = first + (int64_t)i;
        made[i].time_us = (made[i].number - 1) * 20000;
        made[i].range_tenth_mm[0] = (int32_t)lround(2660 + 40 * sin(turn));
        made[i].range_tenth_mm[1] = (int32_t)lround(1530 + 40 * cos(turn));
        if (stray_second > 0 && made[i].time_us / 1000000 == stray_second) {
            made[i].range_tenth_mm[0] += 3000;
            made[i].range_tenth_mm[1] += 3000;
        }
    }
    *samples = made;
    return true;
}

static inline char *checked(char *text)
{
    char error[160];
    ck_assert_msg(markup_check(text, error), "%s", error);
    return text;
}

static inline char *page(void)
{
    struct caught caught;
    ck_assert(report_html(catch_begin(&caught), &input, made_samples, NULL, NULL));
    return checked(catch_end(&caught));
}

static inline void check_has(const char *text, const char *part)
{
    ck_assert_msg(strstr(text, part) != NULL, "'%s' is not in:\n%.3000s", part, text);
}

#endif
