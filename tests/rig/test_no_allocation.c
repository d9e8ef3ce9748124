/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/decoder.h"
#include "rig/health.h"
#include "rig/rig_clock.h"
#include "support/sanitized.h"
#include "support/test_main.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Nothing on the way from bytes to samples asks for memory: this program's own malloc counts. The
 * sanitizers have theirs, and then there is nothing to count. */

#if !defined(SANITIZED) && defined(__GLIBC__)
#define OWN_MALLOC 1
#else
#define OWN_MALLOC 0
#endif

static unsigned long calls;

#if OWN_MALLOC
void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *memory, size_t size);

void *malloc(size_t size)
{
    calls++;
    return __libc_malloc(size);
}

void *calloc(size_t count, size_t size)
{
    calls++;
    return __libc_calloc(count, size);
}

void *realloc(void *memory, size_t size)
{
    calls++;
    return __libc_realloc(memory, size);
}
#endif

struct way {
    struct rig_clock clock;
    struct health_monitor *monitor;
    int64_t arrival_us;
    uint64_t samples;
};

static void take(void *context, const struct raw_sample *raw)
{
    struct way *way = context;
    struct sample sample;
    memset(&sample, 0, sizeof sample);
    way->arrival_us += 20000;
    if (rig_clock_place(&way->clock, raw, way->arrival_us, &sample)) {
        memcpy(sample.range_tenth_mm, raw->range_tenth_mm, sizeof sample.range_tenth_mm);
        memcpy(sample.quality, raw->quality, sizeof sample.quality);
        health_add(way->monitor, &sample);
        way->samples++;
    }
}

static const struct {
    const char *dialect;
    const char *heading;
    const char *line; /* %d: a number that rises */
} streams[] = {
    {"bench", "# holdline-rig 1 id=a rate=50 channels=head,chest\n", "$%d,20000,412.5,356.1w*"},
    {"xdr", "", "$WIXDR,D,0.4%d,M,HEAD,D,0.3561,M,CHEST*"},
    {"senml", "",
     "[{\"bn\":\"urn:a:\",\"bt\":%d.02,\"bu\":\"mm\",\"n\":\"head\",\"v\":412.5},"
     "{\"n\":\"chest\",\"v\":356.1}]"},
    {"plain", "ms,head (mm),chest (mm)\n", "%d,412.5,356.1"},
    {"plain", "", "head:412.%d chest:356 mm"},
};

/* A line with its checksum, where it has one. */
static size_t write_line(char *at, const char *format, int number)
{
    char with_number[256];
    const char *place = strstr(format, "%d");
    snprintf(with_number, sizeof with_number, "%.*s%d%s", (int)(place - format), format, number,
             place + 2);
    size_t length = strlen(with_number);
    if (with_number[length - 1] != '*') {
        return (size_t)sprintf(at, "%s\n", with_number);
    }
    unsigned sum = 0;
    for (size_t i = 1; i + 1 < length; i++) {
        sum ^= (unsigned char)with_number[i];
    }
    return (size_t)sprintf(at, "%s%02X\n", with_number, sum);
}

START_TEST(no_line_asks_for_memory)
{
    static struct way way;
    static char bytes[400000];
    size_t length = (size_t)sprintf(bytes, "%s", streams[_i].heading);
    for (int i = 0; i < 2000; i++) {
        length += write_line(bytes + length, streams[_i].line, 10000 + i);
        if (i > 1000 && i % 50 == 0) { /* and what is no line */
            length += (size_t)sprintf(bytes + length, "%s\n\x1b[2J,,*00\r\n%0600d\n",
                                      streams[_i].heading, i);
        }
    }
    struct decoder_options options;
    memset(&options, 0, sizeof options);
    snprintf(options.dialect, sizeof options.dialect, "%s", streams[_i].dialect);
    memset(&way, 0, sizeof way);
    way.monitor = health_create(2);
    struct decoder *decoder = decoder_create(&options, NULL);
    ck_assert(way.monitor != NULL && decoder != NULL);
    rig_clock_start(&way.clock, 0, true);
    bool fine = true; /* Check's own asking is not to be counted */
    unsigned long before = calls;
    for (size_t at = 0; at < length; at += 1000) {
        size_t part = length - at < 1000 ? length - at : 1000;
        fine = decoder_feed(decoder, bytes + at, part, take, &way, NULL) && fine;
    }
    struct rig_health health;
    memset(&health, 0, sizeof health);
    health_read(way.monitor, &health);
    unsigned long asked = calls - before;
    ck_assert(fine);
    ck_assert_uint_eq(asked, 0);
    ck_assert_uint_ge(way.samples, 1990);
    decoder_destroy(decoder);
    health_destroy(way.monitor);
}
END_TEST

START_TEST(the_counter_counts)
{
#if OWN_MALLOC
    unsigned long before = calls;
    struct decoder *decoder = decoder_create(NULL, NULL);
    ck_assert_uint_gt(calls, before);
    decoder_destroy(decoder);
#else
    printf("skipped: a sanitizer's malloc cannot be counted\n");
#endif
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("no allocation");
    TCase *one = tcase_create("no allocation");
    tcase_add_test(one, the_counter_counts);
    tcase_add_loop_test(one, no_line_asks_for_memory, 0, (int)(sizeof streams / sizeof streams[0]));
    suite_add_tcase(suite, one);
    return test_main(suite);
}
