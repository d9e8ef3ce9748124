/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/bolts.h"

#include "base/text.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

/* What is changed on the bike is held by something; what is the frame's (the cap is no part of it)
 * is not. */
START_TEST(every_part_has_its_bolts)
{
    for (int key = 0; key < BIKE_KEYS; key++) {
        enum bike_bolt bolts[BOLTS_OF_ONE_MAX];
        int count = bike_bolts_of((enum bike_key)key, bolts);
        bool held = bike_fields[key].scope == BIKE_SCOPE_PART || key == BIKE_HEADSET_CAP;
        ck_assert_msg((count > 0) == held, "%s", bike_fields[key].key);
        for (int i = 0; i < count; i++) {
            const char *name = bike_bolt_key((int)bolts[i]);
            ck_assert_int_eq(bike_bolt_find(name), (int)bolts[i]);
        }
    }
    ck_assert_int_eq(bike_bolt_find("wings"), -1);
}
END_TEST

/* Each part with what is opened to change it, in the order in which it is tightened again, and what
 * that is called (common practice). */
START_TEST(each_part_is_held_by_these)
{
    static const struct {
        enum bike_key key;
        const char *bolts;
    } held[] = {
        {BIKE_HEADSET_CAP, "top cap, stem's clamp bolts, "},
        {BIKE_SPACERS, "top cap, stem's clamp bolts, "},
        {BIKE_STEM_LENGTH, "top cap, stem's clamp bolts, stem's faceplate bolts, "},
        {BIKE_STEM_ANGLE, "top cap, stem's clamp bolts, stem's faceplate bolts, "},
        {BIKE_STEM_CLAMP_HEIGHT, "top cap, stem's clamp bolts, stem's faceplate bolts, "},
        {BIKE_BAR_ROLL, "stem's faceplate bolts, "},
        {BIKE_PAD_RISE, "risers' bolts, "},
        {BIKE_PAD_FORE_AFT, "pads' bolts, "},
        {BIKE_PAD_WIDTH, "pads' bolts, "},
        {BIKE_PAD_TILT, "pads' bolts, "},
        {BIKE_EXTENSION_LENGTH, "extensions' clamp bolts, "},
        {BIKE_EXTENSION_ANGLE, "extensions' clamp bolts, "},
        {BIKE_EXTENSION_RISE, "extensions' clamp bolts, "},
        {BIKE_SADDLE_HEIGHT, "seatpost's clamp bolt, "},
        {BIKE_SADDLE_SETBACK, "saddle's clamp bolts, "},
        {BIKE_SADDLE_TILT, "saddle's clamp bolts, "},
        {BIKE_CRANK_LENGTH, "crank bolts, pedals, "},
    };
    for (size_t i = 0; i < sizeof held / sizeof held[0]; i++) {
        enum bike_bolt bolts[BOLTS_OF_ONE_MAX];
        char text[128] = "";
        size_t used = 0;
        int count = bike_bolts_of(held[i].key, bolts);
        for (int b = 0; b < count; b++) {
            text_append(text, sizeof text, &used, "%s, ", bike_bolt_words((int)bolts[b]));
        }
        ck_assert_str_eq(text, held[i].bolts);
    }
}
END_TEST

/* What comes off the steerer lets the bearings' preload go: the top cap is set, then the clamp is
 * tightened. A turned bar takes the faceplate alone. */
START_TEST(preload_is_set_before_the_stem_is_clamped)
{
    const enum bike_key off[] = {BIKE_HEADSET_CAP, BIKE_SPACERS, BIKE_STEM_LENGTH, BIKE_STEM_ANGLE,
                                 BIKE_STEM_CLAMP_HEIGHT};
    enum bike_bolt bolts[BOLTS_OF_ONE_MAX];
    int count = 0;
    for (size_t i = 0; i < sizeof off / sizeof off[0]; i++) {
        ck_assert_int_ge(bike_bolts_of(off[i], bolts), 2);
        ck_assert_int_eq(bolts[0], BOLT_TOP_CAP);
        ck_assert_int_eq(bolts[1], BOLT_STEM_CLAMP);
    }
    for (int key = 0; key < BIKE_KEYS; key++) {
        count += bike_steering_comes_off((enum bike_key)key);
    }
    ck_assert_int_eq(count, 5);
    ck_assert_int_eq(bike_bolts_of(BIKE_BAR_ROLL, bolts), 1);
    ck_assert_int_eq(bolts[0], BOLT_FACEPLATE);
}
END_TEST

START_TEST(a_torque_or_a_blank)
{
    struct bike_torques torques;
    enum bike_bolt bolts[BOLTS_OF_ONE_MAX];
    char text[16];
    bike_torques_clear(&torques);
    ck_assert_int_eq(bike_bolts_of(BIKE_STEM_LENGTH, bolts), 3);
    ck_assert_str_eq(bike_bolt_words((int)bolts[1]), "stem's clamp bolts");
    ck_assert_str_eq(bike_bolt_words((int)bolts[2]), "stem's faceplate bolts");
    torques.nm[BOLT_FACEPLATE] = 4.5;
    ck_assert_int_eq(bike_torques_entered(&torques), 1);
    bike_torque_text(&torques, bolts[1], text, sizeof text);
    ck_assert_str_eq(text, "____");
    bike_torque_text(&torques, bolts[2], text, sizeof text);
    ck_assert_str_eq(text, "4.5");
    ck_assert_int_eq(bike_bolts_of(BIKE_STACK, bolts), 0);
}
END_TEST

static bool read_line(struct bike_torques *torques, const char *line, struct problem *problem)
{
    struct words words;
    ck_assert(words_split(line, &words, problem));
    return bike_torques_read_line(torques, &words, problem);
}

/* 0.5 to 100 N\u00b7m, or none; all of a line or nothing of it. */
START_TEST(torques_are_read_as_they_stand_on_the_part)
{
    struct bike_torques torques;
    struct problem problem = {.sentence = ""};
    bike_torques_clear(&torques);
    ck_assert(read_line(&torques, "torque stem_clamp=0.5 pads=100", &problem));
    ck_assert_double_eq(torques.nm[BOLT_STEM_CLAMP], 0.5);
    ck_assert_double_eq(torques.nm[BOLT_PADS], 100.0);
    ck_assert(read_line(&torques, "torque pads=none", &problem));
    ck_assert(isnan(torques.nm[BOLT_PADS]));
    ck_assert(!read_line(&torques, "torque faceplate=5 pads=0.49", &problem));
    ck_assert(!read_line(&torques, "torque pads=100.1", &problem));
    ck_assert(!read_line(&torques, "torque pads=x", &problem));
    ck_assert(isnan(torques.nm[BOLT_FACEPLATE]) && isnan(torques.nm[BOLT_PADS]));
    ck_assert(!read_line(&torques, "torque wings=5", &problem));
    ck_assert_str_eq(problem.sentence,
                     "torque: 'wings' is no bolt=N\u00b7m; bolts: top_cap, stem_clamp, faceplate, "
                     "risers, pads, extensions, seatpost, saddle, cranks, pedals");
    ck_assert(!read_line(&torques, "torque", &problem));
    ck_assert(!read_line(&torques, "torque 5", &problem)); /* of no bolt */
    ck_assert_ptr_nonnull(strstr(problem.sentence, "'5' is no bolt"));
    ck_assert_int_eq(bike_torques_entered(&torques), 1);
    /* the first and the last of the bolts, and the answer to what was asked */
    ck_assert(read_line(&torques, "torque top_cap=2 pedals=35 sure=yes", &problem));
    ck_assert_double_eq(torques.nm[BOLT_TOP_CAP], 2);
    ck_assert_double_eq(torques.nm[BOLT_PEDALS], 35);
    ck_assert_int_eq(bike_torques_entered(&torques), 3);
}
END_TEST

/* Over 25 N\u00b7m only cranks and pedals are tightened as a rule; what was answered for once is
 * not asked again. */
START_TEST(a_torque_that_is_much_for_its_bolt_is_asked_about)
{
    struct bike_torques none, torques;
    bike_torques_clear(&none);
    for (int bolt = 0; bolt < BIKE_BOLTS; bolt++) {
        struct problem problem = {0};
        bool much_is_usual = bolt == BOLT_CRANKS || bolt == BOLT_PEDALS;
        torques = none;
        ck_assert(bike_torques_check(&torques, &none, &problem));
        torques.nm[bolt] = 25.0;
        ck_assert(bike_torques_check(&torques, &none, &problem));
        torques.nm[bolt] = 25.1;
        ck_assert(bike_torques_check(&torques, &none, &problem) == much_is_usual);
        ck_assert_int_eq(problem.kind, much_is_usual ? PROBLEM_NONE : PROBLEM_ASKED);
        ck_assert(much_is_usual || strstr(problem.sentence, bike_bolt_key(bolt)) != NULL);
        ck_assert(bike_torques_check(&torques, &torques, NULL));
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("bolts");
    TCase *tests = tcase_create("bolts");
    tcase_add_test(tests, every_part_has_its_bolts);
    tcase_add_test(tests, each_part_is_held_by_these);
    tcase_add_test(tests, preload_is_set_before_the_stem_is_clamped);
    tcase_add_test(tests, a_torque_or_a_blank);
    tcase_add_test(tests, torques_are_read_as_they_stand_on_the_part);
    tcase_add_test(tests, a_torque_that_is_much_for_its_bolt_is_asked_about);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
