/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/clock.h"
#include "rig/link.h"
#include "support/cable.h"
#include "support/link_reading.h"
#include "support/test_main.h"

#include <fcntl.h>
#include <grp.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#define NOBODY 65534

START_TEST(terminal_is_read_raw_and_to_the_last_byte)
{
    struct cable cable;
    if (!cable_plug(&cable)) {
        return;
    }
    struct link *link = open_link(&link_kind_tty, cable.path, "baud=115200");
    ck_assert(!link->can_wait);
    ck_assert(link->time_is_arrival);
    ck_assert_int_eq(read_chunk(link, 10).result, LINK_QUIET);
    char all[256];
    for (int i = 0; i < 256; i++) { /* every byte there is: no line end turned, no signal sent */
        all[i] = (char)i;
    }
    ck_assert(cable_write(&cable, all, sizeof all));
    size_t got = 0;
    while (got < sizeof all) {
        int64_t before_us = clock_monotonic_us();
        struct chunk chunk = read_chunk(link, 1000);
        ck_assert_int_eq(chunk.result, LINK_BYTES);
        ck_assert_int_ge(chunk.arrival_us, before_us);
        ck_assert_int_le(chunk.arrival_us, clock_monotonic_us());
        ck_assert_mem_eq(chunk.bytes, all + got, chunk.length);
        got += chunk.length;
    }
    struct pollfd echo = {.fd = cable.master, .events = POLLIN};
    ck_assert_int_eq(poll(&echo, 1, 50), 0);
    link_close(link);
    cable_pull(&cable);
}
END_TEST

START_TEST(wake_ends_the_wait_for_a_terminal)
{
    struct cable cable;
    int wake[2];
    if (!cable_plug(&cable)) {
        return;
    }
    ck_assert_int_eq(pipe(wake), 0);
    struct link *link = open_link(&link_kind_tty, cable.path, "");
    link->wake_fd = wake[0];
    ck_assert_int_eq(write(wake[1], "x", 1), 1);
    int64_t start_us = clock_monotonic_us();
    ck_assert_int_eq(read_chunk(link, 5000).result, LINK_QUIET);
    ck_assert_int_lt(clock_monotonic_us() - start_us, 500000);
    cable_pull(&cable); /* and while it is down */
    ck_assert_int_eq(read_chunk(link, 5000).result, LINK_DOWN);
    start_us = clock_monotonic_us();
    ck_assert_int_eq(read_chunk(link, 5000).result, LINK_DOWN);
    ck_assert_int_lt(clock_monotonic_us() - start_us, 500000);
    link_close(link);
}
END_TEST

START_TEST(pulled_cable_is_noticed_and_taken_up_again)
{
    struct cable cable;
    char name[512];
    if (!cable_plug(&cable)) {
        return;
    }
    snprintf(name, sizeof name, "%s", folder_path("rig"));
    ck_assert(cable_link(&cable, name));
    struct link *link = open_link(&link_kind_tty, name, "");
    ck_assert(cable_write(&cable, "$1\n", 3));
    ck_assert_str_eq(read_chunk(link, 1000).bytes, "$1\n");
    for (uint64_t pull = 1; pull <= 3; pull++) {
        cable_pull(&cable);
        ck_assert_int_lt(time_until(link, LINK_DOWN), 1000000);
        ck_assert_uint_eq(link->times_down, pull);
        ck_assert_int_eq(read_chunk(link, 50).result, LINK_DOWN); /* and stays so */
        ck_assert(cable_plug(&cable));
        ck_assert(cable_link(&cable, name));
        ck_assert_int_lt(time_until(link, LINK_UP), 1000000);
        ck_assert(cable_write(&cable, "again\n", 6));
        struct chunk chunk = read_chunk(link, 1000);
        ck_assert_int_eq(chunk.result, LINK_BYTES);
        ck_assert_str_eq(chunk.bytes, "again\n");
        ck_assert_uint_eq(link->times_down, pull);
    }
    link_close(link);
    cable_pull(&cable);
}
END_TEST

/* The number of a pseudo-terminal that went is given to the next window, which is somebody else's.
 */
START_TEST(another_terminal_under_the_same_number_is_left_alone)
{
    struct cable cable;
    struct cable other;
    char name[512];
    char direct[64];
    if (!cable_plug(&cable)) {
        return;
    }
    snprintf(name, sizeof name, "%s", folder_path("rig"));
    ck_assert(cable_link(&cable, name));
    for (int through_link = 0; through_link < 2; through_link++) {
        struct link *link = open_link(&link_kind_tty, through_link ? name : cable.path, "");
        strcpy(direct, cable.path);
        cable_pull(&cable);
        time_until(link, LINK_DOWN);
        usleep(20000); /* more than the steps of a file's times: it is seen to be a new one */
        ck_assert(
            cable_plug(&other)); /* takes the lowest free number: the same, if nobody is quicker */
        for (int i = 0; i < 5; i++) {
            ck_assert_int_eq(read_chunk(link, 100).result, LINK_DOWN);
        }
        if (strcmp(other.path, direct) != 0) {
            printf("skipped: %s was not given out again\n", direct);
        }
        link_close(link);
        cable = other;
        ck_assert(cable_link(&cable, name));
    }
    cable_pull(&cable);
}
END_TEST

/* A trap of polling: a link that is down must not spin. */
START_TEST(down_link_sleeps)
{
    struct cable cable;
    if (!cable_plug(&cable)) {
        return;
    }
    struct link *link = open_link(&link_kind_tty, cable.path, "");
    cable_pull(&cable);
    time_until(link, LINK_DOWN);
    clock_t before = clock();
    int64_t start_us = clock_monotonic_us();
    int reads = 0;
    while (clock_monotonic_us() - start_us < 1000000) {
        ck_assert_int_eq(read_chunk(link, 100).result, LINK_DOWN);
        reads++;
    }
    ck_assert_int_le(reads, 30);
    ck_assert_int_lt((int)((clock() - before) * 1000 / CLOCKS_PER_SEC), 100);
    link_close(link);
}
END_TEST

START_TEST(busy_terminal_says_so)
{
    struct cable cable;
    struct problem problem = {PROBLEM_NONE, ""};
    if (!cable_plug(&cable)) {
        return;
    }
    struct link *first = open_link(&link_kind_tty, cable.path, "");
    ck_assert_ptr_null(link_kind_tty.open(cable.path, "", &problem));
    ck_assert_msg(strstr(problem.sentence, "busy") != NULL, "%s", problem.sentence);
    ck_assert_ptr_nonnull(strstr(problem.sentence, cable.path));
    link_close(first);
    link_close(open_link(&link_kind_tty, cable.path, "")); /* free again */
    cable_pull(&cable);
}
END_TEST

START_TEST(forbidden_device_names_the_group_to_join)
{
    struct cable cable;
    struct problem problem = {PROBLEM_NONE, ""};
    if (!cable_plug(&cable)) {
        return;
    }
    const struct group *group = getgrnam("dialout");
    ck_assert_int_eq(chmod(cable.path, 0060), 0);
    if (geteuid() == 0 &&
        group != NULL) { /* root may open anything: as somebody else, with a group of root's */
        ck_assert_int_eq(chown(cable.path, 0, group->gr_gid), 0);
        ck_assert_int_eq(setegid(NOBODY), 0);
        ck_assert_int_eq(seteuid(NOBODY), 0);
        ck_assert_ptr_null(link_kind_tty.open(cable.path, "", &problem));
        ck_assert_msg(strstr(problem.sentence, "the group 'dialout'") != NULL, "%s",
                      problem.sentence);
        ck_assert_msg(strstr(problem.sentence, "sudo usermod -aG dialout ") != NULL, "%s",
                      problem.sentence);
        ck_assert_int_eq(seteuid(0), 0);
    } else if (geteuid() != 0) {
        ck_assert_int_eq(chmod(cable.path, 0), 0);
        ck_assert_ptr_null(link_kind_tty.open(cable.path, "", &problem));
        ck_assert_msg(strstr(problem.sentence, "may not be opened") != NULL, "%s",
                      problem.sentence);
    } else {
        printf("skipped: there is no group dialout here\n");
        strcpy(problem.sentence, cable.path);
    }
    ck_assert_ptr_nonnull(strstr(problem.sentence, cable.path));
    cable_pull(&cable);
}
END_TEST

START_TEST(what_is_no_terminal_is_refused)
{
    struct problem problem = {PROBLEM_NONE, ""};
    int before = descriptors_open();
    ck_assert_ptr_null(link_kind_tty.open(file_with("f", "x"), "", &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "no terminal"));
    ck_assert_ptr_null(link_kind_tty.open("/dev/ttyNONE7", "", &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "not there"));
    ck_assert_ptr_null(link_kind_tty.open("/dev/ttyNONE7", "baud=31337", &problem));
    ck_assert_int_eq(problem.kind, PROBLEM_USAGE);
    ck_assert_ptr_null(link_kind_tty.open("", "", &problem));
    ck_assert_int_eq(descriptors_open(), before);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("link_terminal");
    TCase *tests = tcase_create("link_terminal");
    tcase_add_checked_fixture(tests, folder_make, folder_remove);
    tcase_set_timeout(tests, 30);
    tcase_add_test(tests, terminal_is_read_raw_and_to_the_last_byte);
    tcase_add_test(tests, wake_ends_the_wait_for_a_terminal);
    tcase_add_test(tests, pulled_cable_is_noticed_and_taken_up_again);
    tcase_add_test(tests, another_terminal_under_the_same_number_is_left_alone);
    tcase_add_test(tests, down_link_sleeps);
    tcase_add_test(tests, busy_terminal_says_so);
    tcase_add_test(tests, forbidden_device_names_the_group_to_join);
    tcase_add_test(tests, what_is_no_terminal_is_refused);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
