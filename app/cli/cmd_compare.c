/* snub compare A B: two drives, two variants or two mounts side by side. */
#include <math.h>
#include <string.h>

#include "commands.h"
#include "load.h"
#include "snub/report.h"

enum { SPEEDS = 41 };

static const cli_option options[] = {
    {"against", 0, "VARIANT", "B is this variant of the file; A is the file itself, or --variant", false, false, NULL},
    {"mount", 0, "NAME", "given twice: two mounts of one file, each under what the first carries", true, false, NULL},
};

/* One side of the comparison. */
typedef struct side {
    cli_drive loaded;
    const char *name;
    snub_facts facts;
    snub_check *check;
    snub_hardware_report *report;
} side;

static int tell(const side *s, const snub_error *error)
{
    return cli_tell(error, s->loaded.document.source, s->loaded.document.source_length);
}

/* @return false after telling */
static bool work_out(cli_run *run, side *s)
{
    snub_loads loads;
    snub_error error;
    const snub_check_request request = {.only_speed = NAN};
    snub_drive *drive = &s->loaded.drive;
    s->check = SNUB_NEW(&run->arena, snub_check, 1);
    s->report = SNUB_NEW(&run->arena, snub_hardware_report, 1);
    if (s->check == NULL || s->report == NULL)
        return cli_wrong(run, "out of memory"), false;
    snub_status status = snub_loads_prepare(drive, SPEEDS, NAN, 0, &run->arena, &loads, &error);
    if (status == SNUB_OK)
        status = snub_check_loaded(drive, &request, &loads, &run->arena, s->check, &error);
    if (status == SNUB_OK && drive->hardware != NULL)
        status = snub_hardware_judge(drive, &loads, s->check, &run->arena, s->report, &error);
    if (status != SNUB_OK)
        return tell(s, &error), false;
    return true;
}

static bool gather(cli_run *run, side *s)
{
    if (!work_out(run, s))
        return false;
    snub_check_facts(s->check, &s->facts, &run->arena);
    for (int i = 0; i < s->report->facts.count; i++)
        snub_facts_add(&s->facts, &run->arena, &s->report->facts.items[i]);
    return !s->facts.failed || (cli_wrong(run, "out of memory"), false);
}

static int answer(cli_run *run, const side *a, const side *b)
{
    snub_error error;
    snub_difference *differences = SNUB_NEW(&run->arena, snub_difference, a->facts.count + b->facts.count + 1);
    if (differences == NULL)
        return cli_wrong(run, "out of memory");
    const int count = snub_facts_compare(&a->facts, &b->facts, differences);
    if (run->json)
        return cli_print_json(snub_json_differences(a->name, b->name, differences, count), CLI_PASS);
    snub_text text = {0};
    const snub_look look = {.width = run->width, .colour = run->colour};
    const snub_status status = snub_text_differences(a->name, b->name, differences, count, &look, &text, &error);
    const int code = status == SNUB_OK ? cli_print(&text, CLI_PASS) : cli_tell(&error, NULL, 0);
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
    cli_wrong(run, "no mount \"%.60s\" in the file%s%s%s", name, near != NULL ? "; did you mean \"" : "",
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
            return cli_wrong(run, "out of memory"), false;
        snub_facts_add(facts, &run->arena, &fact);
    }
    return !facts->failed || (cli_wrong(run, "out of memory"), false);
}

static int compare_mounts(cli_run *run, side *a)
{
    const char *names[2] = {NULL, NULL};
    int count = 0, index[2];
    for (int i = 0; i < run->given_count; i++) {
        if (strcmp(run->given[i].option->name, "mount") == 0 && count++ < 2)
            names[count - 1] = run->given[i].value;
    }
    if (count != 2 || run->operand_count != 1 || cli_has(run, "against"))
        return cli_wrong(run, "two mounts are compared within one file: FILE --mount A --mount B");
    if (!cli_load_drive(run, run->operands[0], &a->loaded))
        return CLI_BAD;
    snub_drive *drive = &a->loaded.drive;
    side both[2] = {*a, *a};
    for (int k = 0; k < 2; k++) {
        index[k] = mount_named(run, drive, names[k]);
        if (index[k] < 0)
            return CLI_BAD;
    }
    for (int k = 0; k < 2; k++) {
        for (int i = 0; i < drive->pulley_count; i++) { /* what the first carries hangs on the one in turn */
            int *mount = &drive->hardware->pulleys[i].mount;
            if (*mount == index[0] || *mount == index[1])
                *mount = *mount == index[0] || k == 1 ? index[k] : -1;
        }
        both[k].name = names[k];
        both[k].loaded.drive = *drive;
        if (!work_out(run, &both[k]) || !take_mount(run, &both[k].report->facts, names[k], &both[k].facts))
            return CLI_BAD;
    }
    return answer(run, &both[0], &both[1]);
}

/* ---- two drives ------------------------------------------------------------------------------------------------- */

static int compare_drives(cli_run *run, side *a, side *b)
{
    const char *against = cli_value(run, "against");
    if ((run->operand_count == 2) == (against != NULL))
        return cli_wrong(run, "compare A B, or FILE --against VARIANT, or FILE --mount A --mount B");
    a->name = run->operands[0];
    b->name = against != NULL ? against : run->operands[1];
    if (!cli_load_drive(run, run->operands[0], &a->loaded))
        return CLI_BAD;
    if (against == NULL ? !cli_load_drive(run, run->operands[1], &b->loaded)
                        : !cli_load_variant(run, run->operands[0], against, &b->loaded))
        return CLI_BAD;
    if (!gather(run, a) || !gather(run, b))
        return CLI_BAD;
    return answer(run, a, b);
}

static int run_compare(cli_run *run)
{
    side a = {0}, b = {0};
    const int code = cli_has(run, "mount") ? compare_mounts(run, &a) : compare_drives(run, &a, &b);
    cli_unload(&a.loaded);
    cli_unload(&b.loaded);
    return code;
}

const cli_command cli_compare = {
    .name = "compare",
    .summary = "two drives, variants or mounts side by side: what differs",
    .operands = "A [B]",
    .help =
        "Works both out and lists every number that differs by more than its rounding: belt, arm, wraps, tensions, "
        "grip, "
        "hub loads at the redline, and the hardware over all its cases. Where one side is plainly better the line says "
        "so of B.\n"
        "\n"
        "With --against, B is a variant of the same file. With --mount twice, two mounts of one file are compared, "
        "each "
        "under the pulleys that the first one carries: snub compare FILE --mount 'three bolts' --mount 'four bolts' "
        "says what "
        "the fourth bolt changes.",
    .example = "snub compare examples/harrow-lake.yaml --against 'deep pump'\n"
               "snub compare examples/harrow-lake.yaml examples/harrow-lake-locked.yaml --json",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 1,
    .most = 2,
    .reads_drive = true,
    .run = run_compare,
};
