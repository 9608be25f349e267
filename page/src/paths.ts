// Paths of keys in sentences and tables.
export function pathWords(path: string): string { return path.replace(/^pulleys\./, ""); }
/** The first of some paths, and how many more there are. */
export function fewPaths(paths: string[]): string { return `${paths.slice(0, 8).map(pathWords).join(", ")}${paths.length > 8 ? ` and ${paths.length - 8} more` : ""}`; }
