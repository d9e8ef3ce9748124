/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What is taken of a rider's sessions of practice, and how many there is room for. */
#include "analysis/learning.h"
#include "measure/rules.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define DAY_MS 86400000

static struct learning *learning;
static struct session_record *record;
static struct analysis *analysis;
static int64_t id;

static void set_up(void)
{
    learning = malloc(sizeof *learning);
    record = calloc(1, sizeof *record);
    analysis = analysis_create();
    ck_assert(learning != NULL && record != NULL && analysis != NULL);
    learning_begin(learning);
    id = 0;
}

static void tear_down(void)
{
    free(learning);
    free(record);
    analysis_destroy(analysis);
}

/* A session of one hold, whose band was kept for so much of it. */
static struct hold_record *session(enum hold_purpose purpose, double share)
{
    session_record_clear(record);
    memset(analysis, 0, sizeof *analysis);
    record->started_ms = 1767225600000 + id * DAY_MS;
    record->build_count = record->placing_count = record->target_count = record->band_count = 1;
    record->hold_count = 1;
    record->placing[0].channel_count = 1;
    snprintf(record->placing[0].channel[0].name, CHANNEL_NAME_SIZE, "head");
    struct hold_record *hold = &record->hold[0];
    *hold = (struct hold_record){.number = 1,
                                 .purpose = purpose,
                                 .status = HOLD_COMPLETE,
                                 .planned_s = 120.0,
                                 .guessed_share = NAN};
    record->hold[1] = *hold; /* behind the last: taken back */
    record->hold[1].purpose = id % 2 == 0 ? PURPOSE_PIECE : PURPOSE_TEST;
    analysis->channel_count = 1;
    analysis->body[0] = true;
    snprintf(analysis->channel_name[0], CHANNEL_NAME_SIZE, "head");
    struct hold_result *result = &analysis->hold[0];
    result->has[0] = true;
    result->duration_s = 120.0;
    result->posture_share = 1.0;
    result->auxiliary_mean[AUXILIARY_POWER] = result->auxiliary_mean[AUXILIARY_CADENCE] = NAN;
    result->summary[0] = (struct hold_summary){.has_band = true,
                                               .in_band_share = share,
                                               .kept_s = 120.0,
                                               .readings = 6000,
                                               .sustain_s = 120.0};
    result->course[0].quarter[0].to_s = 30.0;
    return hold;
}

static void take(void)
{
    learning_take(learning, ++id, record, analysis);
}

static const struct learning_test *test_taken(void)
{
    int before = learning->test_count;
    take();
    ck_assert_int_eq(learning->test_count, before + 1);
    return &learning->test[before];
}

/* Each thing that a test can't be told without, by itself. */
START_TEST(a_test_without_a_band_is_none)
{
    session(PURPOSE_TEST, 0.7);
    const struct learning_test *good = test_taken();
    ck_assert(good->has[0] && good->left_out != TEST_NO_BAND);
    ck_assert_double_eq_tol(good->result[0].blocks, 120.0 / BLOCK_LENGTH_S, 1e-9);
    session(PURPOSE_TEST, 0.7);
    analysis->hold[0].summary[0].effective_n = 7.5; /* known better than by its length */
    ck_assert_double_eq(test_taken()->result[0].blocks, 7.5);
    for (int lacks = 0; lacks < 5; lacks++) {
        struct hold_record *hold = session(PURPOSE_TEST, 0.7);
        hold->target = lacks == 0 ? -1 : 0;
        analysis->body[0] = lacks != 1;
        analysis->hold[0].has[0] = lacks != 2;
        analysis->hold[0].summary[0].status = lacks == 3 ? MEASURE_TOO_FEW : MEASURE_OK;
        analysis->hold[0].summary[0].has_band = lacks != 4;
        const struct learning_test *test = test_taken();
        ck_assert(!test->has[0]);
        ck_assert_int_eq(test->left_out, TEST_NO_BAND);
    }
}
END_TEST

START_TEST(a_test_that_is_not_whole_is_left_out)
{
    for (int how = 0; how < 4; how++) {
        struct hold_record *hold = session(PURPOSE_TEST, 0.7);
        hold->status = how == 0 ? HOLD_STOPPED : how == 1 ? HOLD_CUT_SHORT : HOLD_COMPLETE;
        hold->rejected = how == 2;
        hold->kept_afterwards = how == 3;
        ck_assert_int_eq(test_taken()->left_out, TEST_NOT_WHOLE);
    }
    session(PURPOSE_TEST, 0.7)->status = HOLD_RUNNING; /* is not over: nothing yet */
    take();
    ck_assert_int_eq(learning->test_count, 4);
}
END_TEST

/* A sensor more than there is room for has no result; the others have theirs. */
START_TEST(channels_have_room_for_so_many)
{
    for (int c = 0; c <= CHANNELS_MAX; c++) {
        session(PURPOSE_TEST, 0.7);
        snprintf(analysis->channel_name[0], CHANNEL_NAME_SIZE, "part%d", c);
        const struct learning_test *test = test_taken();
        ck_assert_int_eq(test->left_out == TEST_NO_BAND, c == CHANNELS_MAX);
        ck_assert(c == CHANNELS_MAX || test->has[c]);
    }
    ck_assert_int_eq(learning->channel_count, CHANNELS_MAX);
    learning->day_count = 'A'; /* what stands behind the names is none of them */
    session(PURPOSE_TEST, 0.7);
    snprintf(analysis->channel_name[0], CHANNEL_NAME_SIZE, "A");
    learning_take(learning, id, record, analysis);
    ck_assert_int_eq(learning->test[CHANNELS_MAX + 1].left_out, TEST_NO_BAND);
}
END_TEST

/* What finds no room is counted; of rides the latest stay. */
START_TEST(days_and_tests_have_room_for_so_many)
{
    for (int t = 0; t < LEARNING_TESTS_MAX + 3; t++) {
        session(PURPOSE_TEST, 0.7);
        take();
    }
    ck_assert_int_eq(learning->test_count, LEARNING_TESTS_MAX);
    ck_assert_int_eq(learning->too_many, 3);
    ck_assert_int_eq(learning->day[LEARNING_TESTS_MAX].test, -1); /* of which there is none */
    ck_assert_int_eq(learning->day_count, LEARNING_TESTS_MAX + 3);
    while (learning->day_count < LEARNING_DAYS_MAX) {
        session(PURPOSE_RIDE, 0.7);
        analysis->hold[0].start_s = 90.5;
        take();
    }
    ck_assert_int_eq(learning->ride[LEARNING_RIDES_MAX - 1].at_ms, record->started_ms + 90500);
    ck_assert_int_eq(learning->ride_count, LEARNING_RIDES_MAX);
    ck_assert_int_eq(learning->ride[LEARNING_RIDES_MAX - 1].session, LEARNING_DAYS_MAX);
    session(PURPOSE_PIECE, 0.7);
    take();
    ck_assert_int_eq(learning->day_count, LEARNING_DAYS_MAX);
    ck_assert_int_eq(learning->too_many, 4);
}
END_TEST

/* How it felt at the end is that of the end, on the morning after that of the morning; what was
 * told at any time of the day counts for the day. */
START_TEST(a_days_ratings)
{
    session(PURPOSE_PIECE, 0.9);
    record->rating_count = 3;
    for (int r = 0; r < 3; r++) {
        for (int item = 0; item < RATING_ITEMS; item++) {
            record->rating[r].value[item] = (double)NAN;
        }
    }
    record->rating[0].morning = true;
    record->rating[0].value[RATING_NECK] = 8;
    record->rating[1].value[RATING_NECK] = 1;
    record->rating[2].value[RATING_HANDS] = 2;
    take();
    const struct learning_day *day = &learning->day[0];
    ck_assert_double_eq(day->morning[RATING_NECK], 8);
    ck_assert_double_eq(day->discomfort[RATING_NECK], 1);
    ck_assert_double_eq(day->discomfort[RATING_HANDS], 2);
    ck_assert(day->rated && !day->sore && isnan(day->morning[RATING_HANDS]));
    session(PURPOSE_PIECE, 0.9);
    record->rating_count = 1;
    memset(&record->rating[0], 0, sizeof record->rating[0]);
    record->rating[0].morning = true;
    record->rating[0].value[RATING_NECK] = 8;
    take();
    ck_assert(!learning->day[1].rated && !learning->day[1].sore); /* that was of the day before */
    session(PURPOSE_PIECE, 0.9);
    record->rating_count = 2;
    memset(record->rating, 0, 2 * sizeof record->rating[0]);
    record->rating[0].value[RATING_NUMB_HANDS] = ANSWER_YES;
    record->rating[1].value[RATING_NECK] = 9;
    take();
    ck_assert(learning->day[2].sign && learning->day[2].sore && learning->day[2].rated);
    ck_assert_int_eq(learning->target_from, 3); /* the latest with a target and a band */
    session(PURPOSE_PIECE, 0.9)->target = -1;
    record->target_count = 0;
    take();
    session(PURPOSE_PIECE, 0.9);
    record->band_count = 0;
    take();
    ck_assert_int_eq(learning->target_from, 3);
}
END_TEST

/* The next piece hangs on the last that counts; of one of no said length on how long it was. */
START_TEST(pieces_that_count_say_how_long_the_next_is)
{
    double first_s = learning->piece.length_s;
    session(PURPOSE_PIECE, 0.2)->rejected = true;
    take();
    ck_assert_double_eq(learning->piece.length_s, first_s);
    session(PURPOSE_PIECE, 0.2);
    analysis->hold[0].summary[0].has_band = false; /* nothing is known of it */
    take();
    ck_assert_double_eq(learning->piece.length_s, first_s);
    session(PURPOSE_PIECE, 0.2)->planned_s = INFINITY;
    analysis->hold[0].duration_s = 90.0;
    take();
    struct piece_length open = learning->piece;
    session(PURPOSE_PIECE, 0.2)->planned_s = 90.0;
    take();
    ck_assert_double_eq(learning->piece.length_s, open.length_s);
    ck_assert_int_eq(learning->day[3].pieces, 1);
}
END_TEST

/* Rides are told beside pieces; of who said that trouble is old or there, a day of practice without
 * a word on how it felt is untold, of others nothing is. */
START_TEST(a_day_has_its_rides_and_what_was_not_told)
{
    static const struct {
        enum hold_purpose purpose;
        enum answer health;
        int ratings;
        bool untold;
    } rows[] = {{PURPOSE_RIDE, ANSWER_YES, 0, true},
                {PURPOSE_RIDE, ANSWER_YES, 1, false},
                {PURPOSE_RIDE, ANSWER_NO, 0, false},
                {PURPOSE_TEST, ANSWER_YES, 0, false}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        session(rows[i].purpose, 0.7);
        record->rider.health = rows[i].health;
        record->rating_count = rows[i].ratings;
        take();
        const struct learning_day *day = &learning->day[learning->day_count - 1];
        ck_assert_double_eq(day->ride_s, rows[i].purpose == PURPOSE_RIDE ? 120.0 : 0.0);
        ck_assert_int_eq(day->pieces, 0);
        ck_assert_msg(day->untold == rows[i].untold, "row %zu", i);
    }
}
END_TEST

/* How the morning after was is asked where there was practice, and how it felt was told. */
START_TEST(the_morning_after_practice_is_asked)
{
    ck_assert(!learning_asks_morning(learning));
    for (int what = 0; what < 3; what++) {
        session(what == 0 ? PURPOSE_TEST : PURPOSE_PIECE, 0.9);
        record->rating_count = what == 1 ? 0 : 1;
        record->rating[0].morning = false;
        take();
        ck_assert(learning_asks_morning(learning) == (what == 2));
    }
}
END_TEST

/* A test a time after practice is of another phase; one before it, by its clock, is not. */
START_TEST(practice_counts_from_when_it_was)
{
    session(PURPOSE_PIECE, 0.9);
    take();
    session(PURPOSE_TEST, 0.7);
    ck_assert_int_eq(test_taken()->phase, PHASE_PRACTICE);
    session(PURPOSE_TEST, 0.7);
    record->started_ms = 1767225600000 - DAY_MS;
    ck_assert_int_eq(test_taken()->phase, PHASE_BASE);
    session(PURPOSE_PIECE, 0.9)->status = HOLD_RUNNING; /* not over: no practice yet */
    take();
    ck_assert(!learning->day[learning->day_count - 1].practised);
}
END_TEST

/* Of the board's ranges there is room for as many sensors as there can be. One that is read again
 * on the day is that of the day's end; on another day it begins anew where it is far off. */
START_TEST(boards_have_room_for_so_many)
{
    for (int c = 0; c <= CHANNELS_MAX; c++) {
        session(PURPOSE_TEST, 0.7);
        record->tie_reading_count = 2;
        snprintf(record->placing[0].channel[0].name, CHANNEL_NAME_SIZE, "part%d", c);
        for (int i = 0; i < 2; i++) {
            record->tie_reading[i] = (struct tie_reading_record){.kind = TIE_READING_PLATE,
                                                                 .value_mm = 400.0 + 50.0 * i + c,
                                                                 .plate_height_mm = 15.0 + i,
                                                                 .rest = REST_PADS};
        }
        take();
        ck_assert_int_eq(learning->board_count, c < CHANNELS_MAX ? c + 1 : CHANNELS_MAX);
        ck_assert_double_eq(learning->board_mm, 16.0);
    }
    for (int c = 0; c < CHANNELS_MAX; c++) {
        ck_assert_double_eq(learning->board_range_mm[c], 450.0 + c);
    }
}
END_TEST

/* A board over 10 mm off the first day's that was ridden on with is told of each test of that
 * build, also where it is so far that it is the first one from there on; what was read on another
 * build, of a plate that is no board, or laid right at last, is not. */
START_TEST(a_board_that_lay_elsewhere_is_told)
{
    static const struct {
        double read_mm[2];
        int build;
        double apart_mm;
        bool plate;
    } days[] = {{{400.0, 400.0}, 0, 0.0, false},  {{409.0, 409.0}, 0, 0.0, false},
                {{440.0, 440.0}, 0, 0.0, true},   {{420.0, 420.0}, 0, 20.0, false},
                {{420.0, 401.0}, 0, 0.0, false},  {{420.0, 420.0}, 1, 0.0, false},
                {{440.0, 440.0}, 0, 40.0, false}, {{441.0, 441.0}, 0, 0.0, false},
                {{400.0, 425.0}, 0, 15.0, false}};
    for (size_t d = 0; d < sizeof days / sizeof days[0]; d++) {
        session(PURPOSE_TEST, 0.7);
        record->target[0] = (struct target_record){.capture = 0, .build = 0};
        record->build_count = 2;
        record->tie_reading_count = 2;
        for (int i = 0; i < 2; i++) {
            record->tie_reading[i] =
                (struct tie_reading_record){.kind = TIE_READING_PLATE,
                                            .build = days[d].build,
                                            .value_mm = days[d].read_mm[i],
                                            .plate_height_mm = NAN,
                                            .rest = days[d].plate ? REST_PLATE : REST_PADS};
        }
        const struct learning_test *test = test_taken();
        ck_assert_double_eq(test->board_apart_mm, days[d].apart_mm);
        ck_assert_int_eq(test->left_out, TEST_COUNTS);
    }
}
END_TEST

/* Of a session's tests one counts; a test on a target that is of this build is beside it. */
START_TEST(a_second_test_of_a_session)
{
    for (int first_counts = 0; first_counts < 2; first_counts++) {
        struct hold_record *hold = session(PURPOSE_TEST, 0.7);
        record->target[0] = (struct target_record){.capture = 0, .build = 0};
        record->hold_count = 2;
        hold[0].rejected = !first_counts;
        hold[1] = hold[0];
        hold[1].number = 2;
        hold[1].rejected = false;
        analysis->hold[1] = analysis->hold[0];
        int before = learning->test_count;
        take();
        ck_assert_int_eq(learning->test_count, before + 2);
        ck_assert_int_eq(learning->test[before].left_out,
                         first_counts ? TEST_COUNTS : TEST_NOT_WHOLE);
        ck_assert_int_eq(learning->test[before + 1].left_out,
                         first_counts ? TEST_SECOND : TEST_COUNTS);
    }
}
END_TEST

/* Three sessions of one evening are no three days: a test within 12 hours of one that counts is the
 * second of its day, also by a clock that was set back. */
START_TEST(a_second_test_of_a_day)
{
    static const struct {
        double after_h;
        enum test_left_out left_out;
    } rows[] = {{0.2, TEST_SECOND}, {11.9, TEST_SECOND}, {-1.0, TEST_SECOND}, {12.1, TEST_COUNTS}};
    session(PURPOSE_TEST, 0.7);
    record->target[0] = (struct target_record){.capture = 0, .build = 0};
    int64_t first_ms = record->started_ms;
    ck_assert_int_eq(test_taken()->left_out, TEST_COUNTS);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        session(PURPOSE_TEST, 0.7);
        record->target[0] = (struct target_record){.capture = 0, .build = 0};
        record->started_ms = first_ms + (int64_t)(rows[i].after_h * 3600e3);
        ck_assert_int_eq(test_taken()->left_out, rows[i].left_out);
    }
}
END_TEST

/* As many sensors of the body as there can be, of which one alone has a band; the last of them is
 * not tied to the target, or a slip was found of it, or the hold stepped. When it was, by its own
 * start. */
START_TEST(a_test_of_as_many_sensors_as_there_can_be)
{
    for (int how = 0; how < 4; how++) {
        session(PURPOSE_TEST, 0.7);
        int last = CHANNELS_MAX - 1;
        record->target[0] = (struct target_record){.capture = 0, .build = 0};
        analysis->channel_count = CHANNELS_MAX;
        for (int c = 0; c < CHANNELS_MAX; c++) {
            analysis->body[c] = true;
            snprintf(analysis->channel_name[c], CHANNEL_NAME_SIZE, "part%d", c);
            analysis->hold[0].has[c] = true;
            analysis->hold[0].summary[c] = analysis->hold[0].summary[0];
            analysis->hold[0].summary[c].has_band = c == last;
        }
        analysis->hold[0].start_s = 90.5;
        analysis->hold[0].stepped = how == 1;
        analysis->tie[0][last].found.kind = how == 2 ? TIE_FOUND_ENDS : TIE_FOUND_NOTHING;
        record->target[0].build = how == 3 ? 1 : 0;
        const struct learning_test *test = test_taken();
        ck_assert_int_eq(test->left_out, how == 0   ? TEST_COUNTS
                                         : how == 1 ? TEST_MOVED
                                         : how == 2 ? TEST_SLIPPED
                                                    : TEST_NOT_TIED);
        ck_assert(test->has[0]); /* the one part that there is something to say of */
        ck_assert_str_eq(learning->channel[0], "part7");
        ck_assert_int_eq(test->at_ms, record->started_ms + 90500);
    }
}
END_TEST

/* Told during a piece of which nothing is known: the day has no share of it. */
START_TEST(a_piece_without_a_band_has_no_share)
{
    for (int known = 0; known < 2; known++) {
        session(PURPOSE_PIECE, 0.9)->told = TOLD_SEEN;
        analysis->hold[0].summary[0].has_band = known;
        take();
        ck_assert(isnan(learning->day[known].told_share) == !known);
    }
    ck_assert_double_eq(learning->day[1].told_share, 0.9);
}
END_TEST

/* A rider with two sensors, of which one has no band in some tests: what is told of tests together
 * is of those that have it. */
START_TEST(each_part_has_its_own_tests)
{
    static const bool has[][2] = {{true, true}, {true, false}, {false, true}, {true, true}};
    struct practice_test tests[LEARNING_TESTS_MAX];
    int64_t at_ms[LEARNING_TESTS_MAX];
    for (int t = 0; t < 4; t++) {
        session(PURPOSE_TEST, 0.5 + 0.1 * t);
        record->target[0] = (struct target_record){.capture = 0, .build = 0};
        analysis->channel_count = 2;
        snprintf(analysis->channel_name[1], CHANNEL_NAME_SIZE, "chest");
        analysis->hold[0].summary[1] = analysis->hold[0].summary[0];
        analysis->hold[0].course[1] = analysis->hold[0].course[0];
        for (int c = 0; c < 2; c++) {
            analysis->body[c] = true;
            analysis->hold[0].has[c] = has[t][c];
        }
        take();
        id++; /* a day between */
    }
    learning_conclude(learning);
    for (int c = 0; c < 2; c++) {
        size_t count = learning_tests(learning, c, PHASE_BASE, tests, at_ms, LEARNING_TESTS_MAX);
        ck_assert_uint_eq(count, 3);
        ck_assert_double_eq_tol(tests[1].share, c == 0 ? 0.6 : 0.7, 1e-12);
        ck_assert_uint_eq(learning_tests(learning, c, PHASE_BASE, tests, at_ms, 2), 2);
        ck_assert(!learning->of[c].has_trend); /* of three */
        ck_assert(!learning->of[c].has_keep);
    }
}
END_TEST

/* What the sessions taken so far come to. */
static const struct learning *concluded(void)
{
    static struct learning made;
    made = *learning;
    learning_conclude(&made);
    return &made;
}

/* What is felt at the end of a day's practice asks for less of it, by the region that asks most; a
 * piece that was stopped is not kept, however well. */
START_TEST(what_hurts_asks_for_less)
{
    for (int day = 0; day < 2; day++) {
        session(PURPOSE_PIECE, 0.95);
        record->rating_count = 1;
        for (int item = 0; item < RATING_ITEMS; item++) {
            record->rating[0].value[item] = (double)NAN;
        }
        record->rating[0].value[RATING_HANDS] = 1;
        record->rating[0].value[RATING_NECK] = day == 0 ? 3 : 5;
        take();
        ck_assert_int_eq(concluded()->asks, day == 0 ? DISCOMFORT_NOTHING : DISCOMFORT_SHORTER);
    }
    ck_assert_int_eq(concluded()->asks_item, RATING_NECK);
    session(PURPOSE_PIECE, 0.95)->planned_s = 100.0;
    take();
    ck_assert_double_ge(learning->piece.length_s, 100.0);
    session(PURPOSE_PIECE, 0.95)->planned_s = 100.0;
    record->hold[0].status = HOLD_STOPPED;
    take();
    ck_assert_double_lt(learning->piece.length_s, 100.0);
}
END_TEST

/* A base that rises from test to test wants two more, and no third; with a clock that was set back
 * between two of them there is no trend over days. */
START_TEST(a_base_that_goes_on_rising)
{
    for (int t = 0; t < 5; t++) {
        session(PURPOSE_TEST, 0.5 + 0.05 * t);
        record->target[0] = (struct target_record){.capture = 0, .build = 0};
        take();
        id++;
        ck_assert_int_eq(learning_base_wanted(concluded()), t < 2 ? 2 - t : 4 - t);
        ck_assert_int_eq(concluded()->of[0].has_trend, t >= 3);
    }
    session(PURPOSE_TEST, 0.9);
    record->target[0] = (struct target_record){.capture = 0, .build = 0};
    record->started_ms = 1767225600000 + DAY_MS / 2;
    take();
    ck_assert(!concluded()->of[0].has_trend);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("learning_taken");
    TCase *tests = tcase_create("learning_taken");
    suite_add_tcase(suite, tests);
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, a_test_without_a_band_is_none);
    tcase_add_test(tests, a_test_that_is_not_whole_is_left_out);
    tcase_add_test(tests, channels_have_room_for_so_many);
    tcase_add_test(tests, days_and_tests_have_room_for_so_many);
    tcase_add_test(tests, a_days_ratings);
    tcase_add_test(tests, a_day_has_its_rides_and_what_was_not_told);
    tcase_add_test(tests, the_morning_after_practice_is_asked);
    tcase_add_test(tests, practice_counts_from_when_it_was);
    tcase_add_test(tests, pieces_that_count_say_how_long_the_next_is);
    tcase_add_test(tests, boards_have_room_for_so_many);
    tcase_add_test(tests, a_board_that_lay_elsewhere_is_told);
    tcase_add_test(tests, a_second_test_of_a_session);
    tcase_add_test(tests, a_second_test_of_a_day);
    tcase_add_test(tests, a_piece_without_a_band_has_no_share);
    tcase_add_test(tests, a_test_of_as_many_sensors_as_there_can_be);
    tcase_add_test(tests, each_part_has_its_own_tests);
    tcase_add_test(tests, what_hurts_asks_for_less);
    tcase_add_test(tests, a_base_that_goes_on_rising);
    return test_main(suite);
}
