/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/fuzz_doors.h"

#include "app/import_script.h"
#include "base/json_read.h"
#include "base/text.h"
#include "bike/parts.h"
#include "record/typed.h"
#include "session/view_json.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static void fail(const char *what)
{
    fprintf(stderr, "fuzz: %s\n", what);
    abort();
}

static void must_say(const struct problem *problem, const char *what)
{
    if (problem->sentence[0] == '\0') {
        fail(what);
    }
}

/* A text of its own length, ended by NUL, so that the sanitizers see what is read behind it. */
static char *text_of(const uint8_t *bytes, size_t length)
{
    char *text = malloc(length + 1);
    if (text == NULL) {
        exit(EXIT_FAILURE);
    }
    memcpy(text, bytes, length);
    text[length] = '\0';
    return text;
}

/* ---- numbers that are typed --------------------------------------------------------------------
 */

static void run_typed(const uint8_t *bytes, size_t length)
{
    if (length == 0) {
        return;
    }
    char *text = text_of(bytes + 1, length - 1);
    enum typed which = (enum typed)((unsigned)(bytes[0] + TYPED_NUMBERS - 'A' % TYPED_NUMBERS) %
                                    (unsigned)TYPED_NUMBERS);
    const struct typed_number *number = &typed_numbers[which];
    double value = -12345.0, list[PARTS_VALUES_MAX];
    int whole = -12345, count = 0;
    struct problem problem = {PROBLEM_NONE, ""};
    if (typed_text(text, which, &value) ? !(value >= number->least && value <= number->most)
                                        : value != -12345.0) {
        fail("a typed number outside its limits, or one written though refused");
    }
    if (typed_whole(text, which, &whole)
            ? !((double)whole >= number->least && (double)whole <= number->most)
            : whole != -12345) {
        fail("a whole number outside its limits, or one written though refused");
    }
    if (!words_number(text, number->unit, &value, &problem)) {
        must_say(&problem, "a number is refused without a sentence");
    }
    if (number_list_read(text, list, PARTS_VALUES_MAX, &count, &problem) &&
        (count < 0 || count > PARTS_VALUES_MAX)) {
        fail("more numbers than there is room for");
    }
    free(text);
}

/* ---- JSON --------------------------------------------------------------------------------------
 */

#define DEEP_MOST 40

static void look_through(const struct json_document *document, int value, int depth)
{
    char text[32];
    double number = NAN;
    bool truth = false;
    int count = json_count(document, value);
    json_get_number(document, value, &number);
    json_get_boolean(document, value, &truth);
    if (json_get_string(document, value, text, sizeof text) &&
        strnlen(text, sizeof text) == sizeof text) {
        fail("a JSON text without an end");
    }
    json_find(document, value, "name");
    for (int i = 0; i < count && i < 20 && depth < DEEP_MOST; i++) {
        int element = json_element(document, value, i);
        if (element >= 0) {
            look_through(document, element, depth + 1);
        }
    }
}

static void run_json(const uint8_t *bytes, size_t length)
{
    char *text = text_of(bytes, length);
    struct problem problem = {PROBLEM_NONE, ""};
    struct json_document *document = json_document_read(text, length, &problem);
    if (document == NULL) {
        must_say(&problem, "JSON is refused without a sentence");
    } else {
        look_through(document, 0, 0);
    }
    json_document_free(document);
    free(text);
}

static struct view *view_create(void)
{
    struct view *view = calloc(1, sizeof *view);
    struct snapshot *snapshot = calloc(1, sizeof *snapshot);
    if (view == NULL || snapshot == NULL) {
        exit(EXIT_FAILURE);
    }
    snapshot_begin(snapshot);
    view->snapshot = snapshot;
    return view;
}

static void view_destroy(struct view *view)
{
    free((void *)(uintptr_t)view->snapshot);
    free(view);
}

static char *view_line(const struct view *view)
{
    char *line = NULL;
    size_t size = 0;
    FILE *stream = open_memstream(&line, &size);
    if (stream == NULL) {
        exit(EXIT_FAILURE);
    }
    view_json_write(view, stream);
    fclose(stream);
    return line;
}

/* What was taken is sent on as it was taken. */
static void check_sent_on(const struct view *view)
{
    struct view *again = view_create();
    struct problem problem = {PROBLEM_NONE, ""};
    char *line = view_line(view);
    if (!view_json_read(line, strlen(line), again, (struct snapshot *)(uintptr_t)again->snapshot,
                        &problem)) {
        fail(problem.sentence);
    }
    char *line_again = view_line(again);
    if (!text_equal(line, line_again)) {
        fprintf(stderr, "%s\n%s", line, line_again);
        fail("a view is another when it is sent on");
    }
    free(line);
    free(line_again);
    view_destroy(again);
}

/* What a watcher takes it draws: counts and places must fit. */
static void run_view(const uint8_t *bytes, size_t length)
{
    struct view *view = view_create();
    char *text = text_of(bytes, length), status[200];
    struct problem problem = {PROBLEM_NONE, ""};
    if (!view_json_read(text, length, view, (struct snapshot *)(uintptr_t)view->snapshot,
                        &problem)) {
        must_say(&problem, "a view is refused without a sentence");
    } else {
        if (view->channel_count < 0 || view->channel_count > CHANNELS_MAX) {
            fail("a view with a number of channels that cannot be");
        }
        view_status_line(view, status, sizeof status);
        check_sent_on(view);
    }
    free(text);
    view_destroy(view);
}

/* ---- lists of parts, import --------------------------------------------------------------------
 */

static void run_parts(const uint8_t *bytes, size_t length)
{
    struct parts_at_hand *parts = calloc(1, sizeof *parts);
    char *text = text_of(bytes, length);
    struct problem problem = {PROBLEM_NONE, ""};
    if (parts == NULL) {
        exit(EXIT_FAILURE);
    }
    parts_clear(parts);
    if (!parts_read(parts, "parts", text, &problem)) {
        must_say(&problem, "a list of parts is refused without a sentence");
    } else if (parts->stem_count < 0 || parts->stem_count > PARTS_STEMS_MAX) {
        fail("a number of stems that cannot be");
    }
    free(text);
    free(parts);
}

static void write_stream(const char *path, const char *text)
{
    FILE *file = fopen(path, "wb");
    if (file == NULL || fputs(text, file) < 0 || fclose(file) != 0) {
        perror(path);
        exit(EXIT_FAILURE);
    }
}

static void check_script(const char *script)
{
    char line[4096];
    struct words words;
    struct problem problem;
    for (int i = 1; i < 200; i++) {
        import_script_line_text(script, i, line, sizeof line);
        if (!words_split(line, &words, &problem)) {
            fail("an import makes a line that is none");
        }
    }
}

static void run_import(const uint8_t *bytes, size_t length)
{
    static const struct decoder_options usual;
    char *text = text_of(bytes, length), *next = text, path[64];
    struct problem problem = {PROBLEM_NONE, ""};
    struct import_script *script = import_script_create(&usual);
    bool done = script != NULL;
    while (done && next != NULL) {
        char *line = strsep(&next, "\n");
        if (line[0] == '\0') {
            break;
        }
        char *rest = strchr(line, ' ');
        if (rest != NULL) {
            *rest++ = '\0';
        }
        done = import_script_line(script, line, rest != NULL ? rest : "", &problem);
    }
    if (done && next != NULL) {
        snprintf(path, sizeof path, "/dev/shm/holdline-fuzz-%ld.rig", (long)getpid());
        write_stream(path, next);
        char finding[SAY_SIZE];
        bool left_out;
        done = import_script_hold(script, path, NULL, NAN, false, finding, &left_out, &problem);
        const char *made = done ? import_script_text(script, 1768068000000, 7, &problem) : NULL;
        done = made != NULL;
        if (made != NULL) {
            check_script(made);
        }
        unlink(path);
        if (!done) {
            must_say(&problem, "an import is refused without a sentence");
        }
    }
    import_script_destroy(script);
    free(text);
}

const struct fuzz_target fuzz_doors[] = {
    {"session", fuzz_session}, {"typed", run_typed},   {"json", run_json},    {"view", run_view},
    {"parts", run_parts},      {"import", run_import}, {"store", fuzz_store},
};
const size_t fuzz_door_count = sizeof fuzz_doors / sizeof fuzz_doors[0];

const struct fuzz_target *fuzz_door_find(const char *name)
{
    for (size_t i = 0; i < fuzz_door_count; i++) {
        if (text_equal(fuzz_doors[i].name, name)) {
            return &fuzz_doors[i];
        }
    }
    return NULL;
}
