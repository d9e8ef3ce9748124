/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What the rider is asked, of the cues of two channels: by hand, state by state. */
#include "measure/cue_ask.h"
#include "support/test_main.h"

static struct cue_machine made[3];
static const struct cue_machine *machine[3];

/* Channel c so far over its target of 0, with a band of +10 and -20, in that state. */
static void put(int c, double above_mm, enum cue_state state)
{
    made[c] = (struct cue_machine){.settings = {.band_above_mm = 10.0, .band_below_mm = 20.0},
                                   .slow_mm = above_mm,
                                   .state = state};
    machine[c] = &made[c];
}

static void step(struct cue_ask *ask, int channel, enum cue_state cue)
{
    cue_ask_step(ask, machine, 3);
    ck_assert_int_eq(ask->channel, channel);
    ck_assert_int_eq(ask->cue, cue);
}

START_TEST(nothing_is_asked_without_a_band)
{
    struct cue_ask ask = {.channel = 1};
    machine[0] = machine[1] = machine[2] = NULL;
    step(&ask, -1, CUE_NO_READING);
}
END_TEST

START_TEST(channels_that_are_in_take_no_turns)
{
    struct cue_ask ask = {.channel = -1};
    machine[0] = NULL;
    for (int i = 0; i < 20; i++) { /* the nearer to its limit one after the other */
        put(1, i % 2 ? 9.0 : 0.0, CUE_IN);
        put(2, i % 2 ? 0.0 : -19.0, CUE_IN);
        step(&ask, 1, CUE_IN);
    }
}
END_TEST

START_TEST(one_that_is_asked_for_stays_until_it_is_in)
{
    struct cue_ask ask = {.channel = -1};
    put(0, 0.0, CUE_IN);
    put(1, 12.0, CUE_HIGH);
    machine[2] = NULL;
    step(&ask, 1, CUE_HIGH);
    put(0, -90.0, CUE_LOW); /* further out, and later */
    step(&ask, 1, CUE_HIGH);
    put(1, 9.0, CUE_HIGH); /* not yet below the dead-band */
    step(&ask, 1, CUE_HIGH);
    put(1, -21.0, CUE_LOW); /* from one side to the other */
    step(&ask, 1, CUE_LOW);
    put(1, 0.0, CUE_IN);
    step(&ask, 0, CUE_LOW);
    put(0, 0.0, CUE_IN);
    step(&ask, 0, CUE_IN);
}
END_TEST

START_TEST(furthest_out_is_by_the_share_of_its_limit)
{
    struct cue_ask ask = {.channel = -1};
    put(0, -24.0, CUE_LOW); /* 1.2 of 20 */
    put(1, 13.0, CUE_HIGH); /* 1.3 of 10 */
    machine[2] = NULL;
    step(&ask, 1, CUE_HIGH);
    ask.channel = 7; /* a channel that is not there any more */
    put(0, -30.0, CUE_LOW);
    step(&ask, 0, CUE_LOW);
    ask.channel = -1; /* what has no width to pass tells no share of it */
    put(0, -12.0, CUE_LOW);
    made[0].settings.band_below_mm = 0.0;
    step(&ask, 1, CUE_HIGH);
}
END_TEST

START_TEST(one_without_readings_is_said_before_all_are_in)
{
    struct cue_ask ask = {.channel = -1};
    put(0, 0.0, CUE_IN);
    put(1, 0.0, CUE_NO_READING);
    put(2, 0.0, CUE_IN);
    step(&ask, 1, CUE_NO_READING);
    put(2, -30.0, CUE_LOW);
    step(&ask, 2, CUE_LOW); /* what can be followed comes first */
    put(1, 0.0, CUE_IN);
    put(2, 0.0, CUE_NO_READING);
    step(&ask, 2, CUE_NO_READING);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("what is asked");
    TCase *tcase = tcase_create("cue ask");
    tcase_add_test(tcase, nothing_is_asked_without_a_band);
    tcase_add_test(tcase, channels_that_are_in_take_no_turns);
    tcase_add_test(tcase, one_that_is_asked_for_stays_until_it_is_in);
    tcase_add_test(tcase, furthest_out_is_by_the_share_of_its_limit);
    tcase_add_test(tcase, one_without_readings_is_said_before_all_are_in);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
