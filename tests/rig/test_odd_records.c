/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Sentences of the standard and packs of records in which something is odd: other units, letters
 * where there should be none, numbers that are too large, names that are alike or none. */
#include "rig/shown_stream.h"

/* Each line but those that begin with '=' gets its '$' and its checksum; '!' stays in front. */
static void make_sentences(const char *bodies, char *stream, size_t size)
{
    size_t used = 0;
    for (const char *at = bodies; *at != '\0'; at += strcspn(at, "\n"), at += *at == '\n') {
        char body[500];
        snprintf(body, sizeof body, "%.*s", (int)strcspn(at, "\n"), at);
        if (body[0] == '=') {
            text_append(stream, size, &used, "%s\n", body + 1);
        } else if (body[0] == '!') {
            text_append(stream, size, &used, "!%s", bench_line_of(body + 1) + 1);
        } else {
            text_append(stream, size, &used, "%s", bench_line_of(body));
        }
    }
}

#define READ "IIXDR,D,0.412,M,HEAD,D,0.296,M,CHEST\n"
#define THRICE READ READ READ
#define SHOWN "4120/2960"
#define THRICE_SHOWN SHOWN " " SHOWN " " SHOWN
#define EIGHT_OTHERS                                                                               \
    "GPHDT,1,T\nGPHDT,2,T\nGPHDT,3,T\nGPHDT,4,T\nGPHDT,5,T\nGPHDT,6,T\nGPHDT,7,T\nGPHDT,8,T\n"

static const struct stream_row sentences[] = {
    {.what = "addresses of figures and of what is none",
     .stream = THRICE "I1XDR,D,0.413,M,HEAD,D,0.297,M,CHEST\n0IXDR,D,0.5,M,HEAD\n"
                      "iIXDR,D,0.5,M,HEAD\nIiXDR,D,0.5,M,HEAD\nI_XDR,D,0.5,M,HEAD\n"
                      "I/XDR,D,0.5,M,HEAD\nI:XDR,D,0.5,M,HEAD\n!IIXDR,D,0.5,M,HEAD\nIIXDR,\nABC\n",
     .channels = "HEAD CHEST",
     .shown = THRICE_SHOWN " 4130/2970",
     .rejected = 2,
     .skipped = 7},
    {.what = "other units and types",
     .stream = THRICE "IIXDR,D,0.5,F,HEAD\nIIXDR,d,0.5,M,HEAD\nIIXDR,G,150,W,POWER\n"
                      "IIXDR,T,90,X,CADENCE\nIIXDR,T,90,R,POWER\nIIXDR,F,2,R,HEART\n"
                      "IIXDR,F,2,H,POWER\nIIXDR,G,150,,POWER\n",
     .channels = "HEAD CHEST",
     .shown = THRICE_SHOWN,
     .skipped = 8},
    {.what = "watts, turns and beats beside a range",
     .stream = "IIXDR,D,0.412,M,HEAD,G,150,,POWER,T,90,R,CADENCE,F,2,H,HEART\n"
               "IIXDR,D,0.413,M,HEAD,G,,,POWER,F,1.5,H,CADENCE,G,121,,HEART\n",
     .channels = "HEAD power cadence heart",
     .shown = "4120/1500/900/1200 4130/-/900/1210"},
    {.what = "numbers that are none, too large, and below any range",
     .stream = THRICE "IIXDR,D,x,M,HEAD,D,0.297,M,CHEST\nIIXDR,D,1e6,M,HEAD,D,0.297,M,CHEST\n"
                      "IIXDR,D,-200,M,HEAD,D,200,M,CHEST\nIIXDR,D,0.5,M\n",
     .channels = "HEAD CHEST",
     .shown = THRICE_SHOWN " !-2000000/!2000000",
     .rejected = 3},
    {.what = "names that are alike",
     .stream = "iIXDR,D,0.5,M,NOSE\nIIXDR,D,0.412,M,HEAD 1,D,0.296,M,CHEST,D,0.512,M,HEAD_1\n"
               "IIXDR,D,0.413,M,HEAD 1,D,0.297,M,CHEST,D,0.513,M,HEAD_1\n",
     .channels = "HEAD_1 CHEST ch3",
     .shown = "4120/2960/5120 4130/2970/5130",
     .rejected = 1},
    {.what = "ranges that come behind sixty-four other sentences",
     .stream = EIGHT_OTHERS EIGHT_OTHERS EIGHT_OTHERS EIGHT_OTHERS EIGHT_OTHERS EIGHT_OTHERS
         EIGHT_OTHERS EIGHT_OTHERS "IIXDR,D,0.412,M,HEAD\nIIXDR,D,0.296,M,CHEST\n"
                                   "IIXDR,D,0.413,M,HEAD\nIIXDR,D,0.297,M,CHEST\n"
                                   "IIXDR,D,0.5,M,NOSE\nIIXDR,D,0.414,M,HEAD\n",
     .channels = "HEAD CHEST",
     .shown = "4120/2960 4130/2970 4140/-",
     .skipped = 65},
};

START_TEST(odd_sentences)
{
    static char stream[8000];
    struct stream_row row = sentences[_i];
    make_sentences(row.stream, stream, sizeof stream);
    row.stream = stream;
    row.options = (struct decoder_options){.dialect = "xdr"};
    check_stream(&row);
}
END_TEST

#define PACK                                                                                       \
    "[{\"n\":\"head\",\"u\":\"m\",\"v\":0.412},{\"n\":\"chest\",\"u\":\"m\",\"v\":0.296}]\n"
#define PACKS PACK PACK PACK

static const struct stream_row packs[] = {
    {.what = "records without a number, and lines without a record",
     .stream =
         "[]\n[{\"n\":\"head\"}]\n" PACKS "[{\"n\":\"head\",\"u\":\"m\",\"vs\":\"x\"}]\n   \n# a\n"
         "[{\"n\":\"head\",\"u\":\"lux\",\"v\":3}]\n[{\"n\":\"head\",\"u\":\"abcd\",\"v\":3}]\n",
     .channels = "head chest",
     .shown = THRICE_SHOWN,
     .skipped = 7},
    {.what = "numbers that are too large, below any range, and times before now",
     .stream = PACKS
     "[{\"n\":\"head\",\"u\":\"m\",\"v\":-1e6}]\n[{\"n\":\"head\",\"u\":\"m\",\"v\":1e6}]\n"
     "[{\"n\":\"head\",\"u\":\"m\",\"v\":-200,\"t\":-5},"
     "{\"n\":\"chest\",\"u\":\"m\",\"v\":200,\"t\":-5}]\n",
     .channels = "head chest",
     .shown = THRICE_SHOWN " !-2000000/!2000000",
     .rejected = 2},
    {.what = "names from a base that ends in marks, and of marks alone",
     .stream = "[{\"bn\":\"urn:head:/\",\"u\":\"m\",\"v\":0.412},{\"bn\":\"/"
               ":\",\"u\":\"m\",\"v\":0.296}]\n"
               "[{\"bn\":\"urn:head:/\",\"u\":\"m\",\"v\":0.413},{\"bn\":\"/"
               ":\",\"u\":\"m\",\"v\":0.297}]\n",
     .channels = "head ch2",
     .shown = "4120/2960 4130/2970"},
    {.what = "times of a rig's own",
     .stream = "[{\"n\":\"head\",\"u\":\"m\",\"v\":0.412,\"t\":1},{\"n\":\"head\",\"u\":\"m\","
               "\"v\":0.413,"
               "\"t\":2}]\n",
     .channels = "head",
     .shown = "4120@1000 4130@2000"},
    {.what = "a unit that was said for records without one",
     .stream = "[{\"n\":\"head\",\"v\":412}]\n[{\"n\":\"head\",\"v\":413}]\n",
     .channels = "head",
     .shown = "4120 4130",
     .options = {.unit = "mm"}},
};

START_TEST(odd_packs)
{
    struct stream_row row = packs[_i];
    text_copy(row.options.dialect, sizeof row.options.dialect, "senml");
    check_stream(&row);
}
END_TEST

/* A name with a NUL in it is no channel. */
START_TEST(a_name_with_a_nul)
{
    char bytes[400] = "";
    size_t used = 0;
    text_append(bytes, sizeof bytes, &used, "%s", bench_line_of("IIXDR,D,0.5,M,N@@E"));
    for (int i = 0; i < 4; i++) {
        text_append(bytes, sizeof bytes, &used, "%s", bench_line_of("IIXDR,D,0.412,M,HEAD"));
    }
    for (size_t i = 0; i < used; i++) { /* two alike: the checksum is as with NULs */
        bytes[i] = bytes[i] == '@' ? '\0' : bytes[i];
    }
    struct decoded decoded = decode_bytes(bytes, used, 0, NULL);
    check_channels(&decoded, "HEAD");
    ck_assert_uint_eq(decoded.count, 4);
    ck_assert_uint_eq(decoded.counts.skipped, 1);
    decoded_free(&decoded);
}
END_TEST

/* 'bench' lines: what may stand where a number is, and headings that are not whole. */
static const struct stream_row bench_rows[] = {
    {.what = "headings with too little, too much or another version in them",
     .stream =
         "=# holdline-rig\n=# holdline-rig 2\n=# holdline-rig 1x\n=# holdline-rig 1 rate=-5\n"
         "=# holdline-rig 1 rate=1e99\n=# holdline-rig 1 rate=x\n=# holdline-rig 1 unit=yard\n"
         "=# holdline-rig 1 channels=a,b,c,d,e,f,g,h,i\n=# holdline-rig 1 channels=head,1 more\n"
         "1,20000,412.5,296\n",
     .channels = "head ch2",
     .shown = "4125/2960@20",
     .rejected = 7,
     .skipped = 2},
    {.what = "fields of all kinds",
     .stream =
         "=# holdline-rig 1 channels=head\n1,20000,412.5\n2,40000,412.\n3,60000,.5\n4,80000,w\n"
         "5,100000,412.5w\n6,120000,412.5s\n7,140000,412.5r\n8,160000,412.5x\n9,180000,\n"
         "10,200000,412.55\n11,220000,x\n12,240000,412.5wx\n13,260000,1e9\n"
         "14,280000,1234567.5\n15,300000,1e300\n1x,1,1\n1,1x,1\n,1,1\n1,,1\n"
         "1234567890123456789,1,1\n16,320000\n17,340000,412,5\n18,360000,-2e5\n"
         "19,380000,s\n20,400000,r\n21,420000,412.x\n",
     .channels = "head",
     .shown = "4125@20 4120@40 5@60 -@80 ~4125@100 4125@120 !4125@140 -@180 4126@200 "
              "!12345675@280 !-2000000@360 -@380 -@400",
     .rejected = 13,
     .skipped = 1},
};

START_TEST(odd_bench_lines)
{
    static char stream[8000];
    struct stream_row row = bench_rows[_i];
    make_sentences(row.stream, stream, sizeof stream);
    row.stream = stream;
    check_stream(&row);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("odd records");
    TCase *tests = tcase_create("odd records");
    tcase_add_loop_test(tests, odd_sentences, 0, sizeof sentences / sizeof sentences[0]);
    tcase_add_loop_test(tests, odd_packs, 0, sizeof packs / sizeof packs[0]);
    tcase_add_test(tests, a_name_with_a_nul);
    tcase_add_loop_test(tests, odd_bench_lines, 0, sizeof bench_rows / sizeof bench_rows[0]);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
