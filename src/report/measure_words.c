/* What the texts of readings share. */
#include "measure_words.h"

void snub_wrapped(const snub_look *look, snub_text *out, const char *format, ...)
{
    snub_text words = {0};
    va_list arguments;
    va_start(arguments, format);
    snub_text_vprintf(&words, format, arguments);
    va_end(arguments);
    snub_wrap(words.data != NULL ? words.data : "", 0, 0, look->width, out);
    out->failed = out->failed || words.failed;
    snub_text_free(&words);
}

void snub_readings_title(const char *title, const snub_look *look, snub_text *out)
{
    if (title[0] != '\0')
        snub_wrapped(look, out, "%s", title);
}

snub_status snub_readings_table(const char *name, const snub_column *columns, int column_count, int rows,
                                const snub_cell *cells, const snub_look *look, snub_text *out, snub_error *error)
{
    const snub_data_table table = {
        .name = name, .column_count = column_count, .columns = columns, .row_count = rows, .cells = cells};
    return cells == NULL ? SNUB_NO_MEMORY : snub_table_show(&table, look, out, error);
}

snub_status snub_readings_end(snub_status status, snub_level level, snub_arena *arena, snub_text *out,
                              snub_error *error)
{
    snub_text_printf(out, "verdict: %s\n", snub_level_text(level));
    if (arena->refused || out->failed)
        status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    snub_arena_free(arena);
    return status;
}

void snub_fragment_length(double si, int decimals, const snub_locale *locale, snub_text *out)
{
    if (locale->inches)
        snub_text_printf(out, "%.*f in", decimals + 2, si / SNUB_INCH);
    else
        snub_text_printf(out, "%.*f mm", decimals, si / SNUB_MM);
}

void snub_fragment_name(const char *name, snub_text *out)
{
    snub_text_puts(out, "\"");
    for (; *name != '\0'; name++) {
        if (*name == '"' || *name == '\\')
            snub_text_puts(out, "\\");
        snub_text_add(out, name, 1);
    }
    snub_text_puts(out, "\"");
}
