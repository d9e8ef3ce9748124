/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* holdline measure, run as a user runs it: numbers with certified values, raw, and real recordings.
 */
#include "base/text.h"
#include "support/json_reader.h"
#include "support/program.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *folder;

static void begin(void)
{
    folder = program_folder();
}

static void end(void)
{
    program_folder_remove(folder);
}

#define RUN(...) program_run(folder, NULL, (const char *const[]){"measure", __VA_ARGS__, NULL})

static struct json_value *read_json(struct program_result *result)
{
    struct json_value *value = program_json(result, 0);
    program_free(result);
    return value;
}

static void check_digits(const char *what, double got, double wanted, double digits)
{
    double reached = got == wanted ? 16.0 : -log10(fabs(got - wanted) / fabs(wanted));
    printf("  reference: %s: %.1f digits (%.1f wanted)\n", what, reached, digits);
    ck_assert_msg(reached >= digits, "%s: %.17g, not %.17g", what, got, wanted);
}

/* NIST/ITL, Statistical Reference Datasets, univariate: certified mean, SD, lag-1 autocorrelation
 * (tests/measure/data/README.md). NumAcc3 and NumAcc4: as far as their decimals fit into doubles.
 */
static const struct {
    const char *name;
    double mean, sd, lag_1, sd_digits;
} certified[] = {
    {"Lew", -177.435000000000, 277.332168044316, -0.307304800605679, 12},
    {"Lottery", 518.958715596330, 291.699727470969, -0.120948622967393, 12},
    {"Mavro", 2.00185600000000, 0.000429123454003053, 0.937989183438248, 12},
    {"Michelso", 299.852400000000, 0.0790105478190518, 0.535199668621283, 12},
    {"NumAcc1", 10000002, 1, -0.5, 12},
    {"NumAcc2", 1.2, 0.1, -0.999, 12},
    {"NumAcc3", 1000000.2, 0.1, -0.999, 9},
    {"NumAcc4", 10000000.2, 0.1, -0.999, 8},
    {"PiDigits", 4.53480000000000, 2.86733906028871, -0.00355099287237972, 12},
};

START_TEST(certified_numbers_through_the_program)
{
    char file[600], what[80];
    snprintf(file, sizeof file, "%s/%s.txt", source_path("tests/measure/data"), certified[_i].name);
    struct program_result result = RUN("--raw", "--json", file);
    struct json_value *json = read_json(&result);
    ck_assert_str_eq(json_text_at(json, "channels/0/outcome"), "ok");
    snprintf(what, sizeof what, "NIST StRD %s through measure --raw, mean", certified[_i].name);
    check_digits(what, json_number_at(json, "channels/0/mean_mm"), certified[_i].mean, 12);
    snprintf(what, sizeof what, "NIST StRD %s through measure --raw, SD", certified[_i].name);
    check_digits(what, json_number_at(json, "channels/0/sd_mm"), certified[_i].sd,
                 certified[_i].sd_digits);
    snprintf(what, sizeof what, "NIST StRD %s through measure --raw, lag 1", certified[_i].name);
    check_digits(what, json_number_at(json, "autocorrelation_lag_1"), certified[_i].lag_1,
                 certified[_i].sd_digits);
    json_free(json);
}
END_TEST

/* 60 s at 20 a second of 400, 402, 404 (mean 402) by turns, with 4 outliers and a stretch at the
 * beginning that had not settled: what is cut and rejected without --raw is in it with it. */
static void write_stream(const char *name)
{
    FILE *stream;
    char path[600];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    stream = fopen(path, "w");
    ck_assert_ptr_nonnull(stream);
    for (int i = 0; i < 1200; i++) {
        double value = 400.0 + 2.0 * ((i * 7) % 3) + (i < 100 ? 60.0 : 0.0);
        fprintf(stream, "%.1f\n", i % 300 == 299 ? 900.0 : value);
    }
    fclose(stream);
}

START_TEST(raw_leaves_everything_in)
{
    write_stream("stream.txt");
    struct program_result result = RUN("--rate", "20", "--json", "stream.txt");
    struct json_value *json = read_json(&result);
    ck_assert_double_ge(json_number_at(json, "channels/0/outliers"), 4);
    ck_assert_double_ge(json_number_at(json, "channels/0/cut_start_s"), 5.0);
    ck_assert_double_eq_tol(json_number_at(json, "channels/0/mean_mm"), 402.0, 0.1);
    ck_assert_double_eq(json_number_at(json, "channels/0/maximum_mm"), 404);
    json_free(json);
    result = RUN("--rate", "20", "--json", "--raw", "stream.txt");
    json = read_json(&result);
    /* by plain sums: the mean of what was written */
    double sum = 0.0, squares = 0.0;
    for (int i = 0; i < 1200; i++) {
        double value = 400.0 + 2.0 * ((i * 7) % 3) + (i < 100 ? 60.0 : 0.0);
        sum += i % 300 == 299 ? 900.0 : value;
    }
    for (int i = 0; i < 1200; i++) {
        double value = 400.0 + 2.0 * ((i * 7) % 3) + (i < 100 ? 60.0 : 0.0);
        double d = (i % 300 == 299 ? 900.0 : value) - sum / 1200;
        squares += d * d;
    }
    ck_assert_double_eq_tol(json_number_at(json, "channels/0/mean_mm"), sum / 1200, 1e-9);
    ck_assert_double_eq_tol(json_number_at(json, "channels/0/sd_mm"), sqrt(squares / 1199), 1e-9);
    ck_assert_double_eq(json_number_at(json, "channels/0/outliers"), 0);
    ck_assert_double_eq(json_number_at(json, "channels/0/cut_start_s"), 0);
    ck_assert_double_eq_tol(json_number_at(json, "channels/0/kept_s"), 1199 / 20.0, 0.051);
    ck_assert_double_eq(json_number_at(json, "channels/0/maximum_mm"), 900);
    json_free(json);
}
END_TEST

/* Raw of a stream with a heading and two columns goes through the decoder as ever. */
START_TEST(raw_of_a_stream_is_its_readings)
{
    char text[8192] = "time ms,head mm,chest mm\n";
    size_t used = strlen(text);
    for (int i = 0; i < 300; i++) {
        used += (size_t)snprintf(text + used, sizeof text - used, "%d,%d.5,%d\n", 20 * i,
                                 400 + i % 2, 300 + (i == 150 ? 200 : i % 5));
    }
    program_write_file(folder, "two.csv", text);
    struct program_result result = RUN("--raw", "--json", "two.csv");
    struct json_value *json = read_json(&result);
    ck_assert_str_eq(json_text_at(json, "channels/1/channel"), "chest");
    ck_assert_double_eq_tol(json_number_at(json, "channels/0/mean_mm"), 401.0, 1e-9);
    /* 299 of 302 on average but for the one at 500: (302 * 300 - 300 + 500) / 300 */
    ck_assert_double_eq_tol(json_number_at(json, "channels/1/mean_mm"),
                            (302.0 * 300 - 300 + 500) / 300, 1e-9);
    json_free(json);
    result =
        program_run(folder, text, (const char *const[]){"measure", "--raw", "--json", "-", NULL});
    json = read_json(&result);
    ck_assert_double_eq_tol(json_number_at(json, "channels/0/mean_mm"), 401.0, 1e-9);
    json_free(json);
    result = program_run(folder, "# three\n-1.5\n 0\n4.5\n",
                         (const char *const[]){"measure", "--raw", "--json", "-", NULL});
    json = read_json(&result);
    ck_assert_double_eq(json_number_at(json, "samples"), 3);
    ck_assert_double_eq_tol(json_number_at(json, "channels/0/mean_mm"), 1.0, 1e-15);
    ck_assert_double_eq_tol(json_number_at(json, "channels/0/sd_mm"), sqrt(9.75), 1e-14);
    json_free(json);
}
END_TEST

START_TEST(bad_input_gets_a_sentence)
{
    static const struct {
        const char *text, *status;
    } cases[] = {
        {"7\n", "not enough data"},
        {"5\n5\n5\n5\n5\n5\n5\n5\n5\n5\n5\n5\n", "all readings are the same"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        program_write_file(folder, "bad.txt", cases[i].text);
        struct program_result result = RUN("--raw", "--json", "bad.txt");
        struct json_value *json = read_json(&result);
        const char *status = json_text_at(json, "channels/0/outcome");
        ck_assert_msg(strstr(status, cases[i].status) != NULL, "%s", status);
        ck_assert_int_eq(json_at(json, "channels/0/mean_mm")->kind, JSON_NULL);
        json_free(json);
        result = RUN("--raw", "bad.txt");
        ck_assert_ptr_nonnull(strstr(result.output, cases[i].status));
        ck_assert_ptr_null(strstr(result.output, "nan"));
        program_free(&result);
    }
    program_write_file(folder, "few.txt", "1\n2\n4\n");
    struct program_result result = RUN("--raw", "few.txt");
    ck_assert_ptr_null(strstr(result.output, "nan"));
    ck_assert_ptr_nonnull(strstr(result.output, "2.33333333333333"));
    program_free(&result);
    program_write_file(folder, "empty.txt", "");
    result = RUN("--raw", "empty.txt");
    ck_assert_int_eq(result.status, 1);
    program_free(&result);
    result = RUN("--raw", "not-there.txt");
    ck_assert_int_eq(result.status, 1);
    program_free(&result);
    result = RUN("--raw", "--rate", "fast", "few.txt");
    ck_assert_int_eq(result.status, 2);
    program_free(&result);
}
END_TEST

/* An hour at a fixed plate: mean and SD by Python 3.11.2's statistics module (exact rational
 * arithmetic inside), as in tests/measure/test_recordings.c. */
START_TEST(a_still_plate_for_an_hour)
{
    const char *path =
        shared_path_or_skip("recordings/still-tof-55hz/static_tof_dist_data_1_h.csv");
    if (path == NULL) {
        return;
    }
    struct program_result result = RUN("--raw", "--json", path);
    struct json_value *json = read_json(&result);
    ck_assert_double_eq(json_number_at(json, "samples"), 200244);
    check_digits("still plate through measure --raw, mean",
                 json_number_at(json, "channels/0/mean_mm"), 75.535666486886, 12);
    check_digits("still plate through measure --raw, SD", json_number_at(json, "channels/0/sd_mm"),
                 2.1547343804397907, 11);
    json_free(json);
}
END_TEST

/* Named columns are taken as they are: in centimetres of which nothing says so, that is marked. */
START_TEST(ranges_that_no_rider_has_in_mm_are_marked)
{
    static const char doubt[] =
        "'chest' is about 24, and nothing says the unit: in mm no rider is there (--unit)";
    char text[8192] = "time_ms,head,chest\n";
    size_t used = strlen(text);
    for (int i = 0; i < 300; i++) {
        used += (size_t)snprintf(text + used, sizeof text - used, "%d,%d,24.%d\n", 20 * i,
                                 410 + i % 2, i * 7 % 2);
    }
    program_write_file(folder, "cm.csv", text);
    struct program_result result = RUN("--columns", "head=2,chest=3", "cm.csv");
    ck_assert_msg(strstr(result.output, doubt) != NULL, "%s%s", result.output, result.errors);
    ck_assert_ptr_null(strstr(result.output, "'head'"));
    program_free(&result);
    result = RUN("--json", "--columns", "chest=3", "cm.csv");
    struct json_value *json = read_json(&result);
    ck_assert_str_eq(json_text_at(json, "doubts/0"), doubt);
    json_free(json);
    result = RUN("--columns", "chest=3", "--unit", "mm", "cm.csv");
    ck_assert_msg(result.output[0] != '!', "%s", result.output);
    program_free(&result);
    for (int unsaid = 0; unsaid < 2; unsaid++) {
        result =
            program_run(folder, NULL,
                        (const char *const[]){"listen", "cm.csv?speed=max", "--health", "--columns",
                                              "chest=3", unsaid ? NULL : "--unit", "mm", NULL});
        ck_assert_msg((strstr(result.output, doubt) != NULL) == unsaid, "%s", result.output);
        ck_assert_msg((strstr(result.output, "nothing to complain of") == NULL) == unsaid, "%s",
                      result.output);
        program_free(&result);
    }
}
END_TEST

/* Some numbers among bytes that are no text, as any program has: the same as text reads. From
 * standard input as from a file. */
START_TEST(a_binary_file_is_no_recording)
{
    char text[16384];
    for (int kind = 0; kind < 4; kind++) {
        const int binary = kind % 2;
        size_t used = 0;
        for (int line = 0; line < 420; line++) {
            for (int i = 0; i < 20 && line < 400; i++) {
                text[used++] = (char)((binary != 0 ? 0x80 : 'a') + (line * 7 + i) % 26);
            }
            used += (size_t)snprintf(text + used, sizeof text - used, line < 400 ? "\n" : "%d\n",
                                     400 + line % 7);
        }
        program_write_file(folder, "it", text);
        struct program_result result =
            kind < 2 ? RUN("it")
                     : program_run(folder, text, (const char *const[]){"measure", "-", NULL});
        ck_assert_msg(result.status == binary, "%s%s", result.output, result.errors);
        ck_assert_msg(binary == 0 || (strstr(result.errors, "no recording of readings") != NULL &&
                                      strstr(result.errors, "400 of its 420 lines") != NULL),
                      "%s", result.errors);
        program_free(&result);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("measure");
    TCase *tests = tcase_create("measure");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_set_timeout(tests, 60);
    tcase_add_loop_test(tests, certified_numbers_through_the_program, 0,
                        (int)(sizeof certified / sizeof certified[0]));
    tcase_add_test(tests, raw_leaves_everything_in);
    tcase_add_test(tests, raw_of_a_stream_is_its_readings);
    tcase_add_test(tests, bad_input_gets_a_sentence);
    tcase_add_test(tests, ranges_that_no_rider_has_in_mm_are_marked);
    tcase_add_test(tests, a_binary_file_is_no_recording);
    tcase_add_test(tests, a_still_plate_for_an_hour);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
