/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_LEARNING_H
#define HOLDLINE_ANALYSIS_LEARNING_H

#include "analysis/analysis.h"
#include "analysis/ride_summary.h"
#include "measure/practice_change.h"

/* A rider's practice over weeks, out of stored sessions (docs/practice.md): their tests, what they
 * show, what was practised, how it felt, and what comes next. Sessions are taken in one after the
 * other, oldest first, and are not wanted afterwards. */

#define LEARNING_DAYS_MAX 120
#define LEARNING_TESTS_MAX (EXACT_VALUES_MAX - PROGRESS_TESTS)

enum learning_phase {
    PHASE_BASE,     /* before the first practice */
    PHASE_PRACTICE, /* since */
    PHASE_KEEP,     /* KEEP_FIRST_DAYS or more after the last practice */
    PHASES,
};

/* Why a test is left out; the first that holds. */
enum test_left_out {
    TEST_COUNTS,
    TEST_NOT_WHOLE, /* cut short, stopped, left out by hand */
    TEST_NO_BAND,   /* nothing to be in: no target, no band, no readings */
    TEST_NOT_TIED,  /* the target is not of this day, and nothing ties the sensors to it */
    TEST_MOVED,     /* a level stepped within it: sensor or rider? */
    TEST_SLIPPED,   /* the board lay elsewhere before and after it: a sensor moved on that day */
    TEST_AWAY,      /* sat up, or not seen, for too much of it */
    TEST_TOO_SOON,  /* less than TEST_APART_H after the last practice */
    TEST_SECOND,    /* another one of the day counts */
    TEST_POWER,     /* ridden otherwise than the tests are */
    TEST_LEFT_OUTS,
};

struct learning_test {
    int64_t at_ms;   /* Unix time of its beginning */
    int64_t session; /* as the person names it */
    int hold;        /* its number there */
    enum learning_phase phase;
    enum test_left_out left_out;
    double power_w, cadence_per_min; /* NAN: not known */
    double posture_share;            /* of the time seen and not sat up */
    double board_apart_mm;           /* the board on the pads lay so far off the first day's, over
                                        BOARD_APART_MM: clamps, pads, or laid otherwise? 0: it did not */
    double guessed_share;            /* NAN: not asked */
    bool has[CHANNELS_MAX];          /* by learning's channels */
    struct practice_test result[CHANNELS_MAX];
    double offset_mm[CHANNELS_MAX], steadiness_mm[CHANNELS_MAX];
    double cues_per_min[CHANNELS_MAX]; /* that would have come: nothing is told in a test */
};

/* One session. Discomfort and signs by rating item; NAN: not asked. */
struct learning_day {
    int64_t at_ms, session;
    int test;                  /* the first one, -1: none */
    int pieces;                /* that are over */
    double piece_s, longest_s; /* all together; the longest */
    double ride_s;
    double told_share; /* in the band, of pieces with feedback, the worst channel; NAN: none */
    double discomfort[RATING_ITEMS]; /* at its end */
    double morning[RATING_ITEMS];    /* of the day before it, as it was asked here */
    bool sign;                       /* one that ends practice was told */
    bool sore;      /* PIECE_DISCOMFORT was told at any time of it: pieces grew no longer */
    bool rated;     /* how it felt was told */
    bool practised; /* pieces or a ride */
    bool untold;    /* practised, discomfort may be kept, and how it felt was not told */
};

#define LEARNING_RIDES_MAX 40 /* the latest */
struct learning_ride {
    int64_t at_ms, session;
    enum test_left_out doubt; /* what speaks against what is told of it; TEST_COUNTS: nothing */
    double board_apart_mm;    /* as of a test */
    struct ride_summary summary;
};

struct learning {
    char rider_code[NAME_SIZE];
    int channel_count; /* body channels with a band, by their names, as they came */
    char channel[CHANNELS_MAX][CHANNEL_NAME_SIZE];
    int day_count, test_count;
    struct learning_day day[LEARNING_DAYS_MAX];
    struct learning_test test[LEARNING_TESTS_MAX];
    int ride_count;
    struct learning_ride ride[LEARNING_RIDES_MAX];
    double board_mm; /* height of the board on the pads, as it was said last; NAN: never */
    int board_count; /* its range on the first day, by channel; a day further off than BOARD_ANEW_MM
                        is a first one again */
    char board_channel[CHANNELS_MAX][CHANNEL_NAME_SIZE];
    double board_range_mm[CHANNELS_MAX];
    enum answer health;  /* may discomfort be kept? As it was answered last; 0: never asked */
    int64_t target_from; /* the latest session that had one with a band; 0: none */
    int too_many;        /* days and tests that found no room */
    /* what follows, by learning_conclude */
    struct {
        struct practice_change practice, keep; /* keep: against the last practice tests */
        bool has_keep;
        struct trend trend; /* of shares, base and practice, a day */
        bool has_trend;
        struct censored_line lasting; /* of ln seconds over tests */
        bool has_lasting;
        bool depends; /* kept only while told */
    } of[CHANNELS_MAX];
    int counted[PHASES];
    int feedback_row;
    struct piece_length piece; /* the next one */
    enum discomfort_asks asks; /* the worst of all regions */
    int asks_item;             /* the region; -1: none, a sign */
    double total_most_s;       /* that all pieces may come to; INFINITY: no limit yet */
};

/* Nothing yet. */
void learning_begin(struct learning *learning);
/* One more session, later than those before. */
void learning_take(struct learning *learning, int64_t id, const struct session_record *record,
                   const struct analysis *analysis);
/* What they show together. */
void learning_conclude(struct learning *learning);
/* Tests of the base that are still wanted before the first practice; 0 once that was begun. */
int learning_base_wanted(const struct learning *learning);
/* How was the morning after? Asked after practice whose discomfort may be kept. */
bool learning_asks_morning(const struct learning *learning);
/* Pieces of the next session, within what all of them may come to. */
int learning_pieces(const struct learning *learning);
/* Tests of a phase that count, on a channel, in the order of time. */
size_t learning_tests(const struct learning *learning, int channel, enum learning_phase phase,
                      struct practice_test *tests, int64_t *at_ms, size_t most);

#endif
