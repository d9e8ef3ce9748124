/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/palette.h"
#include "support/test_main.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

/* Contrast by WCAG 2 of every pair of colours that is drawn, and of the formula itself. */

struct known {
    uint8_t a[3], b[3];
    double contrast;
};

/* Values computed with the formula of WCAG 2.x (relative luminance, contrast ratio) outside of this
 * program, and printed by the W3C's own explanations where they are round (white on black 21,
 * CA0000 on white about 6). */
static const struct known known[] = {
    {{255, 255, 255}, {0, 0, 0}, 21.0},
    {{255, 255, 255}, {255, 255, 255}, 1.0},
    {{0x33, 0x66, 0xCC}, {0, 0, 0}, 3.913236616272323},
    {{0xCA, 0x00, 0x00}, {255, 255, 255}, 5.9806716455729445},
    {{0x76, 0x76, 0x76}, {255, 255, 255}, 4.542224959605253},
    {{0x59, 0x59, 0x59}, {255, 255, 255}, 7.004729208035935},
    {{0xF9, 0xF9, 0xF9}, {0x19, 0x31, 0x46}, 12.711836864368358},
    {{0x00, 0x9E, 0x73}, {0, 0, 0}, 6.1383048833516805},
    {{0xE6, 0x9F, 0x00}, {0, 0, 0}, 9.323853664396687},
    {{0xCC, 0x79, 0xA7}, {0, 0, 0}, 6.860426817125674},
};

/* Red, green and blue of a colour number as xterm has it (0 to 255). */
static void palette_rgb(int colour, uint8_t rgb[3])
{
    static const uint8_t basic[16][3] = {
        {0, 0, 0},       {205, 0, 0},   {0, 205, 0},   {205, 205, 0},
        {0, 0, 238},     {205, 0, 205}, {0, 205, 205}, {229, 229, 229},
        {127, 127, 127}, {255, 0, 0},   {0, 255, 0},   {255, 255, 0},
        {92, 92, 255},   {255, 0, 255}, {0, 255, 255}, {255, 255, 255},
    };
    if (colour < 16) {
        for (int i = 0; i < 3; i++) {
            rgb[i] = basic[colour < 0 ? 0 : colour][i];
        }
    } else if (colour < 232) {
        int number = colour - 16, part[3] = {number / 36, number / 6 % 6, number % 6};
        for (int i = 0; i < 3; i++) {
            rgb[i] = (uint8_t)(part[i] == 0 ? 0 : 55 + 40 * part[i]);
        }
    } else {
        rgb[0] = rgb[1] = rgb[2] = (uint8_t)(8 + 10 * (colour - 232));
    }
}

static double luminance(const uint8_t rgb[3])
{
    static const double share[3] = {0.2126, 0.7152, 0.0722};
    double sum = 0.0;
    for (int i = 0; i < 3; i++) {
        double value = rgb[i] / 255.0;
        sum += share[i] * (value <= 0.04045 ? value / 12.92 : pow((value + 0.055) / 1.055, 2.4));
    }
    return sum;
}

/* 1 to 21 (WCAG 2: relative luminance, contrast ratio). */
static double palette_contrast(const uint8_t a[3], const uint8_t b[3])
{
    double first = luminance(a), second = luminance(b);
    double bright = first > second ? first : second, dark = first > second ? second : first;
    return (bright + 0.05) / (dark + 0.05);
}

START_TEST(formula)
{
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        ck_assert_double_eq_tol(palette_contrast(known[i].a, known[i].b), known[i].contrast, 1e-12);
        ck_assert_double_eq_tol(palette_contrast(known[i].b, known[i].a), known[i].contrast, 1e-12);
    }
}
END_TEST

static double contrast_of(struct palette_entry entry)
{
    uint8_t letter[3], ground[3];
    palette_rgb(entry.letter, letter);
    palette_rgb(entry.ground, ground);
    return palette_contrast(letter, ground);
}

static bool is_field(enum style style)
{
    return style >= STYLE_IN && style <= STYLE_INPUT;
}

START_TEST(pairs_of_256)
{
    static const uint8_t black[3] = {0, 0, 0}, white[3] = {255, 255, 255};
    for (int s = 0; s < STYLES; s++) {
        enum style style = (enum style)s;
        struct palette_entry entry = palette_entry(style, COLOURS_256);
        if (is_field(style)) {
            /* black words on a colour of its own: 6:1 or better on any terminal */
            ck_assert_msg(entry.letter >= 0 && entry.ground >= 0,
                          "style %d leans on the terminal's ground", s);
            ck_assert_msg(contrast_of(entry) >= 6.0, "style %d: %.2f", s, contrast_of(entry));
        } else if (entry.letter >= 0 && entry.ground >= 0) {
            /* words on the panel 4.5:1; lines, curves and bars 3:1 (WCAG 2, 1.4.3 and 1.4.11) */
            double least = style == STYLE_PANEL || style == STYLE_BAND ||
                                   style == STYLE_PANEL_LINE || style == STYLE_BAND_LINE
                               ? 4.5
                               : 3.0;
            ck_assert_msg(contrast_of(entry) >= least, "style %d: %.2f", s, contrast_of(entry));
        } else if (entry.letter >= 0) {
            /* on the terminal's own ground, whatever it is */
            uint8_t letter[3];
            palette_rgb(entry.letter, letter);
            ck_assert_double_ge(palette_contrast(letter, black), 4.5);
            ck_assert_double_ge(palette_contrast(letter, white), 4.5);
        }
    }
}
END_TEST

START_TEST(pairs_of_8)
{
    for (int s = 0; s < STYLES; s++) {
        struct palette_entry entry = palette_entry((enum style)s, COLOURS_8);
        ck_assert_int_lt(entry.letter, 8);
        ck_assert_int_lt(entry.ground, 8);
        if (entry.letter >= 0 && entry.ground >= 0) {
            /* the eight colours are the terminal's: with xterm's values */
            ck_assert_msg(contrast_of(entry) >= 4.4, "style %d: %.2f", s, contrast_of(entry));
        }
    }
}
END_TEST

START_TEST(nothing_by_colour_alone)
{
    /* without colours the fields are still fields, and no colour number is left */
    for (int s = 0; s < STYLES; s++) {
        struct palette_entry entry = palette_entry((enum style)s, COLOURS_NONE);
        ck_assert_int_eq(entry.letter, -1);
        ck_assert_int_eq(entry.ground, -1);
        ck_assert(!is_field((enum style)s) || entry.reverse);
    }
    /* the three cues differ from each other in lightness or hue by 256 colours' numbers */
    int in = palette_entry(STYLE_IN, COLOURS_256).ground,
        high = palette_entry(STYLE_HIGH, COLOURS_256).ground,
        low = palette_entry(STYLE_LOW, COLOURS_256).ground;
    ck_assert(in != high && high != low && in != low);
}
END_TEST

START_TEST(nearest_of_the_published_hues)
{
    /* Okabe and Ito (2008): bluish green 009E73, orange E69F00, reddish purple CC79A7, sky blue
     * 56B4E9, yellow F0E442. What 256 colours have may be off by one step of their cube (40 of 255)
     * a channel at most. */
    static const struct {
        enum style style;
        uint8_t rgb[3];
    } hues[] = {
        {STYLE_IN, {0x00, 0x9E, 0x73}},      {STYLE_HIGH, {0xE6, 0x9F, 0x00}},
        {STYLE_LOW, {0xCC, 0x79, 0xA7}},     {STYLE_NEXT, {0x56, 0xB4, 0xE9}},
        {STYLE_WARNING, {0xF0, 0xE4, 0x42}}, {STYLE_NO_READING, {0x99, 0x99, 0x99}},
    };
    for (size_t i = 0; i < sizeof hues / sizeof hues[0]; i++) {
        uint8_t rgb[3];
        palette_rgb(palette_entry(hues[i].style, COLOURS_256).ground, rgb);
        for (int c = 0; c < 3; c++) {
            ck_assert_int_le(abs(rgb[c] - hues[i].rgb[c]), 40);
        }
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("palette");
    TCase *tcase = tcase_create("palette");
    tcase_add_test(tcase, formula);
    tcase_add_test(tcase, pairs_of_256);
    tcase_add_test(tcase, pairs_of_8);
    tcase_add_test(tcase, nothing_by_colour_alone);
    tcase_add_test(tcase, nearest_of_the_published_hues);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
