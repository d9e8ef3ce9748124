/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_ACTS_H
#define HOLDLINE_SESSION_ACTS_H

#include "analysis/check.h"
#include "analysis/plan_of_hour.h"
#include "base/words.h"
#include "measure/cue.h"
#include "measure/target.h"
#include "record/channel_order.h"
#include "record/effect.h"
#include "say/next.h"

/* What can be taken back: the acts of those who use the session, oldest first. An act is what a
 * command line did (or several that belong together), and what came of it at the end of a capture.
 * Of every record that it made or changed there is an image, taken where records go out, so that
 * each command can be taken back without a word of its own. Acts are taken back from the last one
 * on; what an act made is then at the end of its array, and goes from there with a mark in the
 * store. */

#define ACTS_MAX 2000       /* the oldest goes where there are more */
#define ACT_PLACES_MAX 1000 /* of records of a kind: marks, sounds */

/* How many records there were when a setup was chosen. */
struct act_chosen {
    int builds, holds, targets, bands;
};

/* The board's range on the first day, channel by channel, by their names; count 0: not known. */
struct board_first {
    int count;
    char channel[CHANNELS_MAX][CHANNEL_NAME_SIZE];
    double range_mm[CHANNELS_MAX];
};
/* NAN: not known. */
double board_first_mm(const struct board_first *first, const char *channel);

/* What is due of practice today, as earlier sessions have it (measure/practice.h). */
struct practice_due {
    bool on;
    bool base; /* a test and no more */
    bool ride; /* a long ride, and no test */
    int row, pieces;
    double length_s;
    bool held;            /* pieces grow no longer today */
    bool carried;         /* the target is an earlier session's: it is not taken anew */
    int64_t carried_from; /* that session; 0: the rider's latest */
    bool morning;         /* how the morning after the last time was is asked for */
    double board_mm;      /* the board's height, as it was said before; NAN: told from */
    struct board_first board_first;
    /* of a coach's plan: what follows the words 'target' and 'band', "" = none; NAN: none */
    char target[96], band[96];
    double power_w;
};

/* Where a setup has its parts from: one bit a measure that was not typed for it. */
struct parts_from {
    int setup; /* the place in the store, counted from 1, of the one that it was made from; 0: of
                  none; PARTS_FROM_UNKNOWN: an earlier session knows */
    uint32_t untyped;
};
#define PARTS_FROM_UNKNOWN (-1)

/* Of the machine's state, what is no record: settings that stay, and what is in progress. */
struct act_settings {
    struct cue_settings cue[CHANNELS_MAX]; /* for the next band */
    double minutes_planned;                /* NAN = none */
    struct hour_holds hour;                /* what is asked for on the current build */
    enum sounds_kind sounds;
    int passed[NEXT_STEPS];           /* steps passed over, and for what (next_step.c); 0 = not */
    bool place_carried[CHANNELS_MAX]; /* where the sensor is was an earlier session's to say */
    struct act_chosen chosen;
    struct practice_due practice;
    struct parts_from parts_from[SETUPS_MAX]; /* by the setup's place in the store */
};
bool act_settings_same(const struct act_settings *a, const struct act_settings *b);
enum activity { ACTIVITY_NONE, ACTIVITY_HOLD, ACTIVITY_TARGET, ACTIVITY_PLATE, ACTIVITY_CHECK };
struct act_activity {
    enum activity activity;
    int64_t asked_at_us;            /* sample time when it was asked for */
    int64_t begin_us;               /* when it began */
    int64_t ended_sample, ended_us; /* of what was stopped */
    double settle_s, planned_s;
    bool guided;
    bool unwatched; /* a hold: whether the rider sat up before it is not to be looked for */
    int capture, hold;
    struct target_settings target_settings;
    bool length_proposed; /* of a target: planned_s is how long it takes, not when that is seen */
    double plate_height_mm;
    enum plate_rest plate_rest;
    struct check_plan check_plan; /* ACTIVITY_CHECK: a capture a phase */
    int check_phase, check_first_capture;
    double check_former_mm[CHANNELS_MAX]; /* ranges at the end of the phase before */
};

/* What is left of a countdown that was stopped: what began it, and when it ended. */
struct session;
struct act_countdown {
    bool (*handle)(struct session *session, const struct words *words, struct problem *problem);
    int64_t ended_us;
    char line[COMMAND_TEXT_SIZE];
};

enum image_of { IMAGE_RECORD, IMAGE_REMOVED, IMAGE_SETTINGS, IMAGE_ACTIVITY };
struct act_image {
    enum image_of of;
    enum effect_kind kind;
    int index, place; /* of a record: in its array, and in the store */
    bool made;        /* by this act: taken back, it is no more */
    size_t size;
    void *bytes; /* as it was before; once it is taken back: as it was then */
};
struct act {
    char line[128]; /* what was asked for */
    bool running;   /* what it began is in progress */
    bool earlier;   /* an earlier session is taken over by it */
    int at_start;   /* so many images it had when that began */
    struct act_activity
        *thrown_away; /* what it began, as it was when it was taken back; NULL: none */
    struct act_countdown *countdown; /* what it began was stopped before that; NULL: not so */
    int image_count, image_room;
    struct act_image *image;
};
struct acts {
    struct act act[ACTS_MAX + 1];
    int count, undone; /* behind the acts that stand: those taken back that can be put back */
    struct act *open;  /* the one that records' changes belong to; NULL: none */
    bool joinable;     /* the last command was an act: 'and' belongs to it */
    bool failed;       /* no memory for an image: the act is not to be taken back */
    struct act_countdown began;   /* by which what is in progress was begun */
    struct session_record *known; /* all records as they last went out */
    struct act_settings settings; /* as they were when the act was opened */
    /* places of records in the store: none is given twice */
    int place[EFFECT_KINDS][ACT_PLACES_MAX], placed[EFFECT_KINDS], most[EFFECT_KINDS];
};

bool acts_start(struct session *session); /* false without memory */
void acts_end(struct session *session);
/* What follows belongs to a new act, or (joined) to the one before. */
void acts_open(struct session *session, const char *line, bool joined);
/* It goes on with what was changed by the line before. */
bool acts_is_joined(const struct session *session);
/* It is over: an act that changed nothing is none. began: something is in progress since. */
void acts_close(struct session *session, bool done, bool began);
/* The act that is open takes an earlier session over; does it? */
void acts_take_earlier(struct session *session);
bool acts_takes_earlier(const struct session *session);
/* What follows from the samples belongs to the act that began what is in progress. */
void acts_open_running(struct session *session);
/* It is over. It stays where it began (marks in a hold rest on it); or it becomes the last act,
 * behind those that came meanwhile; or that, and it made records in the places of what was taken
 * back meanwhile, which can't be put back any more. */
enum acts_end { ACTS_END_THERE, ACTS_END_LAST, ACTS_END_MADE };
void acts_close_running(struct session *session, enum acts_end end);
/* The last act is what began and is being ridden or read: taken back, it is thrown away. */
bool acts_undo_drops(const struct session *session);
/* A countdown was stopped: that is the last act, until the next. False: no room. */
bool acts_close_countdown(struct session *session, struct act_countdown *countdown);
/* A record goes out: what it was before is kept for the act that is open. */
void acts_record(struct session *session, enum effect_kind kind, int index);
/* One is taken from the middle of its array. */
void acts_removed(struct session *session, enum effect_kind kind, int index, int place);
/* The state of what is in progress, before it is ended by a command. */
void acts_activity(struct session *session, const struct act_activity *activity);
/* The rig was heard: from here on there is a placing whatever is taken back, and the images of it
 * and of the cues' settings are made to fit what is known now. */
typedef void act_fit(const struct session *session, struct placing_record *placing, bool made,
                     struct act_settings *settings);
void acts_fit(struct session *session, int placing, act_fit *fit);
/* The channels come in another order than what was said of them: in the images of records, but for
 * those of placings (acts_fit). */
void acts_reorder(struct session *session, const struct channel_order *order);
/* Forgets what could be put back; what was taken back last of it. */
void acts_forget_undone(struct session *session);
void acts_forget_last_undone(struct acts *acts);
/* The last act is none any more. */
void acts_drop_last(struct acts *acts);
/* Where a record is stored. */
int acts_place(struct session *session, enum effect_kind kind, int index);
/* Whether another record of this kind has a place in the store, and in the array. */
bool acts_room(struct session *session, enum effect_kind kind, int more);
/* A record is taken out of the end of its array, or was put back there with its place. */
void acts_taken_out(struct session *session, enum effect_kind kind, int index);
void acts_put_in(struct session *session, enum effect_kind kind, int index, int place);

/* A record of the session's, and how many there are of its kind (NULL: no array). */
void *acts_at(struct session_record *record, enum effect_kind kind, int index);
int *acts_count_of(struct session_record *record, enum effect_kind kind);

#endif
