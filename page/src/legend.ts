// What lines, areas and signs mean. A sample has the very classes that the drawing gives, so that one style makes both.
import "./shared";
import {h, s} from "./dom";
import {glyph} from "./drawing";

const LINE = "M3 10H41", RING = "M13 10a9 8 0 1 0 18 0a9 8 0 1 0 -18 0Z", ARC = "M4 15Q22 2 40 15";
/** Groups and the class of the shape, what it means, its outline ("" for a ring as the drawing has them). */
type Sign = [string, string, string?];
const drawing: Sign[] = [
  ["rim rib/inner rib", "pulley on the ribs", ""], ["rim back/inner back", "pulley on the belt’s back", ""], ["rim blower", "the blower’s pulley", ""], ["rim chosen", "selected part", ""], ["wrap chosen", "the belt’s contact with it", ARC],
  ["belt/pitch", "belt, to scale, with its pitch line", LINE], ["belt off", "belt that fits nowhere in the tensioner’s travel", LINE], ["sense", "direction of the belt", "M29 10L17 5V15Z"], ["load", "hub load", "M4 10H40M34 7L40 10L34 13"],
  ["hub", "axis of a pulley", "M14 10H30M22 2V18"], ["arm", "tensioner’s arm", LINE], ["pivot", "its pivot", "M22 4L28 10L22 16L16 10Z"], ["travel", "its travel, a tick every 5°", "M4 15Q22 2 40 15M4 18V12M40 18V12M22 6V10"], ["work", "part of the travel from idle to redline", ARC],
  ["slot/slot-ticks", "slot, a tick every 5 mm", LINE], ["ghost", "file as opened", LINE], ["obstacles>", "obstacle", "M8 4L38 7L34 17L6 14Z"], ["obstacles>fail", "something runs too near to it: fail", "M8 4L38 7L34 17L6 14Z"], ["obstacles>marginal", "the same: marginal", "M8 4L38 7L34 17L6 14Z"],
  ["gaps>fail", "where it is: fail", RING], ["gaps>marginal", "the same: marginal", RING], ["marks>pulley fail", "finding on a pulley, bearing or seat: fail", ""], ["marks>pulley marginal", "the same: marginal", ""], ["marks>span fail", "finding on a span: fail", LINE], ["marks>span marginal", "the same: marginal", LINE],
  ["marks>overlap", "pulleys reach into each other", "M16 4L28 16M16 16L28 4"], ["photo-marks>", "marked in the photo", RING], ["photo-marks>rim-seen", "rim as the photo shows it", RING],
  ["study>room", "where a search may move a part", "M8 4L38 7L34 17L6 14Z"], ["study>room-of", "the part that it may move", RING], ["study>proposed", "where a search proposes a part", RING], ["study>proposed own", "where the proposal that is looked at has it, and from where it moves", "M13 10a9 8 0 1 0 18 0a9 8 0 1 0 -18 0ZM22 10H40"], ["study>proposed belt-then", "its belt", ARC],
];
const strip: Sign[] = [
  ["tension", "tension of a rib", ARC], ["was", "file as opened", ARC], ["contact", "contact with the ribs", "M12 2H32V18H12Z"], ["contact back", "contact with the back", "M12 2H32V18H12Z"], ["contact chosen", "contact of the selected part", "M12 2H32V18H12Z"],
  ["grip", "grip used", "M12 8H32V18H12Z"], ["grip over", "grip over its limit", "M12 4H32V18H12Z"], ["limit", "limit of both", LINE], ["over", "span over the limit", LINE], ["range", "from idle to redline", LINE],
];
/** The drive along the crank. */
const BLOCK = "M8 4H36V16H8Z";
const section: Sign[] = [
  ["rim rib", "pulley on the ribs", BLOCK], ["rim back", "pulley on the belt’s back", BLOCK], ["rim chosen", "selected part", BLOCK], ["ribs", "its ribs", "M12 3V17M18 3V17M24 3V17M30 3V17"], ["axis", "its axis", LINE],
  ["span-strip", "belt", "M4 6H40V14H4Z"], ["span-middle", "middle of the belt", LINE], ["block flange", "flange or disc", BLOCK], ["block bearing/cross-lines", "bearing", `${BLOCK}M8 4L36 16M8 16L36 4`], ["block bolt", "bolt or washer", BLOCK],
  ["block face", "the engine’s face", BLOCK], ["block bracket", "bracket", BLOCK], ["block standoff", "standoff, spacer or other part of a stack", BLOCK], ["block shim", "shims", "M20 4H24V16H20Z"], ["block in-file", "shims as the file has them, where others are judged", BLOCK],
  ["obstacle", "obstacle", BLOCK], ["obstacle fail", "something runs too near to it, or a part fails", BLOCK], ["obstacle marginal", "the same: marginal", BLOCK],
];

function sample(of: string, [what, , outline]: Sign): SVGSVGElement {
  const parts = what.split("/").map((one) => {
    const [name, group] = one.split(">").reverse(), inner = name.startsWith("inner");
    const shape = outline ? s("path", {class: name, d: outline, "stroke-width": /^belt/.test(name) ? 5 : null}) : s("circle", {class: name, cx: 22, cy: 10, r: inner ? 5 : 8});
    if (name === "rim chosen") shape.setAttribute("data-chosen", "true");
    return group === undefined ? shape : s("g", {class: group}, shape);
  });
  return s("svg", {class: `sample ${of}`, viewBox: "0 0 44 20", "aria-hidden": "true"}, ...parts);
}
function list(of: string, signs: Sign[]): HTMLElement { return h("ul", {}, ...signs.map((one) => h("li", {}, sample(of, one), one[1]))); }

export function fillLegend(box: HTMLElement): void {
  box.append(h("h2", {}, "Drawing"), list("drawn", drawing), h("h2", {}, "Belt unrolled, engine speed"), list("drawn", strip), h("h2", {}, "From the side"), list("section", section), h("h2", {}, "Signs"), h("ul", {}, ...Object.entries(glyph).map(([level, sign]) => h("li", {}, h("span", {class: `sign ${level}`, "aria-hidden": "true"}, sign), level))));
}
