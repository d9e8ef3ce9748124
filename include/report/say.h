#ifndef HOLDLINE_REPORT_SAY_H
#define HOLDLINE_REPORT_SAY_H

#include "bike/tie.h"
#include "measure/compare.h"
#include "record/record.h"

#include <stddef.h>
#include <stdint.h>

/* Numbers and findings as a fitter reads them: whole millimetres, '.' in every locale, the same
 * words on every sheet. What is not known (not finite) is written as '-'. Every text fits into 256
 * bytes. */
#define SAY_SIZE 256

/* '884', '-3', '-'. */
void say_whole(char *text, size_t size, double value);
/* Rounded to decimals: '3.4', '-'. */
void say_number(char *text, size_t size, double value, int decimals);
/* With its sign: '+14', '-3', '0'. */
void say_signed(char *text, size_t size, double value, int decimals);
/* '884 ±3'; without an interval '884'. The half-width is rounded up, so it is never shown as 0. */
void say_mean(char *text, size_t size, double mean, bool has_interval, double half_width);
/* A share (0..1) in per cent: '87 %'. */
void say_percent(char *text, size_t size, double share);
/* '23 s', '60 s', '2 min', '2 min 5 s', '1 h 2 min'. */
void say_duration(char *text, size_t size, double seconds);
/* Place on the session's axis: '4:05', '1:02:09'. */
void say_clock(char *text, size_t size, double seconds);
/* '2026-01-10 18:00 UTC'. */
void say_date(char *text, size_t size, int64_t unix_ms);
/* 'setup 1', 'setups 1 and 3', 'setups 1, 2 and 4'; numbers in the order given. */
void say_list(char *text, size_t size, const char *one, const char *many, const int *numbers,
              int count);

/* Is there a likeliest value? Not for the baseline, nor for what can't be compared. */
bool say_has_value(const struct setup_difference *difference);
/* What would settle it: '2 more holds', 'read the plate'; empty for ADVICE_NONE. */
void say_advice(char *text, size_t size, enum compare_advice advice, int holds);
/* The same in a rider's words: '20 mm lower (8 to 32)', 'likely 6 mm lower, but that may be
 * chance'.
 */
void say_plainly(char *text, size_t size, const struct setup_difference *difference);
/* As report_difference_words, for a difference of in-band shares (0..1): 'less by 12 (4 to 20)
 * points'. Points are hundredths of the time. */
void say_share_difference(char *text, size_t size, const struct setup_difference *difference);

/* How a sensor's height is known on a build: 'plate: 19 mm down ±2', 'not tied: ...', 'does not
 * move'. The ± is twice the standard uncertainty. */
void say_tie(char *text, size_t size, const struct tie *tie);
/* Common and own part of a tie's standard uncertainty, in quadrature, mm. */
double say_tie_uncertainty_mm(const struct tie *tie);

const char *say_sees_ahead(enum sees_ahead answer); /* 'yes', 'strained', 'no: FAILED', '-' */
const char *say_answer(enum answer answer);         /* 'yes', 'no', '-' */
const char *say_role(enum channel_role role);       /* 'body', 'reference', 'auxiliary' */
const char *say_hold_status(enum hold_status status);
/* '+10/-20', '+8/none'. */
void say_band(char *text, size_t size, const struct cue_settings *cue);

#endif
