/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands beside height: steadiness, in-band share, creep, and what the rider says. */
#include "base/text.h"
#include "report/digest.h"
#include "report/sections.h"

#include <math.h>

static bool any_guided(const struct report_input *input)
{
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        if (input->analysis->guided_holds[setup] > 0) {
            return true;
        }
    }
    return false;
}

static void number_cell(struct table *table, double value, int decimals, bool with_sign)
{
    char text[64];
    if (with_sign) {
        say_signed(text, sizeof text, value, decimals);
    } else {
        say_number(text, sizeof text, value, decimals);
    }
    table_cell(table, text);
}

/* '87, up 2, low 0': share of the time in band, and excursions a hold. */
static void band_cells(struct table *table, const struct report_input *input, int setup,
                       int channel, const struct channel_digest *digest)
{
    const struct comparison *comparison = &input->analysis->guided_in_band[channel];
    char share[64], up[64], low[64], words[SAY_SIZE];
    say_whole(share, sizeof share, digest->in_band_share * 100);
    table_cell(table, share);
    say_number(up, sizeof up, digest->came_up, 1);
    say_number(low, sizeof low, digest->went_low, 1);
    if (isfinite(digest->came_up)) {
        table_cell_format(table, "%s / %s", up, low);
    } else {
        table_cell(table, "-");
    }
    text_copy(words, sizeof words, "");
    if (input->analysis->has_guided[channel]) {
        say_share_difference(words, sizeof words, &comparison->difference[setup]);
    }
    table_cell(table, words[0] != '\0' ? words : "-");
}

static void keeping_rows(struct table *table, const struct report_input *input, int setup,
                         bool guided)
{
    struct setup_digest digest;
    bool first = true;
    digest_setup(input, setup, &digest);
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        const struct channel_digest *one = &digest.channel[channel];
        if (!input->analysis->body[channel] || one->free_holds + one->guided_holds == 0) {
            continue;
        }
        if (first) {
            table_cell_format(table, "%d", input->record->setup[setup].number);
        } else {
            table_cell(table, "");
        }
        first = false;
        table_cell(table, input->analysis->channel_name[channel]);
        number_cell(table, one->steadiness_free_mm, 1, false);
        number_cell(table, one->creep_free, 1, true);
        if (guided) {
            number_cell(table, one->steadiness_guided_mm, 1, false);
            number_cell(table, one->creep_guided, 1, true);
            band_cells(table, input, setup, channel, one);
        }
    }
}

static bool keeping_table(struct paper *paper, const struct report_input *input,
                          struct problem *problem)
{
    bool guided = any_guided(input);
    struct table_column columns[10];
    char against[64];
    int count = 0;
    snprintf(against, sizeof against, "in band,\nagainst\nsetup %d",
             input->record->settings.baseline_setup);
    columns[count++] = (struct table_column){"setup", TABLE_LEFT, false};
    columns[count++] = (struct table_column){"channel", TABLE_LEFT, true};
    columns[count++] = (struct table_column){"steady\nfree\nmm", TABLE_RIGHT, false};
    columns[count++] = (struct table_column){"creep\nfree\nmm/min", TABLE_RIGHT, false};
    if (guided) {
        columns[count++] = (struct table_column){"steady\nguided\nmm", TABLE_RIGHT, false};
        columns[count++] = (struct table_column){"creep\nguided\nmm/min", TABLE_RIGHT, false};
        columns[count++] = (struct table_column){"in\nband\n%", TABLE_RIGHT, false};
        columns[count++] = (struct table_column){"up / low\na hold", TABLE_LEFT, false};
        columns[count++] = (struct table_column){against, TABLE_LEFT, true};
    }
    struct table *table = table_create(columns, count);
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        keeping_rows(table, input, setup, guided);
    }
    bool done = true;
    if (table_rows(table) > 0 || table == NULL) {
        paper_title(paper, "Whether it can be kept");
        paper_paragraph(
            paper, "%s",
            guided ? "Free: gauge hidden. Guided: gauge seen, each about the target of its hold. "
                     "Steady is the spread about the mean; creep is the slow change within a hold, "
                     "+ is up; 'up / low' are stays outside the band; of times in band, "
                     "points are hundredths of the time, and more holds guided ones."
                   : "No guided hold was ridden. Steady is the spread about the mean; creep is the "
                     "slow change within a hold, + is up.");
        done = paper_table(paper, table, problem);
    }
    table_destroy(table);
    return done;
}

/* The columns of what the rider says: sight first, then as it is asked, what hurts together and
 * what is numb. */
enum feeling { FEELING_ONE, FEELING_DISCOMFORT, FEELING_NUMB };

static enum feeling feeling_of(int item)
{
    const struct rating_field *field = &rating_fields[item];
    return field->discomfort              ? FEELING_DISCOMFORT
           : field->blocks == BLOCKS_NUMB ? FEELING_NUMB
                                          : FEELING_ONE;
}

static int feeling_columns(int items[RATING_ITEMS])
{
    int asked[RATING_ITEMS];
    bool taken[RATING_ITEMS] = {false}, together[] = {[FEELING_NUMB] = false};
    int count = 0;
    rating_sort(RATING_ASKED, asked);
    for (int sight = 1; sight >= 0; sight--) {
        for (int i = 0; i < RATING_ITEMS; i++) {
            enum feeling feeling = feeling_of(asked[i]);
            bool now = (rating_fields[asked[i]].blocks == BLOCKS_SIGHT) == (sight == 1);
            if (!now || taken[i] || (feeling != FEELING_ONE && together[feeling])) {
                continue;
            }
            taken[i] = together[feeling] = true;
            items[count++] = asked[i];
        }
    }
    return count;
}

/* 'hands', 'no', 'no; saddle not asked', '-' */
static void numb_text(const struct setup_digest *digest, char *text, size_t size)
{
    char missing[SAY_SIZE];
    int asked = digest_numb_unasked(digest, missing, sizeof missing);
    if (digest_numb_text(digest, false, text, size)) {
        return;
    }
    if (asked > 0 && missing[0] != '\0') {
        snprintf(text, size, "no; %s not asked", missing);
    } else {
        text_copy(text, size, asked > 0 ? "no" : "-");
    }
}

static bool feeling_table(struct paper *paper, const struct report_input *input,
                          struct problem *problem)
{
    static const struct table_column together[] = {
        [FEELING_DISCOMFORT] = {"discomfort\n0-10, worst first", TABLE_LEFT, true},
        [FEELING_NUMB] = {"numb", TABLE_LEFT, false},
    };
    struct table_column columns[RATING_ITEMS + 1] = {{"setup", TABLE_LEFT, false}};
    int items[RATING_ITEMS];
    int count = feeling_columns(items);
    for (int i = 0; i < count; i++) {
        enum feeling feeling = feeling_of(items[i]);
        columns[i + 1] =
            feeling != FEELING_ONE
                ? together[feeling]
                : (struct table_column){rating_fields[items[i]].heading, TABLE_LEFT, false};
    }
    struct table *table = table_create(columns, count + 1);
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        struct setup_digest digest;
        digest_setup(input, setup, &digest);
        if (digest.rating_count == 0) {
            continue;
        }
        table_cell_format(table, "%d", input->record->setup[setup].number);
        for (int i = 0; i < count; i++) {
            char text[4 * SAY_SIZE];
            enum feeling feeling = feeling_of(items[i]);
            if (feeling == FEELING_DISCOMFORT) {
                digest_discomfort_text(input, &digest, text, sizeof text);
            } else if (feeling == FEELING_NUMB) {
                numb_text(&digest, text, sizeof text);
            } else {
                digest_item_text(input, &digest, items[i], text, sizeof text);
            }
            table_cell(table, text);
        }
    }
    bool done = true;
    if (table_rows(table) > 0 || table == NULL) {
        paper_title(paper, "What the rider says");
        done = paper_table(paper, table, problem);
    }
    table_destroy(table);
    return done;
}

bool section_steadiness(struct paper *paper, const struct report_input *input,
                        struct problem *problem)
{
    return keeping_table(paper, input, problem) && feeling_table(paper, input, problem);
}
