/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The rig's clock where sequence, rig time and arrival say odd things: what a line's place on the
 * axis is then. Lines are 20 ms apart; the places are reckoned by hand. */
#include "rig/rig_clock.h"
#include "rig/stamp_watch.h"
#include "support/test_main.h"

#include <string.h>

#define MS INT64_C(1000)
#define SECOND INT64_C(1000000)
#define NONE (-1) /* it has no sequence, or no time */

static struct raw_sample line_of(int64_t sequence, int64_t rig_time_us)
{
    struct raw_sample raw;
    memset(&raw, 0, sizeof raw);
    raw.has_sequence = sequence != NONE;
    raw.sequence = sequence != NONE ? (uint64_t)sequence : 0;
    raw.has_rig_time = rig_time_us != NONE;
    raw.rig_time_us = rig_time_us != NONE ? rig_time_us : 0;
    return raw;
}

static struct sample place(struct rig_clock *clock, int64_t sequence, int64_t rig_time_us,
                           int64_t arrival_us)
{
    struct sample sample;
    struct raw_sample raw = line_of(sequence, rig_time_us);
    int64_t before_us = clock->has_last ? clock->last_time_us : 0;
    memset(&sample, 0, sizeof sample);
    ck_assert(rig_clock_place(clock, &raw, arrival_us, &sample));
    ck_assert_int_ge(sample.time_us, before_us);
    return sample;
}

/* So many lines by the clock of the rig and of the host alike; the number of the next. */
static int start(struct rig_clock *clock, bool live, int lines)
{
    rig_clock_start(clock, 0, live);
    for (int i = 0; i < lines; i++) {
        ck_assert_int_eq(place(clock, 100 + i, 5 * SECOND + i * 20 * MS, i * 20 * MS).time_us,
                         i * 20 * MS);
    }
    return lines;
}

/* A number that goes back while the time goes on is a count begun anew, not a repeated line. */
START_TEST(a_sequence_that_goes_back_alone)
{
    struct rig_clock clock;
    int i = start(&clock, true, 10);
    ck_assert_int_eq(place(&clock, 105, 5 * SECOND + i * 20 * MS, i * 20 * MS).time_us,
                     i * 20 * MS);
    ck_assert_uint_eq(clock.restarts, 1);
    i++;
    ck_assert_int_eq(place(&clock, 106, 5 * SECOND + i * 20 * MS, i * 20 * MS).time_us,
                     i * 20 * MS);
    ck_assert_uint_eq(clock.restarts, 1);
    /* without a time it is a repeated line */
    rig_clock_start(&clock, 0, true);
    place(&clock, 100, NONE, 0);
    struct sample sample;
    struct raw_sample again = line_of(100, NONE);
    ck_assert(!rig_clock_place(&clock, &again, 20 * MS, &sample));
}
END_TEST

/* Two million lines missing in a step of one: they cannot all have been in it. */
START_TEST(a_sequence_that_leaps_alone)
{
    struct rig_clock clock;
    int i = start(&clock, true, 10);
    struct sample sample = place(&clock, 2000100, 5 * SECOND + i * 20 * MS, i * 20 * MS);
    ck_assert_int_eq(sample.time_us, i * 20 * MS);
    ck_assert_uint_eq(sample.lost_before, 1999990);
    i++; /* and the lines' interval is as before */
    ck_assert_int_eq(place(&clock, 2000101, 5 * SECOND + i * 20 * MS, i * 20 * MS).time_us,
                     i * 20 * MS);
    /* and the time is set: the axis goes no further than a day for them */
    i++;
    sample = place(&clock, 82000101, 0, i * 20 * MS);
    ck_assert_int_le(sample.time_us, i * 20 * MS + 86400 * SECOND);
    ck_assert_uint_eq(sample.lost_before, 79999999);
}
END_TEST

/* The time is set back with the second line: no interval is known yet, and the arrival tells. */
START_TEST(a_time_set_back_at_once)
{
    struct rig_clock clock;
    rig_clock_start(&clock, 0, true);
    place(&clock, 1, 500 * SECOND, 0);
    ck_assert_int_eq(place(&clock, 2, 100 * SECOND, 30 * MS).time_us, 30 * MS);
    ck_assert_uint_eq(clock.restarts, 1);
    /* without a sequence, in one read with the first: a millisecond goes by at least */
    rig_clock_start(&clock, 0, true);
    place(&clock, NONE, 500 * SECOND, 0);
    ck_assert_int_eq(place(&clock, NONE, 100 * SECOND, 0).time_us, 1 * MS);
    /* of a recording, whose lines do not arrive */
    rig_clock_start(&clock, 0, false);
    place(&clock, NONE, 500 * SECOND, 0);
    ck_assert_int_eq(place(&clock, NONE, 100 * SECOND, 30 * MS).time_us, 1 * MS);
}
END_TEST

/* A counter of 32 bits comes round with lines missing while all that came was kept by the system:
 * the sequence tells how long it was, the arrival does not. */
START_TEST(a_counter_comes_round_behind_a_gap)
{
    struct rig_clock clock;
    const int64_t round_us = INT64_C(1) << 32;
    int64_t last_us = round_us - 10 * MS;
    rig_clock_start(&clock, 0, true);
    place(&clock, 1, last_us - 40 * MS, 0);
    place(&clock, 2, last_us - 20 * MS, 20 * MS);
    place(&clock, 3, last_us, 40 * MS);
    /* 1000 lines later: 20 s */
    ck_assert_int_eq(place(&clock, 1003, last_us + 20 * SECOND - round_us, 41 * MS).time_us,
                     20 * SECOND + 40 * MS);
    ck_assert_uint_eq(clock.restarts, 0);
    /* without such a sequence and such an arrival it is no round */
    for (int early = 0; early < 2; early++) {
        rig_clock_start(&clock, 0, true);
        place(&clock, NONE, last_us - 20 * MS, 100 * SECOND);
        place(&clock, NONE, last_us, 100 * SECOND + 20 * MS);
        place(&clock, NONE, last_us + 20 * SECOND - round_us,
              100 * SECOND + (early == 1 ? 30 * MS : 60 * SECOND));
        ck_assert_uint_eq(clock.restarts, 1);
    }
}
END_TEST

/* Arrivals that make no sense leave the axis to the rig's time, and tell no host's time. */
START_TEST(arrivals_without_sense)
{
    struct rig_clock clock;
    int64_t host_us;
    double error_ms;
    int i = start(&clock, true, 400);
    ck_assert(rig_clock_host_time(&clock, 60 * SECOND, &host_us, &error_ms));
    ck_assert_int_eq(host_us, 60 * SECOND);
    ck_assert(!rig_clock_host_time(&clock, INT64_MAX - SECOND, &host_us, &error_ms));
    for (int k = 0; k < 200; k++, i++) { /* 300 years late */
        struct sample sample = place(&clock, 100 + i, 5 * SECOND + i * 20 * MS,
                                     INT64_C(10000000000) * SECOND + i * 20 * MS);
        ck_assert_int_eq(sample.time_us, i * 20 * MS);
    }
    ck_assert_uint_eq(clock.restarts, 0);
    i = start(&clock, true, 400); /* and the time is set while they are so late */
    const int64_t late_us = INT64_C(10000000000) * SECOND;
    place(&clock, NONE, 5 * SECOND + i * 20 * MS, late_us + i * 20 * MS);
    i++;
    ck_assert_int_eq(place(&clock, NONE, 1 * SECOND, late_us + i * 20 * MS).time_us, i * 20 * MS);
    ck_assert_uint_eq(clock.restarts, 1);
}
END_TEST

/* Lines held up, then the time is set: the axis goes on by the least delayed ones. */
START_TEST(a_time_set_while_lines_are_late)
{
    struct rig_clock clock;
    int i = start(&clock, true, 400);
    /* late by 3 s: its own time says when it was measured */
    ck_assert_int_eq(
        place(&clock, NONE, 5 * SECOND + i * 20 * MS, i * 20 * MS + 3 * SECOND).time_us,
        i * 20 * MS);
    i++;
    /* the next is on time again, and its time is set back by two minutes */
    struct sample sample =
        place(&clock, NONE, i * 20 * MS - 120 * SECOND, i * 20 * MS + 3 * SECOND);
    ck_assert_int_ge(sample.time_us, (i - 1) * 20 * MS);
    ck_assert_int_le(sample.time_us, i * 20 * MS + 3 * SECOND);
    ck_assert_uint_eq(clock.restarts, 1);
}
END_TEST

/* On time, and the time is set back: the axis goes on by the arrival, as it stands. */
START_TEST(a_time_set_back_on_time)
{
    struct rig_clock clock;
    int i = start(&clock, true, 400);
    ck_assert_int_eq(place(&clock, NONE, 1 * SECOND, i * 20 * MS + 5 * MS).time_us,
                     i * 20 * MS + 5 * MS);
    ck_assert_uint_eq(clock.restarts, 1);
}
END_TEST

/* ---- single stamps --------------------------------------------------------------------------- */

static int take(struct stamp_watch *watch, int64_t sequence, int64_t rig_time_us)
{
    struct stamped_line on[2];
    struct raw_sample raw = line_of(sequence, rig_time_us);
    return stamp_watch_take(watch, &raw, rig_time_us, on);
}

START_TEST(lines_with_and_without_a_sequence)
{
    struct stamp_watch watch;
    memset(&watch, 0, sizeof watch);
    static const int64_t sequences[] = {1, 2, NONE, 4, 4, NONE, 5};
    for (int i = 0; i < 7; i++) {
        ck_assert_int_eq(take(&watch, sequences[i], i * 20 * MS), 1);
    }
    ck_assert_uint_eq(watch.left_out, 0);
}
END_TEST

/* What goes on from the held line rather than from before it: both go on. */
START_TEST(a_time_that_was_set_back)
{
    struct stamp_watch watch;
    memset(&watch, 0, sizeof watch);
    take(&watch, 1, 0);
    take(&watch, 2, 20 * MS);
    take(&watch, 3, 40 * MS);
    ck_assert_int_eq(take(&watch, 4, 10 * MS), 0); /* back: held */
    ck_assert_int_eq(take(&watch, 5, 45 * MS), 2); /* 35 ms from it, 5 ms from before it */
    ck_assert_uint_eq(watch.left_out, 0);
    ck_assert_int_eq(take(&watch, 6, 65 * MS), 1);
    ck_assert_int_eq(take(&watch, 7, 55 * MS), 0);  /* back again */
    ck_assert_int_eq(take(&watch, 8, 105 * MS), 1); /* and on from before it */
    ck_assert_uint_eq(watch.left_out, 1);
}
END_TEST

/* A clock that stands still for more than three lines is none: they go on. */
START_TEST(a_time_that_stands_still)
{
    struct stamp_watch watch;
    memset(&watch, 0, sizeof watch);
    take(&watch, 1, 0);
    take(&watch, 2, 20 * MS);
    static const int wanted[] = {0, 0, 0, 1, 1};
    for (int i = 0; i < 5; i++) {
        ck_assert_int_eq(take(&watch, 3 + i, 20 * MS), wanted[i]);
    }
    ck_assert_uint_eq(watch.left_out, 3);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("clock odd");
    TCase *tests = tcase_create("clock odd");
    tcase_add_test(tests, a_sequence_that_goes_back_alone);
    tcase_add_test(tests, a_sequence_that_leaps_alone);
    tcase_add_test(tests, a_time_set_back_at_once);
    tcase_add_test(tests, a_counter_comes_round_behind_a_gap);
    tcase_add_test(tests, arrivals_without_sense);
    tcase_add_test(tests, a_time_set_while_lines_are_late);
    tcase_add_test(tests, a_time_set_back_on_time);
    tcase_add_test(tests, lines_with_and_without_a_sequence);
    tcase_add_test(tests, a_time_that_was_set_back);
    tcase_add_test(tests, a_time_that_stands_still);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
