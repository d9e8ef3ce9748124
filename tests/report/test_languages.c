/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The riders' papers in another language: all of it, with the same places for numbers and names,
 * and no sentence put together from parts. */
#include "example_report.h"

#include "base/text.h"
#include "report/languages.h"
#include "support/english_words.h"
#include "support/source_texts.h"
#include "support/test_main.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#define KEYS_MOST 1000

static const struct language *german;

static void find_german(void)
{
    german = languages_find("de");
    ck_assert_ptr_nonnull(german);
}

static void leave(void)
{
    language_enter(NULL);
}

/* ---- the catalogue ---- */

/* What has to be in both, in any order: '%d', '%.0f', '{n}'. */
static void places(const char *text, char *list, size_t size)
{
    char place[20][24];
    size_t count = 0, used = 0;
    for (const char *at = text; *at != '\0';) {
        size_t length = *at == '%'   ? strcspn(at + 1, "sdfgc%") + 2
                        : *at == '{' ? strcspn(at, "}") + 1
                                     : 0;
        if (length > 0) {
            const char *dollar = memchr(at, '$', length);
            ck_assert_uint_lt(count, 20);
            ck_assert_uint_lt(length, sizeof place[0]);
            snprintf(place[count++], sizeof place[0], "%.*s", (int)length, at);
            ck_assert_msg(dollar == NULL, "%s: places stay in their order", text);
        }
        at += length > 0 ? length : 1;
    }
    /* named ones may stand in another order; those of printf may not */
    text_copy(list, size, "");
    for (size_t i = 0; i < count; i++) {
        text_append(list, size, &used, "%s ", place[i][0] == '%' ? place[i] : "");
    }
    for (const char *letter = "abcdefghijklmnopqrstuvwxyz"; *letter != '\0'; letter++) {
        for (size_t i = 0; i < count; i++) {
            if (place[i][0] == '{' && place[i][1] == *letter) {
                text_append(list, size, &used, "%s ", place[i]);
            }
        }
    }
}

static void check_places(const struct source_text *source, const char *english,
                         const char *translated)
{
    char there[256], wanted[256];
    places(english, wanted, sizeof wanted);
    places(translated, there, sizeof there);
    ck_assert_msg(text_equal(there, wanted), "%s:%d: '%s' has other places: '%s'", source->file,
                  source->line, english, translated);
}

struct seen {
    int count;
    char *key[KEYS_MOST];
};

static void remember(struct seen *seen, const char *context, const char *text)
{
    char key[2200];
    snprintf(key, sizeof key, "%s\004%s", context, text);
    for (int i = 0; i < seen->count; i++) {
        if (strcmp(seen->key[i], key) == 0) {
            return;
        }
    }
    ck_assert_int_lt(seen->count, KEYS_MOST);
    seen->key[seen->count++] = strdup(key);
}

static void check_text(void *context, const struct source_text *source)
{
    const char *text = source->text;
    size_t length = strlen(text);
    if (source->macro[0] == '\0') {
        return;
    }
    ck_assert_msg(length > 0 && text[0] != ' ' && text[length - 1] != ' ',
                  "%s:%d: '%s' is a part of something", source->file, source->line, text);
    const char *one = source->context[0] != '\0' ? language_text_of(source->context, text)
                      : source->many[0] != '\0'  ? language_counted(text, source->many, 1)
                                                 : language_text(text);
    ck_assert_msg(one != text, "%s:%d: '%s' is not in the catalogue", source->file, source->line,
                  text);
    check_places(source, text, one);
    if (source->many[0] != '\0') {
        const char *many = language_counted(text, source->many, 2);
        ck_assert_ptr_ne(many, source->many);
        check_places(source, source->many, many);
    }
    remember(context, source->context, text);
}

START_TEST(every_text_has_its_translation)
{
    struct seen seen = {0, {NULL}};
    uint32_t in_catalogue;
    language_enter(german);
    source_texts_in("src", check_text, &seen);
    source_texts_in("include", check_text, &seen);
    memcpy(&in_catalogue, german->catalogue + 8, sizeof in_catalogue);
    ck_assert_int_gt(seen.count, 400);
    ck_assert_int_eq(seen.count, (int)in_catalogue - 1); /* its head; and none that nobody says */
    for (int i = 0; i < seen.count; i++) {
        free(seen.key[i]);
    }
}
END_TEST

START_TEST(catalogues_are_sound_and_have_two_forms)
{
    char list[64];
    ck_assert(language_sound(german));
    ck_assert_ptr_eq(languages_find("en"), &language_english);
    ck_assert_ptr_null(languages_find(""));
    ck_assert_ptr_null(languages_find("DE"));
    languages_list(list, sizeof list);
    ck_assert_str_eq(list, "en, de");
    uint32_t translated, at;
    memcpy(&translated, german->catalogue + 16, sizeof translated);
    memcpy(&at, german->catalogue + translated + 4, sizeof at);
    const char *head = (const char *)german->catalogue + at; /* that of "" is first */
    ck_assert_msg(strstr(head, "nplurals=2; plural=(n != 1);") != NULL, "%s", head);
}
END_TEST

/* ---- nothing beside the catalogue ---- */

/* Marks and attributes of pictures, keys, units; '%s %s' and what else has no word. */
static bool has_a_word(const char *text)
{
    if (strpbrk(text, "=#<_") != NULL) {
        return false;
    }
    int letters = 0, before = 0;
    for (const char *at = text; *at != '\0'; at++) {
        if (*at == '%') {
            at += 1 + strcspn(at + 1, "sdfgc%");
            letters = 0;
            if (*at == '\0') {
                break;
            }
            continue;
        }
        letters = isalpha((unsigned char)*at) ? letters + 1 : 0;
        before = letters > before ? letters : before;
    }
    return before >= 3;
}

static void check_in_catalogue(void *context, const struct source_text *source)
{
    /* of parts, units, places in phrases */
    static const char *const names[] = {"sheet", "record", "deg",  "value", "intent",
                                        "list",  "day",    "then", "setup"};
    int *count = context;
    ++*count;
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        if (text_equal(source->text, names[i])) {
            return;
        }
    }
    ck_assert_msg(source->macro[0] != '\0' || !has_a_word(source->text),
                  "%s:%d: '%s' is in no catalogue", source->file, source->line, source->text);
}

START_TEST(the_papers_sources_have_no_other_words)
{
    static const char *const files[] = {
        "src/report/sheet.c",
        "src/report/sheet_decision.c",
        "src/report/sheet_practice.c",
        "src/report/cautions.c",
        "src/report/plots/plot_posture.c",
        "src/report/plots/posture.c",
        "src/report/plots/posture_words.c",
        "src/report/plots/plot_differences.c",
        "src/report/plots/plot_visits.c",
        "src/say/decision.c",
        "src/say/visits.c",
    };
    int count = 0;
    for (size_t i = 0; i < sizeof files / sizeof files[0]; i++) {
        source_texts_of(files[i], check_in_catalogue, &count);
    }
    ck_assert_int_gt(count, 200);
    ck_assert(has_a_word("%s mm lower") && !has_a_word("%s%s %.0fmm"));
}
END_TEST

/* ---- a whole sheet ---- */

static bool no_samples(void *context, int64_t first, int64_t last, const struct sample **samples,
                       size_t *count)
{
    static struct sample one;
    (void)context;
    (void)first;
    (void)last;
    *samples = &one;
    *count = 0;
    return true;
}

static char *sheet(void)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct caught caught;
    input.language = german;
    input.sheet_only = true;
    bool done = report_html(catch_begin(&caught), &input, no_samples, NULL, &problem);
    char *text = catch_end(&caught);
    ck_assert_msg(done, "%s", problem.sentence);
    ck_assert_ptr_eq(language_now(), &language_english); /* as it was before */
    return text;
}

static void check_sheet(const char *there)
{
    char *text = sheet();
    char where[512];
    ck_assert_msg(!english_words_find(text, where, sizeof where), "%s", where);
    ck_assert_msg(strstr(text, there) != NULL, "'%s' is not in: %.3000s", there,
                  strstr(text, "</style>"));
    free(text);
}

/* What was typed stands as it was typed: here by a German fitter. */
static void begin_german(void)
{
    begin_chosen();
    find_german();
    static const char *const intents[] = {"wie gekommen", "Spacer raus, Auflagen tief",
                                          "Auflagen vor"};
    for (int i = 0; i < record->setup_count; i++) {
        text_copy(record->setup[i].intent, sizeof record->setup[i].intent, intents[i % 3]);
    }
    text_copy(record->bike.name, sizeof record->bike.name, "Trainingsrad");
    text_copy(record->rider.name, sizeof record->rider.name, "Wintergruppe");
}

START_TEST(a_german_sheet_has_no_english_word)
{
    at_ease();
    check_sheet("<html lang=\"de\">");
    check_sheet("<section class=\"sheet\" lang=\"de\">");
    check_sheet("Fahren Sie Einstellung 2: Spacer raus, Auflagen tief.");
    check_sheet("Gegenüber dem Ausgangszustand: Kopf 12 mm tiefer.");
    check_sheet("10. Januar 2026: 3 Einstellungen ausprobiert, 9 Haltephasen");
    text_copy(analysis->channel_name[1], sizeof analysis->channel_name[1], "shoulder");
    check_sheet("Schulter: ");
    text_copy(analysis->channel_name[1], sizeof analysis->channel_name[1], "chest");
    check_sheet("gegenüber Einstellung 1: 12 mm tiefer (6 bis 18)");
    for (int verdict = VERDICT_NONE; verdict <= (int)VERDICT_CANNOT_TELL; verdict++) {
        for (int reason = 0; reason < COMPARE_REASONS; reason++) {
            struct setup_difference *head = &analysis->free_heights[0].difference[1];
            head->verdict = (enum verdict)verdict;
            head->reason = (enum compare_reason)reason;
            head->advice = (enum compare_advice)(reason % (int)(ADVICE_RETURN_TO_FIRST + 1));
            head->advice_holds = reason;
            check_sheet("Kopf: ");
        }
    }
}
END_TEST

START_TEST(whatever_was_decided_it_is_german)
{
    check_sheet("erst, wenn nichts mehr taub wird");
    at_ease();
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].value[RATING_SEES_AHEAD] = SEES_STRAINED;
    }
    check_sheet("erst auf die Straße, wenn der Blick nach vorn leichter fällt");
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].value[RATING_NUMB_HANDS] = ANSWER_YES;
        record->rating[i].value[RATING_NUMB_SADDLE] = ANSWER_YES;
        for (int item = 0; item < RATING_ITEMS; item++) {
            if (rating_fields[item].kind == RATING_SCORE) {
                record->rating[i].value[item] = 2.5;
            }
        }
    }
    check_sheet("Dabei wurde etwas taub (Hände und Sattel)");
    check_sheet("Nacken 2,5");
    for (int i = 0; i < record->rating_count; i++) {
        record->rating[i].value[RATING_SEES_AHEAD] = SEES_NO;
    }
    check_sheet("<strong>DURCHGEFALLEN</strong>");
    record->rating_count = 0;
    check_sheet("NICHT GEFRAGT");
    record->limits.most[BIKE_SPACERS] = 0;
    for (int i = 0; i < record->setup_count; i++) {
        record->setup[i].bike.value[BIKE_SPACERS] = 7.5;
    }
    check_sheet("Spacer 7,5 mm: über der eingetragenen Grenze von 0 mm");
    input.chosen_setup = 1;
    bike_limits_clear(&record->limits);
    check_sheet("Bleiben Sie bei Ihrer bisherigen Einstellung.");
    input.chosen_setup = record->settings.chosen_setup = 0;
    check_sheet("Noch ist keine Einstellung gewählt.");
    record->hold_count = 0;
    check_sheet("Noch zählt keine Messung: Es lässt sich keine Einstellung nennen.");
    record->has_rider = false;
    check_sheet("Ohne Namen");
}
END_TEST

/* Every part that can be turned, up and down, and drawn. */
START_TEST(every_work_on_the_bike_is_german)
{
    at_ease();
    for (int way = -1; way <= 1; way += 2) {
        for (int key = 0; key < BIKE_KEYS; key++) {
            double *from = &record->setup[0].bike.value[key];
            *from = isnan(*from) ? fmax(bike_fields[key].minimum, 0) + 12 : *from;
            record->setup[1].bike.value[key] =
                *from + (bike_fields[key].scope == BIKE_SCOPE_PART ? way * 2.5 : 0);
        }
        check_sheet(way > 0 ? "Sattelhöhe: um 2,5 mm anheben" : "Sattelhöhe: um 2,5 mm absenken");
        check_sheet("Sattelstützenklemmung");
        check_sheet(way > 0 ? "Vorbau: tauschen" : "Lenker: vorn um 2,5° absenken");
    }
}
END_TEST

/* The report is the fitter's, who has it in English: sheet and report in one file. */
START_TEST(the_fitters_report_stays_english)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct caught caught, plain;
    at_ease();
    input.language = german;
    ck_assert(report_html(catch_begin(&caught), &input, no_samples, NULL, &problem));
    input.language = NULL;
    ck_assert(report_html(catch_begin(&plain), &input, no_samples, NULL, &problem));
    char *mixed = catch_end(&caught), *usual = catch_end(&plain);
    ck_assert_ptr_nonnull(strstr(mixed, "<html lang=\"en\">"));
    ck_assert_ptr_nonnull(strstr(mixed, "<section class=\"sheet\" lang=\"de\">"));
    const char *report = strstr(mixed, "<section class=\"report\" lang=\"en\">");
    ck_assert_ptr_nonnull(report);
    ck_assert_str_eq(report, strstr(usual, "<section class=\"report\""));
    free(mixed);
    free(usual);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("languages");
    TCase *catalogue = tcase_create("catalogue");
    tcase_set_timeout(catalogue, 60);
    tcase_add_checked_fixture(catalogue, find_german, leave);
    tcase_add_test(catalogue, every_text_has_its_translation);
    tcase_add_test(catalogue, catalogues_are_sound_and_have_two_forms);
    tcase_add_test(catalogue, the_papers_sources_have_no_other_words);
    suite_add_tcase(suite, catalogue);
    TCase *sheets = tcase_create("sheets");
    tcase_set_timeout(sheets, 60);
    tcase_add_checked_fixture(sheets, begin_german, end);
    tcase_add_test(sheets, a_german_sheet_has_no_english_word);
    tcase_add_test(sheets, whatever_was_decided_it_is_german);
    tcase_add_test(sheets, every_work_on_the_bike_is_german);
    tcase_add_test(sheets, the_fitters_report_stays_english);
    suite_add_tcase(suite, sheets);
    return test_main(suite);
}
