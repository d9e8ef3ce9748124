/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/link_parameters.h"

#include "base/text.h"
#include "rig/link.h"

#include <math.h>
#include <string.h>

bool link_parameters_check(const char *parameters, const char *const *known, size_t count,
                           struct problem *problem)
{
    for (const char *from = parameters; *from != '\0'; from += *from == '&') {
        size_t length = strcspn(from, "&");
        size_t key = strcspn(from, "=&");
        bool found = length == 0;
        char list[200] = "none";
        size_t used = 0;
        for (size_t i = 0; i < count; i++) {
            found = found || (strlen(known[i]) == key && strncmp(from, known[i], key) == 0);
            text_append(list, sizeof list, &used, "%s%s=", i > 0 ? ", " : "", known[i]);
        }
        if (!found) {
            return problem_usage(problem,
                                 "'%.*s' is not known behind this link's '?'; there are: %s",
                                 (int)(length < 60 ? length : 60), from, list);
        }
        from += length;
    }
    return true;
}

bool link_parameter_number(const char *parameters, const char *name, double minimum, double maximum,
                           double *value, struct problem *problem)
{
    char text[64];
    if (!link_parameter(parameters, name, text, sizeof text)) {
        return true;
    }
    double number = 0;
    if (!text_to_double(text, &number) || number < minimum || number > maximum) {
        return problem_usage(problem, "%s=%s: wanted is a number from %g to %g", name, text,
                             minimum, maximum);
    }
    *value = number;
    return true;
}

bool link_parameter_speed(const char *parameters, double *value, struct problem *problem)
{
    char text[64];
    if (link_parameter(parameters, "speed", text, sizeof text) && text_equal(text, "max")) {
        *value = INFINITY;
        return true;
    }
    double speed = *value;
    if (!link_parameter_number(parameters, "speed", 0.01, 10000, &speed, NULL)) {
        return problem_usage(problem, "speed=%s: wanted is 'max' or a number from 0.01 to 10000",
                             text);
    }
    *value = speed;
    return true;
}
