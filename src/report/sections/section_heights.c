/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The comparison: heights of free holds, setup by setup, with what differs in words. */
#include "base/text.h"
#include "report/digest.h"
#include "report/sections.h"
#include "say/setup.h"

#include <math.h>
#include <string.h>

#define CHANNELS_A_TABLE 3 /* more do not fit beside each other in 80 cells */
#define LABEL_SIZE (TEXT_SIZE + 64)

static void setup_cell(struct table *table, const struct report_input *input, int setup)
{
    char label[LABEL_SIZE];
    digest_setup_label(input->record, setup, label, sizeof label);
    bool failed = setup_sight_failed(input->record, setup);
    table_cell_format(table, "%s%s%s", label, failed ? "\n" : "",
                      failed ? say_failed(SAY_FAILED_MARK) : "");
}

/* The differences of a setup's channels, a line each. */
static void difference_lines(const struct report_input *input, int setup, const int *channels,
                             int count, char *text, size_t size)
{
    const struct analysis *analysis = input->analysis;
    size_t used = 0;
    text_copy(text, size, "");
    for (int i = 0; i < count; i++) {
        const struct comparison *comparison = &analysis->free_heights[channels[i]];
        char words[SAY_SIZE];
        if (comparison->baseline == setup && comparison->setup[setup].holds > 0) {
            continue;
        }
        say_difference(words, sizeof words, &comparison->difference[setup], SAY_LONG,
                       analysis->channel_name[channels[i]]);
        if (words[0] == '\0') {
            snprintf(words, sizeof words, "%s: no free hold yet",
                     analysis->channel_name[channels[i]]);
        }
        text_append(text, size, &used, "%s%s", used == 0 ? "" : "\n", words);
    }
    if (used == 0) {
        text_copy(text, size, "-");
    }
}

/* 'holds on builds': what the means rest on. */
static void holds_cell(struct table *table, const struct report_input *input, int setup,
                       int channel)
{
    const struct setup_estimate *estimate = &input->analysis->free_heights[channel].setup[setup];
    table_cell_format(table, "%d on %d", estimate->holds, estimate->builds);
}

static bool was_built(const struct session_record *record, int setup)
{
    bool built = false;
    for (int i = 0; i < record->build_count; i++) {
        built = built || record->build[i].setup == setup;
    }
    return built;
}

static bool heights_table(struct paper *paper, const struct report_input *input,
                          const int *channels, int count, struct problem *problem)
{
    const struct session_record *record = input->record;
    const struct analysis *analysis = input->analysis;
    struct table_column columns[3 + CHANNELS_A_TABLE];
    char headings[CHANNELS_A_TABLE][CHANNEL_NAME_SIZE + 8], against[48];
    int column = 0;

    columns[column++] = (struct table_column){"setup", TABLE_LEFT, true};
    columns[column++] = (struct table_column){"holds on\nbuilds", TABLE_LEFT, false};
    for (int i = 0; i < count; i++) {
        snprintf(headings[i], sizeof headings[i], "%s\nmm", analysis->channel_name[channels[i]]);
        columns[column++] = (struct table_column){headings[i], TABLE_LEFT, false};
    }
    snprintf(against, sizeof against, "against setup %d\nmm", record->settings.baseline_setup);
    columns[column++] = (struct table_column){against, TABLE_LEFT, true};

    struct table *table = table_create(columns, column);
    for (int setup = 0; setup < record->setup_count; setup++) {
        char text[CHANNELS_A_TABLE * SAY_SIZE];
        if (!was_built(record, setup)) { /* known of an earlier visit, and nothing of it here */
            continue;
        }
        setup_cell(table, input, setup);
        holds_cell(table, input, setup, channels[0]);
        for (int i = 0; i < count; i++) {
            const struct setup_estimate *estimate =
                &analysis->free_heights[channels[i]].setup[setup];
            double mean = estimate->holds > 0 ? estimate->mean : (double)NAN;
            say_mean(text, sizeof text, mean, estimate->has_interval, estimate->half_width);
            table_cell(table, estimate->holds > 0 && !estimate->tied ? "not tied" : text);
        }
        difference_lines(input, setup, channels, count, text, sizeof text);
        table_cell(table, text);
    }
    bool done = paper_table(paper, table, problem);
    table_destroy(table);
    return done;
}

static int body_channels(const struct analysis *analysis, int channels[CHANNELS_MAX])
{
    int count = 0;
    for (int channel = 0; channel < analysis->channel_count; channel++) {
        if (analysis->body[channel]) {
            channels[count++] = channel;
        }
    }
    return count;
}

/* What the numbers in the table are, for every channel at once or one by one. */
static void origin_words(struct paper *paper, const struct report_input *input, const int *channels,
                         int count)
{
    char relative[SAY_SIZE] = "", matters[SAY_SIZE] = "", ranges[SAY_SIZE] = "", number[32];
    size_t used = 0, named = 0, unplaced = 0;
    bool any_height = false;
    for (int i = 0; i < count; i++) {
        const char *name = input->analysis->channel_name[channels[i]];
        any_height = any_height || !digest_is_range(input, channels[i]);
        if (digest_is_range(input, channels[i])) {
            text_append(ranges, sizeof ranges, &unplaced, "%s%s", unplaced == 0 ? "" : ", ", name);
        } else if (!digest_absolute(input, channels[i])) {
            text_append(relative, sizeof relative, &used, "%s%s", used == 0 ? "" : ", ", name);
        }
        text_from_double_shortest(number, sizeof number,
                                  input->record->settings.matters_mm[channels[i]]);
        text_append(matters, sizeof matters, &named, "%s%s mm (%s)", named == 0 ? "" : ", ", number,
                    name);
    }
    paper_paragraph(paper, "%s in free holds (gauge hidden). A difference matters from %s on.",
                    any_height ? "Heights above the bottom bracket" : "Ranges", matters);
    if (unplaced > 0) {
        paper_paragraph(
            paper,
            "%s: ranges, no heights, since nobody said where the sensor is fixed. They "
            "compare setups only as far as no sensor moved, or a plate says by how much. Lower: "
            "nearer to the sensor, if it looks up: nobody said that, either.",
            ranges);
    }
    if (used > 0) {
        paper_paragraph(
            paper,
            "%s: counted from where the sensor was on the first build, since its own height "
            "over the bottom bracket was not given.",
            relative);
    }
}

bool section_heights(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    int channels[CHANNELS_MAX];
    int count = body_channels(input->analysis, channels);
    if (input->record->hold_count == 0 && input->record->run_count > 0) {
        return true; /* a day of runs: section_drag compares */
    }
    paper_title(paper, "What the setups show");
    if (count == 0 || input->record->setup_count == 0) {
        paper_paragraph(paper, "%s",
                        count == 0 ? "No channel looks at the rider: nothing to compare."
                                   : "No setup yet: nothing to compare.");
        return true;
    }
    int free_holds = 0;
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        free_holds += input->analysis->free_holds[setup];
    }
    if (free_holds == 0) {
        paper_paragraph(paper, "No hold with the gauge hidden counts: no heights to compare.");
        return true;
    }
    origin_words(paper, input, channels, count);
    if (digest_chosen(input) >= 0) {
        char label[LABEL_SIZE];
        digest_setup_label(input->record, digest_chosen(input), label, sizeof label);
        paper_paragraph(paper, "Chosen: setup %s.", label);
    }
    for (int from = 0; from < count; from += CHANNELS_A_TABLE) {
        int here = count - from < CHANNELS_A_TABLE ? count - from : CHANNELS_A_TABLE;
        if (!heights_table(paper, input, channels + from, here, problem)) {
            return false;
        }
    }
    return true;
}
