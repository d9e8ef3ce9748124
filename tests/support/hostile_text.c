/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/hostile_text.h"

#include "support/hostile_store.h"

#include "record/stored.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>

static const char *const pieces[] = {
    "\033]0;owned\007",
    "\033]52;c;b3duZWQ=\033\\",
    "\033c",
    "\033[2J",
    "\033[31;5m",
    "\033P1$r0m\033\\",
    "\033[6n",
    "\033(0",
    "\233"
    "2J", /* CSI as a byte */
    "\302\233"
    "2J", /* CSI as UTF-8 */
    "\302\235"
    "0;owned\302\234", /* OSC and ST as UTF-8 */
    "\302\205",        /* next line */
    "\a",
    "\b\b\b",
    "\r",
    "\n",
    "\t",
    "\177",
    "\016",
    "\342\200\256",     /* right-to-left override */
    "\342\201\246",     /* left-to-right isolate */
    "\342\200\217",     /* right-to-left mark */
    "\330\234",         /* Arabic letter mark */
    "\342\200\213",     /* zero-width space */
    "\342\200\215",     /* zero-width joiner */
    "\342\201\240",     /* word joiner */
    "\357\273\277",     /* byte order mark */
    "\342\200\250",     /* line separator */
    "\363\240\201\201", /* tag A */
    "\357\270\217",     /* variation selector 16 */
    "\302\255",         /* soft hyphen */
    "\357\277\276",     /* U+FFFE */
    "\303(",
    "\355\240\200",
    "\364\220\200\200",
    "\300\257",
    "\377",
    "=1+1",
    "+cmd|' /C calc'!A0",
    "@SUM(1)",
    "<script>alert(1)</script>",
    "&amp;",
    "]]>",
    "%s%n%x",
    "$(id)",
    "a",
    "low bars",
    "\303\251",
    "\346\274\242",
    "e\314\201",
};
#define PIECES (sizeof pieces / sizeof pieces[0])

void hostile_text(struct random_source *random, char *text, size_t size)
{
    size_t used = 0;
    int count = 1 + (int)(random_uniform(random) * 4);
    for (int i = 0; i <= count; i++) {
        const char *piece =
            i == count / 2 ? HOSTILE_WORD : pieces[(size_t)(random_uniform(random) * PIECES)];
        if (used + strlen(piece) + sizeof HOSTILE_WORD < size) {
            used += (size_t)snprintf(text + used, size - used, "%s", piece);
        }
    }
}

/* A list of the test's own, so that it does not believe what it tries. */
static bool must_not_be(uint32_t character)
{
    static const uint32_t spans[][2] = {
        {0x00, 0x1F},     {0x7F, 0x9F},     {0xAD, 0xAD},     {0x61C, 0x61C},
        {0x200B, 0x200F}, {0x2028, 0x202E}, {0x2060, 0x206F}, {0xFE00, 0xFE0F},
        {0xFEFF, 0xFEFF}, {0xFFF9, 0xFFFB}, {0xFFFE, 0xFFFF}, {0xE0000, 0xE0FFF},
    };
    for (size_t i = 0; i < sizeof spans / sizeof spans[0]; i++) {
        if (character >= spans[i][0] && character <= spans[i][1]) {
            return true;
        }
    }
    return false;
}

/* Bytes of the sound character at text (RFC 3629, section 4); 0: it is none. */
static size_t sound_character(const unsigned char *text, size_t length, uint32_t *character)
{
    if (text[0] < 0x80) {
        *character = text[0];
        return 1;
    }
    size_t count = text[0] >= 0xF0 ? 4 : text[0] >= 0xE0 ? 3 : 2;
    if (text[0] < 0xC2 || text[0] > 0xF4 || count > length) {
        return 0;
    }
    unsigned char least = text[0] == 0xE0 ? 0xA0 : text[0] == 0xF0 ? 0x90 : 0x80;
    unsigned char most = text[0] == 0xED ? 0x9F : text[0] == 0xF4 ? 0x8F : 0xBF;
    uint32_t value = text[0] & (0x7FU >> count);
    for (size_t i = 1; i < count; i++) {
        if (text[i] < (i == 1 ? least : 0x80) || text[i] > (i == 1 ? most : 0xBF)) {
            return 0;
        }
        value = value << 6 | (text[i] & 0x3FU);
    }
    *character = value;
    return count;
}

const char *hostile_byte(const char *bytes, size_t length, const char *also)
{
    for (size_t at = 0; at < length;) {
        uint32_t character = 0;
        size_t count = sound_character((const unsigned char *)bytes + at, length - at, &character);
        bool line_end =
            bytes[at] == '\n' || (bytes[at] == '\r' && at + 1 < length && bytes[at + 1] == '\n');
        bool allowed = line_end || (bytes[at] != '\0' && strchr(also, bytes[at]) != NULL);
        if (count == 0 || (must_not_be(character) && !allowed)) {
            return bytes + at;
        }
        at += count;
    }
    return NULL;
}

/* ---- in a store ---- */

#define TEXT_MOST 60

static void put_text(char *sql, size_t size, const char *text)
{
    size_t used = (size_t)snprintf(sql, size, "CAST(x'");
    for (; *text != '\0'; text++) {
        used += (size_t)snprintf(sql + used, size - used, "%02x", (unsigned)(unsigned char)*text);
    }
    snprintf(sql + used, size - used, "' AS TEXT)");
}

void hostile_texts_of_store(const char *path, struct random_source *random)
{
    for (int id = 0; id < STORED_TABLES; id++) {
        const struct stored_table *table = stored_tables[id];
        for (int i = 0; i < table->field_count; i++) {
            char text[TEXT_MOST], value[4 * TEXT_MOST], sql[6 * TEXT_MOST];
            if (table->field[i].type == STORED_TEXT && id != TABLE_COMMAND) {
                size_t room =
                    table->field[i].size < sizeof text ? table->field[i].size : sizeof text;
                hostile_text(random, text, room);
                put_text(value, sizeof value, text);
                snprintf(sql, sizeof sql, "UPDATE %s SET %s = %s", table->name, table->field[i].key,
                         value);
                hostile_sql(path, sql);
            }
        }
    }
    hostile_sql(path, "DELETE FROM record_sum; DELETE FROM sample_sum");
}
