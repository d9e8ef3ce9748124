/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_AUXILIARY_H
#define HOLDLINE_RIG_AUXILIARY_H

#include <stdbool.h>

/* Other readings on the same wire: they are no ranges, are kept in tenths of their own unit in the
 * same columns, averaged over holds and shown, and never cued on. Known by the channel's name. */
enum auxiliary { AUXILIARY_POWER, AUXILIARY_CADENCE, AUXILIARY_HEART, AUXILIARIES };

struct auxiliary_kind {
    const char *name;       /* the channel's: 'power' */
    const char *words;      /* 'power' */
    const char *unit;       /* as it is shown: 'W' */
    const char *senml_unit; /* of the SenML units registry (RFC 8428, section 12.1) */
};
extern const struct auxiliary_kind auxiliary_kinds[AUXILIARIES];

/* Holds further apart than this are marked where they are compared; INFINITY = never. */
double auxiliary_apart_from(enum auxiliary kind);

/* Which one a channel of this name carries; -1 = none: it carries ranges. */
int auxiliary_of(const char *channel_name);
/* Which one a SenML unit says; -1 = none. */
int auxiliary_of_senml_unit(const char *unit, unsigned long length);

#define AUXILIARY_TENTHS 10 /* of the unit */

#endif
