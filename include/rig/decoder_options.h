/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_DECODER_OPTIONS_H
#define HOLDLINE_RIG_DECODER_OPTIONS_H

#include "rig/decoder.h"

/* What a person may say of a stream, as a table: the command line, scripts, what is kept of a board
 * and what is proposed walk it. */
struct decoder_option {
    const char *key; /* as on the command line, without '--'; '_' for '-' in scripts */
    size_t offset;
    size_t size; /* of the text; 0: a number, 1: yes */
};
enum { DECODER_OPTIONS = 10 };
extern const struct decoder_option decoder_option_rows[DECODER_OPTIONS];

/* Sets one; value is passed over for those that take none. False with a sentence for a key or value
 * that cannot be. */
bool decoder_option_set(struct decoder_options *options, const char *key, const char *value,
                        struct problem *problem);
/* Those that are said, as they are typed behind a command: "--unit cm --columns 1", quoted for a
 * shell where they need it; "" where nothing is said. Returns whether all fitted. */
bool decoder_options_words(const struct decoder_options *options, char *text, size_t size);
/* Reads such words again (quotation marks of both kinds). */
bool decoder_options_read(struct decoder_options *options, const char *text,
                          struct problem *problem);
/* Is anything said? */
bool decoder_options_said(const struct decoder_options *options);
/* What is said in more goes over what is said in options. */
void decoder_options_merge(struct decoder_options *options, const struct decoder_options *more);

#endif
