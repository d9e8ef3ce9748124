/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What can happen to a live rig's clock and to the program's, told apart by sequence, rig time and
 * arrival together: the axis is right to 0.1 s behind each, and a gap is a gap. The truth is when
 * each line was measured. */
#include "rig/rig_clock.h"
#include "rig/stamp_watch.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RATE_HZ 50
#define INTERVAL_US INT64_C(20000)
#define SECOND_US INT64_C(1000000)
#define LINES 4000 /* 80 s */
#define EVENT 1500 /* 30 s: the first line behind what happens */
#define RIG_AT_0_US INT64_C(700000000)
#define ROUND_US (INT64_C(1) << 32)

/* A line that came: when it was measured, what it carries, when it came. */
struct told {
    int64_t true_us, rig_time_us, arrival_us;
    uint64_t sequence;
};
static struct told told[LINES];
static int told_count;

static bool carries_sequence, carries_time = true;

static void tell(int64_t true_us, int64_t rig_time_us, uint64_t sequence, int64_t arrival_us)
{
    /* up to 15 ms of USB, never before the line before it */
    arrival_us += (int64_t)(told_count * 7919 % 15000);
    if (told_count > 0 && arrival_us < told[told_count - 1].arrival_us) {
        arrival_us = told[told_count - 1].arrival_us;
    }
    told[told_count++] = (struct told){true_us, rig_time_us, arrival_us, sequence};
}

struct placed {
    int count;
    double worst_s;     /* furthest from the truth, from so many seconds behind the event on */
    double worst_gap_s; /* longest step of the axis */
    uint64_t restarts, left_out, lost;
    double worst_before_s;
};

static struct placed place_all(double settle_s)
{
    static struct rig_clock clock;
    struct stamp_watch watch;
    struct placed placed = {0};
    int64_t last_us = 0, event_us = EVENT * INTERVAL_US, first_true_us = told[0].true_us;
    rig_clock_start(&clock, 0, true);
    memset(&watch, 0, sizeof watch);
    /* the truth of a line that goes on is found by its range */
    for (int i = 0; i < told_count; i++) {
        struct stamped_line on[2];
        struct raw_sample raw;
        memset(&raw, 0, sizeof raw);
        raw.has_sequence = carries_sequence;
        raw.has_rig_time = carries_time;
        raw.sequence = told[i].sequence;
        raw.rig_time_us = told[i].rig_time_us;
        raw.range_tenth_mm[0] = i;
        int count = stamp_watch_take(&watch, &raw, told[i].arrival_us, on);
        for (int k = 0; k < count; k++) {
            struct sample sample;
            memset(&sample, 0, sizeof sample);
            int behind = 0;
            while (i + behind + 1 < told_count &&
                   told[i + behind + 1].arrival_us == told[i].arrival_us) {
                behind++;
            }
            rig_clock_lines_behind(&clock, (uint64_t)behind);
            ck_assert(rig_clock_place(&clock, &on[k].raw, on[k].arrival_us, &sample));
            const struct told *line = &told[on[k].raw.range_tenth_mm[0]];
            double off_s = (double)(sample.time_us - (line->true_us - first_true_us)) / 1e6;
            placed.worst_gap_s = fmax(placed.worst_gap_s, (double)(sample.time_us - last_us) / 1e6);
            last_us = sample.time_us;
            placed.count++;
            if (line->true_us < event_us) {
                placed.worst_before_s = fmax(placed.worst_before_s, fabs(off_s));
            } else if ((double)(line->true_us - event_us) / 1e6 >= settle_s) {
                placed.worst_s = fmax(placed.worst_s, fabs(off_s));
            }
        }
    }
    placed.restarts = clock.restarts;
    placed.left_out = watch.left_out;
    placed.lost = clock.lost;
    return placed;
}

static struct placed check(const char *what, double settle_s, double least_gap_s, double most_gap_s)
{
    struct placed placed = place_all(settle_s);
    printf("  %s%s: off by %.3f s at most, longest step %.2f s, %llu restarts, %llu left out\n",
           what,
           !carries_time      ? (carries_sequence ? ", no time" : ", neither")
           : carries_sequence ? ""
                              : ", no sequence",
           placed.worst_s, placed.worst_gap_s, (unsigned long long)placed.restarts,
           (unsigned long long)placed.left_out);
    ck_assert_double_le(placed.worst_before_s, 0.02);
    ck_assert_msg(placed.worst_s <= 0.1, "%s: off by %.3f s", what, placed.worst_s);
    ck_assert_msg(placed.worst_gap_s >= least_gap_s && placed.worst_gap_s <= most_gap_s,
                  "%s: longest step %.3f s", what, placed.worst_gap_s);
    return placed;
}

/* The program stands still for 30 s; the system keeps so many lines for it, the others are lost. */
static void stop_program(int kept, int64_t rig_at_0_us)
{
    told_count = 0;
    for (int i = 0; i < LINES; i++) {
        int64_t true_us = i * INTERVAL_US, rig_us = rig_at_0_us + true_us;
        bool stopped = i >= EVENT && i < EVENT + 30 * RATE_HZ;
        if (!stopped || i < EVENT + kept) {
            tell(true_us, rig_us % ROUND_US, (uint64_t)i, true_us);
            if (stopped) { /* in one read */
                told[told_count - 1].arrival_us = (EVENT + 30 * RATE_HZ) * INTERVAL_US;
            }
        }
    }
}

START_TEST(the_program_stands_still)
{
    static const int kept[] = {0, 130, 700, 1499, 1500};
    for (int s = 1; s >= 0; s--) {
        carries_sequence = s == 1;
        for (size_t k = 0; k < sizeof kept / sizeof kept[0]; k++) {
            double gap_s = (1500 - kept[k]) / 50.0;
            stop_program(kept[k], RIG_AT_0_US);
            struct placed placed = check("stopped for 30 s", 0.0, gap_s - 0.001, gap_s + 0.021);
            ck_assert_uint_eq(placed.restarts, 0);
            ck_assert_uint_eq(placed.left_out, 0);
        }
    }
    /* and the rig's counter comes round meanwhile */
    carries_sequence = true;
    stop_program(700, ROUND_US - 50 * SECOND_US);
    ck_assert_uint_eq(check("stopped, counter round", 0.0, 15.9, 16.1).restarts, 0);
}
END_TEST

/* The same of rigs that send no time: what came is put where it was measured. */
START_TEST(the_program_stands_still_without_time)
{
    static const int kept[] = {0, 130, 700, 1499, 1500};
    carries_time = false;
    for (int s = 1; s >= 0; s--) {
        carries_sequence = s == 1;
        for (size_t k = 0; k < sizeof kept / sizeof kept[0]; k++) {
            stop_program(kept[k], RIG_AT_0_US);
            double gap_s = (1500 - kept[k]) / 50.0;
            check("stopped for 30 s", 0.0, gap_s - 0.03, gap_s + 0.1);
        }
    }
    carries_time = true;
}
END_TEST

/* The rig rests, its clock goes on: no line is missing. */
START_TEST(the_rig_rests)
{
    for (int s = 1; s >= 0; s--) {
        carries_sequence = s == 1;
        told_count = 0;
        for (int i = 0; i < LINES; i++) {
            int64_t true_us = i * INTERVAL_US + (i >= EVENT ? 30 * SECOND_US : 0);
            tell(true_us, RIG_AT_0_US + true_us, (uint64_t)i, true_us);
        }
        ck_assert_uint_eq(check("the rig rests for 30 s", 0.0, 29.9, 30.1).restarts, 0);
    }
}
END_TEST

/* The rig sleeps, and its clock with it: seen by all lines coming late, two seconds on. */
START_TEST(the_rig_s_clock_sleeps)
{
    for (int s = 1; s >= 0; s--) {
        carries_sequence = s == 1;
        told_count = 0;
        for (int i = 0; i < LINES; i++) {
            int64_t measured_us = i * INTERVAL_US;
            int64_t true_us = measured_us + (i >= EVENT ? 30 * SECOND_US : 0);
            tell(true_us, RIG_AT_0_US + measured_us, (uint64_t)i, true_us);
        }
        ck_assert_uint_eq(check("the rig sleeps for 30 s", 32.5, 29.0, 30.1).restarts, 1);
    }
}
END_TEST

/* The rig's clock is set, by so much, while no line is lost. */
START_TEST(the_rig_s_clock_is_set)
{
    static const int64_t step_us[] = {5 * SECOND_US,  9 * SECOND_US, 3600 * SECOND_US, 400000,
                                      -5 * SECOND_US, -400000,       -600 * SECOND_US};
    for (int s = 1; s >= 0; s--) {
        carries_sequence = s == 1;
        for (size_t k = 0; k < sizeof step_us / sizeof step_us[0]; k++) {
            told_count = 0;
            for (int i = 0; i < LINES; i++) {
                int64_t true_us = i * INTERVAL_US;
                tell(true_us, RIG_AT_0_US + true_us + (i >= EVENT ? step_us[k] : 0), (uint64_t)i,
                     true_us);
            }
            struct placed placed = check("the rig's clock is set", 0.0, 0.0, 0.1);
            ck_assert_uint_eq(placed.restarts, 1);
            ck_assert_int_eq(placed.count, LINES);
        }
    }
}
END_TEST

/* It restarts: time and sequence begin anew after 4 s. */
START_TEST(the_rig_restarts)
{
    for (int s = 1; s >= 0; s--) {
        carries_sequence = s == 1;
        told_count = 0;
        for (int i = 0; i < LINES; i++) {
            bool anew = i >= EVENT;
            int64_t true_us = i * INTERVAL_US + (anew ? 4 * SECOND_US : 0);
            tell(true_us, anew ? 300000 + (i - EVENT) * INTERVAL_US : RIG_AT_0_US + true_us,
                 (uint64_t)(anew ? i - EVENT : i + 100), true_us);
        }
        ck_assert_uint_eq(check("the rig restarts in 4 s", 0.0, 3.9, 4.1).restarts, 1);
    }
}
END_TEST

/* The computer sleeps, and its clock with it; the rig's lines of that time are lost. */
START_TEST(the_computer_sleeps)
{
    carries_sequence = true;
    told_count = 0;
    for (int i = 0; i < LINES; i++) {
        int64_t true_us = i * INTERVAL_US + (i >= EVENT ? 30 * SECOND_US : 0);
        tell(true_us, RIG_AT_0_US + true_us, (uint64_t)i + (i >= EVENT ? 30u * RATE_HZ : 0u),
             i * INTERVAL_US);
    }
    struct placed placed = check("the computer sleeps for 30 s", 0.0, 29.9, 30.1);
    ck_assert_uint_eq(placed.restarts, 0);
    ck_assert_uint_eq(placed.lost, 30 * RATE_HZ);
}
END_TEST

/* A stall of the bus is none of these: all lines come, late and at once, and the axis stays. */
START_TEST(the_bus_stalls)
{
    for (int s = 1; s >= 0; s--) {
        carries_sequence = s == 1;
        told_count = 0;
        for (int i = 0; i < LINES; i++) {
            bool stalled = i >= EVENT && i < EVENT + 4 * RATE_HZ;
            tell(i * INTERVAL_US, RIG_AT_0_US + i * INTERVAL_US, (uint64_t)i,
                 (stalled ? EVENT + 4 * RATE_HZ : i) * INTERVAL_US);
        }
        struct placed placed = check("a stall of 4 s", 0.0, 0.0, 0.021);
        ck_assert_uint_eq(placed.restarts, 0);
        ck_assert_double_le(placed.worst_s, 1e-6);
    }
}
END_TEST

/* A line that grows slower by 1 s and stays so is no sleeping clock. */
START_TEST(a_line_that_grows_slower)
{
    carries_sequence = true;
    told_count = 0;
    for (int i = 0; i < LINES; i++) {
        tell(i * INTERVAL_US, RIG_AT_0_US + i * INTERVAL_US, (uint64_t)i,
             i * INTERVAL_US + (i >= EVENT ? SECOND_US : 0));
    }
    ck_assert_uint_eq(check("1 s more delay for good", 0.0, 0.0, 0.021).restarts, 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("clock faults");
    TCase *tests = tcase_create("clock faults");
    tcase_add_test(tests, the_program_stands_still);
    tcase_add_test(tests, the_program_stands_still_without_time);
    tcase_add_test(tests, the_rig_rests);
    tcase_add_test(tests, the_rig_s_clock_sleeps);
    tcase_add_test(tests, the_rig_s_clock_is_set);
    tcase_add_test(tests, the_rig_restarts);
    tcase_add_test(tests, the_computer_sleeps);
    tcase_add_test(tests, the_bus_stalls);
    tcase_add_test(tests, a_line_that_grows_slower);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
