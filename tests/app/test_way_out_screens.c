/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The live screens of a session whose store has hostile texts, and in which some are typed: what is
 * sent to the terminal is text and what moves the cursor and colours cells, nothing else. */
#include "support/hostile_store.h"
#include "support/hostile_text.h"
#include "support/program.h"
#include "support/terminal.h"
#include "support/test_main.h"
#include "support/test_seed.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define WAIT_S 30.0

static const char *folder;
static struct random_source randomness;

static void begin(void)
{
    folder = program_folder();
    random_seed(&randomness, test_seed(20261129));
}

static void end(void)
{
    program_folder_remove(folder);
}

/* What curses sends beside text, by ECMA-48: control sequences, character sets, and the few escapes
 * that save and restore the cursor, set the keypad and scroll up. How many bytes at text; 0: none
 * of these. */
static size_t known_escape(const char *text, size_t length)
{
    if (length < 2) {
        return 0;
    }
    if (text[1] == '[') {
        size_t at = 2;
        while (at < length && text[at] >= 0x20 && text[at] <= 0x3F) {
            at++;
        }
        return at < length && text[at] >= 0x40 && text[at] <= 0x7E ? at + 1 : 0;
    }
    if (strchr("()", text[1]) != NULL) {
        return length > 2 && strchr("B0", text[2]) != NULL ? 3 : 0;
    }
    return strchr("78=>M", text[1]) != NULL ? 2 : 0;
}

static void must_be_drawing(const char *what, const struct terminal *terminal)
{
    size_t length = 0, used = 0;
    const char *bytes = terminal_kept(terminal, &length);
    char *text = malloc(length + 1);
    ck_assert(bytes != NULL && text != NULL);
    for (size_t at = 0; at < length;) {
        size_t escape = bytes[at] == '\033' ? known_escape(bytes + at, length - at) : 0;
        if (escape == 0) {
            text[used++] = bytes[at];
        }
        at += escape > 0 ? escape : 1;
    }
    const char *wrong = hostile_byte(text, used, "\r\b\t\016\017");
    if (wrong != NULL) {
        char shown[400] = "";
        size_t put = 0;
        for (const char *c = wrong - text > 30 ? wrong - 30 : text;
             c < wrong + 20 && c < text + used; c++) {
            put += (size_t)snprintf(shown + put, sizeof shown - put,
                                    *c >= ' ' && *c < 127 ? "%c" : "\\x%02X",
                                    (unsigned)(unsigned char)*c);
        }
        ck_abort_msg("%s: byte %td of %zu: %s", what, wrong - text, used, shown);
    }
    free(text);
}

/* Keys as somebody who tries them all: each screen and form is opened, something is typed in it,
 * Enter, Esc. Those that leave are not among them. */
static void try_keys(struct terminal *terminal, struct terminal *watcher)
{
    static const char keys[] = "abcdefghijklmnoprstuvwxyzABCDEFGHIJKLMNOPRSTUVWXYZ0123456789 ?+-";
    for (size_t i = 0; i + 1 < sizeof keys; i++) {
        const char key[] = {keys[i], '\0'};
        char typed[60];
        hostile_text(&randomness, typed, sizeof typed);
        for (char *c = typed; *c != '\0'; c++) {
            *c = (unsigned char)*c < ' ' || *c == 'q' ? 'x'
                                                      : *c; /* Esc and Enter are pressed below */
        }
        terminal_send(terminal, key);
        terminal_pump(terminal, 0.06);
        terminal_send(terminal, typed);
        terminal_pump(terminal, 0.03);
        terminal_send(terminal, "\t\033[B\r");
        terminal_pump(terminal, 0.06);
        terminal_send(terminal, "\033");
        terminal_pump(terminal, 0.04);
        terminal_send(terminal, "\033");
        terminal_pump(terminal, 0.04);
        terminal_take(watcher, 0.001);
    }
}

/* _i 0: the earlier sessions are hostile; 1: the session that goes on is. */
START_TEST(screens_draw_text_only)
{
    char store[400], line[900], runtime[400];
    bool goes_on = _i == 1;
    snprintf(store, sizeof store, "%s/hostile.db", folder);
    snprintf(line, sizeof line, "cp '%s' '%s'", source_path("tests/store/data/version-10.db"),
             store);
    ck_assert_int_eq(system(line), 0);
    hostile_sql(store, "UPDATE hold SET status = 'cut short' WHERE status = 'running';"
                       "UPDATE capture SET first_sample = 4 * place, last_sample = 4 * place + 40");
    hostile_texts_of_store(store, &randomness);
    if (goes_on) {
        hostile_sql(store, "UPDATE session SET ended = 0");
    }
    snprintf(runtime, sizeof runtime, "XDG_RUNTIME_DIR=%s", folder);
    const char *const environment[] = {runtime, NULL};
    const struct terminal_settings settings = {
        .rows = 40, .columns = 120, .keep_bytes = true, .environment = environment};
    const char *const live[] = {program_path(), "live", "virtual:steady?seed=4",
                                "--store",      store,  goes_on ? "--resume" : "--new",
                                "--tones",      "off",  NULL};
    const char *const watch[] = {program_path(), "watch", "--tones", "off", NULL};
    struct terminal *session = terminal_start(&settings, live);
    if (session == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    if (!terminal_wait_text(session, "HEAD", WAIT_S)) {
        static char shown[65536];
        terminal_text(session, shown, sizeof shown);
        must_be_drawing("refused", session);
        ck_assert_msg(goes_on, "%s", shown); /* a log that can't be ridden on with is told */
        printf("told, not gone on with: %.300s\n", shown);
        terminal_end(session);
        return;
    }
    struct terminal *watcher = terminal_start(&settings, watch);
    ck_assert_ptr_nonnull(watcher);
    try_keys(session, watcher);
    size_t length = 0;
    terminal_kept(session, &length);
    must_be_drawing("the session's screens", session);
    must_be_drawing("the watcher's screen", watcher);
    printf("%s: %zu bytes of screens are text and drawing\n",
           goes_on ? "gone on with" : "beside earlier sessions", length);
    ck_assert_uint_gt(length, 20000);
    terminal_end(session);
    terminal_end(watcher);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("way out, screens");
    TCase *tests = tcase_create("screens");
    tcase_set_timeout(tests, 300);
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_loop_test(tests, screens_draw_text_only, 0, 2);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
