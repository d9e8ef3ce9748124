/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The firmware's line of docs/bench-rig.md, read back by the decoder. */
#include "rig/decoding.h"

#include "base/random.h"
#include "support/test_seed.h"

#include "../../docs/rig/bench_rig_line.c" /* as it is copied into a firmware */

START_TEST(a_line_as_documented)
{
    /* docs/wire-formats.md's own example */
    const struct bench_reading readings[] = {{4125, 0}, {3561, 0}};
    char line[BENCH_LINE_SIZE];
    size_t length = bench_line(line, sizeof line, 1042, 20840000, readings, 2);
    ck_assert_str_eq(line, "$1042,20840000,412.5,356.1*26\n");
    ck_assert_uint_eq(length, strlen(line));
    length = bench_heading(line, sizeof line, "bench-a", 50, "head,chest");
    ck_assert_str_eq(line, "# holdline-rig 1 id=bench-a rate=50 unit=mm channels=head,chest\n");
    ck_assert_uint_eq(length, strlen(line));
}
END_TEST

START_TEST(everything_comes_back)
{
    static const char marks[] = {0, 'w', 's', 'r', '-'};
    static const enum reading_quality qualities[] = {READING_GOOD, READING_WEAK, READING_SATURATED,
                                                     READING_OUT_OF_RANGE, READING_MISSING};
    enum { LINES = 5000 };
    static struct bench_reading sent[LINES][BENCH_CHANNELS_MAX];
    char *stream = malloc((size_t)(LINES + 1) * BENCH_LINE_SIZE);
    struct random_source random;
    size_t used;
    random_seed(&random, test_seed(17));
    used = bench_heading(stream, BENCH_LINE_SIZE, "bench-a", 50,
                         "head,chest,hip,hand,elbow,back,neck,shoulder");
    for (int i = 0; i < LINES; i++) {
        for (int c = 0; c < BENCH_CHANNELS_MAX; c++) {
            double range =
                i % 100 == 0 ? 100000 * random_normal(&random) : 40000 * random_uniform(&random);
            sent[i][c].tenths = (int32_t)range;
            sent[i][c].mark = marks[(int)(5 * random_uniform(&random)) % 5];
        }
        size_t length = bench_line(stream + used, BENCH_LINE_SIZE, (uint32_t)i, (uint32_t)i * 20000,
                                   sent[i], BENCH_CHANNELS_MAX);
        ck_assert_uint_gt(length, 0);
        used += length;
    }
    struct decoded decoded = decode_bytes(stream, used, 777, NULL);
    ck_assert_uint_eq(decoded.count, LINES);
    ck_assert_uint_eq(decoded_rejected(&decoded), 0);
    for (int i = 0; i < LINES; i++) {
        ck_assert_uint_eq(decoded.sample[i].sequence, (unsigned)i);
        ck_assert_int_eq(decoded.sample[i].rig_time_us, (int64_t)i * 20000);
        for (int c = 0; c < BENCH_CHANNELS_MAX; c++) {
            int mark = 0;
            while (marks[mark] != sent[i][c].mark) {
                mark++;
            }
            ck_assert_int_eq(decoded.sample[i].quality[c], qualities[mark]);
            if (sent[i][c].mark != '-') {
                ck_assert_int_eq(decoded.sample[i].range_tenth_mm[c], sent[i][c].tenths);
            }
        }
    }
    decoded_free(&decoded);
    free(stream);
}
END_TEST

START_TEST(edges)
{
    struct bench_reading readings[9] = {{-1, 0}, {0, 0}, {INT32_MAX, 'r'}, {INT32_MIN, 'w'}};
    char line[BENCH_LINE_SIZE];
    ck_assert_uint_gt(bench_line(line, sizeof line, UINT32_MAX, UINT32_MAX, readings, 4), 0);
    ck_assert_ptr_nonnull(
        strstr(line, "$4294967295,4294967295,-0.1,0.0,214748364.7r,-214748364.8w*"));
    for (int c = 0; c < 8; c++) {
        readings[c] = readings[3];
    }
    ck_assert_uint_gt(bench_line(line, sizeof line, UINT32_MAX, UINT32_MAX, readings, 8), 0);
    ck_assert_uint_eq(bench_line(line, sizeof line, 1, 1, readings, 9), 0);
    ck_assert_uint_eq(bench_line(line, sizeof line, 1, 1, readings, 0), 0);
    volatile size_t too_small = 20;
    ck_assert_uint_eq(bench_heading(line, too_small, "bench-a", 50, "head"), 0);
    const struct bench_reading two[] = {{4125, 0}, {3561, 0}};
    size_t whole = bench_line(line, sizeof line, 1042, 20840000, two, 2);
    for (size_t size = 1; size <= whole; size++) { /* never half a line, never beyond the end */
        char exact[64];
        memset(exact, 0x5a, sizeof exact);
        ck_assert_uint_eq(bench_line(exact, size, 1042, 20840000, two, 2), 0);
        ck_assert_int_eq(exact[size], 0x5a);
    }
    ck_assert_uint_eq(bench_line(line, whole + 1, 1042, 20840000, two, 2), whole);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("bench rig line");
    TCase *tests = tcase_create("bench rig line");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, a_line_as_documented);
    tcase_add_test(tests, everything_comes_back);
    tcase_add_test(tests, edges);
    return test_main(suite);
}
