/* In which order the bolts of a mount are tightened. docs/theory/mount.md. */
#include "hardware_study.h"

void snub_tightening_order(const snub_bolt *bolts, int n, int *order)
{
    double middle[2] = {0, 0};
    for (int i = 0; i < n; i++) {
        middle[0] += bolts[i].at[0] / n;
        middle[1] += bolts[i].at[1] / n;
        order[i] = i;
    }
    for (int i = 1; i < n; i++) { /* insertion: stable, so that equals stay as the file has them */
        const int moved = order[i];
        const snub_bolt *m = &bolts[moved];
        const double far = hypot(m->at[0] - middle[0], m->at[1] - middle[1]);
        int j = i;
        for (; j > 0; j--) {
            const snub_bolt *b = &bolts[order[j - 1]];
            const double its = hypot(b->at[0] - middle[0], b->at[1] - middle[1]);
            if (b->locates != m->locates ? b->locates : its <= far + 1e-9)
                break;
            order[j] = order[j - 1];
        }
        order[j] = moved;
    }
}
