/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/sheet.h"

#include "analysis/practice_band.h"
#include "base/language.h"
#include "base/phrase.h"
#include "base/text.h"
#include "bike/wrench.h"
#include "report/cautions.h"
#include "report/digest.h"
#include "say/drag.h"
#include "say/setup.h"

#include <math.h>

#define PARTS_SIZE 2048

/* ---- as found, as chosen ----------------------------------------------------------------------
 */

static void change_cell(struct table *table, double from, double to)
{
    char text[64];
    double moved = digest_moved_mm(from, to);
    say_signed(text, sizeof text, moved, 0);
    table_cell(table, isnan(moved) ? T_("not known") : moved == 0.0 ? "0" : text);
}

/* 'spacers 20 mm, stem angle -6°' of what is the same on both; final NULL: all of it. */
static void unchanged_words(const struct bike_values *found, const struct bike_values *final,
                            char *text, size_t size)
{
    size_t used = 0;
    text_copy(text, size, "");
    for (int key = 0; key < BIKE_KEYS; key++) {
        double value = found->value[key];
        char amount[64];
        if (!isfinite(value) || (final != NULL && !(fabs(final->value[key] - value) < 0.05))) {
            continue;
        }
        digest_measure(amount, sizeof amount, value, bike_fields[key].unit);
        text_append(text, size, &used, "%s%s %s", used > 0 ? ", " : "", T_(bike_fields[key].words),
                    amount);
    }
}

/* forward, up: what the rows are called. */
static void point_rows(struct table *table, const char *forward, const char *up,
                       const struct point *found, bool has_found, const struct point *chosen,
                       bool has_chosen, bool two)
{
    for (int way = 0; way < 2 && (has_found || has_chosen); way++) {
        double from = !has_found ? (double)NAN : way == 0 ? found->x_mm : found->y_mm;
        double to = !has_chosen ? (double)NAN : way == 0 ? chosen->x_mm : chosen->y_mm;
        char text[64];
        table_cell(table, way == 0 ? forward : up);
        say_whole(text, sizeof text, from);
        table_cell(table, text);
        if (two) {
            say_whole(text, sizeof text, to);
            table_cell(table, text);
            change_cell(table, from, to);
        }
    }
}

/* What is not to be touched: parts that stay, and where bar, pads and tips end up. */
bool sheet_rest(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    const struct table_column columns[] = {
        {T_("from the bottom bracket, mm"), TABLE_LEFT, true},
        {T_("as found"), TABLE_RIGHT, false},
        {T_("as chosen"), TABLE_RIGHT, false},
        {T_("change"), TABLE_RIGHT, false},
    };
    const struct session_record *record = input->record;
    int chosen = sheet_may_be_ridden(input) ? digest_chosen(input) : -1;
    struct bike_points from, to;
    if (record->setup_count == 0) {
        return true;
    }
    const struct bike_values *found = &record->setup[digest_found(input)].bike;
    if (!bike_values_any_part(found)) {
        return true;
    }
    bool changed = chosen >= 0 && chosen != digest_found(input);
    const struct bike_values *final = chosen >= 0 ? &record->setup[chosen].bike : NULL;
    bool has_from = bike_forward(found, &from, NULL);
    bool has_to = final != NULL && bike_forward(final, &to, NULL);
    char parts[PARTS_SIZE];
    unchanged_words(found, final, parts, sizeof parts);
    paper_title(paper, changed ? T_("Your bike in numbers") : T_("Your bike as found"));
    if (parts[0] != '\0') {
        paper_paragraph(paper, changed ? T_("Stays as it was: %s.") : "%s.", parts);
    }
    struct table *table = table_create(columns, changed ? 4 : 2);
    point_rows(table, T_("bar clamp, forward, mm"), T_("bar clamp, up, mm"), &from.clamp, has_from,
               &to.clamp, has_to, changed);
    point_rows(table, T_("pads, forward, mm"), T_("pads, up, mm"), &from.pad,
               has_from && from.has_pad, &to.pad, has_to && to.has_pad, changed);
    point_rows(table, T_("extension tip, forward, mm"), T_("extension tip, up, mm"),
               &from.extension_tip, has_from && from.has_extension, &to.extension_tip,
               has_to && to.has_extension, changed);
    bool done = true;
    if (table_rows(table) > 0 || table == NULL) {
        done = paper_table(paper, table, problem);
        paper_note(paper, "%s", T_("Worked out from the parts, and good to 2 mm at best."));
    }
    table_destroy(table);
    return done;
}

/* There is something to turn. */
static bool make_list(const struct report_input *input, struct wrench_list *list)
{
    int chosen = digest_chosen(input);
    list->count = 0;
    if (sheet_may_be_ridden(input)) {
        wrench_list_make(&input->record->setup[digest_found(input)].bike,
                         &input->record->setup[chosen].bike, list);
    }
    return list->count > 0;
}

/* A row for each bolt, with its torque and a box to tick. */
static void work_rows(struct table *table, const struct wrench_step *step, int number,
                      const struct bike_torques *torques)
{
    enum bike_bolt bolts[BOLTS_OF_ONE_MAX];
    int count = bike_bolts_of(step->key, bolts);
    for (int i = 0; i < count; i++) {
        char torque[32];
        bike_torque_text(torques, bolts[i], torque, sizeof torque);
        if (i == 0) {
            table_cell_format(table, "%d  %s", number, step->work);
        } else {
            table_cell(table, "");
        }
        table_cell(table, T_(bike_bolt_words((int)bolts[i])));
        table_cell(table, i == 0 ? step->from_text : "");
        table_cell(table, i == 0 ? step->to_text : "");
        table_cell(table, torque);
        table_cell(table, "\xE2\x98\x90");
    }
}

bool sheet_wrench(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    const struct table_column columns[] = {
        {T_("what to do, in this order"), TABLE_LEFT, true},
        {T_("bolts"), TABLE_LEFT, true},
        {C_("a part", "from"), TABLE_RIGHT, false},
        {C_("a part", "to"), TABLE_RIGHT, false},
        {"N\u00b7m", TABLE_RIGHT, false},
        {T_("done"), TABLE_LEFT, false},
    };
    int chosen = digest_chosen(input);
    struct wrench_list list;
    if (!sheet_may_be_ridden(input)) {
        return true;
    }
    paper_title(paper, T_("What to turn, from as found"));
    if (!make_list(input, &list)) {
        paper_paragraph(paper, "%s",
                        bike_values_any_part(&input->record->setup[chosen].bike)
                            ? T_("Nothing: the bike stays as it was.")
                            : T_("No part of the bike was entered: what was changed stands in the "
                                 "setup's name, and with the fitter."));
        return true;
    }
    struct table *table = table_create(columns, 6);
    table_set_broad(table);
    for (int step = 0; step < list.count; step++) {
        work_rows(table, &list.step[step], step + 1, &input->record->torques);
    }
    bool done = paper_table(paper, table, problem);
    table_destroy(table);
    for (int step = 0; step < list.count; step++) {
        if (bike_steering_comes_off(list.step[step].key)) {
            paper_note(paper, "%s", T_(report_cautions[CAUTION_STEERING]));
            break;
        }
    }
    paper_note(paper, "%s", T_(report_cautions[CAUTION_BOLTS]));
    return done;
}

/* ---- why --------------------------------------------------------------------------------------
 */

static void height_item(struct paper *paper, const struct report_input *input, int setup,
                        int channel, bool guided)
{
    const struct comparison *comparison = &input->analysis->free_heights[channel];
    const struct setup_estimate *estimate = &comparison->setup[setup];
    const char *name = say_sensor(input->analysis->channel_name[channel]);
    char words[2 * SAY_SIZE], mean[SAY_SIZE];
    if (estimate->holds == 0) {
        paper_item(paper,
                   guided ? T_("%s: not measured without the gauge on this setup")
                          : T_("%s: not measured on this setup"),
                   name);
        return;
    }
    say_mean(mean, sizeof mean, estimate->mean, estimate->has_interval, estimate->half_width);
    say_difference(words, sizeof words, &comparison->difference[setup], SAY_PLAIN, NULL);
    if (!estimate->tied) {
        paper_item(paper, "%s: %s", name, words);
        return;
    }
    bool range = digest_is_range(input, channel), high = digest_absolute(input, channel);
    if (words[0] == '\0') {
        paper_item(paper,
                   range  ? T_("%s: %s mm from the sensor")
                   : high ? T_("%s: %s mm high")
                          : T_("%s: %s mm over its sensor's first place"),
                   name, mean);
    } else {
        paper_item(paper,
                   range  ? T_("%s: %s mm from the sensor; against setup %d: %s")
                   : high ? T_("%s: %s mm high; against setup %d: %s")
                          : T_("%s: %s mm over its sensor's first place; against setup %d: %s"),
                   name, mean, input->record->settings.baseline_setup, words);
    }
}

/* It was measured, and still it can't be told whether it differs. */
static bool is_untold(const struct analysis *analysis, int setup, int channel)
{
    return analysis_estimate(analysis, channel, setup)->holds > 0 &&
           analysis_difference(analysis, channel, setup)->verdict == VERDICT_CANNOT_TELL;
}

/* Without a gauge, and with one in a band that this setup is practised by. */
static void keeping_items(struct paper *paper, const struct report_input *input, int chosen,
                          int channel, const struct channel_digest *digest)
{
    const char *name = say_sensor(input->analysis->channel_name[channel]);
    struct practice_band band;
    char steady[64], percent[64], over[64];
    practice_band_find(input->record, input->analysis, chosen, &band);
    struct practice_share share =
        practice_share_of(input->record, input->analysis, chosen, &band, channel);
    say_number(steady, sizeof steady, digest->steadiness_free_mm, 1);
    say_percent(percent, sizeof percent, share.share);
    say_duration(over, sizeof over, share.kept_s);
    if (isfinite(digest->steadiness_free_mm) &&
        analysis_estimate(input->analysis, channel, chosen)->holds > 0) {
        paper_item(paper,
                   T_("%s: by yourself you kept it within %s mm of its middle most of the time"),
                   name, steady);
    }
    if (isfinite(share.share)) {
        paper_item(
            paper,
            T_("%s: with the gauge in view you were in the band for %s of the time, over %s"), name,
            percent, over);
    }
}

/* What \u00b1 is; and what no setup's own has in it, since all heights share it. */
static void sure_words(struct paper *paper, const struct report_input *input, int chosen)
{
    const struct analysis *analysis = input->analysis;
    char list[2 * SAY_SIZE] = "", half[64];
    bool reaches_on = false;
    size_t used = 0;
    for (int channel = 0; channel < analysis->channel_count; channel++) {
        const struct setup_estimate *estimate = analysis_estimate(analysis, channel, chosen);
        reaches_on = reaches_on || (analysis->body[channel] &&
                                    compare_reaches_on(&analysis->free_heights[channel], chosen));
        if (analysis->body[channel] && estimate->holds > 0 && estimate->tied &&
            digest_absolute(input, channel) &&
            say_tie_together(half, sizeof half, &analysis->tie[0][channel])) {
            text_append(list, sizeof list, &used, "%s%s \u00b1%s", used > 0 ? ", " : "",
                        say_sensor(analysis->channel_name[channel]), half);
        }
    }
    if (used == 0) {
        paper_paragraph(
            paper, "%s",
            T_("In brackets and behind \u00b1: where the true value lies, 95 times in 100."));
    } else {
        paper_paragraph(paper,
                        T_("In brackets and behind \u00b1: how far it may be off by itself, 95 "
                           "times in 100. Besides, all heights may be off together, %s mm; "
                           "differences are free of that."),
                        list);
    }
    if (reaches_on) {
        paper_paragraph(paper, "%s",
                        T_("Where a number is not in the middle of its brackets, a part of it may "
                           "have come with time, not with the setup."));
    }
}

/* Asked or not; that something was numb stands first on the sheet. */
static void numbness_item(struct paper *paper, const struct setup_digest *digest)
{
    char missing[SAY_SIZE], numb[SAY_SIZE];
    int asked = digest_numb_unasked(digest, missing, sizeof missing);
    if (digest_numb_text(digest, false, numb, sizeof numb)) {
        return;
    }
    if (asked == 0) {
        paper_item(paper, "%s", T_("numbness: NOT ASKED"));
    } else if (missing[0] != '\0') {
        paper_item(paper, T_("numbness: none told; NOT ASKED: %s"), missing);
    } else {
        paper_item(paper, "%s", T_("numbness: none"));
    }
}

static void feeling_items(struct paper *paper, const struct report_input *input,
                          const struct setup_digest *digest)
{
    char text[4 * SAY_SIZE];
    double sees = digest->value[RATING_SEES_AHEAD];
    if (isnan(sees)) {
        paper_item(paper, "%s",
                   T_("sees ahead: NOT ASKED. Try it, standing still, before you ride like this"));
    } else {
        paper_item(paper, T_("sees ahead: %s"), say_rated_word(RATING_SEES_AHEAD, sees));
    }
    if (digest->rating_count == 0) {
        paper_item(paper, "%s", T_("effort, discomfort and numbness: not asked"));
        return;
    }
    digest_item_text(input, digest, RATING_EFFORT, text, sizeof text);
    paper_item(paper, T_("effort, 0 to 10: %s"), text);
    digest_discomfort_text(input, digest, text, sizeof text);
    paper_item(paper, T_("discomfort, 0 to 10: %s"), text);
    numbness_item(paper, digest);
    for (int item = 0; item < RATING_ITEMS; item++) {
        if (rating_fields[item].sheet != NULL && !isnan(digest->value[item])) {
            const struct phrase_value values[] = {{"value", text}, {NULL, NULL}};
            char line[5 * SAY_SIZE];
            digest_item_text(input, digest, item, text, sizeof text);
            phrase_fill(line, sizeof line, T_(rating_fields[item].sheet), values);
            paper_item(paper, "%s", line);
        }
    }
}

#define KEEPING_CHANNELS 2 /* of which it is told how they were kept */

/* Of further sensors those of which nothing can be told yet, in one line. */
static void untold_item(struct paper *paper, const struct report_input *input, int setup)
{
    const struct analysis *analysis = input->analysis;
    char names[2 * SAY_SIZE] = "";
    size_t used = 0;
    int bodies = 0;
    for (int channel = 0; channel < analysis->channel_count; channel++) {
        bool further = analysis->body[channel] && bodies++ >= KEEPING_CHANNELS;
        if (further && is_untold(analysis, setup, channel)) {
            text_append(names, sizeof names, &used, "%s%s", used > 0 ? ", " : "",
                        say_sensor(analysis->channel_name[channel]));
        }
    }
    if (used > 0) {
        paper_item(paper, T_("%s: no difference can be told yet"), names);
    }
}

bool sheet_evidence(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    struct setup_digest digest;
    int chosen = digest_chosen(input), told = 0;
    (void)problem;
    if (chosen < 0) {
        return true;
    }
    digest_setup(input, chosen, &digest);
    paper_title(paper, T_("Why, and how sure it is"));
    if (setup_sight_failed(input->record, chosen)) { /* whatever its numbers */
        feeling_items(paper, input, &digest);
        return true;
    }
    sure_words(paper, input, chosen);
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        bool first = told < KEEPING_CHANNELS;
        if (!input->analysis->body[channel]) {
            continue;
        }
        told++;
        if (first || !is_untold(input->analysis, chosen, channel)) {
            height_item(paper, input, chosen, channel,
                        isfinite(digest.channel[channel].in_band_share));
        }
        if (first) {
            keeping_items(paper, input, chosen, channel, &digest.channel[channel]);
        }
    }
    untold_item(paper, input, chosen);
    feeling_items(paper, input, &digest);
    return true;
}

/* Each once: those of work stand where there is something to turn. A day of runs has its own, and
 * without holds none of beams and trainer. */
bool sheet_cautions(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    struct wrench_list list;
    bool told = make_list(input, &list);
    bool runs = input->record->run_count > 0, road = runs && input->record->hold_count == 0;
    (void)problem;
    paper_title(paper, T_("Cautions"));
    for (int i = 0; runs && i < SAY_DRAG_CAUTIONS; i++) {
        paper_item(paper, "%s", T_(say_drag_cautions[i]));
    }
    for (int i = 0; i < CAUTIONS; i++) {
        bool of_trainer = i == CAUTION_BEAMS || i == CAUTION_ROAD;
        bool of_work = i == CAUTION_STEERING || (i == CAUTION_BOLTS && told);
        if (!of_work && !(road && of_trainer)) {
            paper_item(paper, "%s", T_(report_cautions[i]));
        }
    }
    return true;
}
