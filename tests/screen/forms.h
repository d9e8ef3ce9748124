/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SCREEN_FORMS_H
#define HOLDLINE_TESTS_SCREEN_FORMS_H

/* A form on a terminal of 24 by 80, and the keys that are typed into it. */

#include "support/showing.h"

#define DOWN "\t"
#define ENTER "\r"
#define ESC "\033"
#define ERASE "\177"

static inline struct stage *open_form(enum made_view kind, const char *key)
{
    return open_with_key(24, 80, kind, key);
}

#endif
