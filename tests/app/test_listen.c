/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The whole program: 'holdline listen', 'holdline rigs' and the way to the commands. */

#include "listen_fixture.h"

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* ---- what is printed ------------------------------------------------------------------------ */

START_TEST(lines_are_seconds_ranges_and_marks)
{
    const char *input = "# holdline-rig 1 id=bench-a rate=50 unit=mm channels=head,chest\n"
                        "$10,500000,412.5,356.1*2B\n"
                        "$11,520000,,355.9w*78\n"
                        "$14,580000,3.0s,356.0*54\n";
    const char *arguments[] = {"listen", "-", NULL};
    struct program_result result = program_run(NULL, input, arguments);
    ck_assert_msg(result.status == 0, "%s", result.errors);
    const char *wanted = "   seconds      head     chest  mm\n"
                         "     0.000     412.5     356.1\n"
                         "     0.020         -     355.9w\n"
                         "     0.080       3.0s    356.0  2 lost before\n"
                         "\n"
                         "-, rig bench-a: 3 samples in 0.1 s, ";
    ck_assert_msg(strncmp(result.output, wanted, strlen(wanted)) == 0, "%s", result.output);
    contains(result.output, "  lost        2 (40.0 %); longest gap 60 ms\n");
    contains(result.output, "  rejected    0 of 4 lines; passed over 1 without readings\n");
    contains(result.output, "! 40 % of the samples were lost on the way\n");
    ck_assert_ptr_null(strstr(result.output, "announced one"));
    ck_assert_str_eq(result.errors, "");
    program_free(&result);
}
END_TEST

/* What never was good has no last reading and no noise: 0.0 would be a finding. */
START_TEST(a_sensor_without_a_good_reading_has_no_last_one)
{
    const char *input = "# holdline-rig 1 id=bench-a rate=50 unit=mm channels=head,chest\n"
                        "$10,500000,2412.5r,351.0*6D\n"
                        "$11,520000,2412.5r,356.0*69\n"
                        "$12,540000,2412.5r,349.0*62\n";
    const char *arguments[] = {"listen", "--health", "-", NULL};
    struct program_result result = program_run(NULL, input, arguments);
    ck_assert_msg(result.status == 0, "%s", result.errors);
    contains(result.output, "  doubtful       3 (100.0 %)       0 (0.0 %)\n");
    contains(result.output, "  noise mm                 - ");
    contains(result.output, "  last mm                  -           349.0\n");
    program_free(&result);
    const char *as_json[] = {"listen", "--health", "--json", "-", NULL};
    result = program_run(NULL, input, as_json);
    struct json_value *value = program_json(&result, 0);
    /* fewer than 8 differences between readings, and none at all */
    ck_assert(isnan(json_number_at(value, "health/channels/head/noise_mm")));
    ck_assert(isnan(json_number_at(value, "health/channels/head/step_mm")));
    ck_assert(isnan(json_number_at(value, "health/channels/chest/noise_mm")));
    ck_assert_double_eq_tol(json_number_at(value, "health/channels/chest/step_mm"), 5.0, 1e-9);
    json_free(value);
    program_free(&result);
}
END_TEST

/* The log of a ride without its heading: seconds, W, km, heart, cadence. Nothing is said where no
 * column rises, or of two columns beside it: sensors may stand beside a clock of their own. */
START_TEST(the_log_of_a_ride_heard_in_mid_stream_is_told)
{
    static const bool told[] = {true, false, false};
    const char *arguments[] = {"listen", "--health", "-", NULL};
    for (size_t c = 0; c < sizeof told / sizeof told[0]; c++) {
        char input[4000] = "";
        size_t used = 0;
        for (int i = 0; i < 60; i++) {
            int watts = 180 + 37 * i % 61, heart = 131 + i % 5, cadence = 84 + 7 * i % 9;
            double km = 3.2 + 0.007 * i;
            used += c == 0
                        ? (size_t)snprintf(input + used, sizeof input - used, "%d,%d,%.3f,%d,%d\n",
                                           500 + i, watts, km, heart, cadence)
                    : c == 1 ? (size_t)snprintf(input + used, sizeof input - used, "%d,%d,%d,%d\n",
                                                500 + i, watts, heart, cadence)
                             : (size_t)snprintf(input + used, sizeof input - used,
                                                "%d,%d,%.3f,%d\n", 500 + i, watts, km, heart);
        }
        struct program_result result = program_run(NULL, input, arguments);
        ck_assert_msg(result.status == 0, "%s", result.errors);
        ck_assert_msg((strstr(result.output, "column 3 only rises, as the way that was ridden: the "
                                             "others move like the log of a ride") != NULL) ==
                          told[c],
                      "%s", result.output);
        program_free(&result);
    }
}
END_TEST

START_TEST(json_is_an_object_a_line)
{
    const char *input = "# holdline-rig 1 id=bench-a rate=50 unit=mm channels=head,chest\n"
                        "$10,500000,412.5,356.1*2B\n"
                        "$11,520000,,355.9w*78\n"
                        "$14,580000,3.0s,356.0*54\n";
    const char *arguments[] = {"listen", "--json", "-", NULL};
    struct program_result result = program_run(NULL, input, arguments);
    struct json_value *line[4];
    char error[160];
    char *next = result.output;
    for (int i = 0; i < 4; i++) {
        char *end = strchr(next, '\n');
        ck_assert_ptr_nonnull(end);
        *end = '\0';
        line[i] = json_read(next, error);
        ck_assert_msg(line[i] != NULL, "%s: %s", error, next);
        next = end + 1;
    }
    ck_assert_str_eq(next, "");
    check_number(line[0], "number", 1);
    check_number(line[0], "time_s", 0);
    check_number(line[0], "channels/head/range_mm", 412.5);
    check_number(line[1], "time_s", 0.02);
    ck_assert(isnan(json_number_at(line[1], "channels/head/range_mm")));
    ck_assert_str_eq(json_text_at(line[1], "channels/head/quality"), "missing");
    ck_assert_str_eq(json_text_at(line[1], "channels/chest/quality"), "weak");
    ck_assert_str_eq(json_text_at(line[2], "channels/head/quality"), "saturated");
    check_number(line[2], "lost_before", 2);
    check_number(line[3], "health/samples", 3);
    check_number(line[3], "health/lost", 2);
    check_number(line[3], "health/announced_rate_hz", 50);
    ck_assert_str_eq(json_text_at(line[3], "health/rig"), "bench-a");
    ck_assert_str_eq(json_text_at(line[3], "health/dialect"), "bench");
    for (int i = 0; i < 4; i++) {
        json_free(line[i]);
    }
    program_free(&result);
}
END_TEST

/* A pipe into which nobody writes, and one that falls silent: the seconds are the computer's. */
START_TEST(a_silent_pipe_is_listened_to_no_longer)
{
    const char *folder = program_folder();
    const char *arguments[] = {"listen", "pipe", "--seconds", "0.5", NULL};
    char path[300];
    snprintf(path, sizeof path, "%s/pipe", folder);
    ck_assert_int_eq(mkfifo(path, 0600), 0);
    struct program_result result = program_run(folder, NULL, arguments);
    ck_assert_int_eq(result.status, 1);
    contains(result.errors, "is open and silent");
    program_free(&result);
    int both = open(path, O_RDWR | O_CLOEXEC); /* open to write all the time */
    for (int i = 0; i < 20; i++) {
        ck_assert_int_eq(write(both, "412,300\n", 8), 8);
    }
    result = program_run(folder, NULL, arguments);
    ck_assert_msg(result.status == 0, "%s", result.errors);
    contains(result.output, "412.0");
    program_free(&result);
    close(both);
    program_folder_remove(folder);
}
END_TEST

START_TEST(numbers_have_a_point_in_every_locale)
{
    const char *arguments[] = {"listen", "steady.rig?speed=max", "--seconds", "1", NULL};
    struct program_result plain = program_run(source_path("sessions"), NULL, arguments);
    setenv("LC_ALL", "de_DE.UTF-8", 1);
    setenv("LANG", "de_DE.UTF-8", 1);
    struct program_result german = program_run(source_path("sessions"), NULL, arguments);
    ck_assert_str_eq(plain.output, german.output);
    contains(plain.output, "     1.000 "); /* up to and with the second asked for */
    ck_assert_ptr_null(strstr(plain.output, "     1.020 "));
    program_free(&plain);
    program_free(&german);
}
END_TEST

START_TEST(help_and_version_are_everywhere)
{
    const char *help[] = {"--help", NULL};
    struct program_result result = program_run(NULL, NULL, help);
    ck_assert_int_eq(result.status, 0);
    contains(result.output, "listen");
    contains(result.output, "eye-safe");
    program_free(&result);
    const char *version[] = {"--version", NULL};
    result = program_run(NULL, NULL, version);
    contains(result.output, "holdline " HOLDLINE_VERSION);
    program_free(&result);
    const char *commands[] = {"listen", "rigs", "run", "replay", "measure", "live", "demo"};
    for (size_t i = 0; i < sizeof commands / sizeof commands[0]; i++) {
        char wanted[64];
        const char *arguments[] = {commands[i], "--help", NULL};
        result = program_run(NULL, NULL, arguments);
        snprintf(wanted, sizeof wanted, "holdline %s", commands[i]);
        contains(result.output, wanted);
        ck_assert_int_eq(result.status, 0);
        program_free(&result);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("listen");
    TCase *tests = tcase_create("listen");
    tcase_set_timeout(tests, 90);
    tcase_add_test(tests, lines_are_seconds_ranges_and_marks);
    tcase_add_test(tests, a_sensor_without_a_good_reading_has_no_last_one);
    tcase_add_test(tests, the_log_of_a_ride_heard_in_mid_stream_is_told);
    tcase_add_test(tests, json_is_an_object_a_line);
    tcase_add_test(tests, a_silent_pipe_is_listened_to_no_longer);
    tcase_add_test(tests, numbers_have_a_point_in_every_locale);
    tcase_add_test(tests, help_and_version_are_everywhere);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
