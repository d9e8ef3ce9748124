/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/dying_store.h"

#include "support/test_main.h"

#include <fcntl.h>
#include <limits.h>
#include <signal.h>
#include <sqlite3.h>
#include <stdarg.h>
#include <stdio.h>
#include <sys/types.h>
#include <sys/wait.h>
#include <unistd.h>

/* SQLite's file layer calls the system through a table that a program may change
 * (sqlite3_vfs.xSetSystemCall); each of its calls has here the type that SQLite gives it. */

static int calls_left;
static bool dies_halfway;

typedef int open_call(const char *path, int flags, int mode);
typedef ssize_t pwrite_call(int descriptor, const void *bytes, size_t size, off_t offset);
typedef int ftruncate_call(int descriptor, off_t size);
typedef int unlink_call(const char *path);
typedef int fcntl_call(int descriptor, int command, ...);

static open_call *real_open;
static pwrite_call *real_pwrite;
static ftruncate_call *real_ftruncate;
static unlink_call *real_unlink;
static fcntl_call *real_fcntl;

static bool is_last(void)
{
    return --calls_left == 0;
}

static void die(void)
{
    kill(getpid(), SIGKILL);
}

#define DYING(call)                                                                                \
    bool last = is_last();                                                                         \
    if (last && !dies_halfway) {                                                                   \
        die();                                                                                     \
    }                                                                                              \
    int result = (call);                                                                           \
    if (last) {                                                                                    \
        die();                                                                                     \
    }                                                                                              \
    return result

static int dying_open(const char *path, int flags, int mode)
{
    DYING(real_open(path, flags, mode));
}

static int dying_ftruncate(int descriptor, off_t size)
{
    DYING(real_ftruncate(descriptor, size));
}

static int dying_unlink(const char *path)
{
    DYING(real_unlink(path));
}

static int dying_fcntl(int descriptor, int command, ...)
{
    va_list arguments;
    va_start(arguments, command);
    void *argument = va_arg(arguments, void *);
    va_end(arguments);
    DYING(real_fcntl(descriptor, command, argument));
}

static ssize_t dying_pwrite(int descriptor, const void *bytes, size_t size, off_t offset)
{
    if (is_last()) {
        if (dies_halfway) {
            real_pwrite(descriptor, bytes, size / 2, offset);
        }
        die();
    }
    return real_pwrite(descriptor, bytes, size, offset);
}

static void put_in(sqlite3_vfs *vfs, const char *name, sqlite3_syscall_ptr ours)
{
    ck_assert_int_eq(vfs->xSetSystemCall(vfs, name, ours), SQLITE_OK);
}

static void put_in_all(void)
{
    sqlite3_vfs *vfs = sqlite3_vfs_find(NULL);
    real_open = (open_call *)vfs->xGetSystemCall(vfs, "open");
    real_pwrite = (pwrite_call *)vfs->xGetSystemCall(vfs, "pwrite64");
    if (real_pwrite == NULL) {
        real_pwrite = (pwrite_call *)vfs->xGetSystemCall(vfs, "pwrite");
    }
    real_ftruncate = (ftruncate_call *)vfs->xGetSystemCall(vfs, "ftruncate");
    real_unlink = (unlink_call *)vfs->xGetSystemCall(vfs, "unlink");
    real_fcntl = (fcntl_call *)vfs->xGetSystemCall(vfs, "fcntl");
    put_in(vfs, "open", (sqlite3_syscall_ptr)dying_open);
    put_in(vfs, "pwrite", (sqlite3_syscall_ptr)dying_pwrite);
    put_in(vfs, "pwrite64", (sqlite3_syscall_ptr)dying_pwrite);
    put_in(vfs, "ftruncate", (sqlite3_syscall_ptr)dying_ftruncate);
    put_in(vfs, "unlink", (sqlite3_syscall_ptr)dying_unlink);
    put_in(vfs, "fcntl", (sqlite3_syscall_ptr)dying_fcntl);
}

bool dying_run(void (*work)(void *context), void *context, int at, enum dying_moment moment)
{
    fflush(NULL);
    pid_t process = fork();
    ck_assert_int_ge(process, 0);
    if (process == 0) {
        put_in_all();
        calls_left = at;
        dies_halfway = moment == DYING_HALFWAY;
        work(context);
        _exit(0);
    }
    int status = 0;
    ck_assert_int_eq(waitpid(process, &status, 0), process);
    bool died = WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL;
    ck_assert_msg(died || (WIFEXITED(status) && WEXITSTATUS(status) == 0), "the work ended with %d",
                  status);
    return died;
}

int dying_calls(void (*work)(void *context), void *context)
{
    int ends[2], made = 0, status = 0;
    fflush(NULL);
    ck_assert_int_eq(pipe(ends), 0);
    pid_t process = fork();
    ck_assert_int_ge(process, 0);
    if (process == 0) {
        put_in_all();
        calls_left = INT_MAX;
        work(context);
        made = INT_MAX - calls_left;
        _exit(write(ends[1], &made, sizeof made) == (ssize_t)sizeof made ? 0 : 1);
    }
    close(ends[1]);
    ck_assert_int_eq(read(ends[0], &made, sizeof made), sizeof made);
    close(ends[0]);
    ck_assert_int_eq(waitpid(process, &status, 0), process);
    return made;
}
