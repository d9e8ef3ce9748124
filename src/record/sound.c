/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/sound.h"

#include "base/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define WHY_SIZE 120
#define RECORDS_MOST 1000 /* of any table */

struct fault {
    bool there, wrong, other, later;
    char why[WHY_SIZE];
};

struct record_faults {
    struct fault of[STORED_TABLES][RECORDS_MOST];
};

struct sounding {
    struct session_record *record;
    struct record_faults *faults;
    record_damage_sink *told;
    void *context;
};

struct record_faults *record_faults_create(void)
{
    return calloc(1, sizeof(struct record_faults));
}

void record_faults_destroy(struct record_faults *faults)
{
    free(faults);
}

static struct fault *fault_at(struct record_faults *faults, enum stored_table_id table, int index)
{
    return index >= 0 && index < RECORDS_MOST ? &faults->of[table][index] : NULL;
}

void record_fault_there(struct record_faults *faults, enum stored_table_id table, int index)
{
    struct fault *fault = fault_at(faults, table, index);
    if (fault != NULL) {
        fault->there = true;
    }
}

void record_fault(struct record_faults *faults, enum stored_table_id table, int index,
                  const char *why)
{
    struct fault *fault = fault_at(faults, table, index);
    if (fault != NULL && !fault->wrong) {
        fault->wrong = true;
        text_copy(fault->why, sizeof fault->why, why);
    }
}

void record_fault_other(struct record_faults *faults, enum stored_table_id table, int index)
{
    struct fault *fault = fault_at(faults, table, index);
    if (fault != NULL) {
        fault->other = true;
    }
}

void record_fault_later(struct record_faults *faults, enum stored_table_id table, int index)
{
    struct fault *fault = fault_at(faults, table, index);
    if (fault != NULL) {
        fault->later = true;
    }
}

bool record_fault_is_later(const struct record_faults *faults, enum stored_table_id table,
                           int index)
{
    return index >= 0 && index < RECORDS_MOST && faults->of[table][index].later;
}

/* ---- records by their tables -------------------------------------------------------------------
 */

static bool is_array(enum stored_table_id id)
{
    return stored_tables[id]->shape == SHAPE_RECORD && id != TABLE_COMMAND;
}

static int *count_of(const struct sounding *sounding, enum stored_table_id id)
{
    return (int *)(void *)((char *)sounding->record + stored_tables[id]->count_offset);
}

static void *record_at(const struct sounding *sounding, enum stored_table_id id, int index)
{
    const struct stored_table *table = stored_tables[id];
    return (char *)sounding->record + table->offset + (size_t)index * table->size;
}

static int *place_in(const struct stored_field *field, void *record)
{
    return (int *)(void *)((char *)record + field->offset);
}

static bool is_undone(const struct sounding *sounding, enum stored_table_id id, int index)
{
    return stored_is_undone(stored_tables[id], record_at(sounding, id, index));
}

static bool is_wrong(const struct sounding *sounding, enum stored_table_id id, int index)
{
    return index < 0 || index >= *count_of(sounding, id) || sounding->faults->of[id][index].wrong;
}

/* Nothing that counts may rest on it. */
static bool is_gone(const struct sounding *sounding, enum stored_table_id id, int index)
{
    return is_wrong(sounding, id, index) || is_undone(sounding, id, index);
}

/* ---- what a record touches ---------------------------------------------------------------------
 */

static void touch_samples(struct record_damage *damage, int64_t first, int64_t last, int64_t most)
{
    if (first < 1 || last < first || first > most) {
        return;
    }
    damage->first_sample = first;
    damage->last_sample = last > most ? most : last;
}

static void touch(const struct sounding *sounding, enum stored_table_id id, int index,
                  struct record_damage *damage)
{
    const struct stored_table *table = stored_tables[id];
    char *record = record_at(sounding, id, index);
    int64_t most = sounding->record->last_sample;
    if (id == TABLE_CAPTURE) {
        const struct capture_record *capture = (const void *)record;
        touch_samples(damage, capture->first_sample,
                      capture->last_sample > 0 ? capture->last_sample : most, most);
        return;
    }
    for (int i = 0; i < table->field_count; i++) {
        const struct stored_field *field = &table->field[i];
        if (field->is_sample) {
            int64_t sample = 0;
            memcpy(&sample, record + field->offset, sizeof sample);
            touch_samples(damage, sample, sample, most);
        } else if (field->type == STORED_PLACE && field->of == TABLE_CAPTURE) {
            int capture = *place_in(field, record);
            if (capture >= 0 && capture < sounding->record->capture_count) {
                touch(sounding, TABLE_CAPTURE, capture, damage);
            }
        }
    }
}

static void tell(const struct sounding *sounding, enum stored_table_id id, int index, bool kept,
                 const char *why)
{
    struct record_damage damage = {.table = id, .index = index, .kept = kept, .why = why};
    touch(sounding, id, index, &damage);
    sounding->told(sounding->context, &damage);
}

/* ---- what is wrong with it ---------------------------------------------------------------------
 */

static void find_holes(const struct sounding *sounding, enum stored_table_id id)
{
    for (int i = 0; i < *count_of(sounding, id); i++) {
        if (!sounding->faults->of[id][i].there) {
            record_fault(sounding->faults, id, i, "its row is not there");
        }
    }
}

/* False when the record was found wrong. */
static bool follow(const struct sounding *sounding, enum stored_table_id id, int index,
                   const struct stored_field *field)
{
    char why[WHY_SIZE];
    int *place = place_in(field, record_at(sounding, id, index));
    if (*place == -1 && field->optional && !field->needed) {
        return true;
    }
    if (!is_gone(sounding, field->of, *place)) {
        return true;
    }
    if (*place == -1) {
        snprintf(why, sizeof why, "it has no %s", field->key);
    } else {
        bool there = *place >= 0 && *place < *count_of(sounding, field->of);
        snprintf(why, sizeof why, "its %s is number %lld, which %s", field->key,
                 (long long)*place + 1,
                 !there                                  ? "is not there"
                 : is_wrong(sounding, field->of, *place) ? "is damaged"
                                                         : "was taken back");
    }
    if (field->spared) {
        tell(sounding, id, index, true, why);
        *place = -1;
        return true;
    }
    record_fault(sounding->faults, id, index, why);
    return false;
}

/* Of a build that is there: its place has been followed. */
static int channels_of_build(const struct session_record *record, int build)
{
    int placing = record->build[build].placing;
    return placing >= 0 ? record->placing[placing].channel_count : 0;
}

static const char *wrong_check(const struct sounding *sounding, const struct check_record *check)
{
    int channels = sounding->record->placing[check->placing].channel_count;
    if (check->channel >= channels) {
        return "it is of a sensor that was not there";
    }
    if (check->phase_count < 0 || check->phase_count > CHECK_PHASES_MAX) {
        return "it has more phases than there can be";
    }
    for (int i = 0; check->capture >= 0 && i < check->phase_count; i++) {
        if (is_gone(sounding, TABLE_CAPTURE, check->capture + i)) {
            return "readings of one of its phases are not there";
        }
    }
    for (int i = 0; i < check->number_count; i++) {
        const struct check_number *number = &check->number[i];
        if (number->channel < 0 || number->channel >= CHANNELS_MAX || number->phase < 0 ||
            number->phase >= CHECK_PHASES_MAX) {
            return "a number of it is of a sensor or a phase that was not there";
        }
    }
    return NULL;
}

/* What the tables can't say of one record; NULL: nothing is wrong. */
static const char *wrong_by_itself(const struct sounding *sounding, enum stored_table_id id,
                                   int index)
{
    const struct session_record *record = sounding->record;
    switch (id) {
    case TABLE_CAPTURE: {
        const struct capture_record *capture = &record->capture[index];
        return capture->last_sample != 0 && capture->last_sample < capture->first_sample - 1
                   ? "it ends before it begins"
                   : NULL;
    }
    case TABLE_TIE_READING: {
        const struct tie_reading_record *reading = &record->tie_reading[index];
        return reading->channel < 0 || reading->channel >= channels_of_build(record, reading->build)
                   ? "it is of a sensor that was not there"
                   : NULL;
    }
    case TABLE_SENSOR_CHECK:
        return wrong_check(sounding, &record->check[index]);
    case TABLE_HOLD:
        for (int i = 0; i < index; i++) {
            if (record->hold[i].number == record->hold[index].number && !is_gone(sounding, id, i)) {
                return "another hold has its number";
            }
        }
        return NULL;
    case TABLE_SETUP:
        for (int i = 0; i < index; i++) {
            if (record->setup[i].number == record->setup[index].number &&
                !is_gone(sounding, id, i)) {
                return "another setup has its number";
            }
        }
        return NULL;
    default:
        return NULL;
    }
}

/* Gives whether any was found. */
static bool find_wrong(const struct sounding *sounding, enum stored_table_id id)
{
    const struct stored_table *table = stored_tables[id];
    bool any = false;
    for (int i = 0; i < *count_of(sounding, id); i++) {
        bool good = true;
        if (is_gone(sounding, id, i)) {
            continue;
        }
        for (int f = 0; good && f < table->field_count; f++) {
            const struct stored_field *field = &table->field[f];
            if (field->type == STORED_PLACE && field->of != TABLE_SESSION) {
                good = follow(sounding, id, i, field);
            }
        }
        const char *why = good ? wrong_by_itself(sounding, id, i) : NULL;
        if (why != NULL) {
            record_fault(sounding->faults, id, i, why);
        }
        any = any || !good || why != NULL;
    }
    return any;
}

/* ---- taking it out -----------------------------------------------------------------------------
 */

static void point_anew(const struct sounding *sounding, enum stored_table_id moved, const int *now)
{
    for (int id = 0; id < STORED_TABLES; id++) {
        const struct stored_table *table = stored_tables[id];
        for (int f = 0; is_array((enum stored_table_id)id) && f < table->field_count; f++) {
            const struct stored_field *field = &table->field[f];
            for (int i = 0; field->type == STORED_PLACE && field->of == moved &&
                            i < *count_of(sounding, (enum stored_table_id)id);
                 i++) {
                int *place = place_in(field, record_at(sounding, (enum stored_table_id)id, i));
                *place = *place >= 0 ? now[*place] : -1;
            }
        }
    }
}

/* What points at a wrong record is wrong, and gone first or later in the same round: an index that
 * is read here is in its range or of a record that goes. */
static void take_out(const struct sounding *sounding, enum stored_table_id id)
{
    int now[RECORDS_MOST], *count = count_of(sounding, id), kept = 0;
    for (int i = 0; i < *count; i++) {
        now[i] = -1;
        if (is_gone(sounding, id, i)) {
            continue;
        }
        now[i] = kept;
        if (kept != i) {
            memmove(record_at(sounding, id, kept), record_at(sounding, id, i),
                    stored_tables[id]->size);
        }
        kept++;
    }
    if (kept != *count) {
        *count = kept;
        point_anew(sounding, id, now);
    }
}

/* Until nothing more is found. */
static void find_all_wrong(const struct sounding *sounding)
{
    bool any = true;
    while (any) {
        any = false;
        for (int id = 0; id < STORED_TABLES; id++) {
            any = (is_array((enum stored_table_id)id) &&
                   find_wrong(sounding, (enum stored_table_id)id)) ||
                  any;
        }
    }
}

static void find_others(const struct sounding *sounding, enum stored_table_id id)
{
    for (int i = 0; i < *count_of(sounding, id); i++) {
        if (sounding->faults->of[id][i].other) {
            record_fault(sounding->faults, id, i,
                         "it is not what was written (its checksum is another)");
        }
    }
}

void record_make_sound(struct session_record *record, struct record_faults *faults,
                       record_damage_sink *told, void *context)
{
    const struct sounding sounding = {record, faults, told, context};
    for (int id = 0; id < STORED_TABLES; id++) {
        if (is_array((enum stored_table_id)id)) {
            find_holes(&sounding, (enum stored_table_id)id);
        }
    }
    find_all_wrong(&sounding);
    for (int id = 0; id < STORED_TABLES; id++) {
        if (is_array((enum stored_table_id)id)) {
            find_others(&sounding, (enum stored_table_id)id);
        }
    }
    find_all_wrong(&sounding);
    for (int id = 0; id < STORED_TABLES; id++) {
        for (int i = 0; is_array((enum stored_table_id)id) &&
                        i < *count_of(&sounding, (enum stored_table_id)id);
             i++) {
            if (faults->of[id][i].wrong) {
                tell(&sounding, (enum stored_table_id)id, i, false, faults->of[id][i].why);
            }
        }
    }
    /* those that point first, so that what is pointed anew is all in range */
    for (int id = STORED_TABLES - 1; id >= 0; id--) {
        if (is_array((enum stored_table_id)id)) {
            take_out(&sounding, (enum stored_table_id)id);
        }
    }
}
