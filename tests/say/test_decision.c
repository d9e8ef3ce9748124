/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What a session came to, as the rider reads it. */
#include "say/decision.h"

#include "base/numbers.h"
#include "support/test_main.h"

START_TEST(each_decision_with_and_without_a_name)
{
    static const struct {
        enum decision decision;
        const char *named, *bare;
    } said[] = {
        {DECISION_NOTHING, "No measurement counts yet: no setup can be named.",
         "No measurement counts yet: no setup can be named."},
        {DECISION_NONE, "No setup has been chosen yet.", "No setup has been chosen yet."},
        {DECISION_STAY, "Keep the bike as it came.", "Keep the bike as it came."},
        {DECISION_RIDE, "Ride setup 3: pads down.", "Ride setup 3."},
        {DECISION_UNMEASURED, "Setup 3, pads down: chosen, but not measured.",
         "Setup 3: chosen, but not measured."},
        {DECISION_STRAINED, "Setup 3, pads down: not on the road before seeing ahead is easier.",
         "Setup 3: not on the road before seeing ahead is easier."},
        {DECISION_LIMIT, "Setup 3, pads down: not as it is.", "Setup 3: not as it is."},
        {DECISION_NUMB, "Setup 3, pads down: not before the numbness is gone.",
         "Setup 3: not before the numbness is gone."},
        {DECISION_FAILED, "Do not ride setup 3: it FAILED, since you cannot see ahead on it.",
         "Do not ride setup 3: it FAILED, since you cannot see ahead on it."},
    };
    char text[SAY_SIZE];
    ck_assert_uint_eq(sizeof said / sizeof said[0], DECISIONS);
    for (size_t i = 0; i < sizeof said / sizeof said[0]; i++) {
        say_decision(text, sizeof text, said[i].decision, 3, "pads down");
        ck_assert_str_eq(text, said[i].named);
        say_decision(text, sizeof text, said[i].decision, 3, "");
        ck_assert_str_eq(text, said[i].bare);
    }
}
END_TEST

START_TEST(what_it_did_against_the_first_or_another)
{
    static const struct {
        enum decision_did did;
        const char *as_it_came, *other;
    } said[] = {
        {DID_CHANGE, "Against the bike as it came: head 18 mm lower.",
         "Against setup 2: head 18 mm lower."},
        {DID_TOO_LITTLE, "Against the bike as it came your height did not change by what matters.",
         "Against setup 2 your height did not change by what matters."},
        {DID_CANNOT_TELL, "Whether you are lower than on the bike as it came can't be told yet.",
         "Whether you are lower than on setup 2 can't be told yet."},
        {DID_NOT_COMPARE, "Your height was not compared with the bike as it came.",
         "Your height was not compared with setup 2."},
    };
    char text[SAY_SIZE];
    ck_assert_uint_eq(sizeof said / sizeof said[0], DECISION_DOINGS);
    for (size_t i = 0; i < sizeof said / sizeof said[0]; i++) {
        say_did(text, sizeof text, said[i].did, 0, "head 18 mm lower");
        ck_assert_str_eq(text, said[i].as_it_came);
        say_did(text, sizeof text, said[i].did, 2, "head 18 mm lower");
        ck_assert_str_eq(text, said[i].other);
    }
}
END_TEST

START_TEST(what_it_costs)
{
    static const struct {
        enum decision_cost cost;
        const char *words;
    } said[] = {
        {COST_SOME, "It costs: neck 3 instead of 2."},
        {COST_NONE, "It cost nothing of what you were asked about."},
        {COST_RATED, "You said of it: neck 3 instead of 2."},
        {COST_NOT_ASKED, "What it costs you was not asked."},
    };
    char text[SAY_SIZE];
    ck_assert_uint_eq(sizeof said / sizeof said[0], DECISION_COSTS);
    for (size_t i = 0; i < sizeof said / sizeof said[0]; i++) {
        say_cost(text, sizeof text, said[i].cost, "neck 3 instead of 2");
        ck_assert_str_eq(text, said[i].words);
    }
    say_instead(text, sizeof text, "neck", 3, 2, "");
    ck_assert_str_eq(text, "neck 3 instead of 2");
    say_instead(text, sizeof text, "it can be held", 20, 45, "min");
    ck_assert_str_eq(text, "it can be held 20 min instead of 45");
    say_moved_by(text, sizeof text, "head", -18.2);
    ck_assert_str_eq(text, "head 18 mm lower");
    say_moved_by(text, sizeof text, "chest", 6.7);
    ck_assert_str_eq(text, "chest 7 mm higher");
}
END_TEST

START_TEST(what_to_ride_meanwhile)
{
    static const struct {
        int setup;
        bool road;
        const char *words;
    } said[] = {
        {-1, false, "What to ride meanwhile: ask your fitter."},
        {0, true, "On the road meanwhile: the bike as it came."},
        {2, true, "On the road meanwhile: setup 2."},
        {0, false, "Meanwhile ride the bike as it came."},
        {2, false, "Meanwhile ride setup 2."},
    };
    char text[SAY_SIZE];
    for (size_t i = 0; i < sizeof said / sizeof said[0]; i++) {
        say_meanwhile(text, sizeof text, said[i].setup, said[i].road);
        ck_assert_str_eq(text, said[i].words);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("decision");
    TCase *tests = tcase_create("decision");
    tcase_add_test(tests, each_decision_with_and_without_a_name);
    tcase_add_test(tests, what_it_did_against_the_first_or_another);
    tcase_add_test(tests, what_it_costs);
    tcase_add_test(tests, what_to_ride_meanwhile);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
