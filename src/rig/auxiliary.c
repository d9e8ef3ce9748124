/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/auxiliary.h"

#include "base/text.h"
#include "measure/rules.h"

#include <math.h>
#include <string.h>

/* 10 W and 5 turns a minute: what a posture is ridden at must be alike where it is compared. */
const struct auxiliary_kind auxiliary_kinds[AUXILIARIES] = {
    [AUXILIARY_POWER] = {"power", "power", "W", "W"},
    [AUXILIARY_CADENCE] = {"cadence", "cadence", "rpm", "1/min"},
    [AUXILIARY_HEART] = {"heart", "heart rate", "beats/min", "beat/min"},
};

double auxiliary_apart_from(enum auxiliary kind)
{
    return kind == AUXILIARY_POWER     ? POWER_APART_W
           : kind == AUXILIARY_CADENCE ? CADENCE_APART_RPM
                                       : (double)INFINITY;
}

int auxiliary_of(const char *channel_name)
{
    for (int i = 0; i < AUXILIARIES; i++) {
        if (text_equal(auxiliary_kinds[i].name, channel_name)) {
            return i;
        }
    }
    return -1;
}

int auxiliary_of_senml_unit(const char *unit, unsigned long length)
{
    for (int i = 0; i < AUXILIARIES; i++) {
        const char *known = auxiliary_kinds[i].senml_unit;
        if (strlen(known) == length && memcmp(known, unit, length) == 0) {
            return i;
        }
    }
    /* '/min' is how some write one per minute. */
    return length == 4 && memcmp(unit, "/min", 4) == 0 ? AUXILIARY_CADENCE : -1;
}
