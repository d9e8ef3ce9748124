/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The words by which boards name their columns: units by their symbols (SI, with both signs of the
 * micro; the trade's inch and foot), names as sketches and makers' examples print them. */
#include "rig/plain_tokens.h"
#include "rig/plain_words.h"
#include "support/test_main.h"

#include <string.h>

#define LENGTHS "mm cm m in inch ft um \xC2\xB5m \xCE\xBCm"
#define TIMES "us \xC2\xB5s \xCE\xBCs ms s sec"
#define OTHERS                                                                                     \
    "n nm v mv a ma c k f deg rad % hz khz g lux mcps db dbm bpm rpm w pa hpa degc \xC2\xB0\x63"
#define STATUSES "status state err error code fault valid flag flags stat"
#define RIDES                                                                                      \
    "power watts cadence heart hr lat latitude longitude altitude speed lon lng elevation grade "  \
    "lap"

static struct span span_of(const char *text)
{
    return (struct span){text, strlen(text)};
}

static bool names_time(struct span name)
{
    return plain_names_time(name, span_of(""));
}

static bool unit_of_time(struct span unit)
{
    return plain_names_time(span_of("x"), unit);
}

static bool names_a_range(struct span name)
{
    return plain_names_a_range(name, span_of(""));
}

static bool unit_of_a_range(struct span unit)
{
    return plain_names_a_range(span_of("x"), unit);
}

static bool names_something_else(struct span name)
{
    return plain_names_something_else(name, span_of(""));
}

static bool unit_of_something_else(struct span unit)
{
    return plain_names_something_else(span_of("x"), unit);
}

static bool something_else_in_mm(struct span name)
{
    return plain_names_something_else(name, span_of("mm"));
}

/* Words with a blank between: all of them are, or none is. */
static void check(const char *what, bool (*is)(struct span), const char *words, bool expected)
{
    for (const char *at = words; *at != '\0'; at += strcspn(at, " "), at += *at == ' ') {
        struct span word = {at, strcspn(at, " ")};
        ck_assert_msg(is(word) == expected, "%s: %.*s", what, (int)word.length, word.text);
    }
}

START_TEST(units)
{
    check("length", plain_is_unit_of_length, LENGTHS " MM Inch", true);
    check("length", plain_is_unit_of_length, TIMES " " OTHERS " km yd", false);
    check("time", plain_is_unit_of_time, TIMES " MS", true);
    check("time", plain_is_unit_of_time, LENGTHS " " OTHERS " h min", false);
    check("unit", plain_is_unit, LENGTHS " " TIMES " " OTHERS, true);
    check("unit", plain_is_unit, "km h min x", false);
    check("time's unit", unit_of_time, TIMES, true);
    check("time's unit", unit_of_time, LENGTHS " " OTHERS, false);
    check("range's unit", unit_of_a_range, LENGTHS, true);
    check("range's unit", unit_of_a_range, TIMES " " OTHERS, false);
    check("other's unit", unit_of_something_else, OTHERS, true);
    check("other's unit", unit_of_something_else, LENGTHS " " TIMES, false);
}
END_TEST

/* In tenths of a millimetre: an inch is 25.4 mm, a foot 12 of them (ISO 31-1). */
START_TEST(what_a_unit_is_worth)
{
    static const struct {
        const char *unit;
        uint32_t tenths;
        uint8_t more_decimals;
    } worth[] = {
        {"mm", 10, 0},       {"cm", 100, 0},      {"m", 10000, 0},   {"in", 254, 0},
        {"inch", 254, 0},    {"ft", 12 * 254, 0}, {"ft-in", 254, 0}, {"um", 1, 2},
        {"\xC2\xB5m", 1, 2}, {"\xCE\xBCm", 1, 2}, {"km", 0, 0},
    };
    for (size_t i = 0; i < sizeof worth / sizeof worth[0]; i++) {
        uint8_t more_decimals = 9;
        ck_assert_msg(plain_unit_tenths(span_of(worth[i].unit), &more_decimals) == worth[i].tenths,
                      "%s", worth[i].unit);
        ck_assert_int_eq(more_decimals, worth[i].more_decimals);
    }
}
END_TEST

START_TEST(names)
{
    check("status", plain_names_a_status, STATUSES " Status err_code S1_valid", true);
    check("status", plain_names_a_status, "dist temp ok statuses", false);
    check("good", plain_says_good, "ok good valid true yes fine normal OK", true);
    check("good", plain_says_good, "err no okay 1", false);
    check("bad", plain_says_bad,
          "err error fail failed bad weak invalid false fault saturated noisy timeout doubtful "
          "poor clipped E_WEAK",
          true);
    check("bad", plain_says_bad, "ok 412 no", false);
    check("ride", plain_names_a_ride, RIDES " heart_rate", true);
    check("ride", plain_names_a_ride, "head chest dist temp", false);
    check("rate", plain_names_a_rate, "fs rate frequency hz odr sample_rate", true);
    check("rate", plain_names_a_rate, "range dist", false);
    check("time", names_time, "time timestamp t ms us millis micros date seconds sec time_ms",
          true);
    check("time", names_time, "head temp timer", false);
    check("what follows", plain_names_what_follows,
          "avg average mean median diff difference delta sum head_avg", true);
    check("what follows", plain_names_what_follows, "head dist meaning", false);
    check("range", names_a_range, "dist d mm cm distance DISTANZ range height depth head_range d1",
          true);
    check("range", names_a_range, "temp time strength", false);
}
END_TEST

/* Beside a range boards print much: none of it is a height. */
START_TEST(names_of_something_else)
{
    check("else", names_something_else,
          "temperature temp strength signal amplitude amp quality status phase sigma ambient rate "
          "battery voltage volt current hum humidity pressure frame seq sequence index idx count "
          "counter sample no nr id error err freq snr confidence flag valid zone speed rssi "
          "altitude elevation lat latitude lon lng longitude hr watts grade slope calories lap "
          "state code fault flags stat angle pitch roll yaw vbat uptime checksum crc version min "
          "max minimum maximum std velocity vel head_temp",
          true);
    check("else", names_something_else, "head chest dist range", false);
    check("else without a length", names_something_else,
          "echo pulse duration elapsed light raw adc loop", true);
    check("ranges by their unit", something_else_in_mm,
          "echo pulse duration elapsed light raw adc loop head", false);
    check("else in mm, too", something_else_in_mm, "temp min max std", true);
}
END_TEST

/* What boards print in the place of a number: of their own, of C's printf, of meters. */
START_TEST(what_stands_for_no_reading)
{
    static const char *const none[] = {
        "timeout",    "timed out", "time out", "out of range", "no echo", "no target",
        "no reading", "overflow",  "nan",      "inf",          "-inf",    "null",
        "none",       "na",        "n/a",      "ovf",          "ol",      "-",
        "--",         "---",       "NaN",      "Out of range!"};
    static const char *const others[] = {"412", "-412", "nano", "all", "----", "ok", ""};
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++) {
        ck_assert_msg(plain_says_no_reading(span_of(none[i])), "%s", none[i]);
    }
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        ck_assert_msg(!plain_says_no_reading(span_of(others[i])), "%s", others[i]);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plain words");
    TCase *tests = tcase_create("plain words");
    tcase_add_test(tests, units);
    tcase_add_test(tests, what_a_unit_is_worth);
    tcase_add_test(tests, names);
    tcase_add_test(tests, names_of_something_else);
    tcase_add_test(tests, what_stands_for_no_reading);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
