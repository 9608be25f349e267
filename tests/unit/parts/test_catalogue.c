/* The catalogue's file: schema, upgrade, what is not a catalogue, add, get, remove, backup, check. */
#include "catalogue_fixture.h"

#include <math.h>
#include <sqlite3.h>
#include <sys/stat.h>

#include "support/near.h"

static snub_part belt(const char *key, int ribs, double length)
{
    snub_part part;
    snub_part_init(&part, SNUB_PART_BELT);
    part.key = key;
    part.source = "invented";
    part.values[0] = (snub_part_value){.given = true, .text = "PK", .minus = NAN, .plus = NAN};
    part.values[1] = (snub_part_value){.given = true, .number = ribs, .minus = NAN, .plus = NAN};
    part.values[2] = (snub_part_value){.given = true, .number = length, .minus = -0.003, .plus = 0.004};
    return part;
}

static void run_sql(const char *path, const char *sql)
{
    sqlite3 *file = NULL;
    char *message = NULL;
    assert_int_equal(sqlite3_open(path, &file), SQLITE_OK);
    if (sqlite3_exec(file, sql, NULL, NULL, &message) != SQLITE_OK)
        fail_msg("%s: %s", sql, message);
    sqlite3_close(file);
}

/* ---- schema ------------------------------------------------------------------------------------------------------ */

static void tables_have_the_fields(void **state)
{
    fixture *f = *state;
    sqlite3 *file = NULL;
    assert_int_equal(sqlite3_open(f->path, &file), SQLITE_OK);
    for (int kind = 0; kind < SNUB_PART_KINDS; kind++) {
        int count, want = 1, got = 0;
        const snub_part_field *fields = snub_part_fields((snub_part_kind)kind, &count);
        assert_in_range(count, 1, SNUB_PART_FIELDS_MOST);
        for (int i = 0; i < count; i++) {
            want += fields[i].tolerance ? 3 : 1;
            assert_true(fields[i].type != SNUB_FIELD_WORD || fields[i].words);
            assert_true(fields[i].type == SNUB_FIELD_WORD || fields[i].type == SNUB_FIELD_TEXT ||
                        fields[i].type == SNUB_FIELD_PART || fields[i].least < fields[i].most);
        }
        char sql[96];
        snprintf(sql, sizeof sql, "SELECT count(*) FROM pragma_table_info('%s')",
                 snub_part_kind_name((snub_part_kind)kind));
        sqlite3_stmt *statement = NULL;
        assert_int_equal(sqlite3_prepare_v2(file, sql, -1, &statement, NULL), SQLITE_OK);
        assert_int_equal(sqlite3_step(statement), SQLITE_ROW);
        got = sqlite3_column_int(statement, 0);
        sqlite3_finalize(statement);
        if (got != want)
            fail_msg("table %s: got %d columns, want %d", snub_part_kind_name((snub_part_kind)kind), got, want);
    }
    sqlite3_close(file);
}

/* One column of an import may hold several kinds: a name must mean the same everywhere. */
static void a_name_means_one_quantity(void **state)
{
    (void)state;
    for (int a = 0; a < SNUB_PART_KINDS; a++) {
        int count;
        const snub_part_field *fields = snub_part_fields((snub_part_kind)a, &count);
        for (int i = 0; i < count; i++) {
            const snub_part_field *other = snub_part_field_named(fields[i].name);
            assert_non_null(other);
            if (other->type != fields[i].type || other->quantity != fields[i].quantity)
                fail_msg("%s of a %s is another quantity elsewhere", fields[i].name,
                         snub_part_kind_name((snub_part_kind)a));
        }
    }
}

/* ---- upgrade ----------------------------------------------------------------------------------------------------- */

static void make_version_1(fixture *f)
{
    char *sql = NULL;
    size_t length;
    snub_error error = {0};
    snub_catalogue_close(f->catalogue);
    f->catalogue = NULL;
    unlink(f->path);
    assert_ok(snub_file_read(SNUB_SOURCE_DIR "/tests/unit/parts/version1.sql", 1 << 20, &sql, &length, &error), &error);
    run_sql(f->path, sql);
    free(sql);
}

/* Every object of the schema and every column, in an order of its own. */
static void describe_schema(const char *path, snub_text *out)
{
    static const char sql[] =
        "SELECT m.type || ' ' || m.name || ' ' || coalesce(c.name || ' ' || c.type || ' ' || c.\"notnull\", '')"
        " FROM sqlite_schema m LEFT JOIN pragma_table_info(m.name) c ON m.type = 'table' ORDER BY 1";
    sqlite3 *file = NULL;
    sqlite3_stmt *statement = NULL;
    assert_int_equal(sqlite3_open(path, &file), SQLITE_OK);
    assert_int_equal(sqlite3_prepare_v2(file, sql, -1, &statement, NULL), SQLITE_OK);
    while (sqlite3_step(statement) == SQLITE_ROW) {
        snub_text_puts(out, (const char *)sqlite3_column_text(statement, 0));
        snub_text_puts(out, "\n");
    }
    sqlite3_finalize(statement);
    sqlite3_close(file);
}

static void version_1_is_upgraded(void **state)
{
    fixture *f = *state;
    snub_error error = {0};
    snub_part part;
    snub_text fresh = {0}, upgraded = {0};
    describe_schema(f->path, &fresh);
    make_version_1(f);

    /* a reader says how; a writer does it */
    assert_int_equal(snub_catalogue_open(f->path, SNUB_CATALOGUE_READ, 0, &f->catalogue, &error), SNUB_BAD_INPUT);
    assert_non_null(strstr(error.message, "is version 1; upgrade it to version"));
    assert_ok(snub_catalogue_open(f->path, SNUB_CATALOGUE_WRITE, 1, &f->catalogue, &error), &error);
    assert_int_equal(snub_catalogue_version_found(f->catalogue), 1);
    describe_schema(f->path, &upgraded);
    assert_string_equal(upgraded.data, fresh.data);
    assert_int_equal(fixture_count(f), 6);

    assert_ok(snub_catalogue_get(f->catalogue, "8PK1575", &f->arena, &part, &error), &error);
    assert_near("length", value_of(&part, "length")->number, 1.575, 1e-15, "m");
    assert_int_equal(part.price_milli, 41950);
    assert_string_equal(part.currency, "EUR");
    assert_int_equal(part.stock, 12);
    assert_string_equal(part.source, "invented");
    assert_ok(snub_catalogue_get(f->catalogue, "6PK1000", &f->arena, &part, &error), &error);
    assert_string_equal(part.source, "not given (catalogue of version 1)");
    assert_int_equal(part.price_milli, -1);
    assert_ok(snub_catalogue_get(f->catalogue, "SM-IDLER", &f->arena, &part, &error), &error);
    assert_string_equal(value_of(&part, "bearing")->text, "SM-BEARING");
    assert_int_equal(part.price_milli, 25005);
    assert_ok(snub_catalogue_get(f->catalogue, "SM-ARM", &f->arena, &part, &error), &error);
    assert_near("rate", value_of(&part, "rate")->number, 0.8 * 180 / SNUB_PI, 1e-12, "N m/rad");
    assert_near("travel", value_of(&part, "travel")->number, SNUB_PI / 3, 1e-15, "rad");
    assert_string_equal(part.source, "not given (catalogue of version 1)");
    assert_ok(snub_catalogue_get(f->catalogue, "SM-BEARING", &f->arena, &part, &error), &error);
    assert_near("max_speed", value_of(&part, "max_speed")->number, 12000 * SNUB_PI / 30, 1e-9, "rad/s");
    assert_near("dynamic", value_of(&part, "dynamic")->number, 9550, 1e-9, "N");

    assert_string_equal(value_of(&part, "designation")->text, "6203");
    assert_string_equal(value_of(&part, "clearance")->text, "C3");
    assert_string_equal(part.name, "6203-2XYZ/C3");

    /* the words of old rows are found, and the file is sound */
    snub_part_query query = {.kind = SNUB_PART_ANY, .text = "sedgemere small"};
    snub_part_list list;
    assert_ok(snub_catalogue_find(f->catalogue, &query, &f->arena, &list, &error), &error);
    assert_int_equal(list.count, 1);
    assert_string_equal(list.items[0].key, "SM-80");
    long long parts;
    assert_ok(snub_catalogue_check(f->catalogue, &f->errors, &parts, &error), &error);
    assert_int_equal(f->errors.count, 0);
    assert_int_equal(parts, 6);
    fixture_reopen(f, SNUB_CATALOGUE_WRITE);
    assert_int_equal(snub_catalogue_version_found(f->catalogue), SNUB_CATALOGUE_VERSION);
    snub_text_free(&fresh);
    snub_text_free(&upgraded);
}

/* The suffix leaves the designation and is kept as the name, where the part has none of its own. */
static void suffixes_become_names(void **state)
{
    static const struct {
        const char *old, *name, *designation, *new_name, *clearance;
    } want[] = {{"618/8-2XYZ", "", "618/8", "618/8-2XYZ", NULL}, {"6203 XYZ C4", "ours", "6203", "ours", "C4"},
                {"62203/C2", "", "62203", "62203/C2", "C2"},     {"608", "", "608", "", NULL},
                {"22 mm spigot", "", "22 mm spigot", "", NULL},  {"our C3", "", "our C3", "", NULL}};
    fixture *f = *state;
    snub_error error = {0};
    make_version_1(f);
    for (int i = 0; i < 6; i++) {
        char sql[400];
        snprintf(sql, sizeof sql,
                 "INSERT INTO part VALUES (%d, 'B%d', 'bearing', '%s', 'invented', NULL, NULL, NULL);"
                 "INSERT INTO bearing VALUES (%d, '%s', 17, 40, 12, 9.55, 4.8, 1, 12000);",
                 10 + i, i, want[i].name, 10 + i, want[i].old);
        run_sql(f->path, sql);
    }
    assert_ok(snub_catalogue_open(f->path, SNUB_CATALOGUE_WRITE, 1, &f->catalogue, &error), &error);
    for (int i = 0; i < 6; i++) {
        char key[16];
        snub_part part;
        snprintf(key, sizeof key, "B%d", i);
        assert_ok(snub_catalogue_get(f->catalogue, key, &f->arena, &part, &error), &error);
        assert_string_equal(value_of(&part, "designation")->text, want[i].designation);
        assert_string_equal(part.name, want[i].new_name);
        assert_int_equal(value_of(&part, "clearance")->given, want[i].clearance != NULL);
        if (want[i].clearance != NULL)
            assert_string_equal(value_of(&part, "clearance")->text, want[i].clearance);
    }
    long long parts;
    assert_ok(snub_catalogue_check(f->catalogue, &f->errors, &parts, &error), &error);
    assert_int_equal(f->errors.count, 0);
}

/* Each step back from today's file: the history, and suppliers' numbers; ... */
static const char TO_VERSION_6[] =
    "DROP TABLE change; DROP TABLE supplier_map; DROP TABLE event; DROP INDEX part_own_number;"
    "DROP INDEX part_supplier_number; ALTER TABLE part DROP COLUMN supplier_number; PRAGMA user_version = 6;";
/* ... what suppliers say; ... */
static const char TO_VERSION_5[] =
    "ALTER TABLE part DROP COLUMN own_number; ALTER TABLE part DROP COLUMN supplier;"
    "ALTER TABLE part DROP COLUMN minimum_order;"
    "ALTER TABLE part DROP COLUMN discontinued; ALTER TABLE part DROP COLUMN replaced_by;"
    "PRAGMA user_version = 5;";
/* ... a bearing's number with what a maker added, and no clearance; ... */
static const char TO_VERSION_4[] = "ALTER TABLE bearing DROP COLUMN clearance;"
                                   "UPDATE bearing SET designation = '6203-2XYZ/C4'; UPDATE part SET name = '';"
                                   "PRAGMA user_version = 4;";
/* ... columns by the names that they had before; ... */
static const char TO_VERSION_3[] = "ALTER TABLE pulley RENAME COLUMN rim_radius TO rim;"
                                   "ALTER TABLE pulley RENAME COLUMN max_speed TO max;"
                                   "UPDATE pulley SET \"over\" = 'tips' WHERE \"over\" = 'outside';"
                                   "ALTER TABLE idler RENAME COLUMN rim_radius TO rim;"
                                   "ALTER TABLE idler RENAME COLUMN max_speed TO max;"
                                   "ALTER TABLE tensioner RENAME COLUMN loads TO winds;"
                                   "ALTER TABLE tensioner RENAME COLUMN max_speed TO max;"
                                   "ALTER TABLE bearing RENAME COLUMN max_speed TO max;"
                                   "ALTER TABLE bearing RENAME COLUMN max_speed_grease TO grease_max;"
                                   "ALTER TABLE blower RENAME COLUMN leakage_speed TO slip;"
                                   "ALTER TABLE blower RENAME COLUMN max_rotor_speed TO max;"
                                   "PRAGMA user_version = 3;";
/* ... and no index of words. */
static const char TO_VERSION_2[] = "DROP TRIGGER part_text_removed; DROP TRIGGER part_text_changed;"
                                   "DROP TABLE part_word; DROP TABLE part_text;"
                                   "PRAGMA user_version = 2;";

static void fill_for_upgrades(fixture *f)
{
    fixture_must_import(f, "key,kind,source,section,ribs,diameter,over,rim_radius,max_speed\n"
                           "P,pulley,invented,PK,6,80 mm,outside,44 mm,16000 rpm\n"
                           "Q,pulley,invented,PK,6,90 mm,balls,,\n");
    fixture_must_import(f, "key,kind,source,side,diameter,arm_length,travel,preload,rate,loads\n"
                           "ARM,tensioner,invented,back,76 mm,95 mm,60 deg,25 N m,0.8 N m/deg,ccw\n");
    fixture_must_import(f, "key,kind,source,blower_kind,swept,leakage_speed,max_rotor_speed\n"
                           "B,blower,invented,roots,1.6 L,850 rpm,14000 rpm\n");
    fixture_must_import(
        f, "key,kind,source,designation,bore,outside,width,dynamic,static,rows,max_speed_grease,"
           "clearance,name\nR,bearing,invented,6203,17 mm,40 mm,12 mm,9550 N,4800 N,1,17000 rpm,C3,2XYZ\n");
}

static void expect_all_of_upgrade(fixture *f, int version)
{
    snub_error error = {0};
    snub_part part;
    assert_ok(snub_catalogue_get(f->catalogue, "P", &f->arena, &part, &error), &error);
    assert_string_equal(value_of(&part, "over")->text, "outside");
    assert_near("rim_radius", value_of(&part, "rim_radius")->number, 0.044, 1e-15, "m");
    assert_near("max_speed", value_of(&part, "max_speed")->number, 16000 * SNUB_PI / 30, 1e-9, "rad/s");
    assert_ok(snub_catalogue_get(f->catalogue, "Q", &f->arena, &part, &error), &error);
    assert_string_equal(value_of(&part, "over")->text, "balls");
    assert_ok(snub_catalogue_get(f->catalogue, "ARM", &f->arena, &part, &error), &error);
    assert_string_equal(value_of(&part, "loads")->text, "ccw");
    assert_ok(snub_catalogue_get(f->catalogue, "B", &f->arena, &part, &error), &error);
    assert_near("leakage_speed", value_of(&part, "leakage_speed")->number, 850 * SNUB_PI / 30, 1e-9, "rad/s");
    assert_near("max_rotor_speed", value_of(&part, "max_rotor_speed")->number, 14000 * SNUB_PI / 30, 1e-9, "rad/s");
    assert_ok(snub_catalogue_get(f->catalogue, "R", &f->arena, &part, &error), &error);
    assert_string_equal(value_of(&part, "designation")->text, "6203");
    assert_string_equal(value_of(&part, "clearance")->text, version < 5 ? "C4" : "C3");
    assert_string_equal(part.name, version < 5 ? "6203-2XYZ/C4" : "2XYZ");
    assert_near("grease", value_of(&part, "max_speed_grease")->number, 17000 * SNUB_PI / 30, 1e-9, "rad/s");

    snub_part_query query = {.kind = SNUB_PART_ANY, .text = "2XYZ"};
    snub_part_list list;
    assert_ok(snub_catalogue_find(f->catalogue, &query, &f->arena, &list, &error), &error);
    assert_int_equal(list.count, 1);
    long long parts;
    assert_ok(snub_catalogue_check(f->catalogue, &f->errors, &parts, &error), &error);
    assert_int_equal(f->errors.count, 0);
}

/* A file of before that is only read: it says so, and its parts are found by the numbers that it has. */
static void expect_no_history_yet(fixture *f)
{
    snub_error error = {0};
    snub_history history;
    snub_kept_maps maps;
    const char *key;
    assert_int_equal(snub_catalogue_history(f->catalogue, "P", &f->arena, &history, &error), SNUB_BAD_INPUT);
    assert_non_null(strstr(error.message, "keeps no history"));
    assert_ok(snub_catalogue_maps(f->catalogue, &f->arena, &maps, &error), &error);
    assert_int_equal(maps.count, 0);
    assert_ok(snub_catalogue_key(f->catalogue, "P", &f->arena, &key, &error), &error);
    assert_string_equal(key, "P");
    assert_int_equal(snub_catalogue_key(f->catalogue, "none", &f->arena, &key, &error), SNUB_BAD_INPUT);
}

static void upgraded_from(fixture *f, int version)
{
    static const struct {
        int version;
        const char *sql;
    } back[] = {{6, TO_VERSION_6}, {5, TO_VERSION_5}, {4, TO_VERSION_4}, {3, TO_VERSION_3}, {2, TO_VERSION_2}};
    snub_error error = {0};
    snub_text fresh = {0}, upgraded = {0};
    char told[80];
    describe_schema(f->path, &fresh);
    fill_for_upgrades(f);
    snub_catalogue_close(f->catalogue);
    f->catalogue = NULL;
    for (int i = 0; i < 5 && back[i].version >= version; i++)
        run_sql(f->path, back[i].sql);
    snprintf(told, sizeof told, "is version %d; upgrade it to version 7", version);
    if (version >= SNUB_CATALOGUE_READABLE) {
        snub_part part;
        assert_ok(snub_catalogue_open(f->path, SNUB_CATALOGUE_READ, 0, &f->catalogue, &error), &error);
        assert_ok(snub_catalogue_get(f->catalogue, "P", &f->arena, &part, &error), &error);
        assert_true(part.supplier[0] == '\0' && part.minimum_order == -1 && !part.discontinued);
        expect_no_history_yet(f);
        snub_catalogue_close(f->catalogue);
    } else {
        assert_int_equal(snub_catalogue_open(f->path, SNUB_CATALOGUE_READ, 0, &f->catalogue, &error), SNUB_BAD_INPUT);
        assert_non_null(strstr(error.message, told));
    }
    assert_ok(snub_catalogue_open(f->path, SNUB_CATALOGUE_WRITE, 1, &f->catalogue, &error), &error);
    assert_int_equal(snub_catalogue_version_found(f->catalogue), version);
    describe_schema(f->path, &upgraded);
    assert_string_equal(upgraded.data, fresh.data);
    expect_all_of_upgrade(f, version);
    snub_text_free(&fresh);
    snub_text_free(&upgraded);
}

/* What version 6 knows of a part stays; its history begins with the upgrade. */
static void version_6_is_upgraded(void **state)
{
    fixture *f = *state;
    snub_error error = {0};
    snub_history history;
    snub_part part;
    upgraded_from(f, 6);
    assert_ok(snub_catalogue_history(f->catalogue, "P", &f->arena, &history, &error), &error);
    assert_int_equal(history.count, 0);
    assert_ok(snub_catalogue_get(f->catalogue, "P", &f->arena, &part, &error), &error);
    assert_string_equal(part.supplier_number, "");
    snub_catalogue_sign(f->catalogue, "petra", "2026-01-31T14:05:00Z");
    part.stock = 4;
    assert_ok(snub_catalogue_add(f->catalogue, &part, true, &error), &error);
    assert_ok(snub_catalogue_history(f->catalogue, "P", &f->arena, &history, &error), &error);
    assert_int_equal(history.count, 1);
    assert_string_equal(history.items[0].at, "2026-01-31T14:05:00Z");
}

static void version_2_is_upgraded(void **state)
{
    upgraded_from(*state, 2);
}

static void version_3_is_upgraded(void **state)
{
    upgraded_from(*state, 3);
}

static void version_4_is_upgraded(void **state)
{
    upgraded_from(*state, 4);
}

static void version_5_is_upgraded(void **state)
{
    upgraded_from(*state, 5);
}

/* A file of version 1 whose idler names a part that is gone: the upgrade must not half happen. */
static void a_failed_upgrade_changes_nothing(void **state)
{
    fixture *f = *state;
    snub_error error = {0};
    make_version_1(f);
    run_sql(f->path, "DELETE FROM part WHERE id = 1;"); /* its sizes stay behind: no foreign keys in this connection */
    assert_int_equal(snub_catalogue_open(f->path, SNUB_CATALOGUE_WRITE, 0, &f->catalogue, &error), SNUB_BAD_INPUT);
    assert_non_null(strstr(error.message, "nothing was changed"));
    snub_text text = {0};
    describe_schema(f->path, &text);
    assert_non_null(strstr(text.data, "length_mm"));
    assert_null(strstr(text.data, "old_part"));
    snub_text_free(&text);
}

/* ---- what is not a catalogue ------------------------------------------------------------------------------------ */

static void expect_open(const char *path, snub_catalogue_mode mode, snub_status want, const char *words)
{
    snub_catalogue *catalogue = NULL;
    snub_error error = {0};
    snub_status got = snub_catalogue_open(path, mode, 0, &catalogue, &error);
    snub_catalogue_close(catalogue);
    if (got != want || !strstr(error.message, words))
        fail_msg("%s: got \"%s\": %s; want \"%s\": ...%s...", path, snub_status_text(got), error.message,
                 snub_status_text(want), words);
}

static void what_is_no_catalogue_is_told(void **state)
{
    fixture *f = *state;
    snub_error error = {0};
    char path[200];
    expect_open("", SNUB_CATALOGUE_READ, SNUB_BAD_INPUT, "no path");
    expect_open(f->directory, SNUB_CATALOGUE_READ, SNUB_IO, "not a regular file");
    snprintf(path, sizeof path, "%s/missing.db", f->directory);
    expect_open(path, SNUB_CATALOGUE_READ, SNUB_IO, "there is no catalogue");
    expect_open(path, SNUB_CATALOGUE_WRITE, SNUB_IO, "there is no catalogue");
    assert_int_equal(access(path, F_OK), -1);
    snprintf(path, sizeof path, "%s/text.db", f->directory);
    static const char text[] = "This is a letter and no database at all, although it is long enough to be looked at. "
                               "This is a letter and no database at all, although it is long enough to be looked at.";
    assert_ok(snub_file_write(path, text, sizeof text - 1, &error), &error);
    expect_open(path, SNUB_CATALOGUE_READ, SNUB_BAD_INPUT, "not an SQLite database");
    expect_open(path, SNUB_CATALOGUE_CREATE, SNUB_BAD_INPUT, "not an SQLite database");
    snprintf(path, sizeof path, "%s/other.db", f->directory);
    run_sql(path, "CREATE TABLE t(x)");
    expect_open(path, SNUB_CATALOGUE_CREATE, SNUB_BAD_INPUT, "a database, but not a snub catalogue");
    snprintf(path, sizeof path, "%s/empty.db", f->directory);
    assert_ok(snub_file_write(path, "", 0, &error), &error);
    expect_open(path, SNUB_CATALOGUE_WRITE, SNUB_BAD_INPUT, "is empty");
    run_sql(f->path, "PRAGMA user_version = 99");
    expect_open(f->path, SNUB_CATALOGUE_READ, SNUB_BAD_INPUT, "made by a newer snub");
    expect_open(f->path, SNUB_CATALOGUE_WRITE, SNUB_BAD_INPUT, "made by a newer snub");
}

/* ---- one part at a time ----------------------------------------------------------------------------------------- */

static void a_part_comes_back(void **state)
{
    fixture *f = *state;
    snub_error error = {0};
    snub_part part = belt("8PK1575", 8, 1.575), back;
    part.name = "main belt";
    part.price_milli = 41950;
    strcpy(part.currency, "EUR");
    part.stock = 0;
    part.own_number = "H-1004";
    part.supplier = "Riemen & Söhne";
    part.minimum_order = 5;
    part.discontinued = true;
    part.replaced_by = "8PK1580";
    assert_ok(snub_catalogue_add(f->catalogue, &part, false, &error), &error);
    fixture_reopen(f, SNUB_CATALOGUE_READ);
    assert_ok(snub_catalogue_get(f->catalogue, "8PK1575", &f->arena, &back, &error), &error);
    assert_int_equal(back.kind, SNUB_PART_BELT);
    assert_string_equal(back.name, "main belt");
    assert_int_equal(back.price_milli, 41950);
    assert_int_equal(back.stock, 0);
    assert_string_equal(back.own_number, "H-1004");
    assert_string_equal(back.supplier, "Riemen & Söhne");
    assert_int_equal(back.minimum_order, 5);
    assert_true(back.discontinued);
    assert_string_equal(back.replaced_by, "8PK1580");
    assert_true(value_of(&back, "length")->number == 1.575);
    assert_true(value_of(&back, "length")->minus == -0.003 && value_of(&back, "length")->plus == 0.004);
    assert_false(value_of(&back, "be")->given);
    assert_int_equal(snub_catalogue_add(f->catalogue, &part, true, &error), SNUB_IO); /* opened to read */
    assert_int_equal(snub_catalogue_get(f->catalogue, "8PK1576", &f->arena, &back, &error), SNUB_BAD_INPUT);
    assert_string_equal(error.need, "8PK1575");
}

static void a_wrong_part_is_refused(void **state)
{
    fixture *f = *state;
    snub_error error = {0};
    snub_part part = belt("8PK1575", 8, 1.575);
    assert_ok(snub_catalogue_add(f->catalogue, &part, false, &error), &error);
    assert_int_equal(snub_catalogue_add(f->catalogue, &part, false, &error), SNUB_BAD_INPUT);
    assert_non_null(strstr(error.message, "already in the catalogue"));
#define REFUSE(change, field, words)                                                                                   \
    do {                                                                                                               \
        part = belt("X", 8, 1.575);                                                                                    \
        change;                                                                                                        \
        assert_int_equal(snub_catalogue_add(f->catalogue, &part, false, &error), SNUB_BAD_INPUT);                      \
        assert_string_equal(error.key, field);                                                                         \
        assert_non_null(strstr(error.message, words));                                                                 \
    } while (0)
    REFUSE(part.key = "", "key", "missing");
    REFUSE(part.source = "", "source", "missing");
    REFUSE(part.name = "\xC3(", "name", "UTF-8");
    REFUSE(part.values[0].text = "XK", "section", "is not known");
    REFUSE(part.values[1].number = 7.5, "ribs", "whole number");
    REFUSE(part.values[2].number = 1575, "length", "out of range");
    REFUSE(part.values[2].number = NAN, "length", "out of range");
    REFUSE(part.values[2].given = false, "length", "missing");
    REFUSE(part.values[2].plus = -0.004, "length", "lower limit is above");
    REFUSE(part.values[2].plus = NAN, "length", "only one limit");
    REFUSE(part.price_milli = 5, "price", "go together");
    REFUSE(part.minimum_order = 0, "minimum_order", "less than one");
    REFUSE(part.replaced_by = "X", "replaced_by", "the part itself");
    REFUSE(part.supplier = "\xC3(", "supplier", "UTF-8");
    REFUSE(part.own_number = "\xC3(", "own_number", "UTF-8");
    assert_int_equal(fixture_count(f), 1);
}

static void a_bearing_in_use_stays(void **state)
{
    fixture *f = *state;
    snub_error error = {0};
    fixture_must_import(f, "key,kind,source,side,diameter [mm],bearing,designation,bore [mm],outside [mm],width [mm],"
                           "dynamic [kN],static [kN],rows\n"
                           "I1,idler,invented,back,76,B1,,,,,,,\n"
                           "B1,bearing,invented,,,,6203,17,40,12,9.55,4.8,1\n");
    assert_int_equal(snub_catalogue_remove(f->catalogue, "B1", &error), SNUB_BAD_INPUT);
    assert_non_null(strstr(error.message, "is the bearing of \"I1\""));
    assert_ok(snub_catalogue_remove(f->catalogue, "I1", &error), &error);
    assert_ok(snub_catalogue_remove(f->catalogue, "B1", &error), &error);
    assert_int_equal(snub_catalogue_remove(f->catalogue, "B1", &error), SNUB_BAD_INPUT);
    assert_int_equal(fixture_count(f), 0);
}

/* ---- backup and check ------------------------------------------------------------------------------------------- */

static void a_backup_is_whole(void **state)
{
    fixture *f = *state;
    snub_error error = {0};
    char path[200];
    snub_part part = belt("8PK1575", 8, 1.575), back;
    snprintf(path, sizeof path, "%s/copy.db", f->directory);
    assert_ok(snub_catalogue_add(f->catalogue, &part, false, &error), &error);
    assert_ok(snub_catalogue_backup(f->catalogue, path, false, &error), &error);
    part = belt("8PK1600", 8, 1.6);
    assert_ok(snub_catalogue_add(f->catalogue, &part, false, &error), &error);
    assert_int_equal(snub_catalogue_backup(f->catalogue, path, false, &error), SNUB_IO);
    assert_non_null(strstr(error.message, "already exists"));
    assert_int_equal(snub_catalogue_backup(f->catalogue, f->path, true, &error), SNUB_BAD_INPUT);

    snub_catalogue *copy = NULL;
    char side[220];
    snprintf(side, sizeof side, "%s-wal", path);
    assert_int_equal(access(side, F_OK), -1);
    assert_ok(snub_catalogue_open(path, SNUB_CATALOGUE_READ, 0, &copy, &error), &error);
    assert_ok(snub_catalogue_get(copy, "8PK1575", &f->arena, &back, &error), &error);
    assert_int_equal(snub_catalogue_get(copy, "8PK1600", &f->arena, &back, &error), SNUB_BAD_INPUT);
    snub_catalogue_close(copy);
    assert_ok(snub_catalogue_backup(f->catalogue, path, true, &error), &error);
    assert_ok(snub_catalogue_open(path, SNUB_CATALOGUE_READ, 0, &copy, &error), &error);
    assert_ok(snub_catalogue_get(copy, "8PK1600", &f->arena, &back, &error), &error);
    snub_catalogue_close(copy);
    snprintf(path, sizeof path, "%s/no/such/copy.db", f->directory);
    assert_int_equal(snub_catalogue_backup(f->catalogue, path, false, &error), SNUB_IO);
}

static int check_count(fixture *f, const char *words)
{
    long long parts;
    snub_error error = {0};
    snub_errors_free(&f->errors);
    f->errors = (snub_errors){0};
    assert_ok(snub_catalogue_check(f->catalogue, &f->errors, &parts, &error), &error);
    bool said = !words;
    for (int i = 0; i < f->errors.count; i++)
        said = said || strstr(f->errors.items[i].message, words);
    if (!said)
        fail_msg("check does not say \"%s\"; first of %d: %s", words, f->errors.count,
                 f->errors.count ? f->errors.items[0].message : "");
    return f->errors.count;
}

static void check_finds_what_is_wrong(void **state)
{
    fixture *f = *state;
    snub_error error = {0};
    snub_part part = belt("8PK1575", 8, 1.575);
    assert_ok(snub_catalogue_add(f->catalogue, &part, false, &error), &error);
    assert_int_equal(check_count(f, NULL), 0);
    run_sql(f->path, "UPDATE belt SET length = 900");
    assert_int_equal(check_count(f, "out of range"), 1);
    run_sql(f->path,
            "UPDATE belt SET length = 1.575; INSERT INTO shim(part, bore, outside, thickness) VALUES (1, 1, 2, 3)");
    assert_int_equal(check_count(f, "sizes"), 1);
    run_sql(f->path, "DELETE FROM shim; DROP TRIGGER part_text_changed; UPDATE part SET name = 'other'");
    assert_int_equal(check_count(f, "search index"), 1);
    run_sql(f->path, "INSERT INTO part_text(part_text) VALUES ('rebuild')");
    assert_int_equal(check_count(f, NULL), 0);
    run_sql(f->path, "DELETE FROM belt");
    assert_true(check_count(f, "sizes") > 0);
    run_sql(f->path, "INSERT INTO belt(part, section, ribs, length) VALUES (77, 'PK', 8, 1)");
    assert_true(check_count(f, "does not exist") > 0);
}

static void a_damaged_page_is_found(void **state)
{
    fixture *f = *state;
    snub_error error = {0};
    char key[32];
    for (int i = 0; i < 400; i++) {
        snprintf(key, sizeof key, "8PK%d", 1000 + i);
        snub_part part = belt(key, 8, (1000 + i) / 1000.0);
        assert_ok(snub_catalogue_add(f->catalogue, &part, false, &error), &error);
    }
    snub_catalogue_close(f->catalogue);
    f->catalogue = NULL;
    FILE *file = fopen(f->path, "r+b");
    struct stat about;
    assert_non_null(file);
    assert_int_equal(stat(f->path, &about), 0);
    for (long at = 4096 * 3; at < (long)about.st_size; at += 4096 * 2) {
        fseek(file, at, SEEK_SET);
        for (int i = 0; i < 700; i++)
            fputc(0xA5, file);
    }
    fclose(file);
    snub_status status = snub_catalogue_open(f->path, SNUB_CATALOGUE_WRITE, 0, &f->catalogue, &error);
    long long parts;
    if (status == SNUB_OK)
        status = snub_catalogue_check(f->catalogue, &f->errors, &parts, &error);
    assert_true(status == SNUB_BAD_INPUT || (status == SNUB_OK && f->errors.count > 0));
}

/* ---- memory ----------------------------------------------------------------------------------------------------- */

static void refused_memory_is_told(void **state)
{
    fixture *f = *state;
    snub_error error = {0};
    snub_part part = belt("8PK1575", 8, 1.575), back;
    snub_part_query query = {.kind = SNUB_PART_ANY, .text = "8PK1575"};
    snub_part_list list;
    assert_ok(snub_catalogue_add(f->catalogue, &part, false, &error), &error);
    for (int call = 0; call < 2; call++) {
        bool succeeded = false;
        for (long n = 1; n < 100 && !succeeded; n++) {
            snub_arena arena;
            snub_arena_init(&arena, 0);
            arena.refuse_after = n;
            snub_status status = call ? snub_catalogue_find(f->catalogue, &query, &arena, &list, &error)
                                      : snub_catalogue_get(f->catalogue, "8PK1575", &arena, &back, &error);
            assert_true(status == SNUB_OK || status == SNUB_NO_MEMORY);
            succeeded = status == SNUB_OK;
            assert_true(n > 1 || !succeeded);
            snub_arena_free(&arena);
        }
        assert_true(succeeded);
    }
}

static void paths_follow_the_rules(void **state)
{
    fixture *f = *state;
    setenv("SNUB_CATALOGUE", "/x/y.db", 1);
    assert_string_equal(snub_catalogue_path("given.db", &f->arena), "given.db");
    assert_string_equal(snub_catalogue_path(NULL, &f->arena), "/x/y.db");
    unsetenv("SNUB_CATALOGUE");
    setenv("XDG_DATA_HOME", "/data", 1);
    assert_string_equal(snub_catalogue_path(NULL, &f->arena), "/data/snub/catalogue.db");
    setenv("XDG_DATA_HOME", "relative", 1);
    setenv("HOME", "/home/somebody", 1);
    assert_string_equal(snub_catalogue_path(NULL, &f->arena), "/home/somebody/.local/share/snub/catalogue.db");
}

#define WITH(test) cmocka_unit_test_setup_teardown(test, fixture_set_up, fixture_tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        WITH(tables_have_the_fields),
        cmocka_unit_test(a_name_means_one_quantity),
        WITH(version_1_is_upgraded),
        WITH(suffixes_become_names),
        WITH(version_2_is_upgraded),
        WITH(version_3_is_upgraded),
        WITH(version_4_is_upgraded),
        WITH(version_5_is_upgraded),
        WITH(version_6_is_upgraded),
        WITH(a_failed_upgrade_changes_nothing),
        WITH(what_is_no_catalogue_is_told),
        WITH(a_part_comes_back),
        WITH(a_wrong_part_is_refused),
        WITH(a_bearing_in_use_stays),
        WITH(a_backup_is_whole),
        WITH(check_finds_what_is_wrong),
        WITH(a_damaged_page_is_found),
        WITH(refused_memory_is_told),
        WITH(paths_follow_the_rules),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
