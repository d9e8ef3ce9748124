/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_PACKAGE_PYTHON_H
#define HOLDLINE_APP_PACKAGE_PYTHON_H

/* How every Python script of a package reads its tables: each is a file that runs alone. */

/* clang-format off */
#define PACKAGE_PYTHON_TABLES \
    "import csv\n", \
    "import math\n", \
    "import sys\n", \
    "\n", \
    "\n", \
    "def table(name):\n", \
    "    with open(name, newline=\"\", encoding=\"utf-8\") as file:\n", \
    "        return list(csv.DictReader(file))\n", \
    "\n", \
    "\n", \
    "def number(text):\n", \
    "    return float(text) if text != \"\" else math.nan\n", \
    "\n", \
    "\n", \
    "def mean(values):\n", \
    "    return sum(values) / len(values)\n", \
    "\n", \
    "\n"
/* clang-format on */

#endif
