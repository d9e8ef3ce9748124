/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "carry_inside.h"

#include "analysis/across.h"
#include "base/text.h"
#include "measure/rules.h"
#include "say/say.h"
#include "say/taken.h"

#include <math.h>
#include <string.h>

/* The target of an earlier session, as good as its heights are here. */

static int last_kept(const struct session_record *record)
{
    int target = record->target_count - 1;
    while (target >= 0 && !record->target[target].kept) {
        target--;
    }
    return target;
}

static int channel_named(const struct placing_record *placing, const char *name)
{
    for (int c = 0; c < placing->channel_count; c++) {
        if (text_equal(placing->channel[c].name, name)) {
            return c;
        }
    }
    return -1;
}

double carry_half_width_mm(const struct carry *carry, const struct session *now, int build,
                           int channel, double half_mm, char *reason, size_t size)
{
    const struct session_record *record = session_records(now);
    const struct build_record *on_bike = &record->build[record->build_count - 1];
    const char *name = carry->analysis->channel_name[channel];
    const struct across_place then = {carry->record, carry->analysis, build, channel};
    const struct across_place there = {record, session_analysis(now), record->build_count - 1,
                                       channel_named(&record->placing[on_bike->placing], name)};
    bool known_then = tie_is_over_bottom_bracket(&carry->analysis->tie[build][channel]) &&
                      !across_from_board(&then);
    double u_mm = there.channel >= 0 ? across_u_mm(&then, &there) : NAN;
    say_not_carried(reason, size,
                    isnan(half_mm)               ? NOT_CARRIED_UNKNOWN_THEN
                    : there.channel < 0          ? NOT_CARRIED_NO_SENSOR
                    : isnan(u_mm) && !known_then ? NOT_CARRIED_NOT_TIED_THEN
                    : isnan(u_mm)                ? NOT_CARRIED_NOT_TIED_NOW
                                                 : CARRIED,
                    name);
    return there.channel >= 0 ? hypot(half_mm, NORMAL_95 * u_mm) : NAN;
}

/* What the target was known to then, 95 %; an entered one is taken at its word. */
static double own_half_width_mm(const struct carry *carry, int target, int channel)
{
    double half_mm = carry->analysis->target[target][channel].half_width_mm;
    bool entered = isfinite(carry->record->target[target].entered_mm[channel]);
    return isfinite(half_mm) ? half_mm : entered ? 0.0 : NAN;
}

static bool give_band(const struct carry *carry, const bool *carried, carry_sink *sink,
                      void *context, struct problem *problem)
{
    const struct session_record *record = carry->record;
    struct carry_text line = {"", 0};
    if (record->band_count == 0) {
        return true;
    }
    const struct band_record *band = &record->band[record->band_count - 1];
    carry_put(&line, "band");
    size_t bare = line.used;
    for (int c = 0; c < carry->analysis->channel_count; c++) {
        if (carried[c] && band->limited[c]) {
            char limit[2][64];
            const double mm[2] = {band->cue[c].band_above_mm, band->cue[c].band_below_mm};
            for (int side = 0; side < 2; side++) {
                text_copy(limit[side], sizeof limit[side], "none");
                if (isfinite(mm[side])) {
                    limit[side][0] = side == 0 ? '+' : '-';
                    text_from_double_shortest(limit[side] + 1, sizeof limit[side] - 1, mm[side]);
                }
            }
            text_append(line.text, sizeof line.text, &line.used, " %s=%s/%s",
                        carry->analysis->channel_name[c], limit[0], limit[1]);
        }
    }
    return line.used == bare || carry_give(&line, sink, context, problem);
}

bool carry_target(const struct carry *carry, const struct session *now, carry_sink *sink,
                  void *context, char *sentences, size_t size, struct problem *problem)
{
    const struct session_record *record = carry->record;
    struct carry_text line = {"", 0}, known_to = {"", 0};
    char date[SAY_SIZE], left_out[1024] = "";
    size_t left_used = 0;
    bool carried[CHANNELS_MAX] = {false};
    size_t used = 0;
    int target = last_kept(record), count = 0;
    if (session_records(now)->build_count == 0) {
        return problem_set(problem, "say the bike and the sensors first: a target is heights");
    }
    say_date(date, sizeof date, record->started_ms);
    date[strcspn(date, " ")] = '\0';
    sentences[0] = '\0';
    carry_put(&line, "target");
    for (int c = 0; target >= 0 && c < carry->analysis->channel_count; c++) {
        char reason[SAY_SIZE], text[64];
        const char *name = carry->analysis->channel_name[c];
        if (!carry->analysis->target[target][c].has) {
            continue;
        }
        double own_mm = own_half_width_mm(carry, target, c);
        double half_mm = carry_half_width_mm(carry, now, record->target[target].build, c, own_mm,
                                             reason, sizeof reason);
        if (isnan(half_mm)) {
            text_append(left_out, sizeof left_out, &left_used, "the %s target of %s: %s\n", name,
                        date, reason);
            count++;
            continue;
        }
        carried[c] = true;
        text_from_double(text, sizeof text, carry->analysis->target[target][c].height_mm, 1);
        text_append(line.text, sizeof line.text, &line.used, " %s=%s", name, text);
        text_append(sentences, size, &used, "%s %s %s",
                    count++ > 0 ? ";" : "target carried over:", name, text);
        text_from_double(text, sizeof text, ceil(half_mm * 10.0) / 10.0, 1);
        text_append(known_to.text, sizeof known_to.text, &known_to.used, "%s%s:%s",
                    known_to.used > 0 ? "," : " known_to=", name, text);
        text_append(sentences, size, &used, " ±%s mm", text);
        if (own_mm > 0.0) {
            text_from_double(text, sizeof text, ceil(own_mm * 10.0) / 10.0, 1);
            text_append(sentences, size, &used, ", ±%s then", text);
        }
    }
    if (count == 0) {
        text_append(sentences, size, &used, "no target was kept on %s", date);
    } else if (known_to.used > 0) {
        text_append(sentences, size, &used, " (of %s)", date);
    }
    text_append(sentences, size, &used, "%s%s", used > 0 ? "\n" : "", left_out);
    if (known_to.used == 0) {
        return true;
    }
    text_append(line.text, sizeof line.text, &line.used, "%s", known_to.text);
    return carry_give(&line, sink, context, problem) &&
           give_band(carry, carried, sink, context, problem);
}
