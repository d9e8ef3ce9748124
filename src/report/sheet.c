/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/sheet.h"

#include "base/text.h"
#include "bike/wrench.h"
#include "report/digest.h"
#include "say/setup.h"

#include <math.h>

/* ---- as found, as chosen ----------------------------------------------------------------------
 */

static void value_cell(struct table *table, double value)
{
    char text[64] = "-";
    if (isfinite(value)) {
        text_from_double_shortest(text, sizeof text, value);
    }
    table_cell(table, text);
}

static void change_cell(struct table *table, double from, double to, int decimals)
{
    char text[64];
    say_signed(text, sizeof text, to - from, decimals);
    bool same = isfinite(to - from) && fabs(to - from) < 0.05;
    table_cell(table, same ? "" : text);
}

static void part_rows(struct table *table, const struct bike_values *found,
                      const struct bike_values *chosen)
{
    for (int key = 0; key < BIKE_KEYS; key++) {
        double from = found->value[key], to = chosen != NULL ? chosen->value[key] : (double)NAN;
        if (bike_fields[key].scope != BIKE_SCOPE_PART || (!isfinite(from) && !isfinite(to))) {
            continue;
        }
        table_cell_format(table, "%s, %s", bike_fields[key].words, bike_fields[key].unit);
        value_cell(table, from);
        if (chosen != NULL) {
            value_cell(table, to);
            change_cell(table, from, to, 0);
        }
    }
}

static void point_rows(struct table *table, const char *name, const struct point *found,
                       bool has_found, const struct point *chosen, bool has_chosen, bool two)
{
    static const char *const ways[] = {"forward", "up"};
    for (int way = 0; way < 2 && (has_found || has_chosen); way++) {
        double from = !has_found ? (double)NAN : way == 0 ? found->x_mm : found->y_mm;
        double to = !has_chosen ? (double)NAN : way == 0 ? chosen->x_mm : chosen->y_mm;
        char text[64];
        table_cell_format(table, "%s, %s, mm", name, ways[way]);
        say_whole(text, sizeof text, from);
        table_cell(table, text);
        if (two) {
            say_whole(text, sizeof text, to);
            table_cell(table, text);
            change_cell(table, from, to, 0);
        }
    }
}

static void limits_item(struct paper *paper, const struct report_input *input, int chosen)
{
    char passed[1024];
    digest_limits_passed(input, chosen, passed, sizeof passed);
    if (passed[0] != '\0') {
        paper_paragraph(paper,
                        "NOT TO BE RIDDEN LIKE THIS: it passes a limit of the makers' papers. %s.",
                        passed);
    }
}

bool sheet_bike(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    static const struct table_column columns[] = {
        {"", TABLE_LEFT, true},
        {"as found", TABLE_RIGHT, false},
        {"as chosen", TABLE_RIGHT, false},
        {"change", TABLE_RIGHT, false},
    };
    const struct session_record *record = input->record;
    int chosen = digest_chosen(input);
    struct bike_points from, to;
    struct problem missing = {PROBLEM_NONE, ""};
    if (record->setup_count == 0) {
        return true;
    }
    const struct bike_values *found = &record->setup[0].bike;
    const struct bike_values *final = chosen >= 0 ? &record->setup[chosen].bike : NULL;
    bool has_from = bike_forward(found, &from, &missing);
    bool has_to = final != NULL && bike_forward(final, &to, &missing);
    paper_title(paper, chosen >= 0 ? "Your bike as found and as chosen" : "Your bike as found");
    if (chosen >= 0) {
        char label[TEXT_SIZE + 64];
        digest_setup_label(record, chosen, label, sizeof label);
        paper_paragraph(paper, "Chosen: setup %s.", label);
    } else {
        paper_paragraph(paper, "No setup was chosen for this sheet.");
    }
    struct table *table = table_create(columns, chosen >= 0 ? 4 : 2);
    part_rows(table, found, final);
    point_rows(table, "bar clamp", &from.clamp, has_from, &to.clamp, has_to, final != NULL);
    point_rows(table, "pads", &from.pad, has_from && from.has_pad, &to.pad, has_to && to.has_pad,
               final != NULL);
    point_rows(table, "extension tip", &from.extension_tip, has_from && from.has_extension,
               &to.extension_tip, has_to && to.has_extension, final != NULL);
    bool done = true;
    if (table_rows(table) > 0 || table == NULL) {
        done = paper_table(paper, table, problem);
    } else {
        paper_paragraph(paper, "No part of the bike was entered.");
    }
    if (chosen >= 0) {
        limits_item(paper, input, chosen);
    }
    if (has_from || has_to) {
        paper_note(paper, "Bar clamp, pads and tip are worked out from the parts, from the bottom "
                          "bracket, and good to 2 mm at best.");
    }
    table_destroy(table);
    return done;
}

bool sheet_wrench(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    static const struct table_column columns[] = {
        {"what to turn, in this order", TABLE_LEFT, true},
        {"done", TABLE_LEFT, false},
        {"torque\nas the maker says", TABLE_LEFT, false},
    };
    int chosen = digest_chosen(input);
    struct wrench_list list;
    if (chosen < 0) {
        return true;
    }
    wrench_list_make(&input->record->setup[0].bike, &input->record->setup[chosen].bike, &list);
    paper_title(paper, "What to turn, from as found");
    if (list.count == 0) {
        paper_paragraph(paper, bike_values_any_part(&input->record->setup[chosen].bike)
                                   ? "Nothing: the bike stays as it was."
                                   : "No part of the bike was entered: what was changed stands in "
                                     "the setup's name, and with the fitter.");
        return true;
    }
    struct table *table = table_create(columns, 3);
    for (int step = 0; step < list.count; step++) {
        table_cell_format(table, "%d  %s", step + 1, list.step[step].text);
        table_cell(table, "\xE2\x98\x90"); /* a box to tick */
        table_cell(table, "\xE2\x98\x90");
    }
    bool done = paper_table(paper, table, problem);
    table_destroy(table);
    paper_note(paper, "%s", wrench_cautions);
    return done;
}

/* ---- why --------------------------------------------------------------------------------------
 */

static void height_item(struct paper *paper, const struct report_input *input, int setup,
                        int channel)
{
    const struct comparison *comparison = &input->analysis->free_heights[channel];
    const struct setup_estimate *estimate = &comparison->setup[setup];
    const char *name = input->analysis->channel_name[channel];
    char words[2 * SAY_SIZE], mean[SAY_SIZE];
    if (estimate->holds == 0) {
        paper_item(paper, "%s: not measured on this setup", name);
        return;
    }
    say_mean(mean, sizeof mean, estimate->mean, estimate->has_interval, estimate->half_width);
    say_difference(words, sizeof words, &comparison->difference[setup], SAY_PLAIN, NULL);
    if (!estimate->tied) {
        paper_item(paper, "%s: %s", name, words);
        return;
    }
    if (words[0] == '\0') {
        paper_item(paper, "%s: %s mm high", name, mean);
    } else {
        paper_item(paper, "%s: %s mm high; against setup %d: %s", name, mean,
                   input->record->settings.baseline_setup, words);
    }
}

static void keeping_items(struct paper *paper, const struct report_input *input, int channel,
                          const struct channel_digest *digest)
{
    const char *name = input->analysis->channel_name[channel];
    char steady[64], share[64], creep[64];
    say_number(steady, sizeof steady, digest->steadiness_free_mm, 1);
    say_percent(share, sizeof share, digest->in_band_share);
    say_signed(creep, sizeof creep, digest->creep_guided, 1);
    if (isfinite(digest->steadiness_free_mm)) {
        paper_item(paper, "%s: steady to %s mm about its mean, gauge hidden", name, steady);
    }
    if (isfinite(digest->in_band_share)) {
        paper_item(paper,
                   "%s: in the band for %s of the time, creeping by %s mm a minute, gauge seen",
                   name, share, creep);
    }
}

static void feeling_items(struct paper *paper, const struct report_input *input,
                          const struct setup_digest *digest)
{
    char text[4 * SAY_SIZE];
    double sees = digest->value[RATING_SEES_AHEAD];
    if (isnan(sees)) {
        paper_item(paper,
                   "sees ahead: NOT ASKED. Try it, standing still, before you ride like this");
    } else {
        paper_item(paper, "sees ahead: %s", say_rated_word(RATING_SEES_AHEAD, sees));
    }
    if (digest->rating_count == 0) {
        paper_item(paper, "effort and discomfort: not asked");
        return;
    }
    digest_item_text(input, digest, RATING_EFFORT, text, sizeof text);
    paper_item(paper, "effort, 0 to 10: %s", text);
    digest_discomfort_text(input, digest, text, sizeof text);
    paper_item(paper, "discomfort, 0 to 10: %s", text);
    for (int item = 0; item < RATING_ITEMS; item++) {
        if (rating_fields[item].sheet != NULL && !isnan(digest->value[item])) {
            digest_item_text(input, digest, item, text, sizeof text);
            paper_item(paper, "%s %s", rating_fields[item].sheet, text);
        }
    }
}

/* digest_chosen, with what is known of that setup. */
static int chosen_setup(const struct report_input *input, struct setup_digest *digest)
{
    int chosen = digest_chosen(input);
    if (chosen >= 0) {
        digest_setup(input, chosen, digest);
    }
    return chosen;
}

bool sheet_attention(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    struct setup_digest digest;
    int chosen = chosen_setup(input, &digest);
    (void)problem;
    if (chosen < 0) {
        return true;
    }
    char text[SAY_SIZE];
    bool numb = digest_numb_text(&digest, " and ", text, sizeof text);
    bool failed = setup_sight_failed(input->record, chosen);
    bool strained = digest.value[RATING_SEES_AHEAD] >= SEES_STRAINED;
    if (!failed && !strained && !numb) {
        return true;
    }
    paper_title(paper, "Look at this first");
    if (failed) {
        paper_item(paper, "%s", say_failed(SAY_FAILED_RIDER));
    } else if (strained) {
        paper_item(paper, "%s", say_strained);
    }
    if (numb) {
        char words[2 * SAY_SIZE];
        say_numb(words, sizeof words, SAY_NUMB_RIDER, text);
        paper_item(paper, "%s", words);
    }
    return true;
}

bool sheet_evidence(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    struct setup_digest digest;
    int chosen = chosen_setup(input, &digest);
    (void)problem;
    if (chosen < 0) {
        return true;
    }
    paper_title(paper, "Why");
    paper_paragraph(paper, "In brackets and behind ±: where the true value lies, 95 times in 100.");
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        if (input->analysis->body[channel]) {
            height_item(paper, input, chosen, channel);
            keeping_items(paper, input, channel, &digest.channel[channel]);
        }
    }
    feeling_items(paper, input, &digest);
    return true;
}
