/* snub compare A B...: drives, variants, packages, changes of one drive, builds or mounts side by side. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "commands.h"
#include "load.h"
#include "snub/report.h"

enum { SIDES_MOST = 12 };

static const cli_option options[] = {
    {"with", 'w', "PATH=VALUE", "a side: the file with this value, or several parted by ;", true, false, NULL},
    {"against", 0, "NAME", "B is this variant or package of the file; A is the file itself, or --variant, --package",
     false, false, NULL},
    {"build", 0, "N", "give it twice: builds A and B of `snub chart`", true, false, NULL},
    {"free", 'f', NULL, "choose belt and settings again even if the file gives them; without a stock, any whole mm",
     false, false, NULL},
    {"mount", 0, "NAME", "give it twice: two mounts of one file, under the same pulleys", true, false, NULL},
};

/* One side of the comparison. */
typedef struct side {
    cli_drive loaded;
    const char *name;
    snub_facts facts;
    snub_build build;
} side;

/* Numbers of the build at the redline, and of its hardware. @return false: the error is printed */
static bool gather(cli_run *run, side *s)
{
    snub_state *state = SNUB_NEW(&run->arena, snub_state, 1);
    if (state == NULL)
        return cli_usage_error(run, "out of memory"), false;
    if (!cli_state(run, &s->loaded, &s->build, &(snub_wanted_state){.speed = NAN}, state))
        return false;
    snub_build_facts(&s->build, state, &s->facts, &run->arena);
    for (int i = 0; s->build.report != NULL && i < s->build.report->facts.count; i++)
        snub_facts_add(&s->facts, &run->arena, &s->build.report->facts.items[i]);
    return !s->facts.failed || (cli_usage_error(run, "out of memory"), false);
}

/* All against the first; the exit code is the worst of them. */
static int answer(cli_run *run, const side *const *sides, int count)
{
    snub_error error;
    int verdict = 0;
    snub_compared of[SIDES_MOST];
    for (int k = 0; k < count; k++) {
        snub_difference *differences =
            SNUB_NEW(&run->arena, snub_difference, sides[0]->facts.count + sides[k]->facts.count + 1);
        if (differences == NULL)
            return cli_usage_error(run, "out of memory");
        of[k] = (snub_compared){sides[k]->name, &sides[k]->build, differences, 0};
        if (k > 0)
            of[k].count = snub_facts_compare(&sides[0]->facts, &sides[k]->facts, differences);
        verdict = cli_verdict(&sides[k]->build) == CLI_FAIL ? CLI_FAIL : verdict;
    }
    if (run->json)
        return cli_print_json(run, snub_json_compared(of, count, &run->locale), verdict);
    snub_text text = {0};
    const snub_look look = {.width = run->width, .colour = run->colour, .locale = &run->locale};
    const snub_status status = snub_text_compared(of, count, &look, &text, &error);
    const int code = status == SNUB_OK ? cli_print(run, &text, verdict) : cli_error(&error, NULL, 0);
    snub_text_free(&text);
    return code;
}

/* ---- two mounts ------------------------------------------------------------------------------------------------- */

static int mount_named(cli_run *run, const snub_drive *drive, const char *name)
{
    const char *names[SNUB_MOUNTS_MOST];
    const int count = drive->hardware != NULL ? drive->hardware->mount_count : 0;
    for (int i = 0; i < count; i++) {
        names[i] = drive->hardware->mounts[i].name;
        if (strcmp(names[i], name) == 0)
            return i;
    }
    const char *near = count > 0 ? snub_nearest(name, names, count) : NULL;
    cli_usage_error(run, "no mount \"%.60s\" in the file%s%s%s", name, near != NULL ? "; did you mean \"" : "",
                    near != NULL ? near : "", near != NULL ? "\"?" : "");
    return -1;
}

/* Facts of one mount, called "mount" and "bolt NAME" so that two of them meet. */
static bool take_mount(cli_run *run, const snub_facts *all, const char *name, snub_facts *facts)
{
    const size_t length = strlen(name);
    for (int i = 0; i < all->count; i++) {
        snub_fact fact = all->items[i];
        if (strncmp(fact.subject, name, length) != 0 || (fact.subject[length] != '\0' && fact.subject[length] != ','))
            continue;
        fact.subject =
            fact.subject[length] == '\0' ? "mount" : snub_format(&run->arena, "bolt%s", fact.subject + length + 1);
        if (fact.subject == NULL)
            return cli_usage_error(run, "out of memory"), false;
        snub_facts_add(facts, &run->arena, &fact);
    }
    return !facts->failed || (cli_usage_error(run, "out of memory"), false);
}

/* The build with what the first carries hung on the one in turn: belt, settings and loads stay. */
static bool hang_on(cli_run *run, const side *own, const int index[2], int k, side *out)
{
    snub_drive *drive = own->build.drive;
    snub_error error;
    const snub_build_request as_written = {0};
    for (int i = 0; i < drive->pulley_count; i++) {
        int *mount = &drive->hardware->pulleys[i].mount;
        if (*mount == index[0] || *mount == index[1])
            *mount = *mount == index[0] || k == 1 ? index[k] : -1;
    }
    out->loaded = own->loaded;
    if (snub_build_of_drive(drive, &as_written, &run->arena, &out->build, &error) == SNUB_OK)
        return true;
    cli_error(&error, own->loaded.document.source, own->loaded.document.source_length);
    return false;
}

static int compare_mounts(cli_run *run, side *a)
{
    const char *names[2] = {NULL, NULL};
    int count = 0, index[2];
    for (int i = 0; i < run->given_count; i++) {
        if (strcmp(run->given[i].option->name, "mount") == 0 && count++ < 2)
            names[count - 1] = run->given[i].value;
    }
    if (count != 2 || run->operand_count != 1 || cli_has(run, "against") || cli_has(run, "build"))
        return cli_usage_error(run, "to compare two mounts, give FILE --mount A --mount B");
    side *both = SNUB_NEW(&run->arena, side, 2);
    if (both == NULL)
        return cli_usage_error(run, "out of memory");
    if (!cli_load(run, run->operands[0], &a->loaded) || !cli_one_build(run, &a->loaded, &a->build))
        return CLI_BAD;
    for (int k = 0; k < 2; k++) {
        index[k] = mount_named(run, a->build.drive, names[k]);
        if (index[k] < 0)
            return CLI_BAD;
    }
    for (int k = 0; k < 2; k++) {
        both[k].name = names[k];
        if (!hang_on(run, a, index, k, &both[k]))
            return CLI_BAD;
        if (both[k].build.report != NULL && !take_mount(run, &both[k].build.report->facts, names[k], &both[k].facts))
            return CLI_BAD;
    }
    return answer(run, (const side *const[]){&both[0], &both[1]}, 2);
}

/* ---- builds of the chart ---------------------------------------------------------------------------------------- */

/* Another side of a file that is open: its catalogue is closed once. */
static void share(const side *first, side *s)
{
    s->loaded = first->loaded;
    s->loaded.catalogue = NULL;
}

static int compare_builds(cli_run *run, side *sides)
{
    const side *all[SIDES_MOST];
    snub_rows rows;
    const snub_build_request afresh = {.afresh = true};
    int count = 0;
    if (!cli_load(run, run->operands[0], &sides[0].loaded) || !cli_rows(run, &sides[0].loaded, &rows))
        return CLI_BAD;
    for (int i = 0; i < run->given_count; i++) {
        if (strcmp(run->given[i].option->name, "build") != 0)
            continue;
        if (count == SIDES_MOST)
            return cli_usage_error(run, "at most %d sides are compared", SIDES_MOST);
        side *s = &sides[count];
        const snub_row *row = cli_row_numbered(run, &rows, run->given[i].value);
        if (row == NULL)
            return CLI_BAD;
        s->name = snub_format(&run->arena, "build %s", run->given[i].value);
        if (count > 0)
            share(&sides[0], s);
        if (s->name == NULL || !cli_make_build(run, &sides[0].loaded, row, &afresh, &s->build) || !gather(run, s))
            return CLI_BAD;
        all[count++] = s;
    }
    return count >= 2 ? answer(run, all, count)
                      : cli_usage_error(run, "to compare builds, give --build N at least twice");
}

/* ---- drives, variants, changes ----------------------------------------------------------------------------------- */

/* @param[in] drive  the file's, where there are changes */
static bool make_side(cli_run *run, const snub_named_rows *named, const snub_drive *drive, const char *changes, side *s)
{
    const snub_build_request request = {.afresh = cli_has(run, "free"), .free_length = cli_has(run, "free")};
    snub_row row;
    return cli_own_row(run, &s->loaded, named, &row) &&
           (changes == NULL || cli_row_with_changes(run, &s->loaded, drive, changes, &row)) &&
           cli_make_build(run, &s->loaded, &row, &request, &s->build) && gather(run, s);
}

/* What --against names: a package of the file, else a variant. No package has a variant's name. */
static snub_named_rows other_side(const cli_run *run, const snub_drive *drive, const char *against)
{
    snub_named_rows named = cli_named(run);
    for (int p = 0; p < drive->package_count; p++) {
        if (strcmp(drive->packages[p].name, against) == 0) {
            named.package = against;
            return named;
        }
    }
    named.variant = against;
    return named;
}

/* Files first, in their order; then the variant or package; then each --with. What is no file is one of the first. */
static int compare_drives(cli_run *run, side *sides)
{
    const char *against = cli_value(run, "against");
    const snub_named_rows named = cli_named(run);
    const side *all[SIDES_MOST];
    int count = 0;
    for (int i = 0; i < run->operand_count && count < SIDES_MOST; i++, count++) {
        sides[count].name = run->operands[i];
        if (!cli_load(run, run->operands[i], &sides[count].loaded) ||
            !make_side(run, &named, NULL, NULL, &sides[count]))
            return CLI_BAD;
    }
    if (against != NULL && count < SIDES_MOST) {
        sides[count].name = against;
        share(&sides[0], &sides[count]);
        const snub_named_rows other = other_side(run, sides[0].build.drive, against);
        if (!make_side(run, &other, NULL, NULL, &sides[count++]))
            return CLI_BAD;
    }
    for (int i = 0; i < run->given_count; i++) {
        if (strcmp(run->given[i].option->name, "with") != 0)
            continue;
        if (count == SIDES_MOST)
            return cli_usage_error(run, "at most %d sides are compared", SIDES_MOST);
        sides[count].name = run->given[i].value;
        share(&sides[0], &sides[count]);
        if (!make_side(run, &named, sides[0].build.drive, run->given[i].value, &sides[count++]))
            return CLI_BAD;
    }
    for (int k = 0; k < count; k++)
        all[k] = &sides[k];
    return count >= 2 ? answer(run, all, count)
                      : cli_usage_error(run, "give A B..., or FILE --with PATH=VALUE, or FILE --against NAME, or FILE "
                                             "--build N --build M, or FILE --mount A --mount B");
}

static int run_compare(cli_run *run)
{
    side *sides = SNUB_NEW(&run->arena, side, SIDES_MOST);
    if (sides == NULL)
        return cli_usage_error(run, "out of memory");
    const bool builds = cli_has(run, "build");
    if (builds && (run->operand_count != 1 || cli_has(run, "against") || cli_has(run, "with")))
        return cli_usage_error(run, "--build N compares builds of one file; leave out the other sides");
    const int code = cli_has(run, "mount") ? compare_mounts(run, &sides[0])
                     : builds              ? compare_builds(run, sides)
                                           : compare_drives(run, sides);
    for (int k = 0; k < SIDES_MOST; k++)
        cli_unload(&sides[k].loaded);
    return code;
}

const cli_command cli_compare = {
    .name = "compare",
    .summary = "drives, variants, packages, changes, builds or mounts side by side: what differs",
    .operands = "A [B...]",
    .help =
        "Calculates all sides and lists every number that differs from the first by more than its rounding: belt, arm, "
        "wraps, tensions, grip, hub loads at the redline, and the hardware over all its cases. If one side is clearly "
        "better, the line says so; the last lines say in words what is better and worse, the greatest changes first. "
        "The exit code is 1 if any build fails.\n"
        "\n"
        "Sides are the files given, then a variant or package of the first with --against, then the first with a "
        "change for each "
        "--with; several values of one side are parted by ;. --set holds for all sides. With --build given twice or "
        "more, rows of the chart are compared. With --mount given twice, two mounts of one file are compared, each "
        "under the pulleys that the first one carries: snub compare FILE --mount 'thin plate' --mount 'thick plate' "
        "shows what the thicker plate changes.",
    .example =
        "snub compare examples/sedgemere.yaml --against 'low compressor'\n"
        "snub compare examples/sedgemere.yaml --with blower.diameter=84 --with 'blower.diameter=79; belt.ribs=9'\n"
        "snub compare examples/sedgemere.yaml examples/sedgemere-locked.yaml --json",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 1,
    .most = SIDES_MOST,
    .reads_drive = true,
    .run = run_compare,
};
