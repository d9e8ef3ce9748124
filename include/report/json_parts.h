/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_JSON_PARTS_H
#define HOLDLINE_REPORT_JSON_PARTS_H

#include "base/json.h"
#include "report/report.h"

/* The pieces of the JSON export; docs/export.schema.json describes them. Members always come in the
 * same order, and all of them come: what is not known is null. References to builds, captures,
 * targets, bands and placings are their 'number' (from 1 in the order recorded); setups and holds
 * go by the fitter's own. */
void json_session(struct json_writer *json, const struct report_input *input);
void json_placings(struct json_writer *json, const struct report_input *input);
void json_setups(struct json_writer *json, const struct report_input *input);
void json_builds(struct json_writer *json, const struct report_input *input);
void json_tie_readings(struct json_writer *json, const struct report_input *input);
void json_captures(struct json_writer *json, const struct report_input *input);
void json_targets(struct json_writer *json, const struct report_input *input);
void json_bands(struct json_writer *json, const struct report_input *input);
void json_holds(struct json_writer *json, const struct report_input *input);
void json_remarks(struct json_writer *json,
                  const struct report_input *input); /* marks, ratings, notes */
void json_checks(struct json_writer *json, const struct report_input *input);
void json_comparison(struct json_writer *json, const struct report_input *input);
/* One channel's comparison; numbers: what each setup is called. */
void json_compared(struct json_writer *json, const char *channel,
                   const struct comparison *comparison, const int *numbers, int setup_count);

void json_insight(struct json_writer *json, const struct report_input *input);

/* Small helpers of these files. */
void json_member_uuid(struct json_writer *json, const char *name, const struct uuid *uuid);
/* The number of a record that is referred to by its index; null for -1. */
void json_member_place(struct json_writer *json, const char *name, int index);
/* Of two channels together; null when it is not there. */
void json_ellipse(struct json_writer *json, const char *name, bool there,
                  const struct ellipse *ellipse);
/* value where there is one, else null. */
void json_member_if(struct json_writer *json, const char *name, bool there, double value);
void json_object_member(struct json_writer *json, const char *name); /* name and '{' */
void json_array_member(struct json_writer *json, const char *name);  /* name and '[' */

#endif
