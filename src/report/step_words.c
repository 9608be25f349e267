/* Steps of fitting in words: the list's sentences with their places filled, the notes of findings beside them. */
#include "step_words.h"

#include <stdio.h>
#include <string.h>

/* ---- places that are lists, or words of their own ---------------------------------------------------------------- */

/* "2 x 0.35 mm + 1 x 0.15 mm"; the pack as such where it is the file's own. */
static void pack_words(const snub_build *build, int place, const snub_locale *locale, snub_text *out)
{
    const snub_hardware *hardware = build->drive->hardware;
    const snub_shim_advice *shims = &build->report->shims;
    int packs = 0;
    for (int s = 0; shims->wanted && s < hardware->shim_count; s++) {
        const int count = shims->answer.count[place][s];
        if (count < 1)
            continue;
        snub_text_printf(out, "%s%d x ", packs++ > 0 ? " + " : "", count);
        snub_value_text(locale, hardware->shims[s], SNUB_UNIT_MM, 2, out);
    }
    if (!shims->wanted && shims->answer.pack[place] > 0.0) {
        snub_value_text(locale, shims->answer.pack[place], SNUB_UNIT_MM, 2, out);
        packs++;
    }
    if (packs == 0)
        snub_text_puts(out, snub_say(locale, SNUB_MESSAGE("none")));
}

/* Bolts of a mount in the order of tightening: those that locate it, or all with half their torque. */
static void bolts_words(const snub_build *build, const snub_step *step, const snub_locale *locale, snub_text *out)
{
    const snub_mount_result *r = &build->report->mounts[step->mount];
    const bool half = step->kind == SNUB_STEP_FIRST_ROUND;
    int said = 0;
    for (int k = 0; k < r->mount->bolt_count; k++) {
        const snub_bolt_result *b = &r->bolts[r->tighten[k]];
        if (!half && !b->bolt->locates)
            continue;
        snub_text_puts(out, said++ > 0 ? ", " : "");
        snub_text_puts(out, b->bolt->name);
        if (!half || !(b->torque > 0.0))
            continue;
        snub_text_puts(out, " ");
        snub_value_text(locale, 0.5 * b->torque, SNUB_UNIT_N_M, b->torque < 20.0 ? 1 : 0, out);
    }
}

void snub_note_words(double frequency, const snub_locale *locale, snub_text *out)
{
    static const char *const names[] = {"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#"};
    enum { B = 11 };
    snub_note note;
    char octave[16];
    if (!snub_note_of(frequency, &note))
        return;
    snprintf(octave, sizeof octave, "%d", note.octave);
    snub_text_printf(out, "%s", note.pitch < B ? names[note.pitch] : "");
    const snub_named named[] = {snub_named_text("octave", octave)};
    /* B is another note in German */
    snub_words_fill(note.pitch < B ? "{octave}" : SNUB_MESSAGE("B{octave}"), named, 1, locale, out);
    if (note.cents != 0)
        snub_text_printf(out, " %s%d %s", note.cents > 0 ? "+" : "\xe2\x88\x92",
                         note.cents > 0 ? note.cents : -note.cents, snub_say(locale, SNUB_MESSAGE("cents")));
}

static double number_of(const snub_step *step, const char *place)
{
    for (int i = 0; i < step->named_count; i++) {
        if (step->named[i].text == NULL && strcmp(step->named[i].name, place) == 0)
            return step->named[i].number;
    }
    return NAN;
}

/* ---- sentences --------------------------------------------------------------------------------------------------- */

enum { LISTS = 6 };

typedef struct lists {
    snub_text text[LISTS];
    int count;
} lists;

static snub_text *next(lists *l, snub_named *named, int *count, const char *place)
{
    named[(*count)++] = (snub_named){.name = place};
    return &l->text[l->count++];
}

/* The places that the kit leaves to us; named[from] on are those of the lists, in order. */
static void fill_lists(const snub_build *build, const snub_step *step, const snub_locale *locale, lists *l,
                       snub_named *named, int *count)
{
    if (step->shims >= 0)
        pack_words(build, step->shims, locale, next(l, named, count, "pack"));
    if (step->mount >= 0 && (step->kind == SNUB_STEP_PLACE || step->kind == SNUB_STEP_FIRST_ROUND))
        bolts_words(build, step, locale, next(l, named, count, "bolts"));
    if (step->conflict >= 0) {
        const snub_finding f = snub_conflict_finding(build->drive, &build->report->conflicts[step->conflict]);
        snub_finding_sentence(&f, locale, next(l, named, count, "text"));
    }
    if (isfinite(number_of(step, "heard"))) {
        snub_note_words(number_of(step, "heard"), locale, next(l, named, count, "note"));
        snub_note_words(number_of(step, "low"), locale, next(l, named, count, "lowest"));
        snub_note_words(number_of(step, "high"), locale, next(l, named, count, "highest"));
    }
}

void snub_step_sentence(const snub_build *build, const snub_step *step, const snub_locale *locale, snub_text *out)
{
    snub_named named[SNUB_STEP_NAMED_MOST + LISTS];
    lists l = {.count = 0};
    int count = step->named_count;
    memcpy(named, step->named, sizeof *named * (size_t)count);
    fill_lists(build, step, locale, &l, named, &count);
    for (int k = 0; k < l.count; k++) {
        named[step->named_count + k].text = l.text[k].data != NULL ? l.text[k].data : "";
        out->failed = out->failed || l.text[k].failed;
    }
    if (step->own != NULL)
        snub_words_fill(step->own, named, count, locale, out);
    for (int k = 0; k < step->says_count; k++) {
        snub_text_puts(out, k > 0 || step->own != NULL ? " " : "");
        snub_words_fill(snub_step_words(step->says[k]), named, count, locale, out);
    }
    for (int k = 0; k < l.count; k++)
        snub_text_free(&l.text[k]);
}
