/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/made_parts.h"
#include "support/program.h"
#include "support/test_main.h"

#include <stdlib.h>
#include <string.h>

/* The documents' lists of keys are the table's, their pictures what the screens draw. After a
 * change of either, 'make documents' writes them anew. */

static char *made(const char *path)
{
    char problem[256] = "", *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    ck_assert_ptr_nonnull(out);
    bool done = made_document(path, out, problem, sizeof problem);
    fclose(out);
    ck_assert_msg(done || problem[0] == '\0', "%s: '%s' can't be made", path, problem);
    if (!done) {
        free(text); /* no pseudo-terminals: said already */
        text = NULL;
    }
    return text;
}

static void assert_same(const char *path, char *wanted, char *there)
{
    char *rest_wanted = NULL, *rest_there = NULL;
    const char *want = strtok_r(wanted, "\n", &rest_wanted);
    const char *have = strtok_r(there, "\n", &rest_there);
    while (want != NULL && have != NULL && strcmp(want, have) == 0) {
        want = strtok_r(NULL, "\n", &rest_wanted);
        have = strtok_r(NULL, "\n", &rest_there);
    }
    ck_assert_msg(want == NULL && have == NULL,
                  "%s is not what is made now ('make documents' writes it anew):\n%s\n%s", path,
                  have != NULL ? have : "(ends)", want != NULL ? want : "(ends)");
}

START_TEST(documents_are_as_made)
{
    const char *path = made_documents[_i];
    char *wanted = made(path);
    if (wanted == NULL) {
        return;
    }
    char *there = program_read_file(SOURCE_DIR, path, NULL);
    assert_same(path, wanted, there);
    free(there);
    free(wanted);
}
END_TEST

START_TEST(the_manual_has_the_keys)
{
    char *manual = program_read_file(SOURCE_DIR, "docs/holdline.1", NULL);
    ck_assert_ptr_nonnull(strstr(manual, ".It Ic \\&Ctrl-L\n"));
    ck_assert_ptr_nonnull(strstr(manual, ".It Ic \\&q\nend the session"));
    free(manual);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("made parts of the documents");
    TCase *tcase = tcase_create("made parts");
    int count = 0;
    while (made_documents[count] != NULL) {
        count++;
    }
    tcase_set_timeout(tcase, 120);
    tcase_add_loop_test(tcase, documents_are_as_made, 0, count);
    tcase_add_test(tcase, the_manual_has_the_keys);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
