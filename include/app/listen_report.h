/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_LISTEN_REPORT_H
#define HOLDLINE_APP_LISTEN_REPORT_H

#include "base/json.h"
#include "rig/decoder.h"
#include "rig/health.h"
#include "rig/sample.h"

#include <stdio.h>

/* What 'holdline listen' prints: samples, a line each, and the rig's health at the end. */
struct listened {
    const char *name; /* the link */
    const struct rig_info *info;
    const struct decoder_counts *counts;
    const struct rig_health *health;
    double seconds;         /* first to last sample */
    double assumed_rate_hz; /* the time axis is made of this guess; 0 = it is not */
};

void listen_print_heading(FILE *stream, const struct rig_info *info);
void listen_print_sample(FILE *stream, const struct rig_info *info, const struct sample *sample);
void listen_print_report(FILE *stream, const struct listened *listened);

/* The same as JSON, an object a line. */
void listen_json_sample(FILE *stream, const struct rig_info *info, const struct sample *sample);
void listen_json_report(FILE *stream, const struct listened *listened);

#endif
