/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Whole recordings and live streams in which single time stamps are wrong, and such in which the
 * clock really steps. The truth is how they are made here: a line every 20 ms. */
#include "rig/reader.h"
#include "rig/stamp_watch.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LINES 3000
#define INTERVAL_US INT64_C(20000)
#define HOUR_US INT64_C(3600000000)
#define FIRST_US INT64_C(5000000000) /* the rig has run for a while */
#define ROUND_US (INT64_C(1) << 32)

enum kind { PLAIN_FILE, BENCH_FILE, BENCH_LIVE, KINDS };

/* A link that gives one made line a read. */
struct made_line {
    char text[80];
    int64_t arrival_us;
};
static struct made_line made[LINES + 1];
struct made_link {
    struct link head;
    int next;
};

static enum link_result made_read(struct link *link, char *bytes, size_t size, size_t *length,
                                  int timeout_ms, int64_t *arrival_us, struct problem *problem)
{
    struct made_link *from = (struct made_link *)link;
    (void)timeout_ms;
    (void)problem;
    if (from->next > LINES) {
        return LINK_END;
    }
    const struct made_line *line = &made[from->next++];
    *length = strlen(line->text);
    ck_assert_uint_le(*length, size);
    memcpy(bytes, line->text, *length);
    *arrival_us = line->arrival_us;
    return LINK_BYTES;
}

static void made_close(struct link *link)
{
    free(link);
}

static const struct link_functions made_functions = {.read = made_read, .close = made_close};

/* Line i: its number in sequence, its time as written, and when it arrives. */
static void make_line(enum kind kind, int i, uint64_t sequence, const char *time,
                      int64_t arrival_us)
{
    struct made_line *line = &made[i + 1];
    double range_mm = 400.0 + 0.1 * (i % 50);
    line->arrival_us = kind == BENCH_LIVE ? arrival_us : 0;
    if (kind == PLAIN_FILE) {
        snprintf(line->text, sizeof line->text, "%s,%.1f\n", time, range_mm);
        return;
    }
    char body[60];
    unsigned sum = 0;
    snprintf(body, sizeof body, "%llu,%s,%.1f", (unsigned long long)sequence, time, range_mm);
    for (const char *at = body; *at != '\0'; at++) {
        sum ^= (unsigned char)*at;
    }
    snprintf(line->text, sizeof line->text, "$%s*%02X\n", body, sum);
}

static void make_time(enum kind kind, int i, uint64_t sequence, int64_t time_us, int64_t arrival_us)
{
    char time[32];
    snprintf(time, sizeof time, "%lld", (long long)time_us);
    make_line(kind, i, sequence, time, arrival_us);
}

struct read_back {
    int count;
    struct sample sample[LINES];
    struct decoder_counts counts;
    uint64_t restarts;
};

static void keep(void *context, const struct sample *sample)
{
    struct read_back *read = context;
    ck_assert_int_lt(read->count, LINES);
    read->sample[read->count++] = *sample;
}

static const struct read_back *read_all(enum kind kind)
{
    static struct read_back read;
    struct problem problem = {PROBLEM_NONE, ""};
    struct decoder_options options;
    struct made_link *link = calloc(1, sizeof *link);
    ck_assert_ptr_nonnull(link);
    memset(&read, 0, sizeof read);
    memset(&options, 0, sizeof options);
    snprintf(made[0].text, sizeof made[0].text, "%s",
             kind == PLAIN_FILE ? "time_us,head\n"
                                : "# holdline-rig 1 id=made rate=50 unit=mm channels=head\n");
    link->head.functions = &made_functions;
    link->head.time_is_arrival = kind == BENCH_LIVE;
    link->head.wake_fd = -1;
    struct reader *reader = reader_create(&link->head, &options, 1, &problem);
    ck_assert_ptr_nonnull(reader);
    enum link_result result;
    do {
        result = reader_step(reader, 0, keep, &read, &problem);
    } while (result == LINK_BYTES);
    ck_assert_msg(result == LINK_END, "%s", problem.sentence);
    read.counts = *reader_counts(reader);
    read.restarts = reader_health(reader)->clock_restarts;
    ck_assert_uint_eq(read.counts.samples, (uint64_t)read.count);
    reader_destroy(reader);
    return &read;
}

/* Up to 15 ms later than measured: USB. */
static int64_t arrival_of(int i)
{
    return i * INTERVAL_US + (i * 7919) % 15000;
}

static bool is_wrong(int i)
{
    return i % 500 == 250;
}

/* All lines but the wrong ones stand where they were measured. */
static void check_others(const struct read_back *read, enum reject_reason reason)
{
    ck_assert_int_eq(read->count, LINES - 6);
    ck_assert_uint_eq(read->counts.rejected[reason], 6);
    ck_assert_uint_eq(read->restarts, 0);
    for (int i = 0, at = 0; i < LINES; i++) {
        if (!is_wrong(i)) {
            ck_assert_int_eq(read->sample[at].time_us, i * INTERVAL_US);
            ck_assert_int_eq(read->sample[at].range_tenth_mm[0], 4000 + i % 50);
            at++;
        }
    }
}

START_TEST(single_rows_that_jump)
{
    static const int64_t off_us[] = {1000000,      -1000000, HOUR_US, -HOUR_US,
                                     -INTERVAL_US, 300000,   -100000};
    for (int kind = 0; kind < KINDS; kind++) {
        for (size_t o = 0; o < sizeof off_us / sizeof off_us[0]; o++) {
            for (int i = 0; i < LINES; i++) {
                make_time((enum kind)kind, i, (uint64_t)i + 7,
                          FIRST_US + i * INTERVAL_US + (is_wrong(i) ? off_us[o] : 0),
                          arrival_of(i));
            }
            check_others(read_all((enum kind)kind), REJECT_WRONG_TIME);
        }
    }
}
END_TEST

START_TEST(single_rows_without_a_time)
{
    for (int kind = 0; kind < KINDS; kind++) {
        for (int nan = 0; nan < 2; nan++) {
            for (int i = 0; i < LINES; i++) {
                make_time((enum kind)kind, i, (uint64_t)i + 7, FIRST_US + i * INTERVAL_US,
                          arrival_of(i));
                if (is_wrong(i)) {
                    make_line((enum kind)kind, i, (uint64_t)i + 7, nan ? "nan" : "0",
                              arrival_of(i));
                }
            }
            check_others(read_all((enum kind)kind), nan ? REJECT_BAD_NUMBER : REJECT_WRONG_TIME);
        }
    }
}
END_TEST

/* The last line of all has nothing behind it to go by. */
START_TEST(a_wrong_last_row)
{
    for (int kind = 0; kind < KINDS; kind++) {
        for (int i = 0; i < LINES; i++) {
            int64_t off_us = i == LINES - 1 ? HOUR_US : 0;
            make_time((enum kind)kind, i, (uint64_t)i, FIRST_US + i * INTERVAL_US + off_us,
                      arrival_of(i));
        }
        const struct read_back *read = read_all((enum kind)kind);
        ck_assert_int_eq(read->count, LINES - 1);
        ck_assert_uint_eq(read->counts.rejected[REJECT_WRONG_TIME], 1);
        ck_assert_int_eq(read->sample[LINES - 2].time_us, (LINES - 2) * INTERVAL_US);
    }
}
END_TEST

/* ---- the clock really steps: no line is left out ---- */

static const struct read_back *stepped(enum kind kind, int64_t from_us, int64_t step_us,
                                       uint64_t lost, bool arrival_steps)
{
    for (int i = 0; i < LINES; i++) {
        bool behind = i >= LINES / 2;
        make_time(kind, i, (uint64_t)i + (behind ? lost : 0),
                  from_us + i * INTERVAL_US + (behind ? step_us : 0),
                  arrival_of(i) + (behind && arrival_steps ? step_us : 0));
    }
    const struct read_back *read = read_all(kind);
    ck_assert_int_eq(read->count, LINES);
    ck_assert_uint_eq(read->counts.rejected[REJECT_WRONG_TIME], 0);
    return read;
}

static void check_axis(const struct read_back *read, int64_t step_us)
{
    for (int i = 0; i < LINES; i++) {
        ck_assert_int_eq(read->sample[i].time_us, i * INTERVAL_US + (i >= LINES / 2 ? step_us : 0));
    }
}

START_TEST(a_gap_is_a_gap)
{
    for (int kind = 0; kind < KINDS; kind++) {
        for (int lost = 0; lost < 2; lost++) {
            const struct read_back *read =
                stepped((enum kind)kind, FIRST_US, 60000000, lost ? 3000 : 0, true);
            check_axis(read, 60000000);
            ck_assert_uint_eq(read->restarts, 0);
        }
        check_axis(stepped((enum kind)kind, FIRST_US, 2000000, 100, true), 2000000);
    }
}
END_TEST

START_TEST(a_clock_that_is_set)
{
    for (int kind = 0; kind < KINDS; kind++) {
        const struct read_back *read = stepped((enum kind)kind, FIRST_US, -1000000, 0, false);
        ck_assert_uint_eq(read->restarts, 1);
        for (int i = 1; i < LINES; i++) { /* goes on evenly, but for the arrival's 15 ms */
            int64_t step_us = read->sample[i].time_us - read->sample[i - 1].time_us;
            ck_assert(step_us > 0 && step_us <= INTERVAL_US + 15000);
        }
    }
    const struct read_back *read = stepped(BENCH_LIVE, FIRST_US, HOUR_US, 0, false);
    ck_assert_uint_eq(read->restarts, 1);
    ck_assert(read->sample[LINES - 1].time_us < LINES * INTERVAL_US + 15000);
}
END_TEST

/* A line with an odd time is held until the next tells; where that is one of a rig that began anew
 * it goes before it, never behind. */
START_TEST(a_held_line_goes_before_a_restart)
{
    struct stamp_watch watch = {0};
    struct stamped_line on[2];
    struct raw_sample raw = {.has_sequence = true, .has_rig_time = true};
    for (int i = 1; i <= 30; i++) {
        raw.sequence = (uint64_t)i;
        raw.rig_time_us = i * INTERVAL_US;
        ck_assert_int_eq(stamp_watch_take(&watch, &raw, raw.rig_time_us, on), 1);
    }
    raw.sequence = 31;
    raw.rig_time_us = 200 * INTERVAL_US;
    ck_assert_int_eq(stamp_watch_take(&watch, &raw, raw.rig_time_us, on), 0);
    raw.sequence = 1;
    raw.rig_time_us = INTERVAL_US;
    ck_assert_int_eq(stamp_watch_take(&watch, &raw, 201 * INTERVAL_US, on), 2);
    ck_assert_uint_eq(on[0].raw.sequence, 31);
    ck_assert_uint_eq(on[1].raw.sequence, 1);
}
END_TEST

START_TEST(a_rig_that_restarts)
{
    for (int kind = 0; kind < KINDS; kind++) {
        for (int i = 0; i < LINES; i++) {
            bool behind = i >= LINES / 2;
            make_time((enum kind)kind, i, (uint64_t)(behind ? i - LINES / 2 : i + 7000),
                      behind ? 1000 + (i - LINES / 2) * INTERVAL_US : FIRST_US + i * INTERVAL_US,
                      arrival_of(i) + (behind ? 1700000 : 0));
        }
        const struct read_back *read = read_all((enum kind)kind);
        ck_assert_int_eq(read->count, LINES);
        ck_assert_uint_eq(read->counts.rejected[REJECT_WRONG_TIME], 0);
        ck_assert_uint_eq(read->restarts, 1);
        int64_t over_us = read->sample[LINES / 2].time_us - read->sample[LINES / 2 - 1].time_us;
        if (kind == BENCH_LIVE) {
            ck_assert(llabs(over_us - 1700000 - INTERVAL_US) <= 15000);
        } else {
            ck_assert_int_eq(over_us, INTERVAL_US);
        }
        ck_assert_int_eq(read->sample[LINES - 1].time_us - read->sample[LINES / 2].time_us,
                         (LINES / 2 - 1) * INTERVAL_US);
    }
}
END_TEST

START_TEST(a_counter_that_comes_round)
{
    for (int kind = 0; kind < KINDS; kind++) {
        for (int wrong = 0; wrong < 2; wrong++) { /* with a wrong row just before it, too */
            for (int i = 0; i < LINES; i++) {
                int64_t time_us = ROUND_US - (LINES / 2) * INTERVAL_US + i * INTERVAL_US;
                int64_t off_us = wrong && i == LINES / 2 - 3 ? -1000000 : 0;
                make_time((enum kind)kind, i, (uint64_t)i, (time_us + off_us) % ROUND_US,
                          arrival_of(i));
            }
            const struct read_back *read = read_all((enum kind)kind);
            ck_assert_int_eq(read->count, LINES - wrong);
            ck_assert_uint_eq(read->restarts, 0);
            ck_assert_int_eq(read->sample[LINES - 1 - wrong].time_us, (LINES - 1) * INTERVAL_US);
        }
    }
}
END_TEST

/* A clock of whole seconds under 50 lines a second is none: its lines are not all left out. */
START_TEST(a_clock_that_stands_still)
{
    for (int i = 0; i < LINES; i++) {
        make_time(BENCH_FILE, i, (uint64_t)i, FIRST_US + i / 50 * 1000000, 0);
    }
    const struct read_back *read = read_all(BENCH_FILE);
    ck_assert_int_gt(read->count, LINES * 9 / 10);
    for (int i = 0; i < LINES; i++) { /* one that never runs */
        make_time(BENCH_FILE, i, (uint64_t)i, FIRST_US, 0);
    }
    ck_assert_int_eq(read_all(BENCH_FILE)->count, LINES);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("time stamps");
    TCase *tests = tcase_create("time stamps");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, single_rows_that_jump);
    tcase_add_test(tests, single_rows_without_a_time);
    tcase_add_test(tests, a_wrong_last_row);
    tcase_add_test(tests, a_gap_is_a_gap);
    tcase_add_test(tests, a_clock_that_is_set);
    tcase_add_test(tests, a_held_line_goes_before_a_restart);
    tcase_add_test(tests, a_rig_that_restarts);
    tcase_add_test(tests, a_counter_that_comes_round);
    tcase_add_test(tests, a_clock_that_stands_still);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
