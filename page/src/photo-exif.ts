// What a camera wrote into a JPEG: its focal length, and how it was held.
import type {Vec} from "./types";

export interface Written { focal35: number | null; orientation: number; size: Vec | null }
const NOTHING: Written = {focal35: null, orientation: 1, size: null};
const APP1 = 0xffe1, START_OF_SCAN = 0xffda, ORIENTATION = 0x0112, EXIF_LIST = 0x8769, WIDTH = 0xa002, HEIGHT = 0xa003, FOCAL_35 = 0xa405;

/** Tags of the Exif block (JEITA CP-3451). Whatever is no JPEG, or is cut short, has none. */
export function writtenIn(buffer: ArrayBuffer): Written {
  const data = new DataView(buffer);
  try {
    if (data.getUint16(0) !== 0xffd8) return NOTHING;
    for (let at = 2; data.getUint16(at) >= 0xff00 && data.getUint16(at) !== START_OF_SCAN; at += 2 + data.getUint16(at + 2))
      if (data.getUint16(at) === APP1 && data.getUint32(at + 4) === 0x45786966) return tagsOf(data, at + 10);
  } catch { /* cut short */ }
  return NOTHING;
}

function tagsOf(data: DataView, base: number): Written {
  const little = data.getUint16(base) === 0x4949, tags = new Map<number, number>();
  const list = (offset: number): void => {
    const many = data.getUint16(base + offset, little);
    for (let i = 0; i < many; i++) {
      const at = base + offset + 2 + 12 * i, type = data.getUint16(at + 2, little);
      tags.set(data.getUint16(at, little), type === 3 ? data.getUint16(at + 8, little) : data.getUint32(at + 8, little));
    }
  };
  list(data.getUint32(base + 4, little));
  const more = tags.get(EXIF_LIST);
  if (more) list(more);
  const wide = tags.get(WIDTH), high = tags.get(HEIGHT);
  return {focal35: tags.get(FOCAL_35) || null, orientation: tags.get(ORIENTATION) ?? 1, size: wide && high ? [wide, high] : null};
}

/** Was the picture cut since? Then its middle is not the lens's, and the focal length that was written is not its own. */
export function wasCut(written: Written, size: Vec): boolean {
  if (!written.size) return false;
  const shape = (v: Vec): number => Math.max(v[0], v[1]) / Math.min(v[0], v[1]);
  return Math.abs(shape(written.size) / shape(size) - 1) > 0.01;
}
