/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"

#include "base/text.h"

#include <string.h>

const struct command *const commands[] = {
    &command_live,      &command_demo,     &command_rigs,      &command_listen,
    &command_run,       &command_replay,   &command_watch,     &command_tell,
    &command_measure,   &command_import,   &command_list,      &command_show,
    &command_compare,   &command_export,   &command_place,     &command_plan,
    &command_store,     &command_progress, &command_check_rig, &command_calibrate_rig,
    &command_plate_rig,
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

/* Letters to change, put in, leave out or swap to make one word of the other (optimal string
 * alignment). */
static int distance(const char *a, const char *b)
{
    enum { MOST = 24 };
    int row[MOST + 1][MOST + 1];
    int a_length = 0;
    int b_length = 0;
    for (; a[a_length] != '\0'; a_length++) {
        if (a_length == MOST) {
            return MOST;
        }
        row[a_length][0] = a_length;
    }
    row[a_length][0] = a_length;
    for (; b[b_length] != '\0'; b_length++) {
        if (b_length == MOST) {
            return MOST;
        }
        row[0][b_length] = b_length;
    }
    row[0][b_length] = b_length;
    for (int i = 1; i <= a_length; i++) {
        for (int j = 1; j <= b_length; j++) {
            int least = row[i - 1][j - 1] + (a[i - 1] != b[j - 1]);
            least = row[i - 1][j] + 1 < least ? row[i - 1][j] + 1 : least;
            least = row[i][j - 1] + 1 < least ? row[i][j - 1] + 1 : least;
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] &&
                row[i - 2][j - 2] + 1 < least) {
                least = row[i - 2][j - 2] + 1;
            }
            row[i][j] = least;
        }
    }
    return row[a_length][b_length];
}

const struct command *command_nearest(const char *name)
{
    const struct command *nearest = NULL;
    int least = 3; /* two slips at most */
    for (int i = 0; i < command_count; i++) {
        int slips = distance(name, commands[i]->name);
        if (slips < least) {
            least = slips;
            nearest = commands[i];
        }
    }
    return nearest;
}
