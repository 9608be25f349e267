// A chart whose builds were shared out: part K of N has the Kth row of the kit and each Nth after it.
import type {Chart} from "./types";

/** The parts as one chart, as the program makes it of all rows. null: a pulley or a figure that only some builds have is missing in the
 *  columns of others, or the file leaves out more of some; the whole must be asked for. */
export function joined(parts: Chart[]): Chart | null {
  const [first] = parts, {title, columns, excluded, rows_left_out, not_judged, cautions} = first, heads = JSON.stringify([columns, not_judged]);
  if (parts.some((part) => part.builds.length > 0 && JSON.stringify([part.columns, part.not_judged]) !== heads)) return null;
  const builds = first.builds.flatMap((_, row) => parts.flatMap((part) => part.builds.slice(row, row + 1)));
  return {title, columns, excluded, rows_left_out, builds, not_judged, cautions, belts: beltsOf(builds)};
}

/** Those that the builds take, by ribs and then by length. */
function beltsOf(builds: Chart["builds"]): Chart["belts"] {
  const counts = new Map<string, number>();
  const taken = builds.filter((build) => build.designation !== null).sort((a, b) => a.ribs - b.ribs || (a.belt_length_mm ?? 0) - (b.belt_length_mm ?? 0));
  for (const {designation} of taken) counts.set(designation as string, (counts.get(designation as string) ?? 0) + 1);
  return [...counts].map(([designation, count]) => ({designation, builds: count}));
}
