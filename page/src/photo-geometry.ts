// Circles through clicked points.
import type {Vec} from "./types";

export interface Circle { centre: Vec; radius: number }

/** Gauss with row exchange; null where the matrix is singular. */
function solve(matrix: number[][], right: number[]): number[] | null {
  const n = right.length, a = matrix.map((row, i) => [...row, right[i]]);
  for (let c = 0; c < n; c++) {
    let best = c;
    for (let r = c + 1; r < n; r++) if (Math.abs(a[r][c]) > Math.abs(a[best][c])) best = r;
    if (!(Math.abs(a[best][c]) > 1e-12)) return null;
    [a[c], a[best]] = [a[best], a[c]];
    for (let r = 0; r < n; r++) {
      if (r === c) continue;
      const f = a[r][c] / a[c][c];
      for (let k = c; k <= n; k++) a[r][k] -= f * a[c][k];
    }
  }
  return a.map((row, i) => row[n] / row[i]);
}

/** Circle of least squares: algebraic fit about the points' middle, then Gauss-Newton on true distances. Three points
 *  give the circle through them. */
export function circleOf(points: Vec[]): Circle | null {
  const n = points.length;
  if (n < 3) return null;
  const mx = points.reduce((t, p) => t + p[0], 0) / n, my = points.reduce((t, p) => t + p[1], 0) / n;
  const size = Math.sqrt(points.reduce((t, p) => t + (p[0] - mx) ** 2 + (p[1] - my) ** 2, 0) / n);
  if (!(size > 0)) return null;
  const q = points.map((p): Vec => [(p[0] - mx) / size, (p[1] - my) / size]);
  // x^2 + y^2 = 2 a x + 2 b y + c
  const rows = q.map((p) => [2 * p[0], 2 * p[1], 1]), sums = q.map((p) => p[0] ** 2 + p[1] ** 2);
  const normal = [0, 1, 2].map((i) => [0, 1, 2].map((j) => rows.reduce((t, r) => t + r[i] * r[j], 0)));
  const first = solve(normal, [0, 1, 2].map((i) => rows.reduce((t, r, k) => t + r[i] * sums[k], 0)));
  if (!first) return null;
  let [a, b] = first, r = Math.sqrt(Math.max(1e-12, first[2] + a * a + b * b));
  if (r > 1e4) return null; // a line for all that the clicks can tell
  for (let k = 0; k < 20; k++) {
    const jac = q.map((p) => { const d = Math.hypot(p[0] - a, p[1] - b) || 1e-12; return [-(p[0] - a) / d, -(p[1] - b) / d, -1, d - r]; });
    const m = [0, 1, 2].map((i) => [0, 1, 2].map((j) => jac.reduce((t, row) => t + row[i] * row[j], 0)));
    const step = solve(m, [0, 1, 2].map((i) => -jac.reduce((t, row) => t + row[i] * row[3], 0)));
    if (!step) break;
    a += step[0]; b += step[1]; r += step[2];
    if (Math.hypot(step[0], step[1], step[2]) < 1e-12) break;
  }
  return {centre: [a * size + mx, b * size + my], radius: r * size};
}
