/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_WIRE_H
#define HOLDLINE_SAY_WIRE_H

#include "base/word_list.h"
#include "rig/wire_look.h"

#include <stdbool.h>
#include <stddef.h>

/* How a stream is written, in words: what was found out by itself, why no readings come, and how it
 * might be read. */

/* Does it say that readings may be wrong, or that a sensor may be missing? */
bool say_wire_note_is_finding(const struct wire_note *note);
/* What limits most how far a stream's readings can be trusted, in a word or two: 'unit not said';
 * "": nothing. True where that is a finding. */
bool say_wire_brief(char *text, size_t size, const struct rig_info *info);
/* What was found out or left out, one sentence without a stop. */
void say_wire_note(char *text, size_t size, const struct wire_note *note,
                   const struct rig_info *info);

/* Why no readings come, as programs are told. */
extern const struct word_list wire_cause_words;
/* The same, one sentence without a stop. baud: the speed, 0 = unknown; all_tried: no
 * usual speed gave text. */
void say_wire_cause(char *text, size_t size, const struct wire_finding *finding, double baud,
                    bool all_tried);

/* 'head 412 mm, chest 296 mm' of a proposal or of what reads. */
void say_wire_preview(char *text, size_t size, const struct wire_finding *finding);

/* The options of a proposal as they are typed; "" where there is none. */
void say_wire_options(char *text, size_t size, const struct wire_finding *finding);

/* How it might be read, with what comes of it then and the key of the live session that takes it.
 */
void say_wire_offer(char *text, size_t size, const struct wire_finding *finding);

/* Of a live session that hears bytes and no readings: the cause, and the offer above, or else what
 * came: by reason and count, and the bytes. */
void say_wire_live(char *text, size_t size, const struct wire_finding *finding, double baud,
                   bool all_tried, const char *bytes, size_t length,
                   const struct decoder_counts *counts);

/* Bytes as they came, printable ones as they are, others as \xHH; as many as fit. */
void say_wire_bytes(char *text, size_t size, const char *bytes, size_t length);

/* What came where no readings did, by reason and count: '312 bytes, 40 lines: 40 not a line ...'.
 */
void say_wire_counts(char *text, size_t size, const struct decoder_counts *counts);

#endif
