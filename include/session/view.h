/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_VIEW_H
#define HOLDLINE_SESSION_VIEW_H

#include "measure/band.h"
#include "measure/compare.h"
#include "measure/cue.h"
#include "measure/cue_sound.h"
#include "measure/steps.h"
#include "record/record.h"
#include "rig/health.h"
#include "rig/sample.h"

struct snapshot;

/* What is to be shown, as plain data: no curses in it. Here is what changes with the samples; the
 * records and what follows from them are a snapshot's (session/snapshot.h), which a view points at.
 * The fitter's screen, the rider's screen, watchers and tests read the same. Heights in mm over the
 * bottom bracket (or relative where not tied), NAN = nothing to show. */

enum view_phase {
    VIEW_WAITING,  /* no samples yet */
    VIEW_LIVE,     /* gauge live, nothing being captured */
    VIEW_SETTLING, /* counting down to a hold (or target) */
    VIEW_HOLD,
    VIEW_TARGET,
    VIEW_PLATE, /* reading the plate */
    VIEW_CHECK, /* checking the sensors: struct view_check */
    VIEW_ENDED,
};

enum view_next {
    VIEW_NEXT_COMMAND,
    VIEW_NEXT_SETUP,
    VIEW_NEXT_MOVED,
    VIEW_NEXT_SLIPPED,
    VIEW_NEXT_RATING,
    VIEW_NEXT_FELT,    /* after practice */
    VIEW_NEXT_MORNING, /* the morning after it */
    VIEW_NEXT_RIDER,
    VIEW_NEXT_MINUTES,
    VIEW_NEXT_BIKE,
    VIEW_NEXT_PLACES,
    VIEW_NEXT_CHECKS, /* the sensors' page */
    VIEW_NEXT_CHOOSE,
    VIEW_NEXT_SHEET,
    VIEW_NEXT_END, /* asks whether to end */
    VIEW_NEXT_WAIT
};

#define VIEW_HISTORY 1200 /* points of VIEW_HISTORY_STEP_S */
#define VIEW_HISTORY_STEP_S 0.1
struct view_point {
    float slow_mm;         /* 1 Hz posture; NAN = no reading */
    float low_mm, high_mm; /* extremes of the readings within the step */
    uint8_t phase;         /* enum view_phase then */
    uint8_t setup;         /* setup's number then */
    uint8_t build;         /* place of its build in the record, and one; 0 = before the first */
    bool tied;             /* over the bottom bracket, as snapshot_tied has it */
};
struct view_history {
    int64_t steps;    /* of the stream so far; step n stands at n % VIEW_HISTORY */
    uint64_t redrawn; /* grows when all points were worked out again: other heights are known */
    struct view_point point[CHANNELS_MAX][VIEW_HISTORY];
};
/* Steps that are there: the last VIEW_HISTORY of them at most. */
int view_history_count(const struct view_history *history);
/* A channel's point so many steps before the newest: 0 to view_history_count - 1. */
const struct view_point *view_history_back(const struct view_history *history, int channel,
                                           int back);
/* Copies what has come since `to` was last made the same; all of it where it was worked out again.
 */
void view_history_follow(struct view_history *to, const struct view_history *from);

struct view_channel {
    enum cue_state cue;        /* what the rider is told, after its delay */
    enum cue_state seen;       /* where the body is: for the fitter */
    double slow_mm, quick_mm;  /* 1 Hz posture; 3 Hz: where the body is this instant */
    double shown_mm;           /* 1 s mean, renewed 4 times a second: the digits */
    bool has_target, has_band; /* what the cue is against */
    double target_mm, target_half_width_mm;
    double band_above_mm, band_below_mm; /* INFINITY = none */
    /* the hold or target capture in progress */
    double mean_mm, mean_half_width_mm, creep_mm_per_min, in_band_share;
    int came_up, went_low;
};

struct view_check {
    bool running;
    enum check_kind kind;
    int channel;            /* -1: all */
    int phase, phase_count; /* from 0 on */
    char ask[160];          /* what is to be done now */
    bool recording;         /* readings of this phase are taken; else its pause lasts */
    bool waits_for_go;      /* until 'check go' */
    double left_s, length_s;
    double range_mm[CHANNELS_MAX];  /* means of the last second, calibrated; NAN = no reading */
    double sent_mm[CHANNELS_MAX];   /* the same as they were sent */
    double former_mm[CHANNELS_MAX]; /* range_mm at the end of the phase before; NAN in the first */
};

#define VIEW_CARRY_OFFERS 8
struct view_carry_offers { /* sessions of the store that can be carried over; filled by app */
    uint64_t serial;       /* grows with every change */
    int count;
    struct view_carry_session { /* newest first */
        int64_t id;
        char date[16], day[32]; /* '2026-01-10', '10 January 2026': where the reader is */
        char rider_code[NAME_SIZE], bike[NAME_SIZE];
        int setups, holds;
    } session[VIEW_CARRY_OFFERS];
    struct view_carry_session alike; /* the newest of a rider whose code is written nearly so, where
                                        the rider has none; no code: none */
    /* the 'carry' that was looked at last, without 'look', and what it would bring, a sentence a
     * line; "" = none, or the session has changed since */
    char looked_at[64];
    char sentences[4096];
};

struct view_work { /* beside the session, filled by app: 'writing sheet.pdf' */
    bool running;
    bool stopping; /* it was told to end */
    char doing[128];
    double share; /* 0 to 1; NAN = not known */
    int seconds;  /* since it began */
    int waiting;  /* more of it */
};

#define VIEW_RIDE_MINUTES 32
struct view_ride { /* a ride that is in progress, as far as it is known while it is ridden */
    bool on;
    bool open;    /* without a length of its own: it ends with 'stop' */
    bool sat_up;  /* now */
    bool rest;    /* a rest is proposed now: up for RIDE_REST_S */
    int up_times; /* so far */
    double up_s;  /* of those that are over */
    int count;    /* minutes that are over, the newest first: */
    struct view_ride_minute {
        int minute;           /* from 1 on */
        double in_band_share; /* all parts, of the time seen and not up; NAN: not seen */
        double up_s;
        double off_mm[CHANNELS_MAX]; /* mean minus target; NAN: no target, not seen */
        int sounds;
    } minute[VIEW_RIDE_MINUTES];
};

struct view {
    uint64_t serial; /* grows with every change */
    enum view_phase phase;
    bool has_rig;
    char link_name[128], dialect[24]; /* filled by app; "" = none yet */
    struct rig_info stream; /* what is known of its lines, and was left out; filled by app; no note
                               before the first samples */
    char folder[256];       /* files without a folder go there; filled by app */
    char sheet_name[96];    /* proposed for the rider's sheet, free; filled by app */
    char link_trouble[512]; /* why no readings come; filled by app; "" = they do */
    bool link_offer;        /* it says how they may be read: 'read proposed' takes that */
    double session_s;       /* session axis now */
    double minutes_left;    /* NAN = no plan */
    char clock_words[96];   /* what still fits: '21 min left: 2 more setups, then back to setup 1';
                               "" without a plan */
    char next_step[160];    /* what is to be done next, in words */
    char next_command[160]; /* the command line that does it (the Enter key), "" where a form is
                               needed */
    bool place_carried[CHANNELS_MAX]; /* said by an earlier session, not measured again yet */
    char next_skip[24];  /* the command line that passes it over; "" where it can't be */
    bool alone;          /* a rider alone is led through practice: large words, few keys */
    bool undo_drops;     /* 'undo' would throw away what is being ridden or read */
    bool guess_due;      /* by a key: so many tenths */
    bool sit_up;         /* the rider is to: hands off, up, and back into the posture */
    enum view_next next; /* the form that is needed, where a command line alone can't do it */
    int channel_count;
    struct view_channel channel[CHANNELS_MAX];
    const struct view_history *history;
    /* hold, target or plate in progress */
    int hold_number;
    bool guided;
    double elapsed_s, planned_s, countdown_s;
    bool steady;
    double target_until_mm;
    bool length_proposed,
        settled; /* of a target; without the first, planned_s is when that comes */
    /* the rider's one thing (measure/cue_ask.h): the channel that is asked for, -1 none; high, low:
     * it is to come down, up; in: all are; no reading: it is not seen */
    int asked_channel;
    enum cue_state asked_cue;
    /* what was told by a sound last, and how many there were: one is to be heard when this grows */
    enum cue_sound heard;
    uint64_t heard_serial;
    struct view_check check;
    struct view_ride ride;
    const struct view_carry_offers *offers;
    const struct snapshot *snapshot;
    struct rig_health health;
    char message[256]; /* the latest message of the session ('hold 3 kept') */
    uint64_t message_serial;
    bool message_is_problem;
    /* the store's state, filled by app */
    bool store_open;
    char store_text[128];    /* 'all stored', 'not stored: 1,204 samples wait in memory' */
    char store_trouble[256]; /* why not and what to do, while that lasts; "" = all is well */
    uint64_t samples_seen, samples_stored;
    struct view_work work;
};

/* Nothing is heard any more (rig/health.h): what was last heard is taken out of what is shown as it
 * is now. What a hold came to so far stays. */
void view_forget_live(struct view *view);

#endif
