/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Checks of the sensors in the JSON export. */
#include "report/json_parts.h"

#include "analysis/check.h"
#include "base/text.h"

#include <math.h>

static void numbers(struct json_writer *json, const struct placing_record *placing,
                    const struct check_record *check)
{
    json_array_member(json, "numbers");
    for (int i = 0; i < check->number_count; i++) {
        const struct check_number *number = &check->number[i];
        json_object_begin(json);
        json_member_string(json, "what", check_quantities[number->quantity].key);
        json_member_string(json, "channel", placing->channel[number->channel].name);
        json_member_integer(json, "phase", number->phase + 1);
        json_member_number(json, "value", number->value);
        json_member_string(json, "unit", check_quantities[number->quantity].unit);
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
        const struct placing_record *placing = &record->placing[check->placing];
        json_object_begin(json);
        json_member_integer(json, "number", i + 1);
        json_member_uuid(json, "uuid", &check->uuid);
        json_member_string(json, "kind", word_of(&check_kind_words, check->kind));
        json_name(json, "time_s");
        json_rounded(json, check_time_s(record, check), 3); /* null where it is not known */
        json_member_place(json, "placing", check->placing);
        json_member_place(json, "build", check->build);
        json_member_place(json, "capture", check->capture);
        json_member_string(json, "channel",
                           check->channel >= 0 ? placing->channel[check->channel].name : NULL);
        json_member_string(json, "verdict", word_of(&check_verdict_words, check->verdict));
        json_member_string(json, "words", check->words);
        json_array_member(json, "asked_mm");
        for (int p = 0; p < check->phase_count; p++) {
            if (isfinite(check->asked_mm[p])) {
                json_number(json, check->asked_mm[p]);
            } else {
                json_null(json);
            }
        }
        json_array_end(json);
        numbers(json, placing, check);
        json_object_end(json);
    }
    json_array_end(json);
}
