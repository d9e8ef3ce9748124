/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Where sensors were on each build, and how that is known: what was read and what was answered, of
 * sensors whose place nobody said, of setups that differ by their names alone, and from one placing
 * to the next. */
#include "tied_builds.h"

#include "measure/rules.h"

#include <stdio.h>

static void plate(int build, int channel, double range_mm, double height_mm)
{
    read_at(build, channel, range_mm, height_mm, REST_PLATE);
}

/* Across the pads. */
static void board(int build, int channel, double range_mm, double height_mm)
{
    read_at(build, channel, range_mm, height_mm, REST_PADS);
}

static void tape(int build, int channel, double height_mm)
{
    record->tie_reading[record->tie_reading_count++] = (struct tie_reading_record){
        .kind = TIE_READING_TAPE, .build = build, .channel = channel, .value_mm = height_mm};
}

static void is_not_tied(int build, int channel, enum tie_found found)
{
    const struct tie *tie = tie_of(build, channel);
    ck_assert_int_eq(tie->kind, TIE_NONE);
    ck_assert_int_eq(tie->found.kind, found);
}

/* A board on the pads of whose height nothing is known ties builds to one another; beside a plate,
 * which lies elsewhere, it neither counts nor replaces that one's reading. */
START_TEST(a_board_of_unknown_height_is_no_plate)
{
    record->build[1].setup = 0;
    for (int b = 0; b < 2; b++) {
        board(b, 1, 300.0 - 7.0 * b, NAN);
    }
    ck_assert_double_eq_tol(tie_of(1, 1)->shift_mm, 7.0, 1e-9);
    ck_assert_int_eq(tie_of(1, 1)->kind, TIE_PLATE);
    double parts_mm = tie_of(0, 1)->sensor_height_mm;
    ck_assert_double_gt(parts_mm, 400.0);
    plate(0, 1, 400.0, 1055.0);
    ck_assert_double_eq_tol(tie_of(0, 1)->sensor_height_mm, 655.0, 1e-9);
    ck_assert_double_eq_tol(tie_of(1, 1)->shift_mm, 0.0, 1e-9); /* by the parts again */
    board(0, 1, 301.0, NAN);
    ck_assert_double_eq_tol(tie_of(0, 1)->sensor_height_mm, 655.0, 1e-9);
    record->tie_reading[2].channel = 0; /* another sensor's plate says nothing of this one */
    ck_assert_double_eq_tol(tie_of(1, 1)->shift_mm, 8.0, 1e-9);
    ck_assert_double_eq_tol(tie_of(0, 1)->sensor_height_mm, parts_mm, 1e-9);
}
END_TEST

/* What is asked is whether a sensor moved; the answer ties, or says why not. */
START_TEST(a_sensor_whose_place_was_not_said)
{
    ck_assert_int_eq(tie_of(0, 0)->kind, TIE_FIRST);
    is_not_tied(1, 0, TIE_FOUND_NO_MOUNT);
    ck_assert(analysis_moved_unanswered(record, analysis, 1));
    ck_assert(!analysis_moved_unanswered(record, analysis, 0));
    for (int c = 0; c < 2; c++) { /* of no body nothing is asked */
        record->placing[0].channel[c].role = ROLE_REFERENCE;
    }
    ck_assert(!analysis_moved_unanswered(record, analysis, 1));
    for (int c = 0; c < 2; c++) {
        record->placing[0].channel[c].role = ROLE_BODY;
    }
    record->build[1].moved = ANSWER_NO;
    ck_assert_int_eq(tie_of(1, 0)->kind, TIE_FIXED);
    ck_assert_double_eq(tie_of(1, 0)->u_common_mm, 0.0);
    ck_assert_int_eq(tie_of(1, 0)->position_group, 0); /* that of the first */
    record->build[1].moved = ANSWER_YES;
    is_not_tied(1, 0, TIE_FOUND_MOVED);
    record->build[2].moved = ANSWER_NO; /* since a build that is not tied */
    is_not_tied(2, 0, TIE_FOUND_AS_BEFORE);
    record->build[2].moved = 0;
    is_not_tied(2, 0, TIE_FOUND_NO_MOUNT);
}
END_TEST

/* 412 mm on the first build, 418.5 on the second: 6.5 mm lower, known to a reading each. A build
 * after it of which no sensor moved has the same, all of it in common; one that is read again its
 * own; and the first build's reading can be put right. */
START_TEST(a_plate_under_a_sensor_whose_place_was_not_said)
{
    plate(1, 0, 418.5, NAN);
    is_not_tied(1, 0, TIE_FOUND_NO_MOUNT); /* on the first it was not read */
    plate(0, 0, 400.0, NAN);
    plate(0, 0, 412.0, NAN);
    const struct tie *tie = tie_of(1, 0);
    ck_assert_int_eq(tie->kind, TIE_PLATE);
    ck_assert_double_eq(tie->shift_mm, -6.5);
    ck_assert_double_eq(tie->sensor_height_mm, -6.5);
    ck_assert_double_eq(tie->u_common_mm, TIE_U_PLATE_MM);
    ck_assert_double_eq(tie->u_build_mm, TIE_U_PLATE_MM);
    ck_assert_int_eq(tie->position_group, 1);
    record->build[2].moved = record->build[3].moved = ANSWER_NO;
    tie = tie_of(2, 0);
    ck_assert_int_eq(tie->kind, TIE_PLATE);
    ck_assert_double_eq(tie->shift_mm, -6.5);
    ck_assert_double_eq_tol(tie->u_common_mm, hypot(TIE_U_PLATE_MM, TIE_U_PLATE_MM), 1e-12);
    ck_assert_double_eq(tie->u_build_mm, 0.0);
    ck_assert_int_eq(tie->position_group, 3); /* of its own */
    ck_assert_int_eq(tie_of(3, 0)->position_group, 4);
    plate(3, 0, 410.0, NAN);
    ck_assert_double_eq(tie_of(3, 0)->shift_mm, 2.0);
    ck_assert_double_eq(tie_of(3, 0)->u_build_mm, TIE_U_PLATE_MM);
    ck_assert_int_eq(tie_of(3, 0)->position_group, 1);
}
END_TEST

/* On the bars, and the setups differ by their names alone: something moved that nobody entered. */
START_TEST(setups_that_are_alike)
{
    record->setup[2].bike.value[BIKE_SPACERS] = 10.0;
    is_not_tied(1, 1, TIE_FOUND_ALIKE);
    ck_assert_int_eq(analysis->tie[1][1].found.alike, 1);
    record->placing[0].channel[0].role = ROLE_REFERENCE;
    ck_assert(analysis_moved_unanswered(record, analysis, 1));
    ck_assert_int_ne(tie_of(2, 1)->kind, TIE_NONE); /* its spacers tell */
    ck_assert(!analysis_moved_unanswered(record, analysis, 2));
    is_not_tied(3, 1, TIE_FOUND_ALIKE);
    ck_assert_int_eq(analysis->tie[3][1].found.alike, 1); /* the first of them */
    record->build[1].moved = ANSWER_NO;
    ck_assert_int_ne(tie_of(1, 1)->kind, TIE_NONE);
    is_not_tied(3, 1, TIE_FOUND_ALIKE);
    record->build[3].setup = 0; /* the first setup built again is no other than itself */
    is_not_tied(3, 1, TIE_FOUND_ALIKE);
    record->setup[1].bike.value[BIKE_SPACERS] = 15.0;
    ck_assert_int_ne(tie_of(3, 1)->kind, TIE_NONE);
    record->build[3].setup = 3;
    plate(0, 1, 412.0, NAN);
    plate(3, 1, 418.0, NAN);
    ck_assert_int_eq(tie_of(3, 1)->kind, TIE_PLATE);
    for (int carrier = 0; carrier < 2;
         carrier++) { /* what does not move with the bars is not asked */
        record->tie_reading_count = 0;
        record->placing[0].channel[1].mount.carrier = carrier == 0 ? CARRIER_FRAME : CARRIER_STAND;
        ck_assert_int_eq(tie_of(3, 1)->kind, TIE_FIXED);
    }
}
END_TEST

/* A sensor that was said to have moved stays moved, until it is read. */
START_TEST(a_sensor_that_moved)
{
    for (int b = 1; b < BUILDS; b++) {
        record->setup[b].bike.value[BIKE_SPACERS] -= 2.0 * b;
    }
    record->build[1].moved = ANSWER_YES;
    ck_assert_int_eq(tie_of(0, 1)->kind, TIE_FIRST);
    is_not_tied(1, 1, TIE_FOUND_MOVED);
    is_not_tied(2, 1, TIE_FOUND_MOVED);
    record->build[2].moved = ANSWER_NO;
    is_not_tied(2, 1, TIE_FOUND_MOVED);
    tape(0, 1, 700.0);
    tape(2, 1, 690.0);
    ck_assert_int_eq(tie_of(2, 1)->kind, TIE_TAPE);
    ck_assert_double_eq_tol(tie_of(2, 1)->shift_mm, -10.0, 1e-9);
    is_not_tied(1, 1, TIE_FOUND_MOVED);
    is_not_tied(3, 1, TIE_FOUND_MOVED);
}
END_TEST

/* What nobody entered says nothing against what was read on a setup that has the same measures, or
 * none; what was entered does. */
START_TEST(parts_that_nobody_entered_say_nothing)
{
    for (int entered = 0; entered < 2; entered++) {
        for (int b = 0; b < BUILDS; b++) {
            for (int key = 0; key < BIKE_KEYS; key++) {
                bool part = bike_fields[key].scope == BIKE_SCOPE_PART;
                record->setup[b].bike.value[key] =
                    part && !entered ? (double)NAN : usual_bike().value[key];
            }
        }
        record->tie_reading_count = 0;
        plate(0, 1, 412.0, NAN);
        plate(1, 1, 452.0, NAN);
        const struct tie *tie = tie_of(1, 1);
        ck_assert_int_eq(tie->kind, TIE_PLATE);
        ck_assert_int_eq(tie->alarm, entered);
        ck_assert_int_eq(tie->found.kind, entered ? TIE_FOUND_OFF_PARTS : TIE_FOUND_NOTHING);
    }
}
END_TEST

/* The second placing begins with the third build. */
static void fix_anew(void)
{
    record->placing_count = 2;
    record->build[2].placing = record->build[3].placing = 1;
    record->build[3].moved = record->build[1].moved = ANSWER_NO;
}

/* The same plate under both placings, 412 and 430 mm: they are 18 mm apart, known to two readings;
 * groups are each placing's own. */
START_TEST(one_plate_ties_two_placings)
{
    fix_anew();
    is_not_tied(2, 0, TIE_FOUND_FIXED_ANEW);
    ck_assert(!analysis_moved_unanswered(record, analysis, 2));
    ck_assert_int_eq(tie_of(1, 0)->kind, TIE_FIXED);
    plate(0, 0, 412.0, NAN);
    is_not_tied(2, 0, TIE_FOUND_FIXED_ANEW);
    plate(2, 0, 430.0, NAN);
    double first_mm = analysis_height_mm(record, analysis, 0, 0, 4120);
    const struct tie *tie = tie_of(2, 0);
    ck_assert_int_eq(tie->kind, TIE_PLATE);
    ck_assert_double_eq_tol(fabs(tie->shift_mm), 18.0, 1e-9);
    ck_assert_double_eq_tol(analysis_height_mm(record, analysis, 2, 0, 4300), first_mm, 1e-9);
    ck_assert_double_eq_tol(tie->u_common_mm, sqrt(2.0) * TIE_U_PLATE_MM, 1e-12);
    ck_assert_int_eq(tie->position_group, BUILDS_MAX);
    ck_assert(!tie->absolute && isnan(tie->u_absolute_mm));
    ck_assert_int_eq(tie_of(3, 0)->kind, TIE_PLATE);
    ck_assert_double_eq_tol(tie_of(3, 0)->shift_mm, tie_of(2, 0)->shift_mm, 1e-9);
    ck_assert_int_eq(tie_of(1, 0)->position_group, 0); /* the first placing's are as they were */
    ck_assert_double_eq(tie_of(1, 0)->u_common_mm, 0.0);
    record->build[3].moved = 0; /* what is not tied within its placing stays so */
    is_not_tied(3, 0, TIE_FOUND_NO_MOUNT);
    ck_assert_int_eq(tie_of(3, 0)->position_group, BUILDS_MAX + 1);
}
END_TEST

/* Heights over the bottom bracket tie them too, to what each is known to: by tape 2 mm, and the
 * placing's own builds by what is between them. */
START_TEST(heights_tie_two_placings)
{
    fix_anew();
    tape(0, 1, 700.0);
    tape(2, 1, 650.0);
    const struct tie *tie = tie_of(2, 1);
    double u_first_mm = tie_of(0, 1)->u_absolute_mm, u_later_mm = tie->u_absolute_mm;
    ck_assert_int_eq(tie->kind, TIE_TAPE);
    ck_assert(tie->absolute && u_later_mm > 0.0 && u_first_mm > 0.0);
    ck_assert_double_eq_tol(tie->sensor_height_mm, 650.0, 1e-9);
    ck_assert_double_eq_tol(tie->u_common_mm, hypot(u_first_mm, u_later_mm), 1e-9);
    plate(0, 1, 100.0, NAN);
    plate(2, 1, 155.0, NAN); /* the plate goes before them: looking up, it is over the sensor */
    tie = tie_of(2, 1);
    ck_assert_int_eq(tie->kind, TIE_PLATE);
    ck_assert_double_eq_tol(tie->sensor_height_mm, 645.0, 1e-9);
    ck_assert_double_eq_tol(tie->u_common_mm, sqrt(2.0) * TIE_U_PLATE_MM, 1e-9);
    ck_assert_double_eq(tie->u_absolute_mm, tie_of(0, 1)->u_absolute_mm); /* the first's now */
    ck_assert_double_eq(tie->u_own_mm, tie->u_absolute_mm);
    ck_assert(tie->absolute);
}
END_TEST

/* A scale that is 1 % wrong, known to 0.2 mm of 20: at 300 mm 4.243 mm are open, on top of what a
 * height is known to; of another placing's sensor, or one that was not checked, nothing is. */
START_TEST(a_scale_is_open_in_heights)
{
    tape(0, 1, 700.0);
    double u_mm = tie_of(1, 1)->u_absolute_mm, own_mm = tie_of(1, 1)->u_own_mm;
    struct check_record *check = &record->check[0];
    *check = (struct check_record){.kind = CHECK_STEP,
                                   .channel = 1,
                                   .verdict = CHECK_PASSED,
                                   .asked_mm = {20.0},
                                   .number_count = 3};
    check->number[0] = (struct check_number){CHECK_SCALE_ERROR, 1, 0, 1.0};
    check->number[1] = (struct check_number){CHECK_BLOCK_STEP_U, 1, 0, 0.2};
    check->number[2] = (struct check_number){CHECK_RANGE, 1, 0, 300.0};
    record->check_count = 1;
    for (int b = 0; b < 2; b++) {
        ck_assert_double_eq_tol(tie_of(b, 1)->u_absolute_mm, hypot(u_mm, 3.0 * sqrt(2.0)), 1e-9);
        ck_assert_double_eq_tol(tie_of(b, 1)->u_own_mm, hypot(own_mm, 3.0 * sqrt(2.0)), 1e-9);
    }
    check->placing = 1;
    ck_assert_double_eq(tie_of(1, 1)->u_absolute_mm, u_mm);
    check->placing = 0;
    plate(0, 1, 400.0, 900.0); /* the same sensor read a plate of a height that is known */
    ck_assert_double_lt(tie_of(1, 1)->u_absolute_mm, 4.0);
}
END_TEST

/* The plate at both ends of the second build, this far apart. */
static const struct tie *ends_apart(int channel, double apart_mm)
{
    record->hold_count = 1;
    record->hold[0] = (struct hold_record){.build = 1, .capture = 1, .status = HOLD_COMPLETE};
    record->capture_count = 3;
    record->tie_reading_count = 0;
    plate(0, channel, 412.0, NAN);
    for (int i = 0; i < 3; i++) {
        record->capture[i] = (struct capture_record){.kind = i == 1 ? CAPTURE_HOLD : CAPTURE_PLATE,
                                                     .first_sample = 100 * i + 1,
                                                     .last_sample = 100 * (i + 1)};
        if (i != 1) {
            plate(1, channel, 420.0 + (i == 2 ? apart_mm : 0.0), NAN);
            record->tie_reading[record->tie_reading_count - 1].at_sample = 100 * (i + 1);
        }
    }
    return tie_of(1, channel);
}

/* Each hold of it is off their mean by half of that at most, evenly; over 2.6 times what two
 * readings are known to it is told, and the next build's sensor moved by that. */
START_TEST(a_plate_that_reads_otherwise_at_the_end)
{
    double most_mm = TIE_ALARM_U * sqrt(2.0) * TIE_U_PLATE_MM;
    for (int c = 0; c < 2; c++) {
        record->build[2].moved = ANSWER_NO;
        const struct tie *tie = ends_apart(c, 3.0);
        double alone_mm = sqrt(tie->u_build_mm * tie->u_build_mm - 9.0 / 12.0);
        ck_assert_double_eq(tie->ends_apart_mm, 3.0);
        ck_assert_double_eq_tol(tie->shift_mm, -9.5, 1e-9);
        ck_assert_int_ne(tie->found.kind, TIE_FOUND_ENDS);
        ck_assert_int_eq(tie->alarm, c == 1); /* the parts say another thing */
        ck_assert_int_ne(tie_of(2, c)->kind, TIE_NONE);
        tie = ends_apart(c, -most_mm - 0.01);
        ck_assert(tie->alarm);
        ck_assert_int_eq(tie->found.kind, TIE_FOUND_ENDS);
        ck_assert_int_eq(tie->found.by, TIE_PLATE);
        ck_assert_double_eq_tol(tie->found.apart_mm, most_mm + 0.01, 1e-9);
        ck_assert_double_eq_tol(tie->u_build_mm, hypot(alone_mm, (most_mm + 0.01) / sqrt(12.0)),
                                1e-9);
        is_not_tied(2, c, TIE_FOUND_MOVED); /* whatever was answered */
        record->placing_count = 2;
        record->build[2].placing = 1; /* that was the placing before */
        ck_assert_int_eq(tie_of(2, c)->found.kind == TIE_FOUND_MOVED, 0);
        record->build[2].placing = 0;
        record->placing_count = 1;
    }
}
END_TEST

/* A second sensor on the same carrier that looks down at a plate: what its mean range over a
 * build's holds changed by is what the first moved by. */
START_TEST(a_second_sensor_on_the_same_carrier)
{
    struct channel_record *reference = &record->placing[0].channel[0];
    *reference = record->placing[0].channel[1];
    reference->role = ROLE_REFERENCE;
    reference->mount.direction = -1;
    record->hold_count = 4;
    for (int h = 0; h < 4; h++) { /* two on each of the first two builds, 300 and 310 mm */
        record->hold[h] = (struct hold_record){.build = h / 2, .capture = -1};
        analysis->hold[h].has[0] = true;
        analysis->hold[h].summary[0] = (struct hold_summary){
            .status = MEASURE_OK, .mean_mm = (h < 2 ? 300.0 : 310.0) + (h % 2 == 0 ? 1.0 : -1.0)};
    }
    const struct tie *tie = tie_of(1, 1);
    ck_assert_int_eq(tie->kind, TIE_REFERENCE);
    ck_assert_double_eq_tol(tie->shift_mm, 10.0, 1e-9);
    is_not_tied(2, 1, TIE_FOUND_ALIKE); /* there it has no hold */
    for (int how = 0; how < 3; how++) {
        reference->mount.carrier = how == 0 ? CARRIER_FRAME : CARRIER_BASE_BAR;
        reference->mounted = how != 1;
        reference->role = how == 2 ? ROLE_BODY : ROLE_REFERENCE;
        is_not_tied(1, 1, TIE_FOUND_ALIKE);
    }
}
END_TEST

/* As many builds, placings and sensors as there can be. */
START_TEST(as_many_builds_as_there_can_be)
{
    record->build_count = BUILDS_MAX;
    record->placing_count = PLACINGS_MAX;
    for (int p = 0; p < PLACINGS_MAX; p++) {
        record->placing[p].channel_count = CHANNELS_MAX;
        for (int c = 0; c < CHANNELS_MAX; c++) {
            record->placing[p].channel[c] = record->placing[0].channel[c % 2];
        }
    }
    for (int b = 0; b < BUILDS_MAX; b++) {
        record->build[b] = (struct build_record){.setup = 0,
                                                 .ordinal = b + 1,
                                                 .placing = b * PLACINGS_MAX / BUILDS_MAX,
                                                 .moved = ANSWER_NO};
    }
    while (record->tie_reading_count < TIES_MAX) {
        plate(record->tie_reading_count / 4, record->tie_reading_count % 4, 400.0, NAN);
    }
    analysis_ties(record, analysis);
    for (int b = 0; b < BUILDS_MAX; b++) {
        ck_assert_int_eq(analysis->tie[b][0].kind, b == 0 ? TIE_FIRST : TIE_PLATE);
        ck_assert_double_eq_tol(analysis->tie[b][0].shift_mm, 0.0, 1e-9);
        ck_assert(!analysis_moved_unanswered(record, analysis, b));
        bool first = record->build[b].placing == 0; /* the last sensors were not read */
        ck_assert(first == (analysis->tie[b][CHANNELS_MAX - 2].kind != TIE_NONE));
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ties");
    TCase *tests = tcase_create("ties");
    suite_add_tcase(suite, tests);
    tcase_add_checked_fixture(tests, begin_builds, end_builds);
    tcase_add_test(tests, a_board_of_unknown_height_is_no_plate);
    tcase_add_test(tests, a_sensor_whose_place_was_not_said);
    tcase_add_test(tests, a_plate_under_a_sensor_whose_place_was_not_said);
    tcase_add_test(tests, setups_that_are_alike);
    tcase_add_test(tests, a_sensor_that_moved);
    tcase_add_test(tests, parts_that_nobody_entered_say_nothing);
    tcase_add_test(tests, one_plate_ties_two_placings);
    tcase_add_test(tests, heights_tie_two_placings);
    tcase_add_test(tests, a_scale_is_open_in_heights);
    tcase_add_test(tests, a_plate_that_reads_otherwise_at_the_end);
    tcase_add_test(tests, a_second_sensor_on_the_same_carrier);
    tcase_add_test(tests, as_many_builds_as_there_can_be);
    return test_main(suite);
}
