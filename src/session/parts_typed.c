/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "parts_typed.h"

#include "base/nearest.h"
#include "base/text.h"
#include "bike/slips.h"

#include <math.h>

bool parts_typed_read(const struct words *words, int first, const char *const *others,
                      struct bike_values *values, int *changed, struct problem *problem)
{
    *changed = 0;
    for (int i = first; i < words->count; i++) {
        const char *key = words->word[i].key;
        bool other = false;
        for (int k = 0; key != NULL && others != NULL && others[k] != NULL; k++) {
            other = other || text_equal(others[k], key);
        }
        if (key == NULL || other) {
            continue;
        }
        int found = bike_key_find(key);
        if (found < 0) {
            char meant[NEAREST_TEXT_SIZE];
            return problem_set(problem, "%s: there is no bike measure '%s'%s", words->word[0].value,
                               key, bike_key_meant(key, meant, sizeof meant));
        }
        double value = 0.0;
        if (!words_number(words->word[i].value, bike_fields[found].unit, &value, problem) ||
            !bike_value_check(found, value, problem)) {
            return problem_prefix(problem, "%s", key);
        }
        values->value[found] = value;
        ++*changed;
    }
    return true;
}

bool parts_typed_check(const struct session_record *record, const struct bike_values *values,
                       const struct bike_values *before, int itself, struct problem *problem)
{
    for (int k = 0; k < BIKE_KEYS; k++) {
        double known[SETUPS_MAX + 1];
        int count = 0;
        for (int s = 0; s < record->setup_count; s++) {
            if (s != itself) {
                known[count++] = record->setup[s].bike.value[k];
            }
        }
        known[count++] = record->has_bike ? record->bike.frame.value[k] : (double)NAN;
        if (isfinite(values->value[k]) && values->value[k] != before->value[k] &&
            !bike_change_check(k, values->value[k], known, count, problem)) {
            return false;
        }
    }
    return true;
}

bool parts_typed_frame_check(const struct session_record *record, const char *command,
                             const struct bike_values *values, const struct bike_values *before,
                             struct problem *problem)
{
    for (int k = 0; record->has_bike && k < BIKE_KEYS; k++) {
        double frame = record->bike.frame.value[k], value = values->value[k];
        if (bike_fields[k].scope == BIKE_SCOPE_FRAME && isfinite(frame) && isfinite(value) &&
            value != frame && value != before->value[k]) {
            return problem_ask(problem,
                               "%s: %s is of the frame, the same in all setups, and %g there: "
                               "'bike %s=%g' puts it right; or is it another frame?",
                               command, bike_fields[k].key, frame, bike_fields[k].key, value);
        }
    }
    return true;
}
