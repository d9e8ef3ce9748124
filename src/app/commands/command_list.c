/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/session_filter.h"
#include "app/standard_output.h"
#include "base/clock.h"
#include "base/json.h"
#include "base/text.h"
#include "report/table.h"
#include "say/say.h"
#include "store/store.h"

#include <getopt.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>

/* holdline list: the sessions in a store. */

struct listing {
    struct session_filter filter;
    struct table *table;
    struct json_writer *json;
    int count;
};

static void json_row(struct json_writer *json, const struct store_session *session)
{
    char uuid[UUID_TEXT_SIZE], started[CLOCK_TEXT_SIZE];
    uuid_text(uuid, &session->uuid);
    clock_wall_text(started, session->started_ms);
    json_object_begin(json);
    json_member_integer(json, "session", session->id);
    json_member_string(json, "uuid", uuid);
    json_member_string(json, "started", started);
    json_member_number(json, "length_s", session->length_s);
    json_member_string(json, "rider_code", session->rider_code);
    json_member_string(json, "rider", session->rider);
    json_member_string(json, "bike", session->bike);
    json_member_integer(json, "setups", session->setups);
    json_member_integer(json, "holds", session->holds);
    json_member_integer(json, "runs", session->runs);
    json_member_integer(json, "samples", session->samples);
    json_member_boolean(json, "ended", session->ended);
    json_object_end(json);
}

static void table_row(struct table *table, const struct store_session *session)
{
    char text[SAY_SIZE], runs[24] = "";
    table_cell_format(table, "%lld", (long long)session->id);
    say_date(text, sizeof text, session->started_ms);
    table_cell(table, text);
    table_cell_format(table, "%s%s%s", session->rider_code,
                      session->rider_code[0] != '\0' && session->rider[0] != '\0' ? "  " : "",
                      session->rider);
    table_cell(table, session->bike);
    table_cell_format(table, "%d", session->setups);
    table_cell_format(table, "%d", session->holds);
    say_duration(text, sizeof text, session->length_s);
    table_cell(table, text);
    if (session->runs > 0) { /* of few sessions: no column of their own */
        snprintf(runs, sizeof runs, "%d run%s", session->runs, session->runs == 1 ? "" : "s");
    }
    table_cell_format(table, "%s%s%s", runs, runs[0] != '\0' && !session->ended ? ", " : "",
                      session->ended ? "" : "not ended");
}

static bool on_session(void *context, const struct store_session *session)
{
    struct listing *listing = context;
    if (!filter_fits(&listing->filter, session)) {
        return true;
    }
    listing->count++;
    if (listing->json != NULL) {
        json_row(listing->json, session);
    } else {
        table_row(listing->table, session);
    }
    return true;
}

static bool list_json(struct store *store, struct listing *listing, struct problem *problem)
{
    struct json_writer json;
    listing->json = &json;
    json_document_begin(&json, stdout, true, "holdline-list", 1);
    json_array_member(&json, "sessions");
    bool done = store_list(store, on_session, listing, problem);
    json_array_end(&json);
    json_object_end(&json);
    return done;
}

static bool list_text(struct store *store, struct listing *listing, struct problem *problem)
{
    static const struct table_column columns[] = {
        {"session", TABLE_RIGHT, false}, {"begun", TABLE_LEFT, false},
        {"rider", TABLE_LEFT, true},     {"bike", TABLE_LEFT, true},
        {"setups", TABLE_RIGHT, false},  {"holds", TABLE_RIGHT, false},
        {"length", TABLE_LEFT, false},   {"", TABLE_LEFT, false},
    };
    listing->table = table_create(columns, sizeof columns / sizeof columns[0]);
    bool done = store_list(store, on_session, listing, problem);
    if (done && listing->count > 0) {
        done = table_write(listing->table, stdout, 0, standard_output_width(), problem);
    } else if (done) {
        const struct session_filter *filter = &listing->filter;
        bool more = filter->bike != NULL || filter->since_ms != 0 || filter->until_ms != 0;
        text_print(stderr, "holdline: no session%s%s in the store %s\n",
                   filter->rider != NULL ? " of rider " : "",
                   filter->rider != NULL ? filter->rider : "", more ? "is as asked for" : "yet");
    }
    table_destroy(listing->table);
    return done;
}

struct wanted {
    char path[PATH_MAX];
    bool json;
};

static const struct option_row option_rows[] = {
    {"json", OPTION_YES, OPTION_INTO(wanted, json)},
    {"store", OPTION_COPY, OPTION_INTO(wanted, path)},
};

static int run(int argc, char **argv)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct listing listing = {{NULL, NULL, 0, 0}, NULL, NULL, 0};
    struct wanted wanted = {.path = ""};
    const struct option_set sets[] = {OPTION_SET(option_rows, &wanted),
                                      OPTION_SET(filter_options, &listing.filter),
                                      {NULL, 0, NULL}};
    if (!options_read(sets, argc, argv, &problem)) {
        return command_fail(&problem);
    }
    if (optind != argc) {
        problem_usage(&problem, "list: '%s' is not understood, it takes only options",
                      argv[optind]);
        return command_fail(&problem);
    }
    if (wanted.path[0] == '\0' && !store_default_path(wanted.path, sizeof wanted.path, &problem)) {
        return command_fail(&problem);
    }
    struct store *store = store_open(wanted.path, STORE_READ, &problem);
    bool done = store != NULL && (wanted.json ? list_json(store, &listing, &problem)
                                              : list_text(store, &listing, &problem));
    store_close(store);
    if (done && store_lacks_its_log(wanted.path)) {
        text_print(stderr,
                   "holdline: %s is as a running session leaves it, and its log (%s-wal) is not "
                   "there: was it copied without? What was recorded last may be missing; 'holdline "
                   "store backup' copies all of it\n",
                   wanted.path, wanted.path);
    }
    done = done && standard_output_end(&problem);
    return done ? EXIT_SUCCESS : command_fail(&problem);
}

const struct command command_list = {
    .name = "list",
    .summary = "the sessions in the store, newest first",
    .usage = "holdline list [options]\n"
             "Lists the sessions in the store, newest first. The number in front is what show, "
             "compare,\n"
             "export and replay take.\n" //
    FILTER_USAGE "  --json         for programs\n"
             "  --store FILE   the store (default: HOLDLINE_STORE, else the data folder's)\n",
    .run = run,
};
