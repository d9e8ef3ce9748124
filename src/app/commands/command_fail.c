/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"

#include "base/text.h"

#include <stdio.h>

int command_fail(const struct problem *problem)
{
    fflush(stdout);
    text_print(stderr, "holdline: %s\n", problem->sentence);
    return problem->kind == PROBLEM_USAGE ? 2 : 1;
}
