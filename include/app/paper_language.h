/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_PAPER_LANGUAGE_H
#define HOLDLINE_APP_PAPER_LANGUAGE_H

#include "base/language.h"
#include "base/problem.h"

/* The language of riders' papers by its code, as --language says it; code NULL: as
 * HOLDLINE_LANGUAGE says it, else English. NULL with a problem of wrong use: there is none of that
 * name. */
const struct language *paper_language(const char *code, struct problem *problem);

#endif
