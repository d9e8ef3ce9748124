/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/link.h"

#include <string.h>

enum link_result link_read(struct link *link, char *bytes, size_t size, size_t *length,
                           int timeout_ms, int64_t *arrival_us, struct problem *problem)
{
    *length = 0;
    return link->functions->read(link, bytes, size, length, timeout_ms, arrival_us, problem);
}

bool link_write_line(struct link *link, const char *line, struct problem *problem)
{
    if (link->functions->write_line == NULL) {
        return true;
    }
    return link->functions->write_line(link, line, problem);
}

bool link_set_speed(struct link *link, double baud)
{
    if (link->functions->set_speed == NULL || !link->functions->set_speed(link, baud)) {
        return false;
    }
    link->baud = baud;
    return true;
}

void link_close(struct link *link)
{
    if (link != NULL) {
        link->functions->close(link);
    }
}

bool link_parameter(const char *parameters, const char *name, char *value, size_t size)
{
    size_t name_length = strlen(name);
    for (const char *at = parameters; at != NULL && *at != '\0';) {
        const char *stop = strchr(at, '&');
        size_t length = stop != NULL ? (size_t)(stop - at) : strlen(at);
        if (length > name_length && at[name_length] == '=' && strncmp(at, name, name_length) == 0) {
            size_t value_length = length - name_length - 1;
            if (size > 0) {
                size_t taken = value_length < size - 1 ? value_length : size - 1;
                memcpy(value, at + name_length + 1, taken);
                value[taken] = '\0';
            }
            return true;
        }
        at = stop != NULL ? stop + 1 : NULL;
    }
    return false;
}
