// What the server says. Keys end in their unit; see docs/guide/page.md.
export type Vec = [number, number];
export type Level = "fail" | "marginal" | "note" | "pass";

export interface Finding {
  level: Level; rule: string; area: string; pulley: string | null; other?: string | null; span?: [string, string] | null; value: number | null; limit: number | null;
  unit: string; at_rpm: number | null; state?: string; text: string; source?: string; case: Case | null; changes: Change[]; // that the words propose
}
/** The state in which a finding met its value, in the words of `snub check`; goes back to the server as it came. */
export interface Case { engine_rpm: number; case: string; belt: string; arm_friction: string; warmth: string; peak: string | null; set: string[] }
/** At redline, as the chart has it; null before the build was judged. */
export interface BlowerFigures { name: string; boost_kPa: number; pulley_rpm: number; rotor_rpm: number }
export interface CheckPulley {
  name: string; turns: string; centre_mm: Vec; wrap_deg: number; rpm: number; torque_N_m: number;
  entry_tension_N: number; exit_tension_N: number; grip_used: number | null; hub_load_N: number; hub_load_deg: number;
}
export interface CheckSpan { from: string; to: string; length_mm: number; tension_N: number; frequency_Hz: number }
/** A build and a state of it. Findings and verdict are the whole build's; null while a hand still moves. */
export interface Check {
  title: string;
  verdict: Level | null;
  build: {ribs: number; belt_length_mm: number | null; designation: string | null; own_number: string | null};
  state: {engine_rpm: number; rate_rpm_s: number; case: string; words: string};
  blower: BlowerFigures | null;
  belt: {speed_m_s: number; path_length_mm: number; centrifugal_tension_N: number};
  arm: {wind_deg: number; moment_N_m: number; room_to_rest_deg: number; room_to_stop_deg: number} | null;
  pulleys: CheckPulley[]; spans: CheckSpan[]; findings: Finding[]; not_judged: NotJudged[];
}
/** What a verdict leaves out because the file does not give it. */
export interface NotJudged { what: string; key: string; pulleys: string[]; text: string }
export interface ArmShape { pivot_mm: Vec; length_mm: number; rest_deg: number; winds: 1 | -1; travel_deg: number; work_deg: Vec }
export interface SlotShape {
  curved: boolean; from_mm: Vec; to_mm: Vec; centre_mm: Vec; radius_mm: number; start_deg: number; sweep_deg: number;
  length_mm: number; setting_mm: number | null; lock: boolean; open: boolean;
}
export interface ShapePulley {
  name: string; role: string; side: "rib" | "back"; sits: "fixed" | "arm" | "slot"; centre_mm: Vec;
  pitch_radius_mm: number; rim_radius_mm: number; diameter_mm: number; diameter_file_mm: number | null; diameter_over: string;
  plane_mm: number; width_mm: number; line: number; blower: boolean; arm?: ArmShape; slot?: SlotShape;
  max_hub_N: number | null; max_speed_rpm: number | null; // as the file gives them
}
export interface Obstacle {
  name: string; shape: "circle" | "polygon" | "stadium"; from_mm: Vec; to_mm: Vec; radius_mm: number; corners_mm: Vec[]; low_mm: number | null; high_mm: number | null; moves: boolean; // with the arm
  cuts_mm: [Vec, Vec][]; // edges of what is taken off its sides
}
/** Where the belt meets and leaves each pulley, as it is drawn; also where it fits nowhere in the tensioner's travel. */
export interface BeltPath { enter_mm: Vec[]; leave_mm: Vec[]; wrap_deg: number[]; length_mm: number }
/** Something too near to an obstacle: nearest points of the two, gap and what is needed. */
export interface Near { obstacle: string; what: string; level: "fail" | "marginal"; from_mm: Vec; to_mm: Vec; gap_mm: number; needed_mm: number }
/** Two pulleys that reach into each other. */
export interface Overlap { pulleys: [string, string]; by_mm: number; at_mm: Vec }
/** Where a belt that is too long or too short drives the tensioner: an end of the arm's travel, or of a locked slot. */
export interface TravelEnd { pulley: string; at_deg?: number; at_mm?: number; too_long: boolean; by_mm: number | null }
/** A part of the section along the crank. `file_mm`: of a place for shims, what the file has there; it is drawn with what the build is judged with. */
export interface SideBlock { what: string; name: string | null; of: string; on_mount: boolean; z_mm: Vec; y_mm: Vec; file_mm?: number }
/** Two of them are measured. `part`: of that pulley or mount. */
export interface Thing { pulley?: string; span?: string; obstacle?: string; mount?: string; part?: string; at?: Vec }
export interface Measure { view: "front" | "side"; of: [Thing, Thing] }
/** Of their outlines in that view; negative: they overlap. `judged` is by what the program holds them apart, in space. */
export interface Measured { from_mm: Vec; to_mm: Vec; distance_mm: number; judged: {value_mm: number; limit_mm: number; flap_mm: number} | null }
export interface MountShape { name: string; corners_mm: Vec[]; bolts: {name: string; at_mm: Vec; shank_mm: number; head_mm: number}[] }
export interface Shape {
  side: {blocks: SideBlock[]; sizes_mm: number[]; most: number}; mounts: MountShape[]; measured: Measured | null;
  path: BeltPath | null; obstacles: Obstacle[]; near: Near[]; overlaps: Overlap[]; end: TravelEnd | null;
  laid: boolean; turn: 1 | -1; wind_deg: number | null; pulleys: ShapePulley[];
  belt: {section: string; ribs: number; thickness_mm: number; back_mm: number; be_mm: number; width_mm: number; length_mm: number | null; length_given: boolean;
    stock: {length_mm: number; designation: string}[]}; // those next to it: two shorter, two longer
  engine: {idle_rpm: number; redline_rpm: number; accel_rate_rpm_s: number; decel_rate_rpm_s: number; blips_rpm_s: number} | null;
  limits: Limits;
}
/** In force for this file. */
export interface Limits { misalignment: number; clearance: number; rib_tension: number; grip_design: number; belt_speed: number }
export interface FileError {
  file: string; line: number; column: number; key: string; message: string; got: string; need: string; text: string;
}
/** What a save changes; null: not in the file. "": comments, or the lines of a text that cannot be read key by key. */
export interface Difference { path: string; file: string | null; new: string | null }
export interface Problem { type: string; title: string; status: number; detail: string; errors: FileError[]; more: number; hints?: FileError[]; conflicts?: Conflict[]; differences?: Difference[] }
/** A key that this page and another program changed differently; "": the whole text. null: it is not there. */
export interface Conflict { path: string; base: string | null; mine: string | null; theirs: string | null }
export interface Pick { path: string; take: "mine" | "theirs"; theirs: string | null }
/** The file on disk that a state of the work began with. */
export interface Base { text: string; etag: string }
/** `taken` are keys that another program changed; `mine` is the text without them, where there are any. */
export interface Saved { file: string; text: string; etag: string; taken: string[]; mine?: string }
/** A row of the program's list of cautions that applies to the build; in the order of the fitting sheet. */
export interface Caution { id: string; signal: string; place: string; text: string; advised: boolean }
/** `hints` are keys by names of before, where the file has any. */
type Row = Record<string, number | string | boolean | null>;
/** As `snub mount --json`. */
export interface Hardware {
  limits: {slip_used: Vec; safety: Vec; static_safety: Vec; proof_safety: number; life_h: number; misalignment_deg: number};
  pulleys: {name: string; plane: Row; standoff: Row | null; strip: Row | null; slot: Row | null; bearing: Row | null}[];
  mounts: (Row & {name: string; bolts: Row[]})[]; duty_assumed: boolean; swing_counts: boolean; swing_missing: string | null;
}
export interface Lay { hardware: Hardware | null; check: Check | null; geometry: Shape; problem: Problem | null; cautions: Caution[]; units?: "us" | "metric"; hints?: FileError[] }
export interface SweepSeries { name: string; kind: string; unit: string; values: (number | null)[] }
export interface Sweep { rpm: number[]; arm_wind_deg: (number | null)[]; series: SweepSeries[] }
export interface ChartBuild {
  code: string; variant?: string; package?: string; options?: Record<string, string>; ribs: number; diameters_mm: Record<string, number>; belt_length_mm: number | null; designation: string | null;
  slots_mm: Record<string, number>; wrap_deg: Record<string, number>; wrap_gain_pct: Record<string, number | null>;
  arm_wind_deg: [number, number] | null; grip_used: number | null; grip_at_rpm: number | null; verdict: Level; file_writes: string | null;
  cells: (number | string | null)[]; // one for each column of the chart
  findings: Finding[]; changes?: Change[] | null; cautions: Caution[];
}
export interface ChartColumn { key: string; of: string | null; title: string; unit: string; decimals: number }
export interface Chart { title: string; columns: ChartColumn[]; excluded: {package: string; variants: string[]; options: Record<string, string[]>; reason: string; builds: number}[]; rows_left_out: number; builds: ChartBuild[]; not_judged: NotJudged[]; cautions: Caution[]; belts: {designation: string; builds: number}[] }
export interface Job<T> { job: number; state: "running" | "done" | "failed" | "stopped"; done: number; of: number; so_far?: unknown; result: T | Problem | null }
export type Value = number | string | boolean | null | Value[] | {[key: string]: Value};
export interface Change { path: string; value: Value }
export interface DriveFile { file: string; text: string; etag: string }
