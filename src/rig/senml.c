/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "rig/assembler.h"
#include "rig/auxiliary.h"
#include "rig/decimal.h"
#include "rig/dialect.h"
#include "rig/senml_pack.h"

#include <string.h>

/* SenML (RFC 8428) in JSON, one pack a line. Records in a unit of length are ranges,
 * those in watts, per minute and beats per minute the other readings of rig/auxiliary.h. */

#define NANO INT64_C(1000000000)
/* Times below are relative to now (RFC 8428, section 4.5.3). Before now, or at it, they tell no
 * more than the arrival does; after it they are a rig's that knows no calendar and counts from its
 * start. */
#define NOW_US 0

struct senml {
    struct assembler assembler;
    char unit_said[8];
    struct senml_pack pack;
};

/* A range's unit: 'm' of the RFC, 'mm' and 'cm' of RFC 8798; without one what the person said. */
static uint32_t tenths_in(struct span unit, const char *said)
{
    if (unit.length == 0) {
        return decimal_tenths_in_unit(said, strlen(said));
    }
    if (span_is(unit, "m") || span_is(unit, "mm") || span_is(unit, "cm")) {
        return unit.length == 1 ? 10000 : unit.text[0] == 'c' ? 100 : 10;
    }
    return auxiliary_of_senml_unit(unit.text, unit.length) >= 0 ? AUXILIARY_TENTHS : 0;
}

static bool is_range(const struct senml_record *record, const char *unit_said)
{
    return record->kind == SENML_NUMBER && tenths_in(record->unit, unit_said) != 0;
}

static struct span name_of(const struct senml_record *record)
{
    return span_between(record->name, record->name + record->name_length);
}

/* The record's own name, else the last part of its base name; of a reading that is no range what
 * its unit says. */
static struct span key_of(const struct senml_record *record)
{
    bool is_metric = record->unit.length > 0 && record->unit.text[record->unit.length - 1] == 'm';
    int auxiliary =
        is_metric ? -1 : auxiliary_of_senml_unit(record->unit.text, record->unit.length);
    if (auxiliary >= 0) {
        const char *kind = auxiliary_kinds[auxiliary].name;
        return span_between(kind, kind + strlen(kind));
    }
    struct span name = name_of(record);
    struct span key = span_between(record->name + record->own_name_at, name.text + name.length);
    if (key.length > 0) {
        return key;
    }
    while (name.length > 0 && strchr("/:", name.text[name.length - 1]) != NULL) {
        name.length--;
    }
    key = name;
    for (size_t i = 0; i < name.length; i++) {
        if (name.text[i] == '/' || name.text[i] == ':') {
            key = span_between(name.text + i + 1, name.text + name.length);
        }
    }
    return key;
}

/* What the first lines say. */
struct first_lines {
    const char *unit_said;
    bool any; /* a record in one of them */
};

static bool hear_line(struct assembler *assembler, struct rig_info *info, struct span line,
                      void *context)
{
    struct first_lines *lines = context;
    struct senml_pack pack;
    bool often = false;
    if (senml_resolve(&pack, line.text, line.length) != REJECT_REASONS) {
        return false;
    }
    lines->any = lines->any || pack.count > 0;
    for (int i = 0; i < pack.count; i++) {
        const struct senml_record *record = &pack.record[i];
        if (is_range(record, lines->unit_said) &&
            !assembler_hear(assembler, info, name_of(record), key_of(record))) {
            often = true;
        }
    }
    return often;
}

static enum recognition recognise(const struct held_lines *held,
                                  const struct decoder_options *options, bool last)
{
    (void)last;
    struct assembler assembler;
    struct rig_info info;
    struct first_lines lines = {options->unit, false};
    if (assembler_hear_lines(&assembler, &info, held, hear_line, &lines)) {
        return RECOGNITION_SURE;
    }
    return lines.any ? RECOGNITION_MAYBE : RECOGNITION_NO;
}

static bool begin(void *state, const struct held_lines *held, const struct decoder_options *options,
                  struct rig_info *info, struct problem *problem)
{
    struct senml *senml = state;
    struct first_lines lines = {senml->unit_said, false};
    (void)problem;
    text_copy(senml->unit_said, sizeof senml->unit_said, options->unit);
    assembler_hear_lines(&senml->assembler, info, held, hear_line, &lines);
    return true;
}

/* Rounded to tenths of a millimetre, halves away from zero. */
static bool tenths_of(const struct senml_record *record, uint32_t tenths_per_unit, int64_t *tenths)
{
    if (tenths_per_unit == 0) {
        return false;
    }
    const int64_t most_nano = RANGE_KEPT_MAX_TENTH_MM / tenths_per_unit * NANO;
    if (record->value_nano > most_nano || record->value_nano < -most_nano) {
        return false;
    }
    int64_t scaled = record->value_nano * tenths_per_unit;
    *tenths = (scaled + (scaled < 0 ? -NANO / 2 : NANO / 2)) / NANO;
    return true;
}

/* Are all ranges of the pack such as can be kept? */
static bool can_be_kept(const struct senml *senml)
{
    for (int i = 0; i < senml->pack.count; i++) {
        const struct senml_record *record = &senml->pack.record[i];
        int64_t tenths;
        if (is_range(record, senml->unit_said) &&
            !tenths_of(record, tenths_in(record->unit, senml->unit_said), &tenths)) {
            return false;
        }
    }
    return true;
}

/* Places in the pack by time; in the pack's order where times are alike. */
static void sort_by_time(const struct senml_pack *pack, int order[SENML_RECORDS_MAX])
{
    for (int i = 0; i < pack->count; i++) {
        int place = i;
        while (place > 0 && pack->record[order[place - 1]].time_us > pack->record[i].time_us) {
            order[place] = order[place - 1];
            place--;
        }
        order[place] = i;
    }
}

static bool add_range(struct senml *senml, struct dialect_output *output,
                      const struct senml_record *record)
{
    int64_t tenths = 0;
    tenths_of(record, tenths_in(record->unit, senml->unit_said), &tenths);
    bool far = tenths > RANGE_SENSOR_MAX_TENTH_MM || tenths < -RANGE_SENSOR_MAX_TENTH_MM;
    bool has_rig_time = record->has_time && record->time_us > NOW_US;
    return assembler_add(&senml->assembler, output, name_of(record), key_of(record),
                         has_rig_time ? &record->time_us : NULL, (int32_t)tenths,
                         far ? READING_OUT_OF_RANGE : READING_GOOD);
}

static bool take(void *state, struct dialect_output *output, const char *line, size_t length)
{
    struct senml *senml = state;
    struct span text = span_trim(span_between(line, line + length));
    if (text.length == 0 || text.text[0] == '#') {
        return dialect_skip(output);
    }
    enum reject_reason reason = senml_resolve(&senml->pack, text.text, text.length);
    if (reason == REJECT_REASONS && !can_be_kept(senml)) {
        reason = REJECT_OUT_OF_RANGE;
    }
    if (reason != REJECT_REASONS) {
        return dialect_reject(output, reason);
    }
    int order[SENML_RECORDS_MAX] = {0};
    bool is_used = false;
    sort_by_time(&senml->pack, order);
    for (int i = 0; i < senml->pack.count; i++) {
        const struct senml_record *record = &senml->pack.record[order[i]];
        if (is_range(record, senml->unit_said)) {
            is_used = add_range(senml, output, record) || is_used;
        }
    }
    assembler_line_ends(&senml->assembler, output);
    if (!is_used) {
        dialect_skip(output);
    }
    return true;
}

static void finish(void *state, struct dialect_output *output)
{
    struct senml *senml = state;
    assembler_finish(&senml->assembler, output);
}

const struct dialect dialect_senml = {
    "senml", sizeof(struct senml), recognise, begin, take, finish,
};
