/* The file's schema, and the steps from every older version to it. A step is never changed once released: a file of
 * that version may be anywhere. All numbers SI; a deviation `_minus`, `_plus` is added to the size. */
#include "catalogue.h"

#include <stdio.h>

/* What is the same in version 3 whether it is made new or upgraded (a new file goes through version 3, too): tables of
 * part and source ... */
static const char PART_TABLES[] =
    "CREATE TABLE source(id INTEGER PRIMARY KEY, text TEXT NOT NULL UNIQUE CHECK(text <> ''));"
    "CREATE TABLE part("
    " id INTEGER PRIMARY KEY,"
    " key TEXT NOT NULL UNIQUE CHECK(key <> ''),"
    " kind TEXT NOT NULL CHECK(kind IN "
    "  ('belt','pulley','idler','tensioner','bearing','fastener','shim','blower')),"
    " name TEXT NOT NULL DEFAULT '',"
    " source INTEGER NOT NULL REFERENCES source(id),"
    " note TEXT NOT NULL DEFAULT '',"
    " price_milli INTEGER CHECK(price_milli >= 0),"
    " currency TEXT CHECK(length(currency) = 3),"
    " stock INTEGER CHECK(stock >= 0),"
    " CHECK((price_milli IS NULL) = (currency IS NULL)));"
    "CREATE INDEX part_kind_key ON part(kind, key);";

/* ... one table of sizes for each kind ... */
static const char KIND_TABLES[] =
    "CREATE TABLE belt(part INTEGER PRIMARY KEY REFERENCES part(id) ON DELETE CASCADE,"
    " section TEXT NOT NULL, ribs INTEGER NOT NULL CHECK(ribs > 0), length REAL NOT NULL CHECK(length > 0),"
    " length_minus REAL, length_plus REAL, be REAL, back REAL, mass_per_rib REAL, stiffness_per_rib REAL,"
    " measuring_force_per_rib REAL);"
    "CREATE INDEX belt_section_ribs_length ON belt(section, ribs, length);"
    "CREATE INDEX belt_ribs_length ON belt(ribs, length);"
    "CREATE INDEX belt_length ON belt(length);"
    "CREATE TABLE pulley(part INTEGER PRIMARY KEY REFERENCES part(id) ON DELETE CASCADE,"
    " section TEXT NOT NULL, ribs INTEGER NOT NULL CHECK(ribs > 0), diameter REAL NOT NULL CHECK(diameter > 0),"
    " diameter_minus REAL, diameter_plus REAL, \"over\" TEXT, rim REAL, width REAL, bore REAL, bore_minus REAL,"
    " bore_plus REAL, inertia REAL, mass REAL, max REAL);"
    "CREATE INDEX pulley_ribs_diameter ON pulley(ribs, diameter);"
    "CREATE INDEX pulley_diameter ON pulley(diameter);"
    "CREATE TABLE idler(part INTEGER PRIMARY KEY REFERENCES part(id) ON DELETE CASCADE,"
    " side TEXT NOT NULL, ribs INTEGER CHECK(ribs > 0), diameter REAL NOT NULL CHECK(diameter > 0),"
    " diameter_minus REAL, diameter_plus REAL, rim REAL, width REAL, bore REAL, bore_minus REAL, bore_plus REAL,"
    " inertia REAL, mass REAL, max REAL,"
    " bearing TEXT REFERENCES part(key) ON UPDATE CASCADE DEFERRABLE INITIALLY DEFERRED);"
    "CREATE INDEX idler_diameter ON idler(diameter);"
    "CREATE INDEX idler_bearing ON idler(bearing);"
    "CREATE TABLE tensioner(part INTEGER PRIMARY KEY REFERENCES part(id) ON DELETE CASCADE,"
    " side TEXT NOT NULL, diameter REAL NOT NULL CHECK(diameter > 0), diameter_minus REAL, diameter_plus REAL,"
    " width REAL, inertia REAL, mass REAL, max REAL,"
    " bearing TEXT REFERENCES part(key) ON UPDATE CASCADE DEFERRABLE INITIALLY DEFERRED,"
    " arm_length REAL NOT NULL CHECK(arm_length > 0), arm_length_minus REAL, arm_length_plus REAL, winds TEXT,"
    " travel REAL NOT NULL CHECK(travel > 0), preload REAL NOT NULL, preload_minus REAL, preload_plus REAL,"
    " rate REAL NOT NULL, rate_minus REAL, rate_plus REAL, damping REAL, arm_inertia REAL, work_from REAL,"
    " work_to REAL);"
    "CREATE INDEX tensioner_diameter ON tensioner(diameter);"
    "CREATE INDEX tensioner_bearing ON tensioner(bearing);"
    "CREATE TABLE bearing(part INTEGER PRIMARY KEY REFERENCES part(id) ON DELETE CASCADE,"
    " designation TEXT NOT NULL, bore REAL NOT NULL CHECK(bore > 0), bore_minus REAL, bore_plus REAL,"
    " outside REAL NOT NULL, outside_minus REAL, outside_plus REAL, width REAL NOT NULL, width_minus REAL,"
    " width_plus REAL, dynamic REAL NOT NULL, static REAL NOT NULL, f0 REAL, fatigue REAL, max REAL,"
    " grease_max REAL, seal TEXT, contact TEXT, rows INTEGER NOT NULL CHECK(rows > 0), row_spacing REAL, CHECK(outside "
    "> bore));"
    "CREATE INDEX bearing_bore ON bearing(bore);"
    "CREATE TABLE fastener(part INTEGER PRIMARY KEY REFERENCES part(id) ON DELETE CASCADE,"
    " thread TEXT NOT NULL, nominal REAL NOT NULL CHECK(nominal > 0), pitch REAL NOT NULL CHECK(pitch > 0),"
    " stress_area REAL NOT NULL CHECK(stress_area > 0), class TEXT NOT NULL, proof_load REAL NOT NULL,"
    " tensile_load REAL, bolt_length REAL, bolt_length_minus REAL, bolt_length_plus REAL);"
    "CREATE INDEX fastener_nominal ON fastener(nominal);"
    "CREATE TABLE shim(part INTEGER PRIMARY KEY REFERENCES part(id) ON DELETE CASCADE,"
    " bore REAL NOT NULL CHECK(bore > 0), bore_minus REAL, bore_plus REAL, outside REAL NOT NULL, outside_minus REAL,"
    " outside_plus REAL, thickness REAL NOT NULL CHECK(thickness > 0), thickness_minus REAL, thickness_plus REAL,"
    " CHECK(outside > bore));"
    "CREATE INDEX shim_thickness ON shim(thickness);"
    "CREATE TABLE blower(part INTEGER PRIMARY KEY REFERENCES part(id) ON DELETE CASCADE,"
    " blower_kind TEXT NOT NULL, swept REAL, internal_ratio REAL, slip REAL, mechanical REAL, step_up REAL, max REAL,"
    " design_speed REAL, design_flow REAL, design_ratio REAL, isentropic REAL, mass REAL);"
    "CREATE INDEX blower_swept ON blower(swept);";

/* ... and the index of words. It follows changes and removals by itself; a new part is put into it by rows.c, for a
 * trigger there would make SQLite keep a journal for every single row of an import (a third of its time). */
static const char TEXT_INDEX[] =
    "CREATE VIRTUAL TABLE part_text USING fts5(key, name, note, kind, content='part', content_rowid='id',"
    " tokenize='unicode61 remove_diacritics 2', prefix='2 3');"
    "INSERT INTO part_text(part_text, rank) VALUES ('hashsize', 16777216);" /* bytes gathered before they are written */
    "CREATE VIRTUAL TABLE part_word USING fts5vocab(part_text, instance);"  /* the same index, by word */
    "CREATE TRIGGER part_text_removed AFTER DELETE ON part BEGIN"
    " INSERT INTO part_text(part_text, rowid, key, name, note, kind)"
    " VALUES ('delete', old.id, old.key, old.name, old.note, old.kind); END;"
    "CREATE TRIGGER part_text_changed AFTER UPDATE OF id, key, name, note, kind ON part BEGIN"
    " INSERT INTO part_text(part_text, rowid, key, name, note, kind)"
    " VALUES ('delete', old.id, old.key, old.name, old.note, old.kind);"
    " INSERT INTO part_text(rowid, key, name, note, kind) VALUES (new.id, new.key, new.name, new.note, new.kind); END;";

/* Version 1 held sizes in mm in five kinds, the source as text in each row and the price as a real number of the
 * currency's unit. Version 2 is SI, has every kind and tolerances, a table of sources and exact prices. A row of
 * version 1 that had no source says so. A real price is rounded to the thousandth, which it was meant as. */
static const char FROM_1_A[] = "ALTER TABLE part RENAME TO old_part;"
                               "ALTER TABLE belt RENAME TO old_belt;"
                               "ALTER TABLE pulley RENAME TO old_pulley;"
                               "ALTER TABLE idler RENAME TO old_idler;"
                               "ALTER TABLE bearing RENAME TO old_bearing;"
                               "ALTER TABLE tensioner RENAME TO old_tensioner;"
                               "DROP INDEX IF EXISTS belt_length;"
                               "DROP INDEX IF EXISTS pulley_diameter;";
static const char FROM_1_B[] =
    "INSERT OR IGNORE INTO source(text)"
    " SELECT coalesce(nullif(source, ''), 'not given (catalogue of version 1)') FROM old_part ORDER BY id;"
    "INSERT INTO part(id, key, kind, name, source, note, price_milli, currency, stock)"
    " SELECT o.id, o.key, o.kind, o.name, s.id, '',"
    "  CASE WHEN o.currency IS NOT NULL THEN CAST(round(o.price * 1000) AS INTEGER) END,"
    "  CASE WHEN o.price IS NOT NULL THEN o.currency END, o.stock"
    " FROM old_part o JOIN source s ON s.text = coalesce(nullif(o.source, ''), 'not given (catalogue of version 1)');"
    "INSERT INTO belt(part, section, ribs, length) SELECT part, section, ribs, length_mm / 1000.0 FROM old_belt;"
    "INSERT INTO pulley(part, section, ribs, diameter, inertia)"
    " SELECT part, section, ribs, diameter_mm / 1000.0, inertia_kg_m2 FROM old_pulley;"
    "INSERT INTO idler(part, side, diameter, bearing)"
    " SELECT part, side, diameter_mm / 1000.0,"
    "  (SELECT b.key FROM old_part b WHERE b.id = old_idler.bearing) FROM old_idler;"
    "INSERT INTO tensioner(part, side, diameter, arm_length, travel, preload, rate, damping)"
    " SELECT part, side, diameter_mm / 1000.0, arm_mm / 1000.0, radians(travel_deg), preload_N_m,"
    "  rate_N_m_deg / radians(1.0), damping FROM old_tensioner;"
    "INSERT INTO bearing(part, designation, bore, outside, width, dynamic, static, rows, max)"
    " SELECT part, designation, bore_mm / 1000.0, outside_mm / 1000.0, width_mm / 1000.0, dynamic_kN * 1000.0,"
    "  static_kN * 1000.0, rows, max_rpm * acos(-1.0) / 30.0 FROM old_bearing;"
    "DROP TABLE old_belt; DROP TABLE old_pulley; DROP TABLE old_idler; DROP TABLE old_bearing;"
    "DROP TABLE old_tensioner; DROP TABLE old_part;";

/* Version 3 is version 2 and the index of words. */
static const char FROM_2[] = "INSERT INTO part_text(part_text) VALUES ('rebuild');";

/* Version 4 is version 3 with the columns by the names that the drive file has for them now. */
static const char FROM_3[] = "ALTER TABLE pulley RENAME COLUMN rim TO rim_radius;"
                             "ALTER TABLE pulley RENAME COLUMN max TO max_speed;"
                             "UPDATE pulley SET \"over\" = 'outside' WHERE \"over\" = 'tips';"
                             "ALTER TABLE idler RENAME COLUMN rim TO rim_radius;"
                             "ALTER TABLE idler RENAME COLUMN max TO max_speed;"
                             "ALTER TABLE tensioner RENAME COLUMN winds TO loads;"
                             "ALTER TABLE tensioner RENAME COLUMN max TO max_speed;"
                             "ALTER TABLE bearing RENAME COLUMN max TO max_speed;"
                             "ALTER TABLE bearing RENAME COLUMN grease_max TO max_speed_grease;"
                             "ALTER TABLE blower RENAME COLUMN slip TO leakage_speed;"
                             "ALTER TABLE blower RENAME COLUMN max TO max_rotor_speed;";

/* Version 5 has a bearing's clearance in a column, and its basic number alone as designation. What stood behind the
 * number becomes the part's name where it has none, so that nothing is lost; the clearance is read out of it. Leading
 * figures and slashes as snub_bearing_number. */
static const char FROM_4[] =
    "ALTER TABLE bearing ADD COLUMN clearance TEXT;"
    "CREATE TEMP TABLE suffixed AS SELECT part, designation AS old, rtrim(substr(designation, 1,"
    "  length(designation) - length(ltrim(designation, '0123456789/'))), '/') AS number FROM bearing;"
    "DELETE FROM suffixed WHERE old = number OR length(number) < 3 OR old NOT GLOB '[0-9][0-9]*';"
    "UPDATE part SET name = (SELECT old FROM suffixed WHERE suffixed.part = part.id)"
    " WHERE name = '' AND id IN (SELECT part FROM suffixed);"
    "UPDATE bearing SET designation = (SELECT number FROM suffixed WHERE suffixed.part = bearing.part),"
    " clearance = (SELECT CASE WHEN old GLOB '*[-/ ]C2' THEN 'C2' WHEN old GLOB '*[-/ ]CN' THEN 'CN'"
    "  WHEN old GLOB '*[-/ ]C3' THEN 'C3' WHEN old GLOB '*[-/ ]C4' THEN 'C4' END FROM suffixed"
    "  WHERE suffixed.part = bearing.part)"
    " WHERE part IN (SELECT part FROM suffixed);"
    "DROP TABLE suffixed;";

/* Version 6 has what a supplier says of a part, whatever its kind, and the house's own number for it. */
static const char FROM_5[] = "ALTER TABLE part ADD COLUMN own_number TEXT NOT NULL DEFAULT '';"
                             "ALTER TABLE part ADD COLUMN supplier TEXT NOT NULL DEFAULT '';"
                             "ALTER TABLE part ADD COLUMN minimum_order INTEGER CHECK(minimum_order > 0);"
                             "ALTER TABLE part ADD COLUMN discontinued INTEGER NOT NULL DEFAULT 0"
                             " CHECK(discontinued IN (0, 1));"
                             "ALTER TABLE part ADD COLUMN replaced_by TEXT NOT NULL DEFAULT '';";

/* Version 7 has the number by which the supplier sells a part, who changed what and when, and how suppliers' files are
 * read. A change keeps the part's key, not its row: it outlives the part. */
static const char FROM_6[] =
    "ALTER TABLE part ADD COLUMN supplier_number TEXT NOT NULL DEFAULT '';"
    "CREATE INDEX part_own_number ON part(own_number) WHERE own_number <> '';"
    "CREATE INDEX part_supplier_number ON part(supplier_number) WHERE supplier_number <> '';"
    "CREATE TABLE event(id INTEGER PRIMARY KEY, at TEXT NOT NULL, user TEXT NOT NULL, host TEXT NOT NULL,"
    " file TEXT NOT NULL);"
    "CREATE TABLE change(id INTEGER PRIMARY KEY, event INTEGER NOT NULL REFERENCES event(id), key TEXT NOT NULL,"
    " what TEXT NOT NULL CHECK(what IN ('added', 'changed', 'removed')), field TEXT NOT NULL DEFAULT '',"
    " old TEXT, now TEXT);"
    "CREATE INDEX change_key ON change(key);"
    "CREATE TABLE supplier_map(supplier TEXT PRIMARY KEY CHECK(supplier <> ''), text TEXT NOT NULL,"
    " event INTEGER NOT NULL REFERENCES event(id));";

/* All three in one statement, so of one moment: another program may just be making the catalogue. */
static snub_status read_marks(snub_catalogue *catalogue, long long *application, long long *user, long long *tables,
                              snub_error *error)
{
    sqlite3_stmt *statement = NULL;
    snub_status status = snub_sql_prepare(catalogue, &statement,
                                          "SELECT (SELECT application_id FROM pragma_application_id),"
                                          " (SELECT user_version FROM pragma_user_version),"
                                          " (SELECT count(*) FROM sqlite_schema)",
                                          error);
    if (status == SNUB_OK) {
        if (sqlite3_step(statement) == SQLITE_ROW) {
            *application = sqlite3_column_int64(statement, 0);
            *user = sqlite3_column_int64(statement, 1);
            *tables = sqlite3_column_int64(statement, 2);
        } else {
            status = snub_sql_failed(catalogue, "reading", error);
        }
    }
    sqlite3_finalize(statement);
    return status;
}

snub_status snub_schema_look(snub_catalogue *catalogue, int *version, snub_error *error)
{
    long long application = 0, user = 0, tables = 0;
    snub_status status = read_marks(catalogue, &application, &user, &tables, error);
    if (status != SNUB_OK)
        return status;
    snub_place place = {catalogue->path, 0, 0, 0, 0};
    if (application == 0 && user == 0 && tables == 0) {
        *version = 0;
        return SNUB_OK;
    }
    if (application != SNUB_CATALOGUE_APPLICATION || user < 1)
        return snub_fail(error, SNUB_BAD_INPUT, &place, NULL, "is a database, but not a snub catalogue");
    if (user > SNUB_CATALOGUE_VERSION)
        return snub_fail(error, SNUB_BAD_INPUT, &place, NULL,
                         "is version %lld, made by a newer snub; this one reads versions up to %d", user,
                         (int)SNUB_CATALOGUE_VERSION);
    *version = (int)user;
    return SNUB_OK;
}

static snub_status run_all(snub_catalogue *catalogue, const char *const *steps, snub_error *error)
{
    snub_status status = SNUB_OK;
    for (int i = 0; steps[i] && status == SNUB_OK; i++)
        status = snub_sql_run(catalogue, steps[i], error);
    return status;
}

static snub_status upgrade_from(snub_catalogue *catalogue, int version, snub_error *error)
{
    static const char *const made[] = {PART_TABLES, KIND_TABLES, TEXT_INDEX, FROM_3, FROM_4, FROM_5, FROM_6, NULL};
    static const char *const from_1[] = {FROM_1_A, PART_TABLES, KIND_TABLES, FROM_1_B, NULL};
    static const char *const from_2[] = {TEXT_INDEX, FROM_2, NULL};
    if (version == 0)
        return run_all(catalogue, made, error);
    snub_status status = version < 2 ? run_all(catalogue, from_1, error) : SNUB_OK;
    if (status == SNUB_OK && version < 3)
        status = run_all(catalogue, from_2, error);
    if (status == SNUB_OK && version < 4)
        status = snub_sql_run(catalogue, FROM_3, error);
    if (status == SNUB_OK && version < 5)
        status = snub_sql_run(catalogue, FROM_4, error);
    if (status == SNUB_OK && version < 6)
        status = snub_sql_run(catalogue, FROM_5, error);
    return status == SNUB_OK ? snub_sql_run(catalogue, FROM_6, error) : status;
}

static snub_status check_keys(snub_catalogue *catalogue, snub_error *error)
{
    long long broken = 0;
    snub_status status = snub_sql_integer(catalogue, "SELECT count(*) FROM pragma_foreign_key_check", &broken, error);
    if (status == SNUB_OK && broken) {
        snub_place place = {catalogue->path, 0, 0, 0, 0};
        return snub_fail(error, SNUB_BAD_INPUT, &place, NULL,
                         "%lld rows refer to a part that does not exist; nothing was changed", broken);
    }
    return status;
}

/* Foreign keys are off while tables are swapped (SQLite heeds that only outside a transaction), and all of them are
 * checked before the end. */
snub_status snub_schema_upgrade(snub_catalogue *catalogue, int version, snub_error *error)
{
    if (version == SNUB_CATALOGUE_VERSION)
        return SNUB_OK;
    char stamp[96];
    snprintf(stamp, sizeof stamp, "PRAGMA application_id = %d; PRAGMA user_version = %d;",
             (int)SNUB_CATALOGUE_APPLICATION, (int)SNUB_CATALOGUE_VERSION);
    snub_status status = snub_sql_run(catalogue, "PRAGMA foreign_keys = OFF; PRAGMA legacy_alter_table = ON;", error);
    if (status == SNUB_OK)
        status = snub_sql_begin(catalogue, error);
    int now = 0;
    if (status == SNUB_OK)
        status = snub_schema_look(catalogue, &now, error); /* another program may have been quicker */
    if (status == SNUB_OK && now != SNUB_CATALOGUE_VERSION) {
        status = upgrade_from(catalogue, now, error);
        if (status == SNUB_OK)
            status = check_keys(catalogue, error);
        if (status == SNUB_OK)
            status = snub_sql_run(catalogue, stamp, error);
    }
    if (status == SNUB_OK)
        status = snub_sql_commit(catalogue, error);
    else
        snub_sql_roll_back(catalogue);
    snub_status back = snub_sql_run(catalogue, "PRAGMA foreign_keys = ON; PRAGMA legacy_alter_table = OFF;",
                                    status == SNUB_OK ? error : NULL);
    return status != SNUB_OK ? status : back;
}
