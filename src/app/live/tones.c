/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* for posix_spawn_file_actions_addclosefrom_np */
#define _GNU_SOURCE /* NOLINT(bugprone-reserved-identifier,cert-dcl37-c) */

#include "app/tones.h"

#include "base/clock.h"
#include "base/text.h"

#include <errno.h>
#include <fcntl.h>
#include <glob.h>
#include <signal.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

/* Each tone is a process of its own, so that none of them keeps the sound card, and one that hangs
 * holds up nothing: the pipe is written as far as it takes it, the rest at the next step. */

#define PLAYERS_MAX 8 /* three, two, one, start may overlap where a player is slow */
#define PLAYER_MOST_US 5000000

struct player {
    pid_t process; /* 0: this place is free */
    int fd;        /* its standard input; -1: all was given */
    int64_t begun_us;
    size_t given, size;
    uint8_t wave[TONE_BYTES_MAX];
};

struct tones {
    char command[1024]; /* "": the bell */
    struct player player[PLAYERS_MAX];
};

/* ---- what to play with ---- */

static bool in_path(const char *program)
{
    const char *path = getenv("PATH");
    char list[4096], name[4200], *rest = NULL;
    text_copy(list, sizeof list, path != NULL ? path : "");
    for (char *folder = strtok_r(list, ":", &rest); folder != NULL;
         folder = strtok_r(NULL, ":", &rest)) {
        snprintf(name, sizeof name, "%s/%s", folder, program);
        if (access(name, X_OK) == 0) {
            return true;
        }
    }
    return false;
}

/* A card that plays, on the machine that the person sits at. */
static bool has_sound_card(void)
{
    glob_t found;
    bool any = getenv("SSH_CONNECTION") == NULL && glob("/dev/snd/pcm*p", 0, NULL, &found) == 0;
    if (any) {
        globfree(&found);
    }
    return any;
}

static void find_player(char *command, size_t size)
{
    static const char *const known[][2] = {
        {"aplay", "aplay -q"}, {"pw-play", "pw-play -"}, {"play", "play -q -t wav -"}};
    text_copy(command, size, "");
    for (size_t i = 0; i < sizeof known / sizeof known[0] && has_sound_card(); i++) {
        if (in_path(known[i][0])) {
            text_copy(command, size, known[i][1]);
            return;
        }
    }
}

struct tones *tones_create(const char *how)
{
    struct tones *tones = calloc(1, sizeof *tones);
    if (tones == NULL) {
        return NULL;
    }
    if (text_equal(how, "auto") || text_equal(how, "off")) {
        find_player(tones->command, sizeof tones->command);
    } else if (!text_equal(how, "bell")) {
        text_copy(tones->command, sizeof tones->command, how);
    }
    return tones;
}

/* ---- players ---- */

static void close_input(struct player *player)
{
    if (player->fd >= 0) {
        close(player->fd);
        player->fd = -1;
    }
}

void tones_destroy(struct tones *tones)
{
    if (tones == NULL) {
        return;
    }
    for (int i = 0; i < PLAYERS_MAX; i++) {
        if (tones->player[i].process > 0) {
            close_input(&tones->player[i]); /* the last tone goes on to its end */
            waitpid(tones->player[i].process, NULL, WNOHANG);
        }
    }
    free(tones);
}

/* Gives as much as the pipe takes now. */
static void give(struct player *player)
{
    while (player->fd >= 0 && player->given < player->size) {
        ssize_t taken =
            write(player->fd, player->wave + player->given, player->size - player->given);
        if (taken > 0) {
            player->given += (size_t)taken;
        } else if (taken < 0 && errno == EINTR) {
            continue;
        } else if (taken < 0 && (errno == EAGAIN || errno == EWOULDBLOCK)) {
            return;
        } else {
            break; /* it reads no more; its end says why */
        }
    }
    close_input(player);
}

/* The player's standard input is the pipe, what it says goes nowhere, signals are as usual; it is
 * the leader of a process group of its own, so that it can be ended with all it started. */
static bool start_process(const char *command, int pipe_end, pid_t *process)
{
    char *arguments[] = {"sh", "-c", (char *)command, NULL};
    posix_spawn_file_actions_t actions;
    posix_spawnattr_t attributes;
    sigset_t none, usual;
    sigemptyset(&none);
    sigfillset(&usual);
    posix_spawn_file_actions_init(&actions);
    posix_spawnattr_init(&attributes);
    posix_spawn_file_actions_adddup2(&actions, pipe_end, STDIN_FILENO);
    posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
    posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
#if defined __GLIBC_PREREQ && __GLIBC_PREREQ(2, 34)
    posix_spawn_file_actions_addclosefrom_np(&actions, STDERR_FILENO + 1);
#endif
    posix_spawnattr_setsigmask(&attributes, &none);
    posix_spawnattr_setsigdefault(&attributes, &usual);
    posix_spawnattr_setpgroup(&attributes, 0);
    posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETSIGMASK | POSIX_SPAWN_SETSIGDEF |
                                              POSIX_SPAWN_SETPGROUP);
    bool started = posix_spawn(process, "/bin/sh", &actions, &attributes, arguments, environ) == 0;
    posix_spawn_file_actions_destroy(&actions);
    posix_spawnattr_destroy(&attributes);
    return started;
}

static bool start_player(struct player *player, const char *command)
{
    int ends[2];
    if (pipe(ends) != 0) {
        return false;
    }
    fcntl(ends[0], F_SETFD, FD_CLOEXEC);
    fcntl(ends[1], F_SETFD, FD_CLOEXEC);
    fcntl(ends[1], F_SETFL, O_NONBLOCK);
    bool started = start_process(command, ends[0], &player->process);
    close(ends[0]);
    player->fd = ends[1];
    if (!started) {
        player->process = 0;
        close_input(player);
    }
    return started;
}

bool tones_play(struct tones *tones, enum screen_tone tone, int64_t now_us)
{
    for (int i = 0; tones->command[0] != '\0' && i < PLAYERS_MAX; i++) {
        struct player *player = &tones->player[i];
        if (player->process > 0) {
            continue;
        }
        player->given = 0;
        player->size = tone_wave(tone, player->wave);
        player->begun_us = now_us;
        if (start_player(player, tones->command)) {
            give(player);
            return true;
        }
        break;
    }
    return false;
}

/* ---- what became of them ---- */

/* True: it failed, with why. */
static bool has_failed(struct player *player, int64_t now_us, char *why, size_t size)
{
    int status = 0;
    if (waitpid(player->process, &status, WNOHANG) == player->process) {
        player->process = 0;
        close_input(player);
        snprintf(why, size, "it ended with %d",
                 WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status));
        return !WIFEXITED(status) || WEXITSTATUS(status) != 0;
    }
    if (now_us - player->begun_us > PLAYER_MOST_US) {
        kill(-player->process, SIGKILL);
        waitpid(player->process, NULL, 0);
        player->process = 0;
        close_input(player);
        text_copy(why, size, "it did not end");
        return true;
    }
    return false;
}

bool tones_step(struct tones *tones, int64_t now_us, struct problem *problem)
{
    char why[64];
    bool well = true;
    for (int i = 0; i < PLAYERS_MAX; i++) {
        struct player *player = &tones->player[i];
        if (player->process <= 0) {
            continue;
        }
        give(player);
        if (has_failed(player, now_us, why, sizeof why) && tones->command[0] != '\0') {
            problem_set(problem, "no tones: '%s' failed (%s); the terminal's bell rings",
                        tones->command, why);
            tones->command[0] = '\0'; /* so it is told once */
            well = false;
        }
    }
    return well;
}

/* ---- on a screen ---- */

static bool play_now(void *context, enum screen_tone tone)
{
    return tones_play(context, tone, clock_monotonic_us());
}

struct tones *tones_attach(struct screen *screen, const char *how)
{
    struct tones *tones = tones_create(how != NULL ? how : "auto");
    if (tones != NULL) {
        screen_set_tones(screen, play_now, tones);
    }
    screen_tones_on(screen, how == NULL || !text_equal(how, "off"));
    return tones;
}

void tones_tend(struct tones *tones, struct screen *screen)
{
    struct problem problem = {0};
    if (tones != NULL && !tones_step(tones, clock_monotonic_us(), &problem)) {
        screen_tell(screen, true, problem.sentence);
    }
}
