/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* 'holdline listen' of recorded streams: what must be found in each. */

#include "listen_fixture.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* ---- the recorded streams: sessions/README.md says what must be found ----------------------- */

START_TEST(steady_stream_has_nothing_to_complain_of)
{
    const char *arguments[] = {"listen", "steady.rig?speed=max", "--health", NULL};
    struct program_result result = program_run(source_path("sessions"), NULL, arguments);
    ck_assert_int_eq(result.status, 0);
    contains(result.output, "1000 samples in 20.0 s, 50.0 a second (announced: 50.0)\n");
    contains(result.output, "nothing to complain of\n");
    ck_assert_ptr_null(strstr(result.output, "seconds"));
    program_free(&result);
}
END_TEST

START_TEST(wrong_announced_rate_is_found)
{
    const char *arguments[] = {"listen", "wrong-rate.rig?speed=max", "--health", NULL};
    struct program_result result = program_run(source_path("sessions"), NULL, arguments);
    contains(result.output, "1000 samples in 18.0 s, 55.6 a second (announced: 50.0)\n");
    contains(result.output, "! the rate is 11 % above the announced one\n");
    program_free(&result);
    const char *still[] = {"listen", "still-one-number.csv?speed=max&rate=55.6", "--json", NULL};
    struct json_value *value = health_of(still, 0);
    check_number(value, "health/samples", 1668);
    check_number(value, "health/announced_rate_hz", 50);
    ck_assert_double_eq_tol(json_number_at(value, "health/seconds"), 1667 / 55.6, 0.001);
    ck_assert_int_eq(json_at(value, "health/rate_differs")->kind, JSON_TRUE);
    ck_assert_double_eq_tol(json_number_at(value, "health/channels/range/noise_mm"), 1.0, 0.25);
    check_number(value, "health/channels/range/step_mm", 1);
    json_free(value);
}
END_TEST

START_TEST(rough_wire_is_counted_by_reason)
{
    const char *arguments[] = {"listen", "rough-wire.rig?speed=max", "--json", NULL};
    struct json_value *value = health_of(arguments, 0);
    /* 1000 lines: 5 never sent, 10 with a wrong checksum, one cut with the next one in it. */
    check_number(value, "health/samples", 984);
    check_number(value, "health/lost", 16);
    check_number(value, "health/rejected/wrong checksum", 10);
    check_number(value, "health/rejected/line too long", 1);
    check_number(value, "health/rejected/old line", 1);
    check_number(value, "health/clock_restarts", 1);
    /* Both counters came round and the rig restarted, and still it is 20 s long. */
    ck_assert_double_eq_tol(json_number_at(value, "health/seconds"), 19.98, 0.001);
    json_free(value);
}
END_TEST

/* The virtual rig through its pseudo-terminal: its clock is this computer's. A recording says
 * nothing of clocks. */
START_TEST(a_live_rigs_clock_is_held_against_the_computers)
{
    const char *live[] = {"listen", "virtual:steady?seconds=6", "--json", "--health", NULL};
    const char *recorded[] = {"listen", "steady.rig?speed=max", "--json", "--health", NULL};
    if (access("/dev/pts/ptmx", F_OK) != 0) {
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    struct json_value *value = health_of(live, 0);
    ck_assert_double_lt(json_number_at(value, "health/clock_error_ms"), 20);
    ck_assert_double_lt(fabs(json_number_at(value, "health/clock_rate_ppm")), 5000);
    ck_assert_double_eq_tol(json_number_at(value, "health/sent_rate_hz"), 50, 0.5);
    json_free(value);
    value = health_of(recorded, 0);
    ck_assert_int_eq(json_at(value, "health/clock_error_ms")->kind, JSON_NULL);
    ck_assert_int_eq(json_at(value, "health/clock_rate_ppm")->kind, JSON_NULL);
    json_free(value);
    const char *shown[] = {"listen", "virtual:steady?seconds=2", "--health", NULL};
    struct program_result result = program_run(NULL, NULL, shown);
    contains(result.output, "  clock       times are right to ");
    program_free(&result);
}
END_TEST

START_TEST(rubbish_reaches_no_terminal)
{
    const char *arguments[] = {"listen", "rough-wire.rig?speed=max", NULL};
    struct program_result result = program_run(source_path("sessions"), NULL, arguments);
    for (const char *at = result.output; *at != '\0'; at++) {
        ck_assert_msg((*at >= ' ' && *at <= '~') || *at == '\n', "byte %d", (unsigned char)*at);
    }
    program_free(&result);
    const char *input = "# holdline-rig 1 id=\x1b[31mred rate=50 unit=mm channels=he\x1b]0;x\a,b\n"
                        "nonsense \x1b[2J\n412 \x1b[2J 413\n414 415\n416 417\n418 419\n";
    const char *from_pipe[] = {"listen", "-", NULL};
    result = program_run(NULL, input, from_pipe);
    ck_assert_ptr_null(strchr(result.output, '\x1b'));
    ck_assert_ptr_null(strchr(result.errors, '\x1b'));
    program_free(&result);
}
END_TEST

START_TEST(raw_log_is_read_by_its_columns)
{
    const char *arguments[] = {"listen",        "raw-log-8ch.csv?speed=max",
                               "--columns",     "head=3,chest=4,covered=9",
                               "--time-column", "1",
                               "--json",        NULL};
    struct json_value *value = health_of(arguments, 0);
    check_number(value, "health/samples", 340); /* 400 less five of every 32 from line 23 on */
    check_number(value, "health/clock_restarts", 1);
    ck_assert_double_lt(json_number_at(value, "health/seconds"), 30); /* not 310 s more */
    ck_assert_int_eq(json_at(value, "health/channels/covered/blocked")->kind, JSON_TRUE);
    ck_assert_str_eq(json_text_at(value, "health/channels/covered/trouble"), "blocked");
    ck_assert_int_eq(json_at(value, "health/channels/head/blocked")->kind, JSON_FALSE);
    json_free(value);
}
END_TEST

START_TEST(codes_are_no_readings)
{
    const char *arguments[] = {
        "listen", "far-with-codes.csv?speed=max", "--no-echo", "2000", "--json", NULL};
    struct json_value *value = health_of(arguments, 0);
    check_number(value, "health/samples", 990);
    check_number(value, "health/channels/distance/missing", 22); /* 65534 twice, 0 and 2000 tens */
    check_number(value, "health/channels/distance/step_mm", 10);
    ck_assert_double_eq_tol(json_number_at(value, "health/longest_gap_ms"), 4200 + 1000 / 33.0, 5);
    json_free(value);
}
END_TEST

START_TEST(frozen_reading_is_told_while_it_lasts)
{
    const char *arguments[] = {"listen",    "far-with-codes.csv?speed=max",
                               "--no-echo", "2000",
                               "--seconds", "27.5",
                               "--json",    NULL};
    struct json_value *value = health_of(arguments, 0); /* frozen from 22.4 to 28.4 s */
    ck_assert_int_eq(json_at(value, "health/channels/distance/stuck")->kind, JSON_TRUE);
    json_free(value);
    arguments[5] = "20";
    value = health_of(arguments, 0);
    ck_assert_int_eq(json_at(value, "health/channels/distance/stuck")->kind, JSON_FALSE);
    json_free(value);
}
END_TEST

/* Counted here from the file itself: fields of a column that are exactly 5.000. */
static int no_echoes(const char *name, int column)
{
    char *text = program_read_file(source_path("sessions"), name, NULL);
    int count = 0;
    for (char *line = strtok(text, "\n"); line != NULL; line = strtok(NULL, "\n")) {
        for (int field = 1; field < column && line != NULL; field++) {
            line = strchr(line, ',');
            line = line == NULL ? NULL : line + 1;
        }
        count += line != NULL && strncmp(line, "5.000,", 6) == 0;
    }
    free(text);
    return count;
}

START_TEST(no_echo_is_no_reading)
{
    const char *arguments[] = {"listen",    "no-echo-metres.csv?speed=max",
                               "--columns", "S1,chest=S3",
                               "--unit",    "m",
                               "--no-echo", "5",
                               "--rate",    "9",
                               "--json",    NULL};
    struct json_value *value = health_of(arguments, 0);
    check_number(value, "health/samples", 540);
    check_number(value, "health/channels/S1/missing", no_echoes("no-echo-metres.csv", 1));
    check_number(value, "health/channels/chest/missing", no_echoes("no-echo-metres.csv", 3));
    ck_assert_int_gt(no_echoes("no-echo-metres.csv", 1), 20);
    ck_assert_double_eq_tol(json_number_at(value, "health/seconds"), 539 / 9.0, 0.001);
    json_free(value);
}
END_TEST

START_TEST(text_around_numbers_names_the_channels)
{
    const char *arguments[] = {"listen", "console-text.txt?speed=max", "--health", NULL};
    struct program_result result = program_run(source_path("sessions"), NULL, arguments);
    contains(result.output, "300 samples");
    contains(result.output, " head ");
    contains(result.output, " chest\n");
    contains(result.output, "! the stream says neither time nor rate: taken as 50 a second");
    program_free(&result);
}
END_TEST

/* What else is wrong use: test_wrong_calls. */
START_TEST(a_column_that_is_not_there_is_told)
{
    const char *arguments[] = {"listen", "no-echo-metres.csv?speed=max", "--columns", "S9", NULL};
    struct program_result result = program_run(source_path("sessions"), NULL, arguments);
    contains(result.errors, "column 'S9' is not there");
    ck_assert_int_eq(result.status, 1);
    ck_assert_str_eq(result.output, "");
    program_free(&result);
}
END_TEST

/* ---- recordings that nobody here made ------------------------------------------------------- */

static struct json_value *listen_to_shared(const char *recording, const char *link_options,
                                           const char *const *options)
{
    const char *path = shared_path_or_skip(recording);
    char spec[4200];
    const char *arguments[16] = {"listen", spec, "--health", "--json"};
    if (path == NULL) {
        return NULL;
    }
    snprintf(spec, sizeof spec, "%s?speed=max%s", path, link_options);
    for (int i = 0; options[i] != NULL; i++) {
        arguments[4 + i] = options[i];
    }
    return health_of(arguments, 0);
}

/* Counts and rates as each recording's SOURCE.md gives them. */
START_TEST(real_still_recording)
{
    const char *none[] = {NULL};
    struct json_value *value = listen_to_shared(
        "recordings/still-tof-55hz/static_tof_dist_data_1_h.csv", "&rate=55.6", none);
    if (value == NULL) {
        return;
    }
    check_number(value, "health/samples", 200244);
    ck_assert_int_eq(json_at(value, "health/rate_differs")->kind, JSON_TRUE);
    ck_assert_double_eq_tol(json_number_at(value, "health/seconds"), 3600, 3);
    ck_assert_double_eq_tol(json_number_at(value, "health/channels/d/noise_mm"), 2.08, 0.3);
    check_number(value, "health/channels/d/step_mm", 1);
    json_free(value);
}
END_TEST

START_TEST(real_raw_log)
{
    const char *options[] = {"--columns", "head=30,chest=38", "--time-column", "1", NULL};
    struct json_value *value = listen_to_shared(
        "recordings/tof-64ch-raw-serial/20260127_212807_EXP1_0.2g_VL5_10.csv", "", options);
    if (value == NULL) {
        return;
    }
    check_number(value, "health/samples", 14619); /* 14,620 lines, the first one cut */
    check_number(value, "health/clock_restarts", 1);
    json_free(value);
}
END_TEST

START_TEST(real_codes_and_gaps)
{
    const char *options[] = {"--columns", "head=distance", "--no-echo", "2000", NULL};
    struct json_value *value =
        listen_to_shared("recordings/lidar-on-bike-33hz/lidar_old_session.csv", "", options);
    if (value == NULL) {
        return;
    }
    check_number(value, "health/samples", 81442);
    check_number(value, "health/channels/head/step_mm", 10);
    ck_assert_double_ge(json_number_at(value, "health/channels/head/missing"), 189 + 2);
    json_free(value);
}
END_TEST

START_TEST(real_no_echo)
{
    const char *options[] = {"--columns", "S1,S12", "--unit", "m", "--no-echo", "5", NULL};
    struct json_value *value = listen_to_shared(
        "recordings/ultrasonic-24ch-9hz/sensor_readings_24.data", "&rate=9", options);
    if (value == NULL) {
        return;
    }
    check_number(value, "health/samples", 5456);
    ck_assert_double_gt(json_number_at(value, "health/channels/S12/missing"), 100);
    json_free(value);
}
END_TEST

START_TEST(real_console_text)
{
    const char *none[] = {NULL};
    struct json_value *value =
        listen_to_shared("recordings/short-console-logs/vl53l0x_tank_excerpt.txt", "", none);
    if (value == NULL) {
        return;
    }
    check_number(value, "health/samples", 37);
    json_free(value);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("listen to recordings");
    TCase *tests = tcase_create("listen to recordings");
    tcase_set_timeout(tests, 90);
    tcase_add_test(tests, steady_stream_has_nothing_to_complain_of);
    tcase_add_test(tests, wrong_announced_rate_is_found);
    tcase_add_test(tests, rough_wire_is_counted_by_reason);
    tcase_add_test(tests, a_live_rigs_clock_is_held_against_the_computers);
    tcase_add_test(tests, rubbish_reaches_no_terminal);
    tcase_add_test(tests, raw_log_is_read_by_its_columns);
    tcase_add_test(tests, codes_are_no_readings);
    tcase_add_test(tests, frozen_reading_is_told_while_it_lasts);
    tcase_add_test(tests, no_echo_is_no_reading);
    tcase_add_test(tests, text_around_numbers_names_the_channels);
    tcase_add_test(tests, a_column_that_is_not_there_is_told);
    tcase_add_test(tests, real_still_recording);
    tcase_add_test(tests, real_raw_log);
    tcase_add_test(tests, real_codes_and_gaps);
    tcase_add_test(tests, real_no_echo);
    tcase_add_test(tests, real_console_text);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
