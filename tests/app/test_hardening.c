/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/program.h"
#include "support/sanitized.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The program under test as readelf (of binutils) tells it: built so that what a fault in it would
 * overwrite is of little use. */

static char *text;

static void read_elf(const char *what, const char *file)
{
    char command[900];
    snprintf(command, sizeof command, "readelf -W %s '%s'", what, file);
    FILE *stream = popen(command, "r");
    ck_assert_ptr_nonnull(stream);
    const size_t size = 8 << 20;
    text = calloc(1, size);
    ck_assert_ptr_nonnull(text);
    ck_assert_uint_gt(fread(text, 1, size - 1, stream), 0);
    ck_assert_int_eq(pclose(stream), 0);
}

static bool has(const char *what, const char *words)
{
    read_elf(what, program_path());
    bool found = strstr(text, words) != NULL;
    free(text);
    return found;
}

START_TEST(addresses_are_not_known_before)
{
    ck_assert(has("-h", "Position-Independent Executable file") || has("-d", " PIE"));
}
END_TEST

START_TEST(tables_of_calls_are_not_writable)
{
    ck_assert(has("-l", "GNU_RELRO"));
    ck_assert(has("-d", "BIND_NOW") || has("-d", "Flags: NOW"));
}
END_TEST

START_TEST(nothing_on_the_stack_is_run)
{
    read_elf("-l", program_path());
    char *stack = strstr(text, "GNU_STACK");
    ck_assert_ptr_nonnull(stack);
    *strchr(stack, '\n') = '\0';
    ck_assert_ptr_nonnull(strstr(stack, " RW "));
    free(text);
}
END_TEST

START_TEST(stacks_and_calls_are_looked_after)
{
    ck_assert(has("--dyn-syms", "__stack_chk_fail"));
#if defined(SANITIZED) || !defined(__OPTIMIZE__)
    printf("skipped: the library's calls are checked in optimised builds without sanitizers\n");
#else
    ck_assert(has("--dyn-syms", "__snprintf_chk"));
    ck_assert(has("--dyn-syms", "__memcpy_chk"));
#endif
}
END_TEST

/* The linker drops the mark from the program where one object of the system's lacks it: so that of
 * an object is looked at. */
START_TEST(jumps_go_where_they_may)
{
#if defined(__x86_64__) || defined(__i386__)
    char object[600];
    snprintf(object, sizeof object, "%.*s/app/main.o",
             (int)(strrchr(program_path(), '/') - program_path()), program_path());
    read_elf("-n", object);
    ck_assert_ptr_nonnull(strstr(text, "IBT, SHSTK"));
    free(text);
#else
    printf("skipped: such a mark is looked for on x86 only\n");
#endif
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hardening");
    TCase *tests = tcase_create("hardening");
    tcase_add_test(tests, addresses_are_not_known_before);
    tcase_add_test(tests, tables_of_calls_are_not_writable);
    tcase_add_test(tests, nothing_on_the_stack_is_run);
    tcase_add_test(tests, stacks_and_calls_are_looked_after);
    tcase_add_test(tests, jumps_go_where_they_may);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
