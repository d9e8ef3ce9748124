/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/rules.h"

#include <stddef.h>

#define RULE_GROUP(title) {.group = title},
#define RULE(name, value, unit, source, purpose) {NULL, #name, value, unit, source, purpose},
#define RULE_COUNT RULE
const struct rule rules[] = {
#include "measure/rule_rows.h"
};
const int rule_count = (int)(sizeof rules / sizeof rules[0]);
#undef RULE_GROUP
#undef RULE
#undef RULE_COUNT

#ifdef RULES_FROM_ENVIRONMENT
#include <stdlib.h>
#include <string.h>

#define RULE_GROUP(title)
#define RULE(name, value, unit, source, purpose) double name = value;
#define RULE_COUNT(name, value, unit, source, purpose) int name = value;
#include "measure/rule_rows.h"
#undef RULE
#undef RULE_COUNT

/* HOLDLINE_RULE=NAME=value, for all that the program does. */
__attribute__((constructor)) static void take_one(void)
{
    const char *asked = getenv("HOLDLINE_RULE");
    const char *equals = asked != NULL ? strchr(asked, '=') : NULL;
    if (equals == NULL) {
        return;
    }
#define TAKE(rule, type)                                                                           \
    if (strncmp(asked, #rule "=", (size_t)(equals - asked) + 1) == 0) {                            \
        rule = (type)strtod(equals + 1, NULL);                                                     \
    }
#define RULE(name, value, unit, source, purpose) TAKE(name, double)
#define RULE_COUNT(name, value, unit, source, purpose) TAKE(name, int)
#include "measure/rule_rows.h"
}
#endif
