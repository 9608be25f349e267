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
