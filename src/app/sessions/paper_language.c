/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/paper_language.h"

#include "report/languages.h"

#include <stdlib.h>

const struct language *paper_language(const char *code, struct problem *problem)
{
    const char *set = code == NULL ? getenv("HOLDLINE_LANGUAGE") : NULL;
    const char *wanted = code != NULL ? code : set;
    if (wanted == NULL || (code == NULL && wanted[0] == '\0')) {
        return &language_english;
    }
    const struct language *language = languages_find(wanted);
    if (language == NULL) {
        char known[64];
        languages_list(known, sizeof known);
        problem_usage(problem, "%s: no rider's paper can be written in '%.40s'; languages: %s",
                      code != NULL ? "--language" : "HOLDLINE_LANGUAGE", wanted, known);
    }
    return language;
}
