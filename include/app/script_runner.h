/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_SCRIPT_RUNNER_H
#define HOLDLINE_APP_SCRIPT_RUNNER_H

#include "app/progress.h"
#include "base/problem.h"
#include "rig/decoder.h"
#include "session/session.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

/* Runs a session script without a screen: commands and samples in lock step, sample by sample, so
 * that the same script and streams give the same session on every machine. Everything is recorded
 * into the store. */
struct script_runner_options {
    const char *script_name; /* for sentences: 'file:line: ...' */
    const char *rig; /* link of the session's sensors; NULL = the script's holds name files */
    const char *store_path;         /* NULL = ':memory:' */
    struct decoder_options decoder; /* of the rig's stream */
    FILE *output;                   /* for 'compare' */
    bool dry;                       /* nothing is stored; store_path is only where 'carry' looks */
    bool replace_exports;
    struct progress *progress; /* told how it goes, and asked whether to go on; NULL = neither */
};

struct script_runner_result {
    int64_t samples, lost, rejected;
    int holds;
    double stream_s;  /* length of the session axis */
    double elapsed_s; /* wall time it took */
};

/* script: the text, line by line. False with a sentence that names the script's line and the word.
 */
bool script_run(const char *script, const struct script_runner_options *options,
                struct script_runner_result *result, struct problem *problem);

/* A whole file into memory (at most 16 MiB); the caller frees it. NULL with a problem. */
char *script_read(const char *path, struct problem *problem);

#endif
