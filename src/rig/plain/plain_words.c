/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/plain_words.h"

static const char *const length_units[] = {"mm", "cm", "m",         "in",       "inch",
                                           "ft", "um", "\xC2\xB5m", "\xCE\xBCm"};
static const char *const time_units[] = {"us", "\xC2\xB5s", "\xCE\xBCs", "ms", "s", "sec"};
static const char *const other_units[] = {"n", "nm",  "v",    "mv",   "a",           "ma",  "c",
                                          "k", "f",   "deg",  "rad",  "%",           "hz",  "khz",
                                          "g", "lux", "mcps", "db",   "dbm",         "bpm", "rpm",
                                          "w", "pa",  "hpa",  "degc", "\xC2\xB0\x63"};

static bool is_one_of(struct span text, const char *const *words, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (span_equals(text, words[i])) {
            return true;
        }
    }
    return false;
}
#define IS_ONE_OF(text, words) is_one_of(text, words, sizeof(words) / sizeof((words)[0]))

bool plain_is_unit_of_length(struct span text)
{
    return IS_ONE_OF(text, length_units);
}

bool plain_is_unit_of_time(struct span text)
{
    return IS_ONE_OF(text, time_units);
}

bool plain_is_unit(struct span text)
{
    return plain_is_unit_of_length(text) || IS_ONE_OF(text, time_units) ||
           IS_ONE_OF(text, other_units);
}

static bool is_letter(char character)
{
    return (character >= 'a' && character <= 'z') || (character >= 'A' && character <= 'Z');
}

/* Does a name have one of these as a word of its own? Figures and punctuation part words: 'S1' is
 * 's'. */
bool plain_has_word(struct span name, const char *const *words, size_t count)
{
    for (size_t at = 0; at < name.length;) {
        size_t stop = at;
        while (stop < name.length && is_letter(name.text[stop])) {
            stop++;
        }
        struct span word = {name.text + at, stop - at};
        if (word.length > 0 && is_one_of(word, words, count)) {
            return true;
        }
        at = stop + 1;
    }
    return false;
}

uint32_t plain_unit_tenths(struct span unit, uint8_t *more_decimals)
{
    static const struct {
        const char *name;
        uint32_t tenths;
        uint8_t more_decimals;
    } units[] = {{"um", 1, 2},    {"\xC2\xB5m", 1, 2}, {"\xCE\xBCm", 1, 2},
                 {"ft", 3048, 0}, {"inch", 254, 0},    {"ft-in", 254, 0}};
    *more_decimals = 0;
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
        if (span_equals(unit, units[i].name)) {
            *more_decimals = units[i].more_decimals;
            return units[i].tenths;
        }
    }
    return decimal_tenths_in_unit(unit.text, unit.length);
}

bool plain_names_a_status(struct span name)
{
    static const char *const names[] = {"status", "state", "err",  "error", "code",
                                        "fault",  "valid", "flag", "flags", "stat"};
    return PLAIN_HAS_WORD(name, names);
}

bool plain_says_good(struct span word)
{
    static const char *const words[] = {"ok", "good", "valid", "true", "yes", "fine", "normal"};
    return IS_ONE_OF(word, words);
}

bool plain_says_bad(struct span text)
{
    static const char *const words[] = {"err",   "error",   "fail",     "failed", "bad",
                                        "weak",  "invalid", "false",    "fault",  "saturated",
                                        "noisy", "timeout", "doubtful", "poor",   "clipped"};
    return PLAIN_HAS_WORD(text, words);
}

bool plain_names_a_ride(struct span name)
{
    static const char *const names[] = {"power", "watts",    "cadence",   "heart",    "hr",
                                        "lat",   "latitude", "longitude", "altitude", "speed",
                                        "lon",   "lng",      "elevation", "grade",    "lap"};
    return PLAIN_HAS_WORD(name, names);
}

bool plain_names_a_rate(struct span label)
{
    static const char *const rates[] = {"fs", "rate", "frequency", "hz", "odr"};
    return PLAIN_HAS_WORD(label, rates);
}

bool plain_names_time(struct span name, struct span unit)
{
    static const char *const times[] = {"time",   "timestamp", "t",    "ms",      "us",
                                        "millis", "micros",    "date", "seconds", "sec"};
    bool length = unit.length > 0 && !IS_ONE_OF(unit, time_units);
    return (PLAIN_HAS_WORD(name, times) && !length) ||
           (unit.length > 0 && IS_ONE_OF(unit, time_units));
}

bool plain_names_something_else(struct span name, struct span unit)
{
    static const char *const others[] = {
        "temperature", "temp",     "strength", "signal",   "amplitude", "amp",      "quality",
        "status",      "phase",    "sigma",    "ambient",  "rate",      "battery",  "voltage",
        "volt",        "current",  "hum",      "humidity", "pressure",  "frame",    "seq",
        "sequence",    "index",    "idx",      "count",    "counter",   "sample",   "no",
        "nr",          "id",       "error",    "err",      "freq",      "snr",      "confidence",
        "flag",        "valid",    "zone",     "speed",    "rssi",      "altitude", "elevation",
        "lat",         "latitude", "lon",      "lng",      "longitude", "hr",       "watts",
        "grade",       "slope",    "calories", "lap",      "state",     "code",     "fault",
        "flags",       "stat",     "angle",    "pitch",    "roll",      "yaw",      "vbat",
        "uptime",      "checksum", "crc",      "version",  "min",       "max",      "minimum",
        "maximum",     "std",      "velocity", "vel"};
    /* With a unit of length these are ranges: 'echo: 412 mm'. */
    static const char *const unless_length[] = {"echo",  "pulse", "duration", "elapsed",
                                                "light", "raw",   "adc",      "loop"};
    if (!plain_is_unit_of_length(unit) && PLAIN_HAS_WORD(name, unless_length)) {
        return true;
    }
    return PLAIN_HAS_WORD(name, others) || (unit.length > 0 && IS_ONE_OF(unit, other_units));
}

bool plain_names_what_follows(struct span name)
{
    static const char *const names[] = {"avg",  "average",    "mean",  "median",
                                        "diff", "difference", "delta", "sum"};
    return PLAIN_HAS_WORD(name, names);
}

bool plain_names_a_range(struct span name, struct span unit)
{
    static const char *const ranges[] = {"dist", "d", "mm", "cm"};
    return plain_is_unit_of_length(unit) || span_contains(name, "distan") ||
           span_contains(name, "range") || span_contains(name, "height") ||
           span_contains(name, "depth") || PLAIN_HAS_WORD(name, ranges);
}
