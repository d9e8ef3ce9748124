/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/clock.h"
#include "rig/link.h"
#include "rig/link_parameters.h"
#include "support/cable.h"
#include "support/link_reading.h"
#include "support/test_main.h"

#include <fcntl.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

START_TEST(parameters_are_cut_to_their_room)
{
    char value[8] = "before";
    ck_assert(link_parameter("rate=5&name=gravel", "name", value, 0)); /* it is there */
    ck_assert_str_eq(value, "before");
    ck_assert(link_parameter("rate=5&name=gravel", "name", value, 4));
    ck_assert_str_eq(value, "gra");
    ck_assert(link_parameter("rate=5&name=gravel", "rate", value, sizeof value));
    ck_assert_str_eq(value, "5");
    ck_assert(!link_parameter("rate=5&name=gravel", "nam", value, sizeof value));
    ck_assert(!link_parameter("rate=5&name=gravel", "names", value, sizeof value));
    ck_assert(!link_parameter(NULL, "name", value, sizeof value));
    ck_assert_str_eq(value, "5");
}
END_TEST

START_TEST(parameters_are_checked_by_name)
{
    static const char *const known[] = {"speed", "rate"};
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert(link_parameters_check("", known, 2, &problem));
    ck_assert(link_parameters_check("rate=5&speed=max", known, 2, &problem));
    ck_assert(!link_parameters_check("rat=5", known, 2, &problem));
    ck_assert(!link_parameters_check("speeds=5", known, 2, &problem));
    ck_assert(!link_parameters_check("rate=5&spe", known, 2, &problem));
    ck_assert_int_eq(problem.kind, PROBLEM_USAGE);
    ck_assert_ptr_nonnull(strstr(problem.sentence, "'spe'"));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "speed="));
    double value = 7;
    ck_assert(link_parameter_number("rate=2.5", "rate", 1, 10, &value, &problem));
    ck_assert_double_eq(value, 2.5);
    ck_assert(link_parameter_number("speed=3", "rate", 1, 10, &value, &problem));
    ck_assert_double_eq(value, 2.5);
    ck_assert(!link_parameter_number("rate=0.5", "rate", 1, 10, &value, &problem));
    ck_assert(!link_parameter_number("rate=", "rate", 1, 10, &value, &problem));
    ck_assert(link_parameter_speed("speed=max", &value, &problem));
    ck_assert(isinf(value));
    ck_assert(!link_parameter_speed("speed=fast", &value, &problem));
}
END_TEST

#define BENCH                                                                                      \
    "# holdline-rig 1 id=a rate=100 unit=mm channels=head\n"                                       \
    "$1,1000000,412.5*2C\n"                                                                        \
    "$2,1010000,413.5*2F\n"                                                                        \
    "$3,1030000,414.5*2B\n"

START_TEST(file_gives_every_byte_in_order_and_ends)
{
    const char *text = "one\r\ntwo\rthree\n\nlast without an end";
    struct link *link = open_link(&link_kind_file, file_with("a.txt", text), "speed=max");
    ck_assert(link->can_wait);
    ck_assert(!link->time_is_arrival);
    char all[200] = "";
    int chunks = 0;
    struct chunk chunk;
    while ((chunk = read_chunk(link, 1000)).result == LINK_BYTES) {
        strcat(all, chunk.bytes);
        chunks++;
    }
    ck_assert_int_eq(chunk.result, LINK_END);
    ck_assert_str_eq(all, text);
    ck_assert_int_eq(chunks, 5);
    ck_assert_int_eq(read_chunk(link, 0).result, LINK_END);
    link_close(link);
}
END_TEST

START_TEST(file_longer_than_its_buffer_is_whole)
{
    char path[512];
    snprintf(path, sizeof path, "%s", folder_path("long.txt"));
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    unsigned long sum = 0;
    for (int i = 0; i < 300000; i++) { /* a line of 150,000 bytes among short ones */
        int character = i % 11 == 10 && !(i > 70000 && i < 220000) ? '\n' : 'a' + i % 7;
        fputc(character, file);
        sum = sum * 31 + (unsigned char)character;
    }
    fclose(file);
    struct link *link = open_link(&link_kind_file, path, "speed=max");
    unsigned long again = 0;
    size_t total = 0;
    struct chunk chunk;
    while ((chunk = read_chunk(link, 1000)).result == LINK_BYTES) {
        for (size_t i = 0; i < chunk.length; i++) {
            again = again * 31 + (unsigned char)chunk.bytes[i];
        }
        total += chunk.length;
    }
    ck_assert_int_eq(chunk.result, LINK_END);
    ck_assert_uint_eq(total, 300000);
    ck_assert_uint_eq(again, sum);
    link_close(link);
}
END_TEST

/* Arrivals are the stream's own pace, whatever the speed: from its times, else from the rate. */
START_TEST(arrival_is_the_streams_own_pace)
{
    static const char *const speeds[] = {"speed=max", "speed=4"};
    for (int i = 0; i < 2; i++) {
        struct link *link = open_link(&link_kind_file, file_with("b.rig", BENCH), speeds[i]);
        read_chunk(link, 1000);
        ck_assert_int_eq(read_chunk(link, 1000).arrival_us, 0);
        ck_assert_int_eq(read_chunk(link, 1000).arrival_us, 10000);
        ck_assert_int_eq(read_chunk(link, 1000).arrival_us, 30000);
        link_close(link);
    }
}
END_TEST

static int64_t time_to_read(const char *path, const char *parameters)
{
    struct link *link = open_link(&link_kind_file, path, parameters);
    int64_t start_us = clock_monotonic_us();
    struct chunk chunk;
    while ((chunk = read_chunk(link, 1000)).result != LINK_END) {
        ck_assert_int_ne(chunk.result, LINK_FAILED);
    }
    link_close(link);
    return clock_monotonic_us() - start_us;
}

START_TEST(file_at_its_own_pace_faster_and_with_a_stop_cut_short)
{
    const char *path = file_with("c.rig", "# holdline-rig 1 id=a rate=10 unit=mm channels=head\n"
                                          "$1,1000000,412.5*2C\n"
                                          "$2,1200000,412.5*2D\n"
                                          "$3,1400000,412.5*2A\n");
    int64_t own_us = time_to_read(path, "");
    ck_assert_int_ge(own_us, 400000);
    ck_assert_int_lt(own_us, 700000);
    int64_t fast_us = time_to_read(path, "speed=4");
    ck_assert_int_ge(fast_us, 100000);
    ck_assert_int_lt(fast_us, 300000);
    ck_assert_int_lt(time_to_read(path, "speed=max"), 100000);
    /* Ten minutes between two lines: not sat through (2 s at most, at 10 times the speed). */
    path = file_with("d.rig", "# holdline-rig 1 id=a rate=10 unit=mm channels=head\n"
                              "$1,1000000,412.5*2C\n"
                              "$2,601000000,412.5*29\n");
    int64_t stop_us = time_to_read(path, "speed=10");
    ck_assert_int_ge(stop_us, 200000);
    ck_assert_int_lt(stop_us, 600000);
}
END_TEST

START_TEST(wait_of_a_paced_file_ends_by_timeout_and_by_wake)
{
    const char *path = file_with("e.rig", "# holdline-rig 1 id=a rate=10 unit=mm channels=head\n"
                                          "$1,1000000,412.5*2C\n"
                                          "$2,2500000,412.5*29\n");
    int wake[2];
    ck_assert_int_eq(pipe(wake), 0);
    struct link *link = open_link(&link_kind_file, path, "");
    link->wake_fd = wake[0];
    read_chunk(link, 1000);
    ck_assert_int_eq(read_chunk(link, 1000).result, LINK_BYTES);
    int64_t start_us = clock_monotonic_us();
    ck_assert_int_eq(read_chunk(link, 50).result, LINK_QUIET);
    int64_t waited_us = clock_monotonic_us() - start_us;
    ck_assert_int_ge(waited_us, 49000);
    ck_assert_int_lt(waited_us, 500000);
    ck_assert_int_eq(write(wake[1], "x", 1), 1);
    start_us = clock_monotonic_us();
    ck_assert_int_eq(read_chunk(link, 5000).result, LINK_QUIET);
    ck_assert_int_lt(clock_monotonic_us() - start_us, 500000);
    link_close(link);
}
END_TEST

static const struct {
    const char *target, *parameters, *named;
} wrong_files[] = {
    {"/nowhere/at/all.rig", "", "all.rig"},
    {"/tmp", "", "folder"},
    {"/dev/null", "", "device"},
    {"", "", "path"},
    {"/etc/hostname", "speed=0", "speed"},
    {"/etc/hostname", "sped=max", "sped"},
    {"/etc/hostname", "rate=-1", "rate"},
};

START_TEST(files_that_cannot_be_read_are_named)
{
    struct problem problem = {PROBLEM_NONE, ""};
    int before = descriptors_open();
    ck_assert_ptr_null(
        link_kind_file.open(wrong_files[_i].target, wrong_files[_i].parameters, &problem));
    ck_assert_int_ne(problem.kind, PROBLEM_NONE);
    ck_assert_msg(strstr(problem.sentence, wrong_files[_i].named) != NULL, "%s", problem.sentence);
    ck_assert_int_eq(descriptors_open(), before);
}
END_TEST

START_TEST(standard_input_comes_as_it_comes)
{
    int ends[2];
    ck_assert_int_eq(pipe(ends), 0);
    ck_assert_int_eq(dup2(ends[0], STDIN_FILENO), STDIN_FILENO);
    struct link *link = open_link(&link_kind_stdin, "-", "");
    ck_assert(link->can_wait);
    ck_assert_int_eq(read_chunk(link, 10).result, LINK_QUIET);
    ck_assert_int_eq(write(ends[1], "412\n41", 6), 6);
    struct chunk chunk = read_chunk(link, 1000);
    ck_assert_int_eq(chunk.result, LINK_BYTES);
    ck_assert_str_eq(chunk.bytes, "412\n");
    ck_assert_int_eq(read_chunk(link, 10).result, LINK_QUIET);
    ck_assert_int_eq(write(ends[1], "3\n", 2), 2);
    ck_assert_str_eq(read_chunk(link, 1000).bytes, "413\n");
    ck_assert_int_eq(write(ends[1], "41", 2), 2);
    close(ends[1]);
    ck_assert_str_eq(read_chunk(link, 1000).bytes, "41");
    ck_assert_int_eq(read_chunk(link, 1000).result, LINK_END);
    link_close(link);
    ck_assert_int_ge(fcntl(STDIN_FILENO, F_GETFD), 0); /* not the link's to close */
}
END_TEST

START_TEST(links_leave_nothing_open)
{
    struct problem problem = {PROBLEM_NONE, ""};
    int before = descriptors_open();
    for (int i = 0; i < 20; i++) {
        struct link *link = link_kind_virtual.open("winter", "rate=1000", &problem);
        if (link != NULL) {
            read_chunk(link, 5);
            link_close(link);
        }
        ck_assert_ptr_null(link_kind_virtual.open("autumn", "", &problem));
        link_close(open_link(&link_kind_file, file_with("g.rig", BENCH), ""));
    }
    ck_assert_int_eq(descriptors_open(), before);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("links");
    TCase *tests = tcase_create("links");
    tcase_add_checked_fixture(tests, folder_make, folder_remove);
    tcase_set_timeout(tests, 30);
    tcase_add_test(tests, parameters_are_cut_to_their_room);
    tcase_add_test(tests, parameters_are_checked_by_name);
    tcase_add_test(tests, file_gives_every_byte_in_order_and_ends);
    tcase_add_test(tests, file_longer_than_its_buffer_is_whole);
    tcase_add_test(tests, arrival_is_the_streams_own_pace);
    tcase_add_test(tests, file_at_its_own_pace_faster_and_with_a_stop_cut_short);
    tcase_add_test(tests, wait_of_a_paced_file_ends_by_timeout_and_by_wake);
    tcase_add_loop_test(tests, files_that_cannot_be_read_are_named, 0,
                        (int)(sizeof wrong_files / sizeof wrong_files[0]));
    tcase_add_test(tests, standard_input_comes_as_it_comes);
    tcase_add_test(tests, links_leave_nothing_open);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
