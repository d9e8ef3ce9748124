/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/say.h"

#include "base/language.h"
#include "support/test_main.h"

#include <stdio.h>

#include <locale.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

START_TEST(numbers_are_whole_and_never_minus_nought)
{
    static const struct {
        double value;
        const char *text;
    } cases[] = {{884.4, "884"}, {-0.4, "0"}, {-3.1, "-3"}, {NAN, "-"}, {INFINITY, "-"}};
    char text[SAY_SIZE];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        say_whole(text, sizeof text, cases[i].value);
        ck_assert_str_eq(text, cases[i].text);
    }
}
END_TEST

START_TEST(signed_numbers_have_a_plus)
{
    char text[SAY_SIZE];
    say_signed(text, sizeof text, 14.2, 0);
    ck_assert_str_eq(text, "+14");
    say_signed(text, sizeof text, -0.5, 1);
    ck_assert_str_eq(text, "-0.5");
    say_signed(text, sizeof text, 0.04, 1);
    ck_assert_str_eq(text, "0.0");
    say_signed(text, sizeof text, NAN, 1);
    ck_assert_str_eq(text, "-");
}
END_TEST

START_TEST(a_half_width_is_rounded_up)
{
    static const struct {
        double half_width;
        bool has;
        const char *text;
    } cases[] = {
        {2.1, true, "884 ±3"}, {3.0, true, "884 ±3"},   {0.2, true, "884 ±1"},
        {2.1, false, "884"},   {INFINITY, true, "884"},
    };
    char text[SAY_SIZE];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        say_mean(text, sizeof text, 883.6, cases[i].has, cases[i].half_width);
        ck_assert_str_eq(text, cases[i].text);
    }
    say_mean(text, sizeof text, NAN, true, 3);
    ck_assert_str_eq(text, "-");
}
END_TEST

START_TEST(durations_and_places_read_naturally)
{
    static const struct {
        double seconds;
        const char *duration, *clock;
    } cases[] = {
        {41, "41 s", "0:41"},     {60, "60 s", "1:00"},
        {120, "2 min", "2:00"},   {125.4, "2 min 5 s", "2:05"},
        {3600, "1 h", "1:00:00"}, {3729, "1 h 2 min", "1:02:09"},
        {-1, "-", "-"},           {NAN, "-", "-"},
    };
    char text[SAY_SIZE];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        say_duration(text, sizeof text, cases[i].seconds);
        ck_assert_str_eq(text, cases[i].duration);
        say_clock(text, sizeof text, cases[i].seconds);
        ck_assert_str_eq(text, cases[i].clock);
    }
    say_date(text, sizeof text, 1768068000000); /* date -u -d @1768068000 */
    ck_assert_str_eq(text, "2026-01-10 18:00 UTC");
    say_percent(text, sizeof text, 0.866);
    ck_assert_str_eq(text, "87 %");
}
END_TEST

START_TEST(a_clock_may_keep_to_minutes_or_hours)
{
    static const struct {
        double seconds;
        const char *minutes, *hours;
    } cases[] = {
        {41, "0:41", "0:00:41"}, {61.9, "1:01", "0:01:01"}, {3761, "62:41", "1:02:41"},
        {-1, "0:00", "0:00:00"}, {NAN, "0:00", "0:00:00"},
    };
    char text[SAY_SIZE];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        say_minutes(text, sizeof text, cases[i].seconds);
        ck_assert_str_eq(text, cases[i].minutes);
        say_hours(text, sizeof text, cases[i].seconds);
        ck_assert_str_eq(text, cases[i].hours);
    }
}
END_TEST

START_TEST(screens_have_proper_minus_signs)
{
    char text[SAY_SIZE];
    say_typeset(text, sizeof text, "-19 \u00B11 (-2 computed) as-is");
    ck_assert_str_eq(text, "\u221219 \u00B11 (\u22122 computed) as-is");
    say_typeset(text, sizeof text, "-");
    ck_assert_str_eq(text, "\u2013");
}
END_TEST

START_TEST(lists_read_naturally)
{
    static const int numbers[] = {1, 2, 4};
    char text[SAY_SIZE];
    say_list(text, sizeof text, "Setup", "Setups", numbers, 1);
    ck_assert_str_eq(text, "Setup 1");
    say_list(text, sizeof text, "Setup", "Setups", numbers, 2);
    ck_assert_str_eq(text, "Setups 1 and 2");
    say_list(text, sizeof text, "Setup", "Setups", numbers, 3);
    ck_assert_str_eq(text, "Setups 1, 2 and 4");
}
END_TEST

/* Four in a row and more are told by the first and the last. */
START_TEST(long_lists_are_told_by_their_ends)
{
    static const int numbers[] = {1, 3, 4, 5, 6, 8, 11, 12, 13, 14, 15};
    char text[SAY_SIZE];
    say_numbers(text, sizeof text, numbers + 1, 3);
    ck_assert_str_eq(text, "3, 4 and 5");
    say_numbers(text, sizeof text, numbers + 1, 4);
    ck_assert_str_eq(text, "3 to 6");
    say_numbers(text, sizeof text, numbers, 11);
    ck_assert_str_eq(text, "1, 3 to 6, 8 and 11 to 15");
    say_numbers(text, sizeof text, numbers, 0);
    ck_assert_str_eq(text, "");
}
END_TEST

START_TEST(ties_say_how_far_and_how_well)
{
    struct tie tie = {.kind = TIE_PLATE, .shift_mm = -19.1, .u_common_mm = 0.9, .u_build_mm = 1.2};
    char text[SAY_SIZE], start[SAY_SIZE];
    /* 0.9 and 1.2 in quadrature are 1.5; twice that is shown */
    ck_assert_double_eq_tol(tie_uncertainty_mm(&tie), 1.5, 1e-12);
    snprintf(start, sizeof start, "%s: 19 mm down ±3.0", say_tie_kind(TIE_PLATE));
    say_tie(text, sizeof text, &tie, "head");
    ck_assert_str_eq(text, start);
    tie = (struct tie){.kind = TIE_FIXED};
    snprintf(start, sizeof start, "%s: no shift", say_tie_kind(TIE_FIXED));
    say_tie(text, sizeof text, &tie, "head");
    ck_assert_str_eq(text, start);
    tie = (struct tie){.kind = TIE_NONE,
                       .found = {.kind = TIE_FOUND_MISSING, .missing = "stem length missing"}};
    say_tie(text, sizeof text, &tie, "head");
    ck_assert_str_eq(text,
                     "NOT TIED: stem length missing, or a plate or tape reading on this build and "
                     "the first");
}
END_TEST

START_TEST(ties_are_short_on_screens)
{
    static const struct {
        struct tie tie;
        const char *text;
    } cases[] = {
        {{.kind = TIE_NONE, .found = {.kind = TIE_FOUND_MISSING, .missing = "stem length missing"}},
         "height not tied"},
        {{.kind = TIE_FIRST}, "as first"},
        {{.kind = TIE_FIXED, .shift_mm = 0.049}, "as first"},
        {{.kind = TIE_FIXED, .shift_mm = 0.05}, "0 \u00B11 (not moved)"},
        {{.kind = TIE_FIXED, .shift_mm = 0.6}, "+1 \u00B11 (not moved)"},
        {{.kind = TIE_PLATE, .shift_mm = -19.1, .u_common_mm = 0.3, .u_build_mm = 0.4},
         "-19 \u00B11 (plate)"},
        {{.kind = TIE_TAPE, .shift_mm = 12, .u_common_mm = 1.2, .u_build_mm = 1.6},
         "+12 \u00B14 (tape)"},
        {{.kind = TIE_COMPUTED, .shift_mm = 5, .u_build_mm = 0.1}, "+5 \u00B11 (computed)"},
    };
    char text[SAY_SIZE];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        say_tie_briefly(text, sizeof text, &cases[i].tie);
        ck_assert_str_eq(text, cases[i].text);
    }
    say_tie_briefly(text, sizeof text, NULL);
    ck_assert_str_eq(text, "range only");
    say_tie_of_sensor(text, sizeof text, &cases[2].tie);
    ck_assert_str_eq(text, "unmoved");
    say_tie_of_sensor(text, sizeof text, &cases[5].tie);
    ck_assert_str_eq(text, "moved -19 \u00B11 (plate)");
    say_tie_of_sensor(text, sizeof text, &cases[0].tie);
    ck_assert_str_eq(text, "height not tied");
}
END_TEST

START_TEST(what_is_found_of_a_tie)
{
    static const struct {
        struct tie tie;
        const char *text;
    } cases[] = {
        {{.kind = TIE_PLATE}, ""},
        {{.kind = TIE_PLATE,
          .found =
              {.kind = TIE_FOUND_SPREAD, .by = TIE_PLATE, .apart_mm = 5, .carrier_moves = true}},
         "plate readings 5.0 mm apart though nothing that moves the sensor was changed: typing "
         "slip, "
         "rolled bar or slipped clamp?"},
        {{.kind = TIE_PLATE, .found = {.kind = TIE_FOUND_SPREAD, .by = TIE_TAPE, .apart_mm = 5}},
         "tape readings 5.0 mm apart though nothing that moves the sensor was changed: typing "
         "slip, "
         "or was the sensor or the plate knocked?"},
        /* by: what it was tied by when the two were set against each other */
        {{.kind = TIE_PLATE,
          .measured_shift_mm = -6.5,
          .computed_shift_mm = -9.56,
          .found = {.kind = TIE_FOUND_OFF_PARTS, .by = TIE_TAPE, .apart_mm = 3.06}},
         "tape says -6.5 mm, the parts say -9.6: 3.1 apart. Typing slip, rolled bar, slipped "
         "clamp?"},
        {{.kind = TIE_TAPE,
          .measured_shift_mm = -14,
          .computed_shift_mm = -9.56,
          .found =
              {.kind = TIE_FOUND_OFF_PARTS, .by = TIE_TAPE, .apart_mm = 4.44, .other_stem = true}},
         "tape says -14.0 mm, the parts say -9.6: 4.4 apart. Typing slip, rolled bar, "
         "slipped clamp, wrong stem label?"},
        {{.kind = TIE_PLATE, .found = {.kind = TIE_FOUND_NOT_READ}},
         "not read on this build: as on another build of the same parts"},
        {{.kind = TIE_NONE,
          .found = {.kind = TIE_FOUND_MISSING, .read = true, .missing = "stem length missing"}},
         "stem length missing, or the same reading on the first build"},
        {{.kind = TIE_NONE, .found = {.kind = TIE_FOUND_MISSING, .missing = "stem length missing"}},
         "stem length missing, or a plate or tape reading on this build and the first"},
        {{.kind = TIE_PLATE, .found = {.kind = TIE_FOUND_ENDS, .apart_mm = 4.04}},
         "plate 4.0 mm apart at the build's two ends: the head sensor slipped (or the plate) in "
         "between; when is not known"},
        {{.kind = TIE_NONE, .found = {.kind = TIE_FOUND_NO_MOUNT}},
         "nobody said where the head sensor is fixed, nor that none moved"},
        {{.kind = TIE_NONE, .found = {.kind = TIE_FOUND_ALIKE, .alike = 3}},
         "its measures are those of setup 3: enter what was changed, or that no sensor moved"},
        {{.kind = TIE_NONE, .found = {.kind = TIE_FOUND_MOVED}},
         "a sensor moved: a plate read before and after would tie it"},
        {{.kind = TIE_NONE, .found = {.kind = TIE_FOUND_AS_BEFORE}},
         "no sensor moved, and the build before is not tied"},
        {{.kind = TIE_NONE, .found = {.kind = TIE_FOUND_FIXED_ANEW}},
         "the sensors were fixed anew; a plate read before and after, or their heights, would tie "
         "them"},
    };
    char text[SAY_SIZE];
    const struct tie unknown = {.kind = TIE_PLATE, .shift_mm = NAN};
    say_tie(text, sizeof text, &unknown, "head");
    ck_assert_str_eq(text, "plate: shift not known");
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        say_tie_finding(text, sizeof text, &cases[i].tie, "head");
        ck_assert_str_eq(text, cases[i].text);
    }
}
END_TEST

START_TEST(a_decimal_comma_of_the_locale_changes_nothing)
{
    static const char *const names[] = {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8", "fr_FR.utf8"};
    char text[SAY_SIZE];
    bool set = false;
    for (size_t i = 0; i < 4 && !set; i++) {
        set = setlocale(LC_ALL, names[i]) != NULL;
    }
    if (!set) {
        printf("skipped: no locale with a decimal comma is installed\n");
        return;
    }
    say_number(text, sizeof text, 3.25, 2);
    ck_assert_str_eq(text, "3.25");
    setlocale(LC_ALL, "C");
}
END_TEST

START_TEST(angles_have_their_sign)
{
    char text[SAY_SIZE];
    say_with_unit(text, sizeof text, "-6", "deg");
    ck_assert_str_eq(text, "-6\u00B0");
    say_with_unit(text, sizeof text, "60", "mm");
    ck_assert_str_eq(text, "60 mm");
}
END_TEST

/* 'none' only where all eight regions were asked about. */
START_TEST(discomfort_is_none_only_of_what_was_asked)
{
    double values[RATING_ITEMS];
    char text[SAY_SIZE];
    for (int item = 0; item < RATING_ITEMS; item++) {
        values[item] = (double)NAN;
    }
    values[RATING_EFFORT] = 4; /* no region */
    say_discomfort(text, sizeof text, values);
    ck_assert_str_eq(text, "-");
    values[RATING_NECK] = 0;
    say_discomfort(text, sizeof text, values);
    ck_assert_str_eq(text, "none of those asked");
    values[RATING_HANDS] = 3;
    values[RATING_HIPS] = 2;
    ck_assert_int_eq(say_worst_region(values), RATING_HANDS);
    values[RATING_HANDS] = 2;
    values[RATING_HIPS] = 3;
    say_discomfort(text, sizeof text, values);
    ck_assert_str_eq(text, "hips (pinch) 3, hands 2");
    for (int item = RATING_NECK; item <= RATING_BREATHING; item++) {
        values[item] = 0;
    }
    say_discomfort(text, sizeof text, values);
    ck_assert_str_eq(text, "none");
}
END_TEST

START_TEST(bands_and_answers)
{
    struct cue_settings cue = {.band_above_mm = 10, .band_below_mm = INFINITY};
    char text[SAY_SIZE];
    say_band(text, sizeof text, &cue);
    ck_assert_str_eq(text, "+10/none");
    cue.band_above_mm = INFINITY;
    say_band(text, sizeof text, &cue);
    ck_assert_str_eq(text, "none/none");
    cue.band_above_mm = 10;
    cue.band_below_mm = 20;
    say_band(text, sizeof text, &cue);
    ck_assert_str_eq(text, "+10/-20");
    ck_assert_str_eq(say_rated_word(RATING_SEES_AHEAD, SEES_NO), "no: FAILED");
    ck_assert_str_eq(say_rated_word(RATING_SEES_AHEAD, SEES_STRAINED), "strained");
    ck_assert_str_eq(say_rated_word(RATING_SEES_AHEAD, (double)NAN), "-");
    ck_assert_str_eq(say_rated_word(RATING_NUMB_HANDS, ANSWER_YES), "yes");
}
END_TEST

START_TEST(each_tie_has_its_word)
{
    ck_assert_str_eq(say_tie_kind(TIE_NONE), "not tied");
    ck_assert_str_eq(say_tie_kind(TIE_FIRST), "first build");
    ck_assert_str_eq(say_tie_kind(TIE_FIXED), "not moved");
    ck_assert_str_eq(say_tie_kind(TIE_REFERENCE), "ref");
    ck_assert_str_eq(say_tie_kind(TIE_PLATE), "plate");
    ck_assert_str_eq(say_tie_kind(TIE_TAPE), "tape");
    ck_assert_str_eq(say_tie_kind(TIE_COMPUTED), "computed");
}
END_TEST

START_TEST(what_all_heights_share_is_said_with_what_was_not_entered)
{
    char text[2 * SAY_SIZE];
    struct bike_values bike;
    struct tie tie = {.kind = TIE_FIRST, .absolute = true, .u_absolute_mm = 5.5, .u_own_mm = 2.0};
    bike_values_clear(&bike);
    bike.value[BIKE_STEM_CLAMP_HEIGHT] = 42.0;
    bike.value[BIKE_BAR_ROLL] = 0.0;
    say_tie_level(text, sizeof text, &tie, &bike);
    ck_assert_str_eq(text, "as heights above the bottom bracket all of them may be off together by "
                           "±11 mm (not entered, the usual taken: headset cap 0 mm); differences "
                           "are free of that");
    bike.value[BIKE_HEADSET_CAP] = 12.0;
    tie.u_absolute_mm = 3.0;
    say_tie_level(text, sizeof text, &tie, &bike);
    ck_assert_str_eq(text, "as heights above the bottom bracket all of them may be off together by "
                           "±6 mm; differences are free of that");
    bike.value[BIKE_HEADSET_CAP] = NAN; /* read by a tape: none of the parts is in it */
    tie.u_own_mm = 3.0;
    say_tie_level(text, sizeof text, &tie, &bike);
    ck_assert_ptr_null(strstr(text, "headset"));
    ck_assert(say_tie_together(text, sizeof text, &tie));
    ck_assert_str_eq(text, "6");
    tie.u_absolute_mm = NAN; /* how well is not known */
    ck_assert(!say_tie_together(text, sizeof text, &tie));
    tie.absolute = false;
    say_tie_level(text, sizeof text, &tie, &bike);
    ck_assert_str_eq(text, "");
    ck_assert(!say_tie_together(text, sizeof text, &tie));
}
END_TEST

/* The 15th of each month of 2026; the first of them is 20468 days after the first of 1970. */
START_TEST(months_have_their_names)
{
    static const struct {
        const char *whole, *brief;
        int days;
    } months[] = {
        {"15 January 2026", "15 Jan", 31},   {"15 February 2026", "15 Feb", 28},
        {"15 March 2026", "15 Mar", 31},     {"15 April 2026", "15 Apr", 30},
        {"15 May 2026", "15 May", 31},       {"15 June 2026", "15 Jun", 30},
        {"15 July 2026", "15 Jul", 31},      {"15 August 2026", "15 Aug", 31},
        {"15 September 2026", "15 Sep", 30}, {"15 October 2026", "15 Oct", 31},
        {"15 November 2026", "15 Nov", 30},  {"15 December 2026", "15 Dec", 31},
    };
    int64_t noon_ms = (20468 * 24 + 12) * 3600000LL;
    for (size_t i = 0; i < sizeof months / sizeof months[0]; i++) {
        char text[SAY_SIZE], year[16];
        say_day(text, sizeof text, noon_ms);
        ck_assert_str_eq(text, months[i].whole);
        say_day_briefly(text, sizeof text, year, sizeof year, noon_ms);
        ck_assert_str_eq(text, months[i].brief);
        ck_assert_str_eq(year, "2026");
        noon_ms += months[i].days * 24 * 3600000LL;
    }
}
END_TEST

/* 00:30 UTC on 14 January: a Tuesday evening still, five hours behind. */
START_TEST(days_are_the_readers)
{
    static const int64_t at_ms = INT64_C(1768350600000);
    static const struct {
        const char *zone, *whole, *brief;
    } zones[] = {{"UTC", "14 January 2026", "14 Jan"},
                 {"EST5EDT", "13 January 2026", "13 Jan"},
                 {"<+13>-13", "14 January 2026", "14 Jan"}};
    for (size_t i = 0; i < sizeof zones / sizeof zones[0]; i++) {
        char day[SAY_SIZE], date[SAY_SIZE], year[16];
        setenv("TZ", zones[i].zone, 1);
        say_day(day, sizeof day, at_ms);
        ck_assert_str_eq(day, zones[i].whole);
        say_day_briefly(day, sizeof day, year, sizeof year, at_ms);
        ck_assert_str_eq(day, zones[i].brief);
        say_date(date, sizeof date, at_ms); /* the same day in full */
        ck_assert_int_eq(strtol(date + 8, NULL, 10), strtol(day, NULL, 10));
    }
    setenv("TZ", "UTC", 1);
}
END_TEST

/* A catalogue ('The Format of GNU MO Files') that has another word for each usual name; what a
 * fitter calls a sensor otherwise is nobody's to translate, and stays. */
START_TEST(usual_sensors_are_translated)
{
    static const char *const usual[] = {"back", "chest", "elbow", "hand",    "head",
                                        "hip",  "hips",  "neck",  "shoulder"};
    enum { USUAL = sizeof usual / sizeof usual[0] };
    static unsigned char bytes[1024];
    uint32_t *words = (uint32_t *)(void *)bytes, at = 28 + 16 * (USUAL + 1);
    words[0] = 0x950412de;
    words[2] = USUAL + 1;
    words[3] = 28;
    words[4] = 28 + 8 * (USUAL + 1);
    for (uint32_t side = 0; side < 2; side++) {
        for (uint32_t i = 0; i <= USUAL; i++) {
            char text[32] = "";
            if (i > 0) {
                snprintf(text, sizeof text, side == 0 ? "sensor%c%s" : "%c%s",
                         side == 0 ? '\004' : '*', usual[i - 1]);
            } else {
                strcpy(text, side == 0 ? "" : "Language: xx\n");
            }
            words[7 + 2 * (side * (USUAL + 1) + i)] = (uint32_t)strlen(text);
            words[8 + 2 * (side * (USUAL + 1) + i)] = at;
            memcpy(bytes + at, text, strlen(text) + 1);
            at += (uint32_t)strlen(text) + 1;
        }
    }
    const struct language language = {"xx", bytes, bytes + at};
    ck_assert(language_sound(&language));
    language_enter(&language);
    for (size_t i = 0; i < USUAL; i++) {
        ck_assert_int_eq(say_sensor(usual[i])[0], '*');
        ck_assert_str_eq(say_sensor(usual[i]) + 1, usual[i]);
    }
    ck_assert_str_eq(say_sensor("Left Elbow"), "Left Elbow");
    language_enter(NULL);
}
END_TEST

/* Two that were not entered, one after the other. */
START_TEST(what_was_not_entered_is_a_list)
{
    char text[2 * SAY_SIZE];
    struct bike_values bike;
    struct tie tie = {.kind = TIE_FIRST, .absolute = true, .u_absolute_mm = 5.5, .u_own_mm = 2.0};
    bike_values_clear(&bike);
    bike.value[BIKE_BAR_ROLL] = 0.0;
    say_tie_level(text, sizeof text, &tie, &bike);
    ck_assert_ptr_nonnull(strstr(text, "(not entered, the usual taken: headset cap 0 mm, "));
    ck_assert_ptr_nonnull(strstr(text, " 40 mm); differences"));
    bike.value[BIKE_BAR_ROLL] = NAN;
    say_tie_level(text, sizeof text, &tie, &bike);
    ck_assert_ptr_nonnull(strstr(text,
                                 "(not entered, the usual taken: headset cap 0 mm, stem clamp "
                                 "height 40 mm, bar roll 0°); differences"));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("say");
    TCase *tests = tcase_create("say");
    tcase_add_test(tests, numbers_are_whole_and_never_minus_nought);
    tcase_add_test(tests, signed_numbers_have_a_plus);
    tcase_add_test(tests, a_half_width_is_rounded_up);
    tcase_add_test(tests, durations_and_places_read_naturally);
    tcase_add_test(tests, a_clock_may_keep_to_minutes_or_hours);
    tcase_add_test(tests, screens_have_proper_minus_signs);
    tcase_add_test(tests, lists_read_naturally);
    tcase_add_test(tests, long_lists_are_told_by_their_ends);
    tcase_add_test(tests, ties_say_how_far_and_how_well);
    tcase_add_test(tests, ties_are_short_on_screens);
    tcase_add_test(tests, what_is_found_of_a_tie);
    tcase_add_test(tests, a_decimal_comma_of_the_locale_changes_nothing);
    tcase_add_test(tests, angles_have_their_sign);
    tcase_add_test(tests, discomfort_is_none_only_of_what_was_asked);
    tcase_add_test(tests, bands_and_answers);
    tcase_add_test(tests, what_all_heights_share_is_said_with_what_was_not_entered);
    tcase_add_test(tests, each_tie_has_its_word);
    tcase_add_test(tests, months_have_their_names);
    tcase_add_test(tests, days_are_the_readers);
    tcase_add_test(tests, usual_sensors_are_translated);
    tcase_add_test(tests, what_was_not_entered_is_a_list);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
