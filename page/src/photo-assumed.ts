// What is assumed of a photo before anything is marked; docs/theory/photo.md says why. No words here: the test of the geometry reads it without a browser.
import {halfDiagonal} from "./photo-camera";
import type {Before, Known} from "./photo-fit";
import type {Vec} from "./types";

/** Standard deviations of what is assumed until something is measured. The person may change those that have a field. */
export interface Assumed { tilt: number; roll: number; middle: number; bend: number; sizes: number; edge: number; depth: number }
export const ASSUMED: Assumed = {
  tilt: 8 * Math.PI / 180, // someone tries to stand square on: 95 % within 16 deg
  roll: 2 * Math.PI / 180, // and holds the camera level by eye: 95 % within 4 deg
  middle: 0.01,            // the lens's middle off the picture's, of the half diagonal
  bend: 0.02,              // straight lines bend, at the corner, by this share of the half diagonal
  sizes: 0.1, edge: 1, depth: 1.5, // mm, pixels, mm
};
/** 35 mm equivalents between a phone's wide lens and a short telephoto: 95 % of ln(f) lies within 16 to 77 mm. */
const USUAL_FOCAL = 35, FOCAL_SPREAD = 0.4;
/** What a camera writes into the file is rounded, and holds for far things: near ones are seen by a slightly longer lens. */
export const WRITTEN_FOCAL = 0.03;
const DIAGONAL_35 = Math.hypot(36, 24);

/** ln of the focal length in pixels, from its 35 mm equivalent. */
export function focalOf(size: Vec, equivalent: number, spread: number): Known {
  return {value: Math.log(equivalent / DIAGONAL_35 * 2 * halfDiagonal(size)), sigma: spread};
}
export function beforeOf(size: Vec, focal: Known | null, assumed: Assumed, turned = 0): Before {
  return {size, focal: focal ?? focalOf(size, USUAL_FOCAL, FOCAL_SPREAD), middle: assumed.middle, bend: assumed.bend, tilt: assumed.tilt, roll: assumed.roll, turned};
}
/** Its equivalent on 35 mm film, of ln pixels. */
export function equivalentOf(size: Vec, logFocal: number): number { return Math.exp(logFocal) / (2 * halfDiagonal(size)) * DIAGONAL_35; }
