/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Commands of a day of runs: what they refuse, and that they leave nothing behind then. */
#include "support/session_drive.h"
#include "support/session_text.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char leg[] =
    "leg way=lap length=250 time=22.9 work=5600 mean=10.9 squared=119 in=10.9 out=11";

static const struct {
    const char *before, *line, *said;
} refused[] = {
    {NULL, "run setup=1", "speed=wheel or speed=satellites"},
    {NULL, "run setup=1 speed=guess", "neither wheel nor satellites"},
    {NULL, "run setup=7 speed=wheel", "there is no setup 7"},
    {NULL, "run speed=wheel", "which setup"},
    {NULL, "run setup=1 speed=wheel at=25:00", "time of day"},
    {NULL, "run setup=1 speed=wheel effort=11", "effort"},
    {NULL, "run setup=1 speed=wheel steps=perhaps", "neither yes nor no"},
    {NULL, "run setup=7 speed=wheel steps=yes", "there is no setup 7"},
    {NULL, "leg way=lap", "no run"},
    {NULL, "run speed=wheel pad_rise=40 saddle_height=700", "no setup has these parts"},
    {NULL, "run speed=wheel pad_rise=39", "no setup has these parts"},
    {"setup 3 pad_rise=40 stem_length=90", "run speed=wheel pad_rise=40", "setups 2 and 3 both"},
    {"correct 1 pad_rise=40", "run speed=wheel pad_rise=40", "setups 1 and 2 both"},
    {NULL, "run speed=wheel setup=1 pad_rise=40", "setup 1 has other parts"},
    {NULL, "run speed=wheel pads=40", "no bike measure 'pads'"},
    {NULL, "run speed=wheel pad_rise=4000", "pad_rise"},
    {"run setup=1 speed=wheel", "leg way=lap length=250", "not all there"},
    {"run setup=1 speed=wheel", "leg way=lap length=250 time=22.9 work=5600 mean=10.9", "not all"},
    {"run setup=1 speed=wheel", "leg way=lap length=250 work=5600 squared=119", "not all there"},
    {"run setup=1 speed=wheel", "leg way=lap time=22.9 work=5600 squared=119", "not all there"},
    {"run setup=1 speed=wheel", "leg way=out length=250", "way=lap"},
    {"run setup=1 speed=wheel", "leg way=lap length=-5", "length"},
    {"run setup=1 speed=wheel", "pieces 1/2/3", "no leg"},
    {"run setup=1 speed=wheel at=9:20", "run setup=1 at=7:26", "at 7:26, before run 1"},
    {"run setup=1 speed=wheel sum=ab", "run setup=1 sum=ab", "run 1 already"},
    {"run setup=1 speed=wheel sum=ab", "run setup=2 sum=ab laps=2..5", "run 1 already"},
    {"run setup=1 speed=wheel sum=ab laps=2..5", "run setup=2 sum=ab laps=5..7", "run 1 already"},
    {"run setup=1 speed=wheel sum=ab laps=2..5", "run setup=1 sum=ab laps=6..7", "rested=yes"},
    {"run setup=1 speed=wheel", "run setup=1 rested=perhaps", "neither yes nor no"},
    {"run setup=1 speed=wheel", "course out_and_back", "one course only"},
    {"run setup=1 speed=wheel", "reject run 1.1 \"why\"", "is no run"},
    {"run setup=1 speed=wheel", "reject run 2 \"why\"", "is no run"},
    {"run setup=1 speed=wheel", "reject run 1", "say the reason"},
    {"run setup=1 speed=wheel", "restore run 1", "was not left out"},
    {"run setup=2 speed=wheel", "remove 2", "has holds, runs"},
    {NULL, "course somewhere", "can't be compared"},
    {NULL, "course laps length=2", "length"},
    {NULL, "course laps indoors=perhaps", "neither yes nor no"},
    {NULL, "course laps length=250 rise=1", "a lap ends where it began"},
    {NULL, "course out_and_back length=1000 rise=51", "over 5 %"},
    {NULL, "course out_and_back length=1000 rise=-51", "over 5 %"},
    {NULL, "course out_and_back length=1000 rise=201", "rise"},
    {NULL, "air 20 1013hPa 50%", "has no unit"},
    {NULL, "air 68F 1013hPa 50%", "in no unit that is read here"},
    {NULL, "air 20C 1013Pa 50%", "not between"},
    {NULL, "air 20C 50%", "pressure"},
    {NULL, "air 20C 1013hPa 500%", "not between"},
    {NULL, "air 20C 1013hPa 50% temperature=999", "temperature"},
    {NULL, "air 20C 1013hPa 50% pressure=3", "pressure"},
    {NULL, "air 20C 1013hPa 50% humidity=500", "humidity"},
    {NULL, "air 20C 1013hPa 50% wind=900", "wind"},
    {NULL, "air 20C 1013hPa 50% at=25:99", "25:99"},
    {NULL, "mass 8500", "kg"},
    {NULL, "mass", "kg"},
    {NULL, "matters drag=5", "drag"},
};
#define REFUSED ((int)(sizeof refused / sizeof refused[0]))

static void start_laps(struct drive *drive)
{
    drive_start(drive, 77);
    drive_do(drive, "setup 1");
    drive_do(drive, "course laps length=250m indoors=yes");
}

START_TEST(what_cannot_be_is_refused)
{
    struct drive drive;
    struct problem problem = {0};
    start_laps(&drive);
    drive_do(&drive, "setup 2 pad_rise=40");
    if (refused[_i].before != NULL) {
        drive_do(&drive, refused[_i].before);
    }
    char *before = records_text(session_records(drive.session));
    ck_assert_msg(!session_command(drive.session, refused[_i].line, &problem), "%s",
                  refused[_i].line);
    ck_assert_msg(strstr(problem.sentence, refused[_i].said) != NULL, "%s", problem.sentence);
    char *after = records_text(session_records(drive.session));
    assert_same_text(after, before, refused[_i].line);
    free(before);
    free(after);
    drive_end(&drive);
}
END_TEST

/* Steps of speed are in no comparison: of any setup, and the session says so. */
START_TEST(steps_need_no_setup)
{
    struct drive drive;
    uint64_t serial = 0;
    start_laps(&drive);
    drive_do(&drive, "setup 2 pad_rise=40");
    drive_do(&drive, "baseline 2");
    drive_do(&drive, "run speed=wheel steps=yes");
    const struct session_record *record = session_records(drive.session);
    ck_assert(record->run[0].steps);
    ck_assert_int_eq(record->setup[record->run[0].setup].number, 2);
    ck_assert_ptr_nonnull(strstr(session_message(drive.session, &serial), "steps of speed"));
    drive_do(&drive, "run setup=1 steps=yes");
    ck_assert_int_eq(record->setup[record->run[1].setup].number, 1);
    drive_do(&drive, "run setup=1 steps=no");
    ck_assert(!record->run[2].steps);
    drive_end(&drive);
}
END_TEST

/* A run is told by the parts that were on the bike as well: they name one setup alone. */
START_TEST(a_run_finds_its_setup_by_parts)
{
    struct drive drive;
    drive_start(&drive, 77);
    drive_do(&drive, "setup 1 pad_rise=60 stem_length=100");
    drive_do(&drive, "setup 2 pad_rise=40");
    drive_do(&drive, "setup 5 stem_length=90");
    drive_do(&drive, "course laps length=250m indoors=yes");
    drive_do(&drive, "run pad_rise=60 speed=wheel");
    drive_do(&drive, "run pad_rise=40mm stem_length=90");
    drive_do(&drive, "run setup=2 pad_rise=40");
    const struct session_record *record = session_records(drive.session);
    ck_assert_int_eq(record->setup[record->run[0].setup].number, 1);
    ck_assert_int_eq(record->setup[record->run[1].setup].number, 5);
    ck_assert_int_eq(record->setup[record->run[2].setup].number, 2);
    drive_end(&drive);
}
END_TEST

/* A setup that was taken back is none any more. */
START_TEST(a_run_is_of_no_setup_that_was_taken_back)
{
    struct drive drive;
    struct problem problem = {0};
    start_laps(&drive);
    drive_do(&drive, "setup 2 pad_rise=40");
    drive_do(&drive, "undo");
    ck_assert(!session_command(drive.session, "run speed=wheel pad_rise=40", &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "no setup has these parts"));
    drive_end(&drive);
}
END_TEST

/* Nor does a leg that was taken back count: the one that comes in its place has its number. */
START_TEST(legs_are_numbered_without_what_was_taken_back)
{
    struct drive drive;
    struct problem problem = {0};
    start_laps(&drive);
    drive_do(&drive, "run setup=1 speed=wheel");
    drive_do(&drive, leg);
    drive_do(&drive, leg);
    drive_do(&drive, "undo");
    ck_assert_msg(session_command(drive.session, leg, &problem), "%s", problem.sentence);
    ck_assert_int_eq(session_records(drive.session)->leg_count, 2);
    ck_assert_int_eq(session_records(drive.session)->leg[1].number, 2);
    drive_end(&drive);
}
END_TEST

START_TEST(a_piece_s_number_has_a_length_and_a_size)
{
    struct drive drive;
    char line[64];
    start_laps(&drive);
    drive_do(&drive, "run setup=1 speed=wheel");
    drive_do(&drive, "leg way=lap length=250 time=22.9 work=5600 mean=10.9 squared=119 in=10.9 "
                     "out=11 pieces=50");
    snprintf(line, sizeof line, "pieces %032d/10.9/10.95", 56);
    drive_refused(&drive, line, "no work/speed/speed");
    snprintf(line, sizeof line, "pieces %031d/10.9/10.95", 56);
    drive_do(&drive, line);
    const struct leg_record *ridden = &session_records(drive.session)->leg[0];
    ck_assert_int_eq(ridden->piece_count, 1);
    ck_assert_double_eq(ridden->piece[0].work_j, 56.0);
    ck_assert_double_eq(ridden->piece[0].out_m_per_s, 10.95);
    /* no number that is stored is over a million */
    drive_do(&drive, "leg way=lap length=250 time=22.9 work=5600 mean=10.9 squared=119 in=10.9 "
                     "out=11 pieces=50");
    drive_refused(&drive, "pieces 1000000.5/10.9/10.95", "no work/speed/speed");
    drive_do(&drive, "pieces 1000000/10.9/10.95");
    drive_end(&drive);
}
END_TEST

/* One recording of a day has all its runs: others in between, or a rest, make another run. */
START_TEST(one_file_has_several_runs)
{
    static const char *const lines[] = {"run setup=1 speed=wheel sum=ab laps=2..4",
                                        "run setup=2 sum=ab laps=5..7",
                                        "run setup=1 sum=ab laps=8..10",
                                        "run setup=1 sum=ab laps=11..13 rested=yes",
                                        "run setup=1 sum=cd laps=2..4",
                                        "run setup=1 sum=ab laps=14"};
    struct drive drive;
    start_laps(&drive);
    drive_do(&drive, "setup 2 pad_rise=40");
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        drive_do(&drive, lines[i]);
    }
    ck_assert_int_eq(session_records(drive.session)->run_count, 6);
    drive_end(&drive);
}
END_TEST

/* Every word of course, air, run and leg, each with a number of its own, and where it is kept. */
START_TEST(each_number_is_kept_in_its_place)
{
    struct drive drive;
    drive_start(&drive, 77);
    drive_do(&drive, "setup 1 pad_rise=60");
    drive_do(&drive, "course out_and_back length=1234m rise=2.5m indoors=no rolling=0.0043");
    drive_do(&drive, "air temperature=19 pressure=1009 humidity=61 wind=0.7m/s at=14:05");
    drive_do(&drive, "air 21C 100700Pa 57%");
    drive_do(&drive, "run setup=1 speed=wheel file=out.csv sum=ab12 laps=2..5 at=14:20 power=243W "
                     "heart=151 effort=7");
    drive_do(&drive, "leg way=back pair=3 length=1231 time=101 work=24000 mean=12.1 squared=147 "
                     "in=11.5 out=12.5 climb=-2.25 pieces=50");
    const struct session_record *record = session_records(drive.session);
    ck_assert_int_eq(record->drag.course, COURSE_OUT_AND_BACK);
    ck_assert_double_eq(record->drag.course_length_m, 1234.0);
    ck_assert_double_eq(record->drag.rise_m, 2.5);
    ck_assert_double_eq(record->drag.rolling, 0.0043);
    const struct air_record *air = record->air;
    ck_assert_int_eq(record->air_count, 2);
    ck_assert_double_eq(air[0].temperature_c, 19.0);
    ck_assert_double_eq(air[0].pressure_hpa, 1009.0);
    ck_assert_double_eq(air[0].humidity_percent, 61.0);
    ck_assert_double_eq(air[0].wind_m_per_s, 0.7);
    ck_assert_double_eq(air[0].at_min, 14 * 60 + 5);
    ck_assert_double_eq(air[1].temperature_c, 21.0);
    ck_assert_double_eq(air[1].pressure_hpa, 1007.0);
    ck_assert_double_eq(air[1].humidity_percent, 57.0);
    const struct run_record *run = &record->run[0];
    ck_assert_str_eq(run->file, "out.csv");
    ck_assert_str_eq(run->file_sum, "ab12");
    ck_assert_str_eq(run->laps, "2..5");
    ck_assert_double_eq(run->at_min, 14 * 60 + 20);
    ck_assert_double_eq(run->power_w, 243.0);
    ck_assert_double_eq(run->heart_per_min, 151.0);
    ck_assert_double_eq(run->effort, 7.0);
    const struct leg_record *back = &record->leg[0];
    ck_assert(back->back);
    ck_assert_int_eq(back->pair, 3);
    ck_assert_double_eq(back->sums.length_m, 1231.0);
    ck_assert_double_eq(back->sums.duration_s, 101.0);
    ck_assert_double_eq(back->sums.work_j, 24000.0);
    ck_assert_double_eq(back->sums.speed_m_per_s, 12.1);
    ck_assert_double_eq(back->sums.speed_squared, 147.0);
    ck_assert_double_eq(back->sums.in_m_per_s, 11.5);
    ck_assert_double_eq(back->sums.out_m_per_s, 12.5);
    ck_assert_double_eq(back->sums.climb_m, -2.25);
    ck_assert_double_eq(back->piece_m, 50.0);
    drive_end(&drive);
}
END_TEST

START_TEST(a_time_of_day_is_of_two_numbers)
{
    static const struct {
        const char *said;
        double at_min;
    } cases[] = {{"0:00", 0}, {"00:01", 1}, {"9:05", 545}, {"14:05", 845}, {"23:59", 1439}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct drive drive;
        char line[64];
        start_laps(&drive);
        snprintf(line, sizeof line, "run setup=1 speed=wheel at=%s", cases[i].said);
        drive_do(&drive, line);
        ck_assert_double_eq(session_records(drive.session)->run[0].at_min, cases[i].at_min);
        drive_end(&drive);
    }
}
END_TEST

/* The same samples from a file of other bytes: its laps tell. */
START_TEST(a_ride_counts_once)
{
    struct drive drive;
    struct problem problem = {0};
    start_laps(&drive);
    drive_do(&drive, "run setup=1 speed=wheel sum=ab");
    drive_do(&drive, leg);
    drive_do(&drive, leg); /* laps of one ride may be alike */
    drive_do(&drive, "run setup=1 sum=cd passed=\"values that can't be (3)\"");
    uint64_t serial;
    ck_assert_str_eq(session_message(drive.session, &serial),
                     "run 2 of setup 1; passed over: values that can't be (3)");
    ck_assert(!session_command(drive.session, leg, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "very samples of run 1.1"));
    drive_do(&drive, "leg way=lap length=250 time=22.9 work=5600.1 mean=10.9 squared=119 in=10.9 "
                     "out=11");
    ck_assert_int_eq(session_records(drive.session)->leg_count, 3);
    /* laps that are left out without their sums are no ride told twice */
    drive_do(&drive, "leg way=lap left_out=\"braked\"");
    drive_do(&drive, "run setup=1 sum=ef");
    drive_do(&drive, "leg way=lap left_out=\"braked\"");
    drive_end(&drive);
}
END_TEST

/* Sums of the same samples may differ in their tenth digit, those of others do before. */
START_TEST(sums_that_differ_by_rounding_are_of_one_ride)
{
    struct drive drive;
    start_laps(&drive);
    drive_do(&drive, "run setup=1 speed=wheel sum=ab");
    drive_do(&drive, leg);
    drive_do(&drive, "run setup=1 sum=cd");
    drive_refused(&drive,
                  "leg way=lap length=250 time=22.9 work=5600.000001 mean=10.9 squared=119 "
                  "in=10.9 out=11",
                  "very samples of run 1.1");
    drive_do(&drive, "leg way=lap length=250 time=22.9 work=5600.00001 mean=10.9 squared=119 "
                     "in=10.9 out=11");
    drive_end(&drive);
}
END_TEST

START_TEST(a_leg_is_left_out_and_taken_in_again)
{
    struct drive drive;
    struct problem problem = {0};
    start_laps(&drive);
    drive_do(&drive, "run setup=1 speed=wheel");
    drive_do(&drive, leg);
    drive_do(&drive, "leg way=lap left_out=\"power was 0 for over 3 s\"");
    drive_do(&drive, "reject run 1.1 \"a car passed\"");
    const struct session_record *record = session_records(drive.session);
    ck_assert(record->leg[0].left_out && record->leg[1].left_out);
    ck_assert_str_eq(record->leg[0].reason, "a car passed");
    drive_do(&drive, "restore run 1.1");
    ck_assert(!record->leg[0].left_out);
    /* nothing was worked out of the other: it stays out */
    ck_assert(!session_command(drive.session, "restore run 1.2", &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "power was 0"));
    drive_end(&drive);
}
END_TEST

/* Runs go with their setup where two are made one. */
START_TEST(runs_follow_their_setup)
{
    struct drive drive;
    start_laps(&drive);
    drive_do(&drive, "setup 2 \"again\"");
    drive_do(&drive, "run setup=2 speed=wheel");
    drive_do(&drive, "same 2 1");
    const struct session_record *record = session_records(drive.session);
    ck_assert_int_eq(record->run[0].setup, 0);
    drive_do(&drive, "undo");
    ck_assert_int_eq(record->run[0].setup, 1);
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("drag commands");
    TCase *tests = tcase_create("drag commands");
    suite_add_tcase(suite, tests);
    tcase_add_loop_test(tests, what_cannot_be_is_refused, 0, REFUSED);
    tcase_add_test(tests, steps_need_no_setup);
    tcase_add_test(tests, a_run_finds_its_setup_by_parts);
    tcase_add_test(tests, a_run_is_of_no_setup_that_was_taken_back);
    tcase_add_test(tests, legs_are_numbered_without_what_was_taken_back);
    tcase_add_test(tests, a_piece_s_number_has_a_length_and_a_size);
    tcase_add_test(tests, one_file_has_several_runs);
    tcase_add_test(tests, each_number_is_kept_in_its_place);
    tcase_add_test(tests, a_time_of_day_is_of_two_numbers);
    tcase_add_test(tests, a_ride_counts_once);
    tcase_add_test(tests, sums_that_differ_by_rounding_are_of_one_ride);
    tcase_add_test(tests, a_leg_is_left_out_and_taken_in_again);
    tcase_add_test(tests, runs_follow_their_setup);
    return test_main(suite);
}
