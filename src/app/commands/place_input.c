/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/place_input.h"

#include "base/text.h"
#include "base/words.h"
#include "session/session.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FILE_MOST 1048576

/* A whole text file ('-': standard input) of at most a megabyte; freed by the caller. NULL with a
 * problem. */
static char *read_text(const char *path, struct problem *problem)
{
    bool standard = text_equal(path, "-");
    FILE *file = standard ? stdin : fopen(path, "r");
    if (file == NULL) {
        problem_set(problem, "%s: %s", path, strerror(errno));
        return NULL;
    }
    char *text = malloc(FILE_MOST + 1);
    size_t length = text == NULL ? 0 : fread(text, 1, FILE_MOST + 1, file);
    bool failed = ferror(file) != 0;
    int error = errno;
    if (!standard) {
        fclose(file);
    }
    if (text == NULL) {
        problem_set(problem, "%s: no memory", path);
    } else if (failed || length > FILE_MOST || memchr(text, '\0', length) != NULL) {
        problem_set(problem, "%s: %s", path,
                    failed               ? strerror(error)
                    : length > FILE_MOST ? "longer than a megabyte: is it a text?"
                                         : "not a text");
        free(text);
        text = NULL;
    } else {
        text[length] = '\0';
    }
    return text;
}

static void nowhere(void *context, const struct effect *effect)
{
    (void)context;
    (void)effect;
}

/* What of a script says where things are; -1 for what no script has. */
static int takes(const char *word)
{
    static const char *const taken[] = {"bike", "setup", "known", "sensor", "correct", "limits"};
    static const char *const runner[] = {"session", "wait", "carry", "learn", "compare", "export"};
    for (size_t i = 0; i < sizeof taken / sizeof taken[0]; i++) {
        if (text_equal(word, taken[i])) {
            return 1;
        }
    }
    for (size_t i = 0; i < sizeof runner / sizeof runner[0]; i++) {
        if (text_equal(word, runner[i])) {
            return 0;
        }
    }
    return session_knows_command(word) ? 0 : -1;
}

static bool take_line(struct session *session, const char *line, struct problem *problem)
{
    struct words words;
    if (!words_split(line, &words, problem)) {
        return false;
    }
    if (words.count == 0) {
        return true;
    }
    const char *word = words.word[0].key ? words.word[0].key : words.word[0].value;
    int taken = words.word[0].key ? -1 : takes(word);
    if (taken < 0) {
        return problem_usage(problem,
                             "'%s' is no line of a script: say 'bike', 'setup' or 'sensor'", word);
    }
    return taken == 0 || session_command(session, line, problem);
}

bool place_read_script(const char *path, struct session_record *record, struct problem *problem)
{
    static const struct session_origin origin = {0, 1};
    char *text = read_text(path, problem);
    if (text == NULL) {
        return false;
    }
    struct session *session = session_create(&origin, nowhere, NULL);
    bool done = session != NULL || problem_set(problem, "%s: no memory", path);
    int number = 0;
    for (char *line = text; done && *line != '\0';) {
        char *end = line + strcspn(line, "\n");
        bool last = *end == '\0';
        *end = '\0';
        number++;
        done = take_line(session, line, problem) ||
               problem_prefix(problem, "%s, line %d", path, number);
        line = last ? end : end + 1;
    }
    if (done) {
        *record = *session_records(session);
        done = record->has_bike || record->setup_count > 0 ||
               problem_usage(problem, "%s: no 'bike' and no 'setup' in it", path);
    }
    session_destroy(session);
    free(text);
    return done;
}

bool place_setup(const struct session_record *record, int number, struct bike_values *bike,
                 char *name, size_t size, struct problem *problem)
{
    size_t used = 0;
    const char *bike_name = record->bike.name[0] != '\0' ? record->bike.name : "the bike";
    name[0] = '\0';
    if (record->setup_count == 0 && number <= 1) {
        *bike = record->bike.frame;
        text_append(name, size, &used, "%s", bike_name);
        return true;
    }
    int index = number == 0 ? record->setup_count - 1 : session_record_setup(record, number);
    if (index < 0) {
        return problem_set(problem, "%s has no setup %d", bike_name, number);
    }
    const struct setup_record *setup = &record->setup[index];
    *bike = setup->bike;
    text_append(name, size, &used, "%s, setup %d%s%s", bike_name, setup->number,
                setup->intent[0] != '\0' ? ": " : "", setup->intent);
    return true;
}

bool place_read_parts(const char *path, struct parts_at_hand *parts, struct problem *problem)
{
    char *text = read_text(path, problem);
    bool done = text != NULL && parts_read(parts, path, text, problem);
    free(text);
    return done;
}
