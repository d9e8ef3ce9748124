/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* One value a line, each of another sensor: by which keys lines are told apart, and what becomes of
 * lines that have none of them. */
#include "rig/plain_describe.h"
#include "rig/shown_stream.h"

#define HEAD_AND_CHEST "Head: 412\nChest: 296\nHead: 413\nChest: 297\nHead: 414\nChest: 298\n"
#define BY_WORD                                                                                    \
    "id:head,412\nid:chest,296\nid:head,413\nid:chest,297\nid:head,414\nid:chest,298\n"            \
    "id:head,412\nid:chest,296\n"
#define THREE_ROUNDS "4120/2960 4130/2970 4140/2980"
#define FOUR_ROUNDS THREE_ROUNDS " 4120/2960"
#define NINE(tens)                                                                                 \
    "S1: 4" tens "1\nS2: 4" tens "2\nS3: 4" tens "3\nS4: 4" tens "4\nS5: 4" tens "5\nS6: 4" tens   \
    "6\nS7: 4" tens "7\nS8: 4" tens "8\nS9: 4" tens "9\n"

#define FOUR "down: 411\ndown: 412\ndown: 413\ndown: 412\n"
#define FOUR_SHOWN " 4110 4120 4130 4120"

static void count_one(void *context, const struct raw_sample *raw)
{
    (void)raw;
    (*(int *)context)++;
}

static const struct stream_row rows[] = {
    {.what = "labels", .stream = HEAD_AND_CHEST, .channels = "Head Chest", .shown = THREE_ROUNDS},
    {.what = "a label with '='",
     .stream = "Head=412\nChest=296\nHead=413\nChest=297\nHead=414\nChest=298\nHead=timeout\n"
               "Chest=299\n",
     .channels = "Head Chest",
     .shown = THREE_ROUNDS " -/2990"},
    {.what = "a key called id",
     .stream = "{\"id\":1,\"mm\":412}\n{\"id\":2,\"mm\":296}\n{\"id\":1,\"mm\":413}\n"
               "{\"id\":2,\"mm\":297}\n{\"id\":1,\"mm\":414}\n{\"id\":2,\"mm\":298}\n",
     .channels = "ch1 ch2",
     .shown = THREE_ROUNDS},
    {.what = "keys in another order than their numbers",
     .stream = "S2: 296\nS1: 412\nS2: 297\nS1: 413\nS2: 298\nS1: 414\n",
     .channels = "S1 S2",
     .shown = "-/2960 4120/2970 4130/2980 4140/-"},
    {.what = "words with '='",
     .stream = "id=head,412\nid=chest,296\nid=head,413\nid=chest,297\nid=head,414\nid=chest,298\n",
     .channels = "head chest",
     .shown = THREE_ROUNDS},
    {.what = "words before a colon",
     .stream = "head:,412\nchest:,296\nhead:,413\nchest:,297\nhead:,414\nchest:,298\n",
     .channels = "head chest",
     .shown = THREE_ROUNDS},
    {.what = "keys that nobody knows",
     .stream = BY_WORD "id:nose,412\n12345678901234567890,412\n3:12,412\nid:2nd,412\n,412\n",
     .channels = "head chest",
     .shown = FOUR_ROUNDS,
     .rejected = 5},
    {.what = "a round that lacks one",
     .stream = HEAD_AND_CHEST "Head: 415\nHead: 416\nChest: 300\nChest: 301\nHead: 417\n",
     .channels = "Head Chest",
     .shown = THREE_ROUNDS " 4150/- 4160/3000 -/3010 4170/-"},
    {.what = "words in a value's place, and words that say nothing",
     .stream = HEAD_AND_CHEST "Head: weak\nChest: 299\nHead: as before\nno label at all\n"
                              "Head: 416 err\nChest: 300\n",
     .channels = "Head Chest",
     .shown = THREE_ROUNDS " -/2990 ~4160/3000",
     .skipped = 2},
    {.what = "a value in words behind a key in a column",
     .stream = BY_WORD "id:head,weak\nid:chest,299\nid:head,nothing\nid:head,1e99\n",
     .channels = "head chest",
     .shown = FOUR_ROUNDS " -/2990",
     .rejected = 2},
    {.what = "a time among the labels",
     .stream = "time: 100\nHead: 412\nChest: 296\ntime: 120\nHead: 413\nChest: 297\n"
               "time: 140\nHead: 414\nChest: 298\n",
     .channels = "Head Chest",
     .shown = THREE_ROUNDS,
     .skipped = 3},
    {.what = "time and status beside the key",
     .stream = "ms,id,mm,status\n100,head,412,0\n100,chest,296,0\n120,head,413,0\n"
               "120,chest,297,0\n140,head,414,0\n140,chest,298,0\n160,head,415,7\n"
               "160,chest,299,0\nx,head,416,7\n",
     .channels = "head chest",
     .shown = "4120/2960@100 4130/2970@120 4140/2980@140 ~4150/2990@160",
     .rejected = 1,
     .skipped = 1},
    {.what = "a power beside the value of a key",
     .stream = "id,power,mm\nhead,150,412\nchest,150,296\nhead,151,413\nchest,152,297\n"
               "head,150,414\nchest,151,298\n",
     .channels = "head chest",
     .shown = THREE_ROUNDS,
     .skipped = 1},
    {.what = "a column of sensors' numbers under a heading",
     .stream = "sensor,mm\n1,412\n2,296\n1,413\n2,297\n1,414\n2,298\n",
     .channels = "ch1 ch2",
     .shown = THREE_ROUNDS,
     .skipped = 1},
    {.what = "a word beside two ranges that have names",
     .stream = "ms,head,chest,phase\n0,412,296,up\n20,413,297,down\n40,414,298,up\n"
               "60,415,299,down\n80,416,300,up\n100,417,301,down\n120,418,302,up\n",
     .channels = "head chest",
     .shown = "4120/2960@0 4130/2970@20 4140/2980@40 4150/2990@60 4160/3000@80 4170/3010@100 "
              "4180/3020@120",
     .skipped = 1},
    {.what = "keys that do not take turns", /* a word that changes once tells no sensors apart */
     .stream = "up: 412\nup: 413\nup: 414\ndown: 412\ndown: 413\ndown: 414\n",
     .channels = "up",
     .shown = "4120 4130 4140 4120 4130 4140"},
    {.what = "words that begin with a mark, and a column that counts",
     .stream = "1,id:!a,412\n2,id:!b,296\n3,id:!a,413\n4,id:!b,297\n5,id:!a,414\n6,id:!b,298\n"
               "7,id:!a,415\n8,id:!b,299\n",
     .channels = "a b",
     .shown = "4120/2960 4130/2970 4140/2980 4150/2990"},
    {.what = "numbers below 0, and times, in a key's place",
     .stream = "-1,412\n-2,296\n-1,413\n-2,297\n-1,414\n-2,298\n-1,412\n-2,296\n",
     .channels = "ch1 ch2",
     .shown = "-/4120 -/2960 -/4130 -/2970 -/4140 -/2980 -/4120 -/2960"},
    {.what = "a number and words, which is no key with a value",
     .stream = "1,a\n2,b\n1,a\n2,b\n1,a\n2,b\n1,a\n2,b\n",
     .shown = "no column of the stream is a range"},
    {.what = "names of the body's parts, numbers in centimetres, and another",
     .stream = "head:41.2 temp:21.5 chest:37.1\nhead:41.3 temp:21.5 chest:37.0\n"
               "head:41.1 temp:21.5 chest:37.2\nhead:41.4 temp:21.5 chest:37.3\n"
               "head:41.0 temp:21.5 chest:36.9\nhead:41.2 temp:21.5 chest:37.0\n",
     .shown = "'head' is about 41, and nothing says its unit: in mm no rider is there. Say it, as "
              "--unit cm"},
    {.what = "words with a number in front",
     .stream = "id:2nd,412\nid:3rd,296\nid:2nd,413\nid:3rd,297\nid:2nd,414\nid:3rd,298\n"
               "id:,415\n",
     .channels = "ch2nd ch3rd",
     .shown = THREE_ROUNDS,
     .rejected = 1},
    {.what = "nothing, times and good words in a key's place",
     .stream = ",412,12:00:01,ok,5\n,413,12:00:02,ok,5\n,414,12:00:03,ok,5\n,412,12:00:04,ok,5\n"
               ",413,12:00:05,weak,5\n,414,12:00:06,weak,5\n",
     .channels = "ch1",
     .shown = "4120@43201000 4130@43202000 4140@43203000 4120@43204000 ~4130@43205000 "
              "~4140@43206000"},
    {.what = "lines that begin with '#' and a number",
     .stream = "#1 412\n#2 296\n#1 413\n#2 297\n#1 414\n#2 298\n# a note\n#\n",
     .channels = "ch1 ch2",
     .shown = THREE_ROUNDS,
     .skipped = 2},
    {.what = "keys among which none is as said",
     .stream = HEAD_AND_CHEST,
     .shown = "column 'nose' is not there; the stream has 1 'Head', 2 'Chest'",
     .options = {.columns = "nose"}},
    {.what = "keys of values that are no ranges",
     .stream = "A: 1\nB: 2\nA: 1\nB: 2\nA: 1\nB: 2\n",
     .shown = "the numbers are about 1, and nothing says their unit"},
    {.what = "nine labels are more than there are channels",
     .stream = NINE("1") NINE("2"),
     .shown = "the stream has 9 columns of numbers, and 8 can be channels"},
    {.what = "a label that comes once and never again",
     .stream = "up: 412\n" FOUR FOUR FOUR FOUR FOUR FOUR FOUR FOUR FOUR,
     .channels = "up",
     .shown = "4120" FOUR_SHOWN FOUR_SHOWN FOUR_SHOWN FOUR_SHOWN FOUR_SHOWN FOUR_SHOWN FOUR_SHOWN
         FOUR_SHOWN FOUR_SHOWN},
    {.what = "two of nine labels, as said",
     .stream = NINE("1") NINE("2"),
     .channels = "S1 S9",
     .shown = "4110/4190 4210/4290",
     .skipped = 14,
     .options = {.columns = "S1,S9"}},
};

START_TEST(streams_of_one_value_a_line)
{
    check_stream(&rows[_i]);
}
END_TEST

/* More labels than are ever told apart are no sensors: two take turns, then each line has another.
 */
START_TEST(labels_without_end)
{
    char text[2000] = "once: 412\n";
    size_t used = strlen(text);
    for (int i = 1; i < 40; i++) {
        bool is_rare = i >= 16 && i != 30;
        const char *name = is_rare ? "rare_" : i == 30 ? "once" : i % 2 == 0 ? "even" : "other";
        const char letter[2] = {(char)(is_rare ? 'a' + i - 16 : '\0'), '\0'};
        text_append(text, sizeof text, &used, "%s%s: %d\n", name, letter, 400 + i * 7 % 11);
    }
    struct decoded decoded = decode_text(text);
    ck_assert_msg(decoded.fine, "%s", decoded.problem.sentence);
    ck_assert_int_eq(decoded.info.channel_count, 1);
    ck_assert_uint_eq(decoded.count, 40);
    decoded_free(&decoded);
}
END_TEST

/* Nor are nine words in a column; eight are. */
START_TEST(words_without_end)
{
    static const struct decoder_options nothing_said;
    static struct plain_description description;
    for (int words = 8; words <= 9; words++) {
        char text[600] = "";
        size_t used = 0;
        for (int i = 0; i < 36; i++) {
            text_append(text, sizeof text, &used, "%cx,%d\n", 'a' + i % (i < 18 ? words : 2),
                        400 + i % 5);
        }
        struct problem problem = {PROBLEM_NONE, ""};
        ck_assert_msg(plain_describe(text, used, &nothing_said, &description, &problem), "%s",
                      problem.sentence);
        ck_assert_int_eq(description.layout.keys.count, words == 8 ? 8 : 0);
        ck_assert_int_eq(description.layout.channel_count, words == 8 ? 8 : 1);
    }
}
END_TEST

/* By how many lines is it told what they are? Line i is of sensor 'a' + i % sensors, but where only
 * the first is of another. */
static int lines_to_tell(const char *heading, const char *between, int sensors, bool first_alone)
{
    struct problem problem = {PROBLEM_NONE, ""};
    int samples = 0, lines = 0;
    struct decoder *decoder = decoder_create(NULL, &problem);
    ck_assert(decoder_feed(decoder, heading, strlen(heading), count_one, &samples, &problem));
    for (; decoder_info(decoder)->channel_count == 0 && lines < 100; lines++) {
        char line[60];
        int sensor = first_alone ? (lines > 0 ? 1 : 0) : lines % sensors;
        snprintf(line, sizeof line, "%cx%s%d\n", 'a' + sensor, between, 412 + lines * 7 % 11);
        ck_assert(decoder_feed(decoder, line, strlen(line), count_one, &samples, &problem));
    }
    ck_assert_int_eq(decoder_info(decoder)->channel_count, first_alone ? 1 : sensors);
    decoder_destroy(decoder);
    return lines;
}

/* When each has come twice but the one that came in the second half; six lines at least. */
START_TEST(how_soon_sensors_are_told_apart)
{
    static const char heading[] = "name,mm\n", column[] = ",", label[] = ": ";
    ck_assert_int_eq(lines_to_tell(heading, column, 1, false), 3); /* one sensor, always named */
    ck_assert_int_eq(lines_to_tell(heading, column, 2, false), 6);
    ck_assert_int_eq(lines_to_tell(heading, column, 5, false), 9);
    ck_assert_int_eq(lines_to_tell(heading, column, 8, false), 15);
    ck_assert_int_eq(lines_to_tell(heading, column, 2, true), 16);
    ck_assert_int_eq(lines_to_tell("", column, 5, false), 9);
    ck_assert_int_eq(lines_to_tell("", label, 1, false), 4);
    ck_assert_int_eq(lines_to_tell("", label, 5, false), 9);
    ck_assert_int_eq(lines_to_tell("", label, 2, true), 32);
}
END_TEST

/* Of a stream with more to be told than there is room for: as much is told as has room, and the
 * ranges are read. Hexadecimal figures, six columns that are called a time and go up and down, and
 * nine labels of something else, five of which come once. */
START_TEST(more_to_be_told_than_there_is_room_for)
{
    static const char order[] = "hbcdehbvwxyzcde";
    char text[4000] = "id,time1,time2,time3,time4,time5,time6,mm\n";
    size_t used = strlen(text);
    for (int i = 0; i < (int)sizeof order - 1; i++) {
        text_append(text, sizeof text, &used, order[i] == 'h' ? "head" : "temp_%c", order[i]);
        for (int column = 0; column < 6; column++) {
            text_append(text, sizeof text, &used, ",0x%X", 5 + i % 3);
        }
        text_append(text, sizeof text, &used, ",0x%X\n", 400 + i * 7 % 11);
    }
    struct decoded decoded = decode_text(text);
    ck_assert_msg(decoded.fine, "%s", decoded.problem.sentence);
    check_channels(&decoded, "head");
    ck_assert_uint_eq(decoded.count, 2);
    ck_assert_int_eq(decoded.sample[1].range_tenth_mm[0], 4020); /* 400 + 35 % 11 */
    ck_assert_int_eq(decoded.info.note_count, WIRE_NOTES_MAX);
    decoded_free(&decoded);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plain keys");
    TCase *tests = tcase_create("plain keys");
    tcase_add_loop_test(tests, streams_of_one_value_a_line, 0, sizeof rows / sizeof rows[0]);
    tcase_add_test(tests, labels_without_end);
    tcase_add_test(tests, words_without_end);
    tcase_add_test(tests, how_soon_sensors_are_told_apart);
    tcase_add_test(tests, more_to_be_told_than_there_is_room_for);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
