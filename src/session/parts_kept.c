/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "parts_kept.h"

#include "base/numbers.h"
#include "base/text.h"
#include "parts_from.h"

#include <math.h>

/* A part put right in one place is not put right in the setups that have its value but did not take
 * it over from there (parts_from.h): they may have had it so, or not; the fitter knows, and is
 * told.
 */

static bool keeps(const struct session_record *record, int setup, int key,
                  const struct bike_values *former, const struct bike_values *now, bool first_too)
{
    double has = record->setup[setup].bike.value[key];
    bool changed = isfinite(former->value[key]) && former->value[key] != now->value[key];
    return bike_fields[key].scope == BIKE_SCOPE_PART && changed && isfinite(has) &&
           (has == former->value[key] || (first_too && setup == 0 && has != now->value[key]));
}

void parts_kept_text(char *text, size_t size, struct session *session,
                     const struct bike_values *former, const struct bike_values *now,
                     bool first_too)
{
    const struct session_record *record = &session->record;
    size_t used = 0;
    text_copy(text, size, "");
    for (int s = 0; s < record->setup_count; s++) {
        int parts = 0;
        for (int k = 0; k < BIKE_KEYS; k++) {
            char value[32];
            if (!keeps(record, s, k, former, now, first_too)) {
                continue;
            }
            say_exact(value, sizeof value, record->setup[s].bike.value[k]);
            if (parts++ == 0) {
                text_append(text, size, &used, "%ssetup %d keeps ", used > 0 ? "; " : "",
                            record->setup[s].number);
            } else {
                text_append(text, size, &used, ", ");
            }
            text_append(text, size, &used, "%s %s%s", bike_fields[k].words, value,
                        !first_too && parts_from_is_unknown(session, s, k)
                            ? " (whether typed for it is not known)"
                            : "");
        }
    }
    if (used > 0) {
        text_append(text, size, &used, ": key 5");
    }
}
