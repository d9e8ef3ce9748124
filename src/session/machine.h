/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_MACHINE_H
#define HOLDLINE_SESSION_MACHINE_H

/* The inside of the session machine, shared by the files of src/session only. */

#include "analysis/check.h"
#include "base/words.h"
#include "journal.h"
#include "measure/cue.h"
#include "session/memory.h"
#include "session/session.h"
#include "session/snapshot.h"

#define MACHINE_SETTLE_S 5.0 /* a rider wants some 5 s to settle (common practice, no source) */
#define MACHINE_PLATE_S 5.0
#define MACHINE_RATE_SAMPLES                                                                       \
    100 /* after so many samples the rate is taken from the time stamps                            \
         */
#define MACHINE_QUICK_HZ 3.0
#define MACHINE_SHOWN_BLOCKS 4 /* digits: mean of 4 blocks of 0.25 s */

/* What is being done with the stream just now. */
enum activity { ACTIVITY_NONE, ACTIVITY_HOLD, ACTIVITY_TARGET, ACTIVITY_PLATE, ACTIVITY_CHECK };

struct live_channel {
    struct cue_machine slow;  /* the posture, and the cue */
    struct cue_machine quick; /* where the body is this instant */
    bool started;
    double block_sum[MACHINE_SHOWN_BLOCKS];
    int block_count[MACHINE_SHOWN_BLOCKS];
    double shown_mm;
    float step_low, step_high; /* of the history step in progress */
};

struct session {
    effect_sink *sink;
    void *sink_context;
    struct session_origin origin;
    struct session_record record;
    struct analysis *analysis;
    struct sample_memory *memory;
    int64_t command_ordinal;
    const char *pending_command; /* logged before its first effect */

    /* the stream */
    bool has_rig, has_sample;
    struct sample last;
    double rate_hz;
    int64_t rate_from_us;
    int rate_samples;
    bool rate_measured;

    /* current places in record; -1 = none */
    int placing, build, target, band;
    struct cue_settings cue[CHANNELS_MAX]; /* settings in force for the next band */
    int proposal_count[CHANNELS_MAX];      /* bands proposed from the target's capture */
    struct band_proposal proposal[CHANNELS_MAX][BAND_PROPOSALS_MAX];

    /* hold, target or plate in progress */
    enum activity activity;
    bool begun;          /* false: still settling */
    int64_t asked_at_us; /* sample time when it was asked for */
    double settle_s, planned_s;
    bool guided;
    int capture, hold;
    int64_t begin_us;
    struct target_settings target_settings;
    double next_estimate_s;
    double plate_height_mm;
    struct target_estimate estimate[CHANNELS_MAX];
    struct check_plan check_plan; /* ACTIVITY_CHECK: a capture a phase */
    int check_phase, check_first_capture;
    double check_former_mm[CHANNELS_MAX]; /* ranges at the end of the phase before */
    int64_t check_quarter;                /* of a second, when these were made; -1 = never */
    double check_sent_mm[CHANNELS_MAX], check_range_mm[CHANNELS_MAX];

    /* live picture */
    struct live_channel channel[CHANNELS_MAX];
    int64_t history_step, shown_step;
    struct view_history history;
    double minutes_planned; /* NAN = none */
    uint64_t serial;
    struct journal journal;
    char message[256];
    uint64_t message_serial;
    bool message_is_problem;

    /* numbers of the capture in progress, made when a view asks, once a second */
    int64_t progress_second;
    struct hold_summary progress[CHANNELS_MAX];
};

typedef bool command_handler(struct session *session, const struct words *words,
                             struct problem *problem);

/* machine_effects.c: records that go out, and their identifiers */
void machine_emit(struct session *session, enum effect_kind kind, int index);
/* The command in progress, where no record of its own went out to bring it along. */
void machine_log_command(struct session *session);
/* Identifier of the record of this kind that takes this place. */
struct uuid machine_uuid(const struct session *session, enum effect_kind kind, int index);
/* Of the next tie reading: its time is the build's, since it may be entered later. */
struct uuid machine_tie_uuid(const struct session *session, int build);

/* machine.c: shared by the handlers */
void machine_say(struct session *session, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
bool machine_ensure_build(struct session *session, struct problem *problem);
int machine_channel(const struct session *session, const char *name, struct problem *problem);
/* The same of channels that are heights: not of power and its like. */
int machine_height_channel(const struct session *session, const char *name,
                           struct problem *problem);
/* Says where what was measured and what was computed are too far apart on a build. */
void machine_say_alarms(struct session *session, int build);
void machine_ties_changed(struct session *session);
void machine_retarget(struct session *session);
double machine_now_s(const struct session *session);
const struct placing_record *machine_placing(const struct session *session);
/* A number with its unit from key=..., or fallback when it is not there. */
bool machine_number(const struct words *words, const char *key, const char *unit, double minimum,
                    double maximum, double *value, struct problem *problem);
/* command_texts.c: false where a text is longer than its record keeps, with how long it may be. */
bool machine_texts_fit(const struct words *words, struct problem *problem);
/* Refuses keys and plain words that the command does not know: keys is a list ended by NULL. */
bool machine_only_keys(const struct words *words, const char *const *keys, struct problem *problem);

/* command_bike.c: an empty placing from the next sample on; its index. */
int machine_new_placing(struct session *session);
/* command_setup.c: reads key=value words of bike measures into values, from word first on; others
 * (ended by NULL, may be NULL) are keys that are not the bike's. */
bool machine_bike_values(const struct words *words, int first, const char *const *others,
                         struct bike_values *values, int *changed, struct problem *problem);

/* live.c: the live picture */
void live_start(struct session *session);
void live_sample(struct session *session, const struct sample *sample);

/* capture.c: holds, targets, plates in progress */
/* Takes a place for a capture and starts its settling time. */
bool capture_start(struct session *session, enum activity activity, enum capture_kind kind,
                   double settle_s, double planned_s, struct problem *problem);
void capture_sample(struct session *session, const struct sample *sample);
/* How a capture in progress ends early. */
void capture_stop(struct session *session, enum hold_status status);
/* Could the target in progress be kept now: has every channel of the body an interval? */
bool capture_target_is_known(struct session *session);

/* command_check.c: a phase of a check is over, or the check was stopped */
void check_phase_ended(struct session *session, bool stopped);
/* check_view.c: means of the last second's good readings, as sent and calibrated; NAN without any
 */
void check_ranges(struct session *session, double sent_mm[CHANNELS_MAX],
                  double range_mm[CHANNELS_MAX]);
void check_fill_view(struct session *session, struct view_check *view);

/* handlers, by the file they stand in */
command_handler command_rig, command_rider, command_bike, command_sensor; /* command_bike.c */
command_handler command_setup, command_build, command_correct, command_known, command_placing,
    command_limits;                                                     /* command_setup.c */
command_handler command_plate, command_tape;                            /* command_tie.c */
command_handler command_check, command_calibrate;                       /* command_check.c */
command_handler command_target;                                         /* command_target.c */
command_handler command_band, command_cue;                              /* command_band.c */
command_handler command_hold, command_stop, command_keep, command_mark; /* command_hold.c */
command_handler command_reject, command_restore, command_rating, command_note, command_matters,
    command_baseline, command_choose, command_slope, command_minutes, command_resume,
    command_end; /* command_note.c */

#endif
