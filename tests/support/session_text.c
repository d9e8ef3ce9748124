/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/session_text.h"

#include <check.h>
#include <stdio.h>
#include <string.h>

static void write_records(FILE *stream, const struct session_record *record)
{
    for (int id = 0; id < STORED_TABLES; id++) {
        const struct stored_table *table = stored_tables[id];
        if (id == TABLE_COMMAND || table->shape == SHAPE_OWNED) {
            continue;
        }
        struct session_header header;
        session_record_header(record, &header);
        int count = 1;
        if (id != TABLE_SESSION) {
            memcpy(&count, (const char *)record + table->count_offset,
                   table->shape == SHAPE_RECORD ? sizeof count : 1);
            count = table->shape == SHAPE_RECORD ? count : count & 1;
        }
        fprintf(stream, "%s %d\n", table->name, count);
        for (int i = 0; i < count; i++) {
            const char *at = id == TABLE_SESSION
                                 ? (const char *)&header
                                 : (const char *)record + table->offset + (size_t)i * table->size;
            for (int f = 0; f < table->field_count; f++) {
                struct stored_value value;
                if (table->field[f].type == STORED_KEPT) {
                    continue;
                }
                stored_value(&table->field[f], at, 0, &value);
                fprintf(stream, " %s=%d/%lld/%.9g/%s", table->field[f].key, (int)value.is,
                        (long long)value.integer, value.is == STORED_IS_REAL ? value.real : 0.0,
                        value.is == STORED_IS_TEXT ? value.text : "");
            }
            fprintf(stream, "\n");
        }
    }
    for (int k = 0; k < BIKE_KEYS; k++) {
        fprintf(stream, " %g", record->bike.frame.value[k]);
        for (int s = 0; s < record->setup_count; s++) {
            fprintf(stream, " %g", record->setup[s].bike.value[k]);
        }
    }
    for (int c = 0; c < 2; c++) {
        fprintf(stream, "\nmatters %g", record->settings.matters_mm[c]);
        for (int p = 0; p < record->placing_count; p++) {
            const struct channel_record *channel = &record->placing[p].channel[c];
            fprintf(stream, " %s %s %d %g %g %g", channel->name, channel->mark, channel->mounted,
                    channel->mount.x_mm, channel->mount.y_mm, channel->gain);
        }
        for (int b = 0; b < record->band_count; b++) {
            const struct cue_settings *cue = &record->band[b].cue[c];
            fprintf(stream, " band %g %g %g", cue->band_above_mm, cue->band_below_mm,
                    cue->on_delay_s);
        }
    }
    fprintf(stream, "\nlimits %d\ntorques", bike_limits_entered(&record->limits));
    for (int bolt = 0; bolt < BIKE_BOLTS; bolt++) {
        fprintf(stream, " %g", record->torques.nm[bolt]);
    }
    fprintf(stream, "\n");
}

char *records_text(const struct session_record *record)
{
    char *text = NULL;
    size_t size = 0;
    FILE *stream = open_memstream(&text, &size);
    write_records(stream, record);
    fclose(stream);
    return text;
}

char *session_text(struct drive *drive)
{
    const struct session_record *record = session_records(drive->session);
    const struct snapshot *snapshot = drive_snapshot(drive);
    char *text = NULL;
    size_t size = 0;
    FILE *stream = open_memstream(&text, &size);
    fprintf(stream, "in force %d %d %d %d\n", snapshot->placing, snapshot->build, snapshot->target,
            snapshot->band);
    write_records(stream, record);
    for (int c = 0; c < 2; c++) {
        for (int b = 0; b < record->build_count; b++) {
            const struct tie *tie = &snapshot->analysis.tie[b][c];
            fprintf(stream, " tie %d %.6f", (int)tie->kind, tie->shift_mm);
        }
        for (int h = 0; h < record->hold_count; h++) {
            bool over = record->hold[h].status != HOLD_RUNNING;
            fprintf(stream, " hold %.6f",
                    over ? snapshot->analysis.hold[h].summary[c].mean_mm : 0.0);
        }
        for (int t = 0; t < record->target_count; t++) {
            fprintf(stream, " target %.6f", snapshot->analysis.target[t][c].height_mm);
        }
    }
    struct view view = {.snapshot = snapshot};
    session_fill_view(drive->session, &view);
    fprintf(stream, "\nminutes %g\n", view.minutes_left + view.session_s / 60.0);
    fprintf(stream, "passed over until %s\n", view.next_step);
    fclose(stream);
    return text;
}

void assert_same_text(const char *is, const char *wanted, const char *when)
{
    size_t at = 0, line = 0;
    while (is[at] != '\0' && is[at] == wanted[at]) {
        line = is[at++] == '\n' ? at : line;
    }
    ck_assert_msg(is[at] == wanted[at], "%s, byte %zu of a line:\n%.700s\n--- not\n%.700s", when,
                  at - line, is + line, wanted + line);
}
