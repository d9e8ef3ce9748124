/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* One thing is wrong with a session of two setups, builds, captures and holds: what goes, what
 * stays with less, what is told, and where what is left points. */
#include "record/record.h"
#include "record/sound.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define TOLD_MOST 20

struct told {
    int count;
    struct record_damage damage[TOLD_MOST];
    char why[TOLD_MOST][160];
};

static struct session_record *record;
static struct record_faults *faults;
static struct told told;

static void take_told(void *context, const struct record_damage *damage)
{
    struct told *all = context;
    ck_assert_int_lt(all->count, TOLD_MOST);
    all->damage[all->count] = *damage;
    snprintf(all->why[all->count++], sizeof all->why[0], "%s", damage->why);
}

/* All rows of what is counted were there. */
static void note_rows(void)
{
    const struct {
        enum stored_table_id table;
        int count;
    } rows[] = {
        {TABLE_PLACING, record->placing_count}, {TABLE_SETUP, record->setup_count},
        {TABLE_BUILD, record->build_count},     {TABLE_CAPTURE, record->capture_count},
        {TABLE_TARGET, record->target_count},   {TABLE_HOLD, record->hold_count},
        {TABLE_MARK, record->mark_count},       {TABLE_TIE_READING, record->tie_reading_count},
        {TABLE_NOTE, record->note_count},       {TABLE_SENSOR_CHECK, record->check_count}};
    for (size_t r = 0; r < sizeof rows / sizeof rows[0]; r++) {
        for (int i = 0; i < rows[r].count; i++) {
            record_fault_there(faults, rows[r].table, i);
        }
    }
}

static void begin(void)
{
    record = malloc(sizeof *record);
    faults = record_faults_create();
    ck_assert(record != NULL && faults != NULL);
    session_record_clear(record);
    memset(&told, 0, sizeof told);
    record->last_sample = 5000;
    record->placing_count = 1;
    record->placing[0].channel_count = 2;
    record->setup_count = record->build_count = record->capture_count = record->hold_count = 2;
    for (int i = 0; i < 2; i++) {
        record->setup[i].number = i + 1;
        record->build[i].setup = i;
        record->build[i].placing = 0;
        record->capture[i].first_sample = 1000 + 1000 * i;
        record->capture[i].last_sample = 1500 + 1000 * i;
        record->hold[i].number = i + 1;
        record->hold[i].capture = record->hold[i].build = i;
        record->hold[i].target = 0;
    }
    record->target_count = 1;
    record->target[0].capture = -1; /* entered */
    record->target[0].build = 0;
    record->mark_count = record->note_count = record->tie_reading_count = record->check_count = 1;
    record->mark[0] = (struct mark_record){.hold = 1, .sample = 2100};
    record->note[0].sample = 4000;
    record->tie_reading[0].build = 1;
    record->tie_reading[0].channel = 1;
    record->check[0].placing = 0;
    record->check[0].capture = 0;
    record->check[0].channel = 1;
    record->check[0].phase_count = 2;
    note_rows();
}

static void make_sound(void)
{
    record_make_sound(record, faults, take_told, &told);
}

static void end(void)
{
    record_faults_destroy(faults);
    free(record);
}

/* The only one told. */
static void check_told(enum stored_table_id table, int index, bool kept, const char *why)
{
    ck_assert_int_eq(told.count, 1);
    ck_assert_int_eq(told.damage[0].table, table);
    ck_assert_int_eq(told.damage[0].index, index);
    ck_assert(told.damage[0].kept == kept);
    ck_assert_str_eq(told.why[0], why);
}

static void check_seconds(int at, int64_t first, int64_t last)
{
    ck_assert_int_eq(told.damage[at].first_sample, first);
    ck_assert_int_eq(told.damage[at].last_sample, last);
}

START_TEST(a_sound_session_stays)
{
    struct session_record *before = malloc(sizeof *before);
    ck_assert_ptr_nonnull(before);
    memcpy(before, record, sizeof *before);
    make_sound();
    ck_assert_int_eq(told.count, 0);
    ck_assert_mem_eq(before, record, sizeof *before);
    free(before);
}
END_TEST

START_TEST(what_points_at_a_damaged_one_goes_with_it)
{
    record_fault(faults, TABLE_SETUP, 0, "its number is none");
    record_fault(faults, TABLE_SETUP, 0, "a second reason");
    make_sound();
    static const struct {
        enum stored_table_id table;
        const char *why;
    } rows[] = {
        {TABLE_HOLD, "its target is number 1, which is damaged"}, /* told while it is found */
        {TABLE_SETUP, "its number is none"},
        {TABLE_BUILD, "its setup is number 1, which is damaged"},
        {TABLE_TARGET, "its build is number 1, which is damaged"},
        {TABLE_HOLD, "its build is number 1, which is damaged"}};
    ck_assert_int_eq(told.count, 5);
    for (int i = 0; i < 5; i++) {
        ck_assert_int_eq(told.damage[i].table, rows[i].table);
        ck_assert_str_eq(told.why[i], rows[i].why);
        ck_assert(told.damage[i].kept == (i == 0));
    }
    check_seconds(4, 1000, 1500); /* the hold's own */
    ck_assert_int_eq(record->setup_count, 1);
    ck_assert_int_eq(record->setup[0].number, 2);
    ck_assert_int_eq(record->build_count, 1);
    ck_assert_int_eq(record->build[0].setup, 0);
    ck_assert_int_eq(record->hold_count, 1);
    ck_assert_int_eq(record->hold[0].number, 2);
    ck_assert_int_eq(record->hold[0].build, 0);
    ck_assert_int_eq(record->hold[0].capture, 1); /* no capture went */
    ck_assert_int_eq(record->hold[0].target, -1);
    ck_assert_int_eq(record->target_count, 0);
    ck_assert_int_eq(record->mark[0].hold, 0);
    ck_assert_int_eq(record->tie_reading[0].build, 0);
}
END_TEST

START_TEST(a_place_that_is_not_there)
{
    record->hold[1].capture = 850;
    record->mark[0].hold = -1;
    make_sound();
    check_told(TABLE_HOLD, 1, false, "its capture is number 851, which is not there");
    check_seconds(0, 0, 0);
    ck_assert_int_eq(record->hold_count, 1);
}
END_TEST

START_TEST(a_place_below_the_first)
{
    record->tie_reading[0].build = -7;
    make_sound();
    check_told(TABLE_TIE_READING, 0, false, "its build is number -6, which is not there");
    ck_assert_int_eq(record->tie_reading_count, 0);
}
END_TEST

START_TEST(a_place_that_must_be_said)
{
    record->mark[0].hold = -1; /* that may lack */
    record->hold[1].build = -1;
    make_sound();
    check_told(TABLE_HOLD, 1, false, "it has no build");
    check_seconds(0, 2000, 2500);
    ck_assert_int_eq(record->mark_count, 1);
}
END_TEST

/* Where none may lack the same is said. */
START_TEST(a_place_that_can_never_lack)
{
    record->build[1].setup = -1;
    make_sound();
    ck_assert_int_ge(told.count, 1);
    ck_assert_int_eq(told.damage[0].table, TABLE_BUILD);
    ck_assert_int_eq(told.damage[0].index, 1);
    ck_assert_str_eq(told.why[0], "it has no setup");
}
END_TEST

START_TEST(what_can_be_spared_is)
{
    record->hold[0].target = 3;
    make_sound();
    check_told(TABLE_HOLD, 0, true, "its target is number 4, which is not there");
    ck_assert_int_eq(record->hold_count, 2);
    ck_assert_int_eq(record->hold[0].target, -1);
    ck_assert_int_eq(record->hold[1].target, 0);
}
END_TEST

START_TEST(what_was_taken_back_goes_untold)
{
    record->note[0].undone = true;
    make_sound();
    ck_assert_int_eq(told.count, 0);
    ck_assert_int_eq(record->note_count, 0);
}
END_TEST

START_TEST(nothing_rests_on_what_was_taken_back)
{
    record->hold[1].undone = true;
    make_sound();
    check_told(TABLE_MARK, 0, false, "its hold is number 2, which was taken back");
    check_seconds(0, 2100, 2100);
    ck_assert_int_eq(record->hold_count, 1);
    ck_assert_int_eq(record->mark_count, 0);
}
END_TEST

START_TEST(a_row_that_lacks)
{
    record->note_count = 2;
    record->note[1].sample = 9000; /* behind the last */
    make_sound();
    check_told(TABLE_NOTE, 1, false, "its row is not there");
    check_seconds(0, 0, 0);
    ck_assert_int_eq(record->note_count, 1);
}
END_TEST

START_TEST(another_checksum_unless_more_is_wrong)
{
    record_fault_other(faults, TABLE_NOTE, 0);
    record_fault_other(faults, TABLE_TIE_READING, 0);
    record->tie_reading[0].channel = 2;
    make_sound();
    ck_assert_int_eq(told.count, 2);
    ck_assert_str_eq(told.why[0], "it is of a sensor that was not there");
    ck_assert_str_eq(told.why[1], "it is not what was written (its checksum is another)");
    ck_assert_int_eq(told.damage[1].table, TABLE_NOTE);
    check_seconds(1, 4000, 4000);
}
END_TEST

START_TEST(outside_of_all_tables_nothing_is_noted)
{
    record_fault(faults, TABLE_NOTE, 1000, "too far");
    record_fault(faults, TABLE_NOTE, -1, "before the first");
    record_fault_there(faults, TABLE_NOTE, 1000);
    record_fault_other(faults, TABLE_NOTE, -1);
    record_fault_later(faults, TABLE_NOTE, 1000);
    ck_assert(!record_fault_is_later(faults, TABLE_NOTE, 1000));
    ck_assert(!record_fault_is_later(faults, TABLE_NOTE, -1));
    ck_assert(!record_fault_is_later(faults, TABLE_NOTE, 0));
    record_fault_later(faults, TABLE_NOTE, 0);
    ck_assert(record_fault_is_later(faults, TABLE_NOTE, 0));
    make_sound();
    ck_assert_int_eq(told.count, 0);
}
END_TEST

/* What the tables can't say: one change each, and the sentence. */
static void end_before_it_begins(void)
{
    record->capture[1].last_sample = 1998;
}
static void no_such_sensor_of_a_tie(void)
{
    record->tie_reading[0].channel = 2;
}
static void a_tie_below_the_first_sensor(void)
{
    record->tie_reading[0].channel = -1;
}
static void a_tie_before_any_sensor(void)
{
    record->build[1].placing = -1;
}
static void no_such_sensor_of_a_check(void)
{
    record->check[0].channel = 2;
}
static void too_many_phases(void)
{
    record->check[0].phase_count = CHECK_PHASES_MAX + 1;
}
static void less_than_no_phases(void)
{
    record->check[0].phase_count = -1;
}
static void a_phase_without_readings(void)
{
    record->check[0].phase_count = 3;
}
static void a_number_of_no_sensor(void)
{
    record->check[0].number_count = 1;
    record->check[0].number[0].channel = CHANNELS_MAX;
}
static void a_number_below_the_first_sensor(void)
{
    record->check[0].number_count = 1;
    record->check[0].number[0].channel = -1;
}
static void a_number_of_no_phase(void)
{
    record->check[0].number_count = 1;
    record->check[0].number[0].phase = CHECK_PHASES_MAX;
}
static void a_number_below_the_first_phase(void)
{
    record->check[0].number_count = 1;
    record->check[0].number[0].phase = -1;
}
static void a_number_of_a_hold_twice(void)
{
    record->hold[1].number = 1;
    record->mark[0].hold = -1;
}

static const struct {
    void (*change)(void);
    enum stored_table_id table;
    int index;
    const char *why;
} alone[] = {
    {no_such_sensor_of_a_tie, TABLE_TIE_READING, 0, "it is of a sensor that was not there"},
    {a_tie_below_the_first_sensor, TABLE_TIE_READING, 0, "it is of a sensor that was not there"},
    {a_tie_before_any_sensor, TABLE_TIE_READING, 0, "it is of a sensor that was not there"},
    {no_such_sensor_of_a_check, TABLE_SENSOR_CHECK, 0, "it is of a sensor that was not there"},
    {too_many_phases, TABLE_SENSOR_CHECK, 0, "it has more phases than there can be"},
    {less_than_no_phases, TABLE_SENSOR_CHECK, 0, "it has more phases than there can be"},
    {a_phase_without_readings, TABLE_SENSOR_CHECK, 0,
     "readings of one of its phases are not there"},
    {a_number_of_no_sensor, TABLE_SENSOR_CHECK, 0,
     "a number of it is of a sensor or a phase that was not there"},
    {a_number_below_the_first_sensor, TABLE_SENSOR_CHECK, 0,
     "a number of it is of a sensor or a phase that was not there"},
    {a_number_of_no_phase, TABLE_SENSOR_CHECK, 0,
     "a number of it is of a sensor or a phase that was not there"},
    {a_number_below_the_first_phase, TABLE_SENSOR_CHECK, 0,
     "a number of it is of a sensor or a phase that was not there"},
    {a_number_of_a_hold_twice, TABLE_HOLD, 1, "another hold has its number"},
};

START_TEST(what_the_tables_cannot_say)
{
    alone[_i].change();
    make_sound();
    check_told(alone[_i].table, alone[_i].index, false, alone[_i].why);
}
END_TEST

START_TEST(an_end_before_the_beginning)
{
    end_before_it_begins();
    record->check_count = 0;
    record->mark[0].hold = -1;
    make_sound();
    ck_assert_int_eq(told.count, 2);
    ck_assert_str_eq(told.why[0], "it ends before it begins");
    ck_assert_str_eq(told.why[1], "its capture is number 2, which is damaged");
    check_seconds(0, 0, 0);
    ck_assert_int_eq(record->capture_count, 1);
    ck_assert_int_eq(record->hold_count, 1);
}
END_TEST

START_TEST(one_that_goes_on_touches_all_behind)
{
    record->capture[1].last_sample = 0;
    record->mark[0].hold = -1;
    record->hold[1].build = -1;
    make_sound();
    check_told(TABLE_HOLD, 1, false, "it has no build");
    check_seconds(0, 2000, 5000);
}
END_TEST

START_TEST(a_number_is_free_where_its_owner_goes)
{
    record->setup[1].number = 1; /* both are setup 1, but the first is damaged */
    record_fault(faults, TABLE_SETUP, 0, "its intent is no text");
    make_sound();
    ck_assert_int_eq(record->setup_count, 1);
    ck_assert_int_eq(record->setup[0].number, 1);
    ck_assert_int_eq(record->build_count, 1);
}
END_TEST

/* The hold that had it before is damaged itself: only one is left with the number. */
START_TEST(a_holds_number_is_free_where_the_other_is_damaged)
{
    record->hold[1].number = 1;
    record->mark_count = 0;
    record_fault(faults, TABLE_HOLD, 0, "its number is none");
    make_sound();
    check_told(TABLE_HOLD, 0, false, "its number is none");
    ck_assert_int_eq(record->hold_count, 1);
    ck_assert_int_eq(record->hold[0].capture, 1);
}
END_TEST

/* All phases of a check, in whatever order they were taken, and no more than there can be. */
START_TEST(a_check_touches_the_readings_of_its_first_phase)
{
    record->check[0].capture = 1;
    record->check[0].phase_count = 1;
    record->check[0].number_count = 1;
    record->check[0].number[0].phase = CHECK_PHASES_MAX;
    make_sound();
    check_told(TABLE_SENSOR_CHECK, 0, false,
               "a number of it is of a sensor or a phase that was not there");
    check_seconds(0, 2000, 2500);
}
END_TEST

START_TEST(a_setups_number_twice)
{
    record->setup[1].number = 1;
    make_sound();
    ck_assert_int_ge(told.count, 1);
    ck_assert_int_eq(told.damage[0].table, TABLE_SETUP);
    ck_assert_int_eq(told.damage[0].index, 1);
    ck_assert_str_eq(told.why[0], "another setup has its number");
    ck_assert_int_eq(record->setup_count, 1);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("sound");
    TCase *tests = tcase_create("sound");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, a_sound_session_stays);
    tcase_add_test(tests, what_points_at_a_damaged_one_goes_with_it);
    tcase_add_test(tests, a_place_that_is_not_there);
    tcase_add_test(tests, a_place_below_the_first);
    tcase_add_test(tests, a_place_that_must_be_said);
    tcase_add_test(tests, a_place_that_can_never_lack);
    tcase_add_test(tests, what_can_be_spared_is);
    tcase_add_test(tests, what_was_taken_back_goes_untold);
    tcase_add_test(tests, nothing_rests_on_what_was_taken_back);
    tcase_add_test(tests, a_row_that_lacks);
    tcase_add_test(tests, another_checksum_unless_more_is_wrong);
    tcase_add_test(tests, outside_of_all_tables_nothing_is_noted);
    tcase_add_loop_test(tests, what_the_tables_cannot_say, 0, sizeof alone / sizeof alone[0]);
    tcase_add_test(tests, an_end_before_the_beginning);
    tcase_add_test(tests, one_that_goes_on_touches_all_behind);
    tcase_add_test(tests, a_number_is_free_where_its_owner_goes);
    tcase_add_test(tests, a_holds_number_is_free_where_the_other_is_damaged);
    tcase_add_test(tests, a_check_touches_the_readings_of_its_first_phase);
    tcase_add_test(tests, a_setups_number_twice);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
