/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What may be typed: the ranges that people were told in refusals, and what is read of a text. */
#include "record/typed.h"
#include "support/test_main.h"

static const struct {
    enum typed which;
    const char *key, *unit;
    double least, most;
} wanted[] = {
    {TYPED_SETUP, "setup", "", 1, 99},
    {TYPED_CHOSEN, "choose", "", 0, 99},
    {TYPED_MOUNT_X, "x", "mm", -2000, 2000},
    {TYPED_MOUNT_Y, "y", "mm", -2000, 2000},
    {TYPED_MOUNT_TILT, "tilt", "deg", -60, 60},
    {TYPED_GAIN, "gain", "", 0.5, 2},
    {TYPED_OFFSET, "offset", "mm", -500, 500},
    {TYPED_PLATE_S, "seconds", "s", 1, 120},
    {TYPED_PLATE_HEIGHT, "height", "mm", 0, 3000},
    {TYPED_RANGE, "", "mm", 5, 5000},
    {TYPED_TAPE, "", "mm", -500, 3000},
    {TYPED_TARGET, "", "mm", -2000, 5000},
    {TYPED_UNTIL, "until", "mm", 0.5, 50},
    {TYPED_AT_LEAST, "at_least", "s", 5, 600},
    {TYPED_AT_MOST, "at_most", "s", 5, 600},
    {TYPED_SETTLE, "settle", "s", 0, 300},
    {TYPED_BAND, "", "mm", 2, 300},
    {TYPED_ON_DELAY, "on_delay", "s", 0, 30},
    {TYPED_OFF_DELAY, "off_delay", "s", 0, 30},
    {TYPED_DEAD_BAND, "dead_band", "", 0, 0.9},
    {TYPED_MATTERS, "", "mm", 1, 100},
    {TYPED_RIDER_SD, "rider_sd", "mm", 0.01, 1000},
    {TYPED_RIDER_DF, "rider_df", "", 0, 1000},
    {TYPED_STORE_SD, "store_sd", "mm", 0.01, 1000},
    {TYPED_STORE_DF, "store_df", "", 0, 1000},
    {TYPED_SLOPE, "slope", "deg", 0, 60},
    {TYPED_MINUTES, "minutes", "min", 5, 600},
    {TYPED_CHECK_S, "seconds", "s", 1, 36000},
    {TYPED_BLOCK, "block", "mm", 1, 500},
    {TYPED_BLOCK_U, "block_u", "mm", 0, 10},
    {TYPED_PAUSE, "pause", "s", 0, 600},
    {TYPED_MASS, "mass", "kg", 30, 250},
    {TYPED_COURSE_LENGTH, "length", "m", 50, 20000},
    {TYPED_COURSE_RISE, "rise", "m", -200, 200},
    {TYPED_ROLLING, "rolling", "", 0.001, 0.02},
    {TYPED_MATTERS_DRAG, "drag", "m2", 0.0005, 0.1},
    {TYPED_TEMPERATURE, "temperature", "C", -20, 50},
    {TYPED_PRESSURE, "pressure", "hPa", 500, 1100},
    {TYPED_PRESSURE_PA, "pressure", "Pa", 50000, 110000},
    {TYPED_HUMIDITY, "humidity", "%", 0, 100},
    {TYPED_WIND, "wind", "m/s", 0, 30},
    {TYPED_RUN_POWER, "power", "W", 0, 3000},
    {TYPED_RUN_HEART, "heart", "", 20, 250},
    {TYPED_RUN_EFFORT, "effort", "", 0, 10},
    {TYPED_LEG_PAIR, "pair", "", 0, 800},
    {TYPED_LEG_LENGTH, "length", "m", 0, 100000},
    {TYPED_LEG_TIME, "time", "s", 0, 100000},
    {TYPED_LEG_WORK, "work", "J", -1e6, 1e6},
    {TYPED_LEG_MEAN, "mean", "m/s", 0, 60},
    {TYPED_LEG_SQUARED, "squared", "", 0, 3600},
    {TYPED_LEG_IN, "in", "m/s", 0, 60},
    {TYPED_LEG_OUT, "out", "m/s", 0, 60},
    {TYPED_LEG_CLIMB, "climb", "m", -1000, 1000},
    {TYPED_LEG_PIECES, "pieces", "m", 0, 100000},
    {TYPED_PIECES, "pieces", "", 1, 20},
    {TYPED_FEEDBACK_ROW, "row", "", 1, 5},
    {TYPED_GUESS, "guess", "", 0, 10},
};

START_TEST(every_number_has_its_range)
{
    ck_assert_uint_eq(sizeof wanted / sizeof wanted[0], TYPED_NUMBERS);
    const struct typed_number *number = &typed_numbers[wanted[_i].which];
    ck_assert_str_eq(number->key, wanted[_i].key);
    ck_assert_str_eq(number->unit, wanted[_i].unit);
    ck_assert_double_eq(number->least, wanted[_i].least);
    ck_assert_double_eq(number->most, wanted[_i].most);
}
END_TEST

static bool read_line(const char *line, double *value, struct problem *problem)
{
    struct words words;
    ck_assert(words_split(line, &words, problem));
    return typed_read(&words, TYPED_UNTIL, value, problem);
}

START_TEST(a_number_is_read_by_its_key)
{
    struct problem problem = {PROBLEM_NONE, ""};
    double value = 7;
    ck_assert(read_line("target settle=5s", &value, &problem));
    ck_assert_double_eq(value, 7);
    ck_assert(read_line("target until=0.5mm", &value, &problem));
    ck_assert_double_eq(value, 0.5);
    ck_assert(read_line("target until=50", &value, &problem));
    ck_assert_double_eq(value, 50);
    ck_assert(!read_line("target until=0.4", &value, &problem));
    ck_assert_str_eq(problem.sentence, "until: 0.4 is not between 0.5 and 50 mm");
    ck_assert(!read_line("target until=50.1", &value, &problem));
    ck_assert(!read_line("target until=3s", &value, &problem));
    ck_assert(!read_line("target until=nan", &value, &problem));
    ck_assert_double_eq(value, 50);
}
END_TEST

START_TEST(a_text_is_read_or_left)
{
    double value = 7;
    int whole = 7;
    ck_assert(!typed_text("0.9s", TYPED_PLATE_S, &value));
    ck_assert(!typed_text("121", TYPED_PLATE_S, &value));
    ck_assert(!typed_text("5mm", TYPED_PLATE_S, &value));
    ck_assert_double_eq(value, 7);
    ck_assert(typed_text("1s", TYPED_PLATE_S, &value));
    ck_assert_double_eq(value, 1);
    ck_assert(typed_text("120", TYPED_PLATE_S, &value));
    ck_assert_double_eq(value, 120);
    ck_assert(!typed_whole("0", TYPED_SETUP, &whole));
    ck_assert(!typed_whole("100", TYPED_SETUP, &whole));
    ck_assert(!typed_whole("2.5", TYPED_SETUP, &whole));
    ck_assert(!typed_whole("", TYPED_SETUP, &whole));
    ck_assert_int_eq(whole, 7);
    ck_assert(typed_whole("1", TYPED_SETUP, &whole));
    ck_assert_int_eq(whole, 1);
    ck_assert(typed_whole("99", TYPED_SETUP, &whole));
    ck_assert_int_eq(whole, 99);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("typed");
    TCase *tests = tcase_create("typed");
    tcase_add_loop_test(tests, every_number_has_its_range, 0, TYPED_NUMBERS);
    tcase_add_test(tests, a_number_is_read_by_its_key);
    tcase_add_test(tests, a_text_is_read_or_left);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
