/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Each call for memory fails once: what is made is not made, and nothing is kept. */
#include "base/json_read.h"
#include "base/ring.h"
#include "support/scarce_memory.h"
#include "support/test_main.h"

#include <stdio.h>
#include <string.h>

START_TEST(a_ring_without_memory_is_none)
{
    if (!scarce_memory_is_here()) {
        printf("skipped: the sanitizers have their own memory\n");
        return;
    }
    for (long call = 1; call <= 3; call++) {
        long before = scarce_memory_blocks();
        scarce_memory_begin(call);
        struct ring *ring = ring_create(100, sizeof(int));
        bool failed = scarce_memory_end(), made = ring != NULL;
        ring_destroy(ring);
        long kept = scarce_memory_blocks() - before;
        ck_assert(made != failed && failed == (call < 3)); /* itself, and its elements */
        ck_assert_int_eq(kept, 0);
    }
}
END_TEST

/* And its sentence names memory, not the text. */
START_TEST(a_json_text_without_memory_is_no_wrong_text)
{
    static const char text[] = "{\"a\": [1, 2, 3]}";
    if (!scarce_memory_is_here()) {
        printf("skipped: the sanitizers have their own memory\n");
        return;
    }
    for (long call = 1; call <= 3; call++) {
        struct problem problem = {PROBLEM_NONE, ""};
        long before = scarce_memory_blocks();
        scarce_memory_begin(call);
        struct json_document *document = json_document_read(text, strlen(text), &problem);
        bool failed = scarce_memory_end(), made = document != NULL;
        json_document_free(document);
        long kept = scarce_memory_blocks() - before;
        ck_assert(made != failed && failed == (call < 3)); /* itself, and its tokens */
        ck_assert_int_eq(kept, 0);
        ck_assert_str_eq(problem.sentence, failed ? "no memory for a JSON text" : "");
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("scarce_memory");
    TCase *tests = tcase_create("scarce_memory");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, a_ring_without_memory_is_none);
    tcase_add_test(tests, a_json_text_without_memory_is_no_wrong_text);
    return test_main(suite);
}
