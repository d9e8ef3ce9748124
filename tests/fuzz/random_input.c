/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Random and damaged input at everything that reads from outside: the wire, command lines, dates,
 * numbers. FUZZ_SECONDS=60 FUZZ_SEED=1 random_input Meant for the sanitizers (make fuzz). Each
 * trial is made from the seed and its own number, so that a failing one can be tried again:
 * FUZZ_TRIAL=n runs that one alone, in this process. */
#include "base/clock.h"
#include "base/random.h"
#include "base/text.h"
#include "base/words.h"
#include "rig/decoder.h"
#include "session/session.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

#define INPUT_MAX 4096

static const char *const wire[] = {
    "# holdline-rig 1 id=bench-a rate=50 unit=mm channels=head,chest\n",
    "$1042,20840000,412.5,356.1*3C\n$1043,20860000,412.6w,*11\n",
    "412\n413\n411\n",
    "time,head (mm),chest (mm)\n0.02,412.5,356.1\n0.04,412.4,356.2\n",
    "Distance (mm): 412\r\n",
    "t_ms;head_cm;label\n20;41.25;a\n40;41.3;b\n",
    "2026-01-10T18:00:00.020Z\t0.4125\t0.356\n",
    "head:412 chest:356\n",
};
static const char *const commands[] = {
    "rig bench-a rate=50 channels=head,chest",
    "rider R-07 \"winter group\" watch_for=\"left hip\"",
    "bike \"training bike\" stack=545 reach=410 head_angle=73 stem_length=100",
    "sensor head carrier=base_bar x=120 y=40 tilt=0 look=up mark=\"chin strap\" role=body",
    "sensor chest carrier=pad_bracket x=60 y=38 tilt=8 gain=1.01 offset=-2",
    "setup 1 \"as it came\"",
    "setup 2 \"spacers out\" spacers=10 pad_rise=40 from=1",
    "setup 1",
    "build",
    "correct 2 spacers=5",
    "plate head=412.5 chest=370 height=900 setup=1 build=1",
    "plate 1s height=900",
    "tape head=632 setup=1 build=1",
    "target until=3mm at_least=1s at_most=2s settle=0s",
    "target keep",
    "target head=884 chest=771",
    "band head=+10/-20 chest=+8/none",
    "cue head on_delay=2s off_delay=0.5s dead_band=0.2",
    "hold 1s free settle=0s",
    "hold 2s guided",
    "stop",
    "mark slid",
    "keep 60s",
    "reject 1 \"moved\"",
    "restore 1",
    "rating effort=4 neck=2 sees_ahead=yes numb_hands=no could_stay=40 would_race=yes",
    "rating same",
    "note \"long\"",
    "matters head=10 chest=10",
    "baseline 2",
    "slope 18",
};
static const char spice[] =
    "$*#,;:= \t\r\n\"'\\%/+-.0123456789eENaninfmsxX\x1b\x00\x7f\x80\xc3\xe2\xff";

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static size_t below(struct random_source *random, size_t limit)
{
    return (size_t)(random_uniform(random) * (double)limit);
}

/* Some pieces, one behind the other, then some damage. Returns the length; a NUL stands behind it.
 */
static size_t make_input(struct random_source *random, const char *const *pieces,
                         size_t piece_count, size_t pieces_most, char input[INPUT_MAX + 1])
{
    size_t length = 0;
    for (size_t i = 1 + below(random, pieces_most); i > 0; i--) {
        const char *piece = pieces[below(random, piece_count)];
        size_t more = strlen(piece);
        if (length + more > INPUT_MAX) {
            break;
        }
        memcpy(input + length, piece, more);
        length += more;
    }
    for (size_t i = below(random, 6); i > 0 && length > 0; i--) {
        size_t at = below(random, length);
        size_t span = 1 + below(random, length - at);
        switch (below(random, 5)) {
        case 0:
            input[at] = spice[below(random, sizeof spice)];
            break;
        case 1:
            input[at] = (char)random_u64(random);
            break;
        case 2: /* taken out */
            memmove(input + at, input + at + span, length - at - span);
            length -= span;
            break;
        case 3: /* doubled */
            if (length + span <= INPUT_MAX) {
                memmove(input + at + span, input + at, length - at);
                length += span;
            }
            break;
        default: /* one more character */
            if (length < INPUT_MAX) {
                memmove(input + at + 1, input + at, length - at);
                input[at] = spice[below(random, sizeof spice)];
                length++;
            }
        }
    }
    input[length] = '\0';
    return length;
}

struct heard {
    uint64_t samples;
    uint64_t mixed; /* a running mixture of everything decoded */
};

static void hear(void *context, const struct raw_sample *raw)
{
    struct heard *heard = context;
    heard->samples++;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        heard->mixed = heard->mixed * 1099511628211u + (uint64_t)(uint32_t)raw->range_tenth_mm[c] +
                       ((uint64_t)raw->quality[c] << 32);
    }
}

/* Decodes input cut into parts of at most `most` bytes (0 = whole). False: the options contradict
 * it. */
static bool decode(const struct decoder_options *options, const char *input, size_t length,
                   size_t most, struct random_source *random, struct heard *heard)
{
    struct problem problem;
    struct decoder *decoder = decoder_create(options, &problem);
    if (decoder == NULL) {
        return false;
    }
    bool sound = true;
    for (size_t at = 0; at < length && sound;) {
        size_t part = most == 0 ? length : 1 + below(random, most);
        part = part > length - at ? length - at : part;
        sound = decoder_feed(decoder, input + at, part, hear, heard, &problem);
        at += part;
    }
    sound = sound && decoder_finish(decoder, hear, heard, &problem);
    const struct decoder_counts *counts = decoder_counts(decoder);
    if (sound && (counts->bytes != length || counts->samples != heard->samples)) {
        fprintf(stderr, "wire: %llu bytes and %llu samples counted, %zu and %llu were there\n",
                (unsigned long long)counts->bytes, (unsigned long long)counts->samples, length,
                (unsigned long long)heard->samples);
        abort();
    }
    decoder_destroy(decoder);
    return sound;
}

/* Garbage is taken, and however the bytes are cut the same samples come out. */
static void try_wire(struct random_source *random)
{
    char input[INPUT_MAX + 1];
    size_t length = make_input(random, wire, COUNT(wire), 12, input);
    struct decoder_options options = {0};
    static const char *const dialects[] = {"", "", "bench", "plain"};
    static const char *const columns[] = {"", "", "head=1", "head", "2,1", "head=3,chest=2"};
    static const char *const units[] = {"", "", "mm", "cm", "m", "in"};
    text_copy(options.dialect, sizeof options.dialect, dialects[below(random, COUNT(dialects))]);
    text_copy(options.columns, sizeof options.columns, columns[below(random, COUNT(columns))]);
    text_copy(options.unit, sizeof options.unit, units[below(random, COUNT(units))]);
    options.no_echo = below(random, 4) == 0 ? 5.0 : 0.0;
    struct heard whole = {0}, parts = {0};
    bool sound = decode(&options, input, length, 0, random, &whole);
    bool sound_in_parts = decode(&options, input, length, 7, random, &parts);
    if (sound != sound_in_parts || whole.samples != parts.samples || whole.mixed != parts.mixed) {
        fprintf(stderr, "wire: %llu samples whole, %llu in parts\n",
                (unsigned long long)whole.samples, (unsigned long long)parts.samples);
        abort();
    }
}

static void forget_effect(void *context, const struct effect *effect)
{
    (void)context;
    (void)effect;
}

/* A session that gets damaged commands between samples goes on. */
static void try_commands(struct random_source *random)
{
    struct session_origin origin = {.wall_ms = 1768068000000, .seed = random_u64(random)};
    struct session *session = session_create(&origin, forget_effect, NULL);
    if (session == NULL) {
        return;
    }
    struct view *view = calloc(1, sizeof *view);
    struct problem problem;
    struct sample sample = {0};
    session_command(session, commands[0], &problem);
    for (size_t step = 10 + below(random, 60); step > 0; step--) {
        char line[INPUT_MAX + 1];
        make_input(random, commands, COUNT(commands), 1, line);
        problem = (struct problem){0};
        if (!session_command(session, line, &problem) && problem.sentence[0] == '\0') {
            fprintf(stderr, "commands: refused without a sentence\n");
            abort();
        }
        for (size_t i = below(random, 120); i > 0; i--) {
            sample.number++;
            sample.time_us += 20000;
            sample.range_tenth_mm[0] = 4125 + (int32_t)below(random, 40);
            sample.range_tenth_mm[1] = (int32_t)below(random, 20000);
            sample.quality[1] = (uint8_t)below(random, 5);
            session_sample(session, &sample);
        }
        if (view != NULL) {
            session_fill_view(session, view);
        }
    }
    free(view);
    session_destroy(session);
}

/* Small readers: what they take they give back. */
static void try_texts(struct random_source *random)
{
    static const char *const texts[] = {
        "2026-01-10T18:00:00.123Z", "2024-02-29",      "-1.25e-3", "3mm", "1e309", "\"a b\" c=d",
        "\xe2\x89\xa4 12",          "\xf0\x9f\x9a\xb2"};
    char input[INPUT_MAX + 1], text[128], again[512];
    size_t length = make_input(random, texts, COUNT(texts), 2, input);
    int64_t time_us = 0;
    clock_parse_us(input, length, &time_us);
    double value = 0.0, back = 0.0;
    if (text_to_double(input, &value) && isfinite(value)) {
        text_from_double_shortest(text, sizeof text, value);
        if (!text_to_double(text, &back) || back != value) {
            fprintf(stderr, "texts: %s does not read back\n", text);
            abort();
        }
    }
    text_clean(text, sizeof text, input);
    text_escape(again, sizeof again, input, length);
    text_fit(again, sizeof again, text, (int)below(random, 20), below(random, 2) == 0);
    text_width(text);
    char quoted[512];
    words_quote(quoted, sizeof quoted, text);
    struct words words;
    struct problem problem;
    if (!words_split(quoted, &words, &problem) ||
        (text[0] != '\0' && (words.count != 1 || strcmp(words.word[0].value, text) != 0))) {
        fprintf(stderr, "texts: quoting does not keep %s\n", quoted);
        abort();
    }
    words_split(input, &words, &problem);
}

static const struct {
    const char *name;
    void (*run)(struct random_source *random);
} targets[] = {{"wire", try_wire}, {"commands", try_commands}, {"texts", try_texts}};

static void one_trial(size_t target, uint64_t seed, uint64_t trial)
{
    struct random_source random;
    random_seed(&random, seed * 1000003u + trial);
    targets[target].run(&random);
}

static uint64_t setting(const char *name, uint64_t otherwise)
{
    const char *text = getenv(name);
    return text == NULL ? otherwise : strtoull(text, NULL, 10);
}

int main(void)
{
    uint64_t seconds = setting("FUZZ_SECONDS", 10);
    uint64_t seed = setting("FUZZ_SEED", (uint64_t)clock_wall_ms());
    if (getenv("FUZZ_TRIAL") != NULL) {
        for (size_t target = 0; target < COUNT(targets); target++) {
            one_trial(target, seed, setting("FUZZ_TRIAL", 0));
        }
        return EXIT_SUCCESS;
    }
    uint64_t *trial =
        mmap(NULL, sizeof *trial, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    if (trial == MAP_FAILED) {
        perror("random_input");
        return EXIT_FAILURE;
    }
    int failed = 0;
    for (size_t target = 0; target < COUNT(targets); target++) {
        int64_t end_us = clock_monotonic_us() + (int64_t)(seconds * 1000000 / COUNT(targets));
        *trial = 0;
        pid_t child = fork();
        if (child == 0) {
            while (clock_monotonic_us() < end_us) {
                ++*trial;
                one_trial(target, seed, *trial);
            }
            exit(EXIT_SUCCESS);
        }
        int status = 0;
        waitpid(child, &status, 0);
        bool good = WIFEXITED(status) && WEXITSTATUS(status) == EXIT_SUCCESS;
        printf("fuzz %-9s %llu trials from seed %llu: %s\n", targets[target].name,
               (unsigned long long)*trial, (unsigned long long)seed,
               good ? "nothing found" : "FAILED");
        if (!good) {
            printf("     again with FUZZ_SEED=%llu FUZZ_TRIAL=%llu\n", (unsigned long long)seed,
                   (unsigned long long)*trial);
            failed++;
        }
        fflush(stdout);
    }
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
