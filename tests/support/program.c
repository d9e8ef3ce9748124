/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/program.h"

#include <check.h>
#include <ftw.h>
#include <poll.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

const char *program_path(void)
{
    const char *path = getenv("HOLDLINE");
    return path != NULL ? path : BUILD_DIR "/holdline";
}

struct gathered {
    int fd;
    char *text;
    size_t used, size;
};

/* False at the end of the stream. */
static bool gather(struct gathered *gathered)
{
    if (gathered->size - gathered->used < 4096) {
        gathered->size = gathered->size == 0 ? 16384 : gathered->size * 2;
        gathered->text = realloc(gathered->text, gathered->size);
        ck_assert_ptr_nonnull(gathered->text);
    }
    ssize_t got =
        read(gathered->fd, gathered->text + gathered->used, gathered->size - gathered->used - 1);
    if (got > 0) {
        gathered->used += (size_t)got;
    }
    gathered->text[gathered->used] = '\0';
    return got > 0;
}

static void run_child(const char *folder, const char *const *arguments, int in, int out, int err)
{
    char *argv[64] = {(char *)(size_t)program_path()};
    for (int i = 0; i < 62 && arguments[i] != NULL; i++) {
        argv[i + 1] = (char *)(size_t)arguments[i];
    }
    if (folder != NULL && chdir(folder) != 0) {
        _exit(126);
    }
    dup2(in, 0);
    dup2(out, 1);
    dup2(err, 2);
    for (int fd = 3; fd < 256; fd++) {
        close(fd);
    }
    execv(argv[0], argv);
    _exit(127);
}

struct program_result program_run(const char *folder, const char *input,
                                  const char *const *arguments)
{
    int in[2], out[2], err[2], status = 0;
    ck_assert_int_eq(pipe(in), 0);
    ck_assert_int_eq(pipe(out), 0);
    ck_assert_int_eq(pipe(err), 0);
    fflush(NULL);
    signal(SIGPIPE, SIG_IGN);
    pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        signal(SIGPIPE, SIG_DFL);
        run_child(folder, arguments, in[0], out[1], err[1]);
    }
    close(in[0]);
    close(out[1]);
    close(err[1]);
    if (input != NULL && write(in[1], input, strlen(input)) < 0) {
        /* the program may not want it */
    }
    close(in[1]);
    struct gathered output = {.fd = out[0]}, errors = {.fd = err[0]};
    struct pollfd both[2] = {{.fd = out[0], .events = POLLIN}, {.fd = err[0], .events = POLLIN}};
    while (both[0].fd >= 0 || both[1].fd >= 0) {
        poll(both, 2, -1);
        if (both[0].fd >= 0 && both[0].revents != 0 && !gather(&output)) {
            both[0].fd = -1;
        }
        if (both[1].fd >= 0 && both[1].revents != 0 && !gather(&errors)) {
            both[1].fd = -1;
        }
    }
    close(out[0]);
    close(err[0]);
    waitpid(child, &status, 0);
    return (struct program_result){
        .status = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status),
        .output = output.text,
        .errors = errors.text,
    };
}

void program_free(struct program_result *result)
{
    free(result->output);
    free(result->errors);
    result->output = result->errors = NULL;
}

struct json_value *program_json(const struct program_result *result, int status)
{
    char error[160] = "";
    ck_assert_msg(result->status == status, "exit status %d: %s", result->status, result->errors);
    struct json_value *value = json_read(result->output, error);
    ck_assert_msg(value != NULL, "%s: %s", error, result->output);
    return value;
}

const char *program_folder(void)
{
    static char folder[256];
    const char *base = getenv("TMPDIR");
    snprintf(folder, sizeof folder, "%s/holdline-test-XXXXXX", base != NULL ? base : "/tmp");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    return folder;
}

static int remove_one(const char *path, const struct stat *status, int kind, struct FTW *walk)
{
    (void)status;
    (void)kind;
    (void)walk;
    return remove(path);
}

void program_folder_remove(const char *folder)
{
    if (strstr(folder, "holdline-test-") != NULL) {
        nftw(folder, remove_one, 16, FTW_DEPTH | FTW_PHYS);
    }
}

char *program_read_file(const char *folder, const char *name, size_t *length)
{
    char path[1024];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "rb");
    ck_assert_msg(file != NULL, "%s is not there", path);
    fseek(file, 0, SEEK_END);
    long size = ftell(file);
    rewind(file);
    char *text = malloc((size_t)size + 1);
    ck_assert_ptr_nonnull(text);
    ck_assert_uint_eq(fread(text, 1, (size_t)size, file), (size_t)size);
    text[size] = '\0';
    fclose(file);
    if (length != NULL) {
        *length = (size_t)size;
    }
    return text;
}

void program_write_file(const char *folder, const char *name, const char *text)
{
    char path[1024];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "wb");
    ck_assert_ptr_nonnull(file);
    ck_assert_int_ge(fputs(text, file), 0);
    ck_assert_int_eq(fclose(file), 0);
}
