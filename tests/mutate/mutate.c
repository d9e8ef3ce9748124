/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* make mutate: changes the program in small ways, one at a time, and tells which changes no test
 * sees (DEVELOPERS.md, Testing). From the project's root, with the shared objects and the test
 * programs of 'mutate layers' built:
 *   mutate [layers | list] BUILD=folder ROOM='measure bike' FILE='src/... include/...' KIND=rules
 *          SEED=1 COUNT=40 (sampled in a layer) SECONDS=90 (then it stops) LONGEST=8 (programs that
 *          take more seconds are left out; 0: none) JOBS=2 FRESH=1 (results of earlier runs are
 *          not used) EQUIVALENTS=file WITHOUT='measure/test_rules' (programs that are left out:
 *          which rules are seen by what they do, and not only by their value?); the compiler with
 *          its options in the environment's MUTATE_CC
 */
#include "mutate/equivalents.h"
#include "mutate/results.h"

#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { JOBS_MOST = 16 };
struct settings {
    const char *rooms, *files, *kinds, *build, *equivalents;
    long seed, count, seconds;
    bool fresh;
    struct workshop workshop;
};

/* What a layer's sample is unless COUNT says so. */
#define COUNT_USUAL 60
#define ROOMS_USUAL "measure bike record analysis say session"

static const char *setting(int count, char **arguments, const char *name, const char *usual)
{
    size_t length = strlen(name);
    for (int i = 1; i < count; i++) {
        if (strncmp(arguments[i], name, length) == 0 && arguments[i][length] == '=' &&
            arguments[i][length + 1] != '\0') {
            return arguments[i] + length + 1;
        }
    }
    return usual;
}

static struct settings read_settings(int count, char **arguments)
{
    struct settings settings = {.rooms = setting(count, arguments, "ROOM", ROOMS_USUAL)};
    settings.files = setting(count, arguments, "FILE", NULL);
    settings.kinds = setting(count, arguments, "KIND", "rules tables sample");
    settings.build = setting(count, arguments, "BUILD", "build-mutate");
    settings.equivalents = setting(count, arguments, "EQUIVALENTS", "tests/mutate/equivalents.txt");
    settings.seed = strtol(setting(count, arguments, "SEED", "1"), NULL, 10);
    settings.count = strtol(setting(count, arguments, "COUNT", "-1"), NULL, 10);
    settings.seconds = strtol(setting(count, arguments, "SECONDS", "0"), NULL, 10);
    long jobs = strtol(setting(count, arguments, "JOBS", "2"), NULL, 10);
    settings.workshop.jobs = jobs < 1 ? 1 : jobs > JOBS_MOST ? JOBS_MOST : (int)jobs;
    settings.count = settings.count < 0 ? COUNT_USUAL : settings.count;
    settings.fresh = setting(count, arguments, "FRESH", NULL) != NULL;
    settings.workshop.build = settings.build;
    settings.workshop.longest_s = strtod(setting(count, arguments, "LONGEST", "8"), NULL);
    settings.workshop.compiler = getenv("MUTATE_CC");
    settings.workshop.without = setting(count, arguments, "WITHOUT", NULL);
    return settings;
}

static bool add_file(struct mutants *mutants, const struct settings *settings, const char *path)
{
    char *text = file_read(path);
    size_t first = mutants->count, kept = first;
    bool good = text != NULL && mutants_of(mutants, path, text, (uint64_t)settings->seed);
    char layer[32];
    layer_of(layer, path);
    for (size_t i = first; i < mutants->count; i++) {
        enum mutant_kind kind = mutants->all[i].kind;
        if (has_word(settings->kinds, mutant_kinds[kind]) &&
            (kind == MUTANT_TABLE || !only_tables(layer))) {
            mutants->all[kept++] = mutants->all[i];
        } else {
            free(mutants->all[i].replacement);
        }
    }
    mutants->count = kept;
    if (text == NULL) {
        fprintf(stderr, "mutate: can't read %s\n", path);
    }
    free(text);
    return good;
}

/* Both lists of words: a blank or a new line between. */
static bool split(struct names *names, const char *words)
{
    for (const char *at = words; *at != '\0'; at += strcspn(at, " \n")) {
        char word[256];
        at += strspn(at, " \n");
        snprintf(word, sizeof word, "%.*s", (int)strcspn(at, " \n"), at);
        if (word[0] != '\0' && !names_add(names, word)) {
            return false;
        }
    }
    return true;
}

/* Every mutant of the files that are asked for; those are in *files afterwards. The sample is one
 * for each layer, of files that are named one in all. */
static bool collect(struct mutants *mutants, const struct settings *settings, struct names *files)
{
    struct names rooms = {.count = 0};
    bool good = split(&rooms, settings->files != NULL ? "files" : settings->rooms);
    for (size_t r = 0; good && r < rooms.count; r++) {
        struct mutants more = {.count = 0};
        size_t first = files->count;
        good = settings->files != NULL ? split(files, settings->files)
                                       : sources_of(files, rooms.all[r]);
        for (size_t f = first; good && f < files->count; f++) {
            good = add_file(&more, settings, files->all[f]);
        }
        mutants_sample(&more, (size_t)settings->count);
        struct mutant *all = realloc(mutants->all, (mutants->count + more.count + 1) * sizeof *all);
        if (all != NULL) {
            mutants->all = all;
            for (size_t i = 0; i < more.count; i++) {
                all[mutants->count++] = more.all[i];
            }
            more.count = 0;
        }
        mutants_free(&more);
        good = good && all != NULL;
    }
    names_free(&rooms);
    return good;
}

/* Layers whose tests the mutants need: of a header's, those of all who see it. */
static bool layers_needed(struct names *layers, const struct mutants *mutants)
{
    char last[256] = "", name[64] = "";
    for (size_t i = 0; i < mutants->count; i++) {
        const struct mutant *mutant = &mutants->all[i];
        struct names users;
        if (strcmp(last, mutant->file) == 0 && strcmp(name, mutant->name) == 0) {
            continue;
        }
        memcpy(last, mutant->file, sizeof last);
        memcpy(name, mutant->name, sizeof name);
        if (!users_of(&users, mutant)) {
            return false;
        }
        for (size_t u = 0; u < users.count; u++) {
            char layer[32];
            layer_of(layer, users.all[u]);
            for (const char *const *tested = layers_that_test(layer); *tested != NULL; tested++) {
                if (!names_have(layers, *tested) && !names_add(layers, *tested)) {
                    return false;
                }
            }
        }
        names_free(&users);
    }
    return true;
}

/* The state of a run: what is under way in each folder. */
struct work {
    const struct settings *settings;
    const struct mutants *mutants;
    const struct programs *programs;
    struct equivalents *equivalents;
    struct results earlier;
    struct names killers;
    struct table table;
    FILE *results;
    struct {
        pid_t child;
        size_t mutant;
        uint64_t source;
    } job[JOBS_MOST];
    int killed, kept, not_tried;
};

static void take(struct work *work, size_t index, const struct outcome *outcome)
{
    const struct mutant *mutant = &work->mutants->all[index];
    table_add(&work->table, mutant, outcome->verdict);
    killers_add(&work->killers, mutant->file, outcome);
    if (outcome->verdict == SURVIVED || outcome->verdict == DID_NOT_BUILD) {
        printf("%s:%d: %s: %s: %s\n", mutant->file, mutant->line, mutant_verdicts[outcome->verdict],
               mutant->what, mutant->text);
        fflush(stdout);
    }
}

static void folder_of(char folder[300], const struct work *work, int job)
{
    snprintf(folder, 300, "%s/mutant-%d", work->settings->build, job);
}

/* In the child: the outcome goes into the folder's file. */
static void try_one(const struct work *work, size_t index, int job)
{
    char folder[300], path[400];
    folder_of(folder, work, job);
    struct outcome outcome = mutant_try(&work->mutants->all[index], &work->settings->workshop,
                                        work->programs, &work->killers, folder);
    snprintf(path, sizeof path, "%s/outcome", folder);
    _exit(file_write(path, (const char *)&outcome, sizeof outcome) ? 0 : 1);
}

/* Waits for one that is under way; its job is free then. */
static void finish_one(struct work *work)
{
    int status = 0;
    pid_t ended = wait(&status);
    for (int job = 0; job < work->settings->workshop.jobs; job++) {
        if (work->job[job].child != ended || ended <= 0) {
            continue;
        }
        char folder[300], path[400];
        struct outcome outcome = {DID_NOT_BUILD, ""};
        folder_of(folder, work, job);
        snprintf(path, sizeof path, "%s/outcome", folder);
        char *told = status == 0 ? file_read(path) : NULL;
        if (told != NULL) {
            memcpy(&outcome, told, sizeof outcome);
        }
        free(told);
        result_write(work->results, &work->mutants->all[work->job[job].mutant], &outcome,
                     work->job[job].source);
        take(work, work->job[job].mutant, &outcome);
        work->job[job].child = 0;
    }
}

static void begin_one(struct work *work, size_t index, uint64_t source)
{
    int job = 0;
    while (work->job[job].child != 0) {
        if (++job == work->settings->workshop.jobs) {
            finish_one(work);
            job = 0;
        }
    }
    char folder[300], command[400];
    folder_of(folder, work, job);
    snprintf(command, sizeof command, "rm -rf %s", folder);
    fflush(NULL);
    if (system(command) != 0) {
        fprintf(stderr, "mutate: can't empty %s\n", folder);
    }
    work->job[job].mutant = index;
    work->job[job].source = source;
    work->job[job].child = fork();
    if (work->job[job].child == 0) {
        try_one(work, index, job);
    }
}

static uint64_t hash_file(const char *path)
{
    char *text = file_read(path);
    uint64_t hash = hash_text(0xcbf29ce484222325u, text != NULL ? text : "");
    free(text);
    return hash;
}

static void try_all(struct work *work)
{
    const struct settings *settings = work->settings;
    time_t began = time(NULL);
    for (size_t i = 0; i < work->mutants->count; i++) {
        const struct mutant *mutant = &work->mutants->all[i];
        struct outcome equivalent = {EQUIVALENT, ""};
        uint64_t source = hash_file(mutant->file);
        const struct outcome *known =
            settings->fresh ? NULL : results_find(&work->earlier, mutant, source);
        if (equivalents_has(work->equivalents, mutant)) {
            take(work, i, &equivalent);
        } else if (known != NULL && known->verdict != EQUIVALENT &&
                   !program_left_out(&settings->workshop, known->by)) {
            work->kept++;
            take(work, i, known);
        } else if (settings->seconds > 0 && time(NULL) - began >= settings->seconds) {
            work->not_tried++;
        } else {
            begin_one(work, i, source);
        }
    }
    for (int job = 0; job < settings->workshop.jobs; job++) {
        while (work->job[job].child > 0) {
            finish_one(work);
        }
    }
    printf("%zu mutants of seed %ld, %d of them known from before, in %ld s\n",
           work->mutants->count, settings->seed, work->kept, (long)(time(NULL) - began));
    if (work->not_tried > 0) {
        printf("note: after %ld s %d were not tried\n", settings->seconds, work->not_tried);
    }
}

/* Entries of the list that no mutant of the files has any more. */
static int tell_unused(struct equivalents *equivalents, const struct settings *settings,
                       const struct names *files)
{
    int unused = 0;
    struct settings all = *settings;
    struct mutants mutants = {.count = 0};
    all.kinds = "rules tables sample";
    for (size_t f = 0; f < files->count; f++) {
        add_file(&mutants, &all, files->all[f]);
    }
    for (size_t i = 0; i < mutants.count; i++) {
        equivalents_has(equivalents, &mutants.all[i]);
    }
    for (size_t i = 0; i < equivalents->count; i++) {
        const struct equivalent *entry = &equivalents->all[i];
        bool gone = access(entry->file, R_OK) != 0;
        if (!entry->used && (gone || names_have(files, entry->file))) {
            printf("%s:%d: there is no such mutant any more\n", settings->equivalents, entry->line);
            unused++;
        }
    }
    mutants_free(&mutants);
    return unused;
}

static void list(const struct mutants *mutants)
{
    for (size_t i = 0; i < mutants->count; i++) {
        const struct mutant *mutant = &mutants->all[i];
        printf("%s:%d: %s: %s: %s\n", mutant->file, mutant->line, mutant_kinds[mutant->kind],
               mutant->what, mutant->text);
    }
}

static int by_chance(const void *a, const void *b)
{
    uint64_t one = ((const struct mutant *)a)->rank, other = ((const struct mutant *)b)->rank;
    return one < other ? -1 : one > other;
}

static bool run_all(const struct settings *settings, struct mutants *mutants,
                    const struct names *layers, const struct names *files)
{
    struct equivalents equivalents;
    struct programs programs = {.count = 0};
    struct work work = {.settings = settings, .mutants = mutants, .programs = &programs};
    char path[400];
    int wrong_line = 0;
    if (!equivalents_read(&equivalents, settings->equivalents, &wrong_line)) {
        fprintf(stderr, "mutate: %s:%d: not an entry\n", settings->equivalents, wrong_line);
        return false;
    }
    work.equivalents = &equivalents;
    if (settings->seconds > 0 && mutants->count > 0) { /* what there is time for, of everything */
        qsort(mutants->all, mutants->count, sizeof *mutants->all, by_chance);
    }
    snprintf(path, sizeof path, "%s/results", settings->build);
    bool good =
        results_read(&work.earlier, path) && programs_find(&programs, &settings->workshop, layers);
    work.results = good ? fopen(path, settings->fresh ? "w" : "a") : NULL;
    for (size_t i = 0; i < programs.count; i++) {
        if (programs.all[i].fails) {
            printf("note: left out, it fails or takes too long without a change: %s\n",
                   programs.all[i].path);
        }
    }
    good = work.results != NULL;
    if (good) {
        try_all(&work);
        fclose(work.results);
        table_print(&work.table, stdout);
        int unused = tell_unused(&equivalents, settings, files);
        good = table_good(&work.table) && unused == 0;
    }
    results_free(&work.earlier);
    names_free(&work.killers);
    programs_free(&programs);
    equivalents_free(&equivalents);
    return good;
}

int main(int count, char **arguments)
{
    struct settings settings = read_settings(count, arguments);
    struct mutants mutants = {.count = 0};
    struct names files = {.count = 0}, layers = {.count = 0};
    const char *asked = count > 1 && strchr(arguments[1], '=') == NULL ? arguments[1] : "";
    bool good = collect(&mutants, &settings, &files) && layers_needed(&layers, &mutants);
    if (good && strcmp(asked, "list") == 0) {
        list(&mutants);
    } else if (good && strcmp(asked, "layers") == 0) {
        for (size_t i = 0; i < layers.count; i++) {
            printf("%s\n", layers.all[i]);
        }
    } else if (good && settings.workshop.compiler == NULL) {
        fprintf(stderr, "mutate: MUTATE_CC is not set\n");
        good = false;
    } else {
        good = good && run_all(&settings, &mutants, &layers, &files);
    }
    mutants_free(&mutants);
    names_free(&files);
    names_free(&layers);
    return good ? EXIT_SUCCESS : EXIT_FAILURE;
}
