/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* When the cue is heard: by hand, a step a tenth of a second. */
#include "measure/cue_sound.h"
#include "support/test_main.h"

#define STEP_S 0.1

struct rider {
    struct cue_sound_machine machine;
    double time_s;
    struct cue_ask ask;
    int heard[CUE_SOUNDS + 1]; /* since it was last looked at */
    double first_s;            /* when the first of them came, since then */
    double last_s;
};

static void goes_on(struct rider *rider, double seconds, bool wanted)
{
    for (int i = 0; i <= CUE_SOUND_NONE; i++) {
        rider->heard[i] = 0;
    }
    rider->first_s = rider->last_s = -1.0;
    int steps = (int)(seconds / STEP_S + 0.5);
    for (int i = 0; i < steps; i++) {
        enum cue_sound sound = cue_sound_step(&rider->machine, rider->time_s, &rider->ask, wanted);
        rider->heard[sound]++;
        if (sound != CUE_SOUND_NONE) {
            rider->first_s = rider->first_s < 0.0 ? i * STEP_S : rider->first_s;
            rider->last_s = i * STEP_S;
        }
        rider->time_s += STEP_S;
    }
}

static void is(struct rider *rider, int channel, enum cue_state cue)
{
    rider->ask = (struct cue_ask){channel, cue};
}

START_TEST(each_way_has_its_sound_and_nothing_is_heard_while_in)
{
    struct rider rider = {.time_s = 100.0};
    is(&rider, 0, CUE_IN);
    goes_on(&rider, 60.0, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_NONE], 600);
    is(&rider, 0, CUE_HIGH);
    goes_on(&rider, 2.0, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_LOWER], 1);
    ck_assert_double_eq(rider.first_s, 0.0); /* the cue has had its delay */
    is(&rider, 0, CUE_IN);
    goes_on(&rider, 60.0, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_IN], 1);
    ck_assert_int_eq(rider.heard[CUE_SOUND_NONE], 599);
    is(&rider, 1, CUE_LOW);
    goes_on(&rider, 2.0, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_RAISE], 1);
    is(&rider, 0, CUE_HIGH); /* the chest is in, the head is out: no 'in again' between */
    goes_on(&rider, 2.0, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_LOWER], 1);
    ck_assert_int_eq(rider.heard[CUE_SOUND_IN], 0);
}
END_TEST

START_TEST(one_that_stays_out_is_told_after_5_s_then_every_15_and_then_no_more)
{
    struct rider rider = {.time_s = 100.0};
    is(&rider, 0, CUE_LOW);
    goes_on(&rider, 4.9, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_RAISE], 1); /* at 0 */
    goes_on(&rider, 15.0, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_RAISE], 1); /* at 5 */
    ck_assert_double_eq_tol(rider.first_s, 0.1, 1e-6);
    goes_on(&rider, 15.0, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_RAISE], 1); /* at 20 */
    goes_on(&rider, 15.0, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_RAISE], 1); /* at 35 */
    goes_on(&rider, 200.0, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_RAISE], 0);
    is(&rider, 0, CUE_IN);
    goes_on(&rider, 1.0, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_IN], 1);
}
END_TEST

START_TEST(at_most_12_in_any_10_min_then_5_min_of_silence)
{
    struct rider rider = {.time_s = 100.0};
    int told = 0, again = 0;
    for (int i = 0; i < 12; i++) { /* out for 1 s every 20 s: 12 in 4 minutes */
        is(&rider, 0, CUE_HIGH);
        goes_on(&rider, 1.0, true);
        told += rider.heard[CUE_SOUND_LOWER];
        is(&rider, 0, CUE_IN);
        goes_on(&rider, 19.0, true);
        again += rider.heard[CUE_SOUND_IN];
    }
    ck_assert_int_eq(told, 12);
    ck_assert_int_eq(again, 12);
    ck_assert(!cue_sound_is_spent(&rider.machine, rider.time_s));
    is(&rider, 0, CUE_HIGH);
    goes_on(&rider, 299.9, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_LOWER], 0);
    ck_assert(cue_sound_is_spent(&rider.machine, rider.time_s - STEP_S));
    is(&rider, 0, CUE_IN); /* nothing was told, so nothing is again */
    goes_on(&rider, 60.1, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_IN], 0);
    ck_assert(!cue_sound_is_spent(&rider.machine, rider.time_s));
    is(&rider, 0, CUE_HIGH); /* now 10 minutes after the first of them */
    goes_on(&rider, 1.0, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_LOWER], 1);
}
END_TEST

START_TEST(the_budget_holds_over_any_10_minutes_of_one_who_is_hardly_ever_in)
{
    struct rider rider = {.time_s = 0.0};
    static double at_s[2000];
    int count = 0;
    for (int i = 0; i < 1800; i++) { /* three hours: out 5 s, in 1 s */
        is(&rider, 0, i % 2 ? CUE_HIGH : CUE_LOW);
        double began_s = rider.time_s;
        goes_on(&rider, 5.0, true);
        if (rider.heard[CUE_SOUND_LOWER] + rider.heard[CUE_SOUND_RAISE] > 0) {
            at_s[count++] = began_s + rider.first_s;
        }
        is(&rider, 0, CUE_IN);
        goes_on(&rider, 1.0, true);
    }
    ck_assert_int_gt(count, 100);
    for (int i = 12; i < count; i++) {
        ck_assert_double_ge(at_s[i] - at_s[i - 12], 600.0 - 1e-6);
    }
}
END_TEST

START_TEST(nothing_is_heard_where_nothing_is_wanted)
{
    struct rider rider = {.time_s = 100.0};
    is(&rider, 0, CUE_HIGH);
    goes_on(&rider, 60.0, false);
    ck_assert_int_eq(rider.heard[CUE_SOUND_NONE], 600);
    goes_on(&rider, 1.0, true); /* out already as it is wanted */
    ck_assert_int_eq(rider.heard[CUE_SOUND_LOWER], 1);
    goes_on(&rider, 1.0, false); /* the hold ends: that it is in later is not told */
    is(&rider, 0, CUE_IN);
    goes_on(&rider, 1.0, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_IN], 0);
    is(&rider, -1, CUE_NO_READING);
    goes_on(&rider, 1.0, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_NONE], 10);
}
END_TEST

START_TEST(a_short_loss_of_readings_tells_nothing_twice)
{
    struct rider rider = {.time_s = 100.0};
    is(&rider, 0, CUE_HIGH);
    goes_on(&rider, 1.0, true);
    is(&rider, 0, CUE_NO_READING);
    goes_on(&rider, 1.0, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_NONE], 10);
    is(&rider, 0, CUE_HIGH);
    goes_on(&rider, 2.9, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_NONE], 29);
    goes_on(&rider, 0.2, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_LOWER], 1); /* 5 s after the first */
}
END_TEST

/* Another way is another cue: it is told at once. */
START_TEST(from_one_side_to_the_other)
{
    struct rider rider = {.time_s = 100.0};
    is(&rider, 0, CUE_HIGH);
    goes_on(&rider, 1.0, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_LOWER], 1);
    is(&rider, 0, CUE_LOW);
    goes_on(&rider, 1.0, true);
    ck_assert_int_eq(rider.heard[CUE_SOUND_RAISE], 1);
    ck_assert_double_eq(rider.first_s, 0.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("the cue as it is heard");
    TCase *tcase = tcase_create("cue sound");
    tcase_add_test(tcase, each_way_has_its_sound_and_nothing_is_heard_while_in);
    tcase_add_test(tcase, one_that_stays_out_is_told_after_5_s_then_every_15_and_then_no_more);
    tcase_add_test(tcase, at_most_12_in_any_10_min_then_5_min_of_silence);
    tcase_add_test(tcase, the_budget_holds_over_any_10_minutes_of_one_who_is_hardly_ever_in);
    tcase_add_test(tcase, nothing_is_heard_where_nothing_is_wanted);
    tcase_add_test(tcase, a_short_loss_of_readings_tells_nothing_twice);
    tcase_add_test(tcase, from_one_side_to_the_other);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
