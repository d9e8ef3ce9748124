/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "ride_gpx.h"

#include "base/clock.h"
#include "base/text.h"
#include "ride_intake.h"
#include "rig/decimal.h"
#include "rig/ride_file.h"

#include <expat.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define CHUNK_BYTES 16384
#define TEXT_SIZE 64 /* of an element that is taken */

struct ride_gpx {
    XML_Parser parser;
    struct ride_intake intake;
    struct problem *problem; /* of the feed at hand */
    bool refused;
    uint64_t points;
    uint64_t fed;        /* bytes */
    uint64_t event_byte; /* where the last piece that is done ended */
    int depth;
    int point_depth;      /* of the trkpt that is open; 0: none */
    int extensions_depth; /* of its extensions; 0: none */
    int taken_channel;    /* whose text is gathered; -1: none */
    int taken_depth;
    size_t text_used;
    char text[TEXT_SIZE];
    bool has_time;
    int64_t time_us, first_us;
    double value[RIDE_CHANNELS];
    uint64_t no_time, no_number;
};

/* Elements of a point that are taken: those of GPX itself, and others' within extensions. */
static const struct {
    const char *name;
    enum ride_channel channel;
    bool is_extension;
} elements[] = {
    {"time", RIDE_TIME, false},  {"ele", RIDE_ALTITUDE, false},         {"power", RIDE_POWER, true},
    {"watts", RIDE_POWER, true}, {"speed", RIDE_SPEED, true},           {"hr", RIDE_HEART, true},
    {"cad", RIDE_CADENCE, true}, {"atemp", RIDE_AIR_TEMPERATURE, true},
};
#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static const char *local_name(const char *name)
{
    const char *colon = strrchr(name, ':');
    return colon != NULL ? colon + 1 : name;
}

static void refuse(struct ride_gpx *gpx)
{
    gpx->refused = true;
    XML_StopParser(gpx->parser, XML_FALSE);
}

/* Where the parser stands: of version 2.9 the names without a number of bits are given up. */
#if XML_MAJOR_VERSION > 2 || (XML_MAJOR_VERSION == 2 && XML_MINOR_VERSION >= 9)
#define PARSER_AT(what, parser) XML_GetCurrent##what##64(parser)
#else
#define PARSER_AT(what, parser) XML_GetCurrent##what(parser)
#endif

static uint64_t line_of(const struct ride_gpx *gpx)
{
    return (uint64_t)PARSER_AT(LineNumber, gpx->parser);
}

static bool refuse_long_piece(const struct ride_gpx *gpx, struct problem *problem)
{
    return problem_set(problem,
                       "line %" PRIu64 ": a tag or comment of more than %d bytes: this is no ride",
                       line_of(gpx), RIDE_PIECE_MOST);
}

/* Of a piece that is whole; one that still goes on is looked at as it is fed. */
static void note_event(struct ride_gpx *gpx)
{
    int64_t at = (int64_t)PARSER_AT(ByteIndex, gpx->parser);
    int64_t length = (int64_t)PARSER_AT(ByteCount, gpx->parser);
    gpx->event_byte = (uint64_t)at + (uint64_t)length;
    if (length > RIDE_PIECE_MOST) {
        refuse_long_piece(gpx, gpx->problem);
        refuse(gpx);
    }
}

/* The whole text as a number; NAN: it is none. */
static double number_in(const char *text)
{
    double number;
    return text_to_double(text, &number) ? number : NAN;
}

static double attribute(const XML_Char **attributes, const char *name)
{
    for (int i = 0; attributes[i] != NULL; i += 2) {
        if (text_equal(attributes[i], name)) {
            char text[TEXT_SIZE];
            text_clean(text, sizeof text, attributes[i + 1]);
            return number_in(text);
        }
    }
    return NAN;
}

static void begin_root(struct ride_gpx *gpx, const char *name, const XML_Char **attributes)
{
    const char *version = "1.1";
    for (int i = 0; attributes[i] != NULL; i += 2) {
        version = text_equal(attributes[i], "version") ? attributes[i + 1] : version;
    }
    if (!text_equal(local_name(name), "gpx")) {
        problem_set(gpx->problem, "line %" PRIu64 ", <%.40s>: this is no GPX file", line_of(gpx),
                    name);
        refuse(gpx);
    } else if (!text_equal(version, "1.1")) {
        problem_set(gpx->problem,
                    "line %" PRIu64 ", <gpx>: version '%.20s' of GPX is not read: save it as 1.1",
                    line_of(gpx), version);
        refuse(gpx);
    }
}

static void begin_point(struct ride_gpx *gpx, const XML_Char **attributes)
{
    gpx->point_depth = gpx->depth;
    gpx->has_time = false;
    for (int i = 0; i < RIDE_CHANNELS; i++) {
        gpx->value[i] = NAN;
    }
    gpx->value[RIDE_LATITUDE] = attribute(attributes, "lat");
    gpx->value[RIDE_LONGITUDE] = attribute(attributes, "lon");
    gpx->no_number += isnan(gpx->value[RIDE_LATITUDE]) ? 1 : 0;
    gpx->no_number += isnan(gpx->value[RIDE_LONGITUDE]) ? 1 : 0;
}

static void XMLCALL begin_element(void *data, const XML_Char *name, const XML_Char **attributes)
{
    struct ride_gpx *gpx = data;
    if (gpx->refused) {
        return; /* the parser still tells what it had begun with */
    }
    note_event(gpx);
    gpx->depth++;
    if (gpx->depth > RIDE_DEPTH_MOST) {
        problem_set(gpx->problem,
                    "line %" PRIu64 ", <%.40s>: more than %d elements within one another",
                    line_of(gpx), name, RIDE_DEPTH_MOST);
        refuse(gpx);
        return;
    }
    if (gpx->depth == 1) {
        begin_root(gpx, name, attributes);
        return;
    }
    const char *local = local_name(name);
    if (gpx->point_depth == 0) {
        if (text_equal(local, "trkpt")) {
            begin_point(gpx, attributes);
        }
        return;
    }
    bool is_child = gpx->depth == gpx->point_depth + 1;
    if (is_child && text_equal(local, "extensions")) {
        gpx->extensions_depth = gpx->depth;
    }
    for (size_t i = 0; gpx->taken_channel < 0 && i < COUNT(elements); i++) {
        bool here = elements[i].is_extension ? gpx->extensions_depth > 0 : is_child;
        if (here && text_equal(local, elements[i].name)) {
            gpx->taken_channel = (int)elements[i].channel;
            gpx->taken_depth = gpx->depth;
            gpx->text_used = 0;
        }
    }
}

static void XMLCALL hear_text(void *data, const XML_Char *text, int length)
{
    struct ride_gpx *gpx = data;
    note_event(gpx);
    if (gpx->taken_channel < 0 || gpx->depth != gpx->taken_depth) {
        return;
    }
    for (int i = 0; i < length; i++) { /* what does not fit is no number, nor a time */
        gpx->text[gpx->text_used] = text[i];
        gpx->text_used += gpx->text_used + 1 < sizeof gpx->text ? 1 : 0;
    }
}

/* The text of an element that is taken has ended. */
static void take_text(struct ride_gpx *gpx)
{
    char text[TEXT_SIZE];
    gpx->text[gpx->text_used] = '\0';
    bool fits = gpx->text_used + 1 < sizeof gpx->text;
    text_clean(text, sizeof text, gpx->text);
    int channel = gpx->taken_channel;
    gpx->taken_channel = -1;
    if (channel == RIDE_TIME) {
        char zoned[TEXT_SIZE + 1];
        size_t length = strlen(text);
        gpx->has_time = fits && length > 10 && clock_parse_us(text, length, &gpx->time_us);
        if (!gpx->has_time && fits && length > 10) {
            snprintf(zoned, sizeof zoned, "%sZ", text);
            gpx->has_time = clock_parse_us(zoned, length + 1, &gpx->time_us);
            gpx->intake.ride->zone_assumed |= gpx->has_time;
        }
        return;
    }
    double number = fits ? number_in(text) : NAN;
    gpx->no_number += isnan(number) ? 1 : 0;
    if (isnan(gpx->value[channel])) { /* the first of two with one meaning */
        gpx->value[channel] = number;
    }
}

static void end_point(struct ride_gpx *gpx)
{
    gpx->point_depth = gpx->extensions_depth = 0;
    gpx->points++;
    if (!gpx->has_time) {
        gpx->no_time++;
        return;
    }
    struct ride *ride = gpx->intake.ride;
    if (gpx->intake.offered == 0) {
        gpx->first_us = gpx->time_us;
        ride->has_start = true;
        ride->start_unix_us = gpx->time_us;
    }
    gpx->value[RIDE_TIME] = (double)(gpx->time_us - gpx->first_us) * 1e-6;
    if (!ride_intake_add(&gpx->intake, gpx->value, line_of(gpx), gpx->problem)) {
        refuse(gpx);
    }
}

static void XMLCALL end_element(void *data, const XML_Char *name)
{
    struct ride_gpx *gpx = data;
    (void)name;
    if (gpx->refused) {
        return;
    }
    note_event(gpx);
    if (gpx->taken_channel >= 0 && gpx->depth == gpx->taken_depth) {
        take_text(gpx);
    }
    if (gpx->extensions_depth == gpx->depth) {
        gpx->extensions_depth = 0;
    }
    if (gpx->point_depth > 0 && gpx->point_depth == gpx->depth) {
        end_point(gpx);
    }
    gpx->depth--;
}

static void XMLCALL hear_other(void *data, const XML_Char *text, int length)
{
    (void)text;
    (void)length;
    note_event(data);
}

static void XMLCALL refuse_doctype(void *data, const XML_Char *name, const XML_Char *system,
                                   const XML_Char *public_id, int has_internal)
{
    struct ride_gpx *gpx = data;
    (void)name;
    (void)system;
    (void)public_id;
    (void)has_internal;
    if (gpx->refused) {
        return;
    }
    problem_set(gpx->problem,
                "line %" PRIu64 ", <!DOCTYPE>: declarations and entities are not read: a GPX file "
                "has none",
                line_of(gpx));
    refuse(gpx);
}

struct ride_gpx *ride_gpx_create(void)
{
    static const enum ride_channel channels[] = {
        RIDE_LATITUDE, RIDE_LONGITUDE,       RIDE_ALTITUDE, RIDE_POWER,
        RIDE_SPEED,    RIDE_AIR_TEMPERATURE, RIDE_CADENCE,  RIDE_HEART};
    bool has[RIDE_CHANNELS] = {false};
    struct ride_gpx *gpx = calloc(1, sizeof *gpx);
    if (gpx == NULL) {
        return NULL;
    }
    for (size_t i = 0; i < COUNT(channels); i++) {
        has[channels[i]] = true;
    }
    gpx->taken_channel = -1;
    gpx->intake.ride = ride_create(has);
    gpx->parser = XML_ParserCreate(NULL);
    if (gpx->intake.ride == NULL || gpx->parser == NULL) {
        ride_gpx_free(gpx);
        return NULL;
    }
    XML_SetUserData(gpx->parser, gpx);
#if XML_MAJOR_VERSION > 2 || (XML_MAJOR_VERSION == 2 && XML_MINOR_VERSION >= 6)
    /* What is whole is told at once: a tag's length is bounded here. */
    XML_SetReparseDeferralEnabled(gpx->parser, XML_FALSE);
#endif
    XML_SetElementHandler(gpx->parser, begin_element, end_element);
    XML_SetCharacterDataHandler(gpx->parser, hear_text);
    XML_SetDefaultHandler(gpx->parser, hear_other);
    XML_SetStartDoctypeDeclHandler(gpx->parser, refuse_doctype);
    return gpx;
}

void ride_gpx_free(struct ride_gpx *gpx)
{
    if (gpx != NULL) {
        if (gpx->parser != NULL) {
            XML_ParserFree(gpx->parser);
        }
        ride_free(gpx->intake.ride);
        free(gpx);
    }
}

/* What is wrong with a text that stops somewhere. Later versions of expat put an unfinished token
 * off until the end, where it may be found to be wrong by itself. */
static bool is_an_end(enum XML_Error error)
{
    return error == XML_ERROR_NO_ELEMENTS || error == XML_ERROR_UNCLOSED_TOKEN ||
           error == XML_ERROR_PARTIAL_CHAR || error == XML_ERROR_UNCLOSED_CDATA_SECTION;
}

static bool parse(struct ride_gpx *gpx, const char *bytes, size_t length, bool is_final,
                  struct problem *problem)
{
    gpx->problem = problem;
    if (XML_Parse(gpx->parser, bytes, (int)length, is_final) == XML_STATUS_OK) {
        return true;
    }
    if (gpx->refused) {
        return false;
    }
    enum XML_Error error = XML_GetErrorCode(gpx->parser);
    if (is_final && gpx->depth > 0 && is_an_end(error)) {
        return problem_set(problem,
                           "line %" PRIu64 ": the file ends within %s: it is not whole (%s)",
                           line_of(gpx), gpx->point_depth > 0 ? "a track point" : "an element",
                           XML_ErrorString(error));
    }
    return problem_set(problem, "line %" PRIu64 ", column %" PRIu64 ": this is no sound XML: %s",
                       line_of(gpx), (uint64_t)PARSER_AT(ColumnNumber, gpx->parser) + 1,
                       XML_ErrorString(error));
}

bool ride_gpx_feed(struct ride_gpx *gpx, const char *bytes, size_t length, struct problem *problem)
{
    for (size_t at = 0; at < length;) {
        size_t piece = length - at < CHUNK_BYTES ? length - at : CHUNK_BYTES;
        gpx->fed += piece;
        if (!parse(gpx, bytes + at, piece, false, problem)) {
            return false;
        }
        if (gpx->fed - gpx->event_byte > RIDE_PIECE_MOST) {
            return refuse_long_piece(gpx, problem);
        }
        at += piece;
    }
    return true;
}

struct ride *ride_gpx_finish(struct ride_gpx *gpx, struct problem *problem)
{
    if (!parse(gpx, "", 0, true, problem)) {
        return NULL;
    }
    struct ride *ride = gpx->intake.ride;
    if (gpx->points == 0) {
        problem_set(problem, "no track points (trkpt) are in it: routes and waypoints are no ride");
        return NULL;
    }
    ride->passed[RIDE_PASSED_NO_TIME] += gpx->no_time;
    ride->passed[RIDE_PASSED_NO_NUMBER] += gpx->no_number;
    if (gpx->intake.known[RIDE_POWER] == 0 && ride->count > 0) {
        problem_set(problem, "no power is in it: GPX has none of its own, and no point's "
                             "extensions have an element called power or watts");
        return NULL;
    }
    if (!ride_intake_finish(&gpx->intake, problem)) {
        return NULL;
    }
    gpx->intake.ride = NULL;
    return ride;
}
