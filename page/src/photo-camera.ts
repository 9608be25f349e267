// A camera in front of the engine: docs/theory/photo.md, eq. 1 to 3. World: drive's x, y, z in mm. Photo: pixels, v down.
import type {Vec} from "./types";

/** Places of the camera's numbers in a list. */
export const LOG_FOCAL = 0, MIDDLE_U = 1, MIDDLE_V = 2, BEND = 3, TILT_X = 4, TILT_Y = 5, ROLL = 6, LOOK_X = 7, LOOK_Y = 8, LOG_SCALE = 9, CAMERA = 10;
/** ln focal length [px], its middle off the photo's [of the half diagonal], bend of the lens, tilts and roll [rad], the point of
 *  z = 0 that it looks at [mm], ln scale there [px/mm]. */
export type Camera = number[];

export function halfDiagonal(size: Vec): number { return Math.hypot(size[0], size[1]) / 2; }
/** Distance of the camera from the point that it looks at, mm. */
export function distanceOf(camera: Camera): number { return Math.exp(camera[LOG_FOCAL] - camera[LOG_SCALE]); }
/** Angle between the line of sight and the crank's axis, rad. */
export function tiltOf(camera: Camera): number { return Math.acos(Math.cos(camera[TILT_X]) * Math.cos(camera[TILT_Y])); }

export interface Seen { at: Vec; per: [number, number, number, number] } // mm; mm per pixel: dx/du, dx/dv, dy/du, dy/dv

/** What all pixels of a photo have in common. */
export interface View { camera: Camera; size: Vec; half: number; f: number; right: number[]; up: number[]; back: number[]; eye: number[] }
export function viewOf(camera: Camera, size: Vec): View {
  const half = halfDiagonal(size), f = Math.exp(camera[LOG_FOCAL]), far = distanceOf(camera);
  const ca = Math.cos(camera[TILT_X]), sa = Math.sin(camera[TILT_X]), cb = Math.cos(camera[TILT_Y]), sb = Math.sin(camera[TILT_Y]), cr = Math.cos(camera[ROLL]), sr = Math.sin(camera[ROLL]);
  // Columns of the rotation camera -> world: roll about the line of sight, then about x, then about y.
  const right = [cb * cr + sb * sa * sr, ca * sr, -sb * cr + cb * sa * sr], up = [-cb * sr + sb * sa * cr, ca * cr, sb * sr + cb * sa * cr], back = [sb * ca, -sa, cb * ca];
  return {camera: [...camera], size, half, f, right, up, back, eye: [camera[LOOK_X] + far * back[0], camera[LOOK_Y] + far * back[1], far * back[2]]};
}

/** Where the ray of a pixel meets the plane at z. null: it does not. Derivatives leave out the bend's own (some percent; they only weigh). */
export function seenBy({camera, size, half, f, right, up, back, eye}: View, pixel: Vec, z: number): Seen | null {
  const du = pixel[0] - size[0] / 2 - camera[MIDDLE_U] * half, dv = pixel[1] - size[1] / 2 - camera[MIDDLE_V] * half;
  const straight = (1 + camera[BEND] * (du * du + dv * dv) / (half * half)) / f, x = du * straight, y = -dv * straight;
  const ray = [right[0] * x + up[0] * y - back[0], right[1] * x + up[1] * y - back[1], right[2] * x + up[2] * y - back[2]];
  if (!(ray[2] < -1e-6)) return null;
  const t = (z - eye[2]) / ray[2];
  if (!(t > 0)) return null;
  const ofU = (i: number): number => t * straight * (right[i] - ray[i] * right[2] / ray[2]), ofV = (i: number): number => -t * straight * (up[i] - ray[i] * up[2] / ray[2]);
  return {at: [eye[0] + t * ray[0], eye[1] + t * ray[1]], per: [ofU(0), ofV(0), ofU(1), ofV(1)]};
}
export const seenAt = (camera: Camera, size: Vec, pixel: Vec, z: number): Seen | null => seenBy(viewOf(camera, size), pixel, z);

/** The pixel in which a point of the plane at z is seen: the other way round, by Newton. */
export function pixelOf(camera: Camera, size: Vec, at: Vec, z: number): Vec | null {
  let pixel: Vec = [size[0] / 2, size[1] / 2];
  const view = viewOf(camera, size);
  for (let k = 0; k < 30; k++) {
    const seen = seenBy(view, pixel, z);
    if (!seen) return null;
    const dx = at[0] - seen.at[0], dy = at[1] - seen.at[1], [a, b, c, d] = seen.per, det = a * d - b * c;
    pixel = [pixel[0] + (d * dx - b * dy) / det, pixel[1] + (a * dy - c * dx) / det];
    if (Math.hypot(dx, dy) < 1e-7) return pixel;
  }
  return null;
}
