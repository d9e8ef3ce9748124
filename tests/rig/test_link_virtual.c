/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/clock.h"
#include "rig/link.h"
#include "rig/virtual_rig.h"
#include "support/link_reading.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

START_TEST(virtual_rig_at_full_speed_is_one_line_a_read)
{
    struct link *link = open_link(&link_kind_virtual, "steady", "speed=max&seconds=10&seed=5");
    ck_assert(link->can_wait);
    struct problem problem = {PROBLEM_NONE, ""};
    int samples = 0;
    struct chunk chunk;
    double before_mm = 0;
    while ((chunk = read_chunk(link, 0)).result == LINK_BYTES) {
        samples++;
        const char *line = strrchr(chunk.bytes, '$');
        ck_assert_ptr_nonnull(line);
        double range_mm = 0;
        if (sscanf(line, "$%*d,%*d,%lf", &range_mm) != 1) {
            continue;
        }
        if (samples == 250) {
            before_mm = range_mm;
            ck_assert(link_write_line(link, "plate 1930", &problem));
        }
        if (samples == 251) { /* acts from the very next sample on */
            ck_assert_double_gt(range_mm, before_mm + 800);
        }
    }
    ck_assert_int_eq(chunk.result, LINK_END);
    ck_assert_int_eq(samples, 500);
    ck_assert(!link_write_line(link, "plate high", &problem));
    link_close(link);
}
END_TEST

/* No part of a line is given out: where there is no room for a whole one, it says for how much. */
START_TEST(virtual_rig_wants_room_for_a_line)
{
    struct link *link = open_link(&link_kind_virtual, "steady", "speed=max&seconds=1&seed=5");
    struct problem problem = {PROBLEM_NONE, ""};
    char bytes[VIRTUAL_RIG_BYTES], wanted[16];
    size_t length = 7;
    int64_t arrival_us;
    snprintf(wanted, sizeof wanted, " %d bytes", VIRTUAL_RIG_BYTES);
    ck_assert_int_eq(link_read(link, bytes, sizeof bytes - 1, &length, 0, &arrival_us, &problem),
                     LINK_FAILED);
    ck_assert_uint_eq(length, 0);
    ck_assert_ptr_nonnull(strstr(problem.sentence, wanted));
    ck_assert_int_eq(link_read(link, bytes, sizeof bytes, &length, 0, &arrival_us, &problem),
                     LINK_BYTES);
    link_close(link);
}
END_TEST

START_TEST(virtual_rig_plays_through_a_pseudo_terminal)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct link *link = link_kind_virtual.open("steady", "rate=100&seconds=0.5", &problem);
    if (link == NULL && access("/dev/pts/ptmx", F_OK) != 0) {
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    ck_assert_msg(link != NULL, "%s", problem.sentence);
    ck_assert(!link->can_wait);
    ck_assert(link->time_is_arrival);
    char all[8192] = "";
    int64_t start_us = clock_monotonic_us();
    struct chunk chunk;
    while ((chunk = read_chunk(link, 100)).result != LINK_END) {
        ck_assert(chunk.result == LINK_BYTES || chunk.result == LINK_QUIET);
        ck_assert_uint_lt(strlen(all) + chunk.length, sizeof all);
        strcat(all, chunk.bytes);
    }
    int64_t took_us = clock_monotonic_us() - start_us;
    ck_assert_int_ge(took_us, 480000); /* its real pace */
    ck_assert_int_lt(took_us, 1500000);
    unsigned next = 1;
    for (char *line = all; (line = strchr(line, '$')) != NULL; line++) {
        ck_assert_uint_eq(strtoul(line + 1, NULL, 10), next++);
    }
    ck_assert_uint_eq(next, 51);
    link_close(link);
}
END_TEST

START_TEST(virtual_rig_is_told_while_it_plays)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct link *link = link_kind_virtual.open("steady", "rate=200&speed=5", &problem);
    if (link == NULL) {
        ck_assert_msg(access("/dev/pts/ptmx", F_OK) != 0, "%s", problem.sentence);
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    read_chunk(link, 1000);
    for (int i = 0; i < 50; i++) {
        ck_assert(link_write_line(link, i % 2 == 0 ? "sit free" : "build", &problem));
        read_chunk(link, 5);
    }
    ck_assert(link_write_line(link, "plate 1930", &problem));
    int64_t start_us = clock_monotonic_us();
    double range_mm = 0;
    while (range_mm < 1000 && clock_monotonic_us() - start_us < 2000000) {
        struct chunk chunk = read_chunk(link, 100);
        const char *line = strrchr(chunk.bytes, '$');
        if (line == NULL || sscanf(line, "$%*d,%*d,%lf", &range_mm) != 1) {
            range_mm = 0;
        }
    }
    ck_assert_double_gt(range_mm, 1000);
    start_us = clock_monotonic_us();
    link_close(link);
    ck_assert_int_lt(clock_monotonic_us() - start_us, 500000);
}
END_TEST

START_TEST(virtual_rig_that_nobody_reads_waits_for_nobody)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct link *link = link_kind_virtual.open("steady", "rate=1000&speed=20&seconds=20", &problem);
    if (link == NULL) {
        ck_assert_msg(access("/dev/pts/ptmx", F_OK) != 0, "%s", problem.sentence);
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    usleep(1500000); /* it has run dry by now: 20,000 lines, and the terminal keeps some hundreds */
    unsigned long last = 0;
    unsigned long lines = 0;
    struct chunk chunk;
    while ((chunk = read_chunk(link, 100)).result == LINK_BYTES) {
        for (char *line = chunk.bytes; (line = strchr(line, '$')) != NULL; line++) {
            unsigned long number = strtoul(line + 1, NULL, 10);
            last = number > last && number <= 20000 ? number : last;
            lines++;
        }
    }
    ck_assert_int_eq(chunk.result, LINK_END);
    ck_assert_uint_gt(lines, 10);
    ck_assert_uint_lt(lines, 20000);
    link_close(link);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("link_virtual");
    TCase *tests = tcase_create("link_virtual");
    tcase_set_timeout(tests, 30);
    tcase_add_test(tests, virtual_rig_at_full_speed_is_one_line_a_read);
    tcase_add_test(tests, virtual_rig_wants_room_for_a_line);
    tcase_add_test(tests, virtual_rig_plays_through_a_pseudo_terminal);
    tcase_add_test(tests, virtual_rig_is_told_while_it_plays);
    tcase_add_test(tests, virtual_rig_that_nobody_reads_waits_for_nobody);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
