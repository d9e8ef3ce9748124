/* How much faster the decoder takes bench lines than the plainest way to read them: splitting at
 * line ends, sscanf for the numbers, a loop for the checksum. Both read the same bytes in the same
 * run and must come to the same sums; the best of several rounds counts. Prints the ratio; fails
 * when it is under what was promised. */
#include "base/clock.h"
#include "base/random.h"
#include "rig/decoder.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LINES 200000
#define LINE_MOST 80
#define ROUNDS 20
#define PIECE 4096
#define PROMISED_RATIO 5.0

/* What both ways must agree on. */
struct sums {
    uint64_t lines, missing;
    int64_t tenth_mm, time_us;
};

static size_t write_lines(char *bytes)
{
    struct random_source source;
    size_t length = 0;
    random_seed(&source, 20);
    length +=
        (size_t)sprintf(bytes, "# holdline-rig 1 id=bench-a rate=50 unit=mm channels=head,chest\n");
    for (int i = 0; i < LINES; i++) {
        char body[LINE_MOST];
        int head = (int)(4000 + 300 * random_normal(&source));
        int chest = (int)(3500 + 300 * random_normal(&source));
        sprintf(body, "%d,%d,%d.%d,%d.%d", i, i * 10000, head / 10, head % 10, chest / 10,
                chest % 10);
        unsigned sum = 0;
        for (const char *at = body; *at != '\0'; at++) {
            sum ^= (unsigned char)*at;
        }
        length += (size_t)sprintf(bytes + length, "$%s*%02X\n", body, sum);
    }
    return length;
}

static void add(void *context, const struct raw_sample *raw)
{
    struct sums *sums = context;
    sums->lines++;
    sums->time_us += raw->rig_time_us;
    sums->tenth_mm += raw->range_tenth_mm[0] + raw->range_tenth_mm[1];
    sums->missing += raw->quality[0] == READING_MISSING ? 1 : 0;
}

static double by_decoder_s(const char *bytes, size_t length, struct sums *sums)
{
    struct decoder *decoder = decoder_create(NULL, NULL);
    memset(sums, 0, sizeof *sums);
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

static double by_sscanf_s(const char *bytes, size_t length, struct sums *sums)
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
        uint64_t sequence;
        int64_t time_us;
        double head_mm;
        double chest_mm;
        unsigned given;
        if (sscanf(line, "$%" SCNu64 ",%" SCNd64 ",%lf,%lf*%2X", &sequence, &time_us, &head_mm,
                   &chest_mm, &given) != 5) {
            continue;
        }
        unsigned sum = 0;
        for (const char *byte = line + 1; *byte != '*'; byte++) {
            sum ^= (unsigned char)*byte;
        }
        if (sum != given) {
            continue;
        }
        sums->lines++;
        sums->time_us += time_us;
        sums->tenth_mm += lround(head_mm * 10) + lround(chest_mm * 10);
    }
    return (double)(clock_monotonic_us() - started_us) / 1e6;
}

int main(void)
{
    char *bytes = malloc((size_t)(LINES + 1) * LINE_MOST);
    if (bytes == NULL) {
        fprintf(stderr, "decode: no memory\n");
        return EXIT_FAILURE;
    }
    size_t length = write_lines(bytes);
    double decoder_s = INFINITY;
    double sscanf_s = INFINITY;
    struct sums decoded;
    struct sums scanned;
    bool alike = true;
    for (int i = 0; i < ROUNDS; i++) {
        decoder_s = fmin(decoder_s, by_decoder_s(bytes, length, &decoded));
        sscanf_s = fmin(sscanf_s, by_sscanf_s(bytes, length, &scanned));
        alike = alike && memcmp(&decoded, &scanned, sizeof decoded) == 0 && decoded.lines == LINES;
    }
    double ratio = sscanf_s / decoder_s;
    printf("decode %d lines: decoder %.0f ns a line, sscanf %.0f ns a line, ratio %.1f (promised "
           "%.0f)\n",
           LINES, decoder_s * 1e9 / LINES, sscanf_s * 1e9 / LINES, ratio, PROMISED_RATIO);
    free(bytes);
    if (!alike) {
        fprintf(stderr, "decode: the two ways don't agree\n");
        return EXIT_FAILURE;
    }
    return ratio >= PROMISED_RATIO ? EXIT_SUCCESS : EXIT_FAILURE;
}
