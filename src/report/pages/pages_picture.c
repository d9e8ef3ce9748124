/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Pictures: the same SVG as everywhere, rendered into the page. */
#include "pages_inside.h"

#include "report/svg.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define BESIDE 0.42    /* of the width, for a picture that stands beside text */
#define BESIDE_HIGH 30 /* lines at most */
#define GAP 12.0
#define SHRINK 0.95 /* a picture may be so much smaller before it goes to the next page */

static bool draw(struct pages *pages, RsvgHandle *picture, double x, double width, double height,
                 struct problem *problem)
{
    RsvgRectangle place = {x, pages->y, width, height};
    GError *error = NULL;
    if (pages->cairo == NULL) {
        return true;
    }
    pages_list(pages, false);
    pages_leaf_begin(pages, "Figure");
    bool drawn = pages->use.rsvg_handle_render_document(picture, pages->cairo, &place, &error);
    pages_leaf_end(pages);
    if (drawn) {
        return true;
    }
    problem_set(problem, "a picture of the report: %s", error->message);
    pages->use.g_error_free(error);
    return false;
}

/* The size that our pictures say in their first line, in dots; false where none is said. */
static bool said_size(const char *svg, double *width, double *height)
{
    static const char *const names[] = {" width=\"", " height=\""};
    const char *end = strchr(svg, '>');
    long dots[2] = {0, 0};
    for (int i = 0; i < 2; i++) {
        const char *at = strstr(svg, names[i]);
        dots[i] =
            at != NULL && end != NULL && at < end ? strtol(at + strlen(names[i]), NULL, 10) : 0;
    }
    *width = (double)dots[0];
    *height = (double)dots[1];
    return dots[0] > 0 && dots[1] > 0;
}

/* picture NULL: only its place is wanted. */
static bool set_picture(struct pages *pages, enum picture_place place, RsvgHandle *picture,
                        double natural_width, double natural_height, struct problem *problem)
{
    double size = pages->settings.size_pt, across = pages->right - pages->left;
    bool beside = place == PICTURE_BESIDE;
    double width = beside ? BESIDE * across : fmin(across, natural_width * across / SVG_WIDTH);
    width *= place == PICTURE_LARGE ? pages->picture_scale : 1;
    double most = beside ? BESIDE_HIGH * size : pages->bottom - pages->top;
    double height = width * natural_height / natural_width;
    if (height > most) {
        width *= most / height;
        height = most;
    }
    double left = pages->bottom - fmax(pages->y, pages->beside_bottom);
    if (!beside && height > left && left >= SHRINK * height) {
        width *= left / height;
        height = left;
    }
    pages_room(pages, height);
    double x = beside ? pages->right - width : pages->left;
    if (!beside) {
        pages->y = fmax(pages->y, pages->beside_bottom);
        pages_room(pages, height);
    }
    bool done = draw(pages, picture, x, width, height, problem);
    if (beside) {
        pages->beside_left = x - GAP;
        pages->beside_bottom = pages->y + height + 4;
    } else {
        pages->y += height + 0.5 * size;
    }
    return done;
}

bool pages_picture(struct pages *pages, enum picture_place place, const char *svg,
                   struct problem *problem)
{
    GError *error = NULL;
    double width = 0, height = 0;
    if (pages->cairo == NULL && said_size(svg, &width, &height)) { /* it is only counted */
        return set_picture(pages, place, NULL, width, height, problem);
    }
    RsvgHandle *picture =
        pages->use.rsvg_handle_new_from_data((const guint8 *)svg, strlen(svg), &error);
    if (picture == NULL) {
        problem_set(problem, "a picture of the report: %s", error->message);
        pages->use.g_error_free(error);
        return false;
    }
    pages->use.rsvg_handle_set_dpi(picture, 96);
    bool sized = pages->use.rsvg_handle_get_intrinsic_size_in_pixels(picture, &width, &height) &&
                 width > 0 && height > 0;
    bool done = sized ? set_picture(pages, place, picture, width, height, problem)
                      : problem_set(problem, "a picture of the report has no size");
    pages->use.g_object_unref(picture);
    return done;
}
