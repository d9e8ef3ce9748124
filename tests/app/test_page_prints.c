/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The page of sheet and report, printed by a browser where there is one: on no more pages than the
 * PDF has. */
#include "support/program.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define BROWSER "chromium"

static const char *folder;

static void must(struct program_result result)
{
    ck_assert_msg(result.status == 0, "exit status %d: %s", result.status, result.errors);
    program_free(&result);
}
#define RUN(...) program_run(folder, NULL, (const char *const[]){__VA_ARGS__, NULL})

static void make_session(int setups)
{
    char script[4000];
    size_t used = (size_t)snprintf(
        script, sizeof script,
        "session 2026-01-10T18:00:00Z seed=7\nrider R-07 \"winter group\"\n"
        "bike \"training bike\" stack=545 reach=410 head_angle=73 headset_cap=10 spacers=20 "
        "stem_length=100 stem_angle=-6 pad_rise=60 pad_fore_aft=-20 saddle_height=745 "
        "saddle_setback=40 crank_length=170\n"
        "sensor head carrier=base_bar x=110 y=40 mark=\"chin strap\"\n"
        "sensor chest carrier=base_bar x=-60 y=35 mark=\"chest strap\"\n");
    for (int setup = 0; setup < setups; setup++) {
        used += (size_t)snprintf(script + used, sizeof script - used,
                                 "setup %d \"pads %d\" pad_rise=%d\nplate 5s\n"
                                 "hold 25s free settle=2s\nhold 25s free settle=2s\n"
                                 "rating effort=4 neck=%d sees_ahead=yes\n",
                                 setup + 1, setup + 1, 60 - 2 * setup, setup % 4);
    }
    snprintf(script + used, sizeof script - used, "choose %d\nwait 1s\nend\n", setups);
    program_write_file(folder, "s.txt", script);
    must(RUN("run", "s.txt", "virtual:winter?speed=max&seed=3", "--store", "s.db"));
}

static int pages_of(const char *name)
{
    char command[700], line[200];
    int pages = 0;
    snprintf(command, sizeof command, "pdfinfo %s/%s", folder, name);
    FILE *stream = popen(command, "r");
    ck_assert_ptr_nonnull(stream);
    while (fgets(line, sizeof line, stream) != NULL) {
        if (strncmp(line, "Pages:", 6) == 0) {
            pages = (int)strtol(line + 6, NULL, 10);
        }
    }
    ck_assert_int_eq(pclose(stream), 0);
    ck_assert_int_gt(pages, 0);
    return pages;
}

START_TEST(the_page_prints_on_as_many_pages_as_the_pdf)
{
    static const int setups[] = {1, 4, 12};
    char command[900];
    folder = program_folder();
    make_session(setups[_i]);
    must(RUN("export", "last", "a.pdf", "--store", "s.db"));
    must(RUN("export", "last", "a.html", "--store", "s.db"));
    snprintf(command, sizeof command,
             BROWSER " --headless --no-sandbox --disable-gpu --no-pdf-header-footer "
                     "--user-data-dir=%s/browser --print-to-pdf=%s/page.pdf file://%s/a.html "
                     ">/dev/null 2>&1",
             folder, folder, folder);
    ck_assert_int_eq(system(command), 0);
    ck_assert_int_le(pages_of("page.pdf"), pages_of("a.pdf"));
    snprintf(command, sizeof command, "rm -rf %s/browser", folder);
    ck_assert_int_eq(system(command), 0);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("page_prints");
    TCase *tests = tcase_create("page_prints");
    tcase_set_timeout(tests, 240);
    if (system(BROWSER " --version >/dev/null 2>&1") == 0 &&
        system("pdfinfo -v >/dev/null 2>&1") == 0) {
        tcase_add_loop_test(tests, the_page_prints_on_as_many_pages_as_the_pdf, 0, 3);
    } else {
        printf("skipped: the printed page, there is no browser to print it or no pdfinfo\n");
    }
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
