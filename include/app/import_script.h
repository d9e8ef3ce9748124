/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_IMPORT_SCRIPT_H
#define HOLDLINE_APP_IMPORT_SCRIPT_H

#include "app/readings_script.h"
#include "base/numbers.h"
#include "base/problem.h"
#include "rig/decoder.h"

/* Recorded streams as the script of a session: each file a hold. Lines are put together in the
 * order in which they were asked for, and run like any other script (app/script_runner.h). */
struct import_script;

struct import_script *import_script_create(const struct decoder_options *decoder);
void import_script_destroy(struct import_script *script);

/* What is said of the streams from here on. */
void import_script_decoder(struct import_script *script, const struct decoder_options *decoder);

/* A line of the session's own commands: word ('setup') and what stands behind it. */
bool import_script_line(struct import_script *script, const char *word, const char *rest,
                        struct problem *problem);
/* A hold from a recorded stream, which is read through once to see how long it is: at least 5 s,
 * and the readings of no file before it. rate: of a stream that carries no time of its own, NULL =
 * it does; seconds: at most so many, NAN = all there is. finding: what of its time a person should
 * look at, "" = nothing. left_out: false because it is too short, and the script is as it was
 * without it. */
bool import_script_hold(struct import_script *script, const char *file, const char *rate,
                        double seconds, bool guided, char finding[SAY_SIZE], bool *left_out,
                        struct problem *problem);

/* The program's own table of readings: its captures, setups and builds as they are in it (with
 * heights: those too). The script runs with the file as its rig then, and takes no other stream. */
bool import_script_readings(struct import_script *script, const char *file, bool with_heights,
                            struct readings_found *found, struct problem *problem);
/* The identifiers' seed that is made from the readings, and what the channels are called ("head,
 * chest"). */
uint64_t import_script_seed(const struct import_script *script);
void import_script_channels(const struct import_script *script, char *names, size_t size);
/* What the script runs with: a link, or NULL where its holds name their streams. */
const char *import_script_rig(const struct import_script *script);

bool import_script_has_hold(const struct import_script *script);
/* The whole script, ended by 'end'; started: where its session begins, Unix ms, or -1 for the time
 * the first file was last written less its length; seed: of its identifiers, or -1 for one made
 * from the readings. Good until the next call. NULL with a problem when there is no hold in it. */
const char *import_script_text(struct import_script *script, int64_t started_ms, int64_t seed,
                               struct problem *problem);
/* The line with this number (1, 2, ...) of the text, into line. */
void import_script_line_text(const char *text, int number, char *line, size_t size);

#endif
