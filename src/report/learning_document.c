/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A rider's practice, on whatever paper. */
#include "report/cautions.h"
#include "report/learning.h"
#include "report/ride_table.h"

#include "base/text.h"
#include "measure/rules.h"
#include "say/learning.h"
#include "say/ride.h"
#include "say/say.h"

#include <math.h>
#include <stdlib.h>

#define TEXT (2 * SAY_SIZE)
#define NARROWEST 40

void learning_title(const struct learning *learning, char *text, size_t size)
{
    char first[SAY_SIZE], last[SAY_SIZE];
    size_t used = 0;
    text_copy(text, size, "");
    if (learning->day_count == 0) {
        text_append(text, size, &used, "%s: no practice yet", learning->rider_code);
        return;
    }
    say_day(first, sizeof first, learning->day[0].at_ms);
    say_day(last, sizeof last, learning->day[learning->day_count - 1].at_ms);
    text_append(text, size, &used, "%s, %d session%s of practice, %s%s%s", learning->rider_code,
                learning->day_count, learning->day_count == 1 ? "" : "s", first,
                learning->day_count == 1 ? "" : " to ", learning->day_count == 1 ? "" : last);
}

static void verdicts(struct paper *paper, const struct learning *learning)
{
    char text[TEXT];
    for (int c = 0; c < learning->channel_count; c++) {
        say_practice_change(text, sizeof text, &learning->of[c].practice, "before practice");
        paper_item(paper, "%s: %s.", learning->channel[c], text);
        if (learning->of[c].has_keep) {
            say_practice_change(text, sizeof text, &learning->of[c].keep, "while practising");
            paper_item(paper, "%s, weeks after the last practice: %s.", learning->channel[c], text);
        }
        if (learning->of[c].has_lasting) {
            say_lasting(text, sizeof text, &learning->of[c].lasting);
            paper_item(paper, "%s, %s.", learning->channel[c], text);
        }
        if (learning->of[c].depends) {
            paper_item(paper,
                       "%s: kept while told, not without: fewer pieces with the gauge, twice "
                       "over %.0f points apart.",
                       learning->channel[c], 100.0 * DEPENDENCE_SHARE);
        }
    }
    if (learning->channel_count == 0) {
        paper_item(paper, "There is no test with a target and a band yet.");
    }
}

static void share_cell(struct table *table, const struct learning_test *test, int channel)
{
    char share[SAY_SIZE], low[SAY_SIZE], high[SAY_SIZE];
    double from, to;
    if (!test->has[channel]) {
        table_cell(table, "-");
        return;
    }
    practice_share_interval(&test->result[channel], &from, &to);
    say_percent(share, sizeof share, test->result[channel].share);
    say_whole(low, sizeof low, 100.0 * from);
    say_whole(high, sizeof high, 100.0 * to);
    table_cell_format(table, "%s (%s-%s)", share, low, high);
}

static void kept_cell(struct table *table, const struct learning_test *test, int channel)
{
    char text[SAY_SIZE];
    if (!test->has[channel]) {
        table_cell(table, "-");
        return;
    }
    say_duration(text, sizeof text, round(test->result[channel].kept_s));
    table_cell_format(table, "%s%s", test->result[channel].at_least ? "\u2265 " : "", text);
}

static bool tests_table(struct paper *paper, const struct learning *learning, int channel,
                        int64_t since_ms, struct problem *problem)
{
    static const struct table_column columns[] = {
        {"test", TABLE_LEFT, false},         {"phase", TABLE_LEFT, false},
        {"in the band", TABLE_LEFT, false},  {"kept", TABLE_LEFT, false},
        {"guess", TABLE_RIGHT, false},       {"from target\nmm", TABLE_RIGHT, false},
        {"cues\na min", TABLE_RIGHT, false}, {"left out, and why", TABLE_LEFT, true},
    };
    struct table *table = table_create(columns, sizeof columns / sizeof columns[0]);
    for (int t = 0; t < learning->test_count; t++) {
        const struct learning_test *test = &learning->test[t];
        char text[SAY_SIZE], doubt[TEXT];
        if (test->at_ms < since_ms) {
            continue;
        }
        say_day(text, sizeof text, test->at_ms);
        table_cell(table, text);
        table_cell(table, say_phases[test->phase]);
        share_cell(table, test, channel);
        kept_cell(table, test, channel);
        say_percent(text, sizeof text, test->guessed_share);
        table_cell(table, text);
        say_signed(text, sizeof text, test->has[channel] ? test->offset_mm[channel] : (double)NAN,
                   0);
        table_cell(table, text);
        say_number(text, sizeof text,
                   test->has[channel] ? test->cues_per_min[channel] : (double)NAN, 1);
        table_cell(table, text);
        say_test_doubt(doubt, sizeof doubt, test->left_out, test->board_apart_mm);
        table_cell(table, doubt);
    }
    bool done = true;
    if (table_rows(table) > 0 || table == NULL) {
        char title[CHANNEL_NAME_SIZE + 16];
        snprintf(title, sizeof title, "The tests: %s", learning->channel[channel]);
        paper_title(paper, title);
        done = paper_table(paper, table, problem);
    }
    table_destroy(table);
    return done;
}

static void discomfort_cell(struct table *table, const double values[RATING_ITEMS])
{
    char text[SAY_SIZE];
    say_discomfort(text, sizeof text, values);
    table_cell(table, text);
}

static bool days_table(struct paper *paper, const struct learning_report *report,
                       struct problem *problem)
{
    static const struct table_column columns[] = {
        {"session", TABLE_LEFT, false},
        {"pieces", TABLE_RIGHT, false},
        {"all", TABLE_RIGHT, false},
        {"longest", TABLE_RIGHT, false},
        {"ride", TABLE_RIGHT, false},
        {"not done", TABLE_LEFT, true},
        {"discomfort\nat the end", TABLE_LEFT, true},
        {"next\nmorning", TABLE_LEFT, true},
    };
    const struct learning *learning = report->learning;
    struct table *table = table_create(columns, report->health ? 8 : 6);
    for (int d = 0; d < learning->day_count; d++) {
        const struct learning_day *day = &learning->day[d];
        char text[SAY_SIZE];
        if (day->at_ms < report->since_ms) {
            continue;
        }
        say_day(text, sizeof text, day->at_ms);
        table_cell(table, text);
        table_cell_format(table, "%d", day->pieces);
        const double lengths_s[] = {day->piece_s, day->longest_s, day->ride_s};
        for (int i = 0; i < 3; i++) {
            say_duration(text, sizeof text, round(lengths_s[i]));
            table_cell(table, lengths_s[i] > 0 ? text : "-");
        }
        table_cell_format(table, "%s%s%s", day->test < 0 ? "no test" : "",
                          day->test < 0 && day->untold ? ", " : "",
                          day->untold ? "how it felt" : "");
        if (report->health) {
            discomfort_cell(table, day->discomfort);
            if (d + 1 < learning->day_count) { /* asked at the next session's start */
                discomfort_cell(table, learning->day[d + 1].morning);
            } else {
                table_cell(table, "-");
            }
        }
    }
    bool done = true;
    if (table_rows(table) > 0 || table == NULL) {
        paper_title(paper, "What was done");
        done = paper_table(paper, table, problem);
    }
    table_destroy(table);
    return done;
}

/* Each ride in a line, and its quarters beside each other, part by part. */
static bool rides(struct paper *paper, const struct learning_report *report,
                  struct problem *problem)
{
    const struct learning *learning = report->learning;
    struct table *table = ride_table_create();
    for (int r = 0; r < learning->ride_count; r++) {
        const struct learning_ride *ride = &learning->ride[r];
        char day[SAY_SIZE], whole[SAY_SIZE], doubt[TEXT];
        if (ride->at_ms < report->since_ms) {
            continue;
        }
        if (table_rows(table) == 0) {
            paper_title(paper, "Long rides");
        }
        say_day(day, sizeof day, ride->at_ms);
        say_ride_whole(whole, sizeof whole, &ride->summary);
        say_test_doubt(doubt, sizeof doubt, ride->doubt, ride->board_apart_mm);
        paper_item(paper, "%s: %s%s%s.", day, whole, doubt[0] == '\0' ? "" : "; but: ", doubt);
        ride_table_add(table, day, &ride->summary);
    }
    return ride_table_end(paper, table, problem);
}

static bool picture(struct paper *paper, const struct learning_report *report,
                    struct problem *problem)
{
    char *text = NULL;
    size_t length = 0;
    FILE *stream = open_memstream(&text, &length);
    if (stream != NULL && report->learning->test_count > 0) {
        plot_learning(stream, report, false);
    }
    bool done = stream != NULL && fclose(stream) == 0
                    ? paper_picture(paper, PICTURE_ACROSS, text, problem)
                    : problem_set(problem, "no memory for a picture");
    free(text);
    return done;
}

static void next_session(struct paper *paper, const struct learning *learning)
{
    char next[NEXT_SENTENCES][512];
    int sentences = say_next_session(learning, next);
    for (int i = 0; i < sentences; i++) {
        paper_item(paper, "%s", next[i]);
    }
}

static void cautions(struct paper *paper)
{
    paper_note(paper, "%s", report_cautions[CAUTION_BODY]);
    paper_note(paper, "%s", report_cautions[CAUTION_SIGHT]);
}

/* The rider's page: what comes next, and the picture. */
static bool riders_page(struct paper *paper, const struct learning_report *report,
                        struct problem *problem)
{
    char title[SAY_SIZE];
    learning_title(report->learning, title, sizeof title);
    paper_part_begin(paper, "practice", "Your next session");
    next_session(paper, report->learning);
    paper_line(paper, "%s", title);
    bool done = picture(paper, report, problem);
    paper_note(paper, "On the trainer only, the bike fixed, somebody within call; a fan, something "
                      "to drink.");
    cautions(paper);
    paper_part_end(paper);
    return done;
}

bool learning_document(struct paper *paper, const struct learning_report *report,
                       struct problem *problem)
{
    const struct learning *learning = report->learning;
    char title[SAY_SIZE];
    if (report->for_rider) {
        return riders_page(paper, report, problem);
    }
    learning_title(learning, title, sizeof title);
    paper_part_begin(paper, "practice", "Practice over weeks");
    paper_line(paper, "%s", title);
    paper_title(paper, "What the tests show");
    verdicts(paper, learning);
    paper_title(paper, "The next session");
    next_session(paper, learning);
    bool done = picture(paper, report, problem);
    for (int c = 0; done && c < learning->channel_count; c++) {
        done = tests_table(paper, learning, c, report->since_ms, problem);
    }
    done = done && days_table(paper, report, problem) && rides(paper, report, problem);
    if (done) {
        if (learning->too_many > 0) {
            paper_note(paper, "%d sessions or tests found no room, and are not in it.",
                       learning->too_many);
        }
        paper_note(paper,
                   "A test is a hold of which nothing is shown. In brackets: its share is known "
                   "to that, 95 times in 100. \u2265: it was not lost in the test. Cues: as "
                   "often as one would have come, had the rider been told. 'Better' is "
                   "said of 1 in 100 riders who gain nothing; of those who gain it is said "
                   "seldom before many tests.");
        cautions(paper);
    }
    paper_part_end(paper);
    return done;
}

bool report_learning_text(FILE *stream, const struct learning_report *report, int width,
                          struct problem *problem)
{
    struct paper paper;
    paper_begin(&paper, &paper_text, stream, width < NARROWEST ? NARROWEST : width);
    bool done = learning_document(&paper, report, problem);
    paper_end(&paper);
    return done && (!ferror(stream) || problem_set(problem, "the report could not be written"));
}
