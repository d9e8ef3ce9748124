/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"

#include "base/text.h"

#include <stdio.h>
#include <string.h>

int command_fail(const struct problem *problem)
{
    char sentence[4 * sizeof problem->sentence];
    text_escape(sentence, sizeof sentence, problem->sentence, strlen(problem->sentence));
    fflush(stdout);
    fprintf(stderr, "holdline: %s\n", sentence);
    return problem->kind == PROBLEM_USAGE ? 2 : 1;
}
