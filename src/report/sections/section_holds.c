/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Targets and bands, each hold, each rating, notes: the session as it was recorded. */
#include "base/text.h"
#include "report/digest.h"
#include "report/sections.h"

#include <math.h>

#define LIST_SIZE 1536

static void target_line(struct paper *paper, const struct report_input *input, int index)
{
    const struct session_record *record = input->record;
    const struct target_record *target = &record->target[index];
    char text[LIST_SIZE], mean[SAY_SIZE];
    size_t used = 0;
    bool entered = target->capture < 0;
    text_append(text, sizeof text, &used, "target %d", index + 1);
    if (target->build >= 0) {
        text_append(text, sizeof text, &used, " (setup %d)",
                    record->setup[record->build[target->build].setup].number);
    }
    text_append(text, sizeof text, &used, "%s: ",
                !target->kept ? ", NOT KEPT"
                : entered     ? ", entered"
                              : ", captured");
    for (int channel = 0, named = 0; channel < input->analysis->channel_count; channel++) {
        const struct channel_target *result = &input->analysis->target[index][channel];
        if (result->has) {
            say_mean(mean, sizeof mean, result->height_mm, isfinite(result->half_width_mm),
                     result->half_width_mm);
            text_append(text, sizeof text, &used, "%s%s %s mm", named++ == 0 ? "" : ", ",
                        input->analysis->channel_name[channel], mean);
        }
    }
    paper_item(paper, "%s", text);
}

static void band_line(struct paper *paper, const struct report_input *input, int index)
{
    const struct band_record *band = &input->record->band[index];
    char text[LIST_SIZE], limits[2 * SAY_SIZE];
    size_t used = 0;
    text_append(text, sizeof text, &used, "band %d: ", index + 1);
    for (int channel = 0, named = 0; channel < input->analysis->channel_count; channel++) {
        if (band->limited[channel]) {
            say_band(limits, sizeof limits, &band->cue[channel]);
            text_append(text, sizeof text, &used, "%s%s %s mm", named++ == 0 ? "" : ", ",
                        input->analysis->channel_name[channel], limits);
        }
    }
    paper_item(paper, "%s", text);
}

bool section_targets(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    const struct session_record *record = input->record;
    (void)problem;
    if (record->target_count + record->band_count == 0) {
        return true;
    }
    paper_title(paper, "Targets and bands");
    for (int target = 0; target < record->target_count; target++) {
        target_line(paper, input, target);
    }
    for (int band = 0; band < record->band_count; band++) {
        band_line(paper, input, band);
    }
    return true;
}

static void number_cell(struct table *table, bool there, double value, int decimals, bool with_sign)
{
    char text[64];
    double shown = there ? value : (double)NAN;
    if (with_sign) {
        say_signed(text, sizeof text, shown, decimals);
    } else {
        say_number(text, sizeof text, shown, decimals);
    }
    table_cell(table, text);
}

/* Creep that is no accident is marked. */
static void creep_cell(struct table *table, const struct hold_summary *summary)
{
    char creep[64];
    bool there = summary->status == MEASURE_OK && summary->has_creep;
    say_signed(creep, sizeof creep, there ? summary->creep_mm_per_min : (double)NAN, 1);
    table_cell_format(table, "%s%s", creep, there && summary->creep_flagged ? "!" : "");
}

static void summary_cells(struct table *table, const struct hold_summary *summary, bool tied)
{
    bool ok = summary->status == MEASURE_OK;
    char mean[SAY_SIZE];
    say_mean(mean, sizeof mean, ok ? summary->mean_mm : (double)NAN, ok && summary->has_interval,
             summary->mean_half_width_mm);
    table_cell(table, tied ? mean : "no tie");
    number_cell(table, tied && ok && summary->has_target, summary->offset_mm, 0, true);
    number_cell(table, ok, summary->steadiness_mm, 1, false);
    creep_cell(table, summary);
    number_cell(table, ok && summary->has_band, summary->in_band_share * 100, 0, false);
    if (ok && summary->has_band) {
        table_cell_format(table, "%d / %d", summary->excursions_high, summary->excursions_low);
    } else {
        table_cell(table, "-");
    }
}

static void hold_rows(struct table *table, const struct report_input *input, int index)
{
    const struct session_record *record = input->record;
    const struct hold_record *hold = &record->hold[index];
    const struct hold_result *result = &input->analysis->hold[index];
    const struct placing_record *placing = digest_placing(input, hold->build);
    bool first = true;
    for (int channel = 0; placing != NULL && channel < placing->channel_count; channel++) {
        if (placing->channel[channel].role != ROLE_BODY || !result->has[channel]) {
            continue;
        }
        if (first) {
            table_cell_format(table, "%d%s", hold->number, result->counts ? "" : "*");
            table_cell_format(table, "%d/%d",
                              record->setup[record->build[hold->build].setup].number,
                              record->build[hold->build].ordinal);
            table_cell(table, hold->guided ? "guided" : "free");
        } else {
            table_cell(table, "");
            table_cell(table, "");
            table_cell(table, "");
        }
        first = false;
        number_cell(table, result->summary[channel].status == MEASURE_OK,
                    result->summary[channel].kept_s, 0, false);
        table_cell(table, placing->channel[channel].name);
        summary_cells(table, &result->summary[channel],
                      input->analysis->tie[hold->build][channel].kind != TIE_NONE);
    }
}

static bool any_creep(const struct report_input *input, int index)
{
    const struct hold_result *result = &input->analysis->hold[index];
    for (int channel = 0; channel < CHANNELS_MAX; channel++) {
        if (result->has[channel] && result->summary[channel].creep_flagged) {
            return true;
        }
    }
    return false;
}

bool section_holds(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    static const struct table_column columns[] = {
        {"hold", TABLE_LEFT, false},           {"setup/\nbuild", TABLE_LEFT, false},
        {"kind", TABLE_LEFT, false},           {"kept\ns", TABLE_RIGHT, false},
        {"channel", TABLE_LEFT, true},         {"height\nmm", TABLE_LEFT, false},
        {"target\nmm", TABLE_RIGHT, false},    {"steady\nmm", TABLE_RIGHT, false},
        {"creep\nmm/min", TABLE_RIGHT, false}, {"in\nband\n%", TABLE_RIGHT, false},
        {"up /\nlow", TABLE_LEFT, false},
    };
    struct table *table = table_create(columns, 11);
    bool starred = false, creeping = false;
    for (int hold = 0; hold < input->record->hold_count; hold++) {
        hold_rows(table, input, hold);
        starred = starred || !input->analysis->hold[hold].counts;
        creeping = creeping || any_creep(input, hold);
    }
    bool done = true;
    if (table_rows(table) > 0 || table == NULL) {
        paper_title(paper, "Holds");
        paper_paragraph(
            paper,
            "± is the error of the mean within this hold only; how the posture differs from hold "
            "to hold is not in it. Target: height above (+) or below (-) it.");
        done = paper_table(paper, table, problem);
        if (starred) {
            paper_note(paper, "* not in the comparison: see what was left out");
        }
        if (creeping) {
            paper_note(paper, "! crept by more than 4 mm in the hold, and not by chance");
        }
    }
    table_destroy(table);
    return done;
}

static void rating_line(struct paper *paper, const struct session_record *record, int index)
{
    const struct rating_record *rating = &record->rating[index];
    char text[LIST_SIZE];
    say_rating(text, sizeof text, rating);
    paper_item(paper, "setup %d: %s", rating->setup >= 0 ? record->setup[rating->setup].number : 0,
               text);
}

/* 'before the first hold', 'after hold 3' */
static void place_words(const struct session_record *record, int64_t sample, char *text,
                        size_t size)
{
    int number = 0;
    for (int hold = 0; hold < record->hold_count; hold++) {
        const struct capture_record *capture = &record->capture[record->hold[hold].capture];
        if (capture->first_sample <= sample) {
            number = record->hold[hold].number;
            bool within = capture->last_sample == 0 || sample <= capture->last_sample;
            snprintf(text, size, "%s hold %d", within ? "in" : "after", number);
        }
    }
    if (number == 0) {
        text_copy(text, size, "before the first hold");
    }
}

bool section_ratings(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    const struct session_record *record = input->record;
    if (record->rating_count > 0) {
        paper_title(paper, "Ratings as given");
        paper_paragraph(paper, "0 is none, 10 the most there is. Not asked is left out.");
        for (int rating = 0; rating < record->rating_count; rating++) {
            rating_line(paper, record, rating);
        }
    }
    return section_notes(paper, input, problem);
}

bool section_notes(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    const struct session_record *record = input->record;
    char place[64];
    (void)problem;
    if (record->note_count > 0) {
        paper_title(paper, "Notes");
    }
    for (int note = 0; note < record->note_count; note++) {
        place_words(record, record->note[note].sample, place, sizeof place);
        paper_item(paper, "%s (%s)", record->note[note].text, place);
    }
    return true;
}
