// What the page lends to the core (app/wasm/browser.h): functions, and the digits of numbers as C prints them.

/** A half goes to the even digit in C, where JavaScript takes it up. @param longer  the same with more digits, of which all but `kept` characters are beyond */
function toEven(usual: string, longer: string, kept: number): string {
  const last = longer[kept - 1] === "." ? longer[kept - 2] : longer[kept - 1];
  return /^50*$/.test(longer.slice(kept).replace(".", "")) && Number(last) % 2 === 0 ? longer.slice(0, kept).replace(/\.$/, "") : usual;
}
const MORE = 40, MOST = 100; // a double that is no half differs from one within as many digits

function fixed(x: number, digits: number): string {
  if (x >= 1e21) return BigInt(x).toString() + (digits ? `.${"0".repeat(digits)}` : "");
  const more = Math.min(MOST, digits + MORE), longer = x.toFixed(more);
  return toEven(x.toFixed(digits), longer, longer.length - more + digits);
}
function exponential(x: number, digits: number): string {
  const [longer, power] = x.toExponential(Math.min(MOST, digits + MORE)).split("e"), [usual, its] = x.toExponential(digits).split("e");
  const even = toEven(usual, longer, 2 + digits), exponent = even === usual ? its : power;
  return `${even}e${exponent[0]}${exponent.slice(1).padStart(2, "0")}`;
}
/** "%.*e", "%.*f", "%.*g" of a number >= 0. */
export function printed(x: number, kind: string, digits: number): string {
  if (kind === "f") return fixed(x, digits);
  if (kind === "e") return exponential(x, digits);
  const most = Math.max(1, digits), [head, power] = exponential(x, most - 1).split("e"), exponent = Number(power);
  const plain = (text: string): string => text.includes(".") ? text.replace(/\.?0*$/, "") : text;
  return exponent < -4 || exponent >= most ? `${plain(head)}e${power}` : plain(fixed(x, most - 1 - exponent));
}

/** Imports of the core. */
export function lent(memory: () => WebAssembly.Memory): {math: WebAssembly.ModuleImports; page: WebAssembly.ModuleImports} {
  const {acos, asin, atan, atan2, cbrt, cos, cosh, exp, expm1, log, log10, pow, sin, sinh, tan, tanh} = Math;
  const bytes = (at: number, length: number): Uint8Array => new Uint8Array(memory().buffer, at, length);
  return {math: {acos, asin, atan, atan2, cbrt, cos, cosh, exp, expm1, log, log10, pow, sin, sinh, tan, tanh}, page: {
    number: (x: number, kind: number, digits: number, to: number) => { const text = printed(x, String.fromCharCode(kind), digits); new TextEncoder().encodeInto(text, bytes(to, text.length)); return text.length; },
    value: (at: number, length: number) => Number(new TextDecoder().decode(bytes(at, length))),
  }};
}
