/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_NUMBERS_H
#define HOLDLINE_BASE_NUMBERS_H

#include <stdbool.h>
#include <stddef.h>

/* Numbers as a person reads them: '.' in every locale, or the decimal sign of the language that is
 * written in (base/language.h); what is not known (not finite) is written as '-'. Every text fits
 * into 256 bytes. */
#define SAY_SIZE 256

/* '884', '-3', '-'. */
void say_whole(char *text, size_t size, double value);
/* Rounded to decimals: '3.4', '-'. */
void say_number(char *text, size_t size, double value, int decimals);
/* With all its digits: '2.5', '20'; finite. */
void say_exact(char *text, size_t size, double value);
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
/* The same always in minutes ('0:41', '62:09'), or always with hours ('0:02:41'); nothing before 0.
 */
void say_minutes(char *text, size_t size, double seconds);
void say_hours(char *text, size_t size, double seconds);
/* A copy for screens and printed pages: a proper minus sign wherever a number begins with a hyphen;
 * '–' for '-'. */
void say_typeset(char *text, size_t size, const char *source);
/* '1', '1 and 3', '1, 2 and 4', '1 to 9 and 12': four in a row and more by their ends. */
void say_numbers(char *text, size_t size, const int *numbers, int count);
/* 'setup 1', 'setups 1 and 3', 'setups 1, 2 and 4'; numbers in the order given. */
void say_list(char *text, size_t size, const char *one, const char *many, const int *numbers,
              int count);

#endif
