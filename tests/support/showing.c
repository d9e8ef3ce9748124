/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/showing.h"

#include "support/test_main.h"

const struct screen_size screen_sizes[SCREEN_SIZES] = {{12, 40}, {24, 80}, {40, 120}, {60, 200}};

struct stage *open_on_terminal(const struct terminal_settings *settings, enum made_view kind,
                               const char *key)
{
    struct stage *stage = stage_open(settings, kind);
    if (stage != NULL) {
        ck_assert(stage_drawn(stage));
        ck_assert(stage_keys(stage, key));
    }
    return stage;
}

struct stage *open_screen(int rows, int columns, enum made_view kind)
{
    return open_with_key(rows, columns, kind, "");
}

struct stage *open_with_key(int rows, int columns, enum made_view kind, const char *key)
{
    struct terminal_settings settings = {.rows = rows, .columns = columns};
    return open_on_terminal(&settings, kind, key);
}

void assert_terminal_shows(struct terminal *terminal, const char *words)
{
    if (!terminal_wait_text(terminal, words, 20.0)) {
        static char all[256 * 1024];
        terminal_text(terminal, all, sizeof all);
        ck_abort_msg("'%s' is not on the screen:\n%s", words, all);
    }
}

void assert_shows(struct stage *stage, const char *words)
{
    assert_terminal_shows(stage_terminal(stage), words);
}
