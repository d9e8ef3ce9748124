/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Streams with something odd in their columns, headings or lines: which columns become channels,
 * what each line gives, and what is refused with which sentence. */
#include "rig/plain_describe.h"
#include "rig/shown_stream.h"

#define PAIR "412,296\n413,297\n414,298\n412,296\n413,297\n414,298\n412,296\n413,297\n"
#define PAIR_SHOWN "4120/2960 4130/2970 4140/2980 4120/2960 4130/2970 4140/2980 4120/2960 4130/2970"
#define EIGHT(line) line line line line line line line line
#define IN_MM "d: 412 mm\nd: 413 mm\nd: 414 mm\nd: 412 mm\n"
#define IN_MM_SHOWN "4120 4130 4140 4120"

static const struct stream_row rows[] = {
    /* columns that were said */
    {.what = "a said column that is always empty",
     .stream = "a,b,c\n412,,1\n413,,1\n414,,1\n",
     .channels = "a b",
     .shown = "4120/- 4130/- 4140/-",
     .skipped = 1,
     .options = {.columns = "a,b"}},
    {.what = "an empty column in the list of what there is",
     .stream = EIGHT("412,,7.5\n"),
     .shown = "column '9' is not there; the stream has 1, 2 empty, 3",
     .options = {.columns = "9"}},
    {.what = "a status with five ranges of codes",
     .stream = PAIR,
     .shown = "is no good code",
     .options = {.status = "2=1/2/3/4/100..200"}},
    {.what = "a status whose code is too large",
     .stream = PAIR,
     .shown = "is no good code",
     .options = {.status = "2=1e300"}},
    {.what = "a number below 0",
     .stream = PAIR,
     .shown = "column '-2' is not there",
     .options = {.columns = "-2"}},
    {.what = "a status of no column",
     .stream = PAIR,
     .shown = "column '' is not there",
     .options = {.status = "=0"}},
    {.what = "a column by the key that its name gives",
     .stream = "H\xC3\xB6he (mm),b\n412,1\n413,2\n414,2\n",
     .channels = "H_he",
     .shown = "4120 4130 4140",
     .skipped = 1,
     .options = {.columns = "H_he"}},
    {.what = "more columns than there are channels",
     .stream = EIGHT("401,402,403,404,405,406,407,408,409\n"),
     .shown = "more than 8 columns are wanted as channels",
     .options = {.columns = "1,2,3,4,5,6,7,8,9"}},
    {.what = "a time column that is a channel already",
     .stream = PAIR,
     .shown = "column '1' is named twice",
     .options = {.columns = "1", .time_column = "1"}},
    {.what = "more statuses than there can be",
     .stream = EIGHT("401,1,2,3,4,5,6,7,8,9,10\n"),
     .shown = "more than 8 columns are said to be a status",
     .options = {.columns = "1", .status = "2=1,3=2,4=3,5=4,6=5,7=6,8=7,9=8,10=9"}},
    {.what = "a number that is too large for 'no echo'",
     .stream = "412\n413\n999999\n",
     .channels = "ch1",
     .shown = "4120 4130 -",
     .options = {.no_echo = 9e8}},
    /* ranges, guessed */
    {.what = "one range in three units",
     .stream = "d_cm,d_mm,d_um\n41.2,412,412000\n41.3,413,413000\n41.4,414,414000\n",
     .channels = "d",
     .shown = "4120 4130 4140",
     .skipped = 1},
    {.what = "units that change from line to line",
     .stream = IN_MM "d: 41.5 cm\nd: 41.6 cm\nd: 0.417 m\nd: 418 mm\nd: 419 in\nd: 415 lux\n",
     .channels = "d",
     .shown = IN_MM_SHOWN " 4150 4160 4170 4180 4190 4150"},
    {.what = "a unit that was said, whatever stands at the numbers",
     .stream = IN_MM "d: 41.5 cm\n",
     .channels = "d",
     .shown = IN_MM_SHOWN " 415",
     .options = {.unit = "mm"}},
    {.what = "units that change between commas, and behind a key",
     .stream = "412 mm,296 mm\n413 mm,29.7 cm\n41.4 cm,298 mm\n",
     .channels = "ch1 ch2",
     .shown = "4120/2960 4130/2970 4140/2980"},
    {.what = "units that change behind labels",
     .stream = "Head: 412 mm\nChest: 296 mm\nHead: 413 mm\nChest: 297 mm\nHead: 41.4 cm\n"
               "Chest: 298 mm\nHead: 415 mm\nChest: 0.299 m\n",
     .channels = "Head Chest",
     .shown = "4120/2960 4130/2970 4140/2980 4150/2990"},
    {.what = "more decimals of a micrometre than are kept",
     .stream = "d_um\n412000\n0.000000000000000001\n412000.000000000000000001\n",
     .channels = "d",
     .shown = "4120 0 4120",
     .skipped = 1},
    {.what = "a first line that lacks its last field",
     .stream = "d_cm,e_mm\n41.2,\n41.3,296\n41.4,297\n41.5,298\n",
     .channels = "d e",
     .shown = "4120/- 4130/2960 4140/2970 4150/2980",
     .skipped = 1},
    {.what = "nothing but zeros", .stream = "0\n0\n0\n", .channels = "ch1", .shown = "- - -"},
    {.what = "two ranges in two units",
     .stream = "d_cm,e_mm,t_s\n41.2,296,1\n41.3,297,2\n41.4,298,3\n",
     .channels = "d e",
     .shown = "4120/2960@1000 4130/2970@2000 4140/2980@3000",
     .skipped = 1},
    {.what = "a column of another unit that lacks numbers",
     .stream = "e_mm,d_cm\n,41.2\n413,41.3\n414,41.4\n",
     .channels = "e d",
     .shown = "-/4120 4130/4130 4140/4140",
     .skipped = 1},
    {.what = "a counter beside what stands still",
     .stream = "401,7.5\n402,7.5\n403,7.5\n404,7.5\n405,7.5\n406,7.5\n407,7.5\n408,7.5\n",
     .channels = "ch1",
     .shown = "4010 4020 4030 4040 4050 4060 4070 4080"},
    {.what = "small numbers beside a range",
     .stream = "412,0\n413,0\n414,3\n412,0\n413,0\n414,0\n412,0\n413,0\n",
     .channels = "ch1",
     .shown = "4120 4130 4140 4120 4130 4140 4120 4130"},
    {.what = "nothing but zeros and less beside a range",
     .stream = "412,0\n413,-1\n414,0\n412,0\n413,-1\n414,0\n412,0\n413,-1\n",
     .channels = "ch1 ch2",
     .shown = "4120/- 4130/- 4140/- 4120/- 4130/- 4140/- 4120/- 4130/-"},
    {.what = "a page of markup",
     .stream = EIGHT("<td>412</td>\n") EIGHT("<br/>413\n") EIGHT("<html lang='x'> 412\n"),
     .channels = "",
     .shown = "",
     .rejected = 24},
    {.what = "only when lines come matters",
     .stream = EIGHT("401,402,403,404,405,406,407,408,409\n"),
     .channels = "ch1 ch2 ch3 ch4 ch5 ch6 ch7 ch8",
     .shown = EIGHT("4010/4020/4030/4040/4050/4060/4070/4080 ") "\b",
     .options = {.times_only = true}},
    /* time, guessed */
    {.what = "fractions that rise, but not as a clock",
     .stream = "412.5,296\n412.9,297\n413.5,298\n415,296\n415.2,297\n415.8,298\n417,296\n419,297\n",
     .channels = "ch1 ch2",
     .shown = "4125/2960 4129/2970 4135/2980 4150/2960 4152/2970 4158/2980 4170/2960 4190/2970"},
    {.what = "one line with a time of the day",
     .stream = "12:00:01,412\n",
     .channels = "ch1",
     .shown = "4120"},
    {.what = "times of fractions with long steps",
     .stream = "time,mm\n1.5,412\n3.5,413\n5.5,414\n",
     .channels = "mm",
     .shown = "4120@1 4130@3 4140@5",
     .skipped = 1},
    {.what = "a time that is too large",
     .stream = "ms,mm\n100,412\n120,413\n140,414\n1e30,415\n",
     .channels = "mm",
     .shown = "4120@100 4130@120 4140@140",
     .rejected = 1,
     .skipped = 1},
    /* rates that are said above the numbers */
    {.what = "a rate of nothing",
     .stream = "Fs,0\n412\n413\n414\n",
     .channels = "ch1",
     .shown = "4120 4130 4140",
     .skipped = 1},
    {.what = "a rate of more than can be",
     .stream = "Fs,1e99\n412\n413\n414\n",
     .channels = "ch1",
     .shown = "4120 4130 4140",
     .skipped = 1},
    /* statuses, guessed */
    {.what = "a word that is first a bad one",
     .stream = "412,weak\n413,ok\n414,ok\n412,weak\n413,ok\n414,ok\n412,ok\n413,ok\n",
     .channels = "ch1",
     .shown = "~4120 4130 4140 ~4120 4130 4140 4120 4130"},
    {.what = "a status in words with an equals sign",
     .stream = "412,s=ok\n413,s=ok\n414,s=weak\n412,s=ok\n413,s=ok\n414,s=ok\n412,s=ok\n413,s=ok\n",
     .channels = "ch1",
     .shown = "4120 4130 ~4140 4120 4130 4140 4120 4130"},
    {.what = "a still number that is too large for a code",
     .stream = "412,16\n413,16\n414,16\n412,16\n413,16\n414,16\n412,16\n413,16\n414,3\n",
     .channels = "ch1",
     .shown = "4120 4130 4140 4120 4130 4140 4120 4130 4140"},
    {.what = "a status that says nothing at first, and words for it",
     .stream = "mm,status\n412,0\n413,0\n414,0\n412,nan\n413,1e300\n414,12:00:01\n415,\n",
     .channels = "mm",
     .shown = "4120 4130 4140 ~4120 ~4130 ~4140 4150",
     .skipped = 1},
    /* lines that are odd behind others */
    {.what = "numbers below 0 of a power",
     .stream = "mm,power\n412,150\n411,-5\n414,150\n415,150\n413,150\n412,150\n411,150\n"
               "412,150\n414,-9999999999\n415,9999999999\n416,99999999\n413,-99999999\n",
     .channels = "mm power",
     .shown = "4120/1500 4110/-50 4140/1500 4150/1500 4130/1500 4120/1500 4110/1500 4120/1500 "
              "4160/!999999990 4130/!-999999990",
     .rejected = 2,
     .skipped = 1},
    {.what = "words behind a reading",
     .stream = IN_MM "d: 413 mm weak\nd: 414 mm\n",
     .channels = "d",
     .shown = IN_MM_SHOWN " ~4130 4140"},
    {.what = "a sentence whose checksum is wrong",
     .stream = "$HEAD,412*13\n$HEAD,413*12\n$HEAD,414*15\n$HEAD,412*00\n" EIGHT(
         "$HEAD,412*13\n") "$HEAD,413*00\n",
     .channels = "ch1",
     .shown = "4120 4130 4140 " EIGHT("4120 ") "\b",
     .rejected = 2},
    {.what = "a sentence without a checksum among those that never have one",
     .stream = EIGHT("$HEAD,412\n") "$412\n",
     .channels = "ch1",
     .shown = EIGHT("4120 ") "\b",
     .rejected = 1},
    {.what = "words for nothing where there are two channels",
     .stream = PAIR "timeout\n",
     .channels = "ch1 ch2",
     .shown = PAIR_SHOWN,
     .skipped = 1},
    {.what = "words for nothing, and words that say more",
     .stream = IN_MM "Error: no echo\nok\nd: 415 mm\nsensor: fault\n",
     .channels = "d",
     .shown = IN_MM_SHOWN " - 4150",
     .skipped = 2},
    {.what = "a comment before lines that begin with '#' and a number",
     .stream = "#\n#x 1\n#/\n#1 412\n#2 296\n#1 413\n#2 297\n#1 414\n#2 298\n#a\n% b\n",
     .channels = "ch1 ch2",
     .shown = "4120/2960 4130/2970 4140/2980",
     .skipped = 5},
    {.what = "words behind a number that are no unit, and another unit of the same length",
     .stream =
         "d: 412 mm\nd: 413 mm\nd: 414 mm\nd: 412 mm\nd: 413 xy\nd: 413 xz\nd: 5-\nd: 415 mm\n",
     .channels = "d",
     .shown = "4120 4130 4140 4120 4130 4130 50 4150"},
    {.what = "small numbers that stand still, below 0 and beside a text",
     .stream = "412,-1,a\n413,-1,a\n414,-1,a\n412,-1,a\n413,-1,a\n414,-1,a\n412,-1,a\n413,-1,a\n",
     .channels = "ch1",
     .shown = "4120 4130 4140 4120 4130 4140 4120 4130"},
    {.what = "a counter beside words",
     .stream = "401,a\n402,b\n403,c\n404,d\n405,e\n406,f\n407,g\n408,h\n",
     .channels = "ch1",
     .shown = "4010 4020 4030 4040 4050 4060 4070 4080"},
    {.what = "a number that rises and is called something else than a time",
     .stream = "frame: 1100 d: 412\nframe: 1120 d: 413\nframe: 1140 d: 414\nframe: 1160 d: 412\n"
               "frame: 1180 d: 413\nframe: 1200 d: 414\nframe: 1220 d: 412\nframe: 1240 d: 413\n",
     .channels = "d",
     .shown = "4120 4130 4140 4120 4130 4140 4120 4130"},
    {.what = "a counter beside a time",
     .stream = "1000,401\n1020,402\n1040,403\n1060,404\n1080,405\n1100,406\n1120,407\n1140,408\n",
     .channels = "ch1",
     .shown = "4010@1000 4020@1020 4030@1040 4040@1060 4050@1080 4060@1100 4070@1120 4080@1140"},
    {.what = "a way that comes at times, and a temperature, beside three without names",
     .stream = "0.11,412,296,512,temp: 21\n,413,297,513,temp: 22\n0.18,414,298,514,temp: 21\n"
               "0.19,412,296,512,temp: 22\n,413,297,513,temp: 21\n0.28,414,298,514,temp: 21\n"
               "0.29,412,296,512,temp: 21\n0.33,413,297,513,temp: 22\n",
     .channels = "ch1 ch2 ch3",
     .shown = "4120/2960/5120 4130/2970/5130 4140/2980/5140 4120/2960/5120 4130/2970/5130 "
              "4140/2980/5140 4120/2960/5120 4130/2970/5130"},
    {.what = "numbers at the ends of lines with text between",
     .stream = EIGHT("a: 412 b: 296\n") "a: 413 b: 297\n",
     .channels = "a b",
     .shown = EIGHT("4120/2960 ") "4130/2970"},
    {.what = "notes of all kinds with figures in them",
     .stream = "% 1\n// 2\n#0x1f\n# 2\nhead\n412\n413\n414\n% 3\n",
     .channels = "head",
     .shown = "4120 4130 4140",
     .skipped = 6},
    {.what = "words for nothing where no range is wanted",
     .stream = "temp: 21\ntemp: 22\ntemp: 21\ntemp: 22\ntimeout\ntemp: 21\n",
     .channels = "",
     .shown = "    ",
     .skipped = 1,
     .options = {.times_only = true}},
    {.what = "words that say good or bad among others above the numbers",
     .stream = "ok\nError: no bus\nerr\nno echo\nhead\n412\n413\n414\n",
     .channels = "head",
     .shown = "4120 4130 4140",
     .skipped = 5},
    {.what = "a column of words and times",
     .stream = "412,12:00:01\n413,ok\n414,ok\n412,ok\n413,ok\n414,ok\n412,weak\n413,ok\n",
     .channels = "ch1",
     .shown = "4120 4130 4140 4120 4130 4140 4120 4130"},
    {.what = "three columns of ranges in units, one of them without a number",
     .stream = "d_cm,e_mm,f_in\n41.2,,10\n41.3,,10.1\n41.4,,10.2\n",
     .channels = "d e f", /* the second may see nobody yet */
     .shown = "4120/-/2540 4130/-/2565 4140/-/2591",
     .skipped = 1},
    {.what = "a rising column of kilometres beside three without names",
     .stream = "0.11,412,296,512\n0.13,413,297,513\n0.18,414,298,514\n0.19,412,296,512\n"
               "0.23,413,297,513\n0.28,414,298,514\n0.29,412,296,512\n0.33,413,297,513\n",
     .channels = "ch1 ch2 ch3",
     .shown = "4120/2960/5120 4130/2970/5130 4140/2980/5140 4120/2960/5120 4130/2970/5130 "
              "4140/2980/5140 4120/2960/5120 4130/2970/5130"},
    {.what = "a column of whole numbers that rises and is called a range",
     .stream = "range: 1100 d: 412\nrange: 1120 d: 413\nrange: 1140 d: 414\nrange: 1160 d: 412\n"
               "range: 1180 d: 413\nrange: 1200 d: 414\nrange: 1220 d: 412\n"
               "range: 1240 d: 413\n",
     .channels = "range d",
     .shown = "11000/4120 11200/4130 11400/4140 11600/4120 11800/4130 12000/4140 12200/4120 "
              "12400/4130"},
    {.what = "statuses that no code is usual of",
     .stream = "mm,status\n412,0\n413,1\n414,2\n412,3\n",
     .channels = "mm",
     .shown = "4120 4130 4140 4120",
     .skipped = 1},
    {.what = "a status below 0, and one that is too large for a code",
     .stream = "mm,status,flag\n412,-1,300\n413,-1,300\n414,-1,300\n412,5,2\n",
     .channels = "mm",
     .shown = "4120 4130 4140 4120",
     .skipped = 1},
    {.what = "a status for each line and one value that jumps past its codes",
     .stream = "412,0\n413,0\n414,0\n412,0\n413,0\n414,0\n412,0\n413,0\n414,15\n412,0\n",
     .channels = "ch1",
     .shown = "4120 4130 4140 4120 4130 4140 4120 4130 ~4140 4120"},
    {.what = "a time column whose name was said twice",
     .stream = PAIR,
     .shown = "column '1' is named twice",
     .options = {.columns = "1", .time_column = "1"}},
    {.what = "a time of the day that was said",
     .stream = "a,b\n412,12:00:01\n413,12:00:02\n414,12:00:03\n",
     .channels = "a",
     .shown = "4120@43201000 4130@43202000 4140@43203000",
     .skipped = 1,
     .options = {.columns = "a", .time_column = "b"}},
    {.what = "notes with a '#' and one digit",
     .stream = "# a\n#\n#x 1\n412\n413\n414\n# 2\n",
     .channels = "a",
     .shown = "4120 4130 4140",
     .skipped = 4},
    {.what = "marks of a rule between blocks",
     .stream = IN_MM "====\n-----\nd: 415 mm\n",
     .channels = "d",
     .shown = IN_MM_SHOWN " 4150",
     .skipped = 2},
};

START_TEST(odd_streams)
{
    struct stream_row row = rows[_i];
    char shown[SHOWN_SIZE];
    size_t length = strlen(row.shown);
    if (length > 0 && row.shown[length - 1] == '\b') { /* the blank before it goes */
        length -= 2;
    }
    memcpy(shown, row.shown, length);
    shown[length] = '\0';
    row.shown = shown;
    check_stream(&row);
}
END_TEST

/* A heading and lines of more columns than are kept, by commas and by blanks. */
START_TEST(more_columns_than_are_kept)
{
    for (int blanks = 0; blanks < 2; blanks++) {
        static char text[8000];
        size_t used = 0;
        for (int line = 0; line < 10; line++) {
            for (int i = 0; i < 200; i++) {
                text_append(text, sizeof text, &used, "%s%s",
                            i == 0   ? ""
                            : blanks ? " "
                                     : ",",
                            line == 0 ? "d" : "4");
            }
            text_append(text, sizeof text, &used, "\n");
        }
        struct decoded decoded = decode_text(text);
        ck_assert(!decoded.fine);
        ck_assert_str_eq(decoded.problem.sentence, "the stream has more than 128 columns");
        decoded_free(&decoded);
    }
}
END_TEST

/* The last column that is kept is told by its number. */
START_TEST(a_note_of_the_last_column)
{
    char text[4000] = "";
    size_t used = 0;
    struct decoder_options options = {.columns = "1", .unit = "mm"};
    for (int line = 0; line < 8; line++) {
        text_append(text, sizeof text, &used, "%d", 412 + line % 3);
        for (int i = 1; i < 128; i++) {
            text_append(text, sizeof text, &used, i < 127 ? ",4.5" : ",ok\n");
        }
    }
    struct decoded decoded = decode_with(text, &options);
    ck_assert_msg(decoded.fine, "%s", decoded.problem.sentence);
    ck_assert_int_eq(decoded.info.note_count, 1);
    ck_assert_int_eq(decoded.info.note[0].kind, WIRE_STATUS_WORDS);
    ck_assert_int_eq(decoded.info.note[0].column, 128);
    decoded_free(&decoded);
}
END_TEST

/* One such line behind others is counted as wrong, and the lines behind it are read. */
START_TEST(a_line_of_many_numbers)
{
    char text[1500] = "412 296\n413 297\n414 298\n412 296\n413 297\n414 298\n412 296\n413 297\n";
    char keyed[1500] = "S1 412\nS2 296\nS1 413\nS2 297\nS1 414\nS2 298\n";
    size_t used = strlen(text), keyed_used = strlen(keyed);
    text_append(keyed, sizeof keyed, &keyed_used, "S1");
    for (int i = 0; i < 200; i++) {
        text_append(text, sizeof text, &used, "4 ");
        text_append(keyed, sizeof keyed, &keyed_used, " 4");
    }
    text_append(text, sizeof text, &used, "\n414 298\n");
    struct decoded decoded = decode_text(text);
    ck_assert_uint_eq(decoded.count, 9);
    ck_assert_uint_eq(decoded.counts.rejected[REJECT_FIELD_COUNT], 1);
    ck_assert_int_eq(decoded.sample[8].range_tenth_mm[1], 2980);
    decoded_free(&decoded);
    decoded = decode_text(keyed);
    ck_assert_uint_eq(decoded.count, 4); /* the line's first value is S1's; the others are none's */
    ck_assert_int_eq(decoded.sample[3].range_tenth_mm[0], 40);
    ck_assert_int_eq(decoded.sample[3].quality[1], READING_MISSING);
    decoded_free(&decoded);
}
END_TEST

/* The first lines that a description of a file is made of: as many as are kept. */
START_TEST(a_file_of_long_lines)
{
    static char text[64 * 500];
    static struct plain_description description;
    static const struct decoder_options nothing_said;
    struct problem problem;
    size_t used = 0;
    for (int i = 0; i < 64; i++) {
        text_append(text, sizeof text, &used, "head: %d mm%*s chest: %d mm\n", 400 + i % 7, 440, "",
                    290 + i % 5);
    }
    ck_assert(plain_describe(text, used, &nothing_said, &description, &problem));
    ck_assert_int_eq(description.layout.channel_count, 2);
    ck_assert_int_gt(description.columns.lines, 30); /* of 470 bytes each, of 16 384 */
    ck_assert_int_lt(description.columns.lines, 36);
}
END_TEST

/* Lines in letters and figures that grow when they are written anew: those for which there is no
 * more room are not learnt by, and nothing else comes of it. A hand lies on the sensor at first. */
START_TEST(lines_that_grow)
{
    static char text[60 * 500];
    size_t used = 0;
    for (int i = 0; i < 55; i++) {
        text_append(text, sizeof text, &used, "d%d", i < 45 ? 12 : 412 + i % 5);
        for (int j = 0; j < 15; j++) { /* a blank more for each */
            text_append(text, sizeof text, &used, " temp%d.%020d", 20 + j, 0);
        }
        text_append(text, sizeof text, &used, "\n");
    }
    struct decoded decoded = decode_text(text);
    ck_assert_msg(decoded.fine, "%s", decoded.problem.sentence);
    check_channels(&decoded, "d");
    ck_assert_uint_gt(decoded.count, 8);
    ck_assert_int_eq(decoded.sample[decoded.count - 1].range_tenth_mm[0], 4160);
    decoded_free(&decoded);
}
END_TEST

/* Where more is left out than there is room to tell, and numbers for nothing come behind that. */
START_TEST(more_left_out_than_there_is_room_for)
{
    char text[2000] = "";
    size_t used = 0;
    for (int line = 0; line < 5; line++) {
        for (int i = 1; i <= 17; i++) {
            text_append(text, sizeof text, &used, line == 0 ? "time%d," : "%d,",
                        line == 0 ? i : 150 + line % 2);
        }
        static const char *const ends[] = {"status,mm", "0,412", "0,413", "0,-1", "7,65535"};
        text_append(text, sizeof text, &used, "%s\n", ends[line]);
    }
    struct decoded decoded = decode_text(text);
    char shown[SHOWN_SIZE];
    ck_assert_msg(decoded.fine, "%s", decoded.problem.sentence);
    show_samples(&decoded, shown);
    ck_assert_str_eq(shown, "4120 4130 - -");
    ck_assert_int_eq(decoded.info.note_count, WIRE_NOTES_MAX);
    decoded_free(&decoded);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plain choices");
    TCase *tests = tcase_create("plain choices");
    tcase_add_loop_test(tests, odd_streams, 0, sizeof rows / sizeof rows[0]);
    tcase_add_test(tests, more_columns_than_are_kept);
    tcase_add_test(tests, a_note_of_the_last_column);
    tcase_add_test(tests, a_line_of_many_numbers);
    tcase_add_test(tests, a_file_of_long_lines);
    tcase_add_test(tests, lines_that_grow);
    tcase_add_test(tests, more_left_out_than_there_is_room_for);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
