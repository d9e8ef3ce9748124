/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_VIEW_H
#define HOLDLINE_SESSION_VIEW_H

#include "measure/band.h"
#include "measure/compare.h"
#include "measure/cue.h"
#include "measure/steps.h"
#include "record/record.h"
#include "rig/health.h"

/* What is to be shown, as plain data: no curses in it, copied whole under a lock. The fitter's
 * screen, the rider's screen, watchers and tests read this same struct. Heights in mm over the
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

enum view_next { VIEW_NEXT_COMMAND, VIEW_NEXT_SETUP, VIEW_NEXT_RATING, VIEW_NEXT_WAIT };

#define VIEW_HISTORY 1200 /* points of VIEW_HISTORY_STEP_S */
#define VIEW_HISTORY_STEP_S 0.1
struct view_point {
    float slow_mm;         /* 1 Hz posture; NAN = no reading */
    float low_mm, high_mm; /* extremes of the readings within the step */
    uint8_t phase;         /* enum view_phase then */
    uint8_t setup;         /* setup's number then */
};

struct view_mark { /* an earlier setup's mean on the gauge */
    int setup;
    double height_mm, half_width_mm; /* half width NAN with one hold */
};

struct view_channel {
    char name[CHANNEL_NAME_SIZE];
    char mark[NAME_SIZE];
    enum channel_role role;
    bool mounted; /* mount was given: forms begin with it */
    struct sensor_mount mount;
    double gain, offset_mm; /* the calibration in force: 1 and 0 without one */
    double plate_mm;        /* range to the plate that was read for this build; NAN = not read */
    bool tied;              /* heights are over the bottom bracket */
    char tie_text[48];      /* '-10 ±1 (plate)', 'not tied' */
    double sensor_shift_mm, sensor_shift_u_mm; /* against the first build; NAN unknown */
    enum cue_state cue;
    double slow_mm, quick_mm; /* 1 Hz posture; 3 Hz: where the body is this instant */
    double shown_mm;          /* 1 s mean, renewed 4 times a second: the digits */
    bool has_target, has_band;
    double target_mm, target_half_width_mm;
    double band_above_mm, band_below_mm; /* INFINITY = none */
    int proposal_count;                  /* bands proposed from the target's capture */
    struct band_proposal proposal[BAND_PROPOSALS_MAX];
    /* the hold or target capture in progress */
    double mean_mm, mean_half_width_mm, creep_mm_per_min, in_band_share;
    int came_up, went_low;
    int mark_count;
    struct view_mark earlier[SETUPS_MAX];
    struct view_point history[VIEW_HISTORY]; /* ring: newest at history_end - 1 */
};

struct view_setup {
    int number;
    char intent[TEXT_SIZE];
    char changes[TEXT_SIZE]; /* against the setup before */
    bool current;
    bool rated;
    struct bike_values bike; /* frame and parts: forms begin with them */
    int builds, free_holds, guided_holds;
    bool sees_ahead_failed;
    char complaint[80]; /* of the rider: failed or strained sight, numbness; "" = none */
    struct setup_estimate estimate[CHANNELS_MAX];     /* free holds */
    struct setup_difference difference[CHANNELS_MAX]; /* against the baseline */
};

#define VIEW_CHECKS 24
struct view_check_result { /* of this placing the latest of each kind and channel, newest last */
    int number;
    enum check_kind kind;
    char channel[CHANNEL_NAME_SIZE]; /* "" = all */
    double at_s;                     /* session axis, when it ended */
    double asked_mm[CHECK_PHASES_MAX];
    enum check_verdict verdict;
    bool wants_calibration; /* a step that was seen, and read too long or too short */
    char words[CHECK_WORDS_SIZE];
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
    int result_count;
    struct view_check_result result[VIEW_CHECKS];
};

#define VIEW_HOLDS 16
struct view_hold { /* the latest holds, newest last */
    int number, setup, build_ordinal;
    bool guided, rejected, kept_afterwards, cut_short, not_settled;
    double mean_mm[CHANNELS_MAX], half_width_mm[CHANNELS_MAX], in_band_share[CHANNELS_MAX];
};

/* What has happened in the session, oldest first. */
enum view_event_kind {
    VIEW_EVENT_PEOPLE, /* rider, bike, sensors: described */
    VIEW_EVENT_SETUP,  /* a setup, or a new build of one */
    VIEW_EVENT_TARGET,
    VIEW_EVENT_BAND,
    VIEW_EVENT_HOLD,
    VIEW_EVENT_MARK,
    VIEW_EVENT_RATING,
    VIEW_EVENT_NOTE,
    VIEW_EVENT_HEIGHT, /* plate or tape */
    VIEW_EVENT_CHECK,
    VIEW_EVENT_CHOICE, /* the setup the rider goes home with */
};
#define VIEW_EVENTS                                                                                \
    (PLACINGS_MAX + SETUPS_MAX + BUILDS_MAX + TIES_MAX + TARGETS_MAX + BANDS_MAX + HOLDS_MAX +     \
     RATINGS_MAX + MARKS_MAX + NOTES_MAX + CHECKS_MAX + 100)
struct view_event {
    double at_s; /* session axis */
    enum view_event_kind kind;
    int hold;      /* number of the hold it is or is about; 0 = none */
    bool left_out; /* of a hold: it was left out */
    char what[24]; /* 'hold 3', 'setup 2', 'mark', 'plate' */
    char text[CHECK_WORDS_SIZE];
};

/* What follows from the holds beside the comparison (analysis/insight.h); made anew with the
 * events. Sentences, one a line; "" = nothing to say yet. */
struct view_insight {
    char criteria[256];  /* what the setups are looked at for */
    char standing[2048]; /* which of them no other beats */
    int step_count;
    struct view_step {               /* how far the heights followed a part */
        char part[64];               /* 'spacers, mm' */
        double low, high;            /* over the setups tried */
        char each[CHANNELS_MAX][32]; /* '+0.52 ±0.31' mm for each mm or degree; body channels */
    } step[STEPS_FACTORS_MAX];
    char notes[1024]; /* what could not be told apart */
    char next[1024];  /* the setup worth trying next: a suggestion */
};

#define VIEW_EARLIER 8
struct view_earlier { /* sessions of the store that can be carried over; filled by app */
    uint64_t serial;  /* grows with every change */
    int count;
    struct view_earlier_session { /* newest first */
        int64_t id;
        char date[16], rider_code[NAME_SIZE], bike[NAME_SIZE];
        int setups, holds;
    } session[VIEW_EARLIER];
    /* the 'carry' that was looked at last, without 'look', and what it would bring, a sentence a
     * line; "" = none, or the session has changed since */
    char looked_at[64];
    char told[4096];
};

struct view_work { /* beside the session, filled by app: 'writing sheet.pdf' */
    bool running;
    bool stopping; /* it was told to end */
    char doing[128];
    double share; /* 0 to 1; NAN = not known */
    int seconds;  /* since it began */
    int waiting;  /* more of it */
};

struct view {
    uint64_t serial; /* grows with every change */
    enum view_phase phase;
    bool has_rig;
    char rig_name[64];
    char link_name[128], dialect[24]; /* filled by app; "" = none yet */
    char rider[NAME_SIZE], rider_code[NAME_SIZE], bike[NAME_SIZE];
    char watch_for[TEXT_SIZE];     /* the rider's old trouble */
    struct bike_values bike_frame; /* the bike as it was entered; all NAN before */
    struct bike_limits limits;     /* from the makers' papers, where entered */
    double session_s;              /* session axis now */
    double minutes_left;           /* NAN = no plan */
    char clock_words[96];   /* what still fits: '21 min left: 2 more setups, then back to setup 1';
                               "" without a plan */
    char next_step[160];    /* what is to be done next, in words */
    char next_command[160]; /* the command line that does it (the Enter key), "" where a form is
                               needed */
    enum view_next next;    /* the form that is needed, where a command line alone can't do it */
    int setup_number, build_ordinal;
    char intent[TEXT_SIZE], changes[TEXT_SIZE];
    double bars_shift_mm, bars_shift_x_mm; /* bar clamp against setup 1; NAN unknown */
    int channel_count;
    struct view_channel channel[CHANNELS_MAX];
    int history_end, history_count;
    /* hold, target or plate in progress */
    int hold_number, hold_of_setup; /* 'hold 2' of this setup */
    bool guided;
    double elapsed_s, planned_s, countdown_s;
    bool steady;
    double target_until_mm;
    /* the rider's one thing: the worst channel */
    int worst_channel; /* -1 none */
    enum cue_state worst_cue;
    int setup_count;
    struct view_setup setup[SETUPS_MAX];
    double repeatability_mm[CHANNELS_MAX]; /* NAN until known */
    double matters_mm[CHANNELS_MAX];       /* the smallest difference that matters */
    double order_mm[CHANNELS_MAX]; /* a hold later: taken out of the setups' means; NAN = not */
    int baseline_setup;            /* number of the setup compared against */
    int chosen_setup;              /* the one the rider's sheet is about; 0 = none yet */
    int hold_shown_count;
    struct view_hold hold_shown[VIEW_HOLDS];
    struct view_check check;
    struct view_earlier earlier;
    struct view_insight insight;
    uint64_t event_serial; /* grows with every change of the events */
    int event_count;
    struct view_event event[VIEW_EVENTS];
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

/* Copies a view without the places of channels, setups and events that are not used, and without
 * events that are there already: a tenth of its size. `to` was zeroed or is an earlier copy. */
void view_copy(struct view *to, const struct view *from);

#endif
