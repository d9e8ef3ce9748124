/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_INSIGHT_WORDS_H
#define HOLDLINE_SAY_INSIGHT_WORDS_H

#include "analysis/insight.h"
#include "bike/limits.h"

#include <stddef.h>

/* The insight in sentences, the same on every sheet and screen. Each sentence is handed to `say`
 * whole, without a line's end. */
#define INSIGHT_SENTENCE_SIZE 768
typedef void insight_say(void *context, const char *sentence);

/* What the setups are looked at for, of what some setup has: 'height of head and chest, steadiness,
 * creep, effort'. */
void insight_criteria(const struct analysis *analysis, char *text, size_t size);
/* Has one setup what another lacks? */
bool insight_uneven(const struct session_record *record, const struct analysis *analysis);
/* What a setup is best at: 'lowest head, chest; best in creep, effort'; "" for nothing. */
void insight_leads(const struct analysis *analysis, int setup, char *text, size_t size);
/* Which setups no other beats, and which is beaten by which; nothing under two setups. */
void insight_say_standing(const struct session_record *record, const struct analysis *analysis,
                          insight_say *say, void *context);

/* Are the steps per change of some channel known? */
bool insight_steps_known(const struct analysis *analysis);
/* Was this part (place in insight->factor) changed at all? */
bool insight_was_tried(const struct insight *insight, int factor);
const char *insight_per_unit(enum bike_key key); /* 'mm' or 'degree' */
/* '+0.52 ±0.31' a mm or degree, 'not told apart', 'not known', '-'. */
void insight_step_words(char *text, size_t size, const struct steps *steps, int factor);
/* Where more parts were changed than can be told apart. */
void insight_say_too_many(const struct insight *insight, insight_say *say, void *context);
/* What could not be told apart, said once for all channels; poor fits. */
void insight_say_steps(const struct analysis *analysis, insight_say *say, void *context);
/* The next setup worth trying from a setup (index; -1: says nothing), or why there is none. */
void insight_say_next(const struct session_record *record, const struct analysis *analysis,
                      int setup, const struct bike_limits *limits, insight_say *say, void *context);

/* What follows from the holds beside the comparison (analysis/insight.h), as a page
 * shows it. Sentences, one a line; "" = nothing to say yet. */
struct insight_page {
    char criteria[256];  /* what the setups are looked at for */
    char standing[2048]; /* which of them no other beats */
    int step_count;
    struct insight_step {            /* how far the heights followed a part */
        char part[64];               /* 'spacers, mm' */
        double low, high;            /* over the setups tried */
        char each[CHANNELS_MAX][32]; /* '+0.52 ±0.31' mm for each mm or degree; body channels */
    } step[STEPS_FACTORS_MAX];
    char notes[1024]; /* what could not be told apart */
    char next[1024];  /* the setup worth trying next: a suggestion */
};
void insight_page_make(const struct session_record *record, const struct analysis *analysis,
                       struct insight_page *page);

#endif
