/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV: a row for each hold and channel, with what it was ridden on. */
#include "base/clock.h"
#include "base/text.h"
#include "report/csv.h"
#include "report/digest.h"

#include <math.h>

static const char *const first_headings[] = {
    "session", "started", "rider_code", "rider", "bike", "hold", "hold_uuid", "setup", "intent",
};
static const char *const hold_headings[] = {
    "build",           "placing",       "kind",         "status",       "start_s",
    "duration_s",      "planned_s",     "counts",       "rejected",     "reject_reason",
    "kept_afterwards", "link_gap",      "lost_samples", "marks",        "power_w",
    "cadence_per_min", "heart_per_min", "ridden_apart", "channel",      "role",
    "aimed_at",        "carrier",       "tie",          "tie_absolute", "sensor_height_mm",
    "sensor_shift_mm", "tie_u_mm",      "tie_alarm",
};
static const char *const summary_headings[] = {
    "outcome",
    "rate_hz",
    "readings",
    "valid",
    "outliers",
    "missing",
    "doubtful",
    "noise_mm",
    "quantum_mm",
    "stuck",
    "blocked",
    "two_levels",
    "valid_share",
    "longest_gap_s",
    "cut_start_s",
    "cut_marked_s",
    "kept_s",
    "not_settled",
    "mean_mm",
    "mean_half_width_mm",
    "sd_mm",
    "minimum_mm",
    "quantile_05_mm",
    "median_mm",
    "quantile_95_mm",
    "maximum_mm",
    "effective_n",
    "steadiness_mm",
    "rms_slow_mm",
    "rms_breathing_mm",
    "rms_pedalling_mm",
    "creep_mm_per_min",
    "creep_half_width_mm_per_min",
    "creep_flagged",
    "drifting",
    "target_mm",
    "target_half_width_mm",
    "offset_mm",
    "rms_target_mm",
    "band_above_mm",
    "band_below_mm",
    "in_band_share",
    "came_up",
    "went_low",
    "glances",
    "excursion_total_s",
    "excursion_longest_s",
    "excursion_peak_mm",
    "longest_in_band_s",
    "cues_per_min",
    "sustain_reached",
    "sustain_s",
};
#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static void headings(struct csv_writer *csv)
{
    for (size_t i = 0; i < COUNT(first_headings); i++) {
        csv_text(csv, first_headings[i]);
    }
    for (int key = 0; key < BIKE_KEYS; key++) {
        if (bike_fields[key].scope == BIKE_SCOPE_PART) {
            char name[96];
            snprintf(name, sizeof name, "%s_%s", bike_fields[key].key, bike_fields[key].unit);
            csv_text(csv, name);
        }
    }
    for (size_t i = 0; i < COUNT(hold_headings); i++) {
        csv_text(csv, hold_headings[i]);
    }
    csv_headings(csv, summary_headings, COUNT(summary_headings));
}

static void session_cells(struct csv_writer *csv, const struct session_record *record)
{
    char uuid[UUID_TEXT_SIZE], started[CLOCK_TEXT_SIZE];
    uuid_text(uuid, &record->uuid);
    clock_wall_text(started, record->started_ms);
    csv_text(csv, uuid);
    csv_text(csv, started);
    csv_text(csv, record->has_rider ? record->rider.code : "");
    csv_text(csv, record->has_rider ? record->rider.name : "");
    csv_text(csv, record->has_bike ? record->bike.name : "");
}

static void setup_cells(struct csv_writer *csv, const struct session_record *record, int index)
{
    const struct hold_record *hold = &record->hold[index];
    const struct setup_record *setup = &record->setup[record->build[hold->build].setup];
    char uuid[UUID_TEXT_SIZE];
    uuid_text(uuid, &hold->uuid);
    csv_integer(csv, hold->number);
    csv_text(csv, uuid);
    csv_integer(csv, setup->number);
    csv_text(csv, setup->intent);
    for (int key = 0; key < BIKE_KEYS; key++) {
        if (bike_fields[key].scope == BIKE_SCOPE_PART) {
            csv_exact(csv, setup->bike.value[key]);
        }
    }
}

static void marks_cell(struct csv_writer *csv, const struct session_record *record, int hold)
{
    char text[MARKS_MAX * 10] = "";
    size_t used = 0;
    for (int i = 0; i < record->mark_count; i++) {
        if (record->mark[i].hold == hold) {
            text_append(text, sizeof text, &used, "%s%s", used == 0 ? "" : " ",
                        word_of(&mark_words, record->mark[i].kind));
        }
    }
    csv_text(csv, text);
}

static void hold_cells(struct csv_writer *csv, const struct report_input *input, int index)
{
    const struct session_record *record = input->record;
    const struct hold_record *hold = &record->hold[index];
    const struct hold_result *result = &input->analysis->hold[index];
    csv_integer(csv, record->build[hold->build].ordinal);
    csv_integer(csv, record->build[hold->build].placing + 1);
    csv_text(csv, hold->guided ? "guided" : "free");
    csv_text(csv, word_of(&hold_status_words, hold->status));
    csv_number(csv, result->start_s, 3);
    csv_number(csv, result->duration_s, 3);
    csv_exact(csv, hold->planned_s);
    csv_yes(csv, result->counts);
    csv_yes(csv, hold->rejected);
    csv_text(csv, hold->reject_reason);
    csv_yes(csv, hold->kept_afterwards);
    csv_yes(csv, result->link_gap);
    csv_integer(csv, (int64_t)result->lost);
    marks_cell(csv, record, index);
    for (int kind = 0; kind < AUXILIARIES; kind++) {
        csv_number(csv, result->auxiliary_mean[kind], 1);
    }
    csv_yes(csv,
            result->auxiliary_apart[AUXILIARY_POWER] || result->auxiliary_apart[AUXILIARY_CADENCE]);
}

static void channel_cells(struct csv_writer *csv, const struct report_input *input, int build,
                          int channel)
{
    const struct channel_record *recorded = &digest_placing(input, build)->channel[channel];
    const struct tie *tie = &input->analysis->tie[build][channel];
    bool body = recorded->role == ROLE_BODY;
    bool tied = body && tie->kind != TIE_NONE;
    csv_text(csv, recorded->name);
    csv_text(csv, word_of(&channel_role_words, recorded->role));
    csv_text(csv, recorded->mark);
    csv_text(csv, recorded->mounted ? word_of(&carrier_keys, recorded->mount.carrier) : "");
    csv_text(csv, body ? tie_kind_words(tie->kind) : "");
    if (tied) {
        csv_yes(csv, tie->absolute);
    } else {
        csv_empty(csv);
    }
    csv_number(csv, tied ? tie->sensor_height_mm : (double)NAN, 2);
    csv_number(csv, tied ? tie->shift_mm : (double)NAN, 2);
    csv_number(csv, tied ? say_tie_uncertainty_mm(tie) : (double)NAN, 2);
    csv_yes(csv, body && tie->alarm);
}

/* A number that is there only together with others. */
static void number_if(struct csv_writer *csv, bool there, double value, int decimals)
{
    csv_number(csv, there ? value : (double)NAN, decimals);
}

static void integer_if(struct csv_writer *csv, bool there, int64_t value)
{
    if (there) {
        csv_integer(csv, value);
    } else {
        csv_empty(csv);
    }
}

static void yes_if(struct csv_writer *csv, bool there, bool value)
{
    if (there) {
        csv_yes(csv, value);
    } else {
        csv_empty(csv);
    }
}

static void sensor_cells(struct csv_writer *csv, const struct hold_health *health, int channel)
{
    integer_if(csv, health->known, (int64_t)health->channel[channel].missing);
    integer_if(csv, health->known, (int64_t)health->channel[channel].doubtful);
    number_if(csv, health->known, health->channel[channel].noise_mm, 2);
    number_if(csv, health->known, health->channel[channel].quantum_mm, 2);
    yes_if(csv, health->known, health->channel[channel].stuck);
    yes_if(csv, health->known, health->channel[channel].blocked);
    yes_if(csv, health->known, health->channel[channel].two_levels);
}

static void reading_cells(struct csv_writer *csv, const struct hold_result *result, int channel)
{
    const struct hold_summary *summary = &result->summary[channel];
    bool ok = summary->status == MEASURE_OK;
    csv_text(csv, ok ? "ok" : measure_status_sentence(summary->status));
    number_if(csv, ok, summary->effective_rate_hz, 3);
    csv_integer(csv, (int64_t)summary->readings);
    csv_integer(csv, (int64_t)summary->valid);
    csv_integer(csv, (int64_t)summary->rejected);
    sensor_cells(csv, &result->health, channel);
    number_if(csv, ok, summary->valid_share, 4);
    number_if(csv, ok, summary->longest_gap_s, 3);
    number_if(csv, ok, summary->cut_start_s, 2);
    number_if(csv, ok, summary->cut_marked_s, 2);
    number_if(csv, ok, summary->kept_s, 2);
    yes_if(csv, ok, summary->not_settled);
    number_if(csv, ok, summary->mean_mm, 2);
    number_if(csv, ok && summary->has_interval, summary->mean_half_width_mm, 2);
    number_if(csv, ok, summary->sd_mm, 2);
    number_if(csv, ok, summary->minimum_mm, 1);
    number_if(csv, ok, summary->quantile_05_mm, 1);
    number_if(csv, ok, summary->quantile_50_mm, 1);
    number_if(csv, ok, summary->quantile_95_mm, 1);
    number_if(csv, ok, summary->maximum_mm, 1);
    number_if(csv, ok && summary->has_interval, summary->effective_n, 2);
    number_if(csv, ok, summary->steadiness_mm, 2);
    number_if(csv, ok && summary->has_spectrum, summary->rms_slow_mm, 2);
    number_if(csv, ok && summary->has_spectrum, summary->rms_breathing_mm, 2);
    number_if(csv, ok && summary->has_spectrum, summary->rms_pedalling_mm, 2);
    number_if(csv, ok && summary->has_creep, summary->creep_mm_per_min, 2);
    number_if(csv, ok && summary->has_creep, summary->creep_half_width_mm_per_min, 2);
    yes_if(csv, ok && summary->has_creep, summary->creep_flagged);
    yes_if(csv, ok, summary->drifting);
}

static void target_cells(struct csv_writer *csv, const struct report_input *input, int index,
                         int channel)
{
    const struct hold_record *hold = &input->record->hold[index];
    const struct hold_summary *summary = &input->analysis->hold[index].summary[channel];
    bool ok = summary->status == MEASURE_OK;
    bool target = hold->target >= 0 && input->analysis->target[hold->target][channel].has;
    const struct channel_target *aim =
        target ? &input->analysis->target[hold->target][channel] : NULL;
    bool limited = hold->band >= 0 && input->record->band[hold->band].limited[channel];
    const struct cue_settings *cue = limited ? &input->record->band[hold->band].cue[channel] : NULL;
    bool band = ok && summary->has_band;
    number_if(csv, target, target ? aim->height_mm : 0, 2);
    number_if(csv, target, target ? aim->half_width_mm : 0, 2);
    number_if(csv, ok && summary->has_target, summary->offset_mm, 2);
    number_if(csv, ok && summary->has_target, summary->rms_target_mm, 2);
    csv_exact(csv, limited ? cue->band_above_mm : (double)NAN);
    csv_exact(csv, limited ? cue->band_below_mm : (double)NAN);
    number_if(csv, band, summary->in_band_share, 4);
    integer_if(csv, band, summary->excursions_high);
    integer_if(csv, band, summary->excursions_low);
    integer_if(csv, band, summary->glances);
    number_if(csv, band, summary->excursion_total_s, 2);
    number_if(csv, band, summary->excursion_longest_s, 2);
    number_if(csv, band, summary->excursion_peak_mm, 1);
    number_if(csv, band, summary->longest_in_band_s, 2);
    number_if(csv, band, summary->cues_per_min, 2);
    yes_if(csv, band, summary->sustain_reached);
    number_if(csv, band && summary->sustain_reached, summary->sustain_s, 2);
}

bool report_holds_csv(FILE *stream, const struct report_input *input, struct problem *problem)
{
    struct csv_writer csv;
    csv_begin(&csv, stream);
    headings(&csv);
    for (int hold = 0; hold < input->record->hold_count; hold++) {
        int build = input->record->hold[hold].build;
        const struct placing_record *placing = digest_placing(input, build);
        for (int channel = 0; placing != NULL && channel < placing->channel_count; channel++) {
            if (!input->analysis->hold[hold].has[channel]) {
                continue;
            }
            session_cells(&csv, input->record);
            setup_cells(&csv, input->record, hold);
            hold_cells(&csv, input, hold);
            channel_cells(&csv, input, build, channel);
            reading_cells(&csv, &input->analysis->hold[hold], channel);
            target_cells(&csv, input, hold, channel);
            csv_row_end(&csv);
        }
    }
    return !ferror(stream) || problem_set(problem, "the CSV could not be written");
}
