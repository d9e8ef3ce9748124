/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The forms in which boards print ranges (sessions/wire/forms.txt), and what must come of each. */
#include "base/text.h"
#include "rig/decoder_options.h"
#include "rig/decoding.h"

#include <math.h>

#define FORMS "sessions/wire/"
#define FIELDS 7

struct form {
    char line[1200];
    char *file, *outcome, *options, *channels, *clock, *samples, *values;
};

/* The next row of the table; false at its end. */
static bool next_form(FILE *table, struct form *form)
{
    char **const fields[FIELDS] = {&form->file,  &form->outcome, &form->options, &form->channels,
                                   &form->clock, &form->samples, &form->values};
    do {
        if (fgets(form->line, sizeof form->line, table) == NULL) {
            return false;
        }
    } while (form->line[0] == '#');
    form->line[strcspn(form->line, "\n")] = '\0';
    char *at = form->line;
    for (int i = 0; i < FIELDS; i++) {
        char *stop = strstr(at, " | ");
        *fields[i] = at;
        if (stop != NULL) {
            *stop = '\0';
            at = stop + 3;
        } else {
            at += strlen(at);
            if (i < FIELDS - 1 && at > form->line + 1 && strcmp(at - 2, " |") == 0) {
                at[-2] = '\0';
            }
        }
    }
    return true;
}

static struct decoded decode_form(const struct form *form, bool with_options)
{
    char path[1400];
    struct decoder_options options;
    struct problem problem = {PROBLEM_NONE, ""};
    memset(&options, 0, sizeof options);
    snprintf(path, sizeof path, FORMS "%s", form->file);
    if (with_options && !text_equal(form->options, "-")) {
        ck_assert_msg(decoder_options_read(&options, form->options, &problem), "%s: %s", form->file,
                      problem.sentence);
    }
    return decode_file(path, &options);
}

/* 'N:mm/mm' of the table against the samples: what differs, or "". */
static void compare_values(const struct form *form, const struct decoded *decoded, char *why,
                           size_t size)
{
    char values[600];
    text_copy(values, sizeof values, form->values);
    for (char *at = strtok(values, " "); at != NULL; at = strtok(NULL, " ")) {
        size_t number = (size_t)strtol(at, &at, 10);
        for (int c = 0; *at == ':' || *at == '/'; c++) {
            const struct raw_sample *raw = &decoded->sample[number - 1];
            enum reading_quality quality = READING_GOOD;
            at++;
            bool missing = *at == '-';
            bool doubtful = *at == 'd';
            quality = missing ? READING_MISSING : doubtful ? READING_WEAK : READING_GOOD;
            at += missing || doubtful ? 1 : 0;
            double wanted_mm = missing ? 0 : strtod(at, &at);
            if (number > decoded->count || raw->quality[c] != quality ||
                fabs(raw->range_tenth_mm[c] / 10.0 - wanted_mm) > 0.16) {
                snprintf(why, size, "sample %zu of channel %d is %.1f (quality %d), not %.1f",
                         number, c + 1,
                         number > decoded->count ? NAN : raw->range_tenth_mm[c] / 10.0,
                         number > decoded->count ? -1 : raw->quality[c], wanted_mm);
                return;
            }
        }
    }
}

/* Why the samples are not what the table says; "" when they are. */
static void compare(const struct form *form, const struct decoded *decoded, char *why, size_t size)
{
    char names[CHANNELS_MAX * (CHANNEL_NAME_SIZE + 1)] = "";
    size_t used = 0;
    why[0] = '\0';
    for (int i = 0; i < decoded->info.channel_count; i++) {
        text_append(names, sizeof names, &used, "%s%s", i > 0 ? "," : "",
                    decoded->info.channel_name[i]);
    }
    if (!decoded->fine) {
        snprintf(why, size, "refused: %.400s", decoded->problem.sentence);
    } else if (!text_equal(names, form->channels)) {
        snprintf(why, size, "channels %s", names);
    } else if (decoded->count != (size_t)atoi(form->samples)) {
        snprintf(why, size, "%zu samples", decoded->count);
    } else {
        compare_values(form, decoded, why, size);
    }
    if (why[0] != '\0') {
        return;
    }
    double step_ms = text_equal(form->clock, "none") ? NAN : atof(form->clock);
    bool timed = decoded->sample[0].has_rig_time;
    if (timed != isfinite(step_ms)) {
        snprintf(why, size, timed ? "it has a time" : "it has no time");
        return;
    }
    for (size_t i = 1; timed && i < decoded->count; i++) {
        double got_ms =
            (double)(decoded->sample[i].rig_time_us - decoded->sample[i - 1].rig_time_us) / 1e3;
        if (fabs(got_ms - step_ms) > 0.01) {
            snprintf(why, size, "a step of %.3f ms", got_ms);
            return;
        }
    }
}

static bool is_right(const struct form *form, char *why, size_t size)
{
    bool refused = text_equal(form->outcome, "refused");
    bool plain = refused || text_equal(form->outcome, "proposed");
    struct decoded decoded;
    if (plain || text_equal(form->outcome, "said")) { /* nothing comes unless it is told */
        decoded = decode_form(form, false);
        why[0] = '\0';
        if (decoded.count > 0) {
            snprintf(why, size, "%zu samples without a word", decoded.count);
        } else if (refused && form->channels[0] != '-' &&
                   strstr(decoded.problem.sentence, form->channels) == NULL) {
            snprintf(why, size, "the sentence is '%.400s'", decoded.problem.sentence);
        }
        decoded_free(&decoded);
        if (why[0] != '\0' || refused) {
            return why[0] == '\0';
        }
    }
    decoded = decode_form(form, true);
    compare(form, &decoded, why, size);
    decoded_free(&decoded);
    return why[0] == '\0';
}

START_TEST(each_form_is_read_or_told)
{
    FILE *table = fopen(FORMS "forms.txt", "r");
    struct form form;
    int forms = 0;
    int wrong = 0;
    ck_assert_ptr_nonnull(table);
    while (next_form(table, &form)) {
        char why[700] = "";
        forms++;
        if (!is_right(&form, why, sizeof why)) {
            wrong++;
            printf("%s: %s\n", form.file, why);
        }
    }
    fflush(stdout);
    fclose(table);
    ck_assert_msg(wrong == 0, "%d of %d forms", wrong, forms);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("wire forms");
    TCase *one = tcase_create("wire forms");
    tcase_add_test(one, each_form_is_read_or_told);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
