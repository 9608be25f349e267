/* History of a part: what each import, replacement and removal leaves; and nothing that did not happen. */
#include "catalogue_fixture.h"

static const char HEAD[] = "key,kind,source,section,ribs,length [mm],length tolerance [mm],price,stock,own number,"
                           "supplier,supplier number,discontinued\n";

static void import_as(fixture *f, const char *user, const char *at, const char *rows)
{
    const snub_import_options replace = {.kind = SNUB_PART_ANY, .replace = true};
    char csv[2000];
    snub_catalogue_sign(f->catalogue, user, at);
    snprintf(csv, sizeof csv, "%s%s", HEAD, rows);
    assert_int_equal(fixture_import(f, csv, &replace, NULL), SNUB_OK);
}

typedef struct wanted {
    const char *at, *user, *what, *field, *old, *now;
} wanted;

static void same(const char *what, int at, const char *got, const char *want)
{
    if ((got == NULL) != (want == NULL) || (got && strcmp(got, want) != 0))
        fail_msg("change %d, %s: got \"%s\", want \"%s\"", at, what, got ? got : "(none)", want ? want : "(none)");
}

static void expect_history(fixture *f, const char *number, const char *key, const wanted *want, int count)
{
    snub_history history;
    snub_error error = {0};
    assert_ok(snub_catalogue_history(f->catalogue, number, &f->arena, &history, &error), &error);
    assert_string_equal(history.key, key);
    for (int i = 0; i < history.count && i < count; i++) {
        const snub_part_change *got = &history.items[i];
        same("at", i, got->at, want[i].at);
        same("user", i, got->user, want[i].user);
        same("what", i, got->what, want[i].what);
        same("field", i, got->field, want[i].field);
        same("old", i, got->old, want[i].old);
        same("now", i, got->now, want[i].now);
        assert_true(got->host[0] != '\0');
        same("file", i, got->file, strcmp(got->what, "removed") == 0 ? "" : "parts.csv");
    }
    if (history.count != count)
        fail_msg("%s: got %d changes, want %d", number, history.count, count);
}

static const char DAY_1[] = "2026-01-01T08:00:00Z", DAY_2[] = "2026-02-02T09:00:00Z", DAY_3[] = "2026-03-03T10:00:00Z";

static void each_change_is_kept(void **state)
{
    fixture *f = *state;
    snub_error error = {0};
    import_as(f, "petra", DAY_1,
              "A,belt,list 1,PK,8,1577,3,41.95 EUR,,H-1,Riemen Nord,RN-7,\nB,belt,list 1,PK,8,1600,,,,,,,\n");
    import_as(
        f, "otto", DAY_2,
        "A,belt,list 2,PK,8,1577.5,+2/-4,43.10 EUR,12,H-1,Riemen Nord,RN-8,yes\nB,belt,list 1,PK,8,1600,,,,,,,\n");
    const wanted a[] = {{DAY_1, "petra", "added", "", NULL, NULL},
                        {DAY_2, "otto", "changed", "source", "list 1", "list 2"},
                        {DAY_2, "otto", "changed", "price", "41.95 EUR", "43.10 EUR"},
                        {DAY_2, "otto", "changed", "stock", NULL, "12"},
                        {DAY_2, "otto", "changed", "supplier_number", "RN-7", "RN-8"},
                        {DAY_2, "otto", "changed", "discontinued", NULL, "yes"},
                        {DAY_2, "otto", "changed", "length", "1577 mm", "1577.5 mm"},
                        {DAY_2, "otto", "changed", "length_tolerance", "3 mm", "2/-4 mm"}};
    expect_history(f, "A", "A", a, 8);
    expect_history(f, "H-1", "A", a, 8);
    expect_history(f, "RN-8", "A", a, 8);
    /* a row in place of an equal one is no change */
    const wanted b[] = {{DAY_1, "petra", "added", "", NULL, NULL},
                        {DAY_3, "eva", "removed", "source", "list 1", NULL},
                        {DAY_3, "eva", "removed", "section", "PK", NULL},
                        {DAY_3, "eva", "removed", "ribs", "8", NULL},
                        {DAY_3, "eva", "removed", "length", "1600 mm", NULL}};
    expect_history(f, "B", "B", b, 1);
    snub_catalogue_sign(f->catalogue, "eva", DAY_3);
    assert_ok(snub_catalogue_remove(f->catalogue, "B", &error), &error);
    expect_history(f, "B", "B", b, 5);
    fixture_reopen(f, SNUB_CATALOGUE_READ);
    expect_history(f, "B", "B", b, 5);
    snub_history history;
    assert_int_equal(snub_catalogue_history(f->catalogue, "C", &f->arena, &history, &error), SNUB_BAD_INPUT);
}

static void what_was_undone_leaves_nothing(void **state)
{
    fixture *f = *state;
    snub_error error = {0};
    snub_history history;
    const snub_import_options dry = {.kind = SNUB_PART_ANY, .dry_run = true},
                              skip = {.kind = SNUB_PART_ANY, .skip_bad = true};
    const char *csv = "key,kind,source,side,diameter,bearing\nI,idler,invented,back,68 mm,NONE\n"
                      "J,idler,invented,back,68 mm,\n";
    assert_int_equal(fixture_import(f, csv, NULL, NULL), SNUB_BAD_INPUT);
    assert_int_equal(snub_catalogue_history(f->catalogue, "J", &f->arena, &history, &error), SNUB_BAD_INPUT);
    assert_int_equal(fixture_import(f, csv, &skip, NULL), SNUB_OK);
    assert_int_equal(snub_catalogue_history(f->catalogue, "I", &f->arena, &history, &error), SNUB_BAD_INPUT);
    assert_ok(snub_catalogue_history(f->catalogue, "J", &f->arena, &history, &error), &error);
    assert_int_equal(history.count, 1);
    assert_int_equal(fixture_import(f, "key,kind,source,side,diameter\nK,idler,invented,back,68 mm\n", &dry, NULL),
                     SNUB_OK);
    assert_int_equal(snub_catalogue_history(f->catalogue, "K", &f->arena, &history, &error), SNUB_BAD_INPUT);
}

/* Without a signature: the account's name and a time that can be read, of today's century. */
static void the_system_signs_where_nobody_does(void **state)
{
    fixture *f = *state;
    snub_error error = {0};
    snub_history history;
    fixture_must_import(f, "key,kind,source,section,ribs,length\nA,belt,invented,PK,8,1575 mm\n");
    assert_ok(snub_catalogue_history(f->catalogue, "A", &f->arena, &history, &error), &error);
    assert_int_equal(history.count, 1);
    assert_true(history.items[0].user[0] != '\0');
    assert_int_equal(strlen(history.items[0].at), 20);
    assert_memory_equal(history.items[0].at, "20", 2);
    assert_int_equal(history.items[0].at[19], 'Z');
}

#define WITH(test) cmocka_unit_test_setup_teardown(test, fixture_set_up, fixture_tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        WITH(each_change_is_kept),
        WITH(what_was_undone_leaves_nothing),
        WITH(the_system_signs_where_nobody_does),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
