/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_RULES_H
#define HOLDLINE_MEASURE_RULES_H

/* Every threshold and default of a rule, once: measure/rule_rows.h has a row for each, and this
 * header makes a constant of that name out of it, for every layer. The list in docs/measures.md is
 * made of the same rows. No rules: sizes of buffers and pictures, constants of mathematics. */
#define RULE_GROUP(title)
#ifdef RULES_FROM_ENVIRONMENT /* for programs that try a rule's number without being built again   \
                               */
#define RULE(name, value, unit, source, purpose) extern double name;
#define RULE_COUNT(name, value, unit, source, purpose) extern int name;
#else
#define RULE(name, value, unit, source, purpose) static const double name = value;
#define RULE_COUNT(name, value, unit, source, purpose) enum { name = value };
#endif
#include "measure/rule_rows.h"
#undef RULE_GROUP
#undef RULE
#undef RULE_COUNT

/* The same to be walked. A row that begins a group has its title and no name. */
struct rule {
    const char *group, *name;
    double value;
    const char *unit, *source, *purpose;
};
extern const struct rule rules[];
extern const int rule_count;

#endif
