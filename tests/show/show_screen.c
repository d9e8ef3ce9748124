/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/screen.h"
#include "support/views.h"

#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

/* Shows a made-up view in the terminal that it is started in, for looking at the screens without a
 * rider: show_screen [STATE [DRAWINGS_PER_S [SECONDS]]]. Command lines that keys make are shown on
 * the message line. */

static double now_s(void)
{
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return (double)time.tv_sec + (double)time.tv_nsec * 1e-9;
}

int main(int argc, char **argv)
{
    static struct made_up made;
    struct view *view = &made.view;
    enum made_view kind = MADE_LIVE;
    for (int i = 0; argc > 1 && i < MADE_VIEWS; i++) {
        if (strcmp(argv[1], made_view_names[i]) == 0) {
            kind = (enum made_view)i;
        }
    }
    double rate = argc > 2 ? strtod(argv[2], NULL) : 30.0,
           seconds = argc > 3 ? strtod(argv[3], NULL) : 3600.0;
    struct problem problem = {.kind = PROBLEM_NONE};
    struct screen *screen = screen_open(&problem);
    if (screen == NULL) {
        fprintf(stderr, "show_screen: %s\n", problem.sentence);
        return EXIT_FAILURE;
    }
    made_view(&made, kind);
    double begun = now_s(), next = begun;
    bool going = true;
    while (going && now_s() - begun < seconds) {
        char line[1024], text[1200];
        enum screen_request request;
        while (going && (request = screen_key(screen, view, line, sizeof line)) != SCREEN_NOTHING) {
            if (request == SCREEN_QUIT) {
                going = false;
                break;
            }
            snprintf(text, sizeof text, "%s: %s", request == SCREEN_EXPORT ? "export" : "command",
                     line);
            screen_answer(screen, true, text);
        }
        if (rate > 0.0 && now_s() >= next) {
            made_view_step(view, 1.0 / rate);
            next += 1.0 / rate;
        }
        screen_draw(screen, view);
        double wait = rate > 0.0 ? next - now_s() : 1.0;
        struct pollfd keys = {.fd = screen_input(screen), .events = POLLIN};
        poll(&keys, 1, wait > 0.0 ? (int)(wait * 1000.0) + 1 : 0);
    }
    screen_close(screen);
    return EXIT_SUCCESS;
}
