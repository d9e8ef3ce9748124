/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What the machine records, works out, says and asks for in made-up sessions. */
#include "session_lines.h"

#include "analysis/insight.h"
#include "record/stored.h"
#include "say/difference.h"
#include "say/hold_quality.h"
#include "say/holds.h"
#include "say/repeatability.h"
#include "say/say.h"
#include "say/setup.h"
#include "say/slip.h"
#include "session/view_json.h"
#include "support/outcome.h"
#include "support/session_drive.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RATE_HZ 50

/* A text of several lines, one line of the file each. */
static void pin_lines(const char *name, const char *text)
{
    char line[4000], numbered[60];
    for (int n = 0; *text != '\0'; n++) {
        size_t length = strcspn(text, "\n");
        snprintf(line, sizeof line, "%.*s", (int)(length < 3900 ? length : 3900), text);
        snprintf(numbered, sizeof numbered, "%s%d", name, n);
        outcome_text(numbered, line);
        text += length + (text[length] == '\n');
    }
}

static void pin_differences(const struct session_record *record, const struct analysis *analysis)
{
    char text[2000], name[60];
    for (int c = 0; c < analysis->channel_count; c++) {
        const struct comparison *free_holds = &analysis->free_heights[c];
        const struct comparison *guided = &analysis->guided_in_band[c];
        for (int s = 0; s < record->setup_count; s++) {
            snprintf(name, sizeof name, "channel%d.setup%d", c, s);
            say_difference(text, sizeof text, &free_holds->difference[s], SAY_LONG, "head");
            outcome_text(name, text);
            say_reason(text, sizeof text, &free_holds->difference[s]);
            outcome_text(name, text);
            outcome_number(name, free_holds->setup[s].mean);
            outcome_number(name, free_holds->setup[s].half_width);
            outcome_number(name, free_holds->difference[s].first_setup);
            say_share_difference(text, sizeof text, &guided->difference[s]);
            outcome_text(name, text);
            outcome_number(name, guided->setup[s].mean);
        }
        snprintf(name, sizeof name, "channel%d", c);
        outcome_number(name, free_holds->repeatability);
        outcome_number(name, free_holds->order_index);
        outcome_number(name, analysis->slip[c].apart_mm);
        outcome_number(name, analysis->step_open[c]);
        say_learnt(text, sizeof text, record, c, free_holds);
        outcome_text(name, text);
        say_own_spread(text, sizeof text, record, free_holds);
        outcome_text(name, text);
        say_channel_quality(text, sizeof text, record, analysis, c);
        outcome_text(name, text);
    }
    say_slip(text, sizeof text, record, analysis);
    outcome_text("slip", text);
}

static void pin_ties(const struct session_record *record, const struct analysis *analysis)
{
    char text[1000], name[60];
    for (int b = 0; b < record->build_count; b++) {
        for (int c = 0; c < analysis->channel_count; c++) {
            const struct tie *tie = &analysis->tie[b][c];
            snprintf(name, sizeof name, "build%d.channel%d", b, c);
            say_tie(text, sizeof text, tie, "head");
            outcome_text(name, text);
            say_tie_finding(text, sizeof text, tie, "head");
            outcome_text(name, text);
            say_tie_briefly(text, sizeof text, tie);
            outcome_text(name, text);
            outcome_number(name, tie->ends_apart_mm);
            outcome_number(name, analysis_height_mm(record, analysis, b, c, 2500));
        }
    }
}

static void pin_holds(const struct session_record *record, const struct analysis *analysis)
{
    char text[SAY_QUALITY_SIZE], name[60];
    for (int h = 0; h < record->hold_count; h++) {
        const struct hold_result *result = &analysis->hold[h];
        snprintf(name, sizeof name, "hold%d", h);
        say_hold_quality(text, record, analysis, h);
        outcome_text(name, text);
        say_hold_findings(text, sizeof text, hold_findings_of(&record->hold[h], result),
                          SAY_HOLD_PAGE);
        outcome_text(name, text);
        outcome_number(name, result->counts);
        outcome_number(name, result->start_s);
        outcome_number(name, result->duration_s);
        outcome_number(name, result->together ? result->ellipse.area : -1.0);
        outcome_number(name, result->sat_up_times);
        outcome_number(name, result->sat_up_s);
        outcome_number(name, result->posture_share);
        outcome_number(name, analysis_hold_is_long(analysis, h));
        for (int c = 0; c < analysis->channel_count; c++) {
            if (result->has[c]) {
                outcome_number(name, result->summary[c].mean_mm);
                outcome_number(name, result->summary[c].in_band_share);
                outcome_number(name, result->summary[c].offset_mm);
            }
        }
    }
}

static void pin_insight(const struct session_record *record, const struct snapshot *snapshot)
{
    const struct insight *insight = &snapshot->analysis.insight;
    const struct insight_page *page = &snapshot->insight;
    char text[600], name[60];
    pin_lines("criteria", page->criteria);
    pin_lines("standing", page->standing);
    pin_lines("notes", page->notes);
    pin_lines("next", page->next);
    for (int s = 0; s < page->step_count; s++) {
        snprintf(name, sizeof name, "step%d", s);
        snprintf(text, sizeof text, "%s %g %g %s %s", page->step[s].part, page->step[s].low,
                 page->step[s].high, page->step[s].each[0], page->step[s].each[1]);
        outcome_text(name, text);
    }
    for (int s = 0; s < record->setup_count; s++) {
        snprintf(name, sizeof name, "leads%d", s);
        insight_leads(&snapshot->analysis, s, text, sizeof text);
        outcome_text(name, text);
        outcome_number(name, insight->together[s] ? insight->ellipse[s].semi_major : -1.0);
    }
    outcome_number("from", insight_suggest_from(record, &snapshot->analysis));
}

static void pin_view(struct drive *drive, const struct snapshot *snapshot)
{
    struct view *view = calloc(1, sizeof *view);
    char *line = NULL, status[128];
    size_t length = 0;
    ck_assert_ptr_nonnull(view);
    view->snapshot = snapshot;
    session_fill_view(drive->session, view);
    FILE *stream = open_memstream(&line, &length);
    view_json_write(view, stream);
    fclose(stream);
    pin_lines("view", line);
    view_status_line(view, status, sizeof status);
    outcome_text("status", status);
    free(line);
    free(view);
}

/* What a record says, in a line; a field that says nothing is left out, so that one that comes new
 * changes no line. */
static void pin_record(const struct stored_table *table, const char *at)
{
    char text[4000];
    size_t used = 0;
    for (int f = 0; f < table->field_count && used < sizeof text - 300; f++) {
        struct stored_value value;
        if (table->field[f].type == STORED_KEPT) {
            continue;
        }
        stored_value(&table->field[f], at, 0, &value);
        const char *key = table->field[f].key;
        size_t room = sizeof text - used;
        int more = 0;
        if (value.is == STORED_IS_REAL) {
            more = snprintf(text + used, room, " %s=%.6g", key, value.real);
        } else if (value.is == STORED_IS_INTEGER && value.integer != 0) {
            more = snprintf(text + used, room, " %s=%lld", key, (long long)value.integer);
        } else if (value.is == STORED_IS_TEXT && value.text[0] != '\0') {
            more = snprintf(text + used, room, " %s='%.200s'", key, value.text);
        }
        used += (size_t)more;
    }
    text[used] = '\0';
    outcome_text(table->name, used > 0 ? text + 1 : "");
}

static void pin_records(const struct session_record *record)
{
    for (int id = 0; id < STORED_TABLES; id++) {
        const struct stored_table *table = stored_tables[id];
        if (id == TABLE_COMMAND || id == TABLE_SESSION || table->shape != SHAPE_RECORD) {
            continue;
        }
        int count = 0;
        memcpy(&count, (const char *)record + table->count_offset, sizeof count);
        for (int i = 0; i < count; i++) {
            pin_record(table, (const char *)record + table->offset + (size_t)i * table->size);
        }
    }
}

/* All that there is at the end. */
static void pin_all(struct drive *drive, const char *name)
{
    const struct session_record *record = session_records(drive->session);
    const struct snapshot *snapshot = drive_snapshot(drive);
    char event[40];
    outcome_of("%s.end", name);
    pin_ties(record, &snapshot->analysis);
    pin_holds(record, &snapshot->analysis);
    pin_differences(record, &snapshot->analysis);
    pin_insight(record, snapshot);
    for (int e = 0; e < snapshot->event_count; e++) {
        snprintf(event, sizeof event, "event%d", e);
        outcome_number(event, snapshot->event[e].at_s);
        outcome_text(event, snapshot->event[e].what);
        outcome_text(event, snapshot->event[e].text);
    }
    pin_view(drive, snapshot);
    pin_records(record);
}

/* What is asked for after a line. */
static void pin_next(struct drive *drive)
{
    static struct view view;
    view.snapshot = drive_snapshot(drive);
    session_fill_view(drive->session, &view);
    outcome_text("message", view.message);
    outcome_text("next", view.next_step);
    outcome_text("command", view.next_command);
    outcome_text("skip", view.next_skip);
    outcome_text("clock", view.clock_words);
    outcome_number("form", view.next);
    outcome_number("phase", view.phase);
    outcome_number("asked", view.asked_channel);
    outcome_number("undo_drops", view.undo_drops);
}

/* '=body 880 790', '=sensor 655 650': where they are from now on; '=wait 3' seconds. */
static bool arrange(struct drive *drive, const char *line)
{
    double one = 0.0, two = 0.0;
    if (sscanf(line, "=body %lf %lf", &one, &two) == 2) {
        drive->body_mm[0] = one;
        drive->body_mm[1] = two;
    } else if (sscanf(line, "=sensor %lf %lf", &one, &two) == 2) {
        drive->sensor_mm[0] = one;
        drive->sensor_mm[1] = two;
    } else if (sscanf(line, "=wait %lf", &one) == 1) {
        drive_samples(drive, (int)(one * RATE_HZ));
    } else if (strcmp(line, "=blind") == 0) {
        drive->quality = 1;
    } else if (strcmp(line, "=sees") == 0) {
        drive->quality = 0;
    } else {
        return false;
    }
    return true;
}

static void play(struct drive *drive, const char *name, const char *const *lines)
{
    for (int l = 0; lines[l] != NULL; l++) {
        struct problem problem = {.sentence = ""};
        outcome_of("%s.%d", name, l);
        if (arrange(drive, lines[l])) {
            continue;
        }
        outcome_text("line", lines[l]);
        if (!session_command(drive->session, lines[l], &problem)) {
            outcome_text("refused", problem.sentence);
        }
        bool begins = lines[l + 1] != NULL && strncmp(lines[l + 1], "=wait", 5) == 0;
        if (!begins) { /* else what it began goes on */
            drive_finish(drive);
        }
        pin_next(drive);
    }
    pin_all(drive, name);
}

static void begin(struct drive *drive, uint64_t seed)
{
    drive_start(drive, seed);
    random_seed(&drive->random, seed); /* whatever HOLDLINE_TEST_SEED is */
}

START_TEST(sessions)
{
    const struct outcome_session *session = &outcome_sessions[_i];
    struct drive drive;
    char path[100];
    snprintf(path, sizeof path, "session-%s", session->name);
    outcome_begin(path);
    begin(&drive, 300 + (uint64_t)_i);
    play(&drive, session->name, session->lines);
    drive_end(&drive);
    outcome_end();
}
END_TEST

/* Each command with words that are right for some and wrong for others. */
START_TEST(answers)
{
    static const char *const tails[] = {
        "",         " nonsense",  " 0",           " 1",         " 2",          " 100",
        " -1",      " 1.5",       " \"x\"",       " 1 \"x\"",   " \"x",        " head=10",
        " head=-5", " head=9999", " head=+10/-5", " nose=4",    " 5s",         " 2s",
        " 100h",    " yes",       " no",          " all",       " rider",      " off",
        " none",    " 9 8",       " spacers=10",  " spacers=x", " spacers=-4", " settle=5s",
    };
    struct drive drive;
    outcome_begin("session-answers");
    begin(&drive, 299);
    drive_describe(&drive);
    drive_do(&drive, "setup 1 \"as it came\"");
    drive_samples(&drive, 800);
    drive_do(&drive, "keep 10s");
    for (int c = 0; c < session_command_count(); c++) {
        const char *stays = NULL, *word = session_command_word(c, &stays);
        for (size_t t = 0; t < sizeof tails / sizeof tails[0] && strcmp(word, "end") != 0; t++) {
            struct problem problem = {.sentence = ""};
            char line[80];
            uint64_t serial = 0;
            snprintf(line, sizeof line, "%s%s", word, tails[t]);
            outcome_of("%s", "answer");
            outcome_text("to", line);
            bool done = session_command(drive.session, line, &problem);
            outcome_text(done ? "done" : "refused",
                         done ? session_message(drive.session, &serial) : problem.sentence);
            drive_samples(&drive, 10);
            if (session_phase(drive.session) != VIEW_LIVE) {
                session_command(drive.session, "stop", &problem);
            }
        }
    }
    drive_end(&drive);
    outcome_end();
}
END_TEST

/* Any of these, one after the other: most can be done at any time, or are refused with a word. */
START_TEST(walks)
{
    struct drive drive;
    char path[100];
    snprintf(path, sizeof path, "session-walk%d", _i);
    outcome_begin(path);
    begin(&drive, 400 + (uint64_t)_i);
    drive_describe(&drive);
    drive_samples(&drive, 500);
    struct random_source source;
    random_seed(&source, 500 + (uint64_t)_i);
    for (int step = 0; step < 160; step++) {
        struct problem problem = {.sentence = ""};
        uint64_t serial = 0;
        size_t which = (size_t)(random_uniform(&source) * WALKED);
        bool done = session_command(drive.session, walked[which], &problem);
        outcome_of("walk%d.%d", _i, step);
        outcome_text("line", walked[which]);
        outcome_text(done ? "done" : "refused",
                     done ? session_message(drive.session, &serial) : problem.sentence);
        drive.body_mm[0] = 880.0 + 4.0 * (double)(step % 7);
        drive_samples(&drive, (int)(random_uniform(&source) * 300.0));
        if (random_uniform(&source) < 0.6) {
            drive_finish(&drive);
        }
        if (step % 10 == 9) {
            pin_next(&drive);
        }
    }
    outcome_of("walk%d.end", _i);
    pin_records(session_records(drive.session));
    pin_ties(session_records(drive.session), session_analysis(drive.session));
    pin_differences(session_records(drive.session), session_analysis(drive.session));
    drive_end(&drive);
    outcome_end();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("outcome_sessions");
    TCase *tests = tcase_create("outcome_sessions");
    tcase_set_timeout(tests, 120);
    suite_add_tcase(suite, tests);
    tcase_add_loop_test(tests, sessions, 0, OUTCOME_SESSIONS);
    tcase_add_test(tests, answers);
    tcase_add_loop_test(tests, walks, 0, 3);
    return test_main(suite);
}
