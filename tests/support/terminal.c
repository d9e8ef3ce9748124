/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "terminal_inside.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <pty.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

static double now_s(void)
{
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return (double)time.tv_sec + (double)time.tv_nsec * 1e-9;
}

double terminal_patience(void)
{
    const char *multiplier = getenv("CK_TIMEOUT_MULTIPLIER");
    double times = multiplier != NULL ? strtod(multiplier, NULL) : 1.0;
    return times > 1.0 ? times : 1.0;
}

static int on_bell(void *user)
{
    ((struct terminal *)user)->bells++;
    return 1;
}

static int on_property(VTermProp property, VTermValue *value, void *user)
{
    struct terminal *terminal = user;
    if (property == VTERM_PROP_CURSORVISIBLE) {
        terminal->cursor_visible = value->boolean != 0;
    } else if (property == VTERM_PROP_ALTSCREEN) {
        terminal->alternate = value->boolean != 0;
    }
    return 1;
}

static void write_all(int descriptor, const char *bytes, size_t length)
{
    while (length > 0) {
        ssize_t count = write(descriptor, bytes, length);
        if (count > 0) {
            bytes += count;
            length -= (size_t)count;
        } else if (count < 0 && errno == EAGAIN) {
            struct pollfd wait = {.fd = descriptor, .events = POLLOUT};
            if (poll(&wait, 1, 1000) <= 0) {
                return;
            }
        } else if (errno != EINTR) {
            return;
        }
    }
}

/* What the emulator answers (cursor reports and the like) goes to the program. */
static void on_output(const char *bytes, size_t length, void *user)
{
    struct terminal *terminal = user;
    if (terminal->master >= 0) {
        write_all(terminal->master, bytes, length);
    }
}

static const VTermScreenCallbacks screen_callbacks = {.bell = on_bell, .settermprop = on_property};

static void child_environment(const struct terminal_settings *settings)
{
    setenv("TERM", settings->term != NULL ? settings->term : "xterm-256color", 1);
    setenv("LC_ALL", settings->locale != NULL ? settings->locale : "C.UTF-8", 1);
    unsetenv("NO_COLOR");
    unsetenv("LINES");
    unsetenv("COLUMNS");
    unsetenv("COLORTERM");
    unsetenv("ESCDELAY");
    if (settings->no_color) {
        setenv("NO_COLOR", "1", 1);
    }
    for (const char *const *entry = settings->environment; entry != NULL && *entry != NULL;
         entry++) {
        putenv((char *)(uintptr_t)*entry);
    }
}

/* libvterm 0.1.4 writes to nowhere when a character of two cells comes to a terminal of one column,
 * and one that has just been made so narrow gets what was drawn for more: the emulator keeps two.
 */
static int emulated_columns(int columns)
{
    return columns < 2 ? 2 : columns;
}

static struct terminal *start(const struct terminal_settings *settings, const char *const argv[],
                              terminal_body *body, void *context)
{
    struct terminal *terminal = calloc(1, sizeof *terminal);
    if (terminal == NULL) {
        return NULL;
    }
    terminal->rows = settings->rows;
    terminal->columns = settings->columns;
    terminal->cursor_visible = true;
    terminal->kept_room = settings->keep_bytes ? 1 << 16 : 0;
    terminal->kept = settings->keep_bytes ? malloc(terminal->kept_room) : NULL;
    int kept_errors = settings->keep_errors ? dup(STDERR_FILENO) : -1;
    struct winsize size = {.ws_row = (unsigned short)settings->rows,
                           .ws_col = (unsigned short)settings->columns};
    fflush(NULL);
    terminal->process = forkpty(&terminal->master, NULL, NULL, &size);
    if (terminal->process < 0) {
        free(terminal);
        return NULL;
    }
    if (terminal->process == 0) {
        if (kept_errors >= 0) {
            dup2(kept_errors, STDERR_FILENO);
            close(kept_errors);
        }
        child_environment(settings);
        if (body != NULL) {
            int status = body(context);
            fflush(NULL);
            _exit(status);
        }
        if (argv != NULL) {
            execv(argv[0], (char *const *)(uintptr_t)argv);
            fprintf(stderr, "cannot run %s: %s\n", argv[0], strerror(errno));
        }
        _exit(127);
    }
    if (kept_errors >= 0) {
        close(kept_errors);
    }
    fcntl(terminal->master, F_SETFL, fcntl(terminal->master, F_GETFL) | O_NONBLOCK);
    fcntl(terminal->master, F_SETFD, FD_CLOEXEC);
    terminal->emulator = vterm_new(settings->rows, emulated_columns(settings->columns));
    bool utf8 = settings->locale == NULL || strstr(settings->locale, "UTF-8") != NULL ||
                strstr(settings->locale, "utf8") != NULL;
    vterm_set_utf8(terminal->emulator, utf8);
    vterm_output_set_callback(terminal->emulator, on_output, terminal);
    terminal->screen = vterm_obtain_screen(terminal->emulator);
    vterm_screen_enable_altscreen(terminal->screen, 1);
    vterm_screen_set_callbacks(terminal->screen, &screen_callbacks, terminal);
    vterm_screen_reset(terminal->screen, 1);
    return terminal;
}

struct terminal *terminal_start(const struct terminal_settings *settings, const char *const argv[])
{
    return start(settings, argv, NULL, NULL);
}

struct terminal *terminal_start_function(const struct terminal_settings *settings,
                                         terminal_body *body, void *context)
{
    return start(settings, NULL, body, context);
}

static void reap(struct terminal *terminal, int options)
{
    int status = 0;
    if (!terminal->ended && waitpid(terminal->process, &status, options) == terminal->process) {
        terminal->ended = true;
        terminal->status = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    }
}

static void keep(struct terminal *terminal, const char *bytes, size_t length)
{
    if (terminal->kept == NULL) {
        return;
    }
    if (terminal->kept_length + length > terminal->kept_room) {
        size_t room = 2 * (terminal->kept_room + length);
        char *larger = realloc(terminal->kept, room);
        if (larger == NULL) {
            return;
        }
        terminal->kept = larger;
        terminal->kept_room = room;
    }
    memcpy(terminal->kept + terminal->kept_length, bytes, length);
    terminal->kept_length += length;
}

const char *terminal_kept(const struct terminal *terminal, size_t *length)
{
    *length = terminal->kept_length;
    return terminal->kept;
}

bool terminal_take(struct terminal *terminal, double limit_s)
{
    if (limit_s < 0.0) {
        limit_s = 0.0;
    }
    int wait_ms = (int)(limit_s * 1000.0) + 1;
    struct pollfd wait = {.fd = terminal->master, .events = POLLIN};
    if (terminal->master < 0 || terminal->stopped) {
        poll(NULL, 0, wait_ms);
        return false;
    }
    if (poll(&wait, 1, wait_ms) <= 0) {
        return false;
    }
    char bytes[8192];
    ssize_t count = read(terminal->master, bytes, sizeof bytes);
    if (count > 0) {
        terminal->bytes += (uint64_t)count;
        keep(terminal, bytes, (size_t)count);
        vterm_input_write(terminal->emulator, bytes, (size_t)count);
        return true;
    }
    if (count == 0 || (errno != EAGAIN && errno != EINTR)) {
        poll(NULL, 0, wait_ms < 5 ? wait_ms : 5); /* EIO: the program has closed its side */
    }
    return false;
}

void terminal_pump(struct terminal *terminal, double seconds)
{
    double end = now_s() + seconds;
    while (now_s() < end) {
        terminal_take(terminal, end - now_s());
    }
}

bool terminal_wait_text(struct terminal *terminal, const char *text, double limit_s)
{
    double end = now_s() + limit_s * terminal_patience();
    while (!terminal_shows(terminal, text)) {
        if (now_s() >= end) {
            return false;
        }
        terminal_take(terminal, 0.02);
    }
    return true;
}

bool terminal_wait_gone(struct terminal *terminal, const char *text, double limit_s)
{
    double end = now_s() + limit_s * terminal_patience();
    while (terminal_shows(terminal, text)) {
        if (now_s() >= end) {
            return false;
        }
        terminal_take(terminal, 0.02);
    }
    return true;
}

bool terminal_wait_quiet(struct terminal *terminal, double quiet_s, double limit_s)
{
    double end = now_s() + limit_s, quiet_since = now_s();
    while (now_s() - quiet_since < quiet_s) {
        if (now_s() >= end) {
            return false;
        }
        if (terminal_take(terminal, quiet_s / 4.0)) {
            quiet_since = now_s();
        }
    }
    return true;
}

bool terminal_wait_end(struct terminal *terminal, int *status, double limit_s)
{
    double end = now_s() + limit_s * terminal_patience();
    for (;;) {
        while (terminal_take(terminal, 0.0)) {
        }
        reap(terminal, WNOHANG);
        if (terminal->ended) {
            while (terminal_take(terminal, 0.0)) {
            }
            if (status != NULL) {
                *status = terminal->status;
            }
            return true;
        }
        if (now_s() >= end) {
            return false;
        }
        terminal_take(terminal, 0.02);
    }
}

void terminal_hang_up(struct terminal *terminal)
{
    if (terminal->master >= 0) {
        close(terminal->master);
        terminal->master = -1;
    }
}

void terminal_end(struct terminal *terminal)
{
    if (terminal == NULL) {
        return;
    }
    terminal_hang_up(terminal);
    double end = now_s() + 2.0;
    reap(terminal, WNOHANG);
    while (!terminal->ended && now_s() < end) {
        poll(NULL, 0, 10);
        reap(terminal, WNOHANG);
    }
    if (!terminal->ended) {
        kill(terminal->process, SIGKILL);
        reap(terminal, 0);
    }
    vterm_free(terminal->emulator);
    free(terminal->kept);
    free(terminal);
}

void terminal_send(struct terminal *terminal, const char *keys)
{
    if (terminal->master >= 0) {
        write_all(terminal->master, keys, strlen(keys));
    }
}

int terminal_process(const struct terminal *terminal)
{
    return (int)terminal->process;
}

void terminal_resize(struct terminal *terminal, int rows, int columns)
{
    struct winsize size = {.ws_row = (unsigned short)rows, .ws_col = (unsigned short)columns};
    while (terminal_take(terminal, 0.0)) {
    }
    terminal->rows = rows;
    terminal->columns = columns;
    vterm_set_size(terminal->emulator, rows, emulated_columns(columns));
    if (terminal->master >= 0) {
        ioctl(terminal->master, TIOCSWINSZ, &size);
    }
}

void terminal_stop_reading(struct terminal *terminal, bool stopped)
{
    terminal->stopped = stopped;
}

uint64_t terminal_bytes(const struct terminal *terminal)
{
    return terminal->bytes;
}

int terminal_bells(const struct terminal *terminal)
{
    return terminal->bells;
}
