// What the photo's numbers stand on, and what would make them better, in plain words.
import {equivalentOf, type Assumed} from "./photo-assumed";
import {distanceOf, LOG_FOCAL, LOG_SCALE, TILT_X, TILT_Y, tiltOf} from "./photo-camera";
import {GROUPS, WIDE, type Fit, type Group} from "./photo-fit";
import type {Vec} from "./types";
import {showUnit} from "./units";


/** What else the panel knows of its photo. */
export interface Told { size: Vec; focal: "written" | "typed" | "unknown"; cut: boolean; assumed: Assumed; placed: string[] }
const degrees = (rad: number): string => `${(rad * 180 / Math.PI).toFixed(1)}°`;

/** What the numbers stand on, a sentence each. */
export function assumedIn(fit: Fit, told: Told): string[] {
  const {camera, sigma} = fit, {assumed, size} = told, f = equivalentOf(size, camera[LOG_FOCAL]), spread = WIDE * sigma[LOG_FOCAL] * f;
  const far = distanceOf(camera) / 1000, farOff = WIDE * far * Math.hypot(sigma[LOG_FOCAL], sigma[LOG_SCALE]), tilt = tiltOf(camera), tiltOff = WIDE * Math.hypot(sigma[TILT_X], sigma[TILT_Y]) / Math.SQRT2;
  const from = {written: "as the camera wrote it into the photo", typed: "as typed in", unknown: `not known; taken as usual for phones and cameras, 16 to 77 mm${told.cut ? ", since the photo was cropped" : ""}`}[told.focal];
  return [
    `Focal length (35 mm equivalent): ${from}. With the marks: ${f.toFixed(0)} ± ${spread.toFixed(0)} mm.`,
    `The camera stood about ${far.toFixed(1)} ± ${farOff.toFixed(1)} m away and ${degrees(tilt)} ± ${degrees(tiltOff)} off square. Before any mark, up to ${(WIDE * assumed.tilt * 180 / Math.PI).toFixed(0)}° each way was taken as likely.${fit.other ? " A second tilt fits nearly as well; the errors cover both." : ""}`,
    `All pulleys are parallel. A rim’s front edge is half the pulley’s width ahead of its plane in the file, a pivot or slot end is in its pulley’s plane, a distance or rectangle where you say: each within ± ${showUnit("length", WIDE * assumed.depth, 1)}.`,
    told.placed.length > 1 ? `Which way is up follows from ${told.placed.join(" and ")}, whose places in the file you said are right (within ± ${showUnit("length", 0.3, 1)}).` : `The camera was held level within ± ${(WIDE * assumed.roll * 180 / Math.PI).toFixed(0)}°.`,
    `A straight line along the photo’s edge may bend: up to ${(WIDE * assumed.bend * 100).toFixed(0)} % of half the diagonal at the corners.`,
    `A mark is within ± ${(WIDE * assumed.edge).toFixed(1)} pixels of the photo, and within a pixel of the screen.${fit.noise > 1.15 ? ` The marks scatter ${fit.noise.toFixed(1)} times as much as that, so every error is given that much wider.` : ""}`,
  ];
}

const help: Record<Group, string> = {
  marks: "Most of the error comes from the marks: zoom in while you mark, and mark more points, spread round each rim.",
  depth: "Most of the error comes from the depth of the planes: step back and zoom in, and check the key plane of each pulley.",
  sizes: "Most of the error comes from the known sizes: measure them more closely, or measure one more distance across.",
  places: "Most of the error comes from the places in the file: mark another pulley whose place you are sure of.",
  tilt: "Most of the error comes from the tilt: measure one more distance across, or caliper one more rim far from the others.",
  focal: "Most of the error comes from the focal length: type it in, or step back and zoom in.",
  lens: "Most of the error comes from the lens: step back and zoom in a little less, so that the engine fills the middle of the photo only.",
  level: "Most of the error comes from how level the camera was held: mark a second pulley and tick that its place in the file is right.",
};
/** What would help most, with the share of the error's square that it takes away at best. */
export function adviceOf(fit: Fit, wanted: string[]): {text: string; share: number}[] {
  const list = wanted.map((id) => fit.found.get(id)).filter((one) => one !== undefined).flatMap((one) => [one.x, one.y]);
  if (!list.length) return [];
  const mean = GROUPS.map((g) => ({g, share: list.reduce((t, v) => t + v.shares[g], 0) / list.length})).sort((a, b) => b.share - a.share);
  return mean.filter((one, i) => one.share > (i ? 0.25 : 0.2)).slice(0, 2).map(({g, share}, i) => ({text: i ? help[g].replace("Most of the error comes", "A good part comes") : help[g], share}));
}
