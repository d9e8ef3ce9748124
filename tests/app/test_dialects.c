/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* One session, recorded in each dialect: what comes of it is the same, to the last character. */

#include "base/text.h"
#include "rig/decoding.h"
#include "support/program.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LINE_SIZE 400
#define STREAMS 6
static const char *const streams[STREAMS] = {"setup-1-plate", "setup-1-a", "setup-1-b",
                                             "setup-2-plate", "setup-2-a", "setup-2-b"};

/* ---- writers: a line of each dialect, without its checksum ---- */

/* Power and cadence as the rider's would be, beside the ranges. */
static int other_tenths(size_t index, int other)
{
    return other == 0 ? 2000 + (int)(index % 7) * 13 : 880 + (int)(index % 5) * 10;
}

static bool is_good(const struct raw_sample *raw, int channel)
{
    return raw->quality[channel] ==
           READING_GOOD; /* doubtful ones have no sign but in one dialect */
}

static void bench_line(char *line, size_t size, const struct raw_sample *raw, size_t index)
{
    size_t used = 0;
    text_append(line, size, &used, "%zu,%lld", index + 1, (long long)raw->rig_time_us);
    for (int c = 0; c < 2; c++) {
        text_append(line, size, &used, ",");
        if (is_good(raw, c)) {
            text_append(line, size, &used, "%d.%d", raw->range_tenth_mm[c] / 10,
                        raw->range_tenth_mm[c] % 10);
        }
    }
    for (int k = 0; k < 2; k++) {
        text_append(line, size, &used, ",%d.%d", other_tenths(index, k) / 10,
                    other_tenths(index, k) % 10);
    }
}

static void xdr_line(char *line, size_t size, const struct raw_sample *raw, size_t index)
{
    static const char *const names[] = {"head", "chest"};
    size_t used = 0;
    text_append(line, size, &used, "WIXDR");
    for (int c = 0; c < 2; c++) {
        text_append(line, size, &used, ",D,");
        if (is_good(raw, c)) {
            text_append(line, size, &used, "0.%04d", raw->range_tenth_mm[c]);
        }
        text_append(line, size, &used, ",M,%s", names[c]);
    }
    text_append(line, size, &used, ",G,%d.%d,,POWER,T,%d.%d,R,CADENCE", other_tenths(index, 0) / 10,
                other_tenths(index, 0) % 10, other_tenths(index, 1) / 10,
                other_tenths(index, 1) % 10);
}

static void senml_line(char *line, size_t size, const struct raw_sample *raw, size_t index)
{
    static const char *const names[] = {"head", "chest"};
    size_t used = 0;
    text_append(line, size, &used, "[{\"bn\":\"urn:dev:bench-a:\",\"bt\":%lld.%06d",
                1768068000LL + (long long)(raw->rig_time_us / 1000000),
                (int)(raw->rig_time_us % 1000000));
    text_append(line, size, &used, ",\"n\":\"crank\",\"u\":\"W\",\"v\":%d.%d}",
                other_tenths(index, 0) / 10, other_tenths(index, 0) % 10);
    text_append(line, size, &used, ",{\"n\":\"turns\",\"u\":\"1/min\",\"v\":%d.%d}",
                other_tenths(index, 1) / 10, other_tenths(index, 1) % 10);
    for (int c = 0; c < 2; c++) {
        if (is_good(raw, c)) {
            text_append(line, size, &used, ",{\"n\":\"%s\",\"u\":\"m\",\"v\":0.%04d}", names[c],
                        raw->range_tenth_mm[c]);
        }
    }
    text_append(line, size, &used, "]");
}

static void plain_line(char *line, size_t size, const struct raw_sample *raw, size_t index)
{
    size_t used = 0;
    text_append(line, size, &used, "%lld", (long long)(raw->rig_time_us / 1000));
    for (int c = 0; c < 2; c++) {
        text_append(line, size, &used, ";");
        if (is_good(raw, c)) { /* centimetres, with a decimal comma */
            text_append(line, size, &used, "%d,%02d", raw->range_tenth_mm[c] / 100,
                        raw->range_tenth_mm[c] % 100);
        }
    }
    text_append(line, size, &used, ";%d,%d;%d,%d", other_tenths(index, 0) / 10,
                other_tenths(index, 0) % 10, other_tenths(index, 1) / 10,
                other_tenths(index, 1) % 10);
}

static const struct writer {
    const char *name, *heading;
    const char *channels; /* in the order in which they come */
    bool is_sentence;     /* '$' before and the checksum behind it */
    void (*line)(char *line, size_t size, const struct raw_sample *raw, size_t index);
} writers[] = {
    {"bench", "# holdline-rig 1 id=virtual rate=25 unit=mm channels=head,chest,power,cadence\n",
     "head,chest,power,cadence", true, bench_line},
    {"xdr", "", "head,chest,power,cadence", true, xdr_line},
    {"senml", "", "power,cadence,head,chest", false, senml_line},
    {"plain", "time_ms;head_cm;chest_cm;power;cadence\n", "head,chest,power,cadence", false,
     plain_line},
};
#define WRITERS (sizeof writers / sizeof writers[0])

/* The recorded stream in a dialect, into the folder. */
static void translate(const char *folder, const char *stream, const struct writer *writer)
{
    char name[64], file_name[64];
    snprintf(name, sizeof name, "sessions/%s.rig", stream);
    struct decoded decoded = decode_file(source_path(name), NULL);
    ck_assert_uint_gt(decoded.count, 150);
    size_t size = strlen(writer->heading) + decoded.count * LINE_SIZE + 1, used = 0;
    char *text = malloc(size);
    ck_assert_ptr_nonnull(text);
    text[0] = '\0';
    text_append(text, size, &used, "%s", writer->heading);
    for (size_t i = 0; i < decoded.count; i++) {
        char line[LINE_SIZE] = "";
        writer->line(line, sizeof line, &decoded.sample[i], i);
        if (writer->is_sentence) {
            text_append(text, size, &used, "%s", bench_line_of(line));
        } else {
            text_append(text, size, &used, "%s\n", line);
        }
    }
    snprintf(file_name, sizeof file_name, "%s.%s", stream, writer->name);
    program_write_file(folder, file_name, text);
    free(text);
    /* it is that dialect, and nothing of it was lost or refused */
    char path[600];
    snprintf(path, sizeof path, "%s/%s", folder, file_name);
    struct decoded again = decode_file(path, NULL);
    ck_assert_str_eq(again.info.dialect, writer->name);
    ck_assert_uint_eq(again.count, decoded.count);
    ck_assert_uint_eq(decoded_rejected(&again), 0);
    decoded_free(&again);
    decoded_free(&decoded);
}

/* The project's own session over these streams. */
static char *script_of(const struct writer *writer)
{
    char *text = program_read_file(source_path("sessions"), "spacers-out.session", NULL);
    size_t size = strlen(text) + 1000, used = 0;
    char *script = malloc(size), *rest = text, *at;
    ck_assert_ptr_nonnull(script);
    while ((at = strstr(rest, ".rig")) != NULL) {
        /* the rate, where none is announced: what lies between two files is one interval then */
        text_append(script, size, &used, "%.*s.%s rate=25", (int)(at - rest), rest, writer->name);
        rest = at + 4;
    }
    text_append(script, size, &used, "%s", rest);
    char *channels = strstr(script, "channels=head,chest\n");
    ck_assert_ptr_nonnull(channels);
    char *behind = strdup(channels + strlen("channels=head,chest"));
    ck_assert_ptr_nonnull(behind);
    used = (size_t)(channels - script);
    text_append(script, size, &used, "channels=%s%s", writer->channels, behind);
    free(behind);
    free(text);
    return script;
}

START_TEST(each_gives_the_same_comparison)
{
    const char *folder = program_folder();
    char *first = NULL;
    for (size_t w = 0; w < WRITERS; w++) {
        for (int s = 0; s < STREAMS; s++) {
            translate(folder, streams[s], &writers[w]);
        }
        char *script = script_of(&writers[w]);
        program_write_file(folder, "session.txt", script);
        const char *arguments[] = {"run", "session.txt", "--no-store", NULL};
        struct program_result result = program_run(folder, NULL, arguments);
        ck_assert_msg(result.status == 0, "%s: %s", writers[w].name, result.errors);
        if (first == NULL) {
            first = strdup(result.output);
            ck_assert_ptr_nonnull(first);
            /* sessions/README.md: both marks come down by 9.6 mm */
            ck_assert_ptr_nonnull(strstr(first, "lower"));
            ck_assert_msg(strlen(first) > 1000, "%s", first);
        }
        size_t same = 0;
        while (first[same] != '\0' && first[same] == result.output[same]) {
            same++;
        }
        size_t from = same > 100 ? same - 100 : 0;
        ck_assert_msg(strcmp(first, result.output) == 0, "%s differs from %s:\n%.300s\n---\n%.300s",
                      writers[w].name, writers[0].name, result.output + from, first + from);
        program_free(&result);
        free(script);
    }
    free(first);
    program_folder_remove(folder);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("dialects");
    TCase *tests = tcase_create("dialects");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, each_gives_the_same_comparison);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
