/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Which readings say where a sensor was: a board lies on pads that ride on the bars, a plate does
 * not; and what each has of the other's height. */
#include "tied_builds.h"

#include "analysis/tie_readings.h"

/* The second setup has 10 mm of spacers less, the third longer extensions, the fourth is the first
 * by another name. */
static void set_up(void)
{
    begin_builds();
    record->placing_count = 2;
    record->setup[1].bike.value[BIKE_SPACERS] -= 10.0;
    record->setup[2].bike.value[BIKE_EXTENSION_LENGTH] += 15.0;
}

START_TEST(pads_ride_on_the_bars)
{
    ck_assert(board_lies_alike(record, 0, 0));
    ck_assert(!board_lies_alike(record, 0, 1)); /* spacers */
    ck_assert(board_lies_alike(record, 0, 2));  /* extensions carry no pads */
    ck_assert(!board_lies_alike(record, 0, 3)); /* another name alone */
    record->build[1].setup = 3;                 /* built anew */
    ck_assert(board_lies_alike(record, 1, 3));
    record->setup[2].bike.value[BIKE_PAD_RISE] += 5.0;
    ck_assert(!board_lies_alike(record, 0, 2));
    ck_assert(!board_lies_alike(record, 2, 0));
    for (int i = 0; i < BIKE_KEYS; i++) { /* of one nothing was entered */
        record->setup[2].bike.value[i] = NAN;
    }
    ck_assert(!board_lies_alike(record, 0, 2));
    ck_assert(!board_lies_alike(record, 2, 0));
}
END_TEST

/* Range after range the same: the sensor came down with the pads, and the board can't tell. */
START_TEST(a_board_that_came_along_ties_nothing)
{
    const double heights_mm[] = {NAN, 745.0, 0.0};
    for (size_t i = 0; i < sizeof heights_mm / sizeof heights_mm[0]; i++) {
        record->tie_reading_count = 0;
        for (int b = 0; b < 2; b++) {
            for (int c = 0; c < 2; c++) {
                read_at(b, c, 110.0, heights_mm[i], REST_PADS);
            }
        }
        ck_assert(!board_came_along(record, &record->tie_reading[0]));
        ck_assert(board_came_along(record, &record->tie_reading[3]));
        ck_assert_ptr_nonnull(tie_reading_latest(record, TIE_READING_PLATE, 0, ON_BAR));
        ck_assert_ptr_null(tie_reading_latest(record, TIE_READING_PLATE, 1, ON_BAR));
        ck_assert_int_eq(tie_of(1, UNPLACED)->kind, TIE_NONE);
        ck_assert_int_eq(tie_of(1, ON_BAR)->kind, TIE_COMPUTED);
        ck_assert_double_lt(tie_of(1, ON_BAR)->shift_mm, -9.0); /* by the parts */
    }
    /* nor does one of which nothing is said now; back on the first setup it lies as it did */
    record->tie_reading[3].plate_height_mm = NAN;
    ck_assert(board_came_along(record, &record->tie_reading[3]));
    record->build[2].setup = 0;
    read_at(2, ON_BAR, 112.0, 0.0, REST_PADS);
    ck_assert(!board_came_along(record, &record->tie_reading[4]));
    ck_assert_double_eq(tie_of(2, ON_BAR)->shift_mm, -2.0);
    record->tie_reading_count = 4;
    /* said anew it counts; 9 mm lower at the same range is a sensor 9 mm lower */
    record->tie_reading[0].plate_height_mm = record->tie_reading[1].plate_height_mm = 745.0;
    read_at(1, UNPLACED, 110.0, 736.0, REST_PADS);
    read_at(1, ON_BAR, 110.0, 736.0, REST_PADS);
    for (int c = 0; c < 2; c++) {
        ck_assert_int_eq(tie_of(1, c)->kind, TIE_PLATE);
        ck_assert_double_eq(tie_of(1, c)->shift_mm, -9.0);
    }
}
END_TEST

/* Sensors that were fixed anew begin again; a height that was said holds there, too. */
START_TEST(a_board_in_another_placing)
{
    record->build[1].placing = 1;
    read_at(0, ON_BAR, 110.0, NAN, REST_PADS);
    struct tie_reading_record *later = read_at(1, ON_BAR, 120.0, NAN, REST_PADS);
    ck_assert(!board_came_along(record, later));
    later[-1].plate_height_mm = 745.0;
    ck_assert(!board_came_along(record, later)); /* one that nothing was said of is no other's */
    later->plate_height_mm = 745.0;
    ck_assert(board_came_along(record, later));
    later[-1].rest = REST_PLATE; /* no board at all: a plate stays where it is */
    ck_assert(!board_came_along(record, later));
    later[-1].rest = REST_PADS;
    later->rest = REST_PLATE;
    ck_assert(!board_came_along(record, later));
}
END_TEST

/* A plate on a stand and a board on the pads are two heights, whichever was said. */
START_TEST(a_plate_has_no_height_of_a_board)
{
    record->build[1].setup = 0;
    double parts_mm = tie_of(0, ON_BAR)->sensor_height_mm;
    read_at(0, ON_BAR, 110.0, 745.0, REST_PADS);
    read_at(1, ON_BAR, 310.0, NAN, REST_PLATE);
    ck_assert_double_eq(tie_of(0, ON_BAR)->sensor_height_mm, 635.0);
    ck_assert_int_eq(tie_of(1, ON_BAR)->kind, TIE_COMPUTED);
    ck_assert_double_eq(tie_of(1, ON_BAR)->shift_mm, 0.0);
    record->tie_reading_count = 0;
    read_at(0, ON_BAR, 310.0, 930.0, REST_PLATE);
    read_at(1, ON_BAR, 110.0, NAN, REST_PADS);
    ck_assert_double_eq(tie_of(0, ON_BAR)->sensor_height_mm, 620.0);
    ck_assert_double_eq(tie_of(1, ON_BAR)->shift_mm, 0.0);
    ck_assert_ptr_null(tie_reading_latest(record, TIE_READING_PLATE, 1, ON_BAR));
    /* heights told from the board are left for a plate whose height is known */
    record->tie_reading[1].plate_height_mm = 0.0;
    ck_assert_double_eq(tie_of(1, ON_BAR)->sensor_height_mm, 620.0);
    record->tie_reading[0].plate_height_mm = NAN;
    ck_assert_double_eq(tie_of(1, ON_BAR)->sensor_height_mm, -110.0);
    ck_assert_double_gt(parts_mm, 400.0);
    /* a plate under the other sensor says nothing of this one's board */
    record->tie_reading[0].plate_height_mm = 930.0;
    record->tie_reading[0].channel = UNPLACED;
    for (int datum = 0; datum < 2; datum++) {
        record->tie_reading[1].plate_height_mm = datum ? 0.0 : NAN;
        ck_assert_ptr_eq(tie_reading_latest(record, TIE_READING_PLATE, 1, ON_BAR),
                         &record->tie_reading[1]);
    }
    /* nor does one from before the sensors were fixed anew */
    record->tie_reading[0].channel = ON_BAR;
    ck_assert_ptr_null(tie_reading_latest(record, TIE_READING_PLATE, 1, ON_BAR));
    record->build[1].placing = 1;
    ck_assert_ptr_eq(tie_reading_latest(record, TIE_READING_PLATE, 1, ON_BAR),
                     &record->tie_reading[1]);
}
END_TEST

/* Said on one build, before or later, it holds on each on which the board lay alike. */
START_TEST(a_board_has_its_height_of_another_reading)
{
    struct tie_reading_record *first = read_at(0, ON_BAR, 110.0, NAN, REST_PADS);
    ck_assert_double_nan(tie_reading_height_mm(record, first));
    struct tie_reading_record *later = read_at(1, UNPLACED, 110.0, 736.0, REST_PADS);
    ck_assert_double_nan(tie_reading_height_mm(record, first)); /* with other spacers */
    ck_assert_double_eq(tie_reading_height_mm(record, later), 736.0);
    record->build[1].setup = 0;
    ck_assert_double_eq(tie_reading_height_mm(record, first), 736.0);
    ck_assert_double_eq(tie_of(0, ON_BAR)->sensor_height_mm, 626.0);
    record->build[1].placing = 1;
    ck_assert_double_nan(tie_reading_height_mm(record, first));
    record->build[1].placing = 0;
    later->plate_height_mm = 0.0; /* heights are told from it: of that channel alone */
    ck_assert_double_nan(tie_reading_height_mm(record, first));
    later->plate_height_mm = 736.0;
    later->rest = REST_PLATE;
    ck_assert_double_nan(tie_reading_height_mm(record, first));
    later->rest = REST_PADS;
    read_at(0, ON_BAR, 110.0, 740.0, REST_PADS); /* the latest that was said */
    ck_assert_double_eq(tie_reading_height_mm(record, first), 740.0);
    first->rest = REST_PLATE; /* what plates have of each other, bike/tie.h says */
    ck_assert_double_nan(tie_reading_height_mm(record, first));
}
END_TEST

START_TEST(how_much_higher_a_plate_lay)
{
    struct tie_reading_record *first = read_at(0, UNPLACED, 400.0, 930.0, REST_PLATE);
    struct tie_reading_record *later = read_at(1, UNPLACED, 410.0, 950.0, REST_PLATE);
    ck_assert_double_eq(tie_reading_higher_mm(record, first, later), 20.0);
    ck_assert_double_eq(tie_of(1, UNPLACED)->shift_mm, 10.0);
    later->plate_height_mm = NAN; /* the same, then */
    ck_assert_double_eq(tie_reading_higher_mm(record, first, later), 0.0);
    ck_assert_double_eq(tie_of(1, UNPLACED)->shift_mm, -10.0);
    later->rest = REST_PADS;
    ck_assert_double_nan(tie_reading_higher_mm(record, first, later));
    ck_assert_double_nan(tie_reading_higher_mm(record, later, first));
    later->plate_height_mm = 950.0;
    ck_assert_double_eq(tie_reading_higher_mm(record, first, later), 20.0);
    later->plate_height_mm = 0.0; /* heights told from the board: no height over anything else */
    ck_assert_double_nan(tie_reading_higher_mm(record, first, later));
    first->rest = REST_PADS;
    ck_assert_double_nan(tie_reading_higher_mm(record, first, later));
    first->plate_height_mm = 0.0;
    ck_assert_double_eq(tie_reading_higher_mm(record, first, later), 0.0);
    first->plate_height_mm = NAN;
    ck_assert_double_nan(tie_reading_higher_mm(record, first, later));
    first->plate_height_mm = 745.0;
    later->plate_height_mm = NAN; /* of pads that moved since */
    ck_assert_double_nan(tie_reading_higher_mm(record, first, later));
    first->plate_height_mm = NAN;
    record->build[1].setup = 0; /* which it has of the other, where the board lay alike */
    later->plate_height_mm = 745.0;
    ck_assert_double_eq(tie_reading_higher_mm(record, first, later), 0.0);
    later->plate_height_mm = NAN;
    ck_assert_double_eq(tie_reading_higher_mm(record, first, later), 0.0);
    first->rest = REST_PLATE;
    ck_assert_double_nan(tie_reading_higher_mm(record, first, later));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("tie readings");
    TCase *tests = tcase_create("tie readings");
    suite_add_tcase(suite, tests);
    tcase_add_checked_fixture(tests, set_up, end_builds);
    tcase_add_test(tests, pads_ride_on_the_bars);
    tcase_add_test(tests, a_board_that_came_along_ties_nothing);
    tcase_add_test(tests, a_board_in_another_placing);
    tcase_add_test(tests, a_plate_has_no_height_of_a_board);
    tcase_add_test(tests, a_board_has_its_height_of_another_reading);
    tcase_add_test(tests, how_much_higher_a_plate_lay);
    return test_main(suite);
}
