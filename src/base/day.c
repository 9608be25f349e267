/* Days of the calendar. */
#include "snub/base.h"

static bool digits(const char *text, int count, int *number)
{
    *number = 0;
    for (int i = 0; i < count; i++) {
        if (text[i] < '0' || text[i] > '9')
            return false;
        *number = 10 * *number + text[i] - '0';
    }
    return true;
}

bool snub_is_day(const char *text, size_t length)
{
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    int year, month, day;
    if (length != 10 || text[4] != '-' || text[7] != '-' || !digits(text, 4, &year) || !digits(text + 5, 2, &month) ||
        !digits(text + 8, 2, &day) || month < 1 || month > 12)
        return false;
    const bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return day >= 1 && day <= days[month - 1] + (month == 2 && leap);
}
