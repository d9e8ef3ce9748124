/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Whatever comes over the wire: no crash, and the same samples in whatever pieces it comes. */
#include "rig/decoding.h"

#include "base/random.h"
#include "support/test_seed.h"

#define STREAM_MAX 20000
#define ROUNDS 300

static size_t pick(struct random_source *source, size_t most)
{
    return (size_t)(random_u64(source) % most);
}

/* Lines of one of the kinds that are known, so that what is mutated is nearly right. */
static size_t write_line(struct random_source *source, int kind, int number, char *line,
                         size_t size)
{
    char body[200];
    switch (kind) {
    case 0:
        if (number % 50 == 0) {
            return (size_t)snprintf(line, size,
                                    "# holdline-rig 1 id=x rate=50 unit=mm channels=head,chest\n");
        }
        snprintf(body, sizeof body, "%d,%d,%d.%d,%d%s", number, number * 20000,
                 300 + (int)pick(source, 300), (int)pick(source, 10), (int)pick(source, 900),
                 pick(source, 9) == 0 ? "w" : "");
        return (size_t)snprintf(line, size, "%s", bench_line_of(body));
    case 1:
        return (size_t)snprintf(line, size, "%d\r\n", 300 + (int)pick(source, 300));
    case 2:
        return number == 0
                   ? (size_t)snprintf(line, size, "time,distance [cm],label\n")
                   : (size_t)snprintf(line, size, "2026-01-10T18:%02d:%02d.%03dZ,%d.%d,x\n",
                                      number / 60 % 60, number % 60, (int)pick(source, 1000),
                                      (int)pick(source, 900), (int)pick(source, 10));
    case 3:
        return (size_t)snprintf(line, size, "%d;%d,%d;%d,%d\r", number * 20, (int)pick(source, 900),
                                (int)pick(source, 10), (int)pick(source, 900),
                                (int)pick(source, 10));
    case 4:
        return (size_t)snprintf(line, size, "Distance (mm): %d  status %d\n",
                                (int)pick(source, 900), (int)pick(source, 5));
    case 5:
        return (size_t)snprintf(line, size, "\x1b[32mhead:%d,chest:%d\x1b[0m\n",
                                (int)pick(source, 900), (int)pick(source, 900));
    case 6:
        snprintf(body, sizeof body, "WIXDR,D,0.%04d,M,HEAD,D,0.%04d,M,CHEST",
                 (int)pick(source, 9999), (int)pick(source, 9999));
        return (size_t)snprintf(line, size, "%s", bench_line_of(body));
    case 7:
        return (size_t)snprintf(
            line, size,
            "[{\"bn\":\"rig/\",\"bt\":%d.5,\"n\":\"head\",\"u\":\"mm\",\"v\":%d},"
            "{\"n\":\"chest\",\"u\":\"m\",\"v\":0.%d}]\n",
            number, (int)pick(source, 900), (int)pick(source, 900));
    default: {
        size_t length = 1 + pick(source, 60);
        for (size_t i = 0; i < length; i++) {
            line[i] = (char)pick(source, 256);
        }
        line[length - 1] = '\n';
        return length;
    }
    }
}

static size_t write_stream(struct random_source *source, char *stream, size_t size)
{
    size_t length = 0;
    int kind = (int)pick(source, 10);
    bool mixed = pick(source, 4) == 0;
    for (int number = 0; length + 300 < size; number++) {
        size_t count = write_line(source, mixed ? (int)pick(source, 10) : kind, number,
                                  stream + length, size - length);
        /* One line in some is spoilt: bytes changed, left out, doubled. */
        if (pick(source, 6) == 0) {
            size_t place = pick(source, count);
            switch (pick(source, 4)) {
            case 0:
                stream[length + place] = (char)pick(source, 256);
                break;
            case 1:
                memmove(stream + length + place, stream + length + place + 1, count - place);
                count--;
                break;
            case 2:
                memmove(stream + length + place + 1, stream + length + place, count - place);
                count++;
                break;
            default:
                count = place;
                break;
            }
        }
        length += count;
    }
    return length;
}

static void options_of(struct random_source *source, struct decoder_options *options)
{
    static const char *const columns[] = {"",    "1", "head=2,chest=3", "2", "distance", "2,2",
                                          "3,1", "99"};
    static const char *const times[] = {"", "", "1", "time", "7"};
    static const char *const units[] = {"", "mm", "cm", "m", "in"};
    static const char *const time_units[] = {"", "us", "ms", "s", "iso"};
    static const char *const dialects[] = {"", "", "", "plain", "bench", "xdr", "senml"};
    memset(options, 0, sizeof *options);
    strcpy(options->columns,
           pick(source, 2) == 0 ? "" : columns[pick(source, sizeof columns / sizeof columns[0])]);
    strcpy(options->time_column, times[pick(source, 5)]);
    strcpy(options->unit, units[pick(source, 5)]);
    strcpy(options->time_unit, time_units[pick(source, 5)]);
    strcpy(options->dialect, dialects[pick(source, 7)]);
    options->times_only = pick(source, 4) == 0;
    options->no_echo = pick(source, 3) == 0 ? 500 : 0;
}

/* Feeds in pieces of random sizes. */
static struct decoded decode_in_pieces(struct random_source *source, const char *bytes,
                                       size_t length, const struct decoder_options *options)
{
    struct decoded decoded;
    memset(&decoded, 0, sizeof decoded);
    size_t largest = 1 + pick(source, pick(source, 2) == 0 ? 8 : 2000);
    struct decoder *decoder = decoder_create(options, &decoded.problem);
    ck_assert_ptr_nonnull(decoder);
    decoded.fine = true;
    for (size_t at = 0; at < length && decoded.fine;) {
        size_t part = 1 + pick(source, largest);
        part = part < length - at ? part : length - at;
        /* From memory of exactly this size, so that a sanitizer sees a byte read too far. */
        char *piece = malloc(part);
        ck_assert_ptr_nonnull(piece);
        memcpy(piece, bytes + at, part);
        decoded.fine = decoder_feed(decoder, piece, part, decoded_keep, &decoded, &decoded.problem);
        free(piece);
        at += part;
    }
    decoded.fine =
        decoded.fine && decoder_finish(decoder, decoded_keep, &decoded, &decoded.problem);
    decoded.counts = *decoder_counts(decoder);
    decoded.info = *decoder_info(decoder);
    decoder_destroy(decoder);
    return decoded;
}

static void expect_the_same(const struct decoded *whole, const struct decoded *pieces,
                            uint64_t seed)
{
    ck_assert_msg(whole->fine == pieces->fine, "seed %llu", (unsigned long long)seed);
    ck_assert_msg(whole->count == pieces->count, "seed %llu: %zu and %zu samples",
                  (unsigned long long)seed, whole->count, pieces->count);
    for (size_t i = 0; i < whole->count; i++) {
        ck_assert_msg(memcmp(&whole->sample[i], &pieces->sample[i], sizeof *whole->sample) == 0,
                      "seed %llu: sample %zu differs", (unsigned long long)seed, i);
    }
    ck_assert_str_eq(whole->problem.sentence, pieces->problem.sentence);
    ck_assert_int_eq(memcmp(&whole->info, &pieces->info, sizeof whole->info), 0);
    if (whole->fine) {
        ck_assert_int_eq(memcmp(&whole->counts, &pieces->counts, sizeof whole->counts), 0);
        uint64_t accounted = whole->counts.skipped;
        for (int i = 0; i < REJECT_REASONS; i++) {
            accounted += whole->counts.rejected[i];
        }
        /* Every line is part of a sample, skipped, or rejected. */
        ck_assert_uint_le(accounted, whole->counts.lines);
    }
}

START_TEST(pieces_of_any_size_give_the_same_samples)
{
    static char stream[STREAM_MAX + 400];
    size_t samples = 0;
    for (uint64_t seed = 1; seed <= ROUNDS; seed++) {
        struct random_source source;
        struct decoder_options options;
        random_seed(&source, test_seed(seed));
        options_of(&source, &options);
        size_t length = write_stream(&source, stream, 1000 + pick(&source, STREAM_MAX - 1000));
        struct decoded whole = decode_bytes(stream, length, 0, &options);
        for (int i = 0; i < 3; i++) {
            struct decoded pieces = decode_in_pieces(&source, stream, length, &options);
            expect_the_same(&whole, &pieces, seed);
            decoded_free(&pieces);
        }
        samples += whole.count;
        decoded_free(&whole);
    }
    ck_assert_uint_gt(samples, ROUNDS * 50); /* most streams do give samples */
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("decoder noise");
    TCase *one = tcase_create("decoder noise");
    tcase_set_timeout(one, 120);
    tcase_add_test(one, pieces_of_any_size_give_the_same_samples);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
