/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/kept_session.h"
#include "support/session_text.h"

#include "base/text.h"
#include "record/sound.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void kept_session_begin(struct kept_session *kept)
{
    memset(kept, 0, sizeof *kept);
    session_record_clear(&kept->record);
}

static void take_record(struct kept_session *kept, const struct stored_table *table,
                        const struct effect *effect)
{
    char *record = (char *)&kept->record;
    if (table->shape == SHAPE_ONE) {
        memcpy(record + table->offset, &effect->record, table->size);
        *(bool *)(record + table->count_offset) = true;
        return;
    }
    if (effect->index < 0 || effect->index >= table->most) {
        kept->misplaced = true;
        return;
    }
    int *count = (int *)(void *)(record + table->count_offset);
    memcpy(record + table->offset + (size_t)effect->index * table->size, &effect->record,
           table->size);
    *count = effect->index >= *count ? effect->index + 1 : *count;
}

void kept_session_take(void *context, const struct effect *effect)
{
    struct kept_session *kept = context;
    kept->effects++;
    if (effect->kind == EFFECT_COMMAND) {
        kept->full = kept->full || kept->count == KEPT_LINES;
        if (!kept->full) {
            kept->command[kept->count++] = effect->record.command;
        }
    } else if (effect->kind == EFFECT_SESSION) {
        session_record_take_header(&kept->record, &effect->record.session);
    } else {
        take_record(kept, stored_tables[effect_table(effect->kind)], effect);
    }
}

static void told(void *context, const struct record_damage *damage)
{
    struct kept_session *kept = context;
    text_copy(kept->damage, sizeof kept->damage, damage->why);
}

char *kept_session_text(struct kept_session *kept)
{
    struct session_record *record = malloc(sizeof *record);
    struct record_faults *faults = record_faults_create();
    if (record == NULL || faults == NULL) {
        abort();
    }
    memcpy(record, &kept->record, sizeof *record);
    for (int id = 0; id < STORED_TABLES; id++) {
        const struct stored_table *table = stored_tables[id];
        char *at = (char *)record;
        if (id == TABLE_COMMAND || id == TABLE_SESSION || table->shape == SHAPE_OWNED) {
            continue;
        }
        if (table->shape == SHAPE_ONE) {
            bool *has = (bool *)(at + table->count_offset);
            *has = *has && !stored_is_undone(table, at + table->offset);
        }
        for (int i = 0;
             table->shape == SHAPE_RECORD && i < *(int *)(void *)(at + table->count_offset); i++) {
            record_fault_there(faults, (enum stored_table_id)id, i);
        }
    }
    record_make_sound(record, faults, told, kept);
    if (!record->has_bike) {
        bike_values_clear(&record->bike.frame);
    }
    char *text = records_text(record);
    record_faults_destroy(faults);
    free(record);
    return text;
}

/* ---- live, and worked out anew -----------------------------------------------------------------
 */

static bool same_analysis(const struct session_record *record, const struct analysis *live,
                          const struct analysis *anew, char *difference, size_t size)
{
    for (int h = 0; h < record->hold_count; h++) {
        const struct hold_result *is = &live->hold[h], *wanted = &anew->hold[h];
        if (record->hold[h].status != HOLD_RUNNING && memcmp(is, wanted, sizeof *is) != 0) {
            snprintf(difference, size, "hold %d: %g s at %.4f, anew %g s at %.4f", h + 1,
                     is->duration_s, is->summary[0].mean_mm, wanted->duration_s,
                     wanted->summary[0].mean_mm);
            return false;
        }
    }
    for (int t = 0; t < record->target_count; t++) {
        if (memcmp(live->target[t], anew->target[t], sizeof live->target[t]) != 0) {
            snprintf(difference, size, "target %d", t + 1);
            return false;
        }
    }
    for (int b = 0; b < record->build_count; b++) {
        if (memcmp(live->tie[b], anew->tie[b], sizeof live->tie[b]) != 0) {
            snprintf(difference, size, "tie of build %d", b + 1);
            return false;
        }
    }
    for (int s = 0; s < record->setup_count; s++) {
        if (live->free_holds[s] != anew->free_holds[s] ||
            live->guided_holds[s] != anew->guided_holds[s]) {
            snprintf(difference, size, "holds of setup %d", record->setup[s].number);
            return false;
        }
    }
    return true;
}

bool session_is_as_anew(struct session *session, char *difference, size_t size)
{
    struct problem problem = {0};
    const struct session_record *record = session_records(session);
    struct analysis *anew = analysis_create();
    if (anew == NULL) {
        abort();
    }
    bool same = analysis_make(record, session_samples, session, anew, &problem);
    if (!same) {
        snprintf(difference, size, "%s", problem.sentence);
    } else {
        same = same_analysis(record, session_analysis(session), anew, difference, size);
    }
    analysis_destroy(anew);
    return same;
}
