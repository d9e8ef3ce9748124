/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/numbers.h"
#include "base/text.h"
#include "say/difference.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>

/* Each verdict in each length, against words written by hand. */

#define LOWER                                                                                      \
    {                                                                                              \
        .verdict = VERDICT_LOWER, .difference = -12.4, .has_interval = true, .low = -18.3,         \
        .high = -6.4                                                                               \
    }
#define HIGHER                                                                                     \
    {                                                                                              \
        .verdict = VERDICT_HIGHER, .difference = 15, .has_interval = true, .low = 11, .high = 19   \
    }
#define LITTLE                                                                                     \
    {                                                                                              \
        .verdict = VERDICT_LESS_THAN_MATTERS, .difference = -4, .has_interval = true, .low = -6,   \
        .high = -2                                                                                 \
    }
#define NONE                                                                                       \
    {                                                                                              \
        .verdict = VERDICT_NO_DIFFERENCE, .difference = 1.2, .has_interval = true, .low = -3.2,    \
        .high = 5.4                                                                                \
    }
#define OPEN(what, more)                                                                           \
    {                                                                                              \
        .verdict = VERDICT_CANNOT_TELL, .difference = -3.1, .has_interval = true, .low = -9.2,     \
        .high = 3, .advice = (what), .advice_holds = (more)                                        \
    }

static const struct verdict_case {
    struct setup_difference difference;
    const char *text, *page, *plain;
    const char *within[4]; /* ever fewer cells */
} verdicts[] = {
    {LOWER,
     "lower by 12 (6 to 18)",
     "▼ lower by 12 mm (6 to 18)",
     "lower by 12 mm (6 to 18)",
     {"▼ lower by 12 mm (6 to 18)", "▼ lower by 12 (6 to 18)", "▼ lower 12 (6–18)", "▼ lower 12"}},
    {HIGHER,
     "higher by 15 (11 to 19)",
     "▲ higher by 15 mm (11 to 19)",
     "higher by 15 mm (11 to 19)",
     {"▲ higher by 15 mm (11 to 19)", "▲ higher by 15 (11 to 19)", "▲ higher 15 (11–19)",
      "▲ higher 15"}},
    {LITTLE,
     "differs, but by less than matters: -4 (-6 to -2)",
     "≈ differs by −4 mm, less than matters (−6 to −2)",
     "no difference that matters",
     {"≈ differs by −4, less than matters", "≈ −4, less than matters", "≈ −4 too small",
      "≈ too small"}},
    {NONE,
     "no difference that matters: 1 (-3 to 5)",
     "≈ no difference that matters: +1 mm (−3 to +5)",
     "no difference that matters",
     {"≈ no difference that matters", "≈ no difference", "≈ no change", "≈ no change"}},
    {{.verdict = VERDICT_NO_DIFFERENCE, .reason = REASON_ALWAYS_IN_BAND},
     "no difference that matters: both always in the band",
     "≈ no difference that matters: 0 mm: both always in the band",
     "no difference that matters",
     {"≈ no difference that matters", "≈ no difference", "≈ no change", "≈ no change"}},
    {OPEN(ADVICE_MORE_HOLDS, 2),
     "cannot tell yet: -3 (-9 to 3); 2 more holds",
     "? cannot tell yet: −3 mm (−9 to +3); 2 more holds of each would settle it",
     "likely 3 mm lower, but that may be chance",
     {"? −3 (−9 to +3), cannot tell yet: 2 more holds", "? cannot tell yet: 2 more holds",
      "? cannot tell: 2 more holds", "? 2 more holds"}},
    {OPEN(ADVICE_MORE_HOLDS, 12),
     "cannot tell yet: -3 (-9 to 3); 12 more holds or more",
     "? cannot tell yet: −3 mm (−9 to +3); 12 more holds or more of each would settle it",
     "likely 3 mm lower, but that may be chance",
     {"? −3 (−9 to +3), cannot tell yet: 12 more holds or more",
      "? cannot tell yet: 12 more holds or more", "? cannot tell: 12 more holds or more",
      "? 12+ more holds"}},
    {OPEN(ADVICE_PLATE, 0),
     "cannot tell yet: -3 (-9 to 3); read the plate again",
     "? cannot tell yet: −3 mm (−9 to +3); reading the plate would settle it",
     "likely 3 mm lower, but that may be chance",
     {"? −3 (−9 to +3), cannot tell yet: read the plate", "? cannot tell yet: read the plate",
      "? cannot tell: read the plate", "? read plate"}},
    {OPEN(ADVICE_BUILD_AGAIN, 0),
     "cannot tell yet: -3 (-9 to 3); take it apart and build it again",
     "? cannot tell yet: −3 mm (−9 to +3); building it again would settle it",
     "likely 3 mm lower, but that may be chance",
     {"? −3 (−9 to +3), cannot tell yet: build it again", "? cannot tell yet: build it again",
      "? cannot tell: build it again", "? build again"}},
    {OPEN(ADVICE_RETURN_TO_FIRST, 0),
     "cannot tell yet: -3 (-9 to 3); ride the first setup again",
     "? cannot tell yet: −3 mm (−9 to +3); going back to the first setup would settle it",
     "likely 3 mm lower, but that may be chance",
     {"? −3 (−9 to +3), cannot tell yet: back to the first setup",
      "? cannot tell yet: back to the first setup", "? cannot tell: back to the first setup",
      "? the first setup again"}},
    {OPEN(ADVICE_NONE, 0),
     "cannot tell yet: -3 (-9 to 3)",
     "? cannot tell yet: −3 mm (−9 to +3)",
     "likely 3 mm lower, but that may be chance",
     {"? −3 (−9 to +3), cannot tell yet", "? cannot tell yet", "? cannot tell", "? cannot tell"}},
    {{.verdict = VERDICT_CANNOT_TELL,
      .difference = 2.1,
      .advice = ADVICE_MORE_HOLDS,
      .advice_holds = 1},
     "cannot tell yet: 2; 1 more hold",
     "? cannot tell yet: +2 mm; 1 more hold of each would settle it",
     "likely 2 mm higher, but that may be chance",
     {"? +2, cannot tell yet: 1 more hold", "? cannot tell yet: 1 more hold",
      "? cannot tell: 1 more hold", "? 1 more hold"}},
    /* the advice says it on paper, the reason on a page */
    {{.verdict = VERDICT_CANNOT_TELL,
      .difference = 7,
      .has_interval = true,
      .low = -2,
      .high = 16,
      .advice = ADVICE_PLATE,
      .tie_error = 2.64,
      .reason = REASON_SENSOR_HEIGHT},
     "cannot tell yet: 7 (-2 to 16); read the plate again",
     "? cannot tell yet: +7 mm (−2 to +16): the sensors' own height is known to 2.6 mm only, "
     "and holds don't change that: read the plate again",
     "likely 7 mm higher, but that may be chance",
     {"? +7 (−2 to +16), cannot tell yet: read the plate", "? cannot tell yet: read the plate",
      "? cannot tell: read the plate", "? read plate"}},
    {{.verdict = VERDICT_NOT_COMPARABLE, .advice = ADVICE_TIE, .reason = REASON_BASELINE_NO_HOLDS},
     "not comparable: the setup that is compared against has no holds yet",
     "× not comparable: the setup that is compared against has no holds yet",
     "not comparable: the setup that is compared against has no holds yet",
     {"× not comparable: the setup that is compared against has no holds yet", "× not comparable",
      "× can't say", "× can't say"}},
    {{.verdict = VERDICT_NOT_COMPARABLE, .advice = ADVICE_TIE},
     "not comparable; tie the sensor: plate, tape or parts",
     "× not comparable; read the plate or tape, or enter the parts",
     "not comparable; tie the sensor: plate, tape or parts",
     {"× not comparable", "× not comparable", "× can't say", "× can't say"}},
    {{.verdict = VERDICT_NONE}, "", "", "", {"", "", "", ""}},
};

START_TEST(each_verdict_in_each_length)
{
    const struct verdict_case *one = &verdicts[_i];
    char text[2 * SAY_SIZE];
    say_difference(text, sizeof text, &one->difference, SAY_LONG, NULL);
    ck_assert_str_eq(text, one->text);
    say_difference(text, sizeof text, &one->difference, SAY_PAGE, NULL);
    ck_assert_str_eq(text, one->page);
    say_difference(text, sizeof text, &one->difference, SAY_PLAIN, NULL);
    ck_assert_str_eq(text, one->plain);
    for (int i = 0; i < 4; i++) {
        int width = i == 0 ? 100 : text_width(one->within[i]);
        say_difference_within(text, sizeof text, &one->difference, width);
        ck_assert_str_eq(text, one->within[i]);
    }
}
END_TEST

START_TEST(never_wider_than_told)
{
    for (int verdict = VERDICT_NONE; verdict <= VERDICT_CANNOT_TELL; verdict++) {
        struct setup_difference difference = {.verdict = (enum verdict)verdict,
                                              .difference = -123.0,
                                              .has_interval = true,
                                              .low = -1000.0,
                                              .high = 900.0,
                                              .advice = ADVICE_PLATE,
                                              .reason = REASON_NOT_TIED};
        char text[2 * SAY_SIZE];
        for (int width = 18; width < 90; width++) {
            say_difference_within(text, sizeof text, &difference, width);
            ck_assert_int_le(text_width(text), width);
        }
    }
}
END_TEST

START_TEST(a_channel_stands_before_its_difference)
{
    static const struct {
        struct setup_difference difference;
        const char *text;
    } cases[] = {
        {LOWER, "head lower by 12 (6 to 18)"},
        {NONE, "head: no difference that matters: 1 (-3 to 5)"},
        {OPEN(ADVICE_MORE_HOLDS, 1), "head: cannot tell yet: -3 (-9 to 3); 1 more hold"},
        {{.verdict = VERDICT_NOT_COMPARABLE, .reason = REASON_NOT_TIED},
         "head: not comparable: height not tied: read the plate, the tape, or enter the parts of "
         "its builds or that no sensor moved"},
        {{.verdict = VERDICT_NONE}, ""},
    };
    char text[SAY_SIZE];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        say_difference(text, sizeof text, &cases[i].difference, SAY_LONG, "head");
        ck_assert_str_eq(text, cases[i].text);
    }
}
END_TEST

START_TEST(shares_are_told_in_points)
{
    struct setup_difference share = {.verdict = VERDICT_LOWER,
                                     .difference = -0.12,
                                     .has_interval = true,
                                     .low = -0.2,
                                     .high = -0.04};
    char text[SAY_SIZE];
    say_share_difference(text, sizeof text, &share);
    ck_assert_str_eq(text, "less by 12 (4 to 20) points");
    share = (struct setup_difference){.verdict = VERDICT_HIGHER, .difference = 0.3};
    say_share_difference(text, sizeof text, &share);
    ck_assert_str_eq(text, "more by 30 points");
    share.verdict = VERDICT_CANNOT_TELL;
    say_share_difference(text, sizeof text, &share);
    ck_assert_str_eq(text, "cannot tell yet: 30 points");
    /* the limits where they are known, else the reason, else what there is */
    share = (struct setup_difference){.verdict = VERDICT_NO_DIFFERENCE,
                                      .difference = 0.02,
                                      .has_interval = true,
                                      .low = -0.02,
                                      .high = 0.04,
                                      .reason = REASON_NEVER_IN_BAND};
    say_share_difference(text, sizeof text, &share);
    ck_assert_str_eq(text, "no difference that matters: 2 (-2 to 4) points");
    share.has_interval = false;
    say_share_difference(text, sizeof text, &share);
    ck_assert_str_eq(text, "no difference that matters: both never in the band");
    share.reason = REASON_NONE;
    say_share_difference(text, sizeof text, &share);
    ck_assert_str_eq(text, "no difference that matters: 2 points");
}
END_TEST

START_TEST(reasons_say_what_to_do)
{
    static const char *const words[] = {
        [REASON_NONE] = "",
        [REASON_HOLDS] = "3 more holds of each of the two would likely settle it",
        [REASON_MANY_HOLDS] = "more than 3 holds of each would be needed: the two are close to "
                              "what matters",
        [REASON_SENSOR_HEIGHT] = "the sensors' own height is known to 1.5 mm only, and holds "
                                 "don't change that: read the plate again",
        [REASON_TIE_LEAVES] = "the tie leaves 1.5 mm, and holds don't change that: build it again "
                              "and read the plate",
        [REASON_ORDER_TOGETHER] = "setup and trial order go together: ride the first setup again, "
                                  "twice",
        [REASON_ORDER_MATTERED] = "height changed with trial order, and order and setup go "
                                  "together: ride the first setup again, twice",
        [REASON_NOT_TIED] = "height not tied: read the plate, the tape, or enter the parts of its "
                            "builds or that no sensor moved",
        [REASON_BASELINE_NOT_TIED] = "the setup that is compared against is not tied: read its "
                                     "plate or tape",
        [REASON_BASELINE_NO_HOLDS] = "the setup that is compared against has no holds yet",
        [REASON_BASELINE_NO_GUIDED_HOLDS] = "the setup that is compared against has no guided "
                                            "holds yet",
        [REASON_ALWAYS_IN_BAND] = "both always in the band",
        [REASON_NEVER_IN_BAND] = "both never in the band",
        [REASON_NO_SPREAD] = "the holds of each setup are all the same: nothing says how well "
                             "they repeat",
        [REASON_STEPPED] =
            "the sensor moved within a hold: leave that hold out (u), or build again "
            "with a plate",
        [REASON_SENSOR_OR_RIDER] = "builds of one setup disagree on this channel alone: did its "
                                   "sensor slip? Say so (,), or read the plate",
        [REASON_NOT_REPEATED] = "no setup has been held twice, so nothing says how well holds "
                                "repeat",
    };
    ck_assert_uint_eq(sizeof words / sizeof words[0], COMPARE_REASONS);
    for (int i = 0; i < COMPARE_REASONS; i++) {
        struct setup_difference difference = {
            .reason = (enum compare_reason)i, .advice_holds = 3, .tie_error = 1.5};
        char text[SAY_SIZE];
        say_reason(text, sizeof text, &difference);
        ck_assert_str_eq(text, words[i]);
    }
}
END_TEST

START_TEST(exports_have_the_verdict_alone)
{
    static const char *const words[] = {
        [VERDICT_NONE] = "",
        [VERDICT_NOT_COMPARABLE] = "not comparable",
        [VERDICT_LESS_THAN_MATTERS] = "differs, but by less than matters",
        [VERDICT_NO_DIFFERENCE] = "no difference that matters",
        [VERDICT_LOWER] = "lower",
        [VERDICT_HIGHER] = "higher",
        [VERDICT_CANNOT_TELL] = "cannot tell yet",
    };
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        ck_assert_str_eq(say_verdict((enum verdict)i), words[i]);
    }
    char text[SAY_SIZE];
    /* the setup by its number, where that is known */
    const struct setup_difference back = {.verdict = VERDICT_CANNOT_TELL,
                                          .difference = -3,
                                          .has_interval = true,
                                          .low = -9,
                                          .high = 3,
                                          .advice = ADVICE_RETURN_TO_FIRST,
                                          .first_setup = 4};
    say_difference_within(text, sizeof text, &back, 20);
    ck_assert_str_eq(text, "? setup 4 again");
    say_difference(text, sizeof text, &back, SAY_PAGE, NULL);
    ck_assert_str_eq(text,
                     "? cannot tell yet: −3 mm (−9 to +3); going back to setup 4 would settle it");
    say_advice(text, sizeof text, ADVICE_TIE, 0);
    ck_assert_str_eq(text, "tie the sensor: plate, tape or parts");
    say_advice(text, sizeof text, ADVICE_NONE, 0);
    ck_assert_str_eq(text, "");
}
END_TEST

START_TEST(what_cannot_be_compared_has_no_value)
{
    struct setup_difference difference = {.verdict = VERDICT_NOT_COMPARABLE};
    ck_assert(!say_has_value(&difference));
    difference.verdict = VERDICT_NONE;
    ck_assert(!say_has_value(&difference));
    difference.verdict = VERDICT_CANNOT_TELL;
    ck_assert(say_has_value(&difference));
    /* not comparable, and yet with an interval: the value as it stands */
    difference = (struct setup_difference)OPEN(ADVICE_NONE, 0);
    difference.verdict = VERDICT_NOT_COMPARABLE;
    char text[SAY_SIZE];
    say_difference(text, sizeof text, &difference, SAY_LONG, NULL);
    ck_assert_str_eq(text, "not comparable; -3 (-9 to 3) as it stands");
    /* a value that is none is not one, whatever the verdict */
    difference = (struct setup_difference)LOWER;
    difference.difference = NAN;
    ck_assert(!say_has_value(&difference));
}
END_TEST

/* Read by the rider: why, else what to do, and the value where there is one. */
START_TEST(not_comparable_says_why_or_what_to_do)
{
    static const struct {
        enum compare_reason reason;
        enum compare_advice advice;
        int holds;
        bool stands;
        const char *words;
    } cases[] = {
        {REASON_NEVER_IN_BAND, ADVICE_PLATE, 0, true,
         "not comparable: both never in the band; -3 (-9 to 3) as it stands"},
        {REASON_NEVER_IN_BAND, ADVICE_NONE, 0, false, "not comparable: both never in the band"},
        {REASON_NONE, ADVICE_TIE, 0, true,
         "not comparable; -3 (-9 to 3) as it stands; tie the sensor: plate, tape or parts"},
        {REASON_NONE, ADVICE_TIE, 0, false, "not comparable; tie the sensor: plate, tape or parts"},
        {REASON_NONE, ADVICE_MORE_HOLDS, 2, false, "not comparable; 2 more holds"},
        {REASON_NONE, ADVICE_NONE, 0, true, "not comparable; -3 (-9 to 3) as it stands"},
        {REASON_NONE, ADVICE_NONE, 0, false, "not comparable"},
        {REASON_HOLDS, ADVICE_NONE, 1, false,
         "not comparable: 1 more hold of each of the two would likely settle it"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct setup_difference difference = {.verdict = VERDICT_NOT_COMPARABLE,
                                              .difference = cases[i].stands ? -3.0 : (double)NAN,
                                              .has_interval = cases[i].stands,
                                              .low = -9.0,
                                              .high = 3.0,
                                              .reason = cases[i].reason,
                                              .advice = cases[i].advice,
                                              .advice_holds = cases[i].holds};
        char text[SAY_SIZE];
        say_difference(text, sizeof text, &difference, SAY_PLAIN, NULL);
        ck_assert_str_eq(text, cases[i].words);
    }
}
END_TEST

/* Where not even the shortest fits, it stands there whole: who draws cuts it. */
START_TEST(the_shortest_is_the_last)
{
    const struct setup_difference lower = LOWER;
    char text[SAY_SIZE];
    say_difference_within(text, sizeof text, &lower, 3);
    ck_assert_str_eq(text, "▼ lower 12");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("difference");
    TCase *tests = tcase_create("difference");
    tcase_add_loop_test(tests, each_verdict_in_each_length, 0,
                        (int)(sizeof verdicts / sizeof verdicts[0]));
    tcase_add_test(tests, never_wider_than_told);
    tcase_add_test(tests, a_channel_stands_before_its_difference);
    tcase_add_test(tests, shares_are_told_in_points);
    tcase_add_test(tests, reasons_say_what_to_do);
    tcase_add_test(tests, exports_have_the_verdict_alone);
    tcase_add_test(tests, what_cannot_be_compared_has_no_value);
    tcase_add_test(tests, not_comparable_says_why_or_what_to_do);
    tcase_add_test(tests, the_shortest_is_the_last);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
