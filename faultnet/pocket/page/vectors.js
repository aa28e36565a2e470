// The frequent loops over numbers in a row, two numbers at a time: some ten of WebAssembly's
// instructions each, put together here so that the page is made without a compiler.
//
// What comes out is bit for bit what loops.js makes number by number. A browser that does not know
// these instructions gets null, and goes number by number.

const [I32, F64, V128] = [0x7f, 0x7c, 0x7b];
const PAIR = 0xfd; // begins each instruction on two numbers
const WIDTH = 16; // bytes of two numbers

const get = (local) => [0x20, local];
const set = (local) => [0x21, local];
const number = (value) => [0x41, value];
const load = [0x2b, 3, 0];
const store = [0x39, 3, 0];
const loadPair = [PAIR, 0, 3, 0];
const loadBoth = [PAIR, 10, 3, 0]; // one number, twice
const storePair = [PAIR, 11, 3, 0];
const ADD = { one: [0xa0], pair: [PAIR, 0xf0, 1] };
const SUBTRACT = { one: [0xa1], pair: [PAIR, 0xf1, 1] };
const MULTIPLY = { one: [0xa2], pair: [PAIR, 0xf2, 1] };
const DIVIDE = { one: [0xa3], pair: [PAIR, 0xf3, 1] };

// The parameters, in bytes but for the count; then what is kept of a single number.
const [COUNT, RESULT, FIRST, SECOND, KEPT] = [0, 1, 2, 3, 4];
const NONE = 0; // both arrays lie in a row; else the parameter of the one that is a single number

const more = (local, by) => [...get(local), ...number(by), 0x6a, ...set(local)];

/** Returns one loop: an operation on a row and a row, or a single number; `adds` to what is there. */
function loop(operation, single, adds) {
  const rows = [FIRST, SECOND].filter((local) => local !== single);
  const read = (local) => local === single ? get(KEPT) : [...get(local), ...loadPair];
  const made = (there, one, other, kind, put) => [
    ...get(RESULT), ...adds ? [...get(RESULT), ...there] : [],
    ...one, ...other, ...operation[kind], ...adds ? ADD[kind] : [], ...put,
  ];
  const pair = made(loadPair, read(FIRST), read(SECOND), "pair", storePair);
  const last = made(load, [...get(FIRST), ...load], [...get(SECOND), ...load], "one", store);
  return [
    1, 1, V128, // one local: KEPT
    ...single === NONE ? [] : [...get(single), ...loadBoth, ...set(KEPT)],
    0x02, 0x40, 0x03, 0x40, // a block, and a loop in it
    ...get(COUNT), ...number(2), 0x48, 0x0d, 1, // fewer than two: out of the block
    ...pair,
    ...[RESULT, ...rows].flatMap((local) => more(local, WIDTH)),
    ...more(COUNT, 0x7e), // less two
    0x0c, 0, 0x0b, 0x0b, // again; the ends
    ...get(COUNT), 0x04, 0x40, ...last, 0x0b, // the last, if the count is odd
    0x0b,
  ];
}

const unsigned = (n) => n < 128 ? [n] : [(n & 127) | 128, ...unsigned(n >>> 7)];
const counted = (list) => [...unsigned(list.length), ...list.flat()];
const sized = (bytes) => [...unsigned(bytes.length), ...bytes];
const section = (id, content) => [id, ...sized(content)];

function moduleOf(loops) {
  return Uint8Array.from([
    0x00, 0x61, 0x73, 0x6d, 1, 0, 0, 0,
    ...section(1, counted([[0x60, 4, I32, I32, I32, I32, 0]])),
    ...section(2, counted([[1, 0x6d, 1, 0x6d, 2, 0, 1]])), // the memory: "m" of "m"
    ...section(3, counted(loops.map(() => [0]))),
    ...section(7, counted(loops.map((_, k) => [1, 0x61 + k, 0, k]))), // "a", "b", ...
    ...section(10, counted(loops.map(sized))),
  ]);
}

const OPERATIONS = [[ADD], [SUBTRACT], [MULTIPLY], [DIVIDE], [MULTIPLY, true]];
const SINGLES = [NONE, FIRST, SECOND];

/**
 * Returns loops over a memory, or null where the browser cannot: `{binary, addProducts}`, the first a
 * list by operation: add, subtract, multiply, divide. Each is three: of two rows; with a single first
 * number; with a single second. All take the count, then where result, first and second lie, in bytes.
 * @param {WebAssembly.Memory} memory
 */
export function vectorsOver(memory) {
  const module = moduleOf(OPERATIONS.flatMap(([operation, adds]) => SINGLES.map((single) => loop(operation, single, adds))));
  if (!memory || !WebAssembly.validate(module)) return null;
  const { exports } = new WebAssembly.Instance(new WebAssembly.Module(module), { m: { m: memory } });
  const at = (k) => exports[String.fromCharCode(0x61 + k)];
  const three = OPERATIONS.map((_, n) => SINGLES.map((_, k) => at(SINGLES.length * n + k)));
  return { binary: three.slice(0, -1), addProducts: three.at(-1) };
}
