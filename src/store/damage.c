/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "damage.h"

#include "base/text.h"

#include <stdio.h>

/* Rows that can't be used are told to whoever asked; where nobody did, the first of them is the
 * sentence with which the reading fails. */

void store_on_damage(struct store *store, store_finding *told, void *context)
{
    store->damage.told = told;
    store->damage.context = context;
}

int64_t store_damage_count(const struct store *store)
{
    return store->damage.count;
}

void damage_tell(struct store *store, int64_t session_id, const char *format, ...)
{
    char sentence[400];
    size_t used = 0;
    va_list arguments;
    text_append(sentence, sizeof sentence, &used, "session %lld: ", (long long)session_id);
    va_start(arguments, format);
    text_append_list(sentence, sizeof sentence, &used, format, arguments);
    va_end(arguments);
    if (store->damage.told != NULL) {
        store->damage.told(store->damage.context, sentence);
    } else {
        text_copy(store->damage.latest, sizeof store->damage.latest, sentence);
    }
    store->damage.count++;
}

int64_t damage_begin(const struct store *store)
{
    return store->damage.count;
}

bool damage_end(const struct store *store, int64_t begun, struct problem *problem)
{
    if (store->damage.told != NULL || store->damage.count == begun) {
        return true;
    }
    return problem_set(problem,
                       "%s is damaged (%s): 'holdline store check' tells all, 'holdline store "
                       "rescue FILE' saves what can be saved",
                       store->path, store->damage.latest);
}

static double second_of(struct store *store, int64_t session_id, int64_t sample)
{
    int64_t first_n = 0, time_us = 0;
    if (!store_number(store, "SELECT first_n FROM session WHERE id = ?", session_id, &first_n,
                      NULL) ||
        !store_number(store, "SELECT rig_us FROM sample WHERE n = ?", first_n + sample - 1,
                      &time_us, NULL)) {
        return 0.0;
    }
    return (double)time_us / 1e6;
}

void damage_span(struct store *store, int64_t session_id, int64_t first, int64_t last, char *text,
                 size_t size)
{
    text[0] = '\0';
    if (first >= 1) {
        double from_s = second_of(store, session_id, first);
        double to_s = second_of(store, session_id, last);
        if (last > first) {
            snprintf(text, size, " (%.1f to %.1f s)", from_s, to_s);
        } else {
            snprintf(text, size, " (at %.1f s)", from_s);
        }
    }
}
