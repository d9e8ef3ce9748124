/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What was cut, missing, doubtful, rejected or kept afterwards. */
#include "say/hold_quality.h"

#include "analysis/hold_use.h"
#include "base/text.h"
#include "measure/rules.h"
#include "say/slip.h"

#include <math.h>
#include <stdio.h>

static void add(char *text, size_t *used, const char *words)
{
    text_append(text, SAY_QUALITY_SIZE, used, "%s%s", *used == 0 ? "" : "; ", words);
}

static void lost_words(const struct hold_result *result, char *text, size_t size)
{
    snprintf(text, size, "%llu sample%s lost on the way", (unsigned long long)result->lost,
             result->lost == 1 ? "" : "s");
}

/* Of the hold as a whole. */
static void hold_words(const struct hold_record *hold, const struct hold_result *result, char *text,
                       size_t *used)
{
    char words[2 * SAY_SIZE], length[64], planned[64];
    say_duration(length, sizeof length, result->duration_s);
    say_duration(planned, sizeof planned, hold->planned_s);
    if (hold->rejected) {
        snprintf(words, sizeof words, "REJECTED: %s",
                 hold->reject_reason[0] != '\0' ? hold->reject_reason : "no reason given");
        add(text, used, words);
    }
    if (hold->kept_afterwards) {
        add(text, used, "kept afterwards, chosen after the fact: left out of verdicts");
    }
    if (hold->status == HOLD_STOPPED || hold->status == HOLD_CUT_SHORT) {
        bool open = !isfinite(hold->planned_s);
        snprintf(words, sizeof words, "%s after %s%s%s", word_of(&hold_status_words, hold->status),
                 length, open ? "" : " of ", open ? "" : planned);
        add(text, used, words);
    }
    if (result->link_gap) {
        add(text, used, "the link to the rig was down within it");
    }
    if (result->lost > 0) {
        lost_words(result, words, sizeof words);
        add(text, used, words);
    }
}

static void tell_marks(const struct session_record *record, int hold, char *text, size_t *used)
{
    int count[MARKS] = {0};
    char words[SAY_SIZE];
    for (int i = 0; i < record->mark_count; i++) {
        if (record->mark[i].hold == hold) {
            count[record->mark[i].kind]++;
        }
    }
    for (int kind = 0; kind < MARKS; kind++) {
        if (count[kind] > 1) {
            snprintf(words, sizeof words, "marked '%s' %d times", word_of(&mark_words, kind),
                     count[kind]);
        } else if (count[kind] == 1) {
            snprintf(words, sizeof words, "marked '%s'", word_of(&mark_words, kind));
        } else {
            continue;
        }
        add(text, used, words);
    }
}

static void cut_words(const struct hold_summary *summary, const char *name, char *text,
                      size_t *used)
{
    char words[SAY_SIZE], seconds[64];
    say_number(seconds, sizeof seconds, summary->cut_start_s, 1);
    if (summary->not_settled && !(summary->cut_start_s > 0.0)) {
        snprintf(words, sizeof words, "%s: NOT SETTLED, it moved all the way, repeat it", name);
        add(text, used, words);
    } else if (summary->not_settled) {
        snprintf(words, sizeof words,
                 "%s: NOT SETTLED by a third of the hold, repeat it (first %s s cut; the height is "
                 "where it was going)",
                 name, seconds);
        add(text, used, words);
    } else if (summary->cut_start_s > 0) {
        snprintf(words, sizeof words, "%s: first %s s cut, not settled yet", name, seconds);
        add(text, used, words);
    }
    if (summary->cut_marked_s > 0) {
        say_number(seconds, sizeof seconds, summary->cut_marked_s, 1);
        snprintf(words, sizeof words, "%s: %s s cut around marks", name, seconds);
        add(text, used, words);
    }
}

static void far_words(const struct session_record *record, const struct analysis *analysis,
                      int hold, int channel, char *text, size_t *used)
{
    char words[SAY_SIZE];
    say_far_level(words, sizeof words, record, analysis, hold, channel);
    if (words[0] != '\0') {
        add(text, used, words);
    }
}

static void step_words(const struct hold_summary *summary, bool alone, const char *name, char *text,
                       size_t *used)
{
    char words[SAY_SIZE], size[64], at[64];
    if (!summary->stepped) {
        return;
    }
    say_number(size, sizeof size, fabs(summary->step_mm), 0);
    say_number(at, sizeof at, summary->step_at_s, 0);
    snprintf(words, sizeof words, "%s: STEPPED %s by %s mm at %s s: %s read the plate", name,
             summary->step_mm > 0.0 ? "up" : "down", size, at,
             alone ? "the sensor, the body did not follow;" : "sensor or rider?");
    add(text, used, words);
}

static void band_words(const struct hold_summary *summary, const char *name, char *text,
                       size_t *used)
{
    char words[SAY_SIZE], kept[64];
    if (summary->has_band && summary->sustain_reached) {
        say_duration(kept, sizeof kept, summary->sustain_s);
        snprintf(words, sizeof words, "%s: LOST the band after %s", name, kept);
        add(text, used, words);
    }
}

static void reading_words(const struct hold_summary *summary, const char *name, char *text,
                          size_t *used)
{
    char words[SAY_SIZE], share[64];
    size_t bad = summary->readings > summary->valid ? summary->readings - summary->valid : 0;
    if ((double)bad > POINTED_OUT_SHARE * (double)summary->readings) {
        say_percent(share, sizeof share, (double)bad / (double)summary->readings);
        snprintf(words, sizeof words, "%s: %s of the readings missing or doubtful", name, share);
        add(text, used, words);
    }
    if ((double)summary->outliers > POINTED_OUT_SHARE * (double)summary->readings) {
        say_percent(share, sizeof share, (double)summary->outliers / (double)summary->readings);
        snprintf(words, sizeof words, "%s: %s of the readings are outliers", name, share);
        add(text, used, words);
    }
}

/* Why a channel stands without an interval, and so outside the comparison. */
static void interval_words(const struct hold_summary *summary, const char *name, char *text,
                           size_t *used)
{
    char words[2 * SAY_SIZE], number[64];
    if (summary->status != MEASURE_OK) {
        snprintf(words, sizeof words, "%s: NO NUMBERS, %s", name,
                 measure_status_sentence(summary->status));
    } else if (summary->valid_share < INTERVAL_SHARE_MIN) {
        say_percent(number, sizeof number, summary->valid_share);
        snprintf(words, sizeof words,
                 "%s: LEFT OUT of the comparison, only %s of the readings are good", name, number);
    } else if (summary->kept_s < INTERVAL_KEPT_MIN_S) {
        say_number(number, sizeof number, summary->kept_s, 0);
        snprintf(words, sizeof words, "%s: LEFT OUT of the comparison, only %s s kept", name,
                 number);
    } else {
        snprintf(words, sizeof words, "%s: LEFT OUT of the comparison, too short for limits", name);
    }
    add(text, used, words);
}

/* What the sensor did that a fitter must know of. */
static void sensor_words(const struct hold_result *result, int channel, const char *name,
                         char *text, size_t *used)
{
    char words[SAY_SIZE];
    if (result->health.known && result->health.channel[channel].stuck) {
        snprintf(words, sizeof words,
                 "%s: the sensor STOOD STILL for a while, its readings never changed", name);
        add(text, used, words);
    }
    if (result->health.known && result->health.channel[channel].blocked) {
        snprintf(words, sizeof words, "%s: the sensor's window was COVERED for a while", name);
        add(text, used, words);
    }
    if (result->health.known && result->health.channel[channel].two_levels) {
        snprintf(words, sizeof words,
                 "%s: readings JUMPED between two levels, the beam saw two things", name);
        add(text, used, words);
    }
}

void say_hold_quality(char text[SAY_QUALITY_SIZE], const struct session_record *record,
                      const struct analysis *analysis, int hold)
{
    const struct hold_result *result = &analysis->hold[hold];
    int placed = record->build[record->hold[hold].build].placing; /* -1: a crafted store's hold */
    int channels = placed >= 0 ? record->placing[placed].channel_count : 0;
    size_t used = 0;
    text[0] = '\0';
    hold_words(&record->hold[hold], result, text, &used);
    if (hold_is_same_sit(record, analysis, hold)) {
        add(text, &used, "NO RE-SIT SEEN since the hold before: counts as one with it");
    }
    tell_marks(record, hold, text, &used);
    for (int channel = 0; channel < channels; channel++) {
        const struct placing_record *placing = &record->placing[placed];
        const struct hold_summary *summary = &result->summary[channel];
        const char *name = placing->channel[channel].name;
        if (!result->has[channel]) {
            continue;
        }
        if (placing->channel[channel].role == ROLE_BODY &&
            (summary->status != MEASURE_OK || !summary->has_interval)) {
            interval_words(summary, name, text, &used);
        }
        sensor_words(result, channel, name, text, &used);
        if (summary->status == MEASURE_OK) {
            cut_words(summary, name, text, &used);
            step_words(summary, result->step_alone[channel], name, text, &used);
            far_words(record, analysis, hold, channel, text, &used);
            band_words(summary, name, text, &used);
            reading_words(summary, name, text, &used);
        }
    }
}

void say_channel_quality(char *text, size_t size, const struct session_record *record,
                         const struct analysis *analysis, int channel)
{
    uint64_t readings = 0, missing = 0, doubtful = 0, outliers = 0;
    char shares[3][64];
    for (int hold = 0; hold < record->hold_count; hold++) {
        const struct hold_result *result = &analysis->hold[hold];
        if (result->has[channel]) {
            readings += result->summary[channel].readings;
            outliers += result->summary[channel].outliers;
            missing += result->health.known ? result->health.channel[channel].missing : 0;
            doubtful += result->health.known ? result->health.channel[channel].doubtful : 0;
        }
    }
    text_copy(text, size, "");
    if (readings == 0) {
        return;
    }
    const uint64_t counts[] = {missing, doubtful, outliers};
    for (int i = 0; i < 3; i++) {
        say_number(shares[i], sizeof shares[i], 100.0 * (double)counts[i] / (double)readings, 1);
    }
    snprintf(text, size,
             "%s: of %llu readings in all holds %llu (%s %%) were missing, %llu (%s %%) doubtful, "
             "%llu (%s %%) left out as outliers",
             analysis->channel_name[channel], (unsigned long long)readings,
             (unsigned long long)missing, shares[0], (unsigned long long)doubtful, shares[1],
             (unsigned long long)outliers, shares[2]);
}

bool say_hold_only_lost(const struct session_record *record, const struct analysis *analysis,
                        int hold)
{
    char text[SAY_QUALITY_SIZE], lost[SAY_SIZE];
    say_hold_quality(text, record, analysis, hold);
    lost_words(&analysis->hold[hold], lost, sizeof lost);
    return text_equal(text, lost); /* which is not told of none */
}
