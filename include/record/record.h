/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RECORD_RECORD_H
#define HOLDLINE_RECORD_RECORD_H

#include "base/uuid.h"
#include "bike/bolts.h"
#include "bike/carrier.h"
#include "bike/fields.h"
#include "bike/limits.h"
#include "measure/cue.h"
#include "measure/cue_sound.h"
#include "measure/moderated.h"
#include "measure/practice.h"
#include "record/drag_record.h"
#include "record/enum_words.h"
#include "record/rating.h"
#include "rig/sample.h"

#include <math.h>
#include <stdint.h>

/* Plain structs of what a session consists of, and one struct that holds a whole session: the
 * session machine fills it, the store saves and loads it, analysis and reports read it. No
 * behaviour. Records point at each other by index in their array (-1 = none). Texts are cleaned
 * UTF-8. Samples are named by their number within the session.
 *
 * undone, in any of them: it was taken back. Such a record stays in the store; in a session_record
 * there is none (record/sound.h takes them out where a session is read), so nothing counts it. */

#define NAME_SIZE 96
#define TEXT_SIZE 256

/* Longer no session goes on, with all that it stood still. */
#define SESSION_MOST_S (7 * 86400.0)

#define PLACINGS_MAX 8
#define SETUPS_MAX 40
#define BUILDS_MAX 100
#define TIES_MAX 400
#define TARGETS_MAX 40
#define BANDS_MAX 60
#define CAPTURES_MAX 500
#define HOLDS_MAX 400
#define RATINGS_MAX 100
#define MARKS_MAX 1000
#define NOTES_MAX 200
#define CHECKS_MAX 100
#define CUE_SOUNDS_MAX 1000 /* seven hours of a rider who is out nearly all the time */

struct rider_record {
    struct uuid uuid;
    char code[NAME_SIZE]; /* 'R-07': what the fitter calls the rider */
    char name[NAME_SIZE];
    char watch_for[TEXT_SIZE]; /* old trouble to watch for */
    bool undone;
    enum answer health; /* may ratings of discomfort be kept at home? 0: not asked */
};

struct bike_record {
    struct uuid uuid;
    char name[NAME_SIZE];
    struct bike_values frame; /* frame values and, where given, the parts as the bike came */
    bool undone;
};

enum channel_role { ROLE_BODY, ROLE_REFERENCE, ROLE_AUXILIARY };
struct channel_record {
    char name[CHANNEL_NAME_SIZE]; /* 'head' */
    enum channel_role role;
    char mark[NAME_SIZE]; /* the named mark on the body: 'chin strap' */
    bool mounted;         /* mount was given; else ranges only: 'height not tied' */
    struct sensor_mount mount;
    double gain, offset_mm; /* calibration: true range = gain * range + offset; 1 and 0 */
};

/* One placing of the sensors. Channels in the order of the samples' columns. */
struct placing_record {
    struct uuid uuid;
    int64_t first_sample;
    char rig_id[64];
    double announced_rate_hz;
    int channel_count;
    struct channel_record channel[CHANNELS_MAX];
    bool undone;
};

struct setup_record {
    struct uuid uuid;
    int number;              /* 1, 2, ... as the fitter counts; 1 is the bike as it came */
    char intent[TEXT_SIZE];  /* 'spacers out, pads down' */
    struct bike_values bike; /* frame and all parts */
    bool undone;
};

struct build_record {
    struct uuid uuid;
    int setup, placing;
    int ordinal;          /* 1, 2, ... among the builds of this setup */
    int64_t first_sample; /* from here on the bike was like this */
    enum answer moved;   /* did a sensor move since the build before, by what nobody entered? 0: not
                            asked, or not answered */
    enum answer slipped; /* was it a sensor that slipped since this setup's build before, where the
                            two disagree (analysis/slip.h)? 0: not asked, or not answered */
    bool undone;
};

/* What the plate of a reading was. */
enum plate_rest { REST_PLATE, REST_PADS /* a board across the arm pads, which a rider can lay */ };

enum tie_reading_kind { TIE_READING_PLATE, TIE_READING_TAPE };
struct tie_reading_record {
    struct uuid uuid;
    enum tie_reading_kind kind;
    int build, channel;
    double value_mm;        /* plate: range to the plate; tape: sensor over the bottom bracket */
    double plate_height_mm; /* plate's height over the bottom bracket, NAN = unknown, unchanging */
    int64_t at_sample;      /* when it was entered (log only) */
    bool undone;
    enum plate_rest rest;
};

enum capture_kind { CAPTURE_TARGET, CAPTURE_HOLD, CAPTURE_PLATE, CAPTURE_CHECK };
/* A stretch of the recorded stream. */
struct capture_record {
    struct uuid uuid;
    enum capture_kind kind;
    int64_t first_sample, last_sample; /* inclusive; last 0 while it is still going on */
    bool undone;
};

/* The agreed posture. Heights are recomputed from the capture whenever a tie changes. */
struct target_record {
    struct uuid uuid;
    int capture, build;
    double until_mm;
    bool kept; /* the fitter kept it (or it reached until_mm) */
    /* as entered instead of captured: heights over the bottom bracket, NAN = from the capture */
    double entered_mm[CHANNELS_MAX];
    /* and how well they are known, 95 % (an earlier session's target); NAN = not said */
    double entered_half_width_mm[CHANNELS_MAX];
    bool undone;
};

struct band_record {
    struct uuid uuid;
    int64_t from_sample;
    struct cue_settings cue[CHANNELS_MAX]; /* limits and the cue's settings, per channel */
    bool limited[CHANNELS_MAX];            /* false: no band on this channel */
    bool undone;
};

enum hold_status {
    HOLD_RUNNING,
    HOLD_COMPLETE,
    HOLD_STOPPED,  /* ended early by the fitter */
    HOLD_CUT_SHORT /* crash or end of the session */
};
/* What a hold was ridden for, in practice at home (measure/practice.h). */
enum hold_purpose {
    PURPOSE_NONE,  /* of a session in the studio */
    PURPOSE_TEST,  /* nothing is shown: it tells what was learnt */
    PURPOSE_PIECE, /* of practice */
    PURPOSE_RIDE,  /* a long one, without a length of its own */
    PURPOSES,
};

/* Whether the rider sat up before a free hold, since the hold before it on the build. */
enum resit {
    RESIT_UNKNOWN,  /* not looked for, or not to be seen */
    RESIT_SEEN,     /* the body came up */
    RESIT_NOT_SEEN, /* it did not */
    RESIT_SAID,     /* the fitter says so */
    RESITS
};

struct hold_record {
    struct uuid uuid;
    int number; /* 1, 2, ... in the session */
    int capture, build;
    int target, band;     /* in force, or -1 */
    bool guided;          /* gauge seen by the rider */
    bool kept_afterwards; /* 'keep the last 60 s': left out of verdicts */
    double planned_s;
    enum hold_status status;
    bool rejected;
    char reject_reason[TEXT_SIZE];
    bool undone;
    enum hold_purpose purpose;
    enum told_way told;   /* how the rider was told */
    double guessed_share; /* in the band, as the rider guessed before being told; NAN = not asked */
    enum resit resit;
};

enum mark_kind { MARK_SLID, MARK_LOOKED, MARK_DRANK, MARK_COUGHED, MARK_TALKED, MARKS };
struct mark_record {
    enum mark_kind kind;
    int hold; /* or -1 */
    int64_t sample;
    bool cut; /* the stretch from 1 s before to 3 s after is left out of the measures */
    bool undone;
};

/* In which holds the cue is heard. */
enum sounds_kind { SOUNDS_GUIDED, SOUNDS_ALL, SOUNDS_OFF, SOUNDS_KINDS };

/* A sound that told the rider of the cue. */
struct cue_sound_record {
    enum cue_sound kind;
    int channel; /* of the placing then; of being in again the one that stands for all */
    int hold;
    int64_t sample;
    bool undone;
};

struct note_record {
    struct uuid uuid;
    int64_t sample;
    char text[TEXT_SIZE];
    bool undone;
};

/* A check of the sensors, as it was judged when it ended. */
enum check_kind {
    CHECK_STILL,
    CHECK_STEP,
    CHECK_BEAM,
    CHECK_RIDER,
    CHECK_CALIBRATION,
    CHECK_KINDS
};
enum check_verdict {
    CHECK_PASSED,
    CHECK_FAILED,
    CHECK_UNCERTAIN, /* the readings scatter too much, or there were too few, to tell */
    CHECK_VERDICTS,
};
enum check_quantity {
    CHECK_RANGE, /* mean, or before the movement */
    CHECK_NOISE, /* white noise SD of a still sensor */
    CHECK_DRIFT,
    CHECK_DRIFT_HALF_WIDTH,
    CHECK_QUANTUM, /* the smallest step between readings */
    CHECK_BEST_AVERAGING,
    CHECK_BEST_DEVIATION, /* the Allan deviation's minimum */
    CHECK_VALID_SHARE,
    CHECK_BLOCK_STEP,
    CHECK_BLOCK_STEP_U,
    CHECK_LIMIT,
    CHECK_SCALE_ERROR,
    CHECK_SHIFT, /* of the range: lasting */
    CHECK_DOWN,
    CHECK_UP,        /* furthest from where it was before, of what was judged */
    CHECK_CROSSTALK, /* share of the checked channel's movement that shows in this one */
    CHECK_GAIN,
    CHECK_GAIN_U,
    CHECK_OFFSET,
    CHECK_RESIDUAL_SD,
    CHECK_WORST_RESIDUAL,
    CHECK_LACK_OF_FIT_P,
    CHECK_QUANTITIES,
};
struct check_quantity_field {
    const char *key, *words, *unit;
};
extern const struct check_quantity_field
    check_quantities[CHECK_QUANTITIES]; /* src/record/record.c */
struct check_number {
    enum check_quantity quantity;
    int channel;
    int phase; /* of the rider test, whose movement it is; else 0 */
    double value;
};
#define CHECK_PHASES_MAX 12
#define CHECK_NUMBERS_MAX 64
#define CHECK_WORDS_SIZE 512
struct check_record {
    struct uuid uuid;
    enum check_kind kind;
    int placing, build;
    int channel;                       /* -1: all that were to be checked */
    int capture, phase_count;          /* a capture a phase, one after the other from this one on */
    double asked_mm[CHECK_PHASES_MAX]; /* step and beam: [0] the block; calibration: each phase's
                                          known distance; NAN = none */
    enum check_verdict verdict;
    char words[CHECK_WORDS_SIZE];
    int number_count;
    struct check_number number[CHECK_NUMBERS_MAX];
    bool undone;
};

/* How one channel's holds repeated before this session, and what that is worth
 * (measure/moderated.h): of the same rider, and of the store's others. */
struct learnt_repeatability {
    double rider_sd_mm, rider_df; /* NAN = nothing */
    int rider_sessions;
    double store_sd_mm, store_df;
    int store_sessions;
};

/* Which of it has a say. */
enum learnt_from { LEARNT_FROM_ALL, LEARNT_FROM_RIDER, LEARNT_FROM_STORE, LEARNT_FROM_NONE };

/* What the comparison is made with; set before the first hold. */
struct comparison_settings {
    double matters_mm[CHANNELS_MAX]; /* D: 10 */
    int baseline_setup;              /* number of the setup compared against: 1 */
    int chosen_setup;                /* number of the setup the rider's sheet is about; 0 = none */
    char found_by[TEXT_SIZE];        /* what the rider sees and feels there, as told; may be "" */
    double trunk_slope_deg;          /* NAN = no addition for fore-aft shifts */
    struct learnt_repeatability learnt[CHANNELS_MAX];
    enum learnt_from learnt_from;
};

/* The session's own row, without the arrays. */
struct session_header {
    struct uuid uuid;
    int64_t started_ms;
    uint64_t seed;
    char version[24];
    bool ended;
    struct comparison_settings settings;
    struct bike_limits limits;
    struct bike_torques torques;
    struct drag_settings drag;
};

struct session_record {
    struct uuid uuid;
    int64_t started_ms; /* Unix time of sample axis 0 */
    uint64_t seed;
    char version[24]; /* of the program that recorded it */
    bool ended;
    int64_t last_sample;
    int64_t last_time_us;
    bool has_rider, has_bike;
    struct rider_record rider;
    struct bike_record bike;
    struct comparison_settings settings;
    struct bike_limits limits; /* from the makers' papers, where entered */
    struct bike_torques torques;
    struct drag_settings drag;
    int placing_count;
    struct placing_record placing[PLACINGS_MAX];
    int setup_count;
    struct setup_record setup[SETUPS_MAX];
    int build_count;
    struct build_record build[BUILDS_MAX];
    int tie_reading_count;
    struct tie_reading_record tie_reading[TIES_MAX];
    int capture_count;
    struct capture_record capture[CAPTURES_MAX];
    int target_count;
    struct target_record target[TARGETS_MAX];
    int band_count;
    struct band_record band[BANDS_MAX];
    int hold_count;
    struct hold_record hold[HOLDS_MAX];
    int mark_count;
    struct mark_record mark[MARKS_MAX];
    int rating_count;
    struct rating_record rating[RATINGS_MAX];
    int note_count;
    struct note_record note[NOTES_MAX];
    int check_count;
    struct check_record check[CHECKS_MAX];
    int cue_sound_count;
    struct cue_sound_record cue_sound[CUE_SOUNDS_MAX];
    int air_count;
    struct air_record air[AIRS_MAX];
    int run_count;
    struct run_record run[RUNS_MAX];
    int leg_count;
    struct leg_record leg[LEGS_MAX];
};

/* An empty session: every value 'not given', in the places of records that are still to come, too.
 */
void session_record_clear(struct session_record *record);
/* The same without those places, which are left as they were: for who writes a record whole when
 * there is one more. They are 1.6 MB, of which a session touches little. */
void session_record_begin(struct session_record *record);
/* Copies what is in use of a record. */
void session_record_copy(struct session_record *to, const struct session_record *from);
/* What its own row holds, out of a session and into it. */
void session_record_header(const struct session_record *record, struct session_header *header);
void session_record_take_header(struct session_record *record, const struct session_header *header);
/* Index of the setup with this number, or -1. */
int session_record_setup(const struct session_record *record, int number);
/* Has a build (its index) holds or a captured target; a setup these, or runs? */
bool session_record_build_has_captures(const struct session_record *record, int build);
bool session_record_has_captures(const struct session_record *record, int setup);
/* No number of a check is there, and it is of nothing. */
void check_record_clear(struct check_record *check);
/* A board on the pads whose height nobody said, from which heights are told in place of the bottom
 * bracket: it stands at 0. */
bool tie_reading_is_datum(const struct tie_reading_record *reading);
/* Index of the setup that others are compared with: the first one where it is not there. */
int session_record_baseline(const struct session_record *record);
/* Index of the run that '3' names, in '3.2' with its second lap or leg; *leg -1: the whole run.
 * False where there is none of that name. */
bool session_record_ridden(const struct session_record *record, const char *text, int *run,
                           int *leg);

/* One logged input of the session machine: replaying samples and these gives the same session. */
#define COMMAND_TEXT_SIZE 1024
#define COMMANDS_MAX 100000 /* of a log that is read: some weeks' typing */
struct command_record {
    int64_t ordinal;      /* 1, 2, ... */
    int64_t after_sample; /* taken when this sample had been seen (0 = before the first) */
    char text[COMMAND_TEXT_SIZE];
};

/* Nothing learnt. */
void learnt_clear(struct learnt_repeatability *learnt);
/* What of it has a say: of one hold. */
struct spread learnt_spread(const struct comparison_settings *settings, int channel);

/* A range as the calibration in force has it; the reading in tenths of a millimetre, as sent. */
double calibrated_mm(const struct channel_record *channel, double range_tenth_mm);

#endif
