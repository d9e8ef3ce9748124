/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"

#include "base/nearest.h"
#include "base/text.h"

#include <string.h>

const struct command *const commands[] = {
    &command_live,      &command_demo,          &command_rigs,      &command_listen,
    &command_run,       &command_replay,        &command_watch,     &command_tell,
    &command_measure,   &command_import,        &command_list,      &command_show,
    &command_compare,   &command_export,        &command_place,     &command_plan,
    &command_drag_day,  &command_store,         &command_progress,  &command_practice_live,
    &command_check_rig, &command_calibrate_rig, &command_plate_rig,
};
const int command_count = sizeof commands / sizeof commands[0];

const struct command *command_find(const char *name)
{
    for (int i = 0; i < command_count; i++) {
        if (text_equal(commands[i]->name, name)) {
            return commands[i];
        }
    }
    return NULL;
}

const struct command *command_nearest(const char *name)
{
    struct nearest nearest = nearest_to(name);
    for (int i = 0; i < command_count; i++) {
        nearest_try(&nearest, commands[i]->name);
    }
    return nearest.word != NULL ? command_find(nearest.word) : NULL;
}
