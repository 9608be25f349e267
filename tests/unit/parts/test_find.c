/* Looking for parts, against a plain loop over all of them; and the drive reader's view of the catalogue. */
#include "catalogue_fixture.h"

#include <math.h>
#include <pthread.h>

#include "support/near.h"

enum { BELTS = 600, PULLEYS = 300 };

static double belt_length(int i)
{
    return (700 + 5 * (i % 300)) / 1000.0;
}
static int belt_ribs(int i)
{
    return 4 + 2 * (i % 4);
}
static double pulley_diameter(int i)
{
    return (45 + i % 150) / 1000.0;
}

/* Names with a common word, a rare word, and one with an accent. */
static void fill(fixture *f)
{
    snub_text csv = {0};
    snub_text_puts(&csv, "key,kind,name,source,stock,section,ribs,length [mm],diameter [mm],max_speed [rpm]\n");
    for (int i = 0; i < BELTS; i++)
        snub_text_printf(&csv, "BELT-%d,belt,%s%s,invented,%d,PK,%d,%.17g,,\n", i, i % 2 ? "common " : "",
                         i % 97 == 0 ? "rare" : "", i % 3, belt_ribs(i), belt_length(i) * 1000);
    for (int i = 0; i < PULLEYS; i++)
        snub_text_printf(&csv, "PULLEY-%d,pulley,%s,invented,,PK,%d,,%.17g,%d\n", i,
                         i % 5 ? "common" : "caf\xC3\xA9 common", belt_ribs(i), pulley_diameter(i) * 1000,
                         8000 + 10 * i);
    fixture_must_import(f, csv.data);
    snub_text_free(&csv);
}

static int found(fixture *f, const snub_part_query *query, snub_part_list *list)
{
    snub_error error = {0};
    assert_ok(snub_catalogue_find(f->catalogue, query, &f->arena, list, &error), &error);
    return list->count;
}

static void sizes_agree_with_a_loop(void **state)
{
    fixture *f = *state;
    snub_part_list list;
    fill(f);
    for (int trial = 0; trial < 60; trial++) {
        double from = 0.7 + 0.023 * trial, to = from + 0.004 * (trial % 20);
        int ribs = 4 + 2 * (trial % 4);
        for (int mode = 0; mode < 8; mode++) {
            bool by_ribs = mode & 1, by_word = mode & 2, by_stock = mode & 4;
            snub_part_query query = {
                .kind = SNUB_PART_BELT, .most = 5000, .in_stock = by_stock, .text = by_word ? "common" : NULL};
            query.windows[query.window_count++] = (snub_part_window){"length", from, to, NULL};
            if (by_ribs)
                query.windows[query.window_count++] = (snub_part_window){"ribs", ribs, ribs, NULL};
            int want = 0;
            for (int i = 0; i < BELTS; i++)
                want += belt_length(i) >= from * (1 - 1e-9) && belt_length(i) <= to * (1 + 1e-9) &&
                        (!by_ribs || belt_ribs(i) == ribs) && (!by_word || i % 2) && (!by_stock || i % 3 > 0);
            int got = found(f, &query, &list);
            if (got != want)
                fail_msg("trial %d mode %d: got %d belts, want %d", trial, mode, got, want);
            for (int i = 1; i < list.count; i++)
                assert_true(value_of(&list.items[i - 1], "length")->number <=
                            value_of(&list.items[i], "length")->number);
        }
    }
}

/* Both ways of combining size and words: few of that size, and many. */
static void words_and_sizes_together(void **state)
{
    fixture *f = *state;
    snub_part_list list;
    fill(f);
    snub_part_query query = {.kind = SNUB_PART_ANY, .most = 5000, .text = "rare"};
    assert_int_equal(found(f, &query, &list), 7);                                      /* 0, 97, ... 582 */
    query.windows[query.window_count++] = (snub_part_window){"length", 0.1, 10, NULL}; /* all 600: more than a few */
    assert_int_equal(found(f, &query, &list), 7);
    query.windows[0].to = 0.9;
    int want = 0;
    for (int i = 0; i < BELTS; i += 97)
        want += belt_length(i) <= 0.9 * (1 + 1e-9);
    assert_int_equal(found(f, &query, &list), want);
    query.window_count = 0;
    query.text = "BELT-582";
    assert_int_equal(found(f, &query, &list), 1);
    query.text = "cafe*"; /* the index sees through the accent */
    assert_int_equal(found(f, &query, &list), PULLEYS / 5);
    query.text = "comm* pulley";
    assert_int_equal(found(f, &query, &list), PULLEYS);
    query.kind = SNUB_PART_BELT;
    assert_int_equal(found(f, &query, &list), 0); /* "pulley" stands in no belt's key, name or note */
    query.text = "bel";
    assert_int_equal(found(f, &query, &list), 0);
}

static void the_query_language_of_the_index_is_not_reached(void **state)
{
    fixture *f = *state;
    snub_part_list list;
    snub_error error = {0};
    fill(f);
    static const char *const texts[] = {"common OR rare", "NOT rare", "kind:belt",   "\"common", "comm\"on",
                                        "rare AND",       "(rare",    "{name}:rare", "rare^2",   "NEAR(common rare)",
                                        "*common",        "common**", "a'b"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        snub_part_query query = {.kind = SNUB_PART_ANY, .text = texts[i]};
        assert_ok(snub_catalogue_find(f->catalogue, &query, &f->arena, &list, &error), &error);
    }
    snub_part_query query = {.kind = SNUB_PART_ANY, .text = "common OR rare"};
    assert_int_equal(found(f, &query, &list), 0); /* "or" is a word like any other */
    query.text = " ,;\" ";
    assert_int_equal(snub_catalogue_find(f->catalogue, &query, &f->arena, &list, &error), SNUB_BAD_INPUT);
    query.text = "a b c d e f g h i j k l m n o p q";
    assert_int_equal(snub_catalogue_find(f->catalogue, &query, &f->arena, &list, &error), SNUB_TOO_LARGE);
}

static void limits_and_wrong_questions(void **state)
{
    fixture *f = *state;
    snub_part_list list;
    snub_error error = {0};
    fill(f);
    snub_part_query query = {.kind = SNUB_PART_BELT, .most = 10};
    assert_int_equal(found(f, &query, &list), 10);
    assert_true(list.more);
    assert_string_equal(list.items[0].key, "BELT-0");
    query.most = BELTS;
    assert_int_equal(found(f, &query, &list), BELTS);
    assert_false(list.more);
    query = (snub_part_query){.kind = SNUB_PART_ANY, .most = 40};
    query.windows[query.window_count++] = (snub_part_window){"diameter", 0.05, 0.06, NULL};
    assert_int_equal(found(f, &query, &list), 22);
    query.most = 22;
    assert_int_equal(found(f, &query, &list), 22);
    assert_false(list.more);
    query.most = 21;
    assert_int_equal(found(f, &query, &list), 21);
    assert_true(list.more);
    query.windows[0] = (snub_part_window){"max_speed", 8000 * SNUB_PI / 30, 8055 * SNUB_PI / 30, NULL};
    assert_int_equal(found(f, &query, &list), 6);
    query.windows[0] = (snub_part_window){"section", 0, 0, "PK"};
    query.most = 5000;
    assert_int_equal(found(f, &query, &list), BELTS + PULLEYS);
    static const snub_part_window wrong[] = {{"nothing", 0, 1, NULL},
                                             {"length", 2, 1, NULL},
                                             {"length", 0, 0, "word"},
                                             {"section", 0, 1, NULL},
                                             {"length", NAN, 1, NULL}};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        query.windows[0] = wrong[i];
        assert_int_equal(snub_catalogue_find(f->catalogue, &query, &f->arena, &list, &error), SNUB_BAD_INPUT);
    }
    query.kind = SNUB_PART_BELT;
    query.windows[0] = (snub_part_window){"diameter", 0, 1, NULL};
    assert_int_equal(snub_catalogue_find(f->catalogue, &query, &f->arena, &list, &error), SNUB_BAD_INPUT);
}

/* ---- for the drive reader --------------------------------------------------------------------------------------- */

static void fill_for_drive(fixture *f)
{
    fixture_must_import(f, "key,kind,source,section,ribs,length,length tolerance,be,mass_per_rib,stiffness_per_rib\n"
                           "8PK1575,belt,invented,PK,8,1575 mm,+3/-4 mm,2 mm,0.019 kg/m,28000 N\n"
                           "8PK1500,belt,invented,PK,8,1500 mm,,,,\n8PK1500B,belt,invented,PK,8,1500 mm,,,,\n"
                           "6PK1600,belt,invented,PK,6,1600 mm,,,,\n8PJ1600,belt,invented,PJ,8,1600 mm,,,,\n");
    fixture_must_import(f, "key,kind,source,section,ribs,diameter,over,inertia,max_speed,bore\n"
                           "P80,pulley,invented,PK,8,80 mm,outside,0.0016 kg m2,16000 rpm,17 mm\n"
                           "P75,pulley,invented,PK,8,75 mm,,,,\n");
    fixture_must_import(f,
                        "key,kind,source,side,diameter,arm_length,travel,preload,rate,damping,loads,work_from,work_to\n"
                        "ARM,tensioner,invented,back,76 mm,95 mm,60 deg,25 N m,0.8 N m/deg,0.2,cw,8 deg,52 deg\n");
    fixture_must_import(
        f, "key,kind,source,blower_kind,swept,internal_ratio,leakage_speed,mechanical,max_rotor_speed,mass\n"
           "TS,blower,invented,twin-screw,1.6 L,1.3,850 rpm,0.92,16000 rpm,12 kg\n");
    fixture_must_import(f, "key,kind,source,thread,nominal,pitch,stress_area,class,proof_load\n"
                           "M10,fastener,invented,M10,10 mm,1.5 mm,58 mm2,8.8,33700 N\n");
}

static const snub_node *at(const snub_node *map, const char *key)
{
    for (int i = 0; i < map->count; i++)
        if (strcmp(map->keys[i]->text, key) == 0)
            return map->items[i];
    fail_msg("no key %s", key);
    return NULL;
}

static snub_node *part_map(fixture *f, const char *kind, const char *key)
{
    snub_part_sale sale = {"", "", false, "", ""};
    snub_part_source source;
    snub_node *map = NULL;
    snub_error error = {0};
    snub_parts_source(f->catalogue, &source);
    assert_ok(source.find(source.context, kind, key, &f->arena, &map, &sale, &error), &error);
    assert_int_equal(map->kind, SNUB_MAP);
    assert_string_equal(map->from_part, key);
    return map;
}

static void maps_are_as_the_drive_file_writes(void **state)
{
    fixture *f = *state;
    fill_for_drive(f);
    snub_node *map = part_map(f, "belt", "8PK1575");
    assert_string_equal(at(map, "length")->text, "1575 mm");
    assert_string_equal(at(map, "ribs")->text, "8");
    assert_string_equal(at(map, "tolerance")->text, "4 mm");
    assert_string_equal(at(map, "mass")->text, "0.019 kg/m");
    assert_string_equal(at(map, "stiffness")->text, "28000 N");
    map = part_map(f, "pulley", "P80");
    assert_int_equal(map->count, 4); /* bore and section are no keys of a pulley there */
    assert_string_equal(at(map, "ribs")->text, "8");
    assert_string_equal(at(at(map, "diameter"), "value")->text, "80 mm");
    assert_string_equal(at(at(map, "diameter"), "over")->text, "outside");
    assert_string_equal(at(map, "max_speed")->text, "16000 rpm");
    map = part_map(f, "pulley", "P75");
    assert_string_equal(at(map, "diameter")->text, "75 mm");
    map = part_map(f, "arm", "ARM");
    assert_string_equal(at(map, "rate")->text, "0.8 N m/deg");
    assert_string_equal(at(map, "loads")->text, "cw");
    assert_int_equal(at(map, "work")->kind, SNUB_LIST);
    assert_string_equal(at(map, "work")->items[0]->text, "8 deg");
    assert_string_equal(at(map, "work")->items[1]->text, "52 deg");
    map = part_map(f, "pulley", "ARM");
    assert_string_equal(at(map, "diameter")->text, "76 mm");
    assert_string_equal(at(at(map, "arm"), "length")->text, "95 mm");
    map = part_map(f, "blower", "TS");
    assert_string_equal(at(map, "kind")->text, "twin-screw");
    assert_string_equal(at(map, "swept")->text, "1.6 L");
    map = part_map(f, "bolt", "M10");
    assert_string_equal(at(map, "class")->text, "8.8");
    assert_true(at(map, "class")->quoted);
}

static void wrong_parts_are_told(void **state)
{
    snub_part_sale sale = {"", "", false, "", ""};
    fixture *f = *state;
    snub_part_source source;
    snub_node *map = NULL;
    snub_error error = {0};
    fill_for_drive(f);
    snub_parts_source(f->catalogue, &source);
    assert_int_equal(source.find(source.context, "belt", "P80", &f->arena, &map, &sale, &error), SNUB_BAD_INPUT);
    assert_non_null(strstr(error.message, "is a pulley"));
    assert_int_equal(source.find(source.context, "arm", "P80", &f->arena, &map, &sale, &error), SNUB_BAD_INPUT);
    assert_int_equal(source.find(source.context, "belt", "8PK1576", &f->arena, &map, &sale, &error), SNUB_BAD_INPUT);
    assert_string_equal(error.need, "8PK1575");
    assert_int_equal(source.find(source.context, "wheel", "P80", &f->arena, &map, &sale, &error), SNUB_BAD_INPUT);
    assert_null(map);
    for (long n = 1; n < 200; n++) {
        snub_arena arena;
        snub_arena_init(&arena, 0);
        arena.refuse_after = n;
        snub_status status = source.find(source.context, "pulley", "ARM", &arena, &map, &sale, &error);
        assert_true(status == SNUB_OK || status == SNUB_NO_MEMORY);
        snub_arena_free(&arena);
        if (status == SNUB_OK)
            return;
        assert_true(n < 199);
    }
}

static void belts_in_stock_are_listed(void **state)
{
    fixture *f = *state;
    snub_part_source source;
    snub_error error = {0};
    snub_stock_belt *stock = NULL;
    int count = -1;
    fill_for_drive(f);
    snub_parts_source(f->catalogue, &source);
    assert_ok(source.belts(source.context, "PK", 8, &f->arena, &stock, &count, &error), &error);
    assert_int_equal(count, 3); /* two makes of one length are two belts */
    assert_near("first", stock[0].length, 1.5, 1e-15, "m");
    assert_string_equal(stock[0].part, "8PK1500");
    assert_true(isnan(stock[0].be) && isnan(stock[0].tolerance));
    assert_string_equal(stock[1].part, "8PK1500B");
    assert_near("third", stock[2].length, 1.575, 1e-15, "m");
    assert_near("its tolerance, the wider side", stock[2].tolerance, 0.004, 1e-15, "m");
    assert_ok(source.belts(source.context, "PK", 10, &f->arena, &stock, &count, &error), &error);
    assert_int_equal(count, 0);
}

/* A chart reads its builds in several threads, all through one source. */
typedef struct asker {
    snub_part_source source;
    int wrong;
} asker;

static void *ask(void *context)
{
    snub_part_sale sale = {"", "", false, "", ""};
    asker *a = context;
    static const char *const keys[] = {"8PK1575", "8PK1500", "6PK1600"};
    for (int i = 0; i < 300; i++) {
        snub_arena arena;
        snub_node *map = NULL;
        snub_stock_belt *stock;
        int count = 0;
        snub_arena_init(&arena, 0);
        a->wrong += a->source.find(a->source.context, "belt", keys[i % 3], &arena, &map, &sale, NULL) != SNUB_OK;
        a->wrong += map == NULL || strcmp(map->from_part, keys[i % 3]) != 0;
        a->wrong += a->source.belts(a->source.context, "PK", 8, &arena, &stock, &count, NULL) != SNUB_OK || count != 3;
        snub_arena_free(&arena);
    }
    return NULL;
}

static void several_threads_may_ask(void **state)
{
    fixture *f = *state;
    enum { THREADS = 4 };
    pthread_t threads[THREADS];
    asker askers[THREADS];
    fill_for_drive(f);
    fixture_reopen(f, SNUB_CATALOGUE_READ);
    for (int i = 0; i < THREADS; i++) {
        askers[i].wrong = 0;
        snub_parts_source(f->catalogue, &askers[i].source);
        assert_int_equal(pthread_create(&threads[i], NULL, ask, &askers[i]), 0);
    }
    for (int i = 0; i < THREADS; i++) {
        pthread_join(threads[i], NULL);
        assert_int_equal(askers[i].wrong, 0);
    }
}

static const char DRIVE[] = "snub: 1\n"
                            "belt: {part: 8PK1575, stock: catalogue, length: 1500}\n"
                            "pulleys:\n"
                            "- {name: crank, role: crank, at: [0, 0], diameter: 185}\n"
                            "- {name: tensioner, part: ARM, arm: {part: ARM, pivot: [-220, 130], free: 20}}\n"
                            "- {name: blower, part: P80, at: [0, 360], max_speed: 12000, blower: {part: TS}}\n";

static void a_drive_is_read_from_parts(void **state)
{
    fixture *f = *state;
    snub_document document;
    snub_drive drive;
    snub_part_source source;
    fill_for_drive(f);
    snub_parts_source(f->catalogue, &source);
    snub_reading reading = {.units = f->units, .arena = &f->arena, .parts = &source};
    snub_errors_free(&f->errors);
    f->errors = (snub_errors){0};
    assert_int_equal(snub_document_parse("d.yaml", DRIVE, sizeof DRIVE - 1, &f->arena, &document, &f->errors), SNUB_OK);
    snub_status status = snub_drive_read(&document, &reading, &drive, &f->errors);
    for (int i = 0; i < f->errors.count; i++)
        print_error("%s: %s (got %s)\n", f->errors.items[i].key, f->errors.items[i].message, f->errors.items[i].got);
    assert_int_equal(status, SNUB_OK);
    assert_int_equal(drive.belt.ribs, 8);
    assert_near("own length wins", drive.belt.length, 1.5, 1e-15, "m");
    assert_near("tolerance", drive.belt.tolerance, 0.004, 1e-15, "m");
    assert_int_equal(drive.belt.stock_count, 2);
    assert_near("arm length", drive.pulleys[1].arm.length, 0.095, 1e-15, "m");
    assert_near("rate", drive.pulleys[1].arm.rate, 0.8 * 180 / SNUB_PI, 1e-12, "N m/rad");
    assert_int_equal(drive.pulleys[1].side, SNUB_BACK);
    assert_near("over outside: effective", drive.pulleys[2].diameter, 0.080885, 1e-12,
                "m"); /* SAE J1459: tips + 0.885 mm */
    assert_near("own max wins", drive.pulleys[2].max_speed, 12000 * SNUB_PI / 30, 1e-9, "rad/s");
    assert_int_equal(drive.pulleys[2].grooves, 8);
    assert_near("swept", drive.pulleys[2].blower.swept, 0.0016, 1e-15, "m3");
}

/* "P75 i60 ..." */
static void offers(fixture *f, const char *section, int ribs, snub_side side, const char *want)
{
    char got[200] = "";
    int count = 0;
    double before = 0;
    snub_part_source source;
    snub_error error = {0};
    snub_stock_pulley *list = NULL;
    const snub_belt belt = {.section = section, .ribs = ribs};
    snub_parts_source(f->catalogue, &source);
    assert_ok(source.pulleys(source.context, &belt, side, &f->arena, &list, &count, &error), &error);
    for (int i = 0; i < count; i++) {
        snprintf(got + strlen(got), sizeof got - strlen(got), "%s%s%s", i > 0 ? " " : "", list[i].idler ? "*" : "",
                 list[i].part);
        assert_true(list[i].diameter >= before);
        before = list[i].diameter;
    }
    assert_string_equal(got, want);
}

static void pulleys_that_the_belt_fits_on(void **state)
{
    fixture *f = *state;
    fill_for_drive(f);
    fixture_must_import(f, "key,kind,source,side,ribs,diameter,supplier,discontinued\n"
                           "I90,idler,invented,back,,90 mm,,no\nI70-old,idler,invented,back,,70 mm,Riemen Nord,yes\n"
                           "I70-sold,idler,invented,back,,70 mm,Riemen Nord,no\nI70,idler,invented,back,,70 mm,,no\n"
                           "R78-8,idler,invented,rib,8,78 mm,,no\nR78-6,idler,invented,rib,6,78 mm,,no\n");
    offers(f, "PK", 6, SNUB_BACK, "*I70-sold *I70 *I70-old *I90");
    offers(f, "PK", 6, SNUB_RIB, "P75 *R78-6 *R78-8 P80");
    offers(f, "PK", 7, SNUB_RIB, "P75 *R78-8 P80");
    offers(f, "PK", 9, SNUB_RIB, "");
    offers(f, "PJ", 6, SNUB_RIB, "*R78-6 *R78-8"); /* an idler's row has no section */
}

#define WITH(test) cmocka_unit_test_setup_teardown(test, fixture_set_up, fixture_tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        WITH(sizes_agree_with_a_loop),    WITH(pulleys_that_the_belt_fits_on),
        WITH(words_and_sizes_together),   WITH(the_query_language_of_the_index_is_not_reached),
        WITH(limits_and_wrong_questions), WITH(maps_are_as_the_drive_file_writes),
        WITH(wrong_parts_are_told),       WITH(belts_in_stock_are_listed),
        WITH(several_threads_may_ask),    WITH(a_drive_is_read_from_parts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
