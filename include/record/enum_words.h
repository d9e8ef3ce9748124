/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RECORD_ENUM_WORDS_H
#define HOLDLINE_RECORD_ENUM_WORDS_H

#include "base/word_list.h"

/* The words of the record's enumerations, as they are stored, exported and shown. Those of lower
 * layers stand there: carrier_keys, look_words (bike/carrier.h), quality_words (rig/sample.h). */
extern const struct word_list channel_role_words;
extern const struct word_list channel_role_short_words; /* as commands take them: 'ref' */
extern const struct word_list tie_reading_words;
extern const struct word_list capture_words;
extern const struct word_list hold_status_words;
extern const struct word_list purpose_words;    /* none has none */
extern const struct word_list told_words;       /* likewise */
extern const struct word_list resit_words;      /* likewise: not known */
extern const struct word_list plate_rest_words; /* likewise */
extern const struct word_list mark_words;
extern const struct word_list cue_sound_words;
extern const struct word_list sounds_words;     /* as commands take them */
extern const struct word_list answer_words;     /* not known has none */
extern const struct word_list sees_ahead_words; /* likewise */
extern const struct word_list learnt_from_words;
extern const struct word_list course_words;
extern const struct word_list course_verb_words; /* as the command has it: 'out_and_back' */
extern const struct word_list ride_source_words; /* not said has none */
extern const struct word_list check_kind_words;
extern const struct word_list check_verb_words; /* as the command has it: 'calibrate' */
extern const struct word_list check_verdict_words;

#endif
