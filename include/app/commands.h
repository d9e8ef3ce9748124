/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_COMMANDS_H
#define HOLDLINE_APP_COMMANDS_H

#include "base/problem.h"

/* The commands: one file each (src/app/commands/command_<name>.c) and one row in commands.c beside
 * them. run gets the arguments behind the command's name (argv[0] is the name) and gives the exit
 * status: 0 done, 1 the work failed, 2 used wrongly. '--help' and '--version' are taken before run
 * is called.
 */
struct command {
    const char *name;
    const char *summary; /* one line for 'holdline --help' */
    const char *usage;   /* the text of 'holdline NAME --help', with the options */
    int (*run)(int argc, char **argv);
};

extern const struct command *const commands[];
extern const int command_count;

/* The command of this name, or NULL. */
const struct command *command_find(const char *name);
/* The command whose name is at most two slips away, or NULL. */
const struct command *command_nearest(const char *name);

extern const struct command command_live, command_demo, command_rigs, command_listen, command_run,
    command_replay, command_measure, command_import, command_list, command_show, command_compare,
    command_export, command_place, command_plan, command_drag_day, command_progress,
    command_practice_live, command_store, command_watch, command_tell, command_check_rig,
    command_calibrate_rig, command_plate_rig;

/* Prints 'holdline: sentence' (escaped) on standard error and gives the exit status of its kind. */
int command_fail(const struct problem *problem);

#endif
