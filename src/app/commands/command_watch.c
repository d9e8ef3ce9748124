/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/commands.h"
#include "app/ending.h"
#include "app/options.h"
#include "app/tones.h"
#include "app/watch_server.h"
#include "base/clock.h"
#include "base/text.h"
#include "screen/screen.h"
#include "session/snapshot.h"
#include "session/view_json.h"

#include <errno.h>
#include <getopt.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* holdline watch: a second screen for the rider, or lines for other programs. */

#define DRAWING_MS 33

struct watching {
    int fd;
    size_t used;
    char bytes[2 * WATCH_LINE_MAX];
    struct view view;
    struct view_history history; /* none, nor offers: they are not in the lines */
    struct view_carry_offers earlier;
    struct snapshot *snapshot;
    bool ended;
};

/* The newest whole line that has come; its length, 0 for none. Lines before it are passed over: the
 * latest view is what matters. */
static size_t latest_line(struct watching *watching, char *line)
{
    ssize_t got = read(watching->fd, watching->bytes + watching->used,
                       sizeof watching->bytes - watching->used);
    if (got <= 0) {
        watching->ended = got == 0 || errno != EINTR;
        return 0;
    }
    watching->used += (size_t)got;
    size_t end = watching->used;
    while (end > 0 && watching->bytes[end - 1] != '\n') {
        end--;
    }
    size_t start = end > 0 ? end - 1 : 0;
    while (start > 0 && watching->bytes[start - 1] != '\n') {
        start--;
    }
    size_t length = end - start;
    memcpy(line, watching->bytes + start, length);
    memmove(watching->bytes, watching->bytes + end, watching->used - end);
    watching->used -= end;
    if (watching->used == sizeof watching->bytes) {
        watching->used = 0; /* no line is that long */
    }
    return length;
}

/* Waits at most timeout_ms for a newer view. */
static bool next_view(struct watching *watching, int other_fd, int timeout_ms, char *line,
                      size_t *length)
{
    struct pollfd both[2] = {{.fd = watching->fd, .events = POLLIN},
                             {.fd = other_fd, .events = POLLIN}};
    *length = 0;
    if (poll(both, other_fd >= 0 ? 2 : 1, timeout_ms) > 0 && both[0].revents != 0) {
        *length = latest_line(watching, line);
    }
    return *length > 0;
}

static int watch_as_lines(struct watching *watching, bool as_json)
{
    static char line[2 * WATCH_LINE_MAX + 1];
    char text[128], shown[128] = "";
    size_t length = 0;
    while (!watching->ended && !ending_asked()) {
        struct problem problem = {0};
        if (!next_view(watching, -1, 1000, line, &length)) {
            continue;
        }
        if (as_json) {
            line[length] = '\0';
            text_write(stdout, line);
        } else if (view_json_read(line, length, &watching->view, watching->snapshot, &problem)) {
            view_status_line(&watching->view, text, sizeof text);
            if (strcmp(text, shown) != 0) {
                puts(text);
                memcpy(shown, text, sizeof shown);
            }
        } else {
            return command_fail(&problem);
        }
        if (fflush(stdout) != 0) {
            return EXIT_SUCCESS; /* nobody reads any more */
        }
    }
    return EXIT_SUCCESS;
}

static int watch_on_screen(struct watching *watching, const char *how)
{
    static char line[2 * WATCH_LINE_MAX];
    char unused[COMMAND_TEXT_SIZE];
    struct problem problem = {0};
    size_t length = 0;
    int64_t drawn_ms = 0;
    bool leave = false, good = true;
    struct screen *screen = screen_open(&problem);
    if (screen == NULL) {
        return command_fail(&problem);
    }
    screen_watch_only(screen);
    struct tones *tones = tones_attach(screen, how);
    while (!leave && good && !watching->ended && !ending_asked() && !screen_is_gone(screen)) {
        if (next_view(watching, screen_input(screen), DRAWING_MS, line, &length)) {
            good = view_json_read(line, length, &watching->view, watching->snapshot, &problem);
            watching->view.history = &watching->history;
            watching->view.offers = &watching->earlier;
        }
        leave = screen_key(screen, &watching->view, unused, sizeof unused) == SCREEN_QUIT;
        int64_t now_ms = clock_monotonic_us() / 1000;
        if (now_ms - drawn_ms >= DRAWING_MS) {
            drawn_ms = now_ms;
            screen_draw(screen, &watching->view);
        }
        tones_tend(tones, screen);
    }
    screen_close(screen);
    tones_destroy(tones);
    if (!good) {
        return command_fail(&problem);
    }
    if (watching->ended) {
        puts("the session has ended");
    }
    return EXIT_SUCCESS;
}

struct wanted {
    bool line, json;
    const char *tones;
};

static const struct option_row option_rows[] = {
    {"line", OPTION_YES, OPTION_INTO(wanted, line)},
    {"json", OPTION_YES, OPTION_INTO(wanted, json)},
    {"tones", OPTION_TEXT, OPTION_INTO(wanted, tones)},
};

static int run(int argc, char **argv)
{
    struct problem problem = {0};
    static struct watching watching;
    struct wanted wanted = {.tones = "bell"}; /* the session's own screen has the sound card */
    const struct option_set sets[] = {OPTION_SET(option_rows, &wanted), {NULL, 0, NULL}};
    if (!options_read(sets, argc, argv, &problem)) {
        return command_fail(&problem);
    }
    int64_t process = 0;
    if (argc - optind > 1 ||
        (optind < argc && (!text_to_int64(argv[optind], &process) || process < 1))) {
        problem_usage(&problem, "watch: say nothing, or one session's process number");
        return command_fail(&problem);
    }
    watching.fd = watch_connect((long)process, &problem);
    watching.snapshot = calloc(1, sizeof *watching.snapshot);
    if (watching.fd < 0 || watching.snapshot == NULL) {
        free(watching.snapshot);
        return command_fail(&problem);
    }
    snapshot_begin(watching.snapshot);
    watching.view.snapshot = watching.snapshot;
    watching.view.history = &watching.history;
    watching.view.offers = &watching.earlier;
    ending_begin();
    int status = wanted.line || wanted.json ? watch_as_lines(&watching, wanted.json)
                                            : watch_on_screen(&watching, wanted.tones);
    close(watching.fd);
    free(watching.snapshot);
    return status;
}

const struct command command_watch = {
    .name = "watch",
    .summary = "a second screen for the rider, beside a live session",
    .usage = "holdline watch [PROCESS] [--tones WHAT | --line | --json]\n"
             "Attaches to this user's running live session and shows the rider's screen; q leaves. "
             "Several\n"
             "may watch at once and come and go at any time (docs/watch.md). Where several "
             "sessions are\n"
             "live, PROCESS says which.\n"
             "  --tones WHAT  bell (the default), auto, off, or a player, as with live\n"
             "  --line        a line of at most 40 characters at each change, for a status bar\n"
             "  --json        the view as JSON, a line at each change\n",
    .run = run,
};
