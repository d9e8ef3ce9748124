/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/effect.h"

enum stored_table_id effect_table(enum effect_kind kind)
{
    static const enum stored_table_id tables[] = {
        [EFFECT_SESSION] = TABLE_SESSION,
        [EFFECT_RIDER] = TABLE_SESSION_RIDER,
        [EFFECT_BIKE] = TABLE_SESSION_BIKE,
        [EFFECT_PLACING] = TABLE_PLACING,
        [EFFECT_SETUP] = TABLE_SETUP,
        [EFFECT_BUILD] = TABLE_BUILD,
        [EFFECT_TIE_READING] = TABLE_TIE_READING,
        [EFFECT_CAPTURE] = TABLE_CAPTURE,
        [EFFECT_TARGET] = TABLE_TARGET,
        [EFFECT_BAND] = TABLE_BAND,
        [EFFECT_HOLD] = TABLE_HOLD,
        [EFFECT_MARK] = TABLE_MARK,
        [EFFECT_RATING] = TABLE_RATING,
        [EFFECT_NOTE] = TABLE_NOTE,
        [EFFECT_COMMAND] = TABLE_COMMAND,
        [EFFECT_CHECK] = TABLE_SENSOR_CHECK,
        [EFFECT_CUE_SOUND] = TABLE_CUE_SOUND,
        [EFFECT_AIR] = TABLE_AIR,
        [EFFECT_RUN] = TABLE_RUN,
        [EFFECT_LEG] = TABLE_LEG,
    };
    return tables[kind];
}
