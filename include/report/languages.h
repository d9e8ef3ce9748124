/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_LANGUAGES_H
#define HOLDLINE_REPORT_LANGUAGES_H

#include "base/language.h"

#include <stddef.h>

/* The languages in which a rider's papers can be written (src/report/languages/ has a catalogue of
 * each; English needs none). They are part of the program: nothing has to be found when it runs. */

/* By its code, 'de'. NULL: there is none of that name. */
const struct language *languages_find(const char *code);
/* 'en, de' */
void languages_list(char *text, size_t size);

#endif
