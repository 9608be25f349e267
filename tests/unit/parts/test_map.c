/* Maps of suppliers' files. Every mistake's text is test data: maps/NAME.yaml is read and laid on maps/supplier.csv,
 * and what is said about it, as a person sees it, must be maps/NAME.txt. With SNUB_GOLDEN_WRITE=1 in the environment
 * the .txt files are written instead. */
#include "catalogue_fixture.h"

#include <dirent.h>

#include "support/near.h"

#define CASES SNUB_SOURCE_DIR "/tests/unit/parts/maps/"

static void read_case(const char *name, char **data, size_t *length)
{
    char path[1024];
    snub_error error = {0};
    snprintf(path, sizeof path, "%s%s", CASES, name);
    assert_ok(snub_file_read(path, 1 << 20, data, length, &error), &error);
}

static snub_status lay_on(fixture *f, const snub_supplier_map *map, const char *csv, size_t length,
                          snub_import_report *report, snub_errors *errors)
{
    const snub_import_options options = {.kind = SNUB_PART_ANY, .map = map, .dry_run = true};
    snub_import *import = NULL;
    snub_error error = {0};
    assert_ok(snub_import_open(f->catalogue, f->units, "supplier.csv", &options, errors, &import, &error), &error);
    snub_status status = snub_import_feed(import, csv, length, &error);
    if (status == SNUB_OK)
        status = snub_import_finish(import, report, &error);
    snub_import_close(import);
    return status;
}

/* What the program would print. */
static void say(fixture *f, const char *name, const char *csv, size_t csv_length, snub_text *out)
{
    char *text = NULL;
    size_t length = 0;
    snub_arena arena;
    snub_supplier_map map;
    snub_errors errors = {0};
    snub_import_report report = {0};
    snub_arena_init(&arena, 0);
    read_case(name, &text, &length);
    snub_status status = snub_supplier_map_read(name, text, length, f->units, &arena, &map, &errors);
    if (status == SNUB_OK)
        status = lay_on(f, &map, csv, csv_length, &report, &errors);
    for (int i = 0; i < errors.count; i++) {
        const bool own = strcmp(errors.items[i].place.file, name) == 0;
        snub_error_render(&errors.items[i], own ? map.document.source : NULL, own ? map.document.source_length : 0,
                          out);
    }
    snub_text_printf(out, "%s, %d errors", snub_status_text(status), errors.count);
    if (status == SNUB_OK)
        snub_text_printf(out, "; %lld rows, %lld left out; columns left out: %d (%s)", report.rows, report.left_out,
                         report.columns_left_out, report.left_out_say);
    snub_text_puts(out, "\n");
    assert_true((status == SNUB_OK) == (errors.count == 0));
    snub_errors_free(&errors);
    snub_arena_free(&arena);
    free(text);
}

static int try_case(fixture *f, const char *name, const char *csv, size_t csv_length)
{
    char path[1024], *wanted = NULL;
    size_t length = 0;
    snub_text got = {0};
    say(f, name, csv, csv_length, &got);
    snprintf(path, sizeof path, "%s%s", CASES, name);
    strcpy(strrchr(path, '.'), ".txt");
    if (getenv("SNUB_GOLDEN_WRITE") != NULL)
        assert_int_equal(snub_file_write(path, got.data, got.length, NULL), SNUB_OK);
    const bool wrong = snub_file_read(path, 1 << 20, &wanted, &length, NULL) != SNUB_OK || length != got.length ||
                       memcmp(wanted, got.data, length) != 0;
    if (wrong)
        print_error("%s\n--- got\n%s--- want\n%s\n", name, got.data, wanted ? wanted : "(no file)\n");
    free(wanted);
    snub_text_free(&got);
    return wrong;
}

static void every_mistake_is_told_at_its_place(void **state)
{
    fixture *f = *state;
    int cases = 0, wrong = 0;
    char *csv = NULL;
    size_t length = 0;
    read_case("supplier.csv", &csv, &length);
    DIR *folder = opendir(CASES);
    assert_non_null(folder);
    for (struct dirent *entry; (entry = readdir(folder)) != NULL;) {
        const size_t name = strlen(entry->d_name);
        if (name < 6 || strcmp(entry->d_name + name - 5, ".yaml") != 0)
            continue;
        cases++;
        wrong += try_case(f, entry->d_name, csv, length);
    }
    closedir(folder);
    free(csv);
    print_message("%d cases\n", cases);
    assert_true(cases > 20);
    assert_int_equal(wrong, 0);
}

/* Each number by hand; what the marks are is said, and nothing is guessed. */
static void numbers_by_their_marks(void **state)
{
    static const struct {
        char decimal, thousands;
        const char *text, *want, *fault; /* of the import; NULL: none */
    } cases[] = {
        {0, 0, "1575.5 mm", "1575.5 mm", NULL},
        {0, 0, "1,575 mm", NULL, "a comma in a number may be"},
        {0, 0, "1.575,5 mm", NULL, "a comma in a number may be"},
        {'.', 0, "1,575 mm", NULL, "not its decimal mark"},
        {'.', ',', "1,575.5 mm", "1575.5 mm", NULL},
        {'.', ',', "1,57 mm", NULL, "in threes"},
        {'.', ',', "1,5755 mm", NULL, "in threes"},
        {'.', ',', ",575 mm", NULL, ""},
        {'.', ',', "1575,500 mm", NULL, "in threes"},
        {',', 0, "1575,5 mm", "1575.5 mm", NULL},
        {',', 0, "1575,5mm", "1575.5 mm", NULL},
        {',', 0, "1.575,5 mm", NULL, "not its decimal mark"},
        {',', 0, "62,0078740 in", "62.0078740 in", NULL},
        {',', '.', "1.575,5 mm", "1575.5 mm", NULL},
        {',', '.', "1.575 mm", "1575 mm", NULL},
        {',', '.', "1575 mm", "1575 mm", NULL},
        {',', '.', "1.57 mm", NULL, "in threes"},
        {',', '.', "1.57.500 mm", NULL, "in threes"},
        {',', '.', "1.57,5 mm", NULL, "in threes"},
        {',', '.', "1.000.577,5 um", "1000577.5 um", NULL},
        {0, 0, "1 575 mm", NULL, "unit"},
        {',', '.', "1.575,5,5 mm", NULL, "not its decimal mark"},
        {',', ' ', "1 575,5 mm", "1575.5 mm", NULL},
        {',', ' ',
         "1\xC2\xA0"
         "575,5\xE2\x80\xAFmm",
         NULL, ""},
        {',', ' ',
         "1\xC2\xA0"
         "575,5 mm",
         "1575.5 mm", NULL},
        {'.', '\'', "1'575.5 mm", "1575.5 mm", NULL},
        {'.', '\'',
         "1\xE2\x80\x99"
         "575.5 mm",
         "1575.5 mm", NULL},
    };
    fixture *f = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const snub_import_options options = {
            .kind = SNUB_PART_BELT, .replace = true, .decimal = cases[i].decimal, .thousands = cases[i].thousands};
        char csv[300];
        snub_part part;
        snub_error error = {0};
        double want = NAN;
        snprintf(csv, sizeof csv, "key\tsource\tsection\tribs\tlength\nN\tinvented\tPK\t8\t%s\n", cases[i].text);
        const snub_status status = fixture_import(f, csv, &options, NULL);
        if (cases[i].fault) {
            if (status == SNUB_OK || f->errors.count != 1 || !strstr(f->errors.items[0].message, cases[i].fault))
                fail_msg("%s: got status %d \"%s\", want %s", cases[i].text, status,
                         f->errors.count ? f->errors.items[0].message : "", cases[i].fault);
            continue;
        }
        if (status != SNUB_OK)
            fail_msg("%s: got %s, want %s", cases[i].text, f->errors.items[0].message, cases[i].want);
        assert_ok(snub_units_parse(f->units, SNUB_Q_LENGTH, cases[i].want, &want, &error), &error);
        assert_ok(snub_catalogue_get(f->catalogue, "N", &f->arena, &part, &error), &error);
        assert_near(cases[i].text, value_of(&part, "length")->number, want, 1e-15, "m");
    }
}

/* Tolerances, counts and prices go the same way; texts are left alone. */
static void every_number_goes_that_way(void **state)
{
    fixture *f = *state;
    snub_part part;
    snub_error error = {0};
    const snub_import_options options = {.kind = SNUB_PART_BELT, .decimal = ',', .thousands = '.'};
    assert_int_equal(
        fixture_import(f,
                       "key;source;section;ribs;length [mm];length tolerance [mm];price;stock;note;mass_per_rib\n"
                       "N,1;list 1.234,5;PK;8;1.577,5;+1,5/-2,25;1.041,955 \xE2\x82\xAC;1.200;about 1,5;0,0143 kg/m\n",
                       &options, NULL),
        SNUB_OK);
    assert_ok(snub_catalogue_get(f->catalogue, "N,1", &f->arena, &part, &error), &error);
    assert_string_equal(part.source, "list 1.234,5");
    assert_string_equal(part.note, "about 1,5");
    assert_string_equal(part.currency, "EUR");
    assert_int_equal(part.price_milli, 1041955);
    assert_int_equal(part.stock, 1200);
    assert_near("plus", value_of(&part, "length")->plus, 0.0015, 1e-15, "m");
    assert_near("minus", value_of(&part, "length")->minus, -0.00225, 1e-15, "m");
    assert_near("mass", value_of(&part, "mass_per_rib")->number, 0.0143, 1e-15, "kg/m");
}

#define WITH(test) cmocka_unit_test_setup_teardown(test, fixture_set_up, fixture_tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        WITH(every_mistake_is_told_at_its_place),
        WITH(numbers_by_their_marks),
        WITH(every_number_goes_that_way),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
