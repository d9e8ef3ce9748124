/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/fault_model.h"

#include "support/number_in_store.h"

#include <dirent.h>
#include <sqlite3.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define LACKS_MOST_US 250000
#define AXIS_US 100000
/* A pseudo-terminal keeps lines until it is opened again, and they come late; no cable does. */
#define REOPENED_US 200000
#define FIRST_RANGE 1000 /* tenths of a millimetre: of line 0 (fault_world.c) */
/* Of the session that is tried; an earlier one in the store has number 1. */
#define SESSION "(SELECT max(id) FROM session WHERE id > %d)"
#define SAMPLES                                                                                    \
    "SELECT x.v1, x.rig_us, x.quality >> 25 FROM sample x JOIN session s ON s.id = " SESSION       \
    " AND x.n BETWEEN s.first_n AND s.last_n ORDER BY x.n "

struct found {
    const struct fault_world *world;
    const struct fault_seen *seen;
    char *why;
    size_t size;
    char store[600], *said;
    bool stored[WORLD_LINES], saved[WORLD_LINES];
    int first, last; /* stored; -1: none */
};

static bool wrong(const struct found *found, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static bool wrong(const struct found *found, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(found->why, found->size, format, arguments);
    va_end(arguments);
    return false;
}

static const char *at(const struct fault_world *world, const char *of, const char *name)
{
    return fault_folder_path(world->folder, of, name);
}

int64_t fault_model_committed(const struct fault_world *world)
{
    char sql[300];
    snprintf(sql, sizeof sql, SAMPLES "DESC LIMIT 1", world->earlier);
    int64_t tenths = number_in_store(at(world, "work", "s.db"), sql);
    return tenths < 0 ? -1 : tenths - FIRST_RANGE;
}

/* ---- the program's end -------------------------------------------------------------------------
 */

static bool failed_at_all(const struct fault_world *world)
{
    return world->page->disk.failed > 0 || world->page->memory.failed > 0;
}

static bool end_holds(const struct found *found)
{
    const struct fault_world *world = found->world;
    enum fault_ending ending = found->seen->ending;
    if (!found->seen->in_time) {
        return wrong(found, "it did not end in time");
    }
    if (ending == ENDING_KILLED || ending == ENDING_DIED) {
        return true;
    }
    if (world->status >= 128) {
        return wrong(found, "signal %d: %.300s", world->status - 128, found->said);
    }
    if (ending == ENDING_OWN && !failed_at_all(world)) {
        return wrong(found, "it ended by itself, status %d: %.300s", world->status, found->said);
    }
    if (world->status != 0 && !failed_at_all(world)) {
        return wrong(found, "exit status %d, and nothing had failed: %.300s", world->status,
                     found->said);
    }
    if (world->status != 0 && found->said[0] == '\0') {
        return wrong(found, "exit status %d and no sentence", world->status);
    }
    return true;
}

/* ---- samples -----------------------------------------------------------------------------------
 */

struct stored_sample {
    int line;
    int64_t time_us, lost;
    bool gap;
};

static bool pair_holds(const struct found *found, const struct stored_sample *a,
                       const struct stored_sample *b)
{
    const struct world_line *from = &found->world->line[a->line], *to = from + (b->line - a->line);
    if (b->line <= a->line) {
        return wrong(found, "line %d is stored behind line %d", b->line, a->line);
    }
    bool same = from->epoch == to->epoch;
    int64_t truth_us = same ? to->rig_us - from->rig_us : to->at_us - from->at_us;
    int64_t off_us = llabs(b->time_us - a->time_us - truth_us);
    int64_t most_us = AXIS_US + (same ? 0 : fault_world_allowed_us(found->world));
    most_us += !same && to->plugs > from->plugs ? REOPENED_US : 0;
    /* as if it had gone on; or it slept, and nobody can say for how long */
    bool untold = !same && (to->sequence > from->sequence || to->sleeps > from->sleeps);
    if (off_us > most_us && !untold) {
        return wrong(found, "between lines %d and %d the axis is %lld ms off%s", a->line, b->line,
                     (long long)off_us / 1000, same ? "" : " (the rig began anew)");
    }
    int64_t lost = (int64_t)(to->sequence - from->sequence) - 1;
    if (same && lost != b->lost) {
        return wrong(found, "%lld are counted as lost between lines %d and %d", (long long)b->lost,
                     a->line, b->line);
    }
    return true;
}

static bool samples_hold(struct found *found)
{
    sqlite3 *db = NULL;
    sqlite3_stmt *statement = NULL;
    struct stored_sample before = {.line = -1};
    char sql[300];
    bool holds = true;
    snprintf(sql, sizeof sql, SAMPLES, found->world->earlier);
    if (sqlite3_open_v2(found->store, &db, SQLITE_OPEN_READONLY, NULL) == SQLITE_OK &&
        sqlite3_prepare_v2(db, sql, -1, &statement, NULL) == SQLITE_OK) {
        while (holds && sqlite3_step(statement) == SQLITE_ROW) {
            struct stored_sample now = {.line = sqlite3_column_int(statement, 0) - FIRST_RANGE,
                                        .time_us = sqlite3_column_int64(statement, 1),
                                        .lost = sqlite3_column_int64(statement, 2)};
            if (now.line < 0 || now.line >= found->world->lines ||
                !found->world->line[now.line].whole) {
                holds = wrong(found, "line %d is stored and was not sent", now.line);
            } else {
                holds = before.line < 0 || pair_holds(found, &before, &now);
                found->stored[now.line] = true;
                found->first = found->first < 0 ? now.line : found->first;
                found->last = now.line;
                before = now;
            }
        }
    }
    sqlite3_finalize(statement);
    sqlite3_close(db);
    return holds;
}

/* What was saved beside as lines of a rig. */
static void take_saved(struct found *found, const char *path)
{
    char line[300];
    FILE *file = fopen(path, "r");
    while (file != NULL && fgets(line, sizeof line, file) != NULL) {
        double range_mm = 0;
        if (sscanf(line, "$%*u,%*d,%lf", &range_mm) == 1) {
            int number = (int)(range_mm * 10 + 0.5) - FIRST_RANGE;
            if (number >= 0 && number < WORLD_LINES) {
                found->saved[number] = true;
            }
        }
    }
    if (file != NULL) {
        fclose(file);
    }
}

static bool is_saved_text(const char *path, const char *text)
{
    char line[300];
    bool there = false;
    FILE *file = fopen(path, "r");
    while (file != NULL && !there && fgets(line, sizeof line, file) != NULL) {
        there = strstr(line, text) != NULL;
    }
    if (file != NULL) {
        fclose(file);
    }
    return there;
}

/* Each file of the two folders where something may be saved. */
static bool each_saved(struct found *found, const char *text)
{
    static const char *const folders[] = {"work", "home"};
    bool there = false;
    for (int i = 0; i < 2; i++) {
        DIR *listing = opendir(at(found->world, folders[i], ""));
        for (struct dirent *entry; listing != NULL && (entry = readdir(listing)) != NULL;) {
            if (strstr(entry->d_name, "unsaved") != NULL) {
                const char *path = at(found->world, folders[i], entry->d_name);
                take_saved(found, path);
                there = there || (text != NULL && is_saved_text(path, text));
            }
        }
        if (listing != NULL) {
            closedir(listing);
        }
    }
    return there;
}

/* ---- what must be there ------------------------------------------------------------------------
 */

/* Until when all that came must be there. */
static int64_t must_until_us(const struct found *found)
{
    const struct fault_world *world = found->world;
    int64_t until_us = found->seen->asked_us;
    bool ends = found->seen->ending == ENDING_ASKED || found->seen->ending == ENDING_OWN;
    if (ends) {
        return until_us - LACKS_MOST_US / 2; /* on its way in the cable */
    }
    bool ill = world->ill_since_us != 0 && world->well_from_us > until_us;
    return (ill ? world->ill_since_us : until_us) - LACKS_MOST_US - fault_world_allowed_us(world);
}

/* It said what could not be kept. */
static bool said_lost(const struct found *found)
{
    bool ends = found->seen->ending == ENDING_ASKED || found->seen->ending == ENDING_OWN;
    return ends && found->world->status != 0 && failed_at_all(found->world) &&
           (strstr(found->said, "lost") != NULL || found->first < 0);
}

static bool lines_hold(const struct found *found)
{
    const struct fault_world *world = found->world;
    int64_t until_us = must_until_us(found);
    /* before it was heard a line may have found no room in the cable */
    int from = found->seen->heard;
    for (int i = from; found->seen->heard > 0 && i < world->lines && !said_lost(found); i++) {
        const struct world_line *line = &world->line[i];
        if (line->whole && !line->unsure && line->at_us < until_us && !found->stored[i] &&
            !found->saved[i]) {
            return wrong(found,
                         "line %d lacks, sent %lld ms before the end (stored %d to %d, exit "
                         "status %d): %.300s",
                         i, (long long)(found->seen->asked_us - line->at_us) / 1000, found->first,
                         found->last, world->status, found->said);
        }
    }
    return found->seen->committed <= found->last ||
           wrong(found, "line %lld had been in the store, the last is %d",
                 (long long)found->seen->committed, found->last);
}

static bool commands_hold(struct found *found)
{
    const struct fault_world *world = found->world;
    for (int i = 0; i < world->commands && !said_lost(found); i++) {
        const struct world_command *command = &world->command[i];
        char sql[200];
        snprintf(sql, sizeof sql,
                 "SELECT count(*) FROM command WHERE session_id = " SESSION " AND text = '%s'",
                 world->earlier, command->text);
        if (command->done && command->at_us < must_until_us(found) &&
            number_in_store(found->store, sql) < 1 && !each_saved(found, command->text)) {
            return wrong(found, "'%s' was answered with done and lacks: %.300s", command->text,
                         found->said);
        }
    }
    return true;
}

/* ---- the store and the files -------------------------------------------------------------------
 */

static bool store_holds(const struct found *found)
{
    static const char *const check[] = {"store", "check", "--store", "s.db", NULL};
    static const char *const next[] = {"run", "third.session", "--store", "s.db", NULL};
    const struct fault_world *world = found->world;
    bool holds = true;
    struct fault_run run = fault_folder_run(world->folder, check, NULL);
    bool none = found->seen->earlier == NULL && strstr(run.errors, "a session makes it") != NULL;
    if (run.status != 0 && !none) {
        holds = wrong(found, "store check: %.300s%.300s", run.output, run.errors);
    }
    fault_run_free(&run);
    if (holds && found->seen->earlier != NULL) {
        char *earlier = fault_folder_session(world->folder, "s.db", "1");
        holds = strcmp(earlier, found->seen->earlier) == 0 ||
                wrong(found, "the earlier session is another: %.300s", earlier);
        free(earlier);
    }
    if (holds) {
        run = fault_folder_run(world->folder, next, NULL);
        holds = run.status == 0 || wrong(found, "the next session: %.300s", run.errors);
        fault_run_free(&run);
    }
    return holds;
}

static bool files_hold(const struct found *found)
{
    const struct fault_world *world = found->world;
    bool ended = found->seen->ending == ENDING_ASKED, holds = true;
    DIR *listing = opendir(at(world, "work", ""));
    for (struct dirent *entry; holds && listing != NULL && (entry = readdir(listing)) != NULL;) {
        struct stat status;
        bool ours = strncmp(entry->d_name, "s.db", 4) == 0;
        if (ours && stat(at(world, "work", entry->d_name), &status) == 0 &&
            (status.st_mode & 077) != 0) {
            holds = wrong(found, "%s may be read by others", entry->d_name);
        } else if (ended && strstr(entry->d_name, ".part") != NULL) {
            holds = wrong(found, "%s is left", entry->d_name);
        }
    }
    if (listing != NULL) {
        closedir(listing);
    }
    return holds;
}

static char *read_said(const struct fault_world *world)
{
    static char text[4000];
    FILE *file = fopen(at(world, "errors", ""), "r");
    size_t length = file != NULL ? fread(text, 1, sizeof text - 1, file) : 0;
    text[length] = '\0';
    if (file != NULL) {
        fclose(file);
    }
    return text;
}

bool fault_model_holds(const struct fault_world *world, const struct fault_seen *seen, char *why,
                       size_t size)
{
    static struct found found;
    found = (struct found){.world = world,
                           .seen = seen,
                           .why = why,
                           .size = size,
                           .said = read_said(world),
                           .first = -1,
                           .last = -1};
    snprintf(found.store, sizeof found.store, "%s", at(world, "work", "s.db"));
    each_saved(&found, NULL);
    bool holds = end_holds(&found) && files_hold(&found);
    if (holds) {
        /* before a reader of ours: a log that was left is rolled in by the program alone */
        static const char *const list[] = {"list", "--store", "s.db", NULL};
        struct fault_run run = fault_folder_run(world->folder, list, NULL);
        fault_run_free(&run);
    }
    return holds && samples_hold(&found) && lines_hold(&found) && commands_hold(&found) &&
           store_holds(&found);
}
