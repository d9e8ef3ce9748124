/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Every command that takes --json, as another program would read it: each document says what it is,
 * and is as its schema in docs/ says. */
#include "support/json_schema.h"
#include "support/program.h"
#include "support/terminal.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define WAIT_S 20.0
#define WORDS 12
#define VIRTUAL "virtual:winter?speed=max"
#define BIKE                                                                                       \
    "stack=545", "reach=410", "head_angle=73", "spacers=20", "stem_length=100", "stem_angle=-6"
#define DRAG_DAY                                                                                   \
    "drag", "--mass", "85", "--course", "laps", "--length", "242", "--indoors", "--air",           \
        "20C 1007hPa 50%"

static const char *folder;

/* A document a command writes; lines: one on each line. */
static const struct {
    const char *schema;
    const char *words[WORDS + 8];
    const char *formats[2]; /* of its first and its last document */
    bool lines;
} asked[] = {
    {"list", {"list", "--json"}, {"holdline-list"}, false},
    {"list", {"list", "--rider", "nobody", "--json"}, {"holdline-list"}, false},
    {"export", {"show", "1", "--json"}, {"holdline-session"}, false},
    {"export", {"show", "2", "--json"}, {"holdline-session"}, false},
    {"export", {"export", "1", "-", "--kind", "json"}, {"holdline-session"}, false},
    {"export", {"compare", "1", "--json"}, {"holdline-comparison"}, false},
    {"export", {"compare", "--rider", "R-07", "--json"}, {"holdline-across"}, false},
    {"export",
     {DRAG_DAY, "--speed", "wheel", "1=a.csv", "2=b.csv", "--json"},
     {"holdline-day-of-runs"},
     false},
    {"progress", {"progress", "R-07", "--json"}, {"holdline-practice"}, false},
    {"progress", {"progress", "R-07", "--health", "--json"}, {"holdline-practice"}, false},
    {"plan", {"plan", "--json"}, {"holdline-plan"}, false},
    {"plan", {"plan", "--from", "1", "--minutes", "5", "--json"}, {"holdline-plan"}, false},
    {"plan", {"plan", "--drag", "--json"}, {"holdline-plan-of-runs"}, false},
    {"place", {"place", BIKE, "--json"}, {"holdline-place"}, false},
    {"place", {"place", "--session", "1", "--from", "1", "--json"}, {"holdline-place"}, false},
    {"place",
     {"place", BIKE, "--parts", "parts.txt", "--at", "470,610", "--json"},
     {"holdline-place"},
     false},
    {"measure", {"measure", "steady.rig", "--json"}, {"holdline-measures"}, false},
    {"measure", {"measure", "--raw", "numbers.txt", "--json"}, {"holdline-measures"}, false},
    {"measure", {"measure", "--raw", "same.txt", "--json"}, {"holdline-measures"}, false},
    {"listen",
     {"listen", "steady.rig?speed=max", "--json"},
     {"holdline-sample", "holdline-health"},
     true},
    {"listen",
     {"listen", "virtual:rough?seconds=20&speed=max", "--json"},
     {"holdline-sample", "holdline-health"},
     true},
    {"listen", {"listen", "steady.rig?speed=max", "--health", "--json"}, {"holdline-health"}, true},
    {"rigs", {"rigs", "/dev/null", "--json"}, {"holdline-rigs"}, false},
    {"check",
     {"check", VIRTUAL, "still", "20s", "--no-prompts", "--json"},
     {"holdline-check"},
     false},
    {"check",
     {"check", VIRTUAL, "step", "head", "block=25", "--no-prompts", "--json"},
     {"holdline-check"},
     false},
    {"check",
     {"check", VIRTUAL, "all", "block=25", "rider", "--no-prompts", "--json"},
     {"holdline-checks"},
     false},
    {"check",
     {"calibrate", VIRTUAL, "head", "200", "400", "600", "--no-prompts", "--json"},
     {"holdline-check"},
     false},
    {"check", {"plate", VIRTUAL, "10s", "--no-prompts", "--json"}, {"holdline-check"}, false},
    {"store", {"store", "check", "--json"}, {"holdline-store-check"}, false},
    {"store", {"store", "check", "--quick", "--json"}, {"holdline-store-check"}, false},
    {"store", {"store", "merge", "other.db", "--json"}, {"holdline-store-merge"}, false},
};
#define ASKED (sizeof asked / sizeof asked[0])

static void run(const char *const *words)
{
    struct program_result result = program_run(folder, NULL, words);
    ck_assert_msg(result.status == 0, "%s %s: %s", words[0], words[1], result.errors);
    program_free(&result);
}

/* Holds, ratings, a target, practice, on two setups. */
static void make_session(const char *start, int seed, const char *store)
{
    char script[2048], rig[80];
    snprintf(script, sizeof script,
             "session %s seed=%d\nrider R-07 \"winter group\" health=yes\n"
             "bike \"training bike\" stack=545 reach=410 head_angle=73\n"
             "sensor head carrier=base_bar x=110 y=40 look=up\n"
             "sensor chest carrier=base_bar x=-60 y=35 look=up\n"
             "setup 1 \"as it came\" stem_length=100 stem_angle=-6 spacers=20 pad_rise=60\n"
             "plate 5s height=930 rest=pads\ntarget until=3mm at_least=20s at_most=40s\n"
             "band head=+20/-20 chest=+20/-20\nhold 20s free settle=2s\nmark slid\n"
             "hold 20s guided settle=2s\nrating effort=4 neck=2 sees_ahead=yes\n"
             "hold 60s test settle=2s\nguess 4\nhold 30s piece told=seen settle=2s\n"
             "setup 2 \"lower\" spacers=0\nlimits spacers=30\nhold 20s free settle=2s\n"
             "hold 20s free settle=2s\nreject 2 \"slid\"\nchoose 2\nnote \"fan on\"\nend\n",
             start, seed);
    snprintf(rig, sizeof rig, "virtual:steady?speed=max&rate=10&seed=%d", seed);
    program_write_file(folder, "script.txt", script);
    run((const char *const[]){"run", "script.txt", rig, "--store", store, NULL});
}

static void write_ride(const char *name, double watts)
{
    static char text[16 * 1024];
    size_t used =
        (size_t)snprintf(text, sizeof text, "%s", "time (s),power (W),speed (m/s),lap,heart\n");
    for (int t = 0; t <= 220; t++) {
        used += (size_t)snprintf(text + used, sizeof text - used, "%d,%.1f,11.0,%d,150\n", t, watts,
                                 t / 22 + 1);
    }
    program_write_file(folder, name, text);
}

static void copy_recording(const char *name)
{
    size_t length;
    char *text = program_read_file(SOURCE_DIR "/sessions", name, &length);
    program_write_file(folder, name, text);
    free(text);
}

static void begin(void)
{
    static char store[512];
    folder = program_folder();
    make_session("2026-01-10T18:00:00Z", 1, "s.db");
    make_session("2026-01-12T18:00:00Z", 2, "s.db");
    make_session("2026-01-14T18:00:00Z", 3, "other.db");
    write_ride("a.csv", 250.0);
    write_ride("b.csv", 244.0);
    copy_recording("steady.rig");
    program_write_file(folder, "numbers.txt", "1\n2\n4\n3\n5\n2\n3\n4\n1\n2\n3\n4\n");
    program_write_file(folder, "same.txt", "5\n5\n5\n5\n5\n5\n5\n5\n5\n5\n5\n5\n");
    program_write_file(folder, "parts.txt", "stem length=80,100 angle=-6\nspacers 0..30/5\n");
    snprintf(store, sizeof store, "%s/s.db", folder);
    setenv("HOLDLINE_STORE", store, 1);
    setenv("XDG_RUNTIME_DIR", folder, 1);
}

static void end(void)
{
    unsetenv("HOLDLINE_STORE");
    program_folder_remove(folder);
}

static const char *format_of(const char *text, size_t length)
{
    static char format[64];
    char line[512], error[160];
    char *whole = strndup(text, length);
    struct json_value *value = json_read(whole, error);
    snprintf(line, sizeof line, "%.*s", (int)(length < 200 ? length : 200), text);
    ck_assert_msg(value != NULL, "%s: %s", error, line);
    ck_assert_msg(json_text_at(value, "format") != NULL, "%s", line);
    ck_assert_msg(json_number_at(value, "format_version") == 1, "%s", line);
    snprintf(format, sizeof format, "%s", json_text_at(value, "format"));
    json_free(value);
    free(whole);
    return format;
}

/* The first and the last document say what they are; nothing stands behind the last. */
static void says_what_it_is(const char *text, bool lines, const char *const *formats)
{
    size_t length = strlen(text);
    ck_assert(length > 2 && text[length - 1] == '\n' && text[length - 2] != '\n');
    size_t first = lines ? (size_t)(strchr(text, '\n') - text) : length;
    ck_assert_str_eq(format_of(text, first), formats[0]);
    if (formats[1] != NULL) {
        const char *last = text + length - 2;
        while (last > text && last[-1] != '\n') {
            last--;
        }
        ck_assert_str_eq(format_of(last, strlen(last)), formats[1]);
    }
}

static void validate(const char *schema, const char *files)
{
    char path[512];
    snprintf(path, sizeof path, "%s/docs/%s.schema.json", SOURCE_DIR, schema);
    json_validate(folder, path, files);
}

START_TEST(each_document_says_what_it_is_and_is_as_its_schema_says)
{
    char files[2048] = "";
    for (size_t i = 0; i < ASKED; i++) {
        char name[64];
        struct program_result result = program_run(folder, NULL, asked[i].words);
        ck_assert_msg(result.status == 0 || strcmp(asked[i].schema, "check") == 0, "%s %s: %s",
                      asked[i].words[0], asked[i].words[1], result.errors);
        says_what_it_is(result.output, asked[i].lines, asked[i].formats);
        snprintf(name, sizeof name, "document-%zu.json%s", i, asked[i].lines ? "l" : "");
        program_write_file(folder, name, result.output);
        program_free(&result);
        snprintf(files + strlen(files), sizeof files - strlen(files), " %s", name);
        if (i + 1 == ASKED || strcmp(asked[i].schema, asked[i + 1].schema) != 0) {
            validate(asked[i].schema, files);
            files[0] = '\0';
        }
    }
}
END_TEST

/* Pumps the session until the watcher has written the word. */
static void wait_view(struct terminal *session, const char *word)
{
    bool there = false;
    for (int i = 0; i < 200 && !there; i++) {
        terminal_pump(session, 0.1);
        char *views = program_read_file(folder, "views.jsonl", NULL);
        there = strstr(views, word) != NULL;
        free(views);
    }
    ck_assert_msg(there, "no view with %s", word);
}

/* A live session's views, while it is looked at and while a hold is in progress; a watcher ends
 * with its session. */
START_TEST(views_are_as_their_schema_says)
{
    char runtime[400], store[400], watch[1024];
    snprintf(runtime, sizeof runtime, "XDG_RUNTIME_DIR=%s", folder);
    snprintf(store, sizeof store, "%s/live.db", folder);
    snprintf(watch, sizeof watch, "exec '%s' watch --json >'%s/views.jsonl'", program_path(),
             folder);
    const char *const live[] = {program_path(), "live", "virtual:steady?seed=5", "--store", store,
                                "--new",        NULL};
    const char *const environment[] = {runtime, NULL};
    const struct terminal_settings settings = {
        .rows = 24, .columns = 80, .environment = environment};
    struct terminal *session = terminal_start(&settings, live);
    int status = -1;
    if (session == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    ck_assert(terminal_wait_text(session, "HEAD", WAIT_S));
    program_write_file(folder, "views.jsonl", "");
    struct terminal *watcher =
        terminal_start(&settings, (const char *const[]){"/bin/sh", "-c", watch, NULL});
    ck_assert_ptr_nonnull(watcher);
    wait_view(session, "\"live\"");
    terminal_send(session, "f\r");
    wait_view(session, "\"settling\"");
    terminal_send(session, "x");
    terminal_pump(session, 0.3);
    terminal_send(session, "qy");
    ck_assert(terminal_wait_end(session, &status, WAIT_S));
    ck_assert(terminal_wait_end(watcher, &status, WAIT_S));
    terminal_end(session);
    terminal_end(watcher);
    char *views = program_read_file(folder, "views.jsonl", NULL);
    says_what_it_is(views, true, (const char *const[]){"holdline-view", "holdline-view"});
    free(views);
    validate("watch", "views.jsonl");
}
END_TEST

/* No command takes --json without being tried here, and no schema describes nothing. */
START_TEST(no_command_is_forgotten)
{
    struct program_result all = program_run(folder, NULL, (const char *const[]){"--help", NULL});
    int takes = 0;
    for (char *line = strtok(all.output, "\n"); line != NULL; line = strtok(NULL, "\n")) {
        char command[32];
        if (sscanf(line, "  %31[a-z] ", command) != 1) {
            continue;
        }
        struct program_result help =
            program_run(folder, NULL, (const char *const[]){command, "--help", NULL});
        bool tried = strcmp(command, "watch") == 0;
        for (size_t i = 0; i < ASKED; i++) {
            tried = tried || strcmp(command, asked[i].words[0]) == 0;
        }
        bool has = strstr(help.output, "--json") != NULL;
        ck_assert_msg(!has || tried, "%s takes --json", command);
        takes += has ? 1 : 0;
        program_free(&help);
    }
    ck_assert_int_ge(takes, 15);
    program_free(&all);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("json commands");
    TCase *tests = tcase_create("json");
    tcase_set_timeout(tests, 180);
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, each_document_says_what_it_is_and_is_as_its_schema_says);
    tcase_add_test(tests, views_are_as_their_schema_says);
    tcase_add_test(tests, no_command_is_forgotten);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
