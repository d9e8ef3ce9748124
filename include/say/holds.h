/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_HOLDS_H
#define HOLDLINE_SAY_HOLDS_H

#include "analysis/analysis.h"
#include "analysis/hold_use.h"
#include "record/record.h"

#include <stdbool.h>
#include <stddef.h>

/* What is to be said of a hold beside its numbers, in each length. */
enum hold_finding {
    HOLD_FOUND_STOPPED,
    HOLD_FOUND_CUT_SHORT,
    HOLD_FOUND_NOT_SETTLED,
    HOLD_FOUND_STEPPED,
    HOLD_FOUND_KEPT_AFTERWARDS,
    HOLD_FOUND_LEFT_OUT,
    HOLD_FOUND_NOT_TIED,
    HOLD_FINDINGS
};
#define HOLD_FOUND(finding) (1u << (finding)) /* several are put together with | */

enum say_hold_length {
    SAY_HOLD_JOURNAL, /* '; stopped early; LEFT OUT: ', where the reason follows */
    SAY_HOLD_PAGE,    /* '  cut short  NOT SETTLED: do it again' */
    SAY_HOLD_CELL,    /* the weightiest: ', left out' */
    SAY_HOLD_PICTURE, /* the weightiest: ', rejected' */
};

/* What a hold's record says and what was found in it; a tie is not looked at. */
unsigned hold_findings_of(const struct hold_record *hold, const struct hold_result *result);
/* "" where nothing is found. */
void say_hold_findings(char *text, size_t size, unsigned found, enum say_hold_length length);
/* What became of it, as it ends: 'hold 3 kept', 'hold 3 stopped early: too short to count (20 s at
 * least)', or too broken. is_long: long and whole enough to count. */
void say_hold_ended(char *text, size_t size, const struct hold_record *hold, bool is_long,
                    bool same_sit, const struct hold_result *result);
/* Why a hold is in no comparison on a channel: 'left out'; "" where it is in one. */
const char *say_hold_use(enum hold_use use);
/* 'free', 'guided', 'kept afterwards' ('kept after' in a cell). */
const char *say_hold_kind(bool guided, bool kept_afterwards, bool in_cell);

#endif
