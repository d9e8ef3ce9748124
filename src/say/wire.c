/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/wire.h"

#include "base/text.h"
#include "rig/decoder_options.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

WORD_LIST(
    wire_cause_words, [WIRE_READS] = "reads", [WIRE_NO_BYTES] = "no_bytes",
    [WIRE_TOO_FEW] = "too_few", [WIRE_NO_TEXT] = "no_text", [WIRE_NO_LINE_ENDS] = "no_line_ends",
    [WIRE_UNMARKED_HEXADECIMAL] = "hexadecimal", [WIRE_BYTES_IN_FIGURES] = "bytes_in_figures",
    [WIRE_FEET] = "feet", [WIRE_UNIT] = "unit", [WIRE_COLUMNS] = "columns", [WIRE_WORDS] = "words",
    [WIRE_MARKUP] = "markup", [WIRE_CHECKSUMS] = "checksums", [WIRE_TWO_BYTES] = "two_bytes");

/* "column 2 ('Temp')", 'Temp', 'column 2' */
static void column_words(char *text, size_t size, const struct wire_note *note)
{
    char name[4 * sizeof note->name];
    size_t used = 0;
    text_escape(name, sizeof name, note->name, strlen(note->name));
    if (name[0] != '\0') {
        text_append(text, size, &used, "'%s'", name);
    } else {
        text_append(text, size, &used, "column %d", (int)note->column);
    }
}

static void channel_words(char *text, size_t size, const struct wire_note *note,
                          const struct rig_info *info)
{
    bool known = note->channel >= 0 && note->channel < info->channel_count;
    text_copy(text, size, known ? info->channel_name[note->channel] : "a channel");
}

/* '%s': the column or channel, then the value. */
static const struct {
    const char *words;
    bool of_channel;
} notes[] = {
    [WIRE_LEFT_OUT_NAMED] = {"%s is called something else than a range: left out", false},
    [WIRE_LEFT_OUT_COUNTER] = {"%s counts the lines: left out", false},
    [WIRE_LEFT_OUT_STILL] = {"%s is always %s: left out", false},
    [WIRE_LEFT_OUT_SHORT] = {"%s is about %s and hardly moves, nearer than any rider: left out",
                             false},
    [WIRE_LEFT_OUT_NO_TIME] = {"%s is called a time and does not go on, as the time of an echo: "
                               "left out",
                               false},
    [WIRE_LEFT_OUT_SAME] = {"%s is another column's range in another unit: left out", false},
    [WIRE_LEFT_OUT_DISTANCE] = {"%s only rises, as the way that was ridden: left out", false},
    [WIRE_LEFT_OUT_EMPTY] = {"%s is empty where the stream begins: left out (--columns, if it is a "
                             "sensor)",
                             false},
    [WIRE_STATUS] = {"%s is taken for a status: readings where it is not %s are doubtful", false},
    [WIRE_STATUS_WORDS] = {"%s is taken for a status: readings where it is not ok are doubtful",
                           false},
    [WIRE_UNIT_UNSAID] = {"nothing says the unit: taken as mm (--unit)", false},
    [WIRE_UNIT_DOUBTFUL] = {"%s is about %s, and nothing says the unit: in mm no rider is there "
                            "(--unit)",
                            false},
    [WIRE_UNNAMED] = {"the columns have no names: each is taken for a sensor (--columns)", false},
    [WIRE_LIKE_A_RIDE] = {"%s only rises, as the way that was ridden: the others move like the "
                          "log of a ride, power and cadence, not like ranges",
                          false},
    [WIRE_KEYED] = {"one sensor a line: told apart by label, %s of them", false},
    [WIRE_COMMA] = {"commas between figures are decimal points", false},
    [WIRE_HEXADECIMAL] = {"the numbers are hexadecimal", false},
    [WIRE_SENTENCE] = {"sentences with a checksum, not of the standard: their numbers", false},
    [WIRE_CODE] = {"%s: %s means that nothing came back", true},
    [WIRE_NEGATIVE] = {"%s: numbers below 0 mean that nothing came back", true},
};

/* What limits how far the readings can be trusted; finding: they may be wrong, or one is missing.
 */
static const struct {
    enum wire_note_kind kind;
    const char *words;
    bool finding;
} limits[] = {
    {WIRE_UNIT_DOUBTFUL, "which unit?", true},
    {WIRE_LIKE_A_RIDE, "a ride's log?", true},
    {WIRE_LEFT_OUT_EMPTY, "a column left out", true},
    {WIRE_UNNAMED, "columns without names", false},
    {WIRE_UNIT_UNSAID, "unit not said", false},
};
#define LIMITS (sizeof limits / sizeof limits[0])

bool say_wire_note_is_finding(const struct wire_note *note)
{
    bool finding = false;
    for (size_t i = 0; i < LIMITS; i++) {
        finding = finding || (limits[i].finding && limits[i].kind == note->kind);
    }
    return finding;
}

bool say_wire_brief(char *text, size_t size, const struct rig_info *info)
{
    text_copy(text, size, "");
    for (size_t i = 0; i < LIMITS; i++) { /* the gravest first */
        for (int n = 0; n < info->note_count; n++) {
            if (info->note[n].kind == limits[i].kind) {
                text_copy(text, size, limits[i].words);
                return limits[i].finding;
            }
        }
    }
    return false;
}

void say_wire_note(char *text, size_t size, const struct wire_note *note,
                   const struct rig_info *info)
{
    char of[4 * sizeof note->name + 16], value[40];
    if (note->kind >= sizeof notes / sizeof notes[0]) {
        text[0] = '\0';
        return;
    }
    if (notes[note->kind].of_channel) {
        channel_words(of, sizeof of, note, info);
    } else {
        column_words(of, sizeof of, note);
    }
    text_from_double_shortest(value, sizeof value, (double)note->value_milli / 1000);
    const char *from = notes[note->kind].words;
    const char *fills[2] = {note->kind == WIRE_KEYED ? value : of, value};
    size_t used = 0;
    text[0] = '\0';
    for (int fill = 0; *from != '\0';) {
        const char *stop = strstr(from, "%s");
        size_t length = stop != NULL ? (size_t)(stop - from) : strlen(from);
        text_append(text, size, &used, "%.*s%s", (int)length, from,
                    stop != NULL && fill < 2 ? fills[fill] : "");
        fill += stop != NULL ? 1 : 0;
        from += length + (stop != NULL ? 2 : 0);
    }
    if (note->count > 0) {
        text_append(text, size, &used, " (came %llu times)", (unsigned long long)note->count);
    }
}

/* speed: ' at 9600 baud', "" where it is not known. */
static void no_text_words(char *text, size_t size, const char *speed, bool all_tried)
{
    if (all_tried) {
        text_copy(text, size,
                  "what comes is no text at any usual speed: binary frames need "
                  "--layout, an unusual speed ?baud= behind the port");
    } else {
        snprintf(text, size, "what comes%s is no text: a wrong speed, or binary frames", speed);
    }
}

/* What is said of a cause, whatever else is known. */
static const char *const cause_sentences[WIRE_CAUSES] = {
    [WIRE_TOO_FEW] = "text comes, but too little of it to tell yet",
    [WIRE_NO_LINE_ENDS] = "text comes, and no line ever ends",
    [WIRE_UNMARKED_HEXADECIMAL] = "the numbers are hexadecimal, and nothing marks them as such",
    [WIRE_BYTES_IN_FIGURES] =
        ("each line is the bytes of a binary frame, written out: let the board print the "
         "range, or send the frame in COBS or SLIP (--layout)"),
    [WIRE_FEET] = "the numbers are feet and inches",
    [WIRE_UNIT] = "in mm no rider is where the numbers say: another unit?",
    [WIRE_WORDS] = "words come, and no numbers in regular lines",
    [WIRE_MARKUP] = "this is a page of markup, no stream of readings",
    [WIRE_CHECKSUMS] = "the lines' checksums are wrong: bytes are lost or changed on the way",
    [WIRE_TWO_BYTES] =
        ("each letter comes in two bytes (UTF-16, as some programs save text): save it as "
         "UTF-8 or ASCII"),
};

void say_wire_cause(char *text, size_t size, const struct wire_finding *finding, double baud,
                    bool all_tried)
{
    char speed[40] = "";
    char number[24];
    size_t used = 0;
    if (baud > 0) {
        text_from_double_shortest(number, sizeof number, baud);
        text_append(speed, sizeof speed, &used, " at %s baud", number);
    }
    switch (finding->cause) {
    case WIRE_READS:
        text_copy(text, size,
                  finding->stands_still
                      ? "readings come, and never move: does the sensor look at anything that does?"
                      : "readings come");
        break;
    case WIRE_NO_BYTES:
        snprintf(text, size, "not a byte comes%s: is the board running, and printing?", speed);
        break;
    case WIRE_NO_TEXT:
        no_text_words(text, size, speed, all_tried);
        break;
    case WIRE_COLUMNS:
        text_copy(text, size, finding->problem.sentence);
        break;
    default:
        text_copy(text, size, finding->cause < WIRE_CAUSES ? cause_sentences[finding->cause] : "");
        break;
    }
}

void say_wire_preview(char *text, size_t size, const struct wire_finding *finding)
{
    size_t used = 0;
    text[0] = '\0';
    for (int c = 0; c < finding->info.channel_count; c++) {
        char number[40];
        char name[4 * CHANNEL_NAME_SIZE];
        text_from_double(number, sizeof number, finding->last_mm[c], 1);
        text_escape(name, sizeof name, finding->info.channel_name[c],
                    strlen(finding->info.channel_name[c]));
        text_append(text, size, &used, "%s%s %s%s", c > 0 ? ", " : "", name,
                    finding->has_last[c] ? number : "no reading",
                    finding->has_last[c] ? " mm" : "");
    }
}

void say_wire_options(char *text, size_t size, const struct wire_finding *finding)
{
    text[0] = '\0';
    if (finding->has_proposal) {
        decoder_options_words(&finding->proposal, text, size);
    }
}

void say_wire_bytes(char *text, size_t size, const char *bytes, size_t length)
{
    size_t used = 0;
    text[0] = '\0';
    for (size_t i = 0; i < length && used + sizeof "\\xFF" <= size; i++) {
        unsigned char byte = (unsigned char)bytes[i];
        if (byte == '\n' || byte == '\r' || byte == '\t') {
            text_append(text, size, &used, "%s",
                        byte == '\n'   ? "\\n"
                        : byte == '\r' ? "\\r"
                                       : "\\t");
        } else if (byte >= 0x20 && byte < 0x7F && byte != '\\') {
            text_append(text, size, &used, "%c", byte);
        } else {
            text_append(text, size, &used, "\\x%02X", byte);
        }
    }
}

void say_wire_counts(char *text, size_t size, const struct decoder_counts *counts)
{
    size_t used = 0;
    const char *between = ": ";
    text[0] = '\0';
    text_append(text, size, &used, "%llu bytes, %llu lines", (unsigned long long)counts->bytes,
                (unsigned long long)counts->lines);
    for (int i = 0; i < REJECT_REASONS; i++) {
        if (counts->rejected[i] > 0) {
            text_append(text, size, &used, "%s%llu %s", between,
                        (unsigned long long)counts->rejected[i],
                        reject_reason_text((enum reject_reason)i));
            between = ", ";
        }
    }
    if (counts->skipped > 0) {
        text_append(text, size, &used, "%s%llu without readings", between,
                    (unsigned long long)counts->skipped);
    }
}

void say_wire_offer(char *text, size_t size, const struct wire_finding *finding)
{
    char options[300], preview[200];
    size_t used = 0;
    say_wire_options(options, sizeof options, finding);
    say_wire_preview(preview, sizeof preview, finding);
    text[0] = '\0';
    text_append(text, size, &used, "With %s: %s. y reads it so, now and next time.", options,
                preview);
}

void say_wire_live(char *text, size_t size, const struct wire_finding *finding, double baud,
                   bool all_tried, const char *bytes, size_t length,
                   const struct decoder_counts *counts)
{
    char cause[300], more[512], shown[200];
    size_t used = 0;
    say_wire_cause(cause, sizeof cause, finding, baud, all_tried);
    const char *stop = cause[0] != '\0' && cause[strlen(cause) - 1] == '?' ? "" : ".";
    text[0] = '\0';
    if (finding->has_proposal) {
        say_wire_offer(more, sizeof more, finding);
        text_append(text, size, &used, "%s%s %s", cause, stop, more);
    } else {
        say_wire_counts(more, sizeof more, counts);
        say_wire_bytes(shown, sizeof shown, bytes, length < 32 ? length : 32);
        text_append(text, size, &used, "%s%s", cause, stop);
        if (counts->bytes > 0) { /* none while speeds are tried */
            text_append(text, size, &used, " No readings in %s.", more);
        }
        text_append(text, size, &used, " It sends %s", shown);
    }
}
