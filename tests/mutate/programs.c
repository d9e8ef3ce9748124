/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "mutate/programs.h"

#include <fcntl.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <unistd.h>

#define SHORTEST_LIMIT_S 2.0
#define LIMIT_TIMES 10.0
#define WALL_LIMIT_S 300
#define NOT_BEGUN 127

/* In the child: what is said goes into the file, and a run without end is ended. */
static void prepare_child(const char *log, double limit_s)
{
    struct rlimit limit = {.rlim_cur = (rlim_t)limit_s + 1, .rlim_max = (rlim_t)limit_s + 2};
    struct rlimit none = {0, 0};
    setrlimit(RLIMIT_CPU, &limit);
    setrlimit(RLIMIT_CORE, &none);
    int nothing = open("/dev/null", O_RDONLY), out = open(log, O_WRONLY | O_CREAT | O_TRUNC, 0666);
    if (nothing >= 0 && out >= 0) {
        dup2(nothing, 0);
        dup2(out, 1);
        dup2(out, 2);
    }
    alarm(WALL_LIMIT_S); /* one that waits takes no processor time */
}

/* The exit status, 128 and more for a signal; the processor time into *time_s where wanted. */
static int run(const char *const *arguments, const char *log, double limit_s, double *time_s)
{
    struct rusage before, after;
    int status = 0;
    getrusage(RUSAGE_CHILDREN, &before);
    pid_t child = fork();
    if (child == 0) {
        prepare_child(log, limit_s);
        execv(arguments[0], (char *const *)(size_t)arguments);
        _exit(NOT_BEGUN);
    }
    if (child < 0 || waitpid(child, &status, 0) != child) {
        return 126;
    }
    getrusage(RUSAGE_CHILDREN, &after);
    if (time_s != NULL) {
        *time_s = (double)(after.ru_utime.tv_sec - before.ru_utime.tv_sec) +
                  (double)(after.ru_stime.tv_sec - before.ru_stime.tv_sec) +
                  1e-6 * (double)(after.ru_utime.tv_usec - before.ru_utime.tv_usec +
                                  after.ru_stime.tv_usec - before.ru_stime.tv_usec);
    }
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

static int run_program(const struct program *program, const char *log, double limit_s,
                       double *time_s)
{
    const char *arguments[] = {program->path, NULL};
    setenv("CK_FORK", program->forks ? "yes" : "no", 1);
    setenv("CK_DEFAULT_TIMEOUT", "60", 1);
    setenv("MALLOC_PERTURB_", "165", 1); /* memory that nobody set is not 0 by luck */
    return run(arguments, log, limit_s, time_s);
}

/* Programs are run the first time by several processes; what they found is in memory that all of
 * them see. */
struct first_runs {
    atomic_size_t next; /* that nobody has taken */
    struct program program[];
};

static void run_once(struct program *program, const struct workshop *workshop, int job)
{
    char log[300];
    double limit_s = workshop->longest_s > 0.0 ? workshop->longest_s : WALL_LIMIT_S;
    program->fails = false;
    snprintf(log, sizeof log, "%s/first-run-%d.log", workshop->build, job);
    if (run_program(program, log, limit_s, &program->time_s) == 0) {
        return;
    }
    program->forks = true;
    program->fails =
        program->time_s >= limit_s || run_program(program, log, limit_s, &program->time_s) != 0;
}

static void take_runs(struct first_runs *runs, size_t count, const struct workshop *workshop,
                      int job)
{
    size_t i;
    while ((i = atomic_fetch_add(&runs->next, 1)) < count) {
        run_once(&runs->program[i], workshop, job);
    }
}

/* What a process that ends badly had taken stays one that fails. */
static bool run_each_once(struct programs *programs, const struct workshop *workshop)
{
    size_t size = programs->count * sizeof *programs->all;
    struct first_runs *runs =
        mmap(NULL, sizeof *runs + size, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    if (runs == MAP_FAILED) {
        return false;
    }
    for (size_t i = 0; i < programs->count; i++) {
        programs->all[i].fails = true;
        runs->program[i] = programs->all[i];
    }
    for (int job = 1; job < workshop->jobs; job++) {
        if (fork() == 0) {
            take_runs(runs, programs->count, workshop, job);
            _exit(0);
        }
    }
    take_runs(runs, programs->count, workshop, 0);
    while (wait(NULL) > 0) {
    }
    for (size_t i = 0; i < programs->count; i++) {
        programs->all[i] = runs->program[i];
    }
    munmap(runs, sizeof *runs + size);
    return true;
}

bool program_left_out(const struct workshop *workshop, const char *source)
{
    char name[256];
    snprintf(name, sizeof name, "%.*s", (int)strcspn(source, "."), source);
    return workshop->without != NULL && has_word(workshop->without, name);
}

bool programs_find(struct programs *programs, const struct workshop *workshop,
                   const struct names *layers)
{
    *programs = (struct programs){.count = 0};
    for (size_t l = 0; l < layers->count; l++) {
        struct names sources = {.count = 0};
        char folder[300];
        snprintf(folder, sizeof folder, "tests/%s", layers->all[l]);
        bool good = names_of_folder(&sources, folder, "test_", ".c");
        struct program *more =
            realloc(programs->all, (programs->count + sources.count + 1) * sizeof *more);
        programs->all = more != NULL ? more : programs->all;
        for (size_t i = 0; more != NULL && i < sources.count; i++) {
            struct program *program = &more[programs->count];
            *program = (struct program){.time_s = 0.0};
            snprintf(program->source, sizeof program->source, "%s", sources.all[i]);
            snprintf(program->layer, sizeof program->layer, "%.31s", layers->all[l]);
            int length = snprintf(program->path, sizeof program->path, "%s/%.*s", workshop->build,
                                  (int)strlen(sources.all[i]) - 2, sources.all[i]);
            if (length < (int)sizeof program->path && access(program->path, X_OK) == 0 &&
                !program_left_out(workshop, strchr(program->source, '/') + 1)) {
                programs->count++;
            }
        }
        names_free(&sources);
        if (!good || more == NULL) {
            return false;
        }
    }
    return run_each_once(programs, workshop);
}

void programs_free(struct programs *programs)
{
    free(programs->all);
    *programs = (struct programs){.count = 0};
}

/* A source is compiled where it stands, with a changed header of include/ looked for before the
 * compiler's own -I (-iquote does that); else its copy in the folder is, beside what was changed,
 * and finds the rest where it came from. */
static bool write_changed(const struct mutant *mutant, const struct names *users,
                          const char *only_layer, const char *folder, char *sources, size_t size)
{
    char path[600];
    size_t used = 0;
    char *text = file_read(mutant->file);
    char *changed = text != NULL ? mutant_apply(mutant, text) : NULL;
    snprintf(path, sizeof path, "%s/%s", folder, mutant->file);
    bool good = changed != NULL && file_write(path, changed, strlen(changed));
    free(text);
    free(changed);
    bool in_place = strncmp(mutant->file, "include/", 8) == 0;
    for (size_t i = 0; good && i < users->count; i++) {
        const char *user = users->all[i];
        const char *slash = strrchr(user, '/');
        char layer[32];
        layer_of(layer, user);
        if (strcmp(layer, only_layer) != 0) {
            continue;
        }
        int length = in_place ? snprintf(sources + used, size - used, " %s", user)
                              : snprintf(sources + used, size - used, " -iquote %.*s %s/%s",
                                         (int)(slash - user), user, folder, user);
        used += (size_t)length;
        if (!in_place && strcmp(user, mutant->file) != 0) {
            snprintf(path, sizeof path, "%s/%s", folder, user);
            text = file_read(user);
            good = text != NULL && file_write(path, text, strlen(text));
            free(text);
        }
        good = good && used < size;
    }
    return good;
}

/* The users of one layer into a shared object of their own: a program can't load one of a layer
 * that it is not linked with, what that needs is not there. */
static bool build_layer(const struct mutant *mutant, const struct workshop *workshop,
                        const struct names *users, const char *layer, const char *folder,
                        struct outcome *outcome)
{
    enum { COMMAND_SIZE = 65536 };
    char *command = malloc(COMMAND_SIZE), *sources = malloc(COMMAND_SIZE), log[300];
    bool built = false;
    if (command != NULL && sources != NULL &&
        write_changed(mutant, users, layer, folder, sources, COMMAND_SIZE) &&
        snprintf(command, COMMAND_SIZE, "%s -iquote %s/include -o %s/changed-%s.so %s",
                 workshop->compiler, folder, folder, layer, sources) < COMMAND_SIZE) {
        const char *arguments[] = {"/bin/sh", "-c", command, NULL};
        snprintf(log, sizeof log, "%s/compiler.log", folder);
        built = run(arguments, log, WALL_LIMIT_S, NULL) == 0;
        char *said = built ? NULL : file_read(log);
        if (said != NULL && mutant->kind == MUTANT_TABLE &&
            strstr(said, "static assertion failed") != NULL) {
            *outcome = (struct outcome){KILLED, "static assertion"};
        }
        free(said);
    }
    free(command);
    free(sources);
    return built;
}

/* *built: the layers that have one. */
static bool build(const struct mutant *mutant, const struct workshop *workshop,
                  const struct names *users, const char *folder, struct names *built,
                  struct outcome *outcome)
{
    *built = (struct names){.count = 0};
    for (size_t i = 0; i < users->count; i++) {
        char layer[32];
        layer_of(layer, users->all[i]);
        if (!names_have(built, layer) &&
            (!build_layer(mutant, workshop, users, layer, folder, outcome) ||
             !names_add(built, layer))) {
            names_free(built);
            return false;
        }
    }
    return true;
}

/* What is to be loaded before a program's own libraries. */
static void preload(const struct program *program, const struct names *built, const char *folder)
{
    char shared[4096] = "", here[2048] = "";
    size_t used = 0;
    bool from_here = folder[0] != '/' && getcwd(here, sizeof here) != NULL;
    for (size_t i = 0; i < built->count && used < sizeof shared; i++) {
        if (layer_is_linked(program->layer, built->all[i])) {
            used += (size_t)snprintf(shared + used, sizeof shared - used, "%s%s%s%s/changed-%s.so",
                                     used > 0 ? ":" : "", here, from_here ? "/" : "", folder,
                                     built->all[i]);
        }
    }
    setenv("LD_PRELOAD", shared, 1);
}

/* Whether code names it; a text or a comment may: what stands beside it there pins its number. */
static bool code_names(const char *text, const char *name)
{
    struct scan scan;
    if (name[0] == '\0' || !has_word(text, name) || !scan_text(&scan, text, 0, strlen(text), 1)) {
        return false;
    }
    bool named = false;
    for (size_t i = 0; i < scan.count && !named; i++) {
        named = scan.token[i].kind == TOKEN_NAME && token_is(&scan, i, name);
    }
    scan_free(&scan);
    return named;
}

/* 0 for the module's own test, 1 where its header is included, 2 for the rest, -1 for none. */
static int nearness(const struct program *program, const struct mutant *mutant,
                    const struct names *users)
{
    int nearest = 3;
    char *text = file_read(program->source);
    bool names_rule = text == NULL || code_names(text, mutant->name);
    for (size_t i = 0; !names_rule && !program->fails && i < users->count; i++) {
        char layer[32], own[300], header[300];
        layer_of(layer, users->all[i]);
        const char *module = strrchr(users->all[i], '/') + 1;
        snprintf(own, sizeof own, "tests/%s/test_%s", layer, module);
        snprintf(header, sizeof header, "\"%s/%.*s.h\"", layer, (int)strlen(module) - 2, module);
        int near = 3;
        for (const char *const *tested = layers_that_test(layer); *tested != NULL; tested++) {
            near = strcmp(*tested, program->layer) == 0 ? 2 : near;
        }
        near = near < 3 && strstr(text, header) != NULL ? 1 : near;
        near = strcmp(own, program->source) == 0 ? 0 : near;
        nearest = near < nearest ? near : nearest;
    }
    free(text);
    return nearest < 3 ? nearest : -1;
}

/* One that could not be begun, or misses a name on its way, says nothing (ld.so: 127). */
static bool kills(const struct program *program, const struct names *built, const char *folder)
{
    char log[300];
    double limit_s = LIMIT_TIMES * program->time_s;
    snprintf(log, sizeof log, "%s/test.log", folder);
    preload(program, built, folder);
    int status =
        run_program(program, log, limit_s > SHORTEST_LIMIT_S ? limit_s : SHORTEST_LIMIT_S, NULL);
    unsetenv("LD_PRELOAD");
    return status != 0 && status != NOT_BEGUN;
}

/* A source, 'measure/test_rules.c', of its program. */
static const char *source_of(const struct program *program)
{
    return strchr(program->source, '/') + 1;
}

static void name_killer(char name[256], const char *file, const char *source)
{
    snprintf(name, 256, "%.180s %.60s", file, source);
}

void killers_add(struct names *killers, const char *file, const struct outcome *outcome)
{
    char name[256];
    name_killer(name, file, outcome->by);
    if (outcome->verdict == KILLED && !names_have(killers, name)) {
        names_add(killers, name);
    }
}

/* As nearness says it, but nearer than all for what killed another mutant of the file. */
static int turn_of(const struct program *program, const struct mutant *mutant,
                   const struct names *users, const struct names *killers)
{
    char name[256];
    int near = nearness(program, mutant, users);
    name_killer(name, mutant->file, source_of(program));
    return near < 0 ? -1 : names_have(killers, name) ? 0 : near + 1;
}

/* Which has its turn next, the shortest of the nearest; their count where none has. */
static size_t next_program(const struct programs *programs, const int *turn)
{
    size_t best = programs->count;
    for (size_t i = 0; i < programs->count; i++) {
        if (turn[i] >= 0 &&
            (best == programs->count || turn[i] < turn[best] ||
             (turn[i] == turn[best] && programs->all[i].time_s < programs->all[best].time_s))) {
            best = i;
        }
    }
    return best;
}

struct outcome mutant_try(const struct mutant *mutant, const struct workshop *workshop,
                          const struct programs *programs, const struct names *killers,
                          const char *folder)
{
    struct outcome outcome = {DID_NOT_BUILD, ""};
    struct names users, built;
    int *turn = calloc(programs->count + 1, sizeof *turn);
    if (turn == NULL || !users_of(&users, mutant)) {
        free(turn);
        return outcome;
    }
    if (!build(mutant, workshop, &users, folder, &built, &outcome)) {
        names_free(&users);
        free(turn);
        return outcome;
    }
    outcome.verdict = SURVIVED;
    for (size_t i = 0; i < programs->count; i++) {
        turn[i] = turn_of(&programs->all[i], mutant, &users, killers);
    }
    for (size_t i;
         outcome.verdict == SURVIVED && (i = next_program(programs, turn)) < programs->count;) {
        turn[i] = -1;
        if (kills(&programs->all[i], &built, folder)) {
            outcome.verdict = KILLED;
            snprintf(outcome.by, sizeof outcome.by, "%.60s", source_of(&programs->all[i]));
        }
    }
    names_free(&built);
    names_free(&users);
    free(turn);
    return outcome;
}
