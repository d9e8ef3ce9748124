/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_READER_H
#define HOLDLINE_RIG_READER_H

#include "base/problem.h"
#include "rig/decoder.h"
#include "rig/health.h"
#include "rig/link.h"
#include "rig/sample.h"

/* Link, decoder, the rig's clock and numbering in one: bytes in, numbered samples out. Used alike
 * by listen, measure, scripts and the live reader thread. */
struct reader;

typedef void sample_sink(void *context, const struct sample *sample);

/* Takes the link over (closes it at the end, and when NULL is returned). first_number: number of
 * the next sample. */
struct reader *reader_create(struct link *link, const struct decoder_options *options,
                             int64_t first_number, struct problem *problem);
void reader_destroy(struct reader *reader);

/* One read of the link and all samples in it. */
enum link_result reader_step(struct reader *reader, int timeout_ms, sample_sink *sink,
                             void *context, struct problem *problem);

/* The next samples follow these: numbers and the time axis go on from here (a session taken up
 * again, or a script that takes its samples from several files in turn). */
void reader_continue_after(struct reader *reader, int64_t last_number, int64_t last_time_us);

/* From here on the link is read so; only while no readings have come. False with a problem on
 * options that cannot be: then it is read as before. */
bool reader_read_as(struct reader *reader, const struct decoder_options *options,
                    struct problem *problem);

/* The last bytes that came while no readings do, for whoever looks why (rig/wire_look.h). */
const char *reader_unread(const struct reader *reader, size_t *length);
/* The first bytes that came, READER_FIRST_BYTES at most. */
#define READER_FIRST_BYTES 4096
const char *reader_first(const struct reader *reader, size_t *length);
/* Were all usual speeds of the line tried, and none gave text? */
bool reader_tried_speeds(const struct reader *reader);

const struct rig_info *reader_info(const struct reader *reader);
const struct decoder_counts *reader_counts(const struct reader *reader);
const struct rig_health *reader_health(struct reader *reader); /* brought up to date by the call */
struct link *reader_link(struct reader *reader);

#endif
