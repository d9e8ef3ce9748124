/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_FAULT_WORLD_H
#define HOLDLINE_TESTS_SUPPORT_FAULT_WORLD_H

#include "support/cable.h"
#include "support/fault_folder.h"
#include "support/fault_page.h"
#include "support/terminal.h"

#include <stdbool.h>
#include <stdint.h>

/* A live session of the real program with all that is around it in the test's hands: its clocks,
 * its disk and its memory (tests/preload/faults.c), the rig on its cable, the fitter's terminal;
 * and what was sent and done, which the model (fault_model.h) judges by. */

#define WORLD_LINES 4000
#define WORLD_COMMANDS 64
#define WORLD_RATE_HZ 100

struct world_line {
    int64_t at_us;  /* when it was sent */
    int64_t rig_us; /* by the rig's clock */
    uint64_t sequence;
    int sleeps;  /* of the machine, so many before it */
    int plugs;   /* of the cable */
    int epoch;   /* how often the rig had begun anew */
    bool whole;  /* else: not sent, or cut */
    bool unsure; /* sent while nobody may have listened, or glued to garbage */
};

struct world_command {
    char text[64];
    int64_t at_us; /* when it was answered */
    bool done;
};

struct fault_world {
    struct fault_folder *folder;
    struct fault_page *page;
    struct terminal *terminal;
    struct cable cable;
    char link[128]; /* the rig's name, which points at the cable */
    int earlier;    /* sessions that were in the store before */
    /* the rig */
    struct world_line line[WORLD_LINES];
    int lines;
    int epoch, sleeps, plugs;
    uint64_t sequence;
    int64_t begun_us, rig_ahead_us; /* of the rig's clock */
    int64_t plugged_us;             /* since when; what comes in the first second is unsure */
    bool silent, glued;
    int first_left; /* lines of a rig that began anew, which may be taken for repeats */
    /* commands of another program */
    struct world_command command[WORLD_COMMANDS];
    int commands;
    /* the program and its machine */
    bool ctrl_s, unread;                /* the terminal */
    int64_t ill_since_us, well_from_us; /* disk and memory; ill_since 0: well */
    int64_t late_us;                    /* by how much the test itself was late, the longest */
    int64_t starved_us, starved_before_us, looked_us;
    int status;
    bool ended;
    int64_t ended_us;
};

/* Starts it in the folder's 'work', with a rig that sends; page: shared with it. The world is zero
 * but for what is to fail from the start. False where there is no pseudo-terminal (told). */
bool fault_world_start(struct fault_world *world, struct fault_folder *folder,
                       struct fault_page *page, const char *page_path);
/* The rig sends, the terminal is read; ends early where the program does. */
void fault_world_play(struct fault_world *world, double seconds);
/* Until the terminal shows it. */
bool fault_world_shows(struct fault_world *world, const char *text, double limit_s);
/* Frees; a program that still runs is killed. */
void fault_world_end(struct fault_world *world);

/* The disk or the memory fails from so many calls on; both are well again. */
void fault_world_break(struct fault_world *world, struct fault_switch *which, enum fault_as as,
                       long calls);
void fault_world_heal(struct fault_world *world);

void fault_world_pull(struct fault_world *world, bool cut);
void fault_world_plug(struct fault_world *world);
void fault_world_garbage(struct fault_world *world, const char *bytes, size_t length);
void fault_world_restart_rig(struct fault_world *world);
/* The machine sleeps for so long: nothing runs, its monotonic clock stands; the rig goes on. */
void fault_world_suspend(struct fault_world *world, double seconds, double really_s);

/* A command of another program, and what is answered within a second; at most WORLD_COMMANDS. */
void fault_world_tell(struct fault_world *world, const char *text);

/* Waits for the end; false where it took over limit_s and what kept the test and it waiting. */
bool fault_world_ends(struct fault_world *world, double limit_s);
/* What the machine may be the reason of. */
int64_t fault_world_allowed_us(const struct fault_world *world);

#endif
