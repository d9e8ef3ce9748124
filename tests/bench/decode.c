/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* How much faster the decoder takes lines than the plainest way to read them: splitting at line
 * ends and one sscanf a line, with a loop for the checksum where there is one. A row for each
 * dialect. Both read the same bytes in the same run, turn about, and must come to the same sums;
 * the best of several rounds counts. Prints the ratios; fails when one is under what was promised.
 */
#include "base/clock.h"
#include "base/random.h"
#include "rig/decoder.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LINES 100000
#define LINE_MOST 160
#define ROUNDS 9
#define PIECE 4096
#define NAME_SIZE 32

/* What both ways must agree on. */
struct sums {
    uint64_t lines, missing;
    int64_t tenth_mm, time_us;
};

/* What a line says. */
struct reading {
    int64_t time_us;
    double head_mm, chest_mm;
};

struct way {
    const char *dialect;
    const char *heading;
    /* The line of a reading, without its end. */
    void (*write)(char *line, int number, const struct reading *reading);
    /* One sscanf; false: no such line. */
    bool (*scan)(const char *line, struct reading *reading);
    double promised;
};

static unsigned checksum(const char *from, char until)
{
    unsigned sum = 0;
    for (const char *at = from; *at != until && *at != '\0'; at++) {
        sum ^= (unsigned char)*at;
    }
    return sum;
}

static void write_bench(char *line, int number, const struct reading *reading)
{
    int length = sprintf(line, "$%d,%" PRId64 ",%.1f,%.1f", number, reading->time_us,
                         reading->head_mm, reading->chest_mm);
    sprintf(line + length, "*%02X", checksum(line + 1, '\0'));
}

static bool scan_bench(const char *line, struct reading *reading)
{
    uint64_t sequence;
    unsigned given;
    return sscanf(line, "$%" SCNu64 ",%" SCNd64 ",%lf,%lf*%2X", &sequence, &reading->time_us,
                  &reading->head_mm, &reading->chest_mm, &given) == 5 &&
           checksum(line + 1, '*') == given;
}

static void write_xdr(char *line, int number, const struct reading *reading)
{
    (void)number;
    int length = sprintf(line, "$WIXDR,D,%.4f,M,HEAD,D,%.4f,M,CHEST", reading->head_mm / 1000,
                         reading->chest_mm / 1000);
    sprintf(line + length, "*%02X", checksum(line + 1, '\0'));
}

static bool scan_xdr(const char *line, struct reading *reading)
{
    char head[NAME_SIZE];
    char chest[NAME_SIZE];
    double head_m;
    double chest_m;
    unsigned given;
    if (sscanf(line, "$WIXDR,D,%lf,M,%31[^,],D,%lf,M,%31[^*]*%2X", &head_m, head, &chest_m, chest,
               &given) != 5 ||
        checksum(line + 1, '*') != given) {
        return false;
    }
    reading->head_mm = head_m * 1000;
    reading->chest_mm = chest_m * 1000;
    reading->time_us = 0;
    return strcmp(head, "HEAD") == 0 && strcmp(chest, "CHEST") == 0;
}

static void write_senml(char *line, int number, const struct reading *reading)
{
    (void)number;
    sprintf(line,
            "[{\"bn\":\"urn:dev:bench-a:\",\"bt\":%" PRId64 ".%02d,\"bu\":\"mm\",\"n\":\"head\","
            "\"v\":%.1f},{\"n\":\"chest\",\"v\":%.1f}]",
            reading->time_us / 1000000, (int)(reading->time_us % 1000000 / 10000), reading->head_mm,
            reading->chest_mm);
}

static bool scan_senml(const char *line, struct reading *reading)
{
    char head[NAME_SIZE];
    char chest[NAME_SIZE];
    double time_s;
    if (sscanf(line,
               "[{\"bn\":\"urn:dev:bench-a:\",\"bt\":%lf,\"bu\":\"mm\",\"n\":\"%31[^\"]\","
               "\"v\":%lf},{\"n\":\"%31[^\"]\",\"v\":%lf}]",
               &time_s, head, &reading->head_mm, chest, &reading->chest_mm) != 5) {
        return false;
    }
    reading->time_us = llround(time_s * 1e6);
    return strcmp(head, "head") == 0 && strcmp(chest, "chest") == 0;
}

static void write_plain(char *line, int number, const struct reading *reading)
{
    (void)number;
    sprintf(line, "%" PRId64 ",%.1f,%.1f", reading->time_us / 1000, reading->head_mm,
            reading->chest_mm);
}

static bool scan_plain(const char *line, struct reading *reading)
{
    int64_t time_ms;
    if (sscanf(line, "%" SCNd64 ",%lf,%lf", &time_ms, &reading->head_mm, &reading->chest_mm) != 3) {
        return false;
    }
    reading->time_us = time_ms * 1000;
    return true;
}

static void write_labels(char *line, int number, const struct reading *reading)
{
    (void)number;
    sprintf(line, "head:%.1f chest:%.1f", reading->head_mm, reading->chest_mm);
}

static bool scan_labels(const char *line, struct reading *reading)
{
    reading->time_us = 0;
    return sscanf(line, "head:%lf chest:%lf", &reading->head_mm, &reading->chest_mm) == 2;
}

static const struct way ways[] = {
    {"bench", "# holdline-rig 1 id=bench-a rate=50 unit=mm channels=head,chest\n", write_bench,
     scan_bench, 5},
    {"xdr", "", write_xdr, scan_xdr, 3},
    {"senml", "", write_senml, scan_senml, 1},
    {"plain", "ms,head (mm),chest (mm)\n", write_plain, scan_plain, 3},
    {"plain", "", write_labels, scan_labels, 3},
};

static size_t write_lines(const struct way *way, char *bytes)
{
    struct random_source source;
    random_seed(&source, 20);
    size_t length = (size_t)sprintf(bytes, "%s", way->heading);
    for (int i = 0; i < LINES; i++) {
        struct reading reading = {INT64_C(1768068000000000) + i * INT64_C(20000),
                                  round(4000 + 300 * random_normal(&source)) / 10,
                                  round(3500 + 300 * random_normal(&source)) / 10};
        way->write(bytes + length, i, &reading);
        length += strlen(bytes + length);
        bytes[length++] = '\n';
    }
    return length;
}

static void add(void *context, const struct raw_sample *raw)
{
    struct sums *sums = context;
    sums->lines++;
    sums->time_us += raw->has_rig_time ? raw->rig_time_us : 0;
    sums->tenth_mm += raw->range_tenth_mm[0] + raw->range_tenth_mm[1];
    sums->missing += raw->quality[0] == READING_MISSING ? 1 : 0;
}

static double by_decoder_s(const struct way *way, const char *bytes, size_t length,
                           struct sums *sums)
{
    struct decoder_options options;
    memset(&options, 0, sizeof options);
    memset(sums, 0, sizeof *sums);
    snprintf(options.dialect, sizeof options.dialect, "%s", way->dialect);
    struct decoder *decoder = decoder_create(&options, NULL);
    if (decoder == NULL) {
        return NAN;
    }
    int64_t started_us = clock_monotonic_us();
    for (size_t at = 0; at < length; at += PIECE) {
        decoder_feed(decoder, bytes + at, length - at < PIECE ? length - at : PIECE, add, sums,
                     NULL);
    }
    decoder_finish(decoder, add, sums, NULL);
    double elapsed_s = (double)(clock_monotonic_us() - started_us) / 1e6;
    decoder_destroy(decoder);
    return elapsed_s;
}

static double by_sscanf_s(const struct way *way, const char *bytes, size_t length,
                          struct sums *sums)
{
    memset(sums, 0, sizeof *sums);
    int64_t started_us = clock_monotonic_us();
    for (const char *at = bytes; at < bytes + length;) {
        const char *stop = memchr(at, '\n', (size_t)(bytes + length - at));
        char line[LINE_MOST];
        size_t line_length =
            (size_t)(stop - at) < sizeof line ? (size_t)(stop - at) : sizeof line - 1;
        memcpy(line, at, line_length);
        line[line_length] = '\0';
        at = stop + 1;
        struct reading reading;
        if (way->scan(line, &reading)) {
            sums->lines++;
            sums->time_us += reading.time_us;
            sums->tenth_mm += lround(reading.head_mm * 10) + lround(reading.chest_mm * 10);
        }
    }
    return (double)(clock_monotonic_us() - started_us) / 1e6;
}

/* False when the two ways don't agree or the promise is not kept. */
static bool compare(const struct way *way, char *bytes)
{
    size_t length = write_lines(way, bytes);
    double decoder_s = INFINITY;
    double sscanf_s = INFINITY;
    struct sums decoded;
    struct sums scanned;
    bool alike = true;
    for (int i = 0; i < ROUNDS; i++) {
        decoder_s = fmin(decoder_s, by_decoder_s(way, bytes, length, &decoded));
        sscanf_s = fmin(sscanf_s, by_sscanf_s(way, bytes, length, &scanned));
        alike = alike && memcmp(&decoded, &scanned, sizeof decoded) == 0 && decoded.lines == LINES;
    }
    double ratio = sscanf_s / decoder_s;
    char example[LINE_MOST];
    snprintf(example, sizeof example, "%.*s", (int)strcspn(bytes + strlen(way->heading), "\n"),
             bytes + strlen(way->heading));
    printf("decode %-6s decoder %4.0f ns a line, sscanf %4.0f ns, ratio %4.1f (promised %.0f)  "
           "%.34s\n",
           way->dialect, decoder_s * 1e9 / LINES, sscanf_s * 1e9 / LINES, ratio, way->promised,
           example);
    if (!alike) {
        fprintf(stderr, "decode: the two ways don't agree\n");
    }
    return alike && ratio >= way->promised;
}

int main(int argument_count, char **arguments)
{
    char *bytes = malloc((size_t)(LINES + 1) * LINE_MOST);
    if (bytes == NULL) {
        fprintf(stderr, "decode: no memory\n");
        return EXIT_FAILURE;
    }
    bool kept = true;
    for (size_t i = 0; i < sizeof ways / sizeof ways[0]; i++) {
        if (argument_count < 2 || strcmp(arguments[1], ways[i].dialect) == 0) {
            kept = compare(&ways[i], bytes) && kept;
        }
    }
    free(bytes);
    return kept ? EXIT_SUCCESS : EXIT_FAILURE;
}
