/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Several sessions of one rider, as text. */
#include "report/across.h"

#include "base/text.h"
#include "measure/rules.h"
#include "report/paper.h"
#include "report/report.h"
#include "say/drag.h"
#include "say/say.h"
#include "say/visits.h"

#include <math.h>
#include <string.h>

#define NARROWEST 40
#define CELL_SIZE 1536
static void day_text(char *text, size_t size, const struct across_session *session)
{
    char date[SAY_SIZE];
    say_date(date, sizeof date, session->record->started_ms);
    date[strcspn(date, " ")] = '\0'; /* '2026-01-10 18:00 UTC' */
    text_copy(text, size, date);
}

static void heading(struct paper *paper, const struct across *across)
{
    const struct rider_record *rider = &across->session[0].record->rider;
    paper_line(paper, "%s%s%s: %d session%s", rider->code, rider->name[0] != '\0' ? "  " : "",
               rider->name, across->session_count, across->session_count == 1 ? "" : "s");
    for (int s = 0; s < across->session_count; s++) {
        const struct across_session *session = &across->session[s];
        char date[SAY_SIZE];
        int setups = 0, holds = 0;
        say_date(date, sizeof date, session->record->started_ms);
        for (int i = 0; i < across->setup_count; i++) {
            setups += across->setup[i].number_in[s] > 0 ? 1 : 0;
            holds += across->setup[i].holds_in[s];
        }
        paper_line(paper, "session %lld, %s%s%s: %d setup%s, %d free hold%s",
                   (long long)session->id, date, session->record->has_bike ? ", " : "",
                   session->record->bike.name, setups, setups == 1 ? "" : "s", holds,
                   holds == 1 ? "" : "s");
    }
}

static void where_text(char *text, size_t size, const struct across *across, int setup)
{
    size_t used = 0;
    text[0] = '\0';
    for (int s = 0; s < across->session_count; s++) {
        const struct across_setup *one = &across->setup[setup];
        if (one->number_in[s] > 0) {
            char day[16];
            day_text(day, sizeof day, &across->session[s]);
            text_append(text, size, &used, "%s%s, setup %d (%d hold%s)", used > 0 ? "\n" : "", day,
                        one->number_in[s], one->holds_in[s], one->holds_in[s] == 1 ? "" : "s");
        }
    }
}

static void against_text(char *text, size_t size, const struct across *across, int setup)
{
    size_t used = 0;
    text_copy(text, size, setup == across->baseline ? "-" : "");
    for (int c = 0; setup != across->baseline && c < across->channel_count; c++) {
        char words[SAY_SIZE];
        say_difference(words, sizeof words, &across->channel[c].heights.difference[setup], SAY_LONG,
                       NULL);
        if (words[0] != '\0') {
            text_append(text, size, &used, "%s%s: %s", used > 0 ? "\n" : "",
                        across->channel[c].name, words);
        }
    }
}

static bool setups_table(struct paper *paper, const struct across *across, struct problem *problem)
{
    struct table_column columns[4 + CHANNELS_MAX] = {{"setup", TABLE_LEFT, true},
                                                     {"when", TABLE_LEFT, false}};
    char heads[CHANNELS_MAX][CHANNEL_NAME_SIZE + 4], against[32], cell[CELL_SIZE];
    int count = 2;
    for (int c = 0; c < across->channel_count; c++) {
        snprintf(heads[c], sizeof heads[c], "%s\nmm", across->channel[c].name);
        columns[count++] = (struct table_column){heads[c], TABLE_LEFT, false};
    }
    snprintf(against, sizeof against, "against %d\nmm", across->baseline + 1);
    columns[count++] = (struct table_column){against, TABLE_LEFT, true};
    struct table *table = table_create(columns, count);
    for (int i = 0; i < across->setup_count; i++) {
        const struct across_setup *setup = &across->setup[i];
        table_cell_format(table, "%d  %s", i + 1,
                          across->session[setup->session].record->setup[setup->setup].intent);
        where_text(cell, sizeof cell, across, i);
        table_cell(table, cell);
        for (int c = 0; c < across->channel_count; c++) {
            const struct setup_estimate *estimate = &across->channel[c].heights.setup[i];
            bool shown = estimate->holds > 0 && estimate->tied;
            say_mean(cell, sizeof cell, shown ? estimate->mean : (double)NAN,
                     estimate->has_interval, estimate->half_width);
            table_cell(table, shown ? cell : estimate->holds > 0 ? "not tied" : "-");
        }
        against_text(cell, sizeof cell, across, i);
        table_cell(table, cell);
    }
    bool done = paper_table(paper, table, problem);
    table_destroy(table);
    return done;
}

static void tied_text(char *text, size_t size, const struct across *across,
                      const struct across_channel *channel)
{
    size_t used = 0;
    text[0] = '\0';
    for (int s = 0; s < across->session_count; s++) {
        char day[16], half[SAY_SIZE];
        day_text(day, sizeof day, &across->session[s]);
        if (isfinite(channel->u_session_mm[s])) {
            say_number(half, sizeof half, NORMAL_95 * channel->u_session_mm[s], 1);
            text_append(text, size, &used, "%s%s ±%s mm", used > 0 ? ", " : "", day, half);
        }
    }
}

static void sureness(struct paper *paper, const struct across *across)
{
    paper_title(paper, "What ties the sessions");
    paper_paragraph(paper, "The bottom bracket is the same each time; how high the sensors were "
                           "over it is one number for a whole session. More holds don't make that "
                           "surer: a tape on the sensor does.");
    for (int c = 0; c < across->channel_count; c++) {
        const struct across_channel *channel = &across->channel[c];
        char text[CELL_SIZE];
        tied_text(text, sizeof text, across, channel);
        if (text[0] != '\0') {
            paper_item(paper, "%s: sensor's height against the other sessions: %s", channel->name,
                       text);
        }
        for (int s = 0; s < across->session_count; s++) {
            char day[16], reason[SAY_SIZE];
            day_text(day, sizeof day, &across->session[s]);
            const struct session_record *record = across->session[s].record;
            bool runs_alone = record->hold_count == 0 && record->run_count > 0;
            say_apart(reason, sizeof reason, channel, s);
            if (reason[0] != '\0' && !runs_alone) {
                paper_item(paper, "%s, session of %s: %s. Within it: 'holdline compare %lld'",
                           channel->name, day, reason, (long long)across->session[s].id);
            }
        }
    }
    paper_item(paper, "Straps and marks are put on anew each day, and a rider is not the same each "
                      "day. Only a setup that was held on several days shows what that does; "
                      "otherwise no interval here has it in it.");
}

/* ---- drag: runs of a session beside the heights of all ---------------------------------------
 */

/* What a setup of a day of runs came to on the trainer, of either session: joined by its parts. */
static void heights_of(struct paper *paper, const struct across *across, int session, int setup)
{
    const struct drag_analysis *drag = &across->session[session].analysis->drag;
    int here = across_find_setup(across, session, setup);
    int baseline = across_find_setup(across, session, drag->compare.baseline);
    const struct setup_difference *of = &drag->compare.difference[setup];
    if (here < 0 || baseline != across->baseline || !of->has_interval) {
        return;
    }
    for (int c = 0; c < across->channel_count; c++) {
        const struct setup_difference *d = &across->channel[c].heights.difference[here];
        if (d->has_interval) {
            const double mm[] = {d->difference, d->low, d->high},
                         m2[] = {of->difference, of->low, of->high};
            char text[SAY_SIZE];
            say_drag_beside_height(text, sizeof text, across->channel[c].name, mm, m2);
            paper_item(paper, "%s", text);
        }
    }
}

static void runs(struct paper *paper, const struct across *across)
{
    bool any = false;
    for (int s = 0; s < across->session_count; s++) {
        const struct across_session *session = &across->session[s];
        char day[16], line[2 * SAY_SIZE];
        if (session->record->run_count == 0) {
            continue;
        }
        if (!any) {
            paper_title(paper, "Drag on the course");
        }
        any = true;
        day_text(day, sizeof day, session);
        for (int i = 0; i < session->record->setup_count; i++) {
            say_drag_line(line, sizeof line, session->record, &session->analysis->drag, i);
            if (line[0] != '\0') {
                paper_paragraph(paper, "%s: %s", day, line);
                heights_of(paper, across, s, i);
            }
        }
    }
    if (any) {
        paper_paragraph(paper, "%s %s", say_drag_never_alone, say_drag_not_the_same);
    }
}

bool report_across_text(FILE *stream, const struct across *across, int width,
                        struct problem *problem)
{
    struct paper paper;
    paper_begin(&paper, &paper_text, stream, width < NARROWEST ? NARROWEST : width);
    heading(&paper, across);
    paper_title(&paper, "What the setups show");
    paper_paragraph(&paper, "Heights above the bottom bracket in free holds (gauge hidden). The "
                            "same parts on the same bike are one setup.");
    if (!setups_table(&paper, across, problem)) {
        return false;
    }
    runs(&paper, across);
    sureness(&paper, across);
    paper_end(&paper);
    return !ferror(stream) || problem_set(problem, "the report could not be written");
}
