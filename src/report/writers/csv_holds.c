/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV: a row for each hold and channel, with what it was ridden on. */
#include "base/clock.h"
#include "base/text.h"
#include "measure/hold_measures.h"
#include "report/csv.h"
#include "report/digest.h"
#include "report/tables.h"
#include "say/holds.h"

#include <math.h>

/* What a row is put together from; NULL where there is none. */
enum part {
    THIS, /* struct holds_row */
    HOLD,
    SETUP,
    RESULT,
    CHANNEL,
    MOUNTED, /* the channel, where its mount was given */
    TIED,    /* the tie, where the channel is tied */
    AIM,
    CUE, /* of the band, where the channel has one */
    PARTS,
};

/* What stands in no record as it is told. */
struct holds_row {
    char session[UUID_TEXT_SIZE], started[CLOCK_TEXT_SIZE], hold_uuid[UUID_TEXT_SIZE];
    char marks[MARKS_MAX * 10];
    const char *rider_code, *rider, *bike, *kind, *tie, *outcome;
    int build, placing;
    double tie_u_mm;
    bool ridden_apart, tie_alarm;
    bool used;
    const char *why_not;
};

static const struct csv_column before_parts[] = {
    {"session", CSV_OF(THIS, holds_row, session), "",
     "the session: its identifier, the same in every copy"},
    {"started", CSV_OF(THIS, holds_row, started), "", "when it began, UTC (ISO 8601)"},
    {"rider_code", CSV_OF(THIS, holds_row, rider_code), "", "what the fitter calls the rider"},
    {"rider", CSV_OF(THIS, holds_row, rider), "", "the name, as given"},
    {"bike", CSV_OF(THIS, holds_row, bike), "", "the bike, as named"},
    {"hold", CSV_OF(HOLD, hold_record, number), "",
     "number of the hold; of readings empty where it was none"},
    {"hold_uuid", CSV_OF(THIS, holds_row, hold_uuid), "",
     "the hold: its identifier, the same in every copy"},
    {"setup", CSV_OF(SETUP, setup_record, number), "", "number of the setup, as the fitter counts"},
    {"intent", CSV_OF(SETUP, setup_record, intent), "",
     "what the setup was made for, in the fitter's words"},
};
static const struct csv_column before_measures[] = {
    {"build", CSV_OF(THIS, holds_row, build), "", "1, 2, ... each time the setup was put together"},
    {"placing", CSV_OF(THIS, holds_row, placing), "",
     "1, 2, ... each time the sensors were fixed anew"},
    {"kind", CSV_OF(THIS, holds_row, kind), "",
     "free: the gauge hidden from the rider; guided: seen. Of readings: what was going on"},
    {"purpose", CSV_WORD(HOLD, hold_record, purpose, purpose_words), "",
     "what a hold of practice was for: test, piece, ride; empty: it was to compare setups"},
    {"told", CSV_WORD(HOLD, hold_record, told, told_words), "",
     "how the rider was told of the height: seen, heard, after, none"},
    {"guessed_share", CSV_EXACT(HOLD, hold_record, guessed_share), "share",
     "of the time in the band, as the rider guessed before being told"},
    {"resit", CSV_WORD(HOLD, hold_record, resit, resit_words), "",
     "whether the rider sat up since the hold before on the build: seen, not_seen, said by the "
     "fitter; empty: not looked for, or not to be seen"},
    {"status", CSV_WORD(HOLD, hold_record, status, hold_status_words), "", "how it ended"},
    {"start_s", CSV_ROUNDED(RESULT, hold_result, start_s, 3), "s",
     "from the session's first sample"},
    {"duration_s", CSV_ROUNDED(RESULT, hold_result, duration_s, 3), "s", "how long it was"},
    {"planned_s", CSV_EXACT(HOLD, hold_record, planned_s), "s", "how long it was to be"},
    {"counts", CSV_OF(RESULT, hold_result, counts), "", "long and whole enough, and not left out"},
    {"rejected", CSV_OF(HOLD, hold_record, rejected), "", "left out by the fitter"},
    {"reject_reason", CSV_OF(HOLD, hold_record, reject_reason), "", "why, in the fitter's words"},
    {"kept_afterwards", CSV_OF(HOLD, hold_record, kept_afterwards), "",
     "kept after it was ridden: never in a comparison"},
    {"link_gap", CSV_OF(RESULT, hold_result, link_gap), "", "the link was down in it"},
    {"lost_samples", CSV_OF(RESULT, hold_result, lost), "", "samples lost on the wire in it"},
    {"marks", CSV_OF(THIS, holds_row, marks), "", "what the fitter marked"},
    {"power_w", CSV_ROUNDED(RESULT, hold_result, auxiliary_mean[AUXILIARY_POWER], 1), "W",
     "mean power"},
    {"cadence_per_min", CSV_ROUNDED(RESULT, hold_result, auxiliary_mean[AUXILIARY_CADENCE], 1),
     "1/min", "mean cadence"},
    {"heart_per_min", CSV_ROUNDED(RESULT, hold_result, auxiliary_mean[AUXILIARY_HEART], 1), "1/min",
     "mean heart rate"},
    {"ridden_apart", CSV_OF(THIS, holds_row, ridden_apart), "",
     "power or cadence were apart from the holds it is compared with"},
    {"channel", CSV_OF(CHANNEL, channel_record, name), "", "the sensor's channel"},
    {"role", CSV_WORD(CHANNEL, channel_record, role, channel_role_words), "",
     "what the sensor looks at: a mark on the body, a fixed plate, something else"},
    {"aimed_at", CSV_OF(CHANNEL, channel_record, mark), "", "the mark on the body"},
    {"carrier", CSV_WORD(MOUNTED, channel_record, mount.carrier, carrier_keys), "",
     "what the sensor is fixed to"},
    {"tie", CSV_OF(THIS, holds_row, tie), "", "how its height is known on this build"},
    {"tie_absolute", CSV_OF(TIED, tie, absolute), "",
     "heights are over the bottom bracket; else over the first build's sensor"},
    {"sensor_height_mm", CSV_ROUNDED(TIED, tie, sensor_height_mm, 2), "mm", "the sensor's height"},
    {"sensor_shift_mm", CSV_ROUNDED(TIED, tie, shift_mm, 2), "mm", "against the first build"},
    {"tie_u_mm", CSV_ROUNDED(THIS, holds_row, tie_u_mm, 2), "mm", "standard uncertainty of that"},
    {"tie_alarm", CSV_OF(THIS, holds_row, tie_alarm), "", "readings and parts disagree"},
    {"outcome", CSV_OF(THIS, holds_row, outcome), "", "whether there are numbers, else why not"},
    {"used", CSV_OF(THIS, holds_row, used), "",
     "it has a say in the comparison of its kind, on this channel"},
    {"why_not", CSV_OF(THIS, holds_row, why_not), "", "why it has none"},
};
static const struct csv_column aim_columns[] = {
    {"target_mm", CSV_ROUNDED(AIM, channel_target, height_mm, 2), "mm", "the agreed height"},
    {"target_half_width_mm", CSV_ROUNDED(AIM, channel_target, half_width_mm, 2), "mm",
     "95 %: how well it is known"},
};
static const struct csv_column band_columns[] = {
    {"band_above_mm", CSV_EXACT(CUE, cue_settings, band_above_mm), "mm",
     "the band, over the target; empty: none"},
    {"band_below_mm", CSV_EXACT(CUE, cue_settings, band_below_mm), "mm", "and under it"},
};
#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* One row, or the headings over them (of no hold): both walk the same way. */
struct line {
    struct csv_writer *csv;
    const void *const *parts; /* NULL: headings */
    const struct hold_summary *summary;
    const struct sensor_health *sensor; /* NULL: not known */
};

static void put(const struct line *line, const struct csv_column *columns, size_t count)
{
    if (line->parts == NULL) {
        csv_headings(line->csv, columns, count);
    } else {
        csv_cells(line->csv, columns, count, line->parts);
    }
}

static void put_bike(const struct line *line)
{
    for (int key = 0; key < BIKE_KEYS; key++) {
        char name[96];
        if (bike_fields[key].scope != BIKE_SCOPE_PART) {
            continue;
        }
        if (line->parts == NULL) {
            snprintf(name, sizeof name, "%s_%s", bike_fields[key].key, bike_fields[key].unit);
            csv_text(line->csv, name);
        } else {
            const struct setup_record *setup = line->parts[SETUP];
            csv_exact(line->csv, setup->bike.value[key]);
        }
    }
}

static void put_measure(const struct line *line, const struct hold_measure *measure, const void *of)
{
    if (line->parts == NULL) {
        csv_text(line->csv, measure->heading);
    } else {
        csv_member(line->csv, measure->member, measure->decimals, of);
    }
}

static void put_group(const struct line *line, enum hold_group group)
{
    for (int i = 0; i < hold_measure_count; i++) {
        const struct hold_measure *measure = &hold_measures[i];
        if (measure->group == group && measure->heading != NULL) {
            bool there = line->summary != NULL && hold_measure_there(measure, line->summary);
            put_measure(line, measure, there ? line->summary : NULL);
        }
    }
}

static void put_line(const struct line *line)
{
    put(line, before_parts, COUNT(before_parts));
    put_bike(line);
    put(line, before_measures, COUNT(before_measures));
    for (int group = 0; group < HOLD_GROUPS; group++) {
        if (group == HOLD_AIM) {
            put(line, aim_columns, COUNT(aim_columns));
        } else if (group == HOLD_BAND) {
            put(line, band_columns, COUNT(band_columns));
        }
        put_group(line, (enum hold_group)group);
        for (int i = 0; group == HOLD_READINGS && i < sensor_measure_count; i++) {
            put_measure(line, &sensor_measures[i], line->sensor);
        }
    }
    csv_row_end(line->csv);
}

static void marks_text(char *text, size_t size, const struct session_record *record, int hold)
{
    size_t used = 0;
    text_copy(text, size, "");
    for (int i = 0; i < record->mark_count; i++) {
        if (record->mark[i].hold == hold) {
            text_append(text, size, &used, "%s%s", used == 0 ? "" : " ",
                        word_of(&mark_words, record->mark[i].kind));
        }
    }
}

static void row_of_hold(struct holds_row *row, const struct report_input *input, int index)
{
    const struct session_record *record = input->record;
    const struct hold_record *hold = &record->hold[index];
    const bool *apart = input->analysis->hold[index].auxiliary_apart;
    uuid_text(row->session, &record->uuid);
    uuid_text(row->hold_uuid, &hold->uuid);
    clock_wall_text(row->started, record->started_ms);
    marks_text(row->marks, sizeof row->marks, record, index);
    row->rider_code = record->has_rider ? record->rider.code : "";
    row->rider = record->has_rider ? record->rider.name : "";
    row->bike = record->has_bike ? record->bike.name : "";
    row->kind = hold->guided ? "guided" : "free";
    row->build = record->build[hold->build].ordinal;
    row->placing = record->build[hold->build].placing + 1;
    row->ridden_apart = apart[AUXILIARY_POWER] || apart[AUXILIARY_CADENCE];
}

static void row_of_channel(struct holds_row *row, const struct channel_record *channel,
                           const struct tie *tie, const struct hold_summary *summary)
{
    bool body = channel->role == ROLE_BODY;
    row->tie = body ? say_tie_kind(tie->kind) : "";
    row->tie_u_mm = body && tie->kind != TIE_NONE ? tie_uncertainty_mm(tie) : (double)NAN;
    row->tie_alarm = body && tie->alarm;
    row->outcome = summary->status == MEASURE_OK ? "ok" : measure_status_sentence(summary->status);
}

static void put_channel(struct csv_writer *csv, const struct report_input *input, int index,
                        int channel, struct holds_row *row)
{
    const struct session_record *record = input->record;
    const struct analysis *analysis = input->analysis;
    const struct hold_record *hold = &record->hold[index];
    const struct hold_result *result = &analysis->hold[index];
    const struct channel_record *sensor = &digest_placing(input, hold->build)->channel[channel];
    const struct tie *tie = &analysis->tie[hold->build][channel];
    bool aimed = hold->target >= 0 && analysis->target[hold->target][channel].has;
    bool limited = hold->band >= 0 && record->band[hold->band].limited[channel];
    const void *const parts[PARTS] = {
        [THIS] = row,
        [HOLD] = hold,
        [SETUP] = &record->setup[record->build[hold->build].setup],
        [RESULT] = result,
        [CHANNEL] = sensor,
        [MOUNTED] = sensor->mounted ? sensor : NULL,
        [TIED] = sensor->role == ROLE_BODY && tie->kind != TIE_NONE ? tie : NULL,
        [AIM] = aimed ? &analysis->target[hold->target][channel] : NULL,
        [CUE] = limited ? &record->band[hold->band].cue[channel] : NULL,
    };
    const struct line line = {csv, parts, &result->summary[channel],
                              result->health.known ? &result->health.channel[channel] : NULL};
    enum hold_use use = hold_use_of(record, analysis, index, channel);
    row->used = use == HOLD_USED;
    row->why_not = say_hold_use(use);
    row_of_channel(row, sensor, tie, &result->summary[channel]);
    put_line(&line);
}

bool report_holds_csv(FILE *stream, const struct report_input *input, struct problem *problem)
{
    struct csv_writer csv;
    csv_begin(&csv, stream);
    put_line(&(const struct line){&csv, NULL, NULL, NULL});
    for (int hold = 0; hold < input->record->hold_count; hold++) {
        struct holds_row row;
        const struct placing_record *placing =
            digest_placing(input, input->record->hold[hold].build);
        row_of_hold(&row, input, hold);
        for (int channel = 0; placing != NULL && channel < placing->channel_count; channel++) {
            if (input->analysis->hold[hold].has[channel]) {
                put_channel(&csv, input, hold, channel, &row);
            }
        }
    }
    return !ferror(stream) || problem_set(problem, "the CSV could not be written");
}

static void describe_bike(struct csv_writer *csv, const char *file)
{
    for (int key = 0; key < BIKE_KEYS; key++) {
        char name[96], words[128];
        if (bike_fields[key].scope == BIKE_SCOPE_PART) {
            snprintf(name, sizeof name, "%s_%s", bike_fields[key].key, bike_fields[key].unit);
            snprintf(words, sizeof words, "of the setup: %s", bike_fields[key].words);
            csv_describe_one(csv, file, name, bike_fields[key].unit, words);
        }
    }
}

static void describe_measure(struct csv_writer *csv, const char *file,
                             const struct hold_measure *measure)
{
    if (measure->heading != NULL) {
        csv_describe_one(csv, file, measure->heading, measure->unit, measure->words);
    }
}

void report_holds_columns(struct csv_writer *csv, const char *file)
{
    csv_describe(csv, file, before_parts, COUNT(before_parts));
    describe_bike(csv, file);
    csv_describe(csv, file, before_measures, COUNT(before_measures));
    for (int group = 0; group < HOLD_GROUPS; group++) {
        if (group == HOLD_AIM) {
            csv_describe(csv, file, aim_columns, COUNT(aim_columns));
        } else if (group == HOLD_BAND) {
            csv_describe(csv, file, band_columns, COUNT(band_columns));
        }
        for (int i = 0; i < hold_measure_count; i++) {
            if (hold_measures[i].group == (enum hold_group)group) {
                describe_measure(csv, file, &hold_measures[i]);
            }
        }
        for (int i = 0; group == HOLD_READINGS && i < sensor_measure_count; i++) {
            describe_measure(csv, file, &sensor_measures[i]);
        }
    }
}
