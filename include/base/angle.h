/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_ANGLE_H
#define HOLDLINE_BASE_ANGLE_H

#define PI 3.14159265358979323846
#define TWO_PI (2.0 * PI)
#define RADIANS_PER_DEGREE (PI / 180.0)

#endif
