/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_RIG_CHECK_H
#define HOLDLINE_APP_RIG_CHECK_H

#include "analysis/check.h"
#include "base/problem.h"
#include "rig/decoder.h"

/* Checks of a rig's sensors from the command line: the session's own ones (analysis/check.h),
 * without a session and a store. */
/* The options that checks, calibrations and plate readings share, and the words behind the rig.
 * kind: put before the words ('calibrate'), or NULL. Prints the result on standard output, prompts
 * and live numbers on standard error. The exit status: 0 passed, 1 not, 2 wrong use. */
int rig_check_command(int argc, char **argv, const char *kind, bool is_plate);

#define RIG_CHECK_USAGE                                                                            \
    "  --no-prompts         go on by the clock, not by the Enter key\n"                            \
    "  --look-down          the sensors look down at the rider, from above\n"                      \
    "  --rate HZ            of a stream that carries no time of its own\n"                         \
    "  --json               the result for programs\n"

#endif
