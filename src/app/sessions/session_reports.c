/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/session_reports.h"

#include "app/export_file.h"

#include <stdlib.h>

#define COMPARE_WIDTH 80

bool session_reports_start(struct session_reports *reports)
{
    reports->count = 0;
    reports->capacity = 64;
    reports->command = malloc(reports->capacity * sizeof *reports->command);
    return reports->command != NULL;
}

void session_reports_end(struct session_reports *reports)
{
    free(reports->command);
    reports->command = NULL;
}

void session_reports_command(struct session_reports *reports, const struct command_record *command)
{
    if (reports->count == reports->capacity) {
        size_t capacity = reports->capacity * 2;
        struct command_record *larger = realloc(reports->command, capacity * sizeof *larger);
        if (larger == NULL) {
            return; /* the store has the log; only this export's copy of it is cut */
        }
        reports->command = larger;
        reports->capacity = capacity;
    }
    reports->command[reports->count++] = *command;
}

static struct report_input input_of(const struct session_reports *reports,
                                    const struct session *session)
{
    return (struct report_input){
        .record = session_records(session),
        .analysis = session_analysis(session),
        .commands = reports->command,
        .command_count = reports->count,
    };
}

bool session_reports_compare(const struct session_reports *reports, struct session *session,
                             FILE *stream, struct problem *problem)
{
    struct report_input input = input_of(reports, session);
    return report_compare_text(stream, &input, COMPARE_WIDTH, problem);
}

bool session_reports_export(const struct session_reports *reports, struct session *session,
                            const char *path, bool replace, struct problem *problem)
{
    struct report_input input = input_of(reports, session);
    const struct report_file file = {.path = path, .replace = replace};
    return export_file(&input, session_samples, session, &file, problem);
}
