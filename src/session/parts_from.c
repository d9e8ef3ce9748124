/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "parts_from.h"

#include "base/text.h"
#include "machine_effects.h"

#include <string.h>

_Static_assert(BIKE_KEYS < 32, "a bit for each measure");

static struct parts_from *of(struct session *session, int setup)
{
    return &session->settings.parts_from[acts_place(session, EFFECT_SETUP, setup)];
}

void parts_from_begin(struct session *session, int setup, int from)
{
    *of(session, setup) = (struct parts_from){
        .setup = from >= 0 ? acts_place(session, EFFECT_SETUP, from) + 1 : 0,
        .untyped = from >= 0 ? UINT32_MAX : 0,
    };
}

void parts_from_earlier(struct session *session, int setup)
{
    *of(session, setup) = (struct parts_from){.setup = PARTS_FROM_UNKNOWN, .untyped = UINT32_MAX};
}

void parts_from_typed(struct session *session, int setup, const struct words *words)
{
    for (int i = 1; i < words->count; i++) {
        int key = words->word[i].key != NULL ? bike_key_find(words->word[i].key) : -1;
        if (key >= 0) {
            of(session, setup)->untyped &= ~(UINT32_C(1) << key);
        }
    }
}

bool parts_from_is_unknown(struct session *session, int setup, int key)
{
    const struct parts_from *parts = of(session, setup);
    return parts->setup == PARTS_FROM_UNKNOWN && (parts->untyped >> key & 1) != 0;
}

/* It took the measure over from that one, itself or through those between. */
static bool has_from(struct session *session, int setup, int from, int key)
{
    const struct parts_from *parts = of(session, setup);
    int end = acts_place(session, EFFECT_SETUP, from) + 1;
    for (int steps = 0; steps < SETUPS_MAX; steps++) {
        if ((parts->untyped >> key & 1) == 0 || parts->setup <= 0) {
            return false;
        }
        if (parts->setup == end) {
            return true;
        }
        parts = &session->settings.parts_from[parts->setup - 1];
    }
    return false;
}

void parts_from_follow(struct session *session, int setup, const struct bike_values *former,
                       bool followed[SETUPS_MAX])
{
    struct session_record *record = &session->record;
    const struct bike_values *now = &record->setup[setup].bike;
    memset(followed, 0, SETUPS_MAX * sizeof followed[0]);
    for (int s = 0; s < record->setup_count; s++) {
        for (int k = 0; s != setup && k < BIKE_KEYS; k++) {
            double *value = &record->setup[s].bike.value[k];
            if (bike_fields[k].scope == BIKE_SCOPE_PART &&
                !bike_value_same(now->value[k], former->value[k]) &&
                bike_value_same(*value, former->value[k]) && has_from(session, s, setup, k)) {
                if (!followed[s]) {
                    journal_keep_words(session, EFFECT_SETUP, s);
                }
                *value = now->value[k];
                followed[s] = true;
            }
        }
        if (followed[s]) {
            machine_emit(session, EFFECT_SETUP, s);
        }
    }
}

void parts_from_text(char *text, size_t size, const struct session_record *record,
                     const bool followed[SETUPS_MAX])
{
    int count = 0, told = 0;
    size_t used = 0;
    text_copy(text, size, "");
    for (int s = 0; s < record->setup_count; s++) {
        count += followed[s] ? 1 : 0;
    }
    for (int s = 0; s < record->setup_count; s++) {
        if (followed[s]) {
            const char *before = told == 0           ? count > 1 ? ", setups " : ", setup "
                                 : told == count - 1 ? " and "
                                                     : ", ";
            text_append(text, size, &used, "%s%d", before, record->setup[s].number);
            told++;
        }
    }
    if (count > 0) {
        text_append(text, size, &used, " too where %s had it from there",
                    count > 1 ? "they" : "it");
    }
}

void parts_from_gone(struct session *session, int setup, int other)
{
    struct session_record *record = &session->record;
    const struct parts_from gone = *of(session, setup);
    int place = acts_place(session, EFFECT_SETUP, setup) + 1;
    for (int s = 0; s < record->setup_count; s++) {
        struct parts_from *parts = of(session, s);
        if (s == setup || parts->setup != place) {
            continue;
        }
        if (other >= 0 && other != s) {
            parts->setup = acts_place(session, EFFECT_SETUP, other) + 1;
        } else {
            parts->setup = gone.setup;
            parts->untyped &= gone.untyped;
        }
    }
}
