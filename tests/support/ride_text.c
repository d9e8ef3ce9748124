/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "ride_text.h"

#include "test_main.h"

#include <string.h>

struct ride *ride_text_in(const char *bytes, size_t length, size_t step, struct problem *problem)
{
    struct ride_reader *reader = ride_reader_create(problem);
    ck_assert_ptr_nonnull(reader);
    bool going = true;
    for (size_t at = 0; at < length && going; at += step) {
        size_t piece = length - at < step ? length - at : step;
        going = ride_reader_feed(reader, bytes + at, piece, problem);
    }
    struct ride *ride = going ? ride_reader_finish(reader, problem) : NULL;
    ride_reader_free(reader);
    return ride;
}

struct ride *ride_text(const char *text)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct ride *ride = ride_text_in(text, strlen(text), 7, &problem);
    ck_assert_msg(ride != NULL, "%s", problem.sentence);
    return ride;
}

void ride_text_refused(const char *text, const char *why)
{
    static const size_t steps[] = {1, 13, 100000};
    for (size_t i = 0; i < 3; i++) {
        struct problem problem = {PROBLEM_NONE, ""};
        struct ride *ride = ride_text_in(text, strlen(text), steps[i], &problem);
        ck_assert_msg(ride == NULL, "read, but: %s", why);
        ck_assert_msg(strstr(problem.sentence, why) != NULL, "%s", problem.sentence);
    }
}
