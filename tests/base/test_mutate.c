/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What changes the program in order to try its tests (make mutate), on a made-up module of which
 * each mutant is counted by hand. */
#include "mutate/equivalents.h"
#include "mutate/results.h"
#include "support/test_main.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const char module[] = "/* if (a < b) in a comment is no code */\n"
                             "#define LIMIT_MM 4.0 /* a rule */\n"
                             "#define ROOM 8\n"
                             "#define TWICE(x) (2 * (x))\n"
                             "static const int LEAST = 3;\n"
                             "static const struct {\n"
                             "    const char *key;\n"
                             "    int value;\n"
                             "} rows[] = {{\"a, {b}\", 1}, {\"c\", 1}, {\"c\", 1}, {0, 0}};\n"
                             "static const int named[ROOM] = {[1] = 10, [2] = 20};\n"
                             "int over(double height_mm, int count)\n"
                             "{\n"
                             "    double *where = &height_mm;\n"
                             "    return *where > LIMIT_MM && count >= LEAST ? 1 : -1;\n"
                             "}\n"
                             "WORD_LIST(words, [2] = \"no\", [5] = \"yes\");\n"
                             "int row(int index)\n"
                             "{\n"
                             "    return rows[index].value + named[index]; /* never - \"*\" */\n"
                             "}\n";
static const char header[] = "#define FROM_HEADER 2.5\n#define NAME_SIZE 12\n"
                             "#define LIST(ROW) \\\n    ROW(one, 1) \\\n    ROW(two, 2)\n"
                             "RULE_COUNT(HOLDS, 2, \"\", \"our own\", \"holds\")\n"
                             "RULE(SHARE, 5, \"\", \"our own\", \"a share\")\n"
                             "RULE(SCORE, -1.5, \"\", \"our own\", \"a score\")\n";
/* It sees LIMIT_MM, >= and the second operand, but neither the exact limit nor a row. */
static const char test[] = "int over(double height_mm, int count);\n"
                           "int main(void)\n"
                           "{\n"
                           "    return over(4.2, 3) != 1 || over(3.8, 9) != -1 ||\n"
                           "           over(9.0, 2) != -1;\n"
                           "}\n";

static int count_of(const struct mutants *mutants, enum mutant_kind kind)
{
    int count = 0;
    for (size_t i = 0; i < mutants->count; i++) {
        count += mutants->all[i].kind == kind;
    }
    return count;
}

static const struct mutant *find(const struct mutants *mutants, const char *what, const char *text)
{
    for (size_t i = 0; i < mutants->count; i++) {
        if (strcmp(mutants->all[i].what, what) == 0 && strstr(mutants->all[i].text, text)) {
            return &mutants->all[i];
        }
    }
    ck_abort_msg("no mutant '%s' of '%s'", what, text);
    return NULL;
}

static void check_changed(const struct mutant *mutant, const char *source, const char *expected)
{
    char *changed = mutant_apply(mutant, source);
    ck_assert_ptr_nonnull(strstr(changed, expected));
    free(changed);
}

START_TEST(counted)
{
    struct mutants mutants = {.count = 0};
    ck_assert(mutants_of(&mutants, "src/measure/thing.c", module, 1));
    /* LIMIT_MM and LEAST, both ways; ROOM is a size */
    ck_assert_int_eq(count_of(&mutants, MUTANT_RULE), 4);
    /* three rows dropped and two dropped; the first two and the named ones swapped: the second and
     * third are the same, the fourth ends the list */
    int rows = 3 + 2 + 1 + 1;
    /* two words dropped and swapped */
    rows += 2 + 1;
    ck_assert_int_eq(count_of(&mutants, MUTANT_TABLE), rows);
    check_changed(find(&mutants, "swapped with the next", "[2] = \"no"), module,
                  "[2] = \"yes\", [5] = \"no\"");
    ck_assert_str_eq(find(&mutants, "row dropped", "[5]")->table, "words");
    ck_assert_str_eq(find(&mutants, "row dropped", "a, {b}")->table, "rows");
    ck_assert_str_eq(find(&mutants, "row dropped", "[1]")->table, "named");
    /* > && >= -1 + */
    ck_assert_int_eq(count_of(&mutants, MUTANT_SAMPLE), 5);
    check_changed(find(&mutants, "4.0 to 4.4", "LIMIT_MM"), module, "LIMIT_MM 4.4 /* a rule */\n");
    check_changed(find(&mutants, "3 to 2", "LEAST"), module, "LEAST = 2;\n");
    check_changed(find(&mutants, "swapped with the next", "a, {b}"), module,
                  "= {{\"c\", 1}, {\"a, {b}\", 1}, {\"c\", 1}, {0, 0}};\n");
    check_changed(find(&mutants, "swapped with the next", "[1]"), module,
                  "= {[1] = 20, [2] = 10};\n");
    check_changed(find(&mutants, "row dropped", "[2]"), module, "= {[1] = 10, };\n");
    check_changed(find(&mutants, "> to >=", "LIMIT_MM"), module, "*where >= LIMIT_MM && count");
    check_changed(find(&mutants, "sign dropped", "LIMIT_MM"), module, "? 1 : 1;\n");
    ck_assert_int_eq(find(&mutants, "+ to -", "rows[index]")->line, 19);
    mutants_free(&mutants);
}
END_TEST

START_TEST(counted_in_header)
{
    struct mutants mutants = {.count = 0};
    ck_assert(mutants_of(&mutants, "include/measure/thing.h", header, 1));
    /* FROM_HEADER, HOLDS, SHARE, SCORE; what is counted outside of a row is a size */
    ck_assert_int_eq(count_of(&mutants, MUTANT_RULE), 8);
    ck_assert_int_eq(count_of(&mutants, MUTANT_TABLE), 3);
    ck_assert_int_eq(count_of(&mutants, MUTANT_SAMPLE), 0);
    check_changed(find(&mutants, "5 to 4.5", "SHARE"), header, "RULE(SHARE, 4.5, ");
    check_changed(find(&mutants, "1.5 to 1.65", "SCORE"), header, "RULE(SCORE, -1.65, ");
    check_changed(find(&mutants, "2 to 3", "HOLDS"), header, "RULE_COUNT(HOLDS, 3, ");
    check_changed(find(&mutants, "swapped with the next", "ROW(one"), header,
                  "ROW(two, 2) \\\n    ROW(one, 1)\n");
    mutants_free(&mutants);
}
END_TEST

/* What stands there anyway isn't dropped; without a size it may be what makes the array so long. */
START_TEST(said_or_not)
{
    static const char said[] = "static const int sized[9] = {[1] = 0, [3] = 5, [8] = 0};\n"
                               "static const char *const names[9] = {[2] = NULL, [4] = \"x\"};\n"
                               "static const int plain[2] = {0, 7};\n"
                               "static const int open[] = {[1] = 3, [8] = 0};\n";
    struct mutants mutants = {.count = 0};
    ck_assert(mutants_of(&mutants, "src/measure/thing.c", said, 1));
    /* dropped: one of the first three and of the first two, both of the others; swapped: all */
    ck_assert_int_eq(count_of(&mutants, MUTANT_TABLE), 1 + 1 + 2 + 2 + 2 + 1 + 1 + 1);
    ck_assert_str_eq(find(&mutants, "row dropped", "[8] = 0")->table, "open");
    mutants_free(&mutants);
}
END_TEST

/* The lesser or the greater of two is the same whether equals count as less or not; another number,
 * or another condition beside it, is not. */
START_TEST(lesser_and_greater)
{
    static const struct {
        const char *line;
        int changes;
    } cases[] = {
        {"return a < b ? a : b;", 0},
        {"return a >= b ? a : b;", 0},
        {"int c = a < b ? b : a;", 0},
        {"f(x->all[a] < x->all[b] ? x->all[a] : x->all[b], 1);", 0},
        {"return (a - 1 < b ? a - 1 : b);", 2}, /* its minuses */
        {"return a < b ? a : c;", 1},
        {"return a < b ? a : b + 1;", 2},
        {"return x * a < b ? a : b;", 2},
        {"return a == b ? a : b;", 1},
        {"return a < b && c ? a : b;", 2},
        {"if (a < b) { return c ? a : b; }", 1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct mutants mutants = {.count = 0};
        char text[200];
        snprintf(text, sizeof text, "int of(int a, int b)\n{\n    %s\n}\n", cases[i].line);
        ck_assert(mutants_of(&mutants, "src/measure/thing.c", text, 1));
        ck_assert_msg(count_of(&mutants, MUTANT_SAMPLE) == cases[i].changes, "%s: %d",
                      cases[i].line, count_of(&mutants, MUTANT_SAMPLE));
        mutants_free(&mutants);
    }
}
END_TEST

/* The same seed gives the same sample, also where lines stand elsewhere; another one another. */
START_TEST(sampled)
{
    struct mutants one = {.count = 0}, moved = {.count = 0}, other = {.count = 0};
    char below[sizeof module + 2];
    snprintf(below, sizeof below, "\n%s", module);
    int differ = 0;
    ck_assert(mutants_of(&one, "src/measure/thing.c", module, 1));
    ck_assert(mutants_of(&moved, "src/measure/thing.c", below, 1));
    mutants_sample(&one, 2);
    mutants_sample(&moved, 2);
    ck_assert_int_eq(count_of(&one, MUTANT_SAMPLE), 2);
    ck_assert_int_eq(count_of(&one, MUTANT_RULE), 4);
    ck_assert_uint_eq(one.count, moved.count);
    for (size_t i = 0; i < one.count; i++) {
        ck_assert_str_eq(one.all[i].what, moved.all[i].what);
        ck_assert_int_eq(one.all[i].line + 1, moved.all[i].line);
    }
    for (uint64_t seed = 2; seed < 12; seed++) {
        ck_assert(mutants_of(&other, "src/measure/thing.c", module, seed));
        mutants_sample(&other, 2);
        for (size_t i = 0; i < other.count; i++) {
            differ += strcmp(other.all[i].what, one.all[i].what) != 0;
        }
        mutants_free(&other);
    }
    ck_assert_int_gt(differ, 0);
    mutants_free(&one);
    mutants_free(&moved);
}
END_TEST

static void write_text(const char *path, const char *text)
{
    ck_assert(file_write(path, text, strlen(text)));
}

/* The made-up module with its test in a folder of their own, built. */
static void enter_made_project(char folder[])
{
    ck_assert_ptr_nonnull(mkdtemp(folder));
    ck_assert_int_eq(chdir(folder), 0);
    char plain[sizeof module];
    snprintf(plain, sizeof plain, "%s", module);
    char *macro = strstr(plain, "WORD_LIST"); /* no such macro here */
    macro[0] = macro[1] = '/';
    write_text("src/measure/thing.c", plain);
    write_text("tests/measure/test_thing.c", test);
    write_text("build/tests/measure/made", "");
    ck_assert_int_eq(system("cc -shared -fPIC -o build/libmeasure.so src/measure/thing.c && "
                            "cc -o build/tests/measure/test_thing tests/measure/test_thing.c "
                            "build/libmeasure.so -Wl,-rpath,$PWD"),
                     0);
}

static const struct names no_killers;

static enum verdict verdict_of(const struct mutants *mutants, const struct programs *programs,
                               const char *what, const char *text)
{
    struct workshop workshop = {"build", "cc -shared -fPIC -w", 0.0, 1, NULL};
    return mutant_try(find(mutants, what, text), &workshop, programs, &no_killers, "build/mutant")
        .verdict;
}

START_TEST(killed_and_survived)
{
    struct workshop workshop = {"build", "cc -shared -fPIC -w", 0.0, 3, NULL};
    struct mutants mutants = {.count = 0};
    struct programs programs;
    struct names layers = {.count = 0};
    char folder[] = "/tmp/holdline-mutate-XXXXXX", away[64];
    enter_made_project(folder);
    ck_assert(names_add(&layers, "measure"));
    ck_assert(mutants_of(&mutants, "src/measure/thing.c", module, 1));
    ck_assert(programs_find(&programs, &workshop, &layers));
    ck_assert_uint_eq(programs.count, 1);
    ck_assert(!programs.all[0].fails);
    ck_assert_int_eq(verdict_of(&mutants, &programs, "4.0 to 4.4", "LIMIT_MM"), KILLED);
    ck_assert_int_eq(verdict_of(&mutants, &programs, "4.0 to 3.6", "LIMIT_MM"), KILLED);
    ck_assert_int_eq(verdict_of(&mutants, &programs, "3 to 4", "LEAST"), KILLED);
    ck_assert_int_eq(verdict_of(&mutants, &programs, "3 to 2", "LEAST"), KILLED);
    ck_assert_int_eq(verdict_of(&mutants, &programs, "sign dropped", "LIMIT_MM"), KILLED);
    ck_assert_int_eq(verdict_of(&mutants, &programs, "> to >=", "LIMIT_MM"), SURVIVED);
    ck_assert_int_eq(verdict_of(&mutants, &programs, "row dropped", "[1]"), SURVIVED);
    /* A test whose code names the rule says nothing of its number; a text or a comment may. */
    write_text("tests/measure/test_thing.c", "/* LIMIT_MM */ char *name = \"LIMIT_MM\";");
    ck_assert_int_eq(verdict_of(&mutants, &programs, "4.0 to 4.4", "LIMIT_MM"), KILLED);
    write_text("tests/measure/test_thing.c", "double limit = LIMIT_MM;");
    ck_assert_int_eq(verdict_of(&mutants, &programs, "4.0 to 4.4", "LIMIT_MM"), SURVIVED);
    /* What is left out kills nothing, its like does. */
    programs_free(&programs);
    workshop.without = "measure/test_thing_long";
    ck_assert(programs_find(&programs, &workshop, &layers));
    ck_assert_uint_eq(programs.count, 1);
    programs_free(&programs);
    workshop.without = "measure/test_other measure/test_thing";
    ck_assert(programs_find(&programs, &workshop, &layers));
    ck_assert_uint_eq(programs.count, 0);
    workshop.compiler = "false";
    ck_assert_int_eq(
        mutant_try(&mutants.all[0], &workshop, &programs, &no_killers, "build/mutant").verdict,
        DID_NOT_BUILD);
    mutants_free(&mutants);
    programs_free(&programs);
    names_free(&layers);
    snprintf(away, sizeof away, "rm -rf %s", folder);
    ck_assert_int_eq(system(away), 0);
}
END_TEST

/* What killed a mutant of the file has its turn before the module's own test. */
START_TEST(killer_first)
{
    struct workshop workshop = {"build", "cc -shared -fPIC -w", 0.0, 1, NULL};
    struct mutants mutants = {.count = 0};
    struct programs programs;
    struct names layers = {.count = 0}, killers = {.count = 0};
    struct outcome by_other = {KILLED, "measure/test_other.c"}, lived = {SURVIVED, ""};
    char folder[] = "/tmp/holdline-mutate-XXXXXX", away[64];
    enter_made_project(folder);
    write_text("tests/measure/test_other.c", test);
    ck_assert_int_eq(system("cp build/tests/measure/test_thing build/tests/measure/test_other"), 0);
    ck_assert(names_add(&layers, "measure"));
    ck_assert(mutants_of(&mutants, "src/measure/thing.c", module, 1));
    ck_assert(programs_find(&programs, &workshop, &layers));
    ck_assert_uint_eq(programs.count, 2);
    const struct mutant *seen = find(&mutants, "4.0 to 4.4", "LIMIT_MM");
    const struct mutant *unseen = find(&mutants, "> to >=", "LIMIT_MM");
    killers_add(&killers, "src/measure/other.c", &by_other);
    killers_add(&killers, seen->file, &lived);
    ck_assert_uint_eq(killers.count, 1);
    ck_assert_str_eq(mutant_try(seen, &workshop, &programs, &killers, "build/mutant").by,
                     "measure/test_thing.c");
    killers_add(&killers, seen->file, &by_other);
    killers_add(&killers, seen->file, &by_other);
    ck_assert_uint_eq(killers.count, 2);
    ck_assert_str_eq(mutant_try(seen, &workshop, &programs, &killers, "build/mutant").by,
                     "measure/test_other.c");
    ck_assert_int_eq(mutant_try(unseen, &workshop, &programs, &killers, "build/mutant").verdict,
                     SURVIVED);
    names_free(&killers);
    names_free(&layers);
    mutants_free(&mutants);
    programs_free(&programs);
    snprintf(away, sizeof away, "rm -rf %s", folder);
    ck_assert_int_eq(system(away), 0);
}
END_TEST

/* A rule in a header is changed for those who have its name or list its file, before the header
 * that is there. */
START_TEST(killed_in_a_header)
{
    static const char rules[] = "RULE(LIMIT_MM, 4.0, \"mm\", \"our own\", \"a limit\")\n"
                                "RULE(FAR_MM, 9.0, \"mm\", \"our own\", \"another\")\n";
    /* What a program of the layer below can't load: it says nothing of the change. */
    static const char far_source[] = "#include \"measure/heads.h\"\n"
                                     "extern int of_session;\nint *there = &of_session;\n"
                                     "double far(void)\n{\n    return FAR_MM + LIMIT_MM;\n}\n";
    static const char heads[] = "#define RULE(name, value, unit, source, what)"
                                " static const double name = value;\n"
                                "#include \"measure/rows.h\"\n";
    static const char source[] = "#include \"measure/heads.h\"\n"
                                 "int over(double mm)\n{\n    return mm > LIMIT_MM;\n}\n";
    static const char tried[] = "int over(double mm);\n"
                                "int main(void)\n{\n    return !over(4.2) || over(3.8);\n}\n";
    struct workshop workshop = {"build", "cc -Iinclude -shared -fPIC -w", 0.0, 1, NULL};
    struct mutants mutants = {.count = 0};
    struct programs programs;
    struct names layers = {.count = 0}, users;
    char folder[] = "/tmp/holdline-mutate-XXXXXX", away[64];
    ck_assert_ptr_nonnull(mkdtemp(folder));
    ck_assert_int_eq(chdir(folder), 0);
    write_text("include/measure/rows.h", rules);
    write_text("include/measure/heads.h", heads);
    write_text("src/measure/thing.c", source);
    write_text("src/session/far.c", far_source);
    write_text("src/measure/other.c", "#include \"measure/heads.h\"\nint other;\n");
    write_text("src/measure/list.c", "#define RULE(name, value, unit, source, what) value,\n"
                                     "const double list[] = {\n"
                                     "#include \"measure/rows.h\"\n};\n");
    write_text("tests/measure/test_thing.c", tried);
    write_text("build/tests/measure/made", "");
    ck_assert_int_eq(system("cc -Iinclude -shared -fPIC -o build/libmeasure.so src/measure/*.c && "
                            "cc -o build/tests/measure/test_thing tests/measure/test_thing.c "
                            "build/libmeasure.so -Wl,-rpath,$PWD"),
                     0);
    ck_assert(names_add(&layers, "measure"));
    ck_assert(mutants_of(&mutants, "include/measure/rows.h", rules, 1));
    ck_assert_uint_eq(mutants.count, 4);
    ck_assert(users_of(&users, &mutants.all[0]));
    ck_assert_uint_eq(users.count, 3);
    ck_assert(names_have(&users, "src/measure/thing.c"));
    ck_assert(names_have(&users, "src/measure/list.c"));
    ck_assert(programs_find(&programs, &workshop, &layers));
    for (size_t i = 0; i < mutants.count; i++) {
        ck_assert_int_eq(
            mutant_try(&mutants.all[i], &workshop, &programs, &no_killers, "build/mutant").verdict,
            strcmp(mutants.all[i].name, "LIMIT_MM") == 0 ? KILLED : SURVIVED);
    }
    ck_assert(layer_is_linked("session", "measure") && layer_is_linked("store", "session"));
    ck_assert(layer_is_linked("store", "store") && !layer_is_linked("store", "screen"));
    ck_assert(!layer_is_linked("measure", "session") && !layer_is_linked("session", "none"));
    names_free(&users);
    mutants_free(&mutants);
    programs_free(&programs);
    names_free(&layers);
    snprintf(away, sizeof away, "rm -rf %s", folder);
    ck_assert_int_eq(system(away), 0);
}
END_TEST

START_TEST(equivalents)
{
    struct equivalents list;
    struct mutants mutants = {.count = 0};
    char path[] = "/tmp/holdline-equivalents-XXXXXX";
    int line = 0, found = 0;
    ck_assert(mutants_of(&mutants, "src/measure/thing.c", module, 1));
    close(mkstemp(path));
    write_text(path, "# for the reader\n\nfile: src/measure/thing.c\n"
                     "text: return *where > LIMIT_MM && count >= LEAST ? 1 : -1;\n"
                     "change: > to >=\nreason: a height is never\nexactly at the limit\n\n"
                     "file: src/measure/thing.c\ntext: gone\nchange: > to >=\nreason: none\n\n"
                     "file: src/measure/thing.c\ntext: every row of rows\nchange: row dropped\n"
                     "reason: nobody walks it\n");
    ck_assert(equivalents_read(&list, path, &line));
    ck_assert_uint_eq(list.count, 3);
    for (size_t i = 0; i < mutants.count; i++) {
        found += equivalents_has(&list, &mutants.all[i]);
    }
    ck_assert_int_eq(found, 1 + 3);
    ck_assert(list.all[0].used && !list.all[1].used);
    equivalents_free(&list);
    write_text(path, "file: a\ntext: b\nchange: c\nreason: \n");
    ck_assert(!equivalents_read(&list, path, &line));
    ck_assert_int_eq(line, 4);
    equivalents_free(&list);
    unlink(path);
    mutants_free(&mutants);
}
END_TEST

/* A killed one is not tried again while its source is the same; one that survived is. */
START_TEST(resumed)
{
    struct mutants mutants = {.count = 0};
    struct results results;
    struct outcome killed = {KILLED, "tests/x"}, survived = {SURVIVED, ""};
    char path[] = "/tmp/holdline-results-XXXXXX";
    ck_assert(mutants_of(&mutants, "src/measure/thing.c", module, 1));
    close(mkstemp(path));
    FILE *file = fopen(path, "w");
    result_write(file, &mutants.all[0], &killed, 7);
    result_write(file, &mutants.all[1], &survived, 7);
    fclose(file);
    ck_assert(results_read(&results, path));
    ck_assert_uint_eq(results.count, 2);
    ck_assert_str_eq(results_find(&results, &mutants.all[0], 7)->by, "tests/x");
    ck_assert_ptr_null(results_find(&results, &mutants.all[0], 8));
    ck_assert_ptr_null(results_find(&results, &mutants.all[1], 7));
    ck_assert_ptr_null(results_find(&results, &mutants.all[2], 7));
    results_free(&results);
    unlink(path);
    mutants_free(&mutants);
}
END_TEST

static bool good_with(enum mutant_kind kind, int killed, int survived)
{
    struct table table = {.count = 0};
    struct mutant mutant = {.kind = kind, .file = "src/measure/thing.c"};
    for (int i = 0; i < killed; i++) {
        table_add(&table, &mutant, KILLED);
    }
    for (int i = 0; i < survived; i++) {
        table_add(&table, &mutant, SURVIVED);
    }
    table_add(&table, &mutant, EQUIVALENT);
    return table_good(&table);
}

START_TEST(judged)
{
    ck_assert(good_with(MUTANT_RULE, 99, 0));
    ck_assert(!good_with(MUTANT_RULE, 99, 1));
    ck_assert(!good_with(MUTANT_TABLE, 99, 1));
    ck_assert(good_with(MUTANT_SAMPLE, 9, 1)); /* a tenth */
    ck_assert(!good_with(MUTANT_SAMPLE, 8, 1));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("mutate");
    TCase *tests = tcase_create("mutate");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, counted);
    tcase_add_test(tests, counted_in_header);
    tcase_add_test(tests, said_or_not);
    tcase_add_test(tests, lesser_and_greater);
    tcase_add_test(tests, sampled);
    tcase_add_test(tests, killed_and_survived);
    tcase_add_test(tests, killer_first);
    tcase_add_test(tests, killed_in_a_header);
    tcase_add_test(tests, equivalents);
    tcase_add_test(tests, resumed);
    tcase_add_test(tests, judged);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
