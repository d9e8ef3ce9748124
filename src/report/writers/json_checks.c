/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Checks of the sensors in the JSON export. */
#include "report/json_parts.h"

#include "analysis/check.h"
#include "base/text.h"

#include <math.h>

static void numbers(struct json_writer *json, struct json_row row, int count)
{
    row.table = TABLE_SENSOR_CHECK_NUMBER;
    json_array_member(json, "numbers");
    for (row.index = 0; row.index < count; row.index++) {
        json_object_begin(json);
        json_columns(json, &row, "what=key channel phase value unit");
        json_object_end(json);
    }
    json_array_end(json);
}

void json_checks(struct json_writer *json, const struct report_input *input)
{
    const struct session_record *record = input->record;
    json_array_member(json, "checks");
    for (int i = 0; i < record->check_count; i++) {
        const struct check_record *check = &record->check[i];
        struct json_row row = json_row(input, TABLE_SENSOR_CHECK, i);
        row.placing = &record->placing[check->placing];
        json_object_begin(json);
        json_member_integer(json, "number", i + 1);
        json_columns(json, &row, "uuid kind");
        json_member_rounded(json, "time_s", check_time_s(record, check),
                            3); /* null where it is not known */
        json_columns(json, &row, "placing build capture channel verdict words");
        json_array_member(json, "asked_mm");
        for (int p = 0; p < check->phase_count; p++) {
            if (isfinite(check->asked_mm[p])) {
                json_number(json, check->asked_mm[p]);
            } else {
                json_null(json);
            }
        }
        json_array_end(json);
        numbers(json, row, check->number_count);
        json_object_end(json);
    }
    json_array_end(json);
}
