/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/fault_folder.h"

#include <dirent.h>
#include <fcntl.h>
#include <ftw.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#define NAME_SIZE 512
#define LONGEST_S 60 /* on a machine that does more than this */
#define LOOK_US 1000

static void end(const char *what)
{
    perror(what);
    exit(EXIT_FAILURE);
}

/* ---- files -------------------------------------------------------------------------------------
 */

const char *fault_folder_path(const struct fault_folder *folder, const char *of, const char *name)
{
    static char path[4][NAME_SIZE];
    static int turn;
    turn = (turn + 1) % 4;
    snprintf(path[turn], sizeof path[turn], "%s/%s%s%s", folder->path, of,
             name[0] != '\0' ? "/" : "", name);
    return path[turn];
}

static char *read_all(const char *path, size_t *length)
{
    FILE *file = fopen(path, "rb");
    struct stat status;
    if (file == NULL || fstat(fileno(file), &status) != 0) {
        if (file != NULL) {
            fclose(file);
        }
        return NULL;
    }
    char *text = malloc((size_t)status.st_size + 1);
    if (text == NULL) {
        end("faults");
    }
    *length = fread(text, 1, (size_t)status.st_size, file);
    text[*length] = '\0';
    fclose(file);
    return text;
}

static void write_all(const char *path, const char *text, size_t length)
{
    FILE *file = fopen(path, "wb");
    if (file == NULL || fwrite(text, 1, length, file) != length || fclose(file) != 0) {
        end(path);
    }
}

/* Calls work with the name of each file of a folder, until it says true. */
static bool each_file(const char *path, bool (*work)(void *context, const char *name),
                      void *context)
{
    DIR *listing = opendir(path);
    bool found = false;
    if (listing == NULL) {
        end(path);
    }
    for (struct dirent *entry = readdir(listing); entry != NULL && !found;
         entry = readdir(listing)) {
        found = entry->d_name[0] != '.' && work(context, entry->d_name);
    }
    closedir(listing);
    return found;
}

struct copying {
    const struct fault_folder *folder;
    const char *from, *to;
};

static bool remove_one(void *context, const char *name)
{
    const struct copying *copying = context;
    if (unlink(fault_folder_path(copying->folder, copying->to, name)) != 0) {
        end(name);
    }
    return false;
}

static bool copy_one(void *context, const char *name)
{
    const struct copying *copying = context;
    size_t length = 0;
    char *text = read_all(fault_folder_path(copying->folder, copying->from, name), &length);
    if (text == NULL) {
        end(name);
    }
    write_all(fault_folder_path(copying->folder, copying->to, name), text, length);
    free(text);
    return false;
}

static void copy_folder(const struct fault_folder *folder, const char *from, const char *to)
{
    struct copying copying = {folder, from, to};
    mkdir(fault_folder_path(folder, to, ""), 0700);
    each_file(fault_folder_path(folder, to, ""), remove_one, &copying);
    each_file(fault_folder_path(folder, from, ""), copy_one, &copying);
}

void fault_folder_lay(const struct fault_folder *folder, const char *name)
{
    copy_folder(folder, name, "work");
}

void fault_folder_keep(const struct fault_folder *folder, const char *name)
{
    copy_folder(folder, "work", name);
}

static int remove_entry(const char *path, const struct stat *status, int kind, struct FTW *place)
{
    (void)status;
    return place->level == 0 ? 0 : (kind == FTW_DP ? rmdir(path) : unlink(path)) ? -1 : 0;
}

void fault_folder_empty(const struct fault_folder *folder, const char *name)
{
    if (nftw(fault_folder_path(folder, name, ""), remove_entry, 8, FTW_DEPTH | FTW_PHYS) != 0) {
        end(name);
    }
}

void fault_folder_take(const struct fault_folder *folder, const char *from, const char *name)
{
    char path[NAME_SIZE];
    size_t length = 0;
    snprintf(path, sizeof path, "%s/%s", from, name);
    char *text = read_all(path, &length);
    if (text == NULL) {
        end(path);
    }
    write_all(fault_folder_path(folder, "base", name), text, length);
    free(text);
}

void fault_folder_write(const struct fault_folder *folder, const char *of, const char *name,
                        const char *text)
{
    write_all(fault_folder_path(folder, of, name), text, strlen(text));
}

static bool whole_path(const char *path, char *whole, size_t size)
{
    char *real = realpath(path, NULL);
    bool fits = real != NULL && strlen(real) < size;
    if (fits) {
        snprintf(whole, size, "%s", real);
    }
    free(real);
    return fits;
}

bool fault_folder_create(struct fault_folder *folder, const char *program, const char *shim)
{
    memset(folder, 0, sizeof *folder);
    /* in memory where that may be: another's disk is no fault of ours */
    snprintf(folder->path, sizeof folder->path, "%s/holdline-faults-XXXXXX",
             access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp");
    return mkdtemp(folder->path) != NULL &&
           whole_path(program, folder->program, sizeof folder->program) &&
           whole_path(shim, folder->shim, sizeof folder->shim) &&
           mkdir(fault_folder_path(folder, "base", ""), 0700) == 0 &&
           mkdir(fault_folder_path(folder, "home", ""), 0700) == 0;
}

void fault_folder_remove(const struct fault_folder *folder)
{
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder->path);
    if (system(command) != 0) {
        end(command);
    }
}

/* ---- the program -------------------------------------------------------------------------------
 */

static void set_fault(const struct fault_folder *folder, const struct fault *fault)
{
    char at[32];
    snprintf(at, sizeof at, "%ld", fault->at);
    setenv("LD_PRELOAD", folder->shim, 1);
    setenv("HOLDLINE_FAULT", fault->kind, 1);
    setenv("HOLDLINE_FAULT_AS", fault->as, 1);
    setenv("HOLDLINE_FAULT_AT", at, 1);
    setenv("HOLDLINE_FAULT_FOLDER", fault_folder_path(folder, "work", ""), 1);
    setenv("HOLDLINE_FAULT_COUNT", fault_folder_path(folder, "count", ""), 1);
}

static void run_child(const struct fault_folder *folder, const char *const *arguments,
                      const struct fault *fault)
{
    char *argv[16] = {(char *)(size_t)folder->program};
    for (int i = 0; i < 14 && arguments[i] != NULL; i++) {
        argv[i + 1] = (char *)(size_t)arguments[i];
    }
    int in = open("/dev/null", O_RDONLY);
    int out = open(fault_folder_path(folder, "output", ""), O_WRONLY | O_CREAT | O_TRUNC, 0600);
    int err = open(fault_folder_path(folder, "errors", ""), O_WRONLY | O_CREAT | O_TRUNC, 0600);
    setenv("LC_ALL", "C.UTF-8", 1);
    setenv("HOME", fault_folder_path(folder, "home", ""), 1);
    setenv("TMPDIR", fault_folder_path(folder, "home", ""), 1);
    if (fault != NULL) {
        set_fault(folder, fault);
    }
    if (chdir(fault_folder_path(folder, "work", "")) != 0 || dup2(in, 0) < 0 || dup2(out, 1) < 0 ||
        dup2(err, 2) < 0) {
        _exit(126);
    }
    setpgid(0, 0);
    close(in);
    close(out);
    close(err);
    execv(argv[0], argv);
    _exit(127);
}

/* False where it had to be ended. */
static bool wait_for(pid_t child, int *status)
{
    time_t until = time(NULL) + LONGEST_S;
    while (waitpid(child, status, WNOHANG) == 0) {
        if (time(NULL) > until) {
            kill(child, SIGKILL);
            waitpid(child, status, 0);
            return false;
        }
        usleep(LOOK_US);
    }
    return true;
}

static char *said(const struct fault_folder *folder, const char *name)
{
    size_t length = 0;
    char *text = read_all(fault_folder_path(folder, name, ""), &length);
    return text != NULL ? text : calloc(1, 1);
}

struct fault_run fault_folder_run(const struct fault_folder *folder, const char *const *arguments,
                                  const struct fault *fault)
{
    struct fault_run run = {.failed = "-"};
    int status = 0;
    unlink(fault_folder_path(folder, "count", ""));
    fflush(NULL);
    pid_t child = fork();
    if (child < 0) {
        end("faults");
    }
    if (child == 0) {
        run_child(folder, arguments, fault);
    }
    run.timed_out = !wait_for(child, &status);
    run.status = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    run.output = said(folder, "output");
    run.errors = said(folder, "errors");
    char *count = said(folder, "count");
    if (fault == NULL || sscanf(count, "%ld %31s", &run.calls, run.failed) != 2) {
        run.calls = 0;
    }
    free(count);
    return run;
}

void fault_run_free(struct fault_run *run)
{
    free(run->output);
    free(run->errors);
}

/* ---- what stores say ---------------------------------------------------------------------------
 */

char *fault_folder_session(const struct fault_folder *folder, const char *store, const char *id)
{
    const char *const arguments[] = {"show", id, "--json", "--store", store, NULL};
    struct fault_run run = fault_folder_run(folder, arguments, NULL);
    if (run.status == 0) {
        free(run.errors);
        return run.output;
    }
    free(run.output);
    return run.errors;
}

static void append(char **all, char *more)
{
    size_t length = strlen(*all), add = strlen(more);
    char *larger = realloc(*all, length + add + 1);
    if (larger == NULL) {
        end("faults");
    }
    memcpy(larger + length, more, add + 1);
    free(more);
    *all = larger;
}

/* Not every command makes each, and a store that is as before need not be read. */
char *fault_folder_stores(const struct fault_folder *folder)
{
    static const char *const stores[] = {"s.db", "copy.db", "saved.db"};
    static const char *const sessions[] = {"1", "2"};
    char *all = calloc(1, 1);
    for (size_t i = 0; i < sizeof stores / sizeof stores[0]; i++) {
        if (access(fault_folder_path(folder, "work", stores[i]), F_OK) != 0) {
            continue;
        }
        for (size_t k = 0; k < sizeof sessions / sizeof sessions[0]; k++) {
            append(&all, fault_folder_session(folder, stores[i], sessions[k]));
        }
    }
    return all;
}

/* ---- comparing ---------------------------------------------------------------------------------
 */

struct comparing {
    const struct fault_folder *folder;
    const char *here, *there, *other;
    char *name;
    size_t size;
};

static bool has_in_it(const char *name, const char *part)
{
    return strstr(name, part) != NULL;
}

static bool same_file(const struct fault_folder *folder, const char *a, const char *b,
                      const char *name)
{
    size_t length_a = 0, length_b = 0;
    char *text_a = read_all(fault_folder_path(folder, a, name), &length_a);
    char *text_b = read_all(fault_folder_path(folder, b, name), &length_b);
    bool same = text_a != NULL && text_b != NULL && length_a == length_b &&
                memcmp(text_a, text_b, length_a) == 0;
    free(text_a);
    free(text_b);
    return same;
}

static bool find(struct comparing *comparing, const char *name)
{
    snprintf(comparing->name, comparing->size, "%s", name);
    return true;
}

static bool differs(void *context, const char *name)
{
    struct comparing *comparing = context;
    return !has_in_it(name, ".db") &&
           !same_file(comparing->folder, comparing->here, comparing->there, name) &&
           find(comparing, name);
}

bool fault_folder_differs(const struct fault_folder *folder, const char *with, char *name,
                          size_t size)
{
    struct comparing forth = {folder, "work", with, NULL, name, size};
    struct comparing back = {folder, with, "work", NULL, name, size};
    return each_file(fault_folder_path(folder, "work", ""), differs, &forth) ||
           each_file(fault_folder_path(folder, with, ""), differs, &back);
}

static bool is_half(void *context, const char *name)
{
    struct comparing *comparing = context;
    bool of_store = strncmp(name, "s.db", 4) == 0 && !has_in_it(name, ".part");
    return !of_store && !same_file(comparing->folder, "work", comparing->there, name) &&
           !same_file(comparing->folder, "work", comparing->other, name) && find(comparing, name);
}

bool fault_folder_half(const struct fault_folder *folder, const char *before, const char *after,
                       char *name, size_t size)
{
    struct comparing comparing = {folder, "work", before, after, name, size};
    return each_file(fault_folder_path(folder, "work", ""), is_half, &comparing);
}
