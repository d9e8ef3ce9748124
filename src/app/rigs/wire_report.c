/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/wire_report.h"

#include "base/text.h"
#include "base/words.h"
#include "say/wire.h"

#include <string.h>

#define BYTES_SHOWN 48

void wire_report_command(char *text, size_t size, const struct wire_report *report)
{
    char options[400], spec[600];
    size_t used = 0;
    say_wire_options(options, sizeof options, report->finding);
    words_quote_for_shell(spec, sizeof spec, report->spec);
    text_append(text, size, &used, "holdline %s %s%s%s%s", report->command, spec,
                options[0] != '\0' ? " " : "", options,
                report->may_be_kept && text_equal(report->command, "rigs") ? " --keep" : "");
}

void wire_report_print(FILE *stream, const char *indent, const struct wire_report *report)
{
    char text[800];
    size_t shown = report->length < BYTES_SHOWN ? report->length : BYTES_SHOWN;
    say_wire_cause(text, sizeof text, report->finding, report->baud, report->tried_speeds);
    fprintf(stream, "%s%s\n", indent, text);
    if (shown > 0) {
        say_wire_bytes(text, sizeof text, report->bytes + report->length - shown, shown);
        fprintf(stream, "%sbytes: %s\n", indent, text);
    }
    if (report->finding->has_proposal) {
        char preview[400];
        say_wire_options(text, sizeof text, report->finding);
        say_wire_preview(preview, sizeof preview, report->finding);
        fprintf(stream, "%swith %s: %s\n", indent, text, preview);
        wire_report_command(text, sizeof text, report);
        fprintf(stream, "%stake it: %s\n", indent, text);
    }
}

void wire_report_json(struct json_writer *json, const struct wire_report *report)
{
    char text[800];
    size_t shown = report->length < BYTES_SHOWN ? report->length : BYTES_SHOWN;
    json_member_string(json, "cause", word_of(&wire_cause_words, report->finding->cause));
    say_wire_cause(text, sizeof text, report->finding, report->baud, report->tried_speeds);
    json_member_string(json, "sentence", text);
    say_wire_bytes(text, sizeof text, report->bytes + report->length - shown, shown);
    json_member_string(json, "bytes", text);
    if (json_object_member_if(json, "proposal", report->finding->has_proposal)) {
        say_wire_options(text, sizeof text, report->finding);
        json_member_string(json, "options", text);
        say_wire_preview(text, sizeof text, report->finding);
        json_member_string(json, "preview", text);
        wire_report_command(text, sizeof text, report);
        json_member_string(json, "command", text);
        json_object_end(json);
    }
}

void wire_report_notes(FILE *stream, const char *indent, const struct rig_info *info)
{
    for (int i = 0; i < info->note_count; i++) {
        char text[300];
        say_wire_note(text, sizeof text, &info->note[i], info);
        fprintf(stream, "%s%s\n", indent, text);
    }
}
