/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Every line that docs/scripts.md shows in its tables of commands is given to a session, as it
 * stands there: it is done, or refused for what the session has not, by the sentence listed here.
 */
#include "base/text.h"
#include "support/program.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LINE 512

static const char *folder;

static const char rider[] = "rider R-07 \"winter group\"\n";
static const char prelude[] =
    "bike \"training bike\" stack=545 reach=410 head_angle=73\n"
    "sensor head carrier=base_bar x=110 y=40\nsensor chest carrier=base_bar x=-60 y=35\n"
    "setup 1 \"as it came\" stem_length=100 stem_angle=-6 spacers=20 pad_rise=60\n"
    "target head=884 chest=771 known_to=4mm sure=yes\nband head=+10/-20 chest=+8/none\n"
    "hold 10s free settle=1s\nhold 10s free settle=1s\n"
    "setup 2 \"pads down\" pad_rise=40\nhold 10s free settle=1s\n";

#define COURSE "course laps length=242m indoors=yes\n"
#define RUNS                                                                                       \
    "run setup=1 from=a.csv speed=wheel laps=1..3\nrun setup=2 from=a.csv laps=4..6 "              \
    "speed=wheel\nrun setup=1 from=a.csv laps=7..9 speed=wheel\n"

/* What a line wants to stand before it, and how it is refused all the same. */
static const struct {
    const char *begins; /* of the line as documented */
    const char *before, *refused;
} rows[] = {
    {"belongs", "setup 1\n", NULL},
    {"band suggested", "", "nothing is suggested yet"},
    {"check go", "", "nothing waits to be told"},
    {"end", NULL, NULL},
    {"guess", "hold 10s test settle=1s\n", NULL},
    {"leg ", "", "there is no run that it could be of"},
    {"pieces ", "", "there is no leg that they could be of"},
    {"rating same", "rating effort=4\nsetup 1\n", NULL},
    {"redo", "note \"x\"\nundo\n", NULL},
    {"reject run", COURSE RUNS, NULL},
    {"remove", "setup 3\n", NULL},
    {"renumber", "setup 22\n", NULL},
    {"restore 3", "reject 3 \"x\"\n", NULL},
    {"restore run", COURSE RUNS "reject run 3.2 \"x\"\n", NULL},
    {"run ", COURSE, NULL},
    {"same 3 2", "setup 3 from=2\n", NULL},
    {"session ", "", "it stands in the first line"},
    {"slipped", "", "no two builds of a setup disagree"},
    {"stop", "", "nothing is in progress"},
    {"target drop", "", "none is being captured"},
    {"target keep", "", "none is being captured"},
};
#define ROWS (int)(sizeof rows / sizeof rows[0])

/* Parts of lines, which stand in a row with the line that they are of. */
static const char *const parts_of_lines[] = {"no",   "setup=N build=K", "rider",     "store",
                                             "none", "stop_after=12s",  "from=FILE", NULL};

/* What stands for what a person puts there. */
static const struct {
    const char *word, *said;
} stand_ins[] = {
    {"NAME", "head"},
    {"known N", "known 3"},
    {"setup N \"", "setup 3 \""},
    {"remove N", "remove 3"},
    {"setup=N", "setup=2"},
    {"build=K", "build=1"},
    {"from=K", "from=1"},
    {"on=N", "on=1"},
    {" N", " 2"},
    {"CODE", "R-07"},
    {"bike \"name\"", "bike \"training bike\""},
    {"key=value \xE2\x80\xA6", "spacers=10"},
    {"target=\"\xE2\x80\xA6\"", "target=\"head=884 chest=771\""},
    {"band=\"\xE2\x80\xA6\"", "band=\"head=+10/-20\""},
    {"\"\xE2\x80\xA6\"", "\"text\""},
    {"height=\xE2\x80\xA6", "height=1060"},
    {"STEP", "rating"},
    {"SESSION", "1"},
    {"FILE", "x.txt"},
    {"LINE", "note \"x\""},
    {"check \xE2\x80\xA6", "check still 20s"},
    {" \xE2\x80\xA6", ""},
};

static void say(char *line, const char *documented)
{
    snprintf(line, LINE, "%s", documented);
    for (size_t i = 0; i < sizeof stand_ins / sizeof stand_ins[0]; i++) {
        char *at = strstr(line, stand_ins[i].word);
        while (at != NULL) {
            char rest[LINE];
            snprintf(rest, sizeof rest, "%s", at + strlen(stand_ins[i].word));
            size_t before = (size_t)(at - line) + strlen(stand_ins[i].said);
            snprintf(at, LINE - (size_t)(at - line), "%s%s", stand_ins[i].said, rest);
            at = strstr(line + before, stand_ins[i].word);
        }
    }
}

static int row_of(const char *line)
{
    int found = -1;
    for (int i = 0; i < ROWS; i++) {
        found = text_starts_with(line, rows[i].begins) ? i : found;
    }
    return found;
}

static void try_line(const char *documented, int number)
{
    static char script[8192];
    char line[LINE], seed[80];
    int row = row_of(documented);
    bool carries = text_starts_with(documented, "carry") && strstr(documented, "target") == NULL;
    say(line, documented);
    if (text_starts_with(documented, "ride")) { /* not for hours */
        snprintf(line + strlen(line), sizeof line - strlen(line), " stop_after=12s");
    }
    const char *before = row >= 0 && rows[row].before != NULL ? rows[row].before : "";
    snprintf(script, sizeof script, "session 2026-01-10T18:00:00Z seed=%d\n%s%s%s%s\n", number,
             rider, carries ? "" : prelude, before, line);
    snprintf(seed, sizeof seed, "virtual:steady?speed=max&rate=10&seed=%d", number);
    program_write_file(folder, "line.txt", script);
    struct program_result result = program_run(
        folder, NULL,
        (const char *const[]){"run", "line.txt", seed, "--store", "s.db", "--replace", NULL});
    const char *refused = row >= 0 ? rows[row].refused : NULL;
    if (refused == NULL) {
        ck_assert_msg(result.status == 0, "'%s' as '%s': %s", documented, line, result.errors);
    } else {
        ck_assert_msg(result.status == 1 && strstr(result.errors, refused) != NULL,
                      "'%s' as '%s' is not refused by '%s': %s", documented, line, refused,
                      result.errors);
    }
    program_free(&result);
}

/* The lines in the first cell of a row: what stands between ` and `. */
static int try_row(char *row, int number)
{
    int tried = 0;
    char *end = strstr(row, " | ");
    *(end != NULL ? end : row + strlen(row)) = '\0';
    for (char *at = strchr(row, '`'); at != NULL; at = strchr(at, '`')) {
        char *documented = at + 1;
        at = strchr(documented, '`');
        ck_assert_ptr_nonnull(at);
        *at++ = '\0';
        bool is_part = false;
        for (int i = 0; parts_of_lines[i] != NULL; i++) {
            is_part = is_part || text_equal(documented, parts_of_lines[i]);
        }
        if (!is_part) {
            try_line(documented, number + ++tried);
        }
    }
    return tried;
}

static void make_files(void)
{
    static char ride[16384];
    size_t used = (size_t)snprintf(ride, sizeof ride, "time (s),power (W),speed (m/s),lap\n");
    for (int t = 0; t <= 220; t++) {
        used += (size_t)snprintf(ride + used, sizeof ride - used, "%d,%d,11.0,%d\n", t,
                                 240 + t / 10, t / 22 + 1);
    }
    program_write_file(folder, "a.csv", ride);
    try_line("note \"the session to carry from\"", 1);
}

START_TEST(each_documented_line_is_understood)
{
    int tried = 1;
    folder = program_folder();
    make_files();
    char *text = program_read_file(SOURCE_DIR "/docs", "scripts.md", NULL);
    char *end = strstr(text, "\n## Lines to the virtual rig");
    ck_assert_ptr_nonnull(end);
    *end = '\0';
    char *rest = NULL;
    for (char *row = strtok_r(text, "\n", &rest); row != NULL; row = strtok_r(NULL, "\n", &rest)) {
        if (text_starts_with(row, "| `")) {
            tried += try_row(row, tried);
        }
    }
    ck_assert_int_ge(tried, 90);
    free(text);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("documented lines");
    TCase *tests = tcase_create("documented lines");
    tcase_set_timeout(tests, 180);
    tcase_add_test(tests, each_documented_line_is_understood);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
