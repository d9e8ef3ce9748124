/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* How far the comparison's numbers can be trusted, in words. */
#include "analysis/hold_use.h"
#include "base/text.h"
#include "channel_items.h"
#include "measure/rules.h"
#include "report/digest.h"
#include "report/sections.h"
#include "say/repeatability.h"

#include <math.h>

/* '5.0 (3.1 to 12.3)' */
static void repeat_cell(struct table *table, const struct comparison *comparison)
{
    char spread[64], low[64], high[64];
    if (!comparison->has_repeatability) {
        table_cell(table, "not known");
        return;
    }
    say_number(spread, sizeof spread, comparison->repeatability, 1);
    say_number(low, sizeof low, comparison->repeatability_low, 1);
    say_number(high, sizeof high, comparison->repeatability_high, 1);
    table_cell_format(table, "%s (%s to %s)%s", spread, low, high,
                      comparison->provisional ? " provisional" : "");
}

static void order_cell(struct table *table, const struct comparison *comparison)
{
    char slope[64], low[64], high[64];
    if (!comparison->order_fitted) {
        table_cell(table, "-");
        return;
    }
    say_signed(slope, sizeof slope, comparison->order_per_hold, 1);
    say_signed(low, sizeof low, comparison->order_per_hold - comparison->order_half_width, 1);
    say_signed(high, sizeof high, comparison->order_per_hold + comparison->order_half_width, 1);
    table_cell_format(table, "%s (%s to %s)", slope, low, high);
}

/* The worst over the setups that are tied, as 95 %. */
static void tie_cell(struct table *table, const struct comparison *comparison)
{
    double worst = 0;
    char text[64];
    int tied = 0, others = 0;
    for (int setup = 0; setup < comparison->setup_count; setup++) {
        const struct setup_estimate *estimate = &comparison->setup[setup];
        double error = comparison->difference[setup].tie_error;
        if (estimate->holds == 0 || setup == comparison->baseline) {
            continue;
        }
        others++;
        tied += estimate->tied ? 1 : 0;
        if (isfinite(error) && error > worst) {
            worst = error;
        }
    }
    if (others > 0 && tied == 0) {
        table_cell(table, "not tied");
        return;
    }
    say_number(text, sizeof text, NORMAL_95 * worst, 1);
    table_cell_format(table, "±%s", text);
}

static void channel_row(struct table *table, const struct comparison *comparison, const char *name,
                        bool withheld)
{
    char least[64];
    table_cell(table, name);
    repeat_cell(table, comparison);
    say_whole(least, sizeof least,
              comparison->has_repeatability ? ceil(comparison->smallest_detectable - 1e-6)
                                            : (double)NAN);
    table_cell(table, least);
    order_cell(table, comparison);
    if (withheld) {
        table_cell(table, "moved?");
        return;
    }
    tie_cell(table, comparison);
}

/* A sentence about one channel, without its name; "" = nothing to say. */
typedef void channel_words(const struct report_input *input, int channel, char *text, size_t size);

static void unrepeated_words(const struct report_input *input, int channel, char *text, size_t size)
{
    text_copy(text, size, "");
    if (analysis_is_withheld(input->analysis, channel)) {
        text_copy(text, size,
                  "did its sensor move? Until that is answered its means stand without limits, "
                  "and how well holds repeat is not known.");
    } else if (!input->analysis->free_heights[channel].has_repeatability) {
        text_copy(text, size,
                  "no setup has been held twice, so it is not known how far the same setup "
                  "differs from itself; the means stand without limits.");
    }
}

static void mixed_words(const struct report_input *input, int channel, char *text, size_t size)
{
    const struct comparison *comparison = &input->analysis->free_heights[channel];
    char share[64];
    text_copy(text, size, "");
    if (comparison->order_index > ORDER_INDEX_TOLD) {
        say_percent(share, sizeof share, comparison->order_index);
        snprintf(text, size,
                 "%s of the order of the holds is the setups themselves: what tiredness did and "
                 "what the setup did are mixed as far. Going back to the first setup parts them.",
                 share);
    }
}

/* Holds that differ much in length: the differences once more, the long ones counted for more. */
static void uneven_words(const struct report_input *input, int channel, char *text, size_t size)
{
    const struct comparison *comparison = &input->analysis->free_heights[channel];
    char shortest[64], longest[64], list[2 * SAY_SIZE] = "";
    size_t used = 0;
    for (int setup = 0; setup < comparison->setup_count; setup++) {
        const struct setup_difference *difference = &comparison->difference[setup];
        char value[64], low[64], high[64];
        if (!difference->has_second) {
            continue;
        }
        say_signed(value, sizeof value, difference->second_difference, 0);
        say_signed(low, sizeof low, difference->second_low, 0);
        say_signed(high, sizeof high, difference->second_high, 0);
        text_append(list, sizeof list, &used, "%ssetup %d %s mm (%s to %s)", used == 0 ? "" : ", ",
                    input->record->setup[setup].number, value, low, high);
    }
    text_copy(text, size, "");
    if (used > 0) {
        say_whole(shortest, sizeof shortest, comparison->shortest_s);
        say_whole(longest, sizeof longest, comparison->longest_s);
        snprintf(text, size,
                 "the holds are %s to %s s long. With long ones counted for more: %s. A second "
                 "opinion: the verdicts above count every hold alike, which does as well.",
                 shortest, longest, list);
    }
}

/* Setups for which a flag of the estimate holds on this channel. */
static int flagged(const struct report_input *input, const struct comparison *comparison, bool once,
                   int numbers[SETUPS_MAX])
{
    int count = 0;
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        const struct setup_estimate *estimate = &comparison->setup[setup];
        bool flag = once ? estimate->built_once : estimate->borrowed_repeatability;
        if (estimate->holds > 0 && flag) {
            numbers[count++] = input->record->setup[setup].number;
        }
    }
    return count;
}

/* What the limits rest on, and where a setup is another matter. */
static void learnt_words(const struct report_input *input, int channel, char *text, size_t size)
{
    char learnt[2 * SAY_SIZE];
    say_learnt(learnt, sizeof learnt, input->record, channel,
               &input->analysis->free_heights[channel]);
    snprintf(text, size, learnt[0] != '\0' ? "held again, %s." : "%s", learnt);
}

static void assumed_words(const struct report_input *input, int channel, char *text, size_t size)
{
    const struct comparison *comparison = &input->analysis->free_heights[channel];
    char words[2 * SAY_SIZE];
    text_copy(text, size, "");
    for (int setup = 0; setup < input->record->setup_count && text[0] == '\0'; setup++) {
        if (comparison->setup[setup].assumed) {
            say_assumed(words, sizeof words);
            snprintf(text, size, "limits of one setup: %s.", words);
        }
    }
}

static void own_spread_words(const struct report_input *input, int channel, char *text, size_t size)
{
    char spread[2 * SAY_SIZE];
    say_own_spread(spread, sizeof spread, input->record, &input->analysis->free_heights[channel]);
    snprintf(text, size, spread[0] != '\0' ? "%s." : "%s", spread);
}

static void reaching_words(const struct report_input *input, int channel, char *text, size_t size)
{
    char reach[2 * SAY_SIZE];
    say_reaches_on(reach, sizeof reach, input->record, &input->analysis->free_heights[channel]);
    snprintf(text, size, reach[0] != '\0' ? "%s." : "%s", reach);
}

static void spread_unseen_words(struct paper *paper, const struct report_input *input)
{
    char text[SAY_SIZE] = "";
    for (int c = 0; c < input->analysis->channel_count && text[0] == '\0'; c++) {
        if (input->analysis->body[c]) {
            say_spread_unseen(text, sizeof text, &input->analysis->free_heights[c]);
        }
    }
    if (text[0] != '\0') {
        paper_item(paper, "%s", text);
    }
}

static void built_once_words(struct paper *paper, const struct report_input *input)
{
    int numbers[SETUPS_MAX];
    char list[SAY_SIZE];
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        const struct comparison *comparison = &input->analysis->free_heights[channel];
        int count = input->analysis->body[channel] ? flagged(input, comparison, true, numbers) : 0;
        if (count > 0) {
            say_list(list, sizeof list, "Setup", "Setups", numbers, count);
            paper_item(
                paper,
                "%s %s built once: what taking the parts off and putting them on again does is "
                "hidden in %s numbers. A second build would show it.",
                list, count == 1 ? "was" : "were", count == 1 ? "its" : "their");
            return;
        }
    }
}

static void borrowed_words(const struct report_input *input, int channel, char *text, size_t size)
{
    int numbers[SETUPS_MAX];
    char list[SAY_SIZE];
    int count = flagged(input, &input->analysis->free_heights[channel], false, numbers);
    text_copy(text, size, "");
    if (count > 0) {
        say_list(list, sizeof list, "setup", "setups", numbers, count);
        snprintf(text, size,
                 "one hold only on %s; the limits borrow how far the other setups differ from "
                 "themselves.",
                 list);
    }
}

static void legend(struct paper *paper, bool provisional)
{
    paper_item(paper, "± and (from to): the true value lies within, 95 times in 100. For setups "
                      "and differences "
                      "that holds from hold to hold, not only within one; what all heights are off "
                      "by together is not in it.");
    paper_item(paper,
               "Held again: standard deviation of the same setup from hold to hold%s. Least seen: "
               "two single holds that differ by less can't be told apart.",
               provisional ? " (provisional: few repeats so far)" : "");
    paper_item(
        paper,
        "Order: how far the height moved from each hold to the next as the session went on; "
        "where "
        "there is a number, the comparison allows for it. Sensors: what not knowing better where "
        "they went adds to a difference; more holds don't make that smaller.");
}

static void level_words(const struct report_input *input, int channel, char *text, size_t size)
{
    const struct session_record *record = input->record;
    char level[2 * SAY_SIZE] = "";
    if (record->build_count > 0) {
        say_tie_level(level, sizeof level, &input->analysis->tie[0][channel],
                      &record->setup[record->build[0].setup].bike);
    }
    snprintf(text, size, level[0] != '\0' ? "%s." : "%s", level);
}

static int free_holds(const struct report_input *input, int channel)
{
    int holds = 0;
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        holds += input->analysis->free_heights[channel].setup[setup].holds;
    }
    return input->analysis->body[channel] ? holds : 0;
}

static void tell_channels(struct paper *paper, const struct report_input *input,
                          channel_words *words)
{
    struct channel_items items = {.count = 0};
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        if (free_holds(input, channel) > 0) {
            words(input, channel, items.text[items.count], CHANNEL_ITEM_SIZE);
            items.name[items.count++] = input->analysis->channel_name[channel];
        }
    }
    channel_items_write(paper, &items, ": ");
}

bool section_certainty(struct paper *paper, const struct report_input *input,
                       struct problem *problem)
{
    static const struct table_column columns[] = {
        {"channel", TABLE_LEFT, true},          {"held again\nmm", TABLE_LEFT, false},
        {"least seen\nmm", TABLE_RIGHT, false}, {"order\nmm a hold", TABLE_LEFT, false},
        {"sensors\nmm", TABLE_LEFT, false},
    };
    static channel_words *const words[] = {level_words,  unrepeated_words, borrowed_words,
                                           learnt_words, assumed_words,    own_spread_words,
                                           uneven_words, mixed_words,      reaching_words};
    const struct analysis *analysis = input->analysis;
    struct table *table = table_create(columns, 5);
    bool done = true, provisional = false;
    for (int channel = 0; channel < analysis->channel_count; channel++) {
        if (free_holds(input, channel) > 0) {
            channel_row(table, &analysis->free_heights[channel], analysis->channel_name[channel],
                        analysis_is_withheld(analysis, channel));
            provisional = provisional || analysis->free_heights[channel].provisional;
        }
    }
    if (table_rows(table) > 0 || table == NULL) {
        paper_title(paper, "How sure this is");
        done = paper_table(paper, table, problem);
        legend(paper, provisional);
    }
    table_destroy(table);
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        tell_channels(paper, input, words[i]);
    }
    built_once_words(paper, input);
    spread_unseen_words(paper, input);
    return done;
}
