/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/clock.h"
#include "support/test_main.h"

#include <stdlib.h>
#include <string.h>

START_TEST(times_of_the_standards_are_read)
{
    /* RFC 3339, section 5.8, and RFC 9562, appendix A.6. */
    static const struct {
        const char *text;
        int64_t unix_us;
    } known[] = {
        {"1985-04-12T23:20:50.52Z", 482196050520000},
        {"1996-12-19T16:39:57-08:00", 851042397000000},
        {"1937-01-01T12:00:27.87+00:20", -1041337172130000},
        {"1990-12-31T23:59:60Z", 662688000000000},
        {"2022-02-22T14:22:22.00-05:00", 1645557742000000},
        {"1970-01-01", 0},
        {"2000-02-29T00:00:00Z", 951782400000000},
        {"2025-11-02T11:50:41.073744+00:00", 1762084241073744},
        {"2025-11-02 11:50:41.0737441239Z", 1762084241073744},
        {"1969-12-31T23:59:59.5Z", -500000},
    };
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        int64_t unix_us = 1;
        ck_assert_msg(clock_parse_us(known[i].text, strlen(known[i].text), &unix_us), "%s",
                      known[i].text);
        ck_assert_msg(unix_us == known[i].unix_us, "%s gives %lld", known[i].text,
                      (long long)unix_us);
    }
}
END_TEST

START_TEST(what_is_no_time_is_refused)
{
    static const char *const none[] = {
        "",
        "2025",
        "2025-13-01",
        "2025-02-29",
        "1900-02-29",
        "2025-00-10",
        "2025-01-00",
        "2025-1-1",
        "2025-01-01T",
        "2025-01-01T24:00:00Z",
        "2025-01-01T10:00:00",
        "2025-01-01T10:00:00.Z",
        "2025-01-01T10:00:00Zx",
        "2025-01-01T10:60:00Z",
        "2025-01-01T10:00:00+25:00",
        "412,356,1",
        "2025-01-01T10:00:00+1",
        "20250101T100000Z",
        "2025/01-01",
        "2025-01/01",
        "2025-01-0x",
        "2025-01-32",
        "2025-01-01x10:00:00Z",
        "2025-01-01T1:00:00Z",
        "2025-01-01T10.00:00Z",
        "2025-01-01T10:0:00Z",
        "2025-01-01T10:00.00Z",
        "2025-01-01T10:00:0",
        "2025-01-01T10:00:61Z",
        "2025-01-01T10:00:00+05:60",
        "2025-01-01T10:00:00+05:00x",
        "2025-01-01T10:00:00 05:00",
    };
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++) {
        int64_t unix_us;
        ck_assert_msg(!clock_parse_us(none[i], strlen(none[i]), &unix_us), "'%s' was taken",
                      none[i]);
    }
}
END_TEST

START_TEST(written_times_read_back)
{
    char text[CLOCK_TEXT_SIZE];
    clock_wall_text(text, 1645557742000);
    ck_assert_str_eq(text, "2022-02-22T19:22:22.000Z");
    clock_wall_text(text, -1);
    ck_assert_str_eq(text, "1969-12-31T23:59:59.999Z");
    clock_wall_text(text, 951868799999);
    ck_assert_str_eq(text, "2000-02-29T23:59:59.999Z");
    clock_wall_text(text, INT64_MAX);
    ck_assert_str_eq(text, "9999-12-31T23:59:59.999Z");
    clock_wall_text(text, INT64_MIN);
    ck_assert_str_eq(text, "0000-01-01T00:00:00.000Z");
    for (int64_t ms = -70000000000000; ms < 200000000000000; ms += 86399997123 * 7) {
        int64_t shown_ms = ms < -62167219200000 ? -62167219200000 : ms;
        int64_t unix_us;
        clock_wall_text(text, ms);
        ck_assert(clock_parse_us(text, strlen(text), &unix_us));
        ck_assert_msg(unix_us == shown_ms * 1000, "%s", text);
    }
}
END_TEST

START_TEST(the_clocks_run)
{
    int64_t first = clock_monotonic_us();
    ck_assert(clock_monotonic_us() >= first);
    ck_assert(clock_wall_ms() > 1700000000000); /* after 2023 */
}
END_TEST

/* As other programs write them: a comma, small letters, no colon, a blank. */
START_TEST(moments_in_other_writings)
{
    static const struct {
        const char *text;
        int64_t us; /* -1: none */
    } cases[] = {
        {"2026-01-10T00:00:01,5Z", 1768003201500000},
        {"2026-01-10t00:00:01.5z", 1768003201500000},
        {"2026-01-10 00:00:01Z", 1768003201000000},
        {"2026-01-10T01:00:01+0100", 1768003201000000},
        {"2026-01-09T23:00:01-01:00", 1768003201000000},
        {"2026-01-10T00:00:01.Z", -1},
        {"2026-01-10X00:00:01Z", -1},
        {"2026-01-10T00:00:01", -1},
        {"2026-01-10T00:00:01+24:00", -1},
        {"2026-01-10T00:00:01+01:60", -1},
        {"2026-01-10T00:00:01Z ", -1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        int64_t us = -1;
        bool good = clock_parse_us(cases[i].text, strlen(cases[i].text), &us);
        ck_assert_msg(good == (cases[i].us >= 0), "%s", cases[i].text);
        ck_assert_msg(!good || us == cases[i].us, "%s: %lld", cases[i].text, (long long)us);
    }
}
END_TEST

/* A place whose calendar ends before the moment: the moment is told as of nowhere. */
START_TEST(a_moment_beyond_the_calendar)
{
    char text[64];
    clock_local_text(text, sizeof text, INT64_MAX / 4);
    ck_assert_str_eq(text, "9999-12-31 23:59 UTC");
    ck_assert_int_eq(clock_local_ahead_ms(INT64_MAX / 4), 0);
    clock_local_text(text, sizeof text, INT64_MIN / 4);
    ck_assert_str_eq(text, "0000-01-01 00:00 UTC");
}
END_TEST

/* Days of 23, 24 and 25 hours, by the rules of three places (POSIX 8.3), against the hours that
 * they have by the calendar. */
START_TEST(days_where_summer_time_is_kept)
{
    static const struct {
        const char *zone, *day, *begins;
    } cases[] = {
        {"UTC", "2026-03-29", "2026-03-29T00:00:00.000Z"},
        {"CET-1CEST,M3.5.0,M10.5.0/3", "2026-03-29", "2026-03-28T23:00:00.000Z"},
        {"CET-1CEST,M3.5.0,M10.5.0/3", "2026-03-30", "2026-03-29T22:00:00.000Z"},
        {"CET-1CEST,M3.5.0,M10.5.0/3", "2026-10-25", "2026-10-24T22:00:00.000Z"},
        {"CET-1CEST,M3.5.0,M10.5.0/3", "2026-10-26", "2026-10-25T23:00:00.000Z"},
        {"EST5EDT,M3.2.0,M11.1.0", "2026-11-01", "2026-11-01T04:00:00.000Z"},
        {"EST5EDT,M3.2.0,M11.1.0", "2026-11-02", "2026-11-02T05:00:00.000Z"},
        {"NZST-12NZDT,M9.5.0,M4.1.0/3", "2026-09-27", "2026-09-26T12:00:00.000Z"},
        {"NZST-12NZDT,M9.5.0,M4.1.0/3", "2026-09-28", "2026-09-27T11:00:00.000Z"},
        {"NZST-12NZDT,M9.5.0,M4.1.0/3", "2026-04-05", "2026-04-04T11:00:00.000Z"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[CLOCK_TEXT_SIZE];
        int64_t day_us = 0;
        setenv("TZ", cases[i].zone, 1);
        ck_assert(clock_parse_us(cases[i].day, strlen(cases[i].day), &day_us));
        clock_wall_text(text, clock_local_day_ms(day_us / 1000));
        ck_assert_msg(strcmp(text, cases[i].begins) == 0, "%s in %s: %s", cases[i].day,
                      cases[i].zone, text);
    }
    setenv("TZ", "UTC", 1);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("clock");
    TCase *one = tcase_create("clock");
    tcase_add_test(one, times_of_the_standards_are_read);
    tcase_add_test(one, what_is_no_time_is_refused);
    tcase_add_test(one, written_times_read_back);
    tcase_add_test(one, the_clocks_run);
    tcase_add_test(one, moments_in_other_writings);
    tcase_add_test(one, a_moment_beyond_the_calendar);
    tcase_add_test(one, days_where_summer_time_is_kept);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
