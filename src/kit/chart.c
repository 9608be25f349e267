/* Every build of the kit: variants times options, each with its belt, its idler setting and its findings. */
#include <stdlib.h>
#include <string.h>

#ifdef _OPENMP
#include <omp.h>
#endif

#include "cover.h"
#include "snub/hardware.h"

/* Speeds of a build's final check; see check.c. */
enum { CHART_SPEEDS = 41 };

static int count_builds(const snub_drive *base, const char *only_variant)
{
    long long all = only_variant != NULL ? 1 : 1 + base->variant_count;
    for (int o = 0; o < base->option_count; o++)
        all *= base->options[o].count;
    return all > SNUB_BUILDS_MOST ? -1 : (int)all;
}

/* Overlays of build `index`: the caller's, then the variant's, then one value of each option; the last option's values
 * change fastest. */
static snub_status describe(const snub_drive *base, const snub_reading *reading, const snub_variant *variant, int index,
                            snub_build *build)
{
    const int changes = variant != NULL ? variant->count : 0;
    const int most = reading->overlay_count + changes + base->option_count;
    snub_overlay *overlays = SNUB_NEW(&build->arena, snub_overlay, most + 1);
    build->values = SNUB_NEW(&build->arena, const char *, base->option_count + 1);
    if (overlays == NULL || build->values == NULL)
        return SNUB_NO_MEMORY;
    int count = 0;
    for (int k = 0; k < reading->overlay_count; k++)
        overlays[count++] = reading->overlays[k];
    for (int k = 0; k < changes; k++)
        overlays[count++] = variant->changes[k];
    int rest = index;
    for (int o = base->option_count - 1; o >= 0; o--) {
        const snub_option *option = &base->options[o];
        const snub_node *value = option->values[rest % option->count];
        rest /= option->count;
        overlays[count++] = (snub_overlay){option->path, value, option->place};
        build->values[o] = value->text != NULL ? value->text : "";
    }
    build->variant = variant != NULL ? variant->name : "";
    build->overlays = overlays;
    build->overlay_count = count;
    return SNUB_OK;
}

static snub_status read_build(const snub_document *document, const snub_reading *reading, snub_build *build,
                              snub_mistakes *mistakes)
{
    snub_reading own = *reading;
    own.arena = &build->arena;
    own.overlays = build->overlays;
    own.overlay_count = build->overlay_count;
    build->drive = SNUB_NEW(&build->arena, snub_drive, 1);
    if (build->drive == NULL)
        return SNUB_NO_MEMORY;
    return snub_drive_read(document, &own, build->drive, mistakes);
}

static void say(snub_build *build, const char *rule, const char *text)
{
    const snub_finding finding = {.level = SNUB_FAIL,
                                  .rule = rule,
                                  .value = NAN,
                                  .limit = NAN,
                                  .unit = "",
                                  .at_speed = NAN,
                                  .state = "laid out",
                                  .text = text != NULL ? text : "",
                                  .source = "mechanics"};
    snub_findings_add(&build->findings, &build->arena, &finding);
}

/* Wrap of the blower against the same build with its idler at the low end of its slot, the arm where it rests. */
static double wrap_gain(const snub_drive *drive, const snub_check *check)
{
    int blower = -1, slot = -1;
    double settings[SNUB_PULLEYS_MOST];
    snub_path low;
    for (int i = drive->pulley_count - 1; i >= 0; i--) {
        if (drive->pulleys[i].has_blower && i != drive->crank)
            blower = i;
        if (drive->pulleys[i].sits == SNUB_ON_SLOT && i != drive->locked)
            slot = i;
        settings[i] = check->settings[i];
    }
    if (blower < 0 || slot < 0)
        return NAN;
    settings[slot] = 0.0;
    if (snub_drive_lay(drive, check->rest.equilibrium.wind, settings, &low, NULL) != SNUB_OK)
        return NAN;
    return check->rest.path.wrap[blower] / low.wrap[blower] - 1.0;
}

static int first_blower(const snub_drive *drive)
{
    for (int i = 0; i < drive->pulley_count; i++) {
        if (drive->pulleys[i].has_blower && i != drive->crank)
            return i;
    }
    return -1;
}

static void sum_up_air(snub_build *build)
{
    snub_air_summary *air = &build->air;
    const snub_loads *loads = &build->loads;
    const int blower = first_blower(build->drive);
    *air = (snub_air_summary){NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN};
    if (build->has_check)
        air->slip_onset = build->check.slip_onset;
    if (blower < 0 || loads->match == NULL || loads->speeds < 2)
        return;
    const snub_match_result *match = &loads->match[loads->speeds - 1];
    air->boost = match->boost;
    air->shaft_speed = match->shaft_speed;
    air->rotor_speed = match->rotor_speed;
    air->power = match->power;
    air->torque = match->torque;
    air->belt_force = match->torque / build->drive->pulleys[blower].pitch_radius;
    air->outlet = match->outlet_temperature;
    air->charge = match->charge_temperature;
    air->mass_flow = match->mass_flow;
}

static void keep_worst(double *worst, double value, bool greater)
{
    if (isfinite(value) && (isnan(*worst) || (greater ? value > *worst : value < *worst)))
        *worst = value;
}

static void sum_up_hardware(const snub_hardware_report *report, snub_hardware_summary *sum)
{
    *sum = (snub_hardware_summary){report->done, NAN, NAN, NAN, NAN, report->conflict_count};
    for (int i = 0; report->done && i < report->drive->pulley_count; i++) {
        const snub_plane_result *plane = &report->plane[i];
        keep_worst(&sum->entry_angle, fabs(plane->entry_loaded) + plane->rss, true);
        if (report->bearing[i].given)
            keep_worst(&sum->bearing_life, report->bearing[i].life_adjusted, false);
    }
    for (int m = 0; report->done && m < report->mount_count; m++) {
        keep_worst(&sum->bolt_slip, report->mounts[m].worst_slip, true);
        keep_worst(&sum->bolt_margin, report->mounts[m].least_separation, false);
        keep_worst(&sum->bolt_margin, report->mounts[m].least_proof, false);
    }
}

/* Planes, obstacles, mounts and bearings of a build that runs; their findings join the build's. */
static snub_status judge_hardware(snub_build *build, snub_error *why)
{
    build->hardware = (snub_hardware_summary){false, NAN, NAN, NAN, NAN, 0};
    if (build->drive->hardware == NULL || !build->has_check)
        return SNUB_OK;
    snub_hardware_report *report = calloc(1, sizeof *report); /* large and not kept */
    if (report == NULL)
        return snub_fail(why, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    const snub_status status =
        snub_hardware_judge(build->drive, &build->loads, &build->check, &build->arena, report, why);
    if (status == SNUB_OK) {
        sum_up_hardware(report, &build->hardware);
        for (int f = 0; f < report->findings.count; f++)
            snub_findings_add(&build->findings, &build->arena, &report->findings.items[f]);
    }
    free(report);
    return status;
}

static snub_status work_out(snub_build *build, int speeds)
{
    snub_error why;
    memset(&why, 0, sizeof why);
    build->wrap_gain = NAN;
    snub_status status = snub_loads_prepare(build->drive, speeds, NAN, 0.0, &build->arena, &build->loads, &why);
    if (status == SNUB_NO_MEMORY)
        return status;
    if (status != SNUB_OK) {
        say(build, "loads", snub_format(&build->arena, "%s: %s", why.key, why.message));
        return SNUB_OK;
    }
    status = snub_choose(build->drive, &build->loads, true, &build->choices, &why);
    if (status != SNUB_OK)
        return status;
    if (build->choices.count == 0) {
        say(build, "no_belt", build->choices.why_none);
        return SNUB_OK;
    }
    const snub_choice *best = &build->choices.choice[0];
    build->drive->belt.length = best->length;
    for (int i = 0; i < build->drive->pulley_count; i++) {
        if (build->drive->pulleys[i].sits == SNUB_ON_SLOT)
            build->drive->pulleys[i].setting = best->settings[i];
    }
    const snub_check_request request = {.only_speed = NAN, .free_settings = false};
    status = snub_check_loaded(build->drive, &request, &build->loads, &build->arena, &build->check, &why);
    if (status != SNUB_OK)
        return status;
    build->has_check = build->check.laid;
    build->findings = build->check.findings;
    if (build->has_check)
        build->wrap_gain = wrap_gain(build->drive, &build->check);
    sum_up_air(build);
    status = judge_hardware(build, &why);
    if (status != SNUB_OK)
        return status;
    return build->findings.failed || build->arena.refused ? SNUB_NO_MEMORY : SNUB_OK;
}

typedef struct progress {
    const snub_chart_request *request;
    int done, all;
    bool stop;
} progress;

static void advance(progress *p)
{
#pragma omp critical(snub_chart_progress)
    {
        p->done++;
        if (p->request->progress != NULL && !p->stop) {
            p->stop = !p->request->progress(p->done, p->all, p->request->context);
        }
    }
}

static bool stopped(progress *p)
{
    bool stop;
#pragma omp critical(snub_chart_progress)
    stop = p->stop;
    return stop;
}

static int thread_count(const snub_chart_request *request)
{
#ifdef _OPENMP
    return request->threads > 0 ? request->threads : omp_get_max_threads();
#else
    (void)request;
    return 1;
#endif
}

static snub_status work_out_all(snub_chart *chart, const snub_chart_request *request)
{
    progress p = {request, 0, chart->build_count, false};
    const int speeds = request->speeds > 1 ? request->speeds : CHART_SPEEDS;
    const int threads = thread_count(request);
    snub_status worst = SNUB_OK;
    (void)threads;
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads)
    for (int i = 0; i < chart->build_count; i++) {
        if (stopped(&p))
            continue;
        const snub_status status = work_out(&chart->builds[i], speeds);
        snub_findings_sort(&chart->builds[i].findings);
        chart->builds[i].verdict = snub_findings_verdict(&chart->builds[i].findings);
        if (status != SNUB_OK) {
#pragma omp critical(snub_chart_status)
            worst = status;
        }
        advance(&p);
    }
    return p.stop ? SNUB_STOPPED : worst;
}

static const snub_variant *find_variant(const snub_drive *base, const char *name)
{
    for (int v = 0; v < base->variant_count; v++) {
        if (strcmp(base->variants[v].name, name) == 0)
            return &base->variants[v];
    }
    return NULL;
}

/* Read every build before any is worked out, so that a wrong option is told before long work begins. */
static snub_status read_all(const snub_document *document, const snub_reading *reading,
                            const snub_chart_request *request, const snub_drive *base, snub_chart *chart,
                            snub_mistakes *mistakes)
{
    const bool every = request->variant == NULL;
    const snub_variant *only = every ? NULL : find_variant(base, request->variant);
    if (!every && only == NULL && request->variant[0] != '\0') {
        snub_error error;
        snub_fail(&error, SNUB_BAD_INPUT, NULL, "variants", "there is no variant \"%s\"", request->variant);
        snub_mistakes_add(mistakes, &error);
        return SNUB_BAD_INPUT;
    }
    const int fronts = every ? 1 + base->variant_count : 1;
    const int per_front = chart->build_count / fronts;
    snub_status worst = SNUB_OK;
    for (int i = 0; i < chart->build_count; i++) {
        snub_build *build = &chart->builds[i];
        const int front = i / per_front;
        const snub_variant *variant = !every ? only : front > 0 ? &base->variants[front - 1] : NULL;
        snub_arena_init(&build->arena, 0);
        snub_status status = describe(base, reading, variant, i % per_front, build);
        if (status == SNUB_OK)
            status = read_build(document, reading, build, mistakes);
        if (status == SNUB_NO_MEMORY)
            return status;
        if (status != SNUB_OK)
            worst = status;
    }
    return worst;
}

snub_status snub_chart_drive(const snub_document *document, const snub_reading *reading,
                             const snub_chart_request *request, snub_chart *chart, snub_mistakes *mistakes)
{
    memset(chart, 0, sizeof *chart);
    snub_drive *base = SNUB_NEW(reading->arena, snub_drive, 1);
    if (base == NULL)
        return SNUB_NO_MEMORY;
    snub_status status = snub_drive_read(document, reading, base, mistakes);
    if (status != SNUB_OK)
        return status;
    const int builds = count_builds(base, request->variant);
    if (builds < 0) {
        snub_error error;
        snub_fail(&error, SNUB_TOO_LARGE, NULL, "options", "more than %d builds", SNUB_BUILDS_MOST);
        snub_mistakes_add(mistakes, &error);
        return SNUB_TOO_LARGE;
    }
    chart->document = document;
    chart->title = base->title;
    chart->option_count = base->option_count;
    chart->options = base->options;
    chart->builds = SNUB_NEW(reading->arena, snub_build, builds);
    if (chart->builds == NULL)
        return SNUB_NO_MEMORY;
    chart->build_count = builds;
    status = read_all(document, reading, request, base, chart, mistakes);
    if (status == SNUB_OK)
        status = work_out_all(chart, request);
    if (status == SNUB_OK)
        status = snub_cover(chart, reading->arena);
    return status;
}

void snub_chart_free(snub_chart *chart)
{
    if (chart == NULL)
        return;
    for (int i = 0; i < chart->build_count; i++)
        snub_arena_free(&chart->builds[i].arena);
    chart->build_count = 0;
}
