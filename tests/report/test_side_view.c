/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/geometry.h"
#include "report/side_view.h"
#include "support/bikes.h"
#include "support/test_main.h"
#include "support/test_seed.h"

#include "base/random.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Drawings checked by reading their coordinates back. */
#define SEED 20260114

static struct bike_values worked_bike(void)
{
    struct bike_values bike = usual_bike();
    bike.value[BIKE_SADDLE_HEIGHT] = 760;
    bike.value[BIKE_SEAT_ANGLE] = 74;
    return bike;
}

struct drawing {
    const struct side_view *view, *before;
    bool as_svg, ascii;
    int width, rows;
};

static char *drawn(const struct drawing *drawing)
{
    char *text = NULL;
    size_t size = 0;
    FILE *stream = open_memstream(&text, &size);
    ck_assert_ptr_nonnull(stream);
    bool done =
        drawing->as_svg
            ? side_view_svg(stream, drawing->view, drawing->before, "a <bike> & \"more\"", NULL)
            : side_view_text(stream, drawing->view, drawing->before, drawing->width, drawing->rows,
                             drawing->ascii, NULL);
    ck_assert(done);
    ck_assert_int_eq(fclose(stream), 0);
    return text;
}

static bool circle_at(const char *svg, const char *id, struct point *at)
{
    char wanted[64];
    snprintf(wanted, sizeof wanted, "<circle id=\"%s\" ", id);
    const char *found = strstr(svg, wanted);
    return found &&
           sscanf(found + strlen(wanted), "cx=\"%lf\" cy=\"%lf\"", &at->x_mm, &at->y_mm) == 2;
}

static void check_circle(const char *svg, const char *id, struct point wanted)
{
    struct point at;
    ck_assert_msg(circle_at(svg, id, &at), "no circle %s", id);
    ck_assert_double_eq_tol(at.x_mm, wanted.x_mm, 0.0051);
    ck_assert_double_eq_tol(at.y_mm, -wanted.y_mm, 0.0051);
}

/* The bike of the worked example. */
START_TEST(svg_of_the_worked_bike)
{
    struct bike_values bike = worked_bike();
    struct side_view view;
    ck_assert(side_view_make(&bike, &bike, NULL, 0, &view, NULL));
    char *svg = drawn(&(struct drawing){.view = &view, .as_svg = true});
    check_circle(svg, "now-bottom_bracket", (struct point){0, 0});
    check_circle(svg, "now-bar_clamp", (struct point){488.305, 578.252});
    check_circle(svg, "now-pads", (struct point){468.305, 633.252});
    check_circle(svg, "now-extension_tip", (struct point){788.305, 603.252});
    check_circle(svg, "now-saddle", (struct point){-209.484, 730.559});
    check_circle(svg, "now-head_tube_top", (struct point){400, 540});
    ck_assert_ptr_null(strstr(svg, "id=\"before"));
    ck_assert_ptr_nonnull(strstr(svg, "<title>a &lt;bike&gt; &amp; &quot;more&quot;</title>"));
    ck_assert_ptr_nonnull(strstr(svg, "pads  468, 633</text>"));
    free(svg);
}
END_TEST

START_TEST(svg_of_random_bikes_before_and_after)
{
    struct random_source source;
    random_seed(&source, test_seed(SEED));
    for (int i = 0; i < 200; i++) {
        struct bike_values bike = random_bike(&source), before = random_bike(&source);
        struct bike_points now, then;
        struct side_view view, earlier;
        struct side_sensor sensor = {"head", {CARRIER_BASE_BAR, 120, 40, 5, 1}};
        struct sensor_position at;
        ck_assert(bike_forward(&bike, &now, NULL) && bike_forward(&before, &then, NULL));
        ck_assert(side_view_make(&bike, &before, &sensor, 1, &view, NULL));
        ck_assert(side_view_make(&before, &before, NULL, 0, &earlier, NULL));
        ck_assert(sensor_locate(&bike, &before, &sensor.mount, &at, NULL));
        char *svg = drawn(&(struct drawing){.view = &view, .before = &earlier, .as_svg = true});
        check_circle(svg, "now-bar_clamp", now.clamp);
        check_circle(svg, "now-extension_tip", now.extension_tip);
        check_circle(svg, "now-head", (struct point){at.x_mm, at.y_mm});
        check_circle(svg, "before-pads", then.pad);
        /* All of it is on the page. */
        double x, y, width, height;
        const char *box = strstr(svg, "viewBox=\"");
        ck_assert_ptr_nonnull(box);
        ck_assert_int_eq(sscanf(box, "viewBox=\"%lf %lf %lf %lf\"", &x, &y, &width, &height), 4);
        for (const char *line = svg; (line = strstr(line, "<line ")); line++) {
            double end[4];
            const char *numbers = strstr(line, "x1=");
            ck_assert_int_eq(sscanf(numbers, "x1=\"%lf\" y1=\"%lf\" x2=\"%lf\" y2=\"%lf\"", &end[0],
                                    &end[1], &end[2], &end[3]),
                             4);
            for (int k = 0; k < 4; k += 2) {
                ck_assert_double_ge(end[k], x - 0.02);
                ck_assert_double_le(end[k], x + width + 0.02);
                ck_assert_double_ge(end[k + 1], y - 0.02);
                ck_assert_double_le(end[k + 1], y + height + 0.02);
            }
        }
        free(svg);
    }
}
END_TEST

/* The bike, its front enlarged under it in the same scale both ways, on the page and not over one
 * another; letters that are readable where the page is 70 mm wide. */
START_TEST(the_front_is_enlarged_under_the_bike)
{
    struct random_source source;
    random_seed(&source, test_seed(SEED));
    for (int i = 0; i < 200; i++) {
        struct bike_values bike = i == 0 ? worked_bike() : random_bike(&source);
        struct bike_values before = i == 0 ? worked_bike() : random_bike(&source);
        struct side_view view, earlier;
        struct bike_points points;
        char *svg = NULL;
        size_t size = 0;
        double x, y, width, height, letters, by_x, by_y, times;
        ck_assert(side_view_make(&bike, &bike, NULL, 0, &view, NULL));
        ck_assert(side_view_make(&before, &before, NULL, 0, &earlier, NULL));
        ck_assert(bike_forward(&bike, &points, NULL));
        FILE *stream = open_memstream(&svg, &size);
        ck_assert(side_view_front_svg(stream, &view, i % 2 == 0 ? NULL : &earlier, "bike", NULL));
        ck_assert_int_eq(fclose(stream), 0);
        check_circle(svg, "now-bar_clamp", points.clamp);
        ck_assert_int_eq(sscanf(strstr(svg, "viewBox="),
                                "viewBox=\"%lf %lf %lf %lf\" font-size=\"%lf\"", &x, &y, &width,
                                &height, &letters),
                         5);
        ck_assert_double_ge(letters * 70.0 / width, 3.0); /* 8.5 points */
        char *larger = strstr(svg, "<g class=\"larger\"");
        ck_assert_ptr_nonnull(larger);
        ck_assert_int_eq(sscanf(strstr(larger, "translate("), "translate(%lf %lf) scale(%lf)",
                                &by_x, &by_y, &times),
                         3);
        ck_assert(i > 0 || times > 1.5); /* a usual bike's front */
        ck_assert((strstr(larger, "class=\"before\"") != NULL) == (i % 2 != 0));
        double end[4], top = y + height;
        for (const char *line = larger; (line = strstr(line, "<line ")); line++) {
            ck_assert_int_eq(sscanf(strstr(line, "x1="),
                                    "x1=\"%lf\" y1=\"%lf\" x2=\"%lf\" y2=\"%lf\"", &end[0], &end[1],
                                    &end[2], &end[3]),
                             4);
            for (int k = 0; k < 4; k += 2) {
                double at_x = by_x + times * end[k], at_y = by_y + times * end[k + 1];
                ck_assert_double_ge(at_x, x - 0.5);
                ck_assert_double_le(at_x, x + width + 0.5);
                ck_assert_double_le(at_y, y + height + 0.5);
                top = fmin(top, at_y);
            }
        }
        ck_assert_double_ge(top, -fmin(view.low.y_mm, i % 2 == 0 ? 0.0 : earlier.low.y_mm));
        /* the clamp's letter stands beside the clamp */
        char *letter = strstr(svg, ">c</text>");
        ck_assert_ptr_nonnull(letter);
        while (*letter != '<' || strncmp(letter, "<text", 5) != 0) {
            letter--;
        }
        ck_assert_int_eq(sscanf(letter, "<text x=\"%lf\" y=\"%lf\"", &end[0], &end[1]), 2);
        ck_assert_double_le(hypot(end[0] - (by_x + times * points.clamp.x_mm),
                                  end[1] - (by_y - times * points.clamp.y_mm)),
                            1.5 * letters);
        free(svg);
    }
}
END_TEST

/* Without a saddle only what carries the bar is drawn, all of it on the page: not every reader of
 * SVG cuts off what stands outside. */
START_TEST(the_front_stands_alone_without_a_saddle)
{
    struct bike_values bike = worked_bike();
    struct side_view view;
    char *svg = NULL;
    size_t size = 0;
    double x, y, width, height;
    bike.value[BIKE_SEAT_ANGLE] = NAN;
    ck_assert(side_view_make(&bike, &bike, NULL, 0, &view, NULL));
    FILE *stream = open_memstream(&svg, &size);
    ck_assert(side_view_front_svg(stream, &view, NULL, "bike", NULL));
    ck_assert_int_eq(fclose(stream), 0);
    ck_assert_int_eq(
        sscanf(strstr(svg, "viewBox="), "viewBox=\"%lf %lf %lf %lf\"", &x, &y, &width, &height), 4);
    ck_assert_ptr_null(strstr(svg, "<line class=\"frame\""));
    ck_assert_ptr_nonnull(strstr(svg, "<line class=\"stem\""));
    for (const char *line = svg; (line = strstr(line, "<line ")); line++) {
        double x1, y1, x2, y2;
        ck_assert_int_eq(sscanf(strstr(line, "x1="), "x1=\"%lf\" y1=\"%lf\" x2=\"%lf\" y2=\"%lf\"",
                                &x1, &y1, &x2, &y2),
                         4);
        ck_assert(fmin(x1, x2) >= x - 0.5 && fmax(x1, x2) <= x + width + 0.5);
        ck_assert(fmin(y1, y2) >= y - 0.5 && fmax(y1, y2) <= y + height + 0.5);
    }
    free(svg);
}
END_TEST

/* The drawing as a grid of code points. */
struct letters {
    int rows, columns;
    unsigned code[60][200];
};

static void read_letters(const char *text, struct letters *letters)
{
    memset(letters, 0, sizeof *letters);
    int column = 0;
    for (const unsigned char *at = (const unsigned char *)text; *at;) {
        if (*at == '\n') {
            letters->rows++;
            column = 0;
            at++;
            continue;
        }
        unsigned code = *at;
        int length = 1;
        if (code >= 0xe0) {
            code = (code & 0x0fu) << 12 | (at[1] & 0x3fu) << 6 | (at[2] & 0x3fu);
            length = 3;
        }
        ck_assert_int_lt(letters->rows, 60);
        ck_assert_int_lt(column, 200);
        letters->code[letters->rows][column++] = code;
        letters->columns = column > letters->columns ? column : letters->columns;
        at += length;
    }
}

static bool find_letter(const struct letters *letters, unsigned code, int rows, int *row,
                        int *column)
{
    for (*row = 0; *row < rows; ++*row) {
        for (*column = 0; *column < letters->columns; ++*column) {
            if (letters->code[*row][*column] == code) {
                return true;
            }
        }
    }
    return false;
}

static void check_letters(bool ascii, int width, int rows)
{
    struct bike_values bike = worked_bike();
    struct bike_points points;
    struct side_view view;
    static struct letters letters;
    ck_assert(bike_forward(&bike, &points, NULL));
    ck_assert(side_view_make(&bike, &bike, NULL, 0, &view, NULL));
    char *text =
        drawn(&(struct drawing){.view = &view, .ascii = ascii, .width = width, .rows = rows});
    double wide, high;
    const char *scale = strstr(text, "a letter is ");
    ck_assert_ptr_nonnull(scale);
    ck_assert_int_eq(sscanf(scale, "a letter is %lf mm wide and %lf mm high", &wide, &high), 2);
    ck_assert_double_eq_tol(high, 2 * wide, 1e-9);
    char *legend = strstr(text, "b bottom bracket");
    ck_assert_ptr_nonnull(legend);
    *legend = '\0';
    read_letters(text, &letters);
    ck_assert_int_le(letters.columns, width);
    ck_assert_int_le(letters.rows, rows);
    int row0, column0, row, column;
    ck_assert(find_letter(&letters, 'b', letters.rows, &row0, &column0));
    const struct {
        unsigned letter;
        struct point at;
    } wanted[] = {
        {'c', points.clamp}, {'p', points.pad}, {'t', points.extension_tip}, {'s', points.saddle}};
    for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
        ck_assert_msg(find_letter(&letters, wanted[i].letter, letters.rows, &row, &column), "no %c",
                      (char)wanted[i].letter);
        ck_assert_double_le(fabs((column - column0) * wide - wanted[i].at.x_mm), wide);
        ck_assert_double_le(fabs((row0 - row) * high - wanted[i].at.y_mm), high);
    }
    /* Halfway along the down tube and the extension something is drawn, and not above the saddle.
     */
    struct point on[] = {{0.5 * (400 + 120 * cos(1.274)), 0.5 * (540 - 120 * sin(1.274))},
                         {0.5 * (points.extension_root.x_mm + points.extension_tip.x_mm),
                          points.extension_tip.y_mm}};
    for (int i = 0; i < 2; i++) {
        bool there = false;
        for (int dr = -1; dr <= 1; dr++) {
            for (int dc = -1; dc <= 1; dc++) {
                row = row0 - (int)floor(on[i].y_mm / high) + dr;
                column = column0 + (int)floor(on[i].x_mm / wide) + dc;
                unsigned code = row >= 0 && column >= 0 ? letters.code[row][column] : 0;
                there = there || (ascii ? code > ' ' : code > 0x2800 && code <= 0x28ff);
            }
        }
        ck_assert_msg(there, "nothing at %.0f, %.0f", on[i].x_mm, on[i].y_mm);
    }
    for (column = 0; ascii && column < letters.columns; column++) {
        for (row = 0; row < letters.rows; row++) {
            ck_assert_uint_lt(letters.code[row][column], 0x80);
        }
    }
    free(text);
}

START_TEST(letters_stand_where_the_points_are)
{
    check_letters(false, 80, 30);
    check_letters(true, 80, 30);
    check_letters(false, 40, 12);
    check_letters(true, 120, 50);
    check_letters(true, 30, 40);
}
END_TEST

START_TEST(a_bike_without_its_numbers_is_not_drawn)
{
    struct bike_values bike = worked_bike();
    struct side_view view;
    struct problem problem = {PROBLEM_NONE, ""};
    bike.value[BIKE_REACH] = NAN;
    ck_assert(!side_view_make(&bike, &bike, NULL, 0, &view, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "reach"));
    /* A sensor of unknown height is left out, one on a stand is drawn. */
    bike = worked_bike();
    struct side_sensor sensors[2] = {{"head", {CARRIER_BASE_BAR, 120, NAN, 0, 1}},
                                     {"chest", {CARRIER_STAND, 500, 300, 0, -1}}};
    ck_assert(side_view_make(&bike, &bike, sensors, 2, &view, NULL));
    ck_assert_str_eq(view.mark[view.mark_count - 1].key, "chest");
    ck_assert_str_ne(view.mark[view.mark_count - 2].key, "head");
    ck_assert_double_eq_tol(view.stroke[view.stroke_count - 1].to.y_mm, 100, 1e-9);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("side view");
    TCase *tests = tcase_create("side view");
    tcase_add_test(tests, svg_of_the_worked_bike);
    tcase_add_test(tests, svg_of_random_bikes_before_and_after);
    tcase_add_test(tests, the_front_is_enlarged_under_the_bike);
    tcase_add_test(tests, the_front_stands_alone_without_a_saddle);
    tcase_add_test(tests, letters_stand_where_the_points_are);
    tcase_add_test(tests, a_bike_without_its_numbers_is_not_drawn);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
