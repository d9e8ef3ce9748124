/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/loaded_session.h"

#include "app/commands.h"
#include "app/kept_results.h"
#include "app/progress.h"
#include "app/standard_output.h"
#include "base/text.h"

#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define DAMAGE_TOLD_MOST 20

struct loaded_session {
    struct store *store;
    struct session_record *record;
    struct analysis *analysis;
    struct command_record *commands;
    size_t command_count, command_room;
    struct store_sample_source source;
    struct store_watch watch; /* progress NULL: nobody is told */
    struct report_input input;
    bool in_part; /* what is damaged is told, and the rest read */
    int damage_count;
    char damage[DAMAGE_TOLD_MOST][400]; /* told already: reports read samples more than once */
};

static bool keep_command(void *context, const struct command_record *command,
                         struct problem *problem)
{
    struct loaded_session *loaded = context;
    if (loaded->command_count == loaded->command_room) {
        size_t room = loaded->command_room == 0 ? 64 : loaded->command_room * 2;
        struct command_record *larger = realloc(loaded->commands, room * sizeof *larger);
        if (larger == NULL) {
            return problem_set(problem, "no memory for the session's commands");
        }
        loaded->commands = larger;
        loaded->command_room = room;
    }
    loaded->commands[loaded->command_count++] = *command;
    return true;
}

/* A sentence of the store's (a sample that could not be read) says more than the analysis's own. */
static bool prefer_store(const struct loaded_session *loaded, struct problem *problem)
{
    if (loaded->source.problem.kind != PROBLEM_NONE && problem != NULL) {
        *problem = loaded->source.problem;
    }
    return false;
}

bool loaded_session_samples(void *context, int64_t first, int64_t last,
                            const struct sample **samples, size_t *count)
{
    struct loaded_session *loaded = context;
    double share =
        loaded->record->last_sample > 0 ? (double)first / (double)loaded->record->last_sample : 0.0;
    const struct store_watch *watch = &loaded->watch;
    if (watch->progress != NULL && !watch->progress(watch->context, share)) {
        return problem_set(&loaded->source.problem, "stopped");
    }
    return store_sample_source(&loaded->source, first, last, samples, count);
}

static void on_damage(void *context, const char *sentence)
{
    struct loaded_session *loaded = context;
    for (int i = 0; i < loaded->damage_count && i < DAMAGE_TOLD_MOST; i++) {
        if (text_equal(loaded->damage[i], sentence)) {
            return;
        }
    }
    if (loaded->damage_count < DAMAGE_TOLD_MOST) {
        text_copy(loaded->damage[loaded->damage_count], sizeof loaded->damage[0], sentence);
        text_print(stderr, "holdline: %s\n", sentence);
    } else if (loaded->damage_count == DAMAGE_TOLD_MOST) {
        fprintf(stderr, "holdline: and more: 'holdline store check' tells\n");
    }
    loaded->damage_count += loaded->damage_count <= DAMAGE_TOLD_MOST ? 1 : 0;
}

bool loaded_session_is_whole(const struct loaded_session *loaded, struct problem *problem)
{
    return loaded->damage_count == 0 ||
           problem_set(problem, "the session is damaged: what is told above was left out");
}

/* What was worked out of the samples once is read; what is damaged is read and told each time. */
static bool work_out(struct loaded_session *loaded, const char *path, struct problem *problem)
{
    if (loaded->damage_count == 0 && kept_results_read(path, loaded->record, loaded->analysis)) {
        return analysis_add_hold(loaded->record, -1, loaded_session_samples, loaded,
                                 loaded->analysis, problem);
    }
    memset(loaded->analysis->hold, 0, sizeof loaded->analysis->hold);
    if (!analysis_make(loaded->record, loaded_session_samples, loaded, loaded->analysis, problem)) {
        return false;
    }
    if (loaded->damage_count == 0) {
        kept_results_write(path, loaded->record, loaded->analysis);
    }
    return true;
}

static bool load(struct loaded_session *loaded, const char *path, const char *words,
                 struct problem *problem)
{
    int64_t id = 0;
    loaded->record = calloc(1, sizeof *loaded->record);
    loaded->analysis = analysis_create();
    if (loaded->record == NULL || loaded->analysis == NULL) {
        return problem_set(problem, "no memory for a session");
    }
    loaded->store = store_open_watched(path, STORE_READ, &loaded->watch, problem);
    if (loaded->store != NULL && loaded->in_part) {
        store_on_damage(loaded->store, on_damage, loaded);
    }
    if (loaded->store == NULL || !store_find_session(loaded->store, words, &id, problem) ||
        !store_load(loaded->store, id, loaded->record, problem) ||
        !store_commands(loaded->store, id, keep_command, loaded, problem)) {
        return false;
    }
    loaded->source.store = loaded->store;
    loaded->source.session_id = id;
    if (!work_out(loaded, path, problem)) {
        return prefer_store(loaded, problem);
    }
    loaded->input = (struct report_input){.record = loaded->record,
                                          .analysis = loaded->analysis,
                                          .commands = loaded->commands,
                                          .command_count = loaded->command_count};
    return true;
}

struct loaded_session *loaded_session_open(const char *store_path, const char *words,
                                           struct problem *problem)
{
    return loaded_session_open_watched(store_path, words, NULL, problem);
}

static struct loaded_session *open_session(const char *store_path, const char *words,
                                           const struct store_watch *watch, bool in_part,
                                           struct problem *problem)
{
    char standard[PATH_MAX];
    const char *path = store_path;
    if (path == NULL || path[0] == '\0') {
        if (!store_default_path(standard, sizeof standard, problem)) {
            return NULL;
        }
        path = standard;
    }
    struct loaded_session *loaded = calloc(1, sizeof *loaded);
    if (loaded == NULL) {
        problem_set(problem, "no memory for a session");
        return NULL;
    }
    loaded->in_part = in_part;
    if (watch != NULL) {
        loaded->watch = *watch;
    }
    if (!load(loaded, path, words, problem)) {
        loaded_session_close(loaded);
        return NULL;
    }
    return loaded;
}

struct loaded_session *loaded_session_open_watched(const char *store_path, const char *words,
                                                   const struct store_watch *watch,
                                                   struct problem *problem)
{
    return open_session(store_path, words, watch, false, problem);
}

struct loaded_session *loaded_session_open_in_part(const char *store_path, const char *words,
                                                   const struct store_watch *watch,
                                                   struct problem *problem)
{
    return open_session(store_path, words, watch, true, problem);
}

void loaded_session_unwatch(struct loaded_session *loaded)
{
    loaded->watch.progress = NULL;
}

void loaded_session_leave_store(struct loaded_session *loaded)
{
    store_close(loaded->store);
    loaded->store = NULL;
    loaded->source.store = NULL;
}

void loaded_session_close(struct loaded_session *loaded)
{
    if (loaded == NULL) {
        return;
    }
    store_close(loaded->store);
    analysis_destroy(loaded->analysis);
    free(loaded->record);
    free(loaded->commands);
    free(loaded);
}

static bool has_setup(const struct loaded_session *loaded, int setup_number,
                      struct problem *problem)
{
    return session_record_setup(loaded->record, setup_number) >= 0 ||
           problem_set(problem, "there is no setup %d in this session: it has %d", setup_number,
                       loaded->record->setup_count);
}

bool loaded_session_choose(struct loaded_session *loaded, int setup_number, struct problem *problem)
{
    if (!has_setup(loaded, setup_number, problem)) {
        return false;
    }
    loaded->input.chosen_setup = setup_number;
    return true;
}

bool loaded_session_against(struct loaded_session *loaded, int setup_number,
                            struct problem *problem)
{
    if (!has_setup(loaded, setup_number, problem)) {
        return false;
    }
    loaded->record->settings.baseline_setup = setup_number;
    /* hold -1: only ties and comparison are made again */
    return analysis_add_hold(loaded->record, -1, store_sample_source, &loaded->source,
                             loaded->analysis, problem) ||
           prefer_store(loaded, problem);
}

struct report_input *loaded_session_input(struct loaded_session *loaded)
{
    return &loaded->input;
}

struct store_sample_source *loaded_session_source(struct loaded_session *loaded)
{
    return &loaded->source;
}

int loaded_session_tell(const struct session_arguments *arguments, report_text_writer *text,
                        report_writer *json)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct progress progress;
    const struct store_watch watch = {progress_tell, &progress};
    progress_begin(&progress, "reading the session");
    struct loaded_session *loaded =
        loaded_session_open_in_part(arguments->store_path, arguments->words, &watch, &problem);
    int status = loaded != NULL ? EXIT_SUCCESS : command_fail(&problem);
    progress_end(&progress);
    if (loaded == NULL) {
        return status;
    }
    loaded->watch.progress = NULL;
    loaded->input.limits = &arguments->limits;
    bool done =
        (arguments->against == 0 || loaded_session_against(loaded, arguments->against, &problem)) &&
        (arguments->json ? json(stdout, &loaded->input, &problem)
                         : text(stdout, &loaded->input, standard_output_width(), &problem));
    done = done && loaded_session_is_whole(loaded, &problem);
    loaded_session_close(loaded);
    done = standard_output_end(done ? &problem : NULL) && done;
    if (!done && ferror(stdout) && standard_output_is_left()) {
        return EXIT_SUCCESS;
    }
    return done ? EXIT_SUCCESS : command_fail(&problem);
}
