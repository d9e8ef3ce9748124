/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_APP_RIGS_CHECKING_H
#define HOLDLINE_SRC_APP_RIGS_CHECKING_H

#include "analysis/check.h"
#include "check_row.h"
#include "rig/decoder.h"
#include "rig/reader.h"

/* A check, or a row of them, under way: what is asked, and the readings that are taken. */

struct stretch {
    struct sample *samples;
    size_t count, room;
};

struct rig_check_options {
    const char *rig;
    struct decoder_options decoder;
    double rate_hz; /* of a stream that carries no time; 0 = not said */
    bool json;
    bool no_prompts; /* go on by the clock and not by the Enter key */
    bool looks_down; /* the sensors look down at the body */
    bool is_plate;   /* a still test of some seconds: what is wanted is the range */
    const char *out; /* of all checks: their report as a file, NULL = none */
    bool replace;
};

struct checking {
    const struct rig_check_options *options;
    const struct words *said;  /* behind the rig */
    const struct words *words; /* of the check that is made now */
    struct check_row row;      /* of checks, where all are wanted */
    struct check_record *made; /* those of it that are done */
    int made_count;
    struct reader *reader;
    struct placing_record placing;
    struct check_plan plan;
    bool begun; /* the plan is made */
    bool by_key;
    bool shows; /* live numbers on standard error */
    int phase;
    bool recording, go, finished, failed;
    int64_t from_us; /* of the pause, or of the readings */
    int64_t shown_us;
    struct stretch stretch[CHECK_PHASES_MAX];
    struct problem *problem;
};

/* Asks, reads, and goes on until all is finished or failed, with a problem then. */
void checking_read_all(struct checking *checking);
/* The readings of the check that has ended, judged. */
void checking_judge(struct checking *checking, struct check_stretch *stretches,
                    struct check_record *check);

#endif
