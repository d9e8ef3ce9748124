/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Sheet and report of sessions as they come: of no setup, of many, without a bike, a target, a free
 * hold. What there is nothing to show of is not shown, and no document is longer than it may be. */
#include "support/program.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SCRIPT_SIZE 16000
#define BIKE                                                                                       \
    "bike \"training bike\" stack=545 reach=410 head_angle=73 headset_cap=10 spacers=20 "          \
    "stem_length=100 stem_angle=-6 pad_rise=60 pad_fore_aft=-20 saddle_height=745 "                \
    "saddle_setback=40 crank_length=170\n"
#define SENSORS                                                                                    \
    "sensor head carrier=base_bar x=110 y=40 mark=\"chin strap\"\n"                                \
    "sensor chest carrier=base_bar x=-60 y=35 mark=\"chest strap\"\n"

/* What a session has. */
struct kind {
    const char *name;
    int setups, holds; /* holds of each setup */
    bool bike, target, free, guided;
    int channels;
    const char *sight; /* of the last setup */
    int sheet, report; /* pages at most */
    const char *there, *not_there;
};

static const struct kind kinds[] = {
    {"no setup", 0, 0, false, false, false, false, 2, "yes", 1, 1, "No measurement counts yet",
     "Against setup 1"},
    {"one setup", 1, 2, true, true, true, false, 2, "yes", 2, 4, "Keep the bike as it came",
     "Against setup 1"},
    {"two setups", 2, 2, true, true, true, true, 2, "yes", 2, 5, "Against setup 1", NULL},
    {"four setups", 4, 2, true, true, true, true, 2, "yes", 2, 6, "Against setup 1", NULL},
    {"twelve setups", 12, 2, true, true, true, false, 2, "yes", 2, 8, "12 pads 12", NULL},
    {"twenty setups", 20, 2, true, true, true, false, 2, "yes", 2, 10, "8 more not drawn.", NULL},
    {"guided holds only", 3, 2, true, true, false, true, 2, "yes", 2, 4,
     "No hold with the gauge hidden counts", "Against setup 1"},
    {"no bike", 3, 2, false, true, true, false, 2, "yes", 2, 6, "No part of the bike was entered",
     "as chosen"},
    {"no target", 3, 2, true, false, true, false, 2, "yes", 2, 6, "Against setup 1", "The band,"},
    {"eight channels", 3, 2, true, true, true, false, 8, "yes", 2, 8, "Against setup 1", NULL},
    {"holds too short", 2, -1, true, true, true, false, 2, "yes", 2, 4,
     "Your height was not compared", "lower on setup"},
    {"cannot see ahead", 3, 2, true, true, true, false, 2, "no", 2, 6, "Do not ride setup 3",
     "risers' bolts"},
};

/* So many free ones, and a guided one (all of them where none is free). */
static void holds(char *script, size_t *used, const struct kind *kind, int count)
{
    const char *seconds = kind->holds < 0 ? "12s" : "25s";
    int guided = !kind->guided ? 0 : kind->free ? 1 : count;
    for (int hold = 0; kind->free && hold < count; hold++) {
        *used += (size_t)snprintf(script + *used, SCRIPT_SIZE - *used, "hold %s free settle=2s\n",
                                  seconds);
    }
    for (int hold = 0; hold < guided; hold++) {
        *used += (size_t)snprintf(script + *used, SCRIPT_SIZE - *used, "hold %s guided settle=2s\n",
                                  seconds);
    }
}

static void make_script(char *script, const struct kind *kind)
{
    size_t used = 0;
    int count = kind->holds < 0 ? 1 : kind->holds;
    used +=
        (size_t)snprintf(script, SCRIPT_SIZE,
                         "session 2026-01-10T18:00:00Z seed=7\n"
                         "rider R-07 \"winter group\"\n%s%s",
                         kind->bike ? BIKE : "", kind->bike && kind->channels == 2 ? SENSORS : "");
    for (int setup = 0; setup < kind->setups; setup++) {
        used += (size_t)snprintf(script + used, SCRIPT_SIZE - used, "setup %d \"pads %d\"",
                                 setup + 1, setup + 1);
        used += (size_t)snprintf(
            script + used, SCRIPT_SIZE - used,
            kind->bike && setup > 0 ? " pad_rise=%d\nplate 5s\n" : "\nplate 5s\n", 60 - 2 * setup);
        if (setup == 0 && kind->target) {
            used += (size_t)snprintf(script + used, SCRIPT_SIZE - used, "target\nband %s\n",
                                     kind->channels == 2 ? "head=+12/-20 chest=+10/none"
                                                         : "head=+12/-20");
        }
        holds(script, &used, kind, count);
        used += (size_t)snprintf(
            script + used, SCRIPT_SIZE - used,
            "rating effort=4 neck=%d sees_ahead=%s numb_hands=no numb_saddle=no could_stay=30\n",
            setup % 4, setup + 1 == kind->setups ? kind->sight : "yes");
    }
    if (kind->setups > 0) {
        used += (size_t)snprintf(script + used, SCRIPT_SIZE - used, "choose %d\n", kind->setups);
    }
    snprintf(script + used, SCRIPT_SIZE - used, "wait 1s\nend\n");
}

static const char *folder;

static void must(struct program_result result, const char *what)
{
    ck_assert_msg(result.status == 0, "%s: exit status %d: %s", what, result.status, result.errors);
    program_free(&result);
}
#define RUN(...) program_run(folder, NULL, (const char *const[]){__VA_ARGS__, NULL})

static char *text_of(const char *file)
{
    char command[700];
    static char text[1000000];
    snprintf(command, sizeof command, "pdftotext -layout %s/%s - | tr -s ' \\n' ' '", folder, file);
    FILE *stream = popen(command, "r");
    ck_assert_ptr_nonnull(stream);
    text[fread(text, 1, sizeof text - 1, stream)] = '\0';
    ck_assert_int_eq(pclose(stream), 0);
    return text;
}

static int pages_of(const char *text)
{
    int pages = 0;
    for (; *text != '\0'; text++) {
        pages += *text == '\f' ? 1 : 0;
    }
    return pages;
}

static int count_of(const char *text, const char *part)
{
    int count = 0;
    for (const char *at = text; (at = strstr(at, part)) != NULL; at++) {
        count++;
    }
    return count;
}

/* No letter is under 7 points, in pictures neither: a word's box is 1.164 of its size high,
 * or broad where it is turned. */
static void check_letters(const char *file, const char *name)
{
    char command[700], line[1000], word[200];
    int words = 0;
    snprintf(command, sizeof command, "pdftotext -bbox %s/%s -", folder, file);
    FILE *stream = popen(command, "r");
    ck_assert_ptr_nonnull(stream);
    while (fgets(line, sizeof line, stream) != NULL) {
        double left, top, right, bottom;
        if (sscanf(line, " <word xMin=\"%lf\" yMin=\"%lf\" xMax=\"%lf\" yMax=\"%lf\">%199[^<]",
                   &left, &top, &right, &bottom, word) == 5) {
            double size = fmax(bottom - top, right - left) / 1.164;
            ck_assert_msg(size >= 7, "%s, %s: '%s' is %.1f points high", name, file, word, size);
            words++;
        }
    }
    ck_assert_int_eq(pclose(stream), 0);
    ck_assert_int_gt(words, 50);
}

START_TEST(no_document_shows_what_is_not_there)
{
    const struct kind *kind = &kinds[_i];
    static char script[SCRIPT_SIZE];
    /* every other kind on each paper, German on the other one */
    static const char *const papers[] = {"a4", "letter"};
    const char *paper = papers[_i % 2], *other_paper = papers[1 - _i % 2];
    make_script(script, kind);
    folder = program_folder();
    program_write_file(folder, "s.txt", script);
    must(RUN("run", "s.txt",
             kind->channels == 2 ? "virtual:winter?speed=max&seed=3"
                                 : "virtual:winter?speed=max&seed=3&channels=8",
             "--store", "s.db"),
         kind->name);
    must(RUN("export", "last", "a.pdf", "--replace", "--paper", paper, "--store", "s.db"),
         kind->name);
    must(RUN("export", "last", "a-sheet.pdf", "--replace", "--paper", paper, "--store", "s.db"),
         kind->name);
    int sheet = pages_of(text_of("a-sheet.pdf"));
    ck_assert_msg(sheet >= 1 && sheet <= kind->sheet, "%s, %s: a sheet of %d pages", kind->name,
                  paper, sheet);
    const char *text = text_of("a.pdf");
    ck_assert_msg(pages_of(text) - sheet <= kind->report, "%s, %s: a report of %d pages",
                  kind->name, paper, pages_of(text) - sheet);
    ck_assert_msg(strstr(text, kind->there) != NULL, "%s: '%s' is not in: %.3000s", kind->name,
                  kind->there, text);
    ck_assert_msg(kind->not_there == NULL || strstr(text, kind->not_there) == NULL,
                  "%s: '%s' is in: %.3000s", kind->name, kind->not_there, text);
    /* cautions once, whatever the document */
    ck_assert_int_eq(count_of(text, "no medical advice"), 1);
    ck_assert_int_eq(count_of(text, "Never loosen a bolt"), 1);
    check_letters("a.pdf", kind->name);
    must(RUN("export", "last", "a.pdf", "--replace", "--language", "de", "--paper", other_paper,
             "--store", "s.db"),
         kind->name);
    check_letters("a.pdf", kind->name);
    ck_assert_int_le(pages_of(text_of("a.pdf")), kind->sheet + kind->report);
    must(RUN("export", "last", "a.html", "--store", "s.db"), kind->name);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("documents_of_sessions");
    TCase *tests = tcase_create("documents_of_sessions");
    tcase_set_timeout(tests, 120);
    if (system("pdftotext -v >/dev/null 2>&1") == 0) {
        tcase_add_loop_test(tests, no_document_shows_what_is_not_there, 0,
                            (int)(sizeof kinds / sizeof kinds[0]));
    } else {
        printf("skipped: twelve kinds of sessions as documents, pdftotext is not there\n");
    }
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
