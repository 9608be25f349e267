// Circles through clicked points, and the perspective of a plane.
import type {Vec} from "./types";

export interface Circle { centre: Vec; radius: number; misfit: number; radiusError?: number }
export type M3 = [number, number, number, number, number, number, number, number, number];

/** Gauss with row exchange; null where the matrix is singular. */
export function solve(matrix: number[][], right: number[]): number[] | null {
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
  const misfit = Math.sqrt(q.reduce((t, p) => t + (Math.hypot(p[0] - a, p[1] - b) - r) ** 2, 0) / n) * size;
  return {centre: [a * size + mx, b * size + my], radius: r * size, misfit};
}

/** Projective map that takes four points to four points; null where three lie on a line. */
export function homographyOf(from: Vec[], to: Vec[]): M3 | null {
  const matrix: number[][] = [], right: number[] = [];
  const scale = Math.max(...from.flat().map(Math.abs), 1), goal = Math.max(...to.flat().map(Math.abs), 1);
  from.forEach((p, i) => {
    const x = p[0] / scale, y = p[1] / scale, u = to[i][0] / goal, v = to[i][1] / goal;
    matrix.push([x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]);
    right.push(u, v);
  });
  const s = solve(matrix, right);
  if (!s) return null;
  return [s[0] * goal / scale, s[1] * goal / scale, s[2] * goal, s[3] * goal / scale, s[4] * goal / scale, s[5] * goal, s[6] / scale, s[7] / scale, 1];
}

export function project(m: M3, p: Vec): Vec {
  const w = m[6] * p[0] + m[7] * p[1] + m[8];
  return [(m[0] * p[0] + m[1] * p[1] + m[2]) / w, (m[3] * p[0] + m[4] * p[1] + m[5]) / w];
}

export function invert3(m: M3): M3 | null {
  const [a, b, c, d, e, f, g, h, i] = m, det = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
  if (!(Math.abs(det) > 1e-18)) return null;
  return [e * i - f * h, c * h - b * i, b * f - c * e, f * g - d * i, a * i - c * g, c * d - a * f, d * h - e * g, b * g - a * h, a * e - b * d].map((v) => v / det) as M3;
}
