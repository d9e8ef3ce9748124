/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/outputs.h"

#include "app/exporting.h"

#include <stdlib.h>

#define COMPARE_WIDTH 80

bool outputs_start(struct outputs *outputs)
{
    outputs->count = 0;
    outputs->capacity = 64;
    outputs->command = malloc(outputs->capacity * sizeof *outputs->command);
    return outputs->command != NULL;
}

void outputs_end(struct outputs *outputs)
{
    free(outputs->command);
    outputs->command = NULL;
}

void outputs_command(struct outputs *outputs, const struct command_record *command)
{
    if (outputs->count == outputs->capacity) {
        size_t capacity = outputs->capacity * 2;
        struct command_record *larger = realloc(outputs->command, capacity * sizeof *larger);
        if (larger == NULL) {
            return; /* the store has the log; only this export's copy of it is cut */
        }
        outputs->command = larger;
        outputs->capacity = capacity;
    }
    outputs->command[outputs->count++] = *command;
}

static struct report_input input_of(const struct outputs *outputs, const struct session *session)
{
    return (struct report_input){
        .record = session_records(session),
        .analysis = session_analysis(session),
        .commands = outputs->command,
        .command_count = outputs->count,
    };
}

bool outputs_compare(const struct outputs *outputs, struct session *session, FILE *stream,
                     struct problem *problem)
{
    struct report_input input = input_of(outputs, session);
    return report_compare_text(stream, &input, COMPARE_WIDTH, problem);
}

bool outputs_export(const struct outputs *outputs, struct session *session, const char *path,
                    bool replace, struct problem *problem)
{
    struct report_input input = input_of(outputs, session);
    return export_file(&input, session_samples, session, PAGE_A4, path, replace, problem);
}
