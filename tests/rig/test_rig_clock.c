/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/rig_clock.h"
#include "support/test_main.h"

#include <stdlib.h>
#include <string.h>

static struct rig_clock started(double stated_rate_hz, bool time_is_arrival)
{
    struct rig_clock clock;
    rig_clock_start(&clock, stated_rate_hz, time_is_arrival);
    return clock;
}

static struct raw_sample line(int64_t sequence, int64_t rig_time_us)
{
    struct raw_sample raw;
    memset(&raw, 0, sizeof raw);
    raw.has_sequence = sequence >= 0;
    raw.sequence = sequence >= 0 ? (uint64_t)sequence : 0;
    raw.has_rig_time = rig_time_us >= 0;
    raw.rig_time_us = rig_time_us >= 0 ? rig_time_us : 0;
    return raw;
}

static struct sample place(struct rig_clock *clock, int64_t sequence, int64_t rig_time_us,
                           int64_t arrival_us)
{
    struct sample sample;
    struct raw_sample raw = line(sequence, rig_time_us);
    memset(&sample, 0, sizeof sample);
    int64_t before_us = clock->has_last ? clock->last_time_us : 0;
    ck_assert(rig_clock_place(clock, &raw, arrival_us, &sample));
    ck_assert(sample.time_us >= before_us); /* the axis never runs backwards */
    return sample;
}

START_TEST(the_rigs_own_time_makes_the_axis)
{
    struct rig_clock clock = started(0, true);
    ck_assert_int_eq(place(&clock, 100, 5000000, 777000).time_us, 0);
    struct sample sample = place(&clock, 101, 5020000, 803000);
    ck_assert_int_eq(sample.time_us, 20000);
    ck_assert_int_eq(sample.delay_us, 6000);
    ck_assert_int_eq(sample.lost_before, 0);
    sample = place(&clock, 105, 5100000, 877000);
    ck_assert_int_eq(sample.time_us, 100000);
    ck_assert_int_eq(sample.delay_us, 0);
    ck_assert_int_eq(sample.lost_before, 3);
    ck_assert_uint_eq(clock.lost, 3);
    ck_assert_uint_eq(clock.restarts, 0);
}
END_TEST

START_TEST(counters_of_32_bits_come_round)
{
    for (int live = 0; live < 2; live++) {
        struct rig_clock clock = started(0, live == 1);
        int64_t last_us = (INT64_C(1) << 32) - 10000;
        place(&clock, 1, last_us, 0);
        ck_assert_int_eq(place(&clock, 2, 10000, 20000).time_us, 20000);
        ck_assert_int_eq(place(&clock, 3, 30000, 40000).time_us, 40000);
        ck_assert_uint_eq(clock.restarts, 0);
        clock = started(0, live == 1);
        /* A counter of milliseconds. */
        place(&clock, 1, ((INT64_C(1) << 32) - 10) * 1000, 0);
        ck_assert_int_eq(place(&clock, 2, 10000, 20000).time_us, 20000);
        ck_assert_uint_eq(clock.restarts, 0);
    }
}
END_TEST

START_TEST(a_rig_that_restarts_goes_on_from_the_arrival)
{
    struct rig_clock clock = started(0, true);
    for (int i = 0; i < 200; i++) {
        place(&clock, 1000 + i, 30000000 + i * 20000, i * 20000);
    }
    struct sample sample = place(&clock, 0, 500000, 199 * 20000 + 1700000);
    ck_assert_int_eq(sample.time_us, 199 * 20000 + 1700000);
    ck_assert_int_eq(sample.lost_before, 0);
    ck_assert_uint_eq(clock.restarts, 1);
    sample = place(&clock, 1, 520000, 199 * 20000 + 1723000);
    ck_assert_int_eq(sample.time_us, 199 * 20000 + 1720000);
    ck_assert_int_eq(sample.delay_us, 3000);
    ck_assert_uint_eq(clock.restarts, 1);
}
END_TEST

START_TEST(a_recording_that_restarts_goes_on_by_its_own_step)
{
    struct rig_clock clock = started(0, false);
    for (int i = 0; i < 100; i++) {
        place(&clock, -1, 30000000 + i * 20000, 0);
    }
    ck_assert_int_eq(place(&clock, -1, 0, 0).time_us, 100 * 20000);
    ck_assert_int_eq(place(&clock, -1, 20000, 0).time_us, 101 * 20000);
    ck_assert_uint_eq(clock.restarts, 1);
}
END_TEST

START_TEST(one_wrong_time_stamp_is_no_restart)
{
    /* As a spreadsheet leaves them: 12600, 12700, 25.6, 13017 ms. */
    struct rig_clock clock = started(0, false);
    for (int i = 0; i < 128; i++) {
        place(&clock, -1, i * 100000, 0);
    }
    int64_t wrong_us = place(&clock, -1, 25600, 0).time_us;
    ck_assert_int_eq(wrong_us, 128 * 100000);
    ck_assert_int_eq(place(&clock, -1, 13017000, 0).time_us, 13017000);
    ck_assert_int_eq(place(&clock, -1, 13117000, 0).time_us, 13117000);
    ck_assert_uint_eq(clock.restarts, 0);
}
END_TEST

START_TEST(lines_left_from_before_the_start_make_no_gap)
{
    /* Three lines of an earlier run, then 250 s later the stream itself: no gap of 250 s is made of
     * it. */
    struct rig_clock clock = started(0, false);
    place(&clock, -1, 15284000, 0);
    place(&clock, -1, 15351000, 0);
    place(&clock, -1, 15418000, 0);
    ck_assert_int_eq(place(&clock, -1, 265087000, 0).time_us, 3 * 67000);
    ck_assert_int_eq(place(&clock, -1, 265154000, 0).time_us, 4 * 67000);
    ck_assert_uint_eq(clock.restarts, 1);
    /* Times of the calendar have gaps also at the beginning, and where the recording comes faster.
     */
    for (int live = 0; live < 2; live++) {
        struct rig_clock calendar = started(0, live == 1);
        place(&calendar, -1, INT64_C(1762084250812305), 0);
        ck_assert_int_eq(place(&calendar, -1, INT64_C(1762084317946150), 0).time_us, 67133845);
        ck_assert_uint_eq(calendar.restarts, 0);
        /* But a clock that is set after its start has not slept since 1970. */
        calendar = started(0, live == 1);
        place(&calendar, -1, 3000000, 0);
        ck_assert_int_lt(place(&calendar, -1, INT64_C(1762084317946150), 20000).time_us, 1000000);
        ck_assert_uint_eq(calendar.restarts, 1);
    }
    /* A gap in the middle of a recording is one. */
    for (int i = 2; i < 40; i++) {
        place(&clock, -1, 265087000 + i * 67000, 0);
    }
    int64_t before_us = clock.last_time_us;
    ck_assert_int_eq(place(&clock, -1, 265087000 + 39 * 67000 + 123000000, 0).time_us,
                     before_us + 123000000);
    ck_assert_uint_eq(clock.restarts, 1);
}
END_TEST

START_TEST(a_live_jump_is_judged_by_the_arrival)
{
    struct rig_clock clock = started(0, true);
    for (int i = 0; i < 100; i++) {
        place(&clock, i, i * 20000, i * 20000);
    }
    /* The cable was out for a minute: rig and host agree that it was. */
    ck_assert_int_eq(place(&clock, 3099, 99 * 20000 + 60000000, 99 * 20000 + 60000000).time_us,
                     99 * 20000 + 60000000);
    ck_assert_uint_eq(clock.restarts, 0);
    ck_assert_uint_eq(clock.lost, 2999);
    /* The rig's time leaps while 20 ms pass here. */
    ck_assert_int_eq(place(&clock, 3100, 5000000000, 100 * 20000 + 60000000).time_us,
                     100 * 20000 + 60000000);
    ck_assert_uint_eq(clock.restarts, 1);
}
END_TEST

START_TEST(repeated_lines_are_dropped_and_the_sequence_may_come_round)
{
    struct rig_clock clock = started(0, true);
    struct sample sample;
    for (int i = 0; i < 100; i++) {
        place(&clock, 65436 + i, i * 20000, i * 20000);
    }
    struct raw_sample again = line(65535, 99 * 20000);
    ck_assert(!rig_clock_place(&clock, &again, 99 * 20000, &sample));
    again = line(65530, 94 * 20000);
    ck_assert(!rig_clock_place(&clock, &again, 99 * 20000, &sample));
    sample = place(&clock, 2, 102 * 20000, 102 * 20000);
    ck_assert_int_eq(sample.lost_before, 2); /* 0 and 1 */
    ck_assert_uint_eq(clock.restarts, 0);
    ck_assert_int_eq(sample.time_us, 102 * 20000);
}
END_TEST

/* A board that restarts when its port is opened has counted to 30: 1, 2, 3 again are lines that
 * it sends now, as long as they come as they are measured. The first seven are given up. */
START_TEST(a_rig_that_restarts_soon_is_told_from_repeats)
{
    for (int with_time = 0; with_time < 2; with_time++) {
        struct rig_clock clock = started(0, true);
        struct sample sample;
        for (int i = 0; i < 30; i++) {
            place(&clock, i + 1, with_time ? i * 20000 : -1, i * 20000);
        }
        int64_t last_us = clock.last_time_us;
        for (int i = 0; i < 7; i++) {
            struct raw_sample anew = line(i + 1, with_time ? i * 20000 : -1);
            ck_assert(!rig_clock_place(&clock, &anew, 4000000 + i * 20000, &sample));
        }
        sample = place(&clock, 8, with_time ? 7 * 20000 : -1, 4140000);
        ck_assert_int_le(llabs(sample.time_us - last_us - (4140000 - 29 * 20000)), 20000);
        sample = place(&clock, 9, with_time ? 8 * 20000 : -1, 4160000);
        ck_assert_uint_eq(sample.lost_before, 0);
        ck_assert_uint_eq(clock.restarts, (uint64_t)with_time);
    }
}
END_TEST

/* Repeats of a board's first lines, counted from 1, that come so far apart: which of them is the
 * first that is taken for one that it sends now? 0: none of 50. */
static int first_taken(int64_t apart_us, int64_t arrive_apart_us)
{
    struct rig_clock clock = started(0, true);
    struct sample sample;
    for (int i = 0; i < 60; i++) {
        place(&clock, i + 1, i * apart_us, i * apart_us);
    }
    for (int i = 0; i < 51; i++) {
        struct raw_sample anew = line(i + 1, i * apart_us);
        if (rig_clock_place(&clock, &anew, 5000000 + i * arrive_apart_us, &sample)) {
            return i + 1;
        }
    }
    return 0;
}

START_TEST(fast_rigs_are_told_by_time_and_repeats_by_their_pace)
{
    ck_assert_int_eq(first_taken(1000, 1000), 51); /* 50 ms */
    ck_assert_int_eq(first_taken(1000, 1020), 51);
    ck_assert_int_eq(first_taken(1000, 1021), 50);
    ck_assert_int_eq(first_taken(20000, 10500), 8); /* near twice its pace */
    ck_assert_int_eq(first_taken(20000, 9500), 0);
}
END_TEST

/* Behind a cable that was out even the first line that is back is no repeat. */
START_TEST(a_rig_that_restarts_without_its_cable_is_told_at_once)
{
    struct rig_clock clock = started(0, true);
    for (int i = 0; i < 30; i++) {
        place(&clock, i + 1, i * 20000, i * 20000);
    }
    rig_clock_link_gap(&clock);
    struct sample sample = place(&clock, 29, 28 * 20000, 3000000);
    ck_assert_int_eq(sample.time_us, 3000000);
    ck_assert_uint_eq(clock.restarts, 1);
    struct raw_sample again = line(28, 27 * 20000);
    ck_assert(!rig_clock_place(&clock, &again, 3000000, &sample));
    rig_clock_link_gap(&clock); /* with the very time at which it had been */
    sample = place(&clock, 29, 28 * 20000, 4000000);
    ck_assert_int_eq(sample.time_us, 4000000);
    ck_assert_uint_eq(clock.restarts, 2);
}
END_TEST

/* The program opens the port late: the lines of two seconds come at once, and lay the line under
 * the arrivals flat. A restart soon after goes by the arrival all the same. */
START_TEST(a_restart_after_a_burst_is_where_it_was)
{
    for (int burst = 50; burst <= 350; burst += 10) {
        struct rig_clock clock = started(0, true);
        for (int i = 0; i < 460; i++) {
            int64_t arrival_us = i * 10000 + i * 7919 % 2000; /* jitter */
            place(&clock, i + 1, i * 10000,
                  arrival_us < burst * 10000 ? burst * 10000 : arrival_us);
        }
        struct sample sample = place(&clock, 1, 0, 4600000);
        ck_assert_int_le(llabs(sample.time_us - 4600000), 20000);
    }
}
END_TEST

/* Right behind the line that tells a restart so many are missing as the rig's time says: it is no
 * wrong stamp that is taken back. */
START_TEST(a_gap_behind_a_restart_is_a_gap)
{
    struct rig_clock clock = started(0, true);
    for (int i = 0; i < 100; i++) {
        place(&clock, i + 1, i * 20000, i * 20000);
    }
    struct sample sample = place(&clock, 1, 0, 2000000);
    ck_assert_int_eq(sample.time_us, 2000000);
    sample = place(&clock, 152, 151 * 20000, 2040000); /* three seconds are lost */
    ck_assert_int_eq(sample.time_us, 2000000 + 151 * 20000);
    ck_assert_int_eq(sample.lost_before, 150);
}
END_TEST

/* A whole second time what the system had kept: all at once, and dropped. */
START_TEST(many_repeats_at_once_are_no_restart)
{
    struct rig_clock clock = started(0, true);
    struct sample sample;
    for (int i = 0; i < 60; i++) {
        place(&clock, i + 1, i * 20000, i * 20000);
    }
    for (int i = 10; i < 60; i++) {
        struct raw_sample again = line(i + 1, i * 20000);
        ck_assert(!rig_clock_place(&clock, &again, 60 * 20000 + i * 100, &sample));
    }
    place(&clock, 61, 60 * 20000, 61 * 20000);
    ck_assert_uint_eq(clock.restarts, 0);
}
END_TEST

START_TEST(without_rig_time_the_stated_rate_or_the_arrival_counts)
{
    struct rig_clock clock = started(55.6, false);
    for (int i = 0; i < 1000; i++) {
        struct sample sample = place(&clock, -1, -1, 0);
        ck_assert_double_eq_tol((double)sample.time_us, i * 1e6 / 55.6, 0.51);
    }
    clock = started(50, false);
    place(&clock, 10, -1, 0);
    struct sample sample = place(&clock, 13, -1, 0);
    ck_assert_int_eq(sample.time_us, 60000); /* two were lost */
    ck_assert_int_eq(sample.lost_before, 2);
    clock = started(0, true);
    place(&clock, -1, -1, 5000);
    ck_assert_int_eq(place(&clock, -1, -1, 26000).time_us, 21000);
    ck_assert_int_eq(place(&clock, -1, -1, 25000).time_us, 21000); /* never backwards */
}
END_TEST

START_TEST(no_times_make_it_overflow)
{
    struct rig_clock clock = started(0, false);
    static const int64_t times_us[] = {0, INT64_MAX / 4, 1, INT64_MAX / 4, INT64_MAX / 8,
                                       0, INT64_MAX / 4};
    for (int round = 0; round < 1000; round++) {
        place(&clock, -1, times_us[round % 7], 0);
    }
    ck_assert(clock.last_time_us < INT64_MAX / 8);
}
END_TEST

START_TEST(a_count_that_leaps_is_begun_anew)
{
    struct rig_clock clock = started(1e-9, false); /* the axis ends before its numbers do */
    place(&clock, 0, -1, 0);
    ck_assert_int_eq(place(&clock, INT64_MAX, -1, 0).lost_before, 0);
    ck_assert_uint_eq(clock.lost, 0);
    for (int64_t round = 1; round < 1000; round++) {
        place(&clock, 0, -1, 0);
        ck_assert_int_eq(place(&clock, 86400000, -1, 0).lost_before,
                         86399999); /* a day of 1000/s */
    }
    ck_assert(clock.last_time_us <= INT64_C(1000000000000000));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rig clock");
    TCase *one = tcase_create("rig clock");
    tcase_add_test(one, the_rigs_own_time_makes_the_axis);
    tcase_add_test(one, counters_of_32_bits_come_round);
    tcase_add_test(one, a_rig_that_restarts_goes_on_from_the_arrival);
    tcase_add_test(one, a_recording_that_restarts_goes_on_by_its_own_step);
    tcase_add_test(one, one_wrong_time_stamp_is_no_restart);
    tcase_add_test(one, lines_left_from_before_the_start_make_no_gap);
    tcase_add_test(one, a_live_jump_is_judged_by_the_arrival);
    tcase_add_test(one, repeated_lines_are_dropped_and_the_sequence_may_come_round);
    tcase_add_test(one, a_rig_that_restarts_soon_is_told_from_repeats);
    tcase_add_test(one, fast_rigs_are_told_by_time_and_repeats_by_their_pace);
    tcase_add_test(one, a_rig_that_restarts_without_its_cable_is_told_at_once);
    tcase_add_test(one, a_restart_after_a_burst_is_where_it_was);
    tcase_add_test(one, a_gap_behind_a_restart_is_a_gap);
    tcase_add_test(one, many_repeats_at_once_are_no_restart);
    tcase_add_test(one, without_rig_time_the_stated_rate_or_the_arrival_counts);
    tcase_add_test(one, no_times_make_it_overflow);
    tcase_add_test(one, a_count_that_leaps_is_begun_anew);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
