/* Import and export: units, tolerances, every bad row with line and reason, all or nothing, round trip. */
#include "catalogue_fixture.h"

#include <math.h>

#include "snub/csv.h"
#include "support/near.h"

static void expect_mistake(fixture *f, int at, int line, const char *column, const char *words)
{
    if (at >= f->errors.count)
        fail_msg("got %d errors, want one more: line %d, %s, %s", f->errors.count, line, column, words);
    const snub_error *got = &f->errors.items[at];
    if (got->place.line != line || strcmp(got->key, column) != 0 || !strstr(got->message, words))
        fail_msg("got line %d \"%s\": %s (got %s, need %s); want line %d \"%s\": ...%s...", got->place.line, got->key,
                 got->message, got->got, got->need, line, column, words);
}

static double number(fixture *f, const char *key, const char *field)
{
    snub_part part;
    snub_error error = {0};
    assert_ok(snub_catalogue_get(f->catalogue, key, &f->arena, &part, &error), &error);
    assert_true(value_of(&part, field)->given);
    return value_of(&part, field)->number;
}

static void units_are_heeded(void **state)
{
    fixture *f = *state;
    fixture_must_import(f,
                        "Key,Kind,Source,Section,Ribs,Diameter [in],Bore,Inertia [kg m2],Max,Diameter tolerance [mm]\n"
                        "A,pulley,invented,PK,8,3.15,17 mm,0.0016,16000 rpm,0.6\n"
                        "B,pulley,invented,PK,8,80 mm,0.5 in,,,+0.1/-0.2\n"
                        "C,pulley,invented,PK,8,3.15 in,0.5in,,,0.01 in\n"
                        "D,pulley,invented,PK,8,3.15,,,,0/-0.01 in\n");
    assert_near("A diameter", number(f, "A", "diameter"), 0.08001, 1e-15, "m");
    assert_near("A bore", number(f, "A", "bore"), 0.017, 1e-15, "m");
    assert_near("A max", number(f, "A", "max_speed"), 16000 * SNUB_PI / 30, 1e-9, "rad/s");
    assert_near("B diameter", number(f, "B", "diameter"), 0.08, 1e-15, "m");
    assert_near("B bore", number(f, "B", "bore"), 0.0127, 1e-15, "m");
    assert_near("C diameter", number(f, "C", "diameter"), 0.08001, 1e-15, "m");
    snub_part part;
    snub_error error = {0};
    static const struct {
        const char *key;
        double minus, plus;
    } want[] = {{"A", -0.0006, 0.0006}, {"B", -0.0002, 0.0001}, {"C", -0.000254, 0.000254}, {"D", -0.000254, 0}};
    for (int i = 0; i < 4; i++) {
        assert_ok(snub_catalogue_get(f->catalogue, want[i].key, &f->arena, &part, &error), &error);
        assert_near("minus", value_of(&part, "diameter")->minus, want[i].minus, 1e-15, "m");
        assert_near("plus", value_of(&part, "diameter")->plus, want[i].plus, 1e-15, "m");
    }
}

static void every_bad_row_is_told(void **state)
{
    fixture *f = *state;
    snub_import_report report;
    snub_status status =
        fixture_import(f,
                       "key,kind,source,section,ribs,length [mm],price [EUR],stock,diameter [mm],over,currency\n"
                       "G1,belt,invented,PK,8,1575,41.95,3,,,\n"            /* 2: good */
                       "B1,belt,invented,PK,8,\"1,575\",,,,,\n"             /* 3: decimal comma */
                       "B2,belt,invented,XK,8,1575,,,,,\n"                  /* 4: section */
                       "B3,belt,,PK,8,1575,,,,,\n"                          /* 5: no source */
                       "B4,chain,invented,PK,8,1575,,,,,\n"                 /* 6: kind */
                       "B5,belt,invented,PK,8,1575,,,80,,\n"                /* 7: a belt has no diameter */
                       "B6,belt,invented,PK,8,1575\n"                       /* 8: short row */
                       "G1,belt,invented,PK,8,1575,,,,,\n"                  /* 9: twice */
                       "B7,belt,invented,PK,8,1575 kg,,,,,\n"               /* 10: unit of another quantity */
                       "B8,belt,invented,PK,8,1,,,,,\n"                     /* 11: absurd */
                       "B9,belt,invented,PK,eight,1575,-3,2.5,,,\n"         /* 12: three at once */
                       "\"B\n10\",belt,invented,PK,8,,,,,,\n"               /* 13: missing length */
                       "B11,belt,invented,PK,8,nan,,,,,\n"                  /* 15: not a number */
                       ",belt,invented,PK,8,1575,,,,,\n"                    /* 16: no key */
                       "B12,pulley,invented,PK,8,,41.95 USD,,80,tip,EUR\n", /* 17: currencies */
                       NULL, &report);
    assert_int_equal(status, SNUB_BAD_INPUT);
    int at = 0;
    expect_mistake(f, at++, 3, "length [mm]", "");
    expect_mistake(f, at++, 4, "section", "is not known");
    expect_mistake(f, at++, 5, "source", "missing");
    expect_mistake(f, at++, 6, "kind", "no such kind");
    expect_mistake(f, at++, 7, "diameter [mm]", "a belt has no diameter");
    expect_mistake(f, at++, 8, "", "more or fewer fields");
    expect_mistake(f, at++, 9, "key", "is already in line 2");
    expect_mistake(f, at++, 10, "length [mm]", "");
    expect_mistake(f, at++, 11, "length", "out of range");
    expect_mistake(f, at++, 12, "ribs", "whole number");
    expect_mistake(f, at++, 12, "price [EUR]", "is not a price");
    expect_mistake(f, at++, 12, "stock", "whole number");
    expect_mistake(f, at++, 13, "length", "missing");
    expect_mistake(f, at++, 15, "length [mm]", "");
    expect_mistake(f, at++, 16, "key", "missing");
    expect_mistake(f, at++, 17, "currency", "not the currency of the price");
    assert_int_equal(f->errors.count, at);
    assert_int_equal(report.rows, 15);
    assert_int_equal(report.bad, 14);
    assert_int_equal(fixture_count(f), 0);
}

static void bare_numbers_are_not_guessed(void **state)
{
    fixture *f = *state;
    assert_int_equal(fixture_import(f, "key,kind,source,section,ribs,length\nA,belt,invented,PK,8,1575\n", NULL, NULL),
                     SNUB_BAD_INPUT);
    expect_mistake(f, 0, 2, "length", "number without a unit");
    assert_string_equal(f->errors.items[0].need, "`length [mm]` as the column's title, or \"1575 mm\"");
    fixture_must_import(
        f, "key,kind,source,section,ribs,length\nA,belt,invented,PK,8,1575 mm\nB,belt,invented,PK,8,62 in\n");
    assert_int_equal(fixture_count(f), 2);
}

static void headers_are_checked(void **state)
{
    fixture *f = *state;
    static const struct {
        const char *csv;
        const char *column, *words, *need;
    } cases[] = {
        {"key,kind,lenght [mm]\n", "lenght [mm]", "no such column", "length"},
        {"key,kind,length [kg]\n", "length [kg]", "", ""},
        {"key,kind,length [mm\n", "length [mm", "cannot be read", ""},
        {"key,kind,length [mm] x\n", "length [mm] x", "cannot be read", ""},
        {"key,kind,ribs [mm]\n", "ribs [mm]", "takes no unit", ""},
        {"key,kind,length [mm],LENGTH [in]\n", "LENGTH [in]", "is repeated", ""},
        {"key,kind,key\n", "key", "is repeated", ""},
        {"kind,ribs\n", "key", "no column `key`", ""},
        {"key,ribs\n", "kind", "kind of part is not given", ""},
        {"key,kind,price [euros]\n", "price [euros]", "currency", ""},
        {"key,kind,be tolerance [mm]\n", "be tolerance [mm]", "no such column", ""},
        {"", "", "file is empty", ""},
        {"key,kind\n\"open\n", "", "never closed", ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_int_equal(fixture_import(f, cases[i].csv, NULL, NULL), SNUB_BAD_INPUT);
        assert_true(f->errors.count >= 1);
        const snub_error *got = &f->errors.items[0];
        if (strcmp(got->key, cases[i].column) != 0 || !strstr(got->message, cases[i].words) ||
            (cases[i].need[0] && strcmp(got->need, cases[i].need) != 0))
            fail_msg("case %zu: got \"%s\": %s (need %s)", i, got->key, got->message, got->need);
    }
    assert_int_equal(
        fixture_import(f, "key,kind,source,section,ribs,length [mm],\nA,belt,s,PK,8,1575,stray\n", NULL, NULL),
        SNUB_BAD_INPUT);
    expect_mistake(f, 0, 2, "", "column without a title");
}

static void options_do_what_they_say(void **state)
{
    fixture *f = *state;
    snub_import_report report;
    static const char mixed[] = "key,section,ribs,length [mm]\nA,PK,8,1575\nB,PK,8,bad\nC,PK,6,1000\n";
    snub_import_options options = {.kind = SNUB_PART_BELT, .source = "invented", .dry_run = true, .skip_bad = true};
    assert_int_equal(fixture_import(f, mixed, &options, &report), SNUB_OK);
    assert_int_equal(report.added, 2);
    assert_int_equal(fixture_count(f), 0);
    options.dry_run = false;
    assert_int_equal(fixture_import(f, mixed, &options, &report), SNUB_OK);
    assert_int_equal(report.bad, 1);
    assert_int_equal(f->errors.count, 1);
    assert_int_equal(fixture_count(f), 2);
    /* again: both are there already */
    assert_int_equal(fixture_import(f, mixed, &options, &report), SNUB_OK);
    assert_int_equal(report.bad, 3);
    assert_int_equal(report.added, 0);
    options.replace = true;
    options.skip_bad = false;
    assert_int_equal(fixture_import(f, "key,section,ribs,length [mm]\nA,PK,8,1580\nD,PK,8,1585\n", &options, &report),
                     SNUB_OK);
    assert_int_equal(report.replaced, 1);
    assert_int_equal(report.added, 1);
    assert_near("A", number(f, "A", "length"), 1.58, 1e-15, "m");
    /* a key twice in the file stays a mistake, and nothing of a failed import is seen */
    assert_int_equal(fixture_import(f, "key,section,ribs,length [mm]\nA,PK,8,1590\nA,PK,8,1591\n", &options, &report),
                     SNUB_BAD_INPUT);
    expect_mistake(f, 0, 3, "key", "is already in line 2");
    assert_near("A", number(f, "A", "length"), 1.58, 1e-15, "m");
    /* a belt cannot become a shim */
    snub_import_options shims = {.kind = SNUB_PART_SHIM, .source = "invented", .replace = true};
    assert_int_equal(fixture_import(f, "key,bore [mm],outside [mm],thickness [mm]\nA,10,20,1\n", &shims, NULL),
                     SNUB_BAD_INPUT);
    expect_mistake(f, 0, 2, "kind", "would turn a belt into a shim");
    /* --kind and the column must agree */
    assert_int_equal(
        fixture_import(f, "key,kind,bore [mm],outside [mm],thickness [mm]\nA,belt,10,20,1\n", &shims, NULL),
        SNUB_BAD_INPUT);
    expect_mistake(f, 0, 2, "kind", "not the kind given by --kind");
}

static void bearings_may_come_later_but_must_come(void **state)
{
    fixture *f = *state;
    snub_import_report report;
    static const char csv[] =
        "key,kind,source,side,diameter [mm],bearing\nI1,idler,s,back,76,NONE\nI2,idler,s,back,76,\n";
    assert_int_equal(fixture_import(f, csv, NULL, NULL), SNUB_BAD_INPUT);
    expect_mistake(f, 0, 2, "bearing", "neither in the catalogue nor in this file");
    snub_import_options skip = {.kind = SNUB_PART_ANY, .skip_bad = true};
    assert_int_equal(fixture_import(f, csv, &skip, &report), SNUB_OK);
    assert_int_equal(report.added, 1);
    assert_int_equal(report.bad, 1);
    assert_int_equal(fixture_count(f), 1);
    /* replacing a good part by one whose bearing is missing must not lose the good one */
    skip.replace = true;
    assert_int_equal(
        fixture_import(f, "key,kind,source,side,diameter [mm],bearing\nI2,idler,s,back,90,NONE\n", &skip, NULL),
        SNUB_BAD_INPUT);
    assert_near("I2", number(f, "I2", "diameter"), 0.076, 1e-15, "m");
    assert_int_equal(
        fixture_import(f, "key,kind,source,side,diameter [mm],bearing\nI3,idler,s,back,76,I2\n", NULL, NULL),
        SNUB_BAD_INPUT);
    expect_mistake(f, 0, 2, "bearing", "is not a bearing");
}

static void spreadsheets_are_read(void **state)
{
    fixture *f = *state;
    fixture_must_import(f, "\xEF\xBB\xBFkey;kind;source;section;ribs;length [mm]\r\n"
                           "\"A;1\";belt;\"two\r\nlines\";PK;8;1575\r\n;;;;;\r\n");
    snub_part part;
    snub_error error = {0};
    assert_ok(snub_catalogue_get(f->catalogue, "A;1", &f->arena, &part, &error), &error);
    assert_string_equal(part.source, "two\r\nlines");
    assert_int_equal(fixture_count(f), 1);
}

/* ---- round trip ------------------------------------------------------------------------------------------------- */

typedef struct export_all {
    snub_text *out;
    snub_part_kind kind;
} export_all;

static snub_status export_one(void *context, const snub_part *part, snub_error *error)
{
    export_all *all = context;
    (void)error;
    snub_export_row(all->kind, part, all->out);
    return SNUB_OK;
}

static void export_to(fixture *f, snub_part_kind kind, snub_text *out)
{
    export_all all = {out, kind};
    snub_error error = {0};
    snub_export_header(kind, out);
    assert_ok(snub_catalogue_walk(f->catalogue, kind, export_one, &all, &error), &error);
    assert_false(out->failed);
}

static void one_of_each(fixture *f)
{
    fixture_must_import(f, "key,kind,name,source,note,price,stock,section,ribs,length,length "
                           "tolerance,be,back,mass_per_rib,stiffness_per_rib,own number,supplier,minimum order,"
                           "discontinued,replaced by\n"
                           "BELT,belt,\"a \"\"name\"\"\",invented,\"1,2\n3\",41.95 EUR,0,PK,8,62 in,+3/-4 mm,2 mm,1.5 "
                           "mm,0.019 kg/m,28000 N,-7,\"Nord, Ltd\",12,yes,BELT-2\n");
    fixture_must_import(f, "key,kind,source,section,ribs,diameter,over,bore,bore tolerance,inertia,max_speed\n"
                           "PULLEY,pulley,invented,PK,8,3.15 in,outside,17 mm,0/-0.01 mm,0.0016 kg m2,16000 rpm\n");
    fixture_must_import(f, "key,kind,source,designation,bore,outside,width,dynamic,static,rows,max_speed,seal,f0,"
                           "clearance\nBEARING,bearing,invented,6203,17 mm,40 mm,12 mm,9.55 kN,4.8 kN,1,12000 rpm,"
                           "contact,13.2,C3\n");
    fixture_must_import(f, "key,kind,source,side,diameter,bearing\nIDLER,idler,invented,back,76 mm,BEARING\n");
    fixture_must_import(f,
                        "key,kind,source,side,diameter,arm_length,travel,preload,rate,damping,loads,work_from,work_to\n"
                        "ARM,tensioner,invented,back,76 mm,95 mm,60 deg,25 N m,0.8 N m/deg,0.2,cw,8 deg,52 deg\n");
    fixture_must_import(f, "key,kind,source,thread,nominal,pitch,stress_area,class,proof_load\n"
                           "M10,fastener,invented,M10,10 mm,1.5 mm,58 mm2,8.8,33700 N\n");
    fixture_must_import(f, "key,kind,source,bore,outside,thickness,thickness tolerance\n"
                           "SHIM,shim,invented,10 mm,20 mm,0.04 in,0.001 in\n");
    fixture_must_import(f, "key,kind,source,blower_kind,swept,internal_ratio,leakage_speed,mechanical,max_rotor_speed\n"
                           "BLOWER,blower,invented,twin-screw,1.6 L,1.3,850 rpm,0.92,16000 rpm\n");
}

static void export_comes_back_the_same(void **state)
{
    fixture *f = *state;
    snub_text first = {0}, second = {0};
    snub_error error = {0};
    snub_import_report report;
    one_of_each(f);
    export_to(f, SNUB_PART_ANY, &first);
    snub_import_options replace = {.kind = SNUB_PART_ANY, .replace = true};
    assert_int_equal(fixture_import(f, first.data, &replace, &report), SNUB_OK);
    assert_int_equal(report.replaced, 8);
    export_to(f, SNUB_PART_ANY, &second);
    assert_string_equal(second.data, first.data);
    snub_text_free(&second);
    /* kind by kind into an empty catalogue; bearings before idlers would not matter, but idlers need them by then */
    static const snub_part_kind order[] = {SNUB_PART_BEARING,   SNUB_PART_BELT,     SNUB_PART_PULLEY, SNUB_PART_IDLER,
                                           SNUB_PART_TENSIONER, SNUB_PART_FASTENER, SNUB_PART_SHIM,   SNUB_PART_BLOWER};
    snub_text kinds[SNUB_PART_KINDS] = {{0}};
    for (int i = 0; i < SNUB_PART_KINDS; i++)
        export_to(f, order[i], &kinds[i]);
    snub_catalogue_close(f->catalogue);
    f->catalogue = NULL;
    unlink(f->path);
    assert_ok(snub_catalogue_open(f->path, SNUB_CATALOGUE_CREATE, 1, &f->catalogue, &error), &error);
    for (int i = 0; i < SNUB_PART_KINDS; i++) {
        fixture_must_import(f, kinds[i].data);
        snub_text_free(&kinds[i]);
    }
    snub_text_free(&second);
    second = (snub_text){0};
    export_to(f, SNUB_PART_ANY, &second);
    assert_string_equal(second.data, first.data);
    snub_text_free(&first);
    snub_text_free(&second);
}

static void sizes_come_back_to_the_last_bit(void **state)
{
    fixture *f = *state;
    snub_text csv = {0}, out = {0};
    snub_text_puts(&csv, "key,kind,source,section,ribs,length [in],mass_per_rib [lb/ft]\n");
    for (int i = 0; i < 500; i++)
        snub_text_printf(&csv, "K%d,belt,s,PK,8,%.17g,%.17g\n", i, 40 + i / 7.0, 0.01 + i / 90000.0);
    fixture_must_import(f, csv.data);
    double lengths[500], masses[500];
    for (int i = 0; i < 500; i++) {
        char key[16];
        snprintf(key, sizeof key, "K%d", i);
        lengths[i] = number(f, key, "length");
        masses[i] = number(f, key, "mass_per_rib");
    }
    export_to(f, SNUB_PART_BELT, &out);
    snub_import_options replace = {.kind = SNUB_PART_ANY, .replace = true};
    assert_int_equal(fixture_import(f, out.data, &replace, NULL), SNUB_OK);
    int worst = 0;
    for (int i = 0; i < 500; i++) {
        char key[16];
        snprintf(key, sizeof key, "K%d", i);
        double ulp = nextafter(lengths[i], 10) - lengths[i], off = fabs(number(f, key, "length") - lengths[i]) / ulp;
        worst = off > worst ? (int)off : worst;
        assert_near("mass", number(f, key, "mass_per_rib"), masses[i], 2e-16 * masses[i], "kg/m");
    }
    if (worst > 1) /* mm has no double for every double in m: the nearest is one step off at most */
        fail_msg("got %d steps of the last bit, want at most 1", worst);
    snub_text_free(&csv);
    snub_text_free(&out);
}

static void any_text_survives(void **state)
{
    fixture *f = *state;
    snub_error error = {0};
    char *huge = malloc(10001);
    assert_non_null(huge);
    for (int i = 0; i < 10000; i += 5)
        memcpy(huge + i, i % 10 ? "\"\n,x\r" : "a\xC3\xA9; ", 5);
    huge[10000] = '\0';
    const char *texts[] = {"quote \" and ''",
                           "comma, semicolon; tab\t",
                           "new\nline",
                           "cr\r\nlf",
                           "\xD7\xA9\xD7\x9C\xD7\x95\xD7\x9D \xD8\xB3\xD9\x84\xD8\xA7\xD9\x85",
                           "'=already marked",
                           "''@twice",
                           "-5",
                           "'-5",
                           "+a",
                           "'quoted'",
                           "\xEF\xBC\x9Dwide",
                           "\ttab",
                           "=HYPERLINK(1)",
                           " blanks ",
                           "'; DROP TABLE part; --",
                           "\xF0\x9F\x94\xA7",
                           "%s%n",
                           huge};
    enum { COUNT = (int)(sizeof texts / sizeof texts[0]) };
    for (int i = 0; i < COUNT; i++) {
        snub_part part;
        snub_part_init(&part, SNUB_PART_SHIM);
        part.key = part.name = part.note = part.source = texts[i];
        for (int v = 0; v < 3; v++)
            part.values[v] = (snub_part_value){.given = true, .number = 0.01 + v * 0.01, .minus = NAN, .plus = NAN};
        assert_ok(snub_catalogue_add(f->catalogue, &part, false, &error), &error);
    }
    snub_text out = {0};
    export_to(f, SNUB_PART_ANY, &out);
    for (int i = 0; i < COUNT; i++)
        assert_ok(snub_catalogue_remove(f->catalogue, texts[i], &error), &error);
    fixture_must_import(f, out.data);
    for (int i = 0; i < COUNT; i++) {
        snub_part part;
        assert_ok(snub_catalogue_get(f->catalogue, texts[i], &f->arena, &part, &error), &error);
        assert_string_equal(part.name, texts[i]);
        assert_string_equal(part.note, texts[i]);
        assert_string_equal(part.source, texts[i]);
    }
    snub_text_free(&out);
    free(huge);
}

#define WITH(test) cmocka_unit_test_setup_teardown(test, fixture_set_up, fixture_tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        WITH(units_are_heeded),      WITH(every_bad_row_is_told),      WITH(bare_numbers_are_not_guessed),
        WITH(headers_are_checked),   WITH(options_do_what_they_say),   WITH(bearings_may_come_later_but_must_come),
        WITH(spreadsheets_are_read), WITH(export_comes_back_the_same), WITH(sizes_come_back_to_the_last_bit),
        WITH(any_text_survives),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
