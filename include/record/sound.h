/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RECORD_SOUND_H
#define HOLDLINE_RECORD_SOUND_H

#include "record/stored.h"

/* A session that was read from a file that may be damaged, or made to do harm: what of it can be
 * used. Whoever reads it notes which rows were there and what was wrong with one; then all that
 * points at another is followed, and what can't be used is taken out, so that whatever works with
 * the session may trust every index, count and number in it. With that goes, untold, what was taken
 * back. */

struct record_faults;
struct record_faults *record_faults_create(void); /* NULL: no memory */
void record_faults_destroy(struct record_faults *faults);
/* A row of a table of records was there at this index (from 0). */
void record_fault_there(struct record_faults *faults, enum stored_table_id table, int index);
/* And why it can't be used; the first reason counts. why is copied. */
void record_fault(struct record_faults *faults, enum stored_table_id table, int index,
                  const char *why);

/* What it says is not what was written: its checksum is another. Where more is wrong with it, that
 * is told instead. */
void record_fault_other(struct record_faults *faults, enum stored_table_id table, int index);
/* It has something of a later program, which this one doesn't know: its checksum can't be compared.
 */
void record_fault_later(struct record_faults *faults, enum stored_table_id table, int index);
bool record_fault_is_later(const struct record_faults *faults, enum stored_table_id table,
                           int index);

/* Something that was taken out, or (kept) that lost something only. index from 0, as it was read;
 * the samples that it touches, 0 to 0 where it touches none that are known. */
struct record_damage {
    enum stored_table_id table;
    int index;
    bool kept;
    const char *why;
    int64_t first_sample, last_sample;
};
typedef void record_damage_sink(void *context, const struct record_damage *damage);

/* Takes out what can't be used and what points at it; indices of what is left are put right. Each
 * is told. */
void record_make_sound(struct session_record *record, struct record_faults *faults,
                       record_damage_sink *told, void *context);

#endif
