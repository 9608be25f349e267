// The view of motion: what it takes from the page, and what the server says of motion (`snub motion --json`; docs/guide/motion.md).
import type {Answer, Ask} from "./api";
import type {BeltPath, Shape, Vec} from "./types";
import type {Kind} from "./units";

/** What the page hands to a script that comes later: its own state is in the page alone. */
export interface Host {
  call: <T>(method: string, path: string, body?: unknown) => Promise<Answer<T>>;
  failureOf: (error: unknown) => string;
  ask: () => Ask;
  shape: () => Shape | null;
  show: (kind: Kind, value: number | null | undefined, digits?: number) => string;
  showUnit: (kind: Kind, value: number | null | undefined, digits?: number) => string;
  setSpeed: (rpm: number) => void;
  layer: SVGGElement; // in the drawing, in mm
  front: () => void;  // the drawing is to be seen
  language: () => string;
}
/** What the script gives. */
export interface MotionView { show(on: boolean): void; changed(): void; leave(): void; restyle(): void }

export interface Mode { frequency_Hz: number; crank: "held" | "free"; firing_meets_it_at_rpm: number | null; energy_share: Record<string, number>; shape: Record<string, number> }
export interface Inertia { name: string; inertia_kg_m2: number | null; assumed: boolean; basis: string }
export interface OrderAt { rpm: number; order: number; tension_N: Record<string, number>; slack: string[]; arm_deg: number | null; arm_sticks: boolean | null }
export interface MotionMap {
  build: {fingerprint: string};   modes_at_rpm: number | null; arm_moves: boolean | null; modes: Mode[]; modes_missing: {crank: string; why: string}[]; inertias: Inertia[];
  spans: {from: string; to: string; tension_N: [number, number][]}[]; orders: OrderAt[];
  irregularity: {source: string | null; missing: string | null; assumed: string[]}; no_equilibrium: {engine_rpm: number; why: string}[];
}
export interface RunEvent { what: string; at: string; from_s: number; to_s: number; from_rpm: number; to_rpm: number; times: number; longest_s: number; loose_mm?: number; slip_m_s?: number; faster_rpm?: number; struck_deg_s?: number }
export interface Range { low: number; low_at_s: number; high: number; high_at_s: number }
export interface MotionRun {
  build: {fingerprint: string}; run: string; assumed: string[]; crank_even: boolean; crank_even_why: string | null; inertias: Inertia[]; started: boolean; no_balance?: string; ended_s: number; whole: boolean; stopped_by: string | null; events: RunEvent[]; events_cut: boolean;
  belt_thrown_at_event: number | null; spans: {span: string; tension_N: Range; slack_share: number}[]; pulleys: {name: string; hub_N: Range}[]; arm: {angle_deg: Range} | null;
}
export interface Columns {
  time_s: number[]; engine_rpm: number[]; crank_rpm: number[]; arm_deg: (number | null)[];
  spans: {tension_N: number[]; low_N: number[]; high_N: number[]; loose: number[]}[]; pulleys: {rpm: number[]; slip_m_s: number[]}[];
}
/** Where the belt runs with the arm there. */
export interface Place { wind_deg: number; at_mm: Vec; path: BeltPath }
export interface MotionAnswer<T> { motion: T; columns: Columns | null; places: Place[] }
