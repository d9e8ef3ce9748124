/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/fault_world.h"

#include "support/rig_player.h"
#include "support/starved.h"

#include "base/clock.h"
#include "rig/rig_clock.h"

#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#define LOOK_US 500000
#define ANSWER_S 1.0
#define NOTICED_US 1000000 /* a cable that is back */
#define ON_THE_WAY_US 100000
#define RETRY_US 2500000 /* the recorder's second, opening the store again, and a commit */

/* ---- beginning and end -------------------------------------------------------------------------
 */

/* Its standard error goes to a file; the terminal is the rest. */
static struct terminal *start_program(struct fault_world *world, const char *page_path)
{
    char rig[160], variable[6][600];
    const struct fault_folder *folder = world->folder;
    snprintf(rig, sizeof rig, "tty:%s", world->link);
    snprintf(variable[0], sizeof variable[0], "LD_PRELOAD=%s", folder->shim);
    snprintf(variable[1], sizeof variable[1], "HOLDLINE_FAULT_PAGE=%s", page_path);
    snprintf(variable[2], sizeof variable[2], "HOLDLINE_FAULT_FOLDER=%s",
             fault_folder_path(folder, "work", ""));
    snprintf(variable[3], sizeof variable[3], "HOME=%s", fault_folder_path(folder, "home", ""));
    snprintf(variable[4], sizeof variable[4], "TMPDIR=%s", fault_folder_path(folder, "home", ""));
    snprintf(variable[5], sizeof variable[5], "XDG_RUNTIME_DIR=%s",
             fault_folder_path(folder, "home", ""));
    const char *const environment[] = {variable[0], variable[1], variable[2], variable[3],
                                       variable[4], variable[5], NULL};
    const char *const arguments[] = {folder->program, "live",    rig,   "--new", "--store",
                                     "s.db",          "--tones", "off", NULL};
    const struct terminal_settings settings = {
        .rows = 24, .columns = 80, .keep_errors = true, .environment = environment};
    int before = dup(STDERR_FILENO);
    int errors = open(fault_folder_path(folder, "errors", ""), O_WRONLY | O_CREAT | O_TRUNC, 0600);
    struct terminal *terminal = NULL;
    if (before >= 0 && errors >= 0 && chdir(fault_folder_path(folder, "work", "")) == 0 &&
        dup2(errors, STDERR_FILENO) >= 0) {
        terminal = terminal_start(&settings, arguments);
        dup2(before, STDERR_FILENO);
    }
    close(errors);
    close(before);
    return terminal;
}

static void send_heading(struct fault_world *world)
{
    char heading[RIG_PLAYER_LINE];
    cable_write(&world->cable, heading, rig_player_heading(heading, 2, WORLD_RATE_HZ));
}

bool fault_world_start(struct fault_world *world, struct fault_folder *folder,
                       struct fault_page *page, const char *page_path)
{
    world->folder = folder;
    world->page = page;
    snprintf(world->link, sizeof world->link, "%s", fault_folder_path(folder, "rig", ""));
    if (!cable_plug(&world->cable) || !cable_link(&world->cable, world->link)) {
        return false;
    }
    world->terminal = start_program(world, page_path);
    world->begun_us = world->plugged_us = world->looked_us = clock_monotonic_us();
    send_heading(world);
    return world->terminal != NULL;
}

void fault_world_end(struct fault_world *world)
{
    if (!world->ended && world->terminal != NULL) {
        kill(terminal_process(world->terminal), SIGKILL);
    }
    terminal_end(world->terminal);
    cable_pull(&world->cable);
    unlink(world->link);
}

/* ---- the rig -----------------------------------------------------------------------------------
 */

/* Its range says which line it is. */
static size_t print_line(const struct world_line *line, int number, char *text)
{
    const double range_mm[] = {100.0 + number / 10.0, 118.0 + number % 7 / 10.0};
    return rig_player_readings(text, line->sequence, (uint64_t)line->rig_us, range_mm, 2);
}

static struct world_line *next_line(struct fault_world *world)
{
    if (world->lines == WORLD_LINES) {
        return NULL;
    }
    struct world_line *line = &world->line[world->lines++];
    line->at_us = clock_monotonic_us();
    line->sequence = ++world->sequence;
    line->rig_us = (int64_t)(world->lines - 1) * 1000000 / WORLD_RATE_HZ + world->rig_ahead_us;
    line->epoch = world->epoch;
    line->sleeps = world->sleeps;
    line->plugs = world->plugs;
    line->unsure =
        world->glued || world->first_left > 0 || line->at_us - world->plugged_us < NOTICED_US;
    return line;
}

static void feed(struct fault_world *world, int64_t now_us)
{
    char text[RIG_PLAYER_LINE];
    while (world->lines < (now_us - world->begun_us) * WORLD_RATE_HZ / 1000000) {
        struct world_line *line = next_line(world);
        if (line == NULL) {
            return;
        }
        if (world->cable.master >= 0 && !world->silent) {
            size_t length = print_line(line, world->lines - 1, text);
            line->whole = cable_write(&world->cable, text, length);
            world->glued = false;
            world->first_left -= world->first_left > 0;
            if (!line->whole) { /* nobody reads: it may have ended */
                return;
            }
        }
    }
}

/* What was on its way may be lost with the cable. */
void fault_world_pull(struct fault_world *world, bool cut)
{
    char text[RIG_PLAYER_LINE];
    int64_t now_us = clock_monotonic_us();
    struct world_line *line = cut && world->cable.master >= 0 ? next_line(world) : NULL;
    if (line != NULL) {
        size_t length = print_line(line, world->lines - 1, text);
        cable_write(&world->cable, text, length / 2);
    }
    for (int i = world->lines - 1; i >= 0; i--) {
        if (now_us - world->line[i].at_us > ON_THE_WAY_US + fault_world_allowed_us(world)) {
            break;
        }
        world->line[i].unsure = true;
    }
    cable_pull(&world->cable);
}

void fault_world_plug(struct fault_world *world)
{
    if (world->cable.master < 0 && cable_plug(&world->cable) &&
        cable_link(&world->cable, world->link)) {
        world->plugged_us = clock_monotonic_us();
        world->plugs++;
        send_heading(world);
    }
}

void fault_world_garbage(struct fault_world *world, const char *bytes, size_t length)
{
    if (world->cable.master >= 0) {
        cable_write(&world->cable, bytes, length);
        world->glued = true; /* the next line, where the garbage has no end */
    }
}

void fault_world_restart_rig(struct fault_world *world)
{
    world->epoch++;
    world->sequence = 0;
    world->first_left = 2 * RIG_CLOCK_STALE_ROW;
    world->rig_ahead_us = -(int64_t)world->lines * 1000000 / WORLD_RATE_HZ;
    if (world->cable.master >= 0) {
        send_heading(world);
    }
}

void fault_world_suspend(struct fault_world *world, double seconds, double really_s)
{
    int process = terminal_process(world->terminal);
    int64_t slept_us = (int64_t)(seconds * 1e6), begun_us = clock_monotonic_us();
    if (world->ended) {
        return;
    }
    kill(process, SIGSTOP);
    usleep((useconds_t)(really_s * 1e6));
    /* What the rig sent meanwhile nobody has; the port's own memory is off, too. */
    int64_t took_us = clock_monotonic_us() - begun_us;
    world->begun_us += took_us;
    world->rig_ahead_us += slept_us;
    world->sleeps++;
    world->sequence += (uint64_t)(slept_us * WORLD_RATE_HZ / 1000000);
    atomic_fetch_sub(&world->page->monotonic_us, took_us);
    atomic_fetch_add(&world->page->wall_us, slept_us - took_us);
    kill(process, SIGCONT);
}

/* ---- time --------------------------------------------------------------------------------------
 */

int64_t fault_world_allowed_us(const struct fault_world *world)
{
    return world->late_us + world->starved_us - world->starved_before_us;
}

static void look(struct fault_world *world, int64_t now_us)
{
    if (now_us - world->looked_us >= LOOK_US) {
        world->looked_us = now_us;
        int64_t starved = starved_us(terminal_process(world->terminal));
        if (starved >= world->starved_us) { /* else it ends, and its threads have gone */
            world->starved_before_us = world->starved_us;
            world->starved_us = starved;
        }
    }
}

static void note_end(struct fault_world *world)
{
    if (!world->ended && terminal_wait_end(world->terminal, &world->status, 0.0)) {
        world->ended = true;
        world->ended_us = clock_monotonic_us();
    }
}

static void step(struct fault_world *world)
{
    int64_t before_us = clock_monotonic_us();
    terminal_take(world->terminal, 0.004);
    feed(world, clock_monotonic_us());
    look(world, before_us);
    int64_t late_us = clock_monotonic_us() - before_us - 6000;
    world->late_us = late_us > world->late_us ? late_us : world->late_us;
}

void fault_world_play(struct fault_world *world, double seconds)
{
    int64_t until_us = clock_monotonic_us() + (int64_t)(seconds * 1e6);
    while (!world->ended && clock_monotonic_us() < until_us) {
        step(world);
        note_end(world);
    }
}

bool fault_world_shows(struct fault_world *world, const char *text, double limit_s)
{
    int64_t until_us = clock_monotonic_us() + (int64_t)(limit_s * 1e6);
    while (!world->ended && !terminal_shows(world->terminal, text)) {
        if (clock_monotonic_us() > until_us + fault_world_allowed_us(world)) {
            return false;
        }
        step(world);
        note_end(world);
    }
    return !world->ended;
}

bool fault_world_ends(struct fault_world *world, double limit_s)
{
    int64_t begun_us = clock_monotonic_us();
    while (!world->ended && clock_monotonic_us() - begun_us <
                                (int64_t)(limit_s * 1e6) + fault_world_allowed_us(world)) {
        step(world);
        note_end(world);
    }
    return world->ended;
}

/* ---- disk and memory ---------------------------------------------------------------------------
 */

void fault_world_break(struct fault_world *world, struct fault_switch *which, enum fault_as as,
                       long calls)
{
    int64_t now_us = clock_monotonic_us();
    if (as != FAULT_DIES) { /* until then all is well */
        bool well = world->ill_since_us == 0 || now_us > world->well_from_us;
        world->ill_since_us = well ? now_us : world->ill_since_us;
        world->well_from_us = INT64_MAX;
    }
    which->as = as;
    which->at = which->calls + calls;
}

void fault_world_heal(struct fault_world *world)
{
    world->page->disk.at = world->page->memory.at = 0;
    if (world->ill_since_us != 0 && world->well_from_us == INT64_MAX) {
        world->well_from_us = clock_monotonic_us() + RETRY_US;
    }
}

/* ---- another program ---------------------------------------------------------------------------
 */

static int connect_to(const struct fault_world *world)
{
    struct sockaddr_un address = {.sun_family = AF_UNIX};
    snprintf(address.sun_path, sizeof address.sun_path, "%s/holdline/tell-%d.sock",
             fault_folder_path(world->folder, "home", ""), terminal_process(world->terminal));
    int descriptor = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
    if (descriptor >= 0 &&
        connect(descriptor, (const struct sockaddr *)&address, sizeof address) != 0) {
        close(descriptor);
        descriptor = -1;
    }
    return descriptor;
}

void fault_world_tell(struct fault_world *world, const char *text)
{
    int descriptor = world->ended || world->commands == WORLD_COMMANDS ? -1 : connect_to(world);
    char line[80], answer[1024] = "";
    size_t used = 0;
    if (descriptor < 0) {
        return;
    }
    int length = snprintf(line, sizeof line, "%s\n", text);
    bool said = send(descriptor, line, (size_t)length, MSG_NOSIGNAL) == length;
    int64_t until_us = clock_monotonic_us() + (int64_t)(ANSWER_S * 1e6);
    while (said && !world->ended && clock_monotonic_us() < until_us &&
           strncmp(answer, "done", 4) != 0 && strncmp(answer, "refused", 7) != 0) {
        ssize_t got = recv(descriptor, answer + used, sizeof answer - 1 - used, 0);
        used += got > 0 ? (size_t)got : 0;
        answer[used] = '\0';
        step(world);
        note_end(world);
    }
    close(descriptor);
    struct world_command *command = &world->command[world->commands++];
    snprintf(command->text, sizeof command->text, "%s", text);
    command->at_us = clock_monotonic_us();
    command->done = strncmp(answer, "done", 4) == 0;
}
