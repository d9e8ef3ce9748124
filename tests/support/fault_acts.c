/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/fault_acts.h"

#include "support/fault_model.h"

#include "base/clock.h"
#include "base/text.h"

#include <stdio.h>
#include <string.h>

int fault_pick(struct fault_acting *acting, int count)
{
    return (int)(random_uniform(&acting->random) * count);
}

#define SIZE_US 1000000

/* ---- what may happen ---------------------------------------------------------------------------
 */

/* It dies at one of the next calls: nothing else happens to the disk. */
static bool is_dying(const struct fault_acting *acting)
{
    return acting->world.page->disk.at > 0 && acting->world.page->disk.as == FAULT_DIES;
}

/* A new size may not be taken yet, and without memory curses dies of it (display.c). */
static bool takes_size(const struct fault_acting *acting)
{
    return acting->resized_us != 0 && clock_monotonic_us() - acting->resized_us <
                                          SIZE_US + fault_world_allowed_us(&acting->world);
}

static void disk_fails(struct fault_acting *acting)
{
    if (is_dying(acting)) {
        return;
    }
    static const enum fault_as as[] = {FAULT_ONCE, FAULT_ONCE, FAULT_GOOD, FAULT_FULL, FAULT_SHORT};
    fault_world_break(&acting->world, &acting->world.page->disk, as[fault_pick(acting, 5)],
                      1 + fault_pick(acting, 20));
}

static void dies(struct fault_acting *acting)
{
    fault_world_break(&acting->world, &acting->world.page->disk, FAULT_DIES,
                      1 + fault_pick(acting, 30));
}

static void memory_fails(struct fault_acting *acting)
{
    if (takes_size(acting)) {
        return;
    }
    fault_world_break(&acting->world, &acting->world.page->memory,
                      fault_pick(acting, 3) == 0 ? FAULT_GOOD : FAULT_ONCE,
                      1 + fault_pick(acting, 60));
}

static void is_well(struct fault_acting *acting)
{
    fault_world_heal(&acting->world);
}

static void pull(struct fault_acting *acting)
{
    fault_world_pull(&acting->world, fault_pick(acting, 2) == 0);
}

static void plug(struct fault_acting *acting)
{
    fault_world_plug(&acting->world);
}

static void garbage(struct fault_acting *acting)
{
    char bytes[300];
    size_t length = 1 + (size_t)fault_pick(acting, (int)sizeof bytes - 1);
    for (size_t i = 0; i < length; i++) {
        bytes[i] = (char)fault_pick(acting, 256);
    }
    fault_world_garbage(&acting->world, bytes, length);
}

static void restart_rig(struct fault_acting *acting)
{
    fault_world_restart_rig(&acting->world);
}

static void silence(struct fault_acting *acting)
{
    acting->world.silent = !acting->world.silent;
}

static void wall_jumps(struct fault_acting *acting)
{
    static const long long by_us[] = {-172800000000, -3600000000, -1000000,
                                      1000000,       3600000000,  172800000000};
    atomic_fetch_add(&acting->world.page->wall_us, by_us[fault_pick(acting, 6)]);
}

static void suspend(struct fault_acting *acting)
{
    static const double seconds[] = {0.5, 3.0, 8.0, 40.0, 3600.0};
    fault_world_suspend(&acting->world, seconds[fault_pick(acting, 5)],
                        0.05 + 0.1 * fault_pick(acting, 4));
}

static void stop_terminal(struct fault_acting *acting)
{
    if (takes_size(acting)) {
        return;
    }
    terminal_send(acting->world.terminal, acting->world.ctrl_s ? "\021" : "\023");
    acting->world.ctrl_s = !acting->world.ctrl_s;
}

static void read_terminal(struct fault_acting *acting)
{
    acting->world.unread = !acting->world.unread;
    terminal_stop_reading(acting->world.terminal, acting->world.unread);
}

static void resize(struct fault_acting *acting)
{
    static const int sizes[][2] = {{24, 80}, {1, 1}, {12, 40}, {60, 200}, {5, 300}, {100, 20}};
    const int *size = sizes[fault_pick(acting, 6)];
    if (!acting->world.unread && !acting->world.ctrl_s) {
        acting->world.page->memory.at = 0;
        acting->resized_us = clock_monotonic_us();
        terminal_resize(acting->world.terminal, size[0], size[1]);
    }
}

static void keys(struct fault_acting *acting)
{
    static const char *const texts[] = {"f",  "c", "i", "?",  "j",    "s", "n", "\t",
                                        "\r", " ", "m", "\f", "\033", "b", "g", "\033[A"};
    terminal_send(acting->world.terminal, texts[fault_pick(acting, 16)]);
}

static void tell(struct fault_acting *acting)
{
    static const char *const texts[] = {"note \"n%d\"",
                                        "note \"n%d\"",
                                        "rider R-%d",
                                        "setup %d \"as it came\"",
                                        "sensor head carrier=stand x=%d y=0",
                                        "hold 1s free settle=0s",
                                        "mark m%d",
                                        "rating effort=4"};
    char text[60];
    /* one of few formats, each with one number or none */
    const char *format = texts[fault_pick(acting, 8)], *place = strstr(format, "%d");
    size_t used = 0;
    if (place == NULL) {
        text_append(text, sizeof text, &used, "%s", format);
    } else {
        text_append(text, sizeof text, &used, "%.*s%d%s", (int)(place - format), format,
                    acting->world.commands + 1, place + 2);
    }
    fault_world_tell(&acting->world, text);
}

static void read_store(struct fault_acting *acting)
{
    int64_t committed = fault_model_committed(&acting->world);
    if (!acting->world.ended && committed > acting->committed) {
        acting->committed = committed;
    }
}

static const struct {
    const char *name;
    void (*act)(struct fault_acting *acting);
    int weight;
} acts[] = {
    {"disk fails", disk_fails, 4},
    {"dies at a call", dies, 1},
    {"memory fails", memory_fails, 3},
    {"is well", is_well, 5},
    {"cable out", pull, 3},
    {"cable in", plug, 4},
    {"garbage", garbage, 3},
    {"rig begins anew", restart_rig, 1},
    {"rig silent, or not", silence, 2},
    {"wall clock jumps", wall_jumps, 2},
    {"machine sleeps", suspend, 2},
    {"Ctrl-S, or Ctrl-Q", stop_terminal, 2},
    {"terminal unread, or read", read_terminal, 2},
    {"size changes", resize, 3},
    {"a key", keys, 4},
    {"a command", tell, 8},
    {"store read", read_store, 3},
};
#define ACTS ((int)(sizeof acts / sizeof acts[0]))

static int pick_act(struct fault_acting *acting)
{
    int all = 0, which = 0;
    for (int i = 0; i < ACTS; i++) {
        all += acts[i].weight;
    }
    for (int left = fault_pick(acting, all); left >= acts[which].weight; which++) {
        left -= acts[which].weight;
    }
    return which;
}

int fault_act(struct fault_acting *acting)
{
    int which = pick_act(acting);
    fault_note(acting, acts[which].name);
    acts[which].act(acting);
    return which;
}

void fault_at_start(struct fault_acting *acting)
{
    struct fault_page *page = acting->world.page;
    if (fault_pick(acting, 2) == 0) {
        disk_fails(acting);
        page->disk.at *= 20;
    } else { /* for good: a single call may be one of curses' own, which starts after a look */
        fault_world_break(&acting->world, &page->memory, FAULT_GOOD, 1 + fault_pick(acting, 60));
    }
}

void fault_note(struct fault_acting *acting, const char *what)
{
    text_append(acting->done, sizeof acting->done, &acting->done_used, "%s%s at %.2f s",
                acting->done_used > 0 ? "; " : "", what,
                (double)(clock_monotonic_us() - acting->world.begun_us) / 1e6);
}

const char *fault_act_name(int which)
{
    return which < ACTS ? acts[which].name : NULL;
}
