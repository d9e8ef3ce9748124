/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Catalogues as the GNU gettext manual describes them ('The Format of GNU MO Files'), put together
 * here byte by byte. */
#include "base/language.h"
#include "base/numbers.h"
#include "support/test_main.h"

#include <pthread.h>
#include <stdint.h>
#include <string.h>

#define TEXT(literal)                                                                              \
    {                                                                                              \
        literal, sizeof(literal) - 1                                                               \
    }
struct entry {
    struct {
        const char *text;
        uint32_t length;
    } english, german;
};
/* sorted by their bytes */
static const struct entry entries[] = {
    {TEXT(""), TEXT("Language: de\n")},
    {TEXT("%d hold\0%d holds"), TEXT("%d Halt\0%d Halte")},
    {TEXT("band\004%s to %s"), TEXT("%s bis %s")},
    {TEXT("decimal sign\004."), TEXT(",")},
    {TEXT("from"), TEXT("von")},
    {TEXT("week"), TEXT("Woche")},
};
#define COUNT (sizeof entries / sizeof entries[0])

static unsigned char bytes[2048];
static struct language german;

static void put(size_t at, uint32_t word)
{
    for (size_t i = 0; i < sizeof word; i++) {
        bytes[at + i] = (unsigned char)(word >> (8 * i));
    }
}

static void make(void)
{
    uint32_t at = (uint32_t)(28 + 16 * COUNT);
    memset(bytes, 0, sizeof bytes);
    put(0, 0x950412de);
    put(8, COUNT);
    put(12, 28);
    put(16, (uint32_t)(28 + 8 * COUNT));
    for (uint32_t i = 0; i < COUNT; i++) {
        put(28 + 8 * i, entries[i].english.length);
        put(32 + 8 * i, at);
        memcpy(bytes + at, entries[i].english.text, entries[i].english.length);
        at += entries[i].english.length + 1;
        put(28 + 8 * (COUNT + i), entries[i].german.length);
        put(32 + 8 * (COUNT + i), at);
        memcpy(bytes + at, entries[i].german.text, entries[i].german.length);
        at += entries[i].german.length + 1;
    }
    german = (struct language){"de", bytes, bytes + at};
}

static void leave(void)
{
    language_enter(NULL);
}

START_TEST(what_is_in_no_catalogue_is_english)
{
    ck_assert_str_eq(language_now()->code, "en");
    ck_assert_str_eq(T_("week"), "week");
    ck_assert_ptr_eq(language_enter(&german), &language_english);
    ck_assert_str_eq(language_now()->code, "de");
    ck_assert_str_eq(T_("week"), "Woche");
    ck_assert_str_eq(T_("from"), "von");
    ck_assert_str_eq(T_("weeks"), "weeks");
    ck_assert_str_eq(T_("a"), "a"); /* before the first, behind the last */
    ck_assert_str_eq(T_("zzz"), "zzz");
    ck_assert_str_eq(T_(""), ""); /* not the catalogue's head */
    ck_assert_ptr_eq(language_enter(NULL), &german);
    ck_assert_str_eq(T_("week"), "week");
}
END_TEST

START_TEST(a_context_tells_two_meanings_apart)
{
    language_enter(&german);
    ck_assert_str_eq(C_("band", "%s to %s"), "%s bis %s");
    ck_assert_str_eq(C_("part", "%s to %s"), "%s to %s");
    ck_assert_str_eq(T_("%s to %s"), "%s to %s");
}
END_TEST

START_TEST(a_count_has_two_forms)
{
    ck_assert_str_eq(P_("%d hold", "%d holds", 1), "%d hold");
    ck_assert_str_eq(P_("%d hold", "%d holds", 0), "%d holds");
    language_enter(&german);
    ck_assert_str_eq(P_("%d hold", "%d holds", 1), "%d Halt");
    ck_assert_str_eq(P_("%d hold", "%d holds", 0), "%d Halte");
    ck_assert_str_eq(P_("%d hold", "%d holds", 7), "%d Halte");
    ck_assert_str_eq(P_("%d run", "%d runs", 1), "%d run");
    ck_assert_str_eq(P_("week", "weeks", 2), "weeks"); /* it has no forms there */
    ck_assert_str_eq(T_("%d hold"), "%d hold");        /* which is no text by itself */
}
END_TEST

START_TEST(numbers_follow_it)
{
    char text[64];
    say_number(text, sizeof text, 3.25, 1);
    ck_assert_str_eq(text, "3.2");
    language_enter(&german);
    say_number(text, sizeof text, 3.25, 1);
    ck_assert_str_eq(text, "3,2");
    say_exact(text, sizeof text, -2.5);
    ck_assert_str_eq(text, "-2,5");
    say_exact(text, sizeof text, 20);
    ck_assert_str_eq(text, "20");
    say_signed(text, sizeof text, 0.001, 2);
    ck_assert_str_eq(text, "0,00"); /* no sign of nothing */
    say_signed(text, sizeof text, 0.5, 1);
    ck_assert_str_eq(text, "+0,5");
}
END_TEST

static void *write_beside(void *context)
{
    static char said[32];
    (void)context;
    strcpy(said, T_("week"));
    language_enter(&german);
    return said;
}

/* A live screen beside a sheet that is written. */
START_TEST(it_is_a_threads_own)
{
    pthread_t thread;
    void *said = NULL;
    language_enter(&german);
    ck_assert_int_eq(pthread_create(&thread, NULL, write_beside, NULL), 0);
    ck_assert_int_eq(pthread_join(thread, &said), 0);
    ck_assert_str_eq(said, "week");
    language_enter(NULL);
    ck_assert_int_eq(pthread_create(&thread, NULL, write_beside, NULL), 0);
    ck_assert_int_eq(pthread_join(thread, &said), 0);
    ck_assert_str_eq(T_("week"), "week");
}
END_TEST

START_TEST(what_points_outside_is_not_sound)
{
    ck_assert(language_sound(&language_english));
    ck_assert(language_sound(&german));
    struct language cut = german;
    cut.end = bytes + 20;
    ck_assert(!language_sound(&cut));
    cut.end = german.end - 1; /* the last text has no end */
    ck_assert(!language_sound(&cut));
    put(8, 1000000);
    ck_assert(!language_sound(&german));
    make();
    put(32 + 8, 4000000000U);
    ck_assert(!language_sound(&german));
    make();
    put(28 + 8 * COUNT, 4000000000U);
    ck_assert(!language_sound(&german));
    make();
    put(16, 4000000000U);
    ck_assert(!language_sound(&german));
    make();
    put(28 + 8 * (COUNT - 1), 2); /* "week" is not over behind its second letter */
    ck_assert(!language_sound(&german));
    make();
    put(0, 0xde120495);
    ck_assert(!language_sound(&german));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("language");
    TCase *tests = tcase_create("language");
    tcase_add_checked_fixture(tests, make, leave);
    tcase_add_test(tests, what_is_in_no_catalogue_is_english);
    tcase_add_test(tests, a_context_tells_two_meanings_apart);
    tcase_add_test(tests, a_count_has_two_forms);
    tcase_add_test(tests, numbers_follow_it);
    tcase_add_test(tests, it_is_a_threads_own);
    tcase_add_test(tests, what_points_outside_is_not_sound);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
