/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_JSON_PARTS_H
#define HOLDLINE_REPORT_JSON_PARTS_H

#include "analysis/ride_summary.h"
#include "base/json.h"
#include "record/stored.h"
#include "report/report.h"

/* The pieces of the JSON export; docs/export.schema.json describes them. Members always come in the
 * same order, and all of them come: what is not known is null. References to builds, captures,
 * targets, bands and placings are their 'number' (from 1 in the order recorded); setups and holds
 * go by the fitter's own. */
void json_session(struct json_writer *json, const struct report_input *input);
void json_placings(struct json_writer *json, const struct report_input *input);
void json_setups(struct json_writer *json, const struct report_input *input);
void json_builds(struct json_writer *json, const struct report_input *input);
void json_targets(struct json_writer *json, const struct report_input *input);
void json_bands(struct json_writer *json, const struct report_input *input);
void json_holds(struct json_writer *json, const struct report_input *input);
/* A long ride's members: how often it was sat up, and each part of the body by quarters. */
void json_ride(struct json_writer *json, const struct ride_summary *ride);
void json_ratings(struct json_writer *json, const struct report_input *input);
void json_checks(struct json_writer *json, const struct report_input *input);
void json_comparison(struct json_writer *json, const struct report_input *input);
/* One channel's comparison; numbers: what each setup is called. */
void json_compared(struct json_writer *json, const char *channel,
                   const struct comparison *comparison, const int *numbers, int setup_count);

void json_insight(struct json_writer *json, const struct report_input *input);
/* A day of runs; null without runs. */
void json_runs(struct json_writer *json, const struct report_input *input);
void json_drag(struct json_writer *json, const struct report_input *input);

/* A row of what is stored (record/stored.h), or of an array's in it. */
struct json_row {
    const struct session_record *record;
    enum stored_table_id table;
    const void *of;
    int index;                            /* of an owned row: which one */
    const struct placing_record *placing; /* whose channels it names */
};
/* Of a record, by its place in the session. */
struct json_row json_row(const struct report_input *input, enum stored_table_id id, int place);
/* Its columns as members: those named, 'uuid rig=rig_id', or all (NULL). */
void json_columns(struct json_writer *json, const struct json_row *row, const char *columns);

/* All records of a kind with all their columns; numbered: behind their place. */
void json_record_array(struct json_writer *json, const struct report_input *input, const char *name,
                       enum stored_table_id id, bool numbered);

/* Small helpers of these files. */
void json_member_uuid(struct json_writer *json, const char *name, const struct uuid *uuid);
/* The number of a record that is referred to by its index; null for -1. */
void json_member_place(struct json_writer *json, const char *name, int index);
/* Of two channels together; null when it is not there. */
void json_ellipse(struct json_writer *json, const char *name, bool there,
                  const struct ellipse *ellipse);
/* Of a hold's summary (measure/hold_measures.h): those that are of the band, or all others. */
void json_hold_measures(struct json_writer *json, const struct hold_summary *summary, bool of_band);

#endif
