/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Why a setup can't be taken out of a session, and that it is no other one. */
#include "say/setup.h"

#include "say/say.h"
#include "support/bikes.h"
#include "support/test_main.h"

#include <stdlib.h>

static struct session_record *record;

/* Three setups with a build each, compared against the first. */
static void begin(void)
{
    record = malloc(sizeof *record);
    ck_assert_ptr_nonnull(record);
    session_record_clear(record);
    record->setup_count = record->build_count = 3;
    record->settings.baseline_setup = 1;
    for (int i = 0; i < 3; i++) {
        record->setup[i].number = i + 1;
        record->setup[i].bike = usual_bike();
        record->build[i] = (struct build_record){.setup = i, .ordinal = 1};
    }
}

static void end(void)
{
    free(record);
}

static void nothing(void)
{
}

static void held(void)
{
    record->hold[record->hold_count++].build = 1;
}

static void held_on_others(void)
{
    record->hold_count = 2;
    record->hold[1].build = 2;
}

static void target_captured(void)
{
    record->target[record->target_count++] = (struct target_record){.build = 1, .capture = 0};
}

static void target_entered(void)
{
    record->target[record->target_count++] = (struct target_record){.build = 1, .capture = -1};
}

static void ridden(void)
{
    record->run_count = 2;
    record->run[1].setup = 1;
}

static void checked(void)
{
    record->check_count = 2;
    record->check[0].build = 0;
    record->check[1].build = 1;
}

static void checked_before_any_build(void)
{
    record->check[record->check_count++].build = -1;
}

static void chosen(void)
{
    record->settings.chosen_setup = 2;
}

static void compared_against(void)
{
    record->settings.baseline_setup = 2;
}

static void alone(void)
{
    record->setup_count = record->build_count = 1;
    record->setup[0].number = 2;
    record->settings.baseline_setup = 2;
}

/* Of the setup that has number 2. */
START_TEST(what_makes_a_setup_stay)
{
    static const char captures[] = "setup 2 has holds, runs, a target or a check of the sensors";
    static const struct {
        void (*make)(void);
        const char *why; /* NULL: it may go */
    } rows[] = {
        {nothing, NULL},
        {held, captures},
        {held_on_others, NULL},
        {target_captured, captures},
        {target_entered, NULL},
        {ridden, captures},
        {checked, captures},
        {checked_before_any_build, NULL},
        {chosen, "setup 2 is what the rider goes home with: choose another first"},
        {compared_against,
         "setup 2 is what the others are compared against: name another baseline first"},
        {alone, "setup 2 is the only one"},
    };
    for (size_t r = 0; r < sizeof rows / sizeof rows[0]; r++) {
        char why[SAY_SIZE];
        bool has_captures;
        end();
        begin();
        rows[r].make();
        bool stays = say_setup_stays(why, sizeof why, record, session_record_setup(record, 2),
                                     &has_captures);
        ck_assert_msg(stays == (rows[r].why != NULL), "row %zu: %s", r, why);
        ck_assert_int_eq(has_captures, rows[r].why == captures);
        if (stays) {
            ck_assert_str_eq(why, rows[r].why);
        }
    }
}
END_TEST

START_TEST(another_setup_has_other_parts)
{
    char text[SAY_SIZE];
    record->setup[1].bike.value[BIKE_SPACERS] = 10.0;
    record->setup[2].bike.value[BIKE_SPACERS] = 30.0;
    say_other_parts(text, sizeof text, &record->setup[1], &record->setup[2].bike, 3);
    ck_assert_str_eq(text, "setups 2 and 3 have other parts (spacers 10 to 30)");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("setup");
    TCase *tests = tcase_create("setup");
    suite_add_tcase(suite, tests);
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, what_makes_a_setup_stay);
    tcase_add_test(tests, another_setup_has_other_parts);
    return test_main(suite);
}
