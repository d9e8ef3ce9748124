/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The tutorial, walked: its keys are typed into the demo, and the pictures of forms and headings
 * that it shows stand on the screen, letter by letter. Numbers of the gauges are the rider's of the
 * day. */
#include "support/program.h"
#include "support/terminal.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define WAIT_S 60.0
#define INDENT 4 /* of code in Markdown; what comes behind it is the screen's row */

static char *tutorial;
static struct terminal *demo;

static void read_tutorial(void)
{
    FILE *stream = fopen(source_path("docs/first-session.md"), "rb");
    size_t length = 0;
    ck_assert_ptr_nonnull(stream);
    tutorial = calloc(1, 65536);
    ck_assert_ptr_nonnull(tutorial);
    length = fread(tutorial, 1, 65535, stream);
    fclose(stream);
    ck_assert_uint_gt(length, 1000);
}

static void must_come(const char *words)
{
    if (!terminal_wait_text(demo, words, WAIT_S)) {
        static char shown[65536];
        terminal_text(demo, shown, sizeof shown);
        ck_abort_msg("'%s' did not come:\n%s", words, shown);
    }
}

/* The next picture of the tutorial whose first row has these words: all its rows stand on the
 * screen one below the other. */
static void must_look_so(const char *words)
{
    static char shown[65536];
    char line[512], row[4096];
    int at = -1, rows = 0;
    must_come(words);
    terminal_wait_quiet(demo, 0.1, 1.0);
    terminal_text(demo, shown, sizeof shown);
    ck_assert(terminal_find(demo, words, &at, NULL));
    const char *next = tutorial;
    bool inside = false;
    while (*next != '\0') {
        size_t length = strcspn(next, "\n");
        ck_assert_uint_lt(length, sizeof line);
        snprintf(line, sizeof line, "%.*s", (int)length, next);
        next += length + (next[length] == '\n' ? 1 : 0);
        bool picture = strncmp(line, "    ", INDENT) == 0;
        inside = inside || (picture && strstr(line, words) != NULL);
        if (inside && !picture && line[0] != '\0') {
            break; /* the text goes on */
        }
        if (inside && (picture || *next == ' ')) {
            terminal_row(demo, at + rows++, row, sizeof row);
            ck_assert_msg(strcmp(row, picture ? line + INDENT : "") == 0,
                          "docs/first-session.md has\n%s\nthe screen\n%s", line, shown);
        }
    }
    ck_assert_msg(rows > 0, "docs/first-session.md has no picture of '%s'", words);
}

static void type(const char *keys)
{
    terminal_send(demo, keys);
    terminal_wait_quiet(demo, 0.05, 0.5);
}

/* Space, and the hold that it begins runs to its end. What is said of it then stands for half a
 * second at this speed; the heading of a session without a hold stays. */
static void hold(int number)
{
    char words[32];
    type(" ");
    snprintf(words, sizeof words, "HOLD %d, free", number);
    must_come(words);
    must_come("no hold is running");
}

/* After the last hold: another one, where the rider had not settled in one of them, or the rating?
 */
static bool one_more_is_asked_for(void)
{
    double passed_s = 0.0;
    while (!terminal_shows(demo, "one more free hold") &&
           !terminal_shows(demo, "rate this setup")) {
        ck_assert(passed_s < WAIT_S * terminal_patience());
        terminal_wait_quiet(demo, 0.05, 0.1);
        passed_s += 0.1;
    }
    return terminal_shows(demo, "one more free hold");
}

START_TEST(the_tutorial_can_be_walked)
{
    const char *folder = program_folder();
    const char *const argv[] = {program_path(), "demo", "--speed", "20", "--tones", "off", NULL};
    const struct terminal_settings settings = {.rows = 24, .columns = 80};
    int status = -1;
    read_tutorial();
    ck_assert_int_eq(chdir(folder), 0);
    demo = terminal_start(&settings, argv);
    if (demo == NULL) {
        printf("skipped: no pseudo-terminal here\n");
        return;
    }
    must_come("HEAD"); /* 1. the gauges */
    must_come("all stored");
    must_come("check the sensors");
    type("a"); /* 2. a target, before the rider of this seed looks up: the line would lead to the
                  same */
    must_come("TARGET");
    must_come("HEAD  chin strap \u00B7 target 90");
    must_come("mm, band +12 \u221220");
    must_come("free hold 1 of 4 on this build");
    hold(1); /* 3. four holds */
    must_come("free hold 2 of 4 on this build");
    hold(2);
    must_come("free hold 3 of 4 on this build");
    hold(3);
    must_come("free hold 4 of 4 on this build");
    hold(4);
    for (int more = 5; more < 8 && one_more_is_asked_for(); more++) {
        hold(more);
    }
    must_come("rate this setup");
    type(" "); /* 4. how it feels */
    must_come("RATING OF THIS SETUP");
    type("4\t2");
    must_look_so("RATING OF THIS SETUP");
    type("\r");
    must_come("change a part and enter it as the next setup");
    type(" "); /* 5. a changed setup */
    must_come("NEXT SETUP");
    type("pads down\t\t\t\t\t\t40");
    must_come("was 60");
    must_look_so("NEXT SETUP");
    type("\r");
    must_come("SETUP 2  pads down");
    must_come("\u25C2"
              "1 ");
    type("n"); /* 6. a setup that moves the sensors */
    must_come("NEXT SETUP");
    type("spacers out\t0\r");
    must_look_so("SETUP 3  spacers out");
    type("n"); /* 7. back to the first setup */
    must_come("NEXT SETUP");
    type("\033OA1\r");
    must_look_so("SETUP 1 (build 2)  as it came");
    type("h"); /* 8. what it says */
    must_come("WHAT THE RIDER GOES HOME WITH");
    type("\033");
    type("q");
    must_come("y: end");
    type("y");
    ck_assert(terminal_wait_end(demo, &status, WAIT_S));
    ck_assert_int_eq(status, 0);
    must_come("Session 1 is in");
    terminal_end(demo);
    free(tutorial);
    ck_assert_int_eq(chdir("/"), 0);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("first session");
    TCase *tests = tcase_create("tutorial");
    tcase_set_timeout(tests, 240);
    tcase_add_test(tests, the_tutorial_can_be_walked);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
