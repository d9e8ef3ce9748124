/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_OPEN_KINDS_H
#define HOLDLINE_SCREEN_OPEN_KINDS_H

/* What a key can open. */
enum page_kind {
    PAGE_FITTER,
    PAGE_RIDER,
    PAGE_COMPARISON,
    PAGE_SENSORS,
    PAGE_DRAG,
    PAGE_JOURNAL,
    PAGE_FORM,
    PAGE_KEYS,      /* the help */
    PAGE_FORM_KEYS, /* the same of a form */
    PAGE_KINDS,
};

enum form_kind {
    FORM_SETUP,
    FORM_RIDER,
    FORM_BIKE,
    FORM_SENSORS,
    FORM_BAND,
    FORM_RATING,
    FORM_MOVED,
    FORM_SLIPPED,
    FORM_PLATE,
    FORM_TAPE,
    FORM_NOTE,
    FORM_REJECT,
    FORM_TARGET,
    FORM_CORRECT,
    FORM_SETTINGS,
    FORM_EXPORT,
    FORM_CHECK,
    FORM_CHOOSE,
    FORM_LIMITS,
    FORM_CARRY,
    FORM_HOLD_FREE,
    FORM_HOLD_GUIDED,
    FORM_MINUTES,
    FORM_COURSE,
    FORM_AIR,
    FORM_RIDE,
    FORM_RIDE_OUT,
    FORM_FELT,
    FORM_MORNING,
    FORMS,
};

#endif
