/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/fuzz_doors.h"
#include "support/kept_session.h"
#include "support/session_text.h"

#include "base/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SAMPLES_MOST 4000 /* of one input */

static struct sample sent[SAMPLES_MOST];
static int64_t sent_count;

static void fail(const char *what, const char *difference)
{
    fprintf(stderr, "fuzz: session: %s%s%s\n", what, difference[0] != '\0' ? ": " : "", difference);
    abort();
}

/* Two seconds that nothing came of: as the link was down, as the rig's count says. */
#define LACKING_US 2000000
#define LACKING_SAMPLES 99

struct passing {
    int64_t count, up_mm;
    bool gone, gap, lost;
};

/* Words in any order; numbers are how many, then how high. */
static struct passing read_passing(char *what)
{
    struct passing passing = {1, 0, false, false, false};
    int numbers = 0;
    while (what != NULL) {
        const char *word = strsep(&what, " ");
        int64_t number = 0;
        passing.gone = passing.gone || text_equal(word, "gone");
        passing.gap = passing.gap || text_equal(word, "gap");
        passing.lost = passing.lost || text_equal(word, "lost");
        if (text_to_int64(word, &number)) {
            *(numbers++ == 0 ? &passing.count : &passing.up_mm) = number;
        }
    }
    passing.up_mm %= 1000;
    return passing;
}

static void pass_samples(struct session *session, char *what)
{
    const struct passing passing = read_passing(what);
    static int64_t now_us;
    now_us = sent_count == 0 ? -20000 : now_us; /* the first is at 0 */
    for (int64_t i = 0; i < passing.count && sent_count < SAMPLES_MOST; i++) {
        bool lacking = i == 0 && sent_count > 0 && (passing.gap || passing.lost);
        struct sample *sample = &sent[sent_count++];
        memset(sample, 0, sizeof *sample);
        now_us += 20000 + (lacking ? LACKING_US : 0);
        sample->number = sent_count;
        sample->time_us = now_us;
        sample->link_gap_before = lacking && passing.gap;
        sample->lost_before = lacking && passing.lost ? LACKING_SAMPLES : 0;
        sample->range_tenth_mm[0] = (int32_t)(4125 + sent_count * 7 % 40 + 10 * passing.up_mm);
        sample->range_tenth_mm[1] = (int32_t)(3500 + sent_count * 131 % 90 + 10 * passing.up_mm);
        sample->quality[0] = (uint8_t)(passing.gone ? READING_MISSING : READING_GOOD);
        sample->quality[1] =
            (uint8_t)(passing.gone || sent_count % 97 == 0 ? READING_MISSING : READING_GOOD);
        session_sample(session, sample);
    }
}

/* What a session has come to must hang together: a later command, a report, the store rely on it.
 */
static void check_records(const struct session_record *record)
{
    for (int i = 0; i < record->hold_count; i++) {
        const struct hold_record *hold = &record->hold[i];
        if (hold->capture < -1 || hold->capture >= record->capture_count || hold->build < 0 ||
            hold->build >= record->build_count) {
            fail("a hold that points nowhere", "");
        }
    }
    for (int i = 0; i < record->capture_count; i++) {
        const struct capture_record *capture = &record->capture[i];
        bool goes_on = capture->last_sample == 0;
        if (!goes_on && capture->first_sample > capture->last_sample + 1) {
            fail("a capture that ends before it begins", "");
        }
    }
    for (int i = 0; i < record->build_count; i++) {
        if (record->build[i].setup < 0 || record->build[i].setup >= record->setup_count) {
            fail("a build of no setup", "");
        }
    }
}

static void must_be_same(const char *is, const char *wanted, const char *what)
{
    size_t at = 0, line = 0;
    char difference[500];
    while (is[at] != '\0' && is[at] == wanted[at]) {
        line = is[at++] == '\n' ? at : line;
    }
    if (is[at] != wanted[at]) {
        snprintf(difference, sizeof difference, "byte %zu of a line: %.*s --- not %.*s", at - line,
                 (int)strcspn(is + line, "\n"), is + line, (int)strcspn(wanted + line, "\n"),
                 wanted + line);
        fail(what, difference);
    }
}

static struct session *begin(struct kept_session *kept)
{
    const struct session_origin origin = {.wall_ms = 1768068000000, .seed = 7};
    kept_session_begin(kept);
    struct session *session = session_create(&origin, kept_session_take, kept);
    if (session == NULL) {
        exit(EXIT_FAILURE);
    }
    return session;
}

/* Its log, with the same samples in between, comes to the same records. */
static void replay(struct kept_session *kept, const char *records)
{
    static struct kept_session again;
    struct session *session = begin(&again);
    int64_t number = 0;
    session_trust(session, true);
    for (int i = 0; i < kept->count; i++) {
        struct problem problem = {PROBLEM_NONE, ""};
        while (number < kept->command[i].after_sample && number < sent_count) {
            session_sample(session, &sent[number++]);
        }
        if (!session_command(session, kept->command[i].text, &problem)) {
            fail("a line of the log is refused", problem.sentence);
        }
    }
    while (number < sent_count) {
        session_sample(session, &sent[number++]);
    }
    char *replayed = records_text(session_records(session));
    must_be_same(replayed, records, "replayed it is another");
    free(replayed);
    session_destroy(session);
}

static void check_session(struct session *session, struct kept_session *kept)
{
    char difference[300];
    const struct session_record *record = session_records(session);
    check_records(record);
    if (kept->misplaced) {
        fail("a record without a place in its table", "");
    }
    char *records = records_text(record);
    if (session_phase(session) == VIEW_LIVE) { /* what goes on is stored when it is over */
        char *stored = kept_session_text(kept);
        if (kept->damage[0] != '\0') {
            fail("what is stored would be called damaged", kept->damage);
        }
        must_be_same(stored, records, "what is stored is another");
        free(stored);
        if (!session_is_as_anew(session, difference, sizeof difference)) {
            fail("worked out anew it is another", difference);
        }
    }
    if (!kept->full) {
        replay(kept, records);
    }
    free(records);
}

/* What is refused says why, and nothing of it goes out. */
static void give_line(struct session *session, const struct kept_session *kept, const char *line)
{
    struct problem problem = {PROBLEM_NONE, ""};
    int effects = kept->effects;
    if (session_command(session, line, &problem)) {
        return;
    }
    if (problem.sentence[0] == '\0') {
        fail("a command is refused without a sentence", line);
    }
    if (kept->effects != effects) {
        fail("a command is refused, and something of it was done", line);
    }
}

void fuzz_session(const uint8_t *bytes, size_t length)
{
    static struct kept_session kept;
    char *text = malloc(length + 1), *next = text;
    if (text == NULL) {
        exit(EXIT_FAILURE);
    }
    memcpy(text, bytes, length);
    text[length] = '\0';
    struct session *session = begin(&kept);
    sent_count = 0;
    while (next != NULL) {
        char *line = strsep(&next, "\n");
        if (line[0] == '~') {
            pass_samples(session, line + 1);
        } else {
            give_line(session, &kept, line);
        }
    }
    check_session(session, &kept);
    session_destroy(session);
    free(text);
}
