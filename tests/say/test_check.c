/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/status.h"
#include "say/check.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

static struct placing_record placing;

static void place(void)
{
    strcpy(placing.channel[0].name, "head");
    strcpy(placing.channel[1].name, "chest");
    placing.channel_count = 2;
}

/* The sentences as they stood in stores before they were made here. */
START_TEST(what_was_found_in_sentences)
{
    static const struct {
        struct check_finding found;
        const char *text;
    } cases[] = {
        {{CHECK_FOUND_STATUS, 1, {MEASURE_CONSTANT}}, "chest: "},
        {{CHECK_FOUND_NOISE, 0, {1.83}}, "head: noise 1.8 mm"},
        {{CHECK_FOUND_DRIFT, 0, {0.12, 0.34}}, "drift +0.1 ±0.3 mm a minute"},
        {{CHECK_FOUND_AVERAGING, 0, {10, 0.213}}, "averaging over 10 s leaves 0.21 mm"},
        {{CHECK_FOUND_AVERAGING, 0, {12.8, 0.213}}, "averaging over 13 s leaves 0.21 mm"},
        {{CHECK_FOUND_AVERAGING_LONGEST, 0, {1.28, 0.206}},
         "averaging over 1.3 s (a longer test would say more) leaves 0.21 mm"},
        {{CHECK_FOUND_WARMS_UP, 0, {4}},
         "it slows down, as what warms up does: about 4 minutes more"},
        {{CHECK_FOUND_RIPPLE, 0, {1.04, 9.97, 45.2, 55.17}},
         "a ripple of 1.0 mm at 10.0 Hz, or at 45.2 Hz that 55.2 readings a second show there: "
         "lamps, "
         "a fan, a motor; off, one after the other"},
        {{CHECK_FOUND_RIPPLE_MAINS, 0, {100}},
         "lamps or supplies on the mains would show there (100 Hz)"},
        {{CHECK_FOUND_TOO_NEAR, 0, {31.2, 50}},
         "the block's face is 31 mm from the sensor, and nearer than 50 mm many measure wrong: "
         "once "
         "more, the plate further off"},
        {{CHECK_FOUND_PLATE_TOO_NEAR, 0, {38.4, 50}},
         "the plate is 38 mm from the sensor, and nearer than 50 mm many measure wrong: once more, "
         "the plate further off"},
        {{CHECK_FOUND_SCALE_OPEN, 0, {2.64, 2}},
         "its scale is known to ±2.6 % only: a thicker block, or a longer test, tells an error of "
         "2 %"},
        {{CHECK_FOUND_BLOCK_READS, 0, {25, 24.62, 0.31, 1.5}},
         "head: the block of 25 mm reads 24.6 ±0.3 mm (limit ±1.5)"},
        {{CHECK_FOUND_SCALE, 0, {20.2, 1.4}}, "a millimetre reads +20 ±1 %: calibrate the sensor"},
        {{CHECK_FOUND_SHIFTED, 0, {-2.31}},
         "-2.3 mm against this session's first step test: what lies between is in doubt"},
        {{CHECK_FOUND_LINE, 0, {0.96154, -5.77}}, "head: true range = 0.9615 × reading -5.8 mm"},
        {{CHECK_FOUND_LINE_ERRORS, 0, {0.00032, 0.41, 0.55}},
         "gain ±0.0003, scatter about the line 0.4 mm, furthest off +0.6 mm"},
        {{CHECK_FOUND_FOLLOWS_HAND, 1, {61.7}}, "chest follows: 62 mm shorter"},
        {{CHECK_FOUND_FOLLOWS_BLOCK, 1, {49.62, 50}},
         "chest follows: 49.6 mm shorter for the block of 50 mm"},
        {{CHECK_FOUND_WRONG_AMOUNT, 1, {30.25, 12.5}},
         "chest changes by 30.2 mm for a block of 12.5 mm"},
        {{CHECK_FOUND_BAD_READINGS, 0, {33.4}},
         "head: 33 % of the readings are missing or doubtful"},
        {{CHECK_FOUND_TWO_LEVELS, 0, {80.2}},
         "head jumps between two levels 80 mm apart: the beam sees two things; aim it at the "
         "middle of a patch"},
        {{CHECK_FOUND_BODY, -1, {NAN}},
         "the body is followed up and down; nothing follows the hands, no beam sees two things"},
    };
    char text[CHECK_WORDS_SIZE];
    place();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct check_findings findings = {.count = 1, .finding = {cases[i].found}};
        say_check(text, sizeof text, &findings, &placing);
        if (i == 0) {
            ck_assert_uint_gt(strlen(text), strlen(cases[i].text));
            text[strlen(cases[i].text)] = '\0';
        }
        ck_assert_str_eq(text, cases[i].text);
    }
}
END_TEST

START_TEST(each_has_words_and_they_are_joined)
{
    static const char *const begins[CHECK_FOUND] = {
        [CHECK_FOUND_STUCK] = "every reading is the same",
        [CHECK_FOUND_BLOCKED] = "something lies on its window",
        [CHECK_FOUND_JUMPS] = "readings jump between two levels",
        [CHECK_FOUND_NOISY] = "too noisy",
        [CHECK_FOUND_DROPS] = "readings drop out",
        [CHECK_FOUND_WANDERS] = "it wanders more than its noise explains",
        [CHECK_FOUND_DRIFTS] = "it drifts",
        [CHECK_FOUND_BLOCK_NOT_SEEN] = "the beam does not see the block",
        [CHECK_FOUND_SCATTER] = "readings scatter too much to tell",
        [CHECK_FOUND_TWO_DISTANCES] = "two distances only",
        [CHECK_FOUND_WRONG_DISTANCES] = "not taken: no sensor is that wrong",
        [CHECK_FOUND_NOT_STRAIGHT] = "do not lie on a straight line",
        [CHECK_FOUND_WRONG_WAY] = "head reads longer, where it should read shorter",
        [CHECK_FOUND_NO_RESPONSE] = "head does not respond",
        [CHECK_FOUND_SWAPPED] = "head responds instead",
        [CHECK_FOUND_SCALE_COSTS] = "where the heights are",
        [CHECK_FOUND_CROSSTALK] = "head responds as well",
        [CHECK_FOUND_ALONE] = "no other sensor responds",
        [CHECK_FOUND_NO_NOD] = "head does not follow the nod",
        [CHECK_FOUND_NOD_WRONG_WAY] = "head goes up when the head goes down",
        [CHECK_FOUND_NO_RISE] = "head does not follow the body",
        [CHECK_FOUND_RISE_WRONG_WAY] = "head goes down when the body comes up",
        [CHECK_FOUND_HANDS] = "head moves with the hands",
        [CHECK_FOUND_NO_BODY] = "no sensor looks at the rider",
        [CHECK_FOUND_HEAD_AND_BODY] = "the head follows the nod, the body",
    };
    struct check_findings findings = {0};
    char text[CHECK_WORDS_SIZE];
    const double none[CHECK_FINDING_VALUES] = {0};
    place();
    say_check(text, sizeof text, &findings, &placing);
    ck_assert_str_eq(text, "");
    for (int i = 0; i < CHECK_FOUND; i++) {
        findings.count = 0;
        check_find(&findings, (enum check_found)i, 0, CHECK_FINDING_VALUES, none);
        say_check(text, sizeof text, &findings, &placing);
        ck_assert_uint_gt(strlen(text), 10);
        ck_assert_msg(begins[i] == NULL || strstr(text, begins[i]) != NULL, "%d: %s", i, text);
        ck_assert_ptr_null(strchr(text, '{'));
    }
    findings.count = 0;
    check_find(&findings, CHECK_FOUND_NOISE, 0, 1, none);
    check_find(&findings, CHECK_FOUND_STUCK, 0, 1, none);
    say_check(text, sizeof text, &findings, &placing);
    ck_assert_str_eq(text, "head: noise 0.0 mm; every reading is the same: the sensor is stuck");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("say check");
    TCase *tests = tcase_create("say check");
    tcase_add_test(tests, what_was_found_in_sentences);
    tcase_add_test(tests, each_has_words_and_they_are_joined);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
