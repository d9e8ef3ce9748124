/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RECORD_STORED_H
#define HOLDLINE_RECORD_STORED_H

#include "record/record.h"

/* What is stored of a session: a table for each kind of row, and a row here for each column. The
 * store makes its schema, writes and reads by these tables, and docs/schema.md is made from them.
 * The order is that of the columns; a new one comes last. Units are in the keys. */

enum stored_type {
    STORED_UUID,
    STORED_TEXT,
    STORED_WORD, /* an enumeration, by its list; a value without a word is NULL */
    STORED_KEY, /* a number by its key; a row with a key not known (a later one's) is passed over */
    STORED_TRUTH,   /* bool */
    STORED_INTEGER, /* int or, by its size, int64_t; where it is optional, 0 is NULL */
    STORED_MOMENT,  /* Unix time in ms, as a date and time */
    STORED_PLACE,   /* an index as 1, 2, ...; -1 is NULL */
    STORED_REAL,    /* not finite is NULL */
    STORED_SCORE,   /* a whole number in a double; NAN is NULL */
    STORED_ANSWER,  /* a word by its list, its value in a double; NAN, or a word not known, is NULL
                     */
    STORED_GIVEN,   /* not in the struct: what its key's or quantity's unit is, or a constant */
    STORED_KEPT,    /* a number that the store keeps itself */
};

/* Keys of an array's places. */
struct stored_keys {
    const char *(*key)(int index);
    int (*find)(const char *key); /* or -1 */
};

enum stored_table_id {
    TABLE_SESSION,
    TABLE_SESSION_RIDER,
    TABLE_SESSION_BIKE,
    TABLE_SESSION_BIKE_VALUE,
    TABLE_MATTERS,
    TABLE_LEARNT,
    TABLE_PART_LIMIT,
    TABLE_BOLT_TORQUE,
    TABLE_PLACING,
    TABLE_CHANNEL,
    TABLE_SETUP,
    TABLE_SETUP_VALUE,
    TABLE_BUILD,
    TABLE_TIE_READING,
    TABLE_CAPTURE,
    TABLE_TARGET,
    TABLE_TARGET_HEIGHT,
    TABLE_BAND,
    TABLE_BAND_CHANNEL,
    TABLE_HOLD,
    TABLE_MARK,
    TABLE_RATING,
    TABLE_NOTE,
    TABLE_SENSOR_CHECK,
    TABLE_SENSOR_CHECK_ASKED,
    TABLE_SENSOR_CHECK_NUMBER,
    TABLE_CUE_SOUND,
    TABLE_AIR,
    TABLE_RUN,
    TABLE_LEG,
    TABLE_LEG_PIECE,
    TABLE_COMMAND,
    STORED_TABLES,
};

#define STORED_REFUSED (-1000) /* as `otherwise`: the record is not read */

/* A real number beyond it is none that the program wrote. */
#define STORED_REAL_MOST 1e6
/* So far a record may be ahead of the samples that are stored (they are written in the order in
 * which they come, and a program can be killed between the two). */
#define STORED_SAMPLES_AHEAD 1000000

struct stored_field {
    const char *key; /* the column's name */
    enum stored_type type;
    size_t offset, size;      /* in the struct */
    size_t stride;            /* of an owned row: to the next one's */
    const char *words;        /* for readers of the store */
    bool optional;            /* may be NULL, as an empty text is then */
    bool needed;              /* NULL may be stored, and is nothing that could be worked with */
    bool spared;              /* of a place: the row is of use without what it points at */
    bool has_least, has_most; /* limits of what is stored */
    double least, most;
    double read_least,
        read_most;  /* of a number that is read; both 0: STORED_REAL_MOST to each side */
    bool is_sample; /* an integer: number of a sample of the session, or 0 */
    const struct word_list *list; /* of a word */
    int otherwise;                /* what a word that is not known is read as */
    bool any_word;                /* the store takes words that are not in the list */
    const struct stored_keys *keys;
    bool unlimited;                       /* a real: NULL is infinite, else it is not known */
    bool defaulted;                       /* 0 in rows from before the column was there */
    enum stored_table_id of;              /* of a place: in which table; TABLE_SESSION: in none */
    const char *references;               /* of a column that names a row of no record */
    const char *(*given)(const void *at); /* the text of what is given, from the field's place */
    const char *(*given_of)(int index);   /* or from the row's */
    int constant;                         /* else */
};

/* How rows are found in the struct. */
enum stored_shape {
    SHAPE_ONE,    /* one at most in a session */
    SHAPE_RECORD, /* by place in an array of the session's */
    SHAPE_OWNED,  /* by index in arrays of the owner's */
};

struct stored_table {
    const char *name;
    const char *what; /* as sentences call a row: 'tie reading' */
    enum stored_shape shape;
    const struct stored_field *key; /* behind session_id: places, a record's own one last */
    int key_count;
    const struct stored_field *field;
    int field_count;
    size_t offset, size; /* of the array's first, or the one, in session_record; of each */
    size_t count_offset; /* of how many there are (SHAPE_ONE: of whether it is there) */
    int most;            /* that the array holds */
    enum stored_table_id owner;
    bool counted;  /* owned rows are as many as a number in the owner says; else `most` */
    bool sparse;   /* rows without a number are left out */
    bool appended; /* read one after the other, whatever their index */
};
extern const struct stored_table *const stored_tables[STORED_TABLES];

/* The column of what was taken back, where a table has it: whether a record of it was. */
#define STORED_UNDONE "undone"
bool stored_is_undone(const struct stored_table *table, const void *record);
/* Sets it; false where the table has none. */
bool stored_set_undone(const struct stored_table *table, void *record, bool undone);

/* All columns behind session_id: the key's, then the others; NULL behind the last. */
const struct stored_field *stored_column(const struct stored_table *table, int index);
/* What a column of a row says: of the struct at `of`, its index-th in an owned row. A number that
 * the store keeps is not there. */
enum stored_is { STORED_NOTHING, STORED_IS_INTEGER, STORED_IS_REAL, STORED_IS_TEXT };
struct stored_value {
    enum stored_is is;
    int64_t integer; /* of a word, a key or a place: its number, whatever it is said as */
    double real;
    const char *text;
    char made[48]; /* what text is in, where the struct has none */
};
void stored_value(const struct stored_field *field, const void *of, int index,
                  struct stored_value *value);
/* 'TEXT', 'INTEGER', 'REAL'. */
const char *stored_type_word(const struct stored_field *field);

#endif
