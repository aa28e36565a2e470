// Loops over the numbers in the memory of Python, for faultnet/pocket/arrays.
//
// All numbers are doubles. A place is where a number lies, counted in numbers (address over
// eight); a step is how far it is to the next one along an axis. What is asked stands in a block
// of numbers of which Python tells the place once: to hand over each value would cost more than
// the call. Each loop says below what it wants in the block, in that order.

import { vectorsOver } from "./vectors.js";

const keep = (x) => x;

// Remainder and quotient as Python has them: the remainder takes the sign of the divisor.
function remainder(x, y) {
  const rest = x % y;
  if (rest === 0) return y < 0 ? -0 : 0;
  return rest < 0 !== y < 0 ? rest + y : rest;
}
function floorDivide(x, y) {
  if (y === 0) return x / y;
  const quotient = (x - remainder(x, y)) / y;
  const whole = Math.floor(quotient);
  return quotient - whole > 0.5 ? whole + 1 : whole;
}
function bits(small, large) {
  return (x, y) =>
    (x | 0) === x && (y | 0) === y ? small(x, y) : Number(large(BigInt(x), BigInt(y)));
}

// In the order of BINARY in kinds.py.
const BINARY = [
  (x, y) => x + y,
  (x, y) => x - y,
  (x, y) => x * y,
  (x, y) => x / y,
  (x, y) => (x > y || x !== x ? x : y),
  (x, y) => (x < y || x !== x ? x : y),
  (x, y) => +(x > y),
  (x, y) => +(x < y),
  (x, y) => +(x === y),
  (x, y) => +(x !== y),
  (x, y) => +(x >= y),
  (x, y) => +(x <= y),
  (x, y) => +(x !== 0 || y !== 0),
  (x, y) => +(x !== 0 && y !== 0),
  bits((x, y) => x | y, (x, y) => x | y),
  bits((x, y) => x & y, (x, y) => x & y),
  bits((x, y) => x ^ y, (x, y) => x ^ y),
  floorDivide,
  remainder,
  (x, y) => (y < 0 ? NaN : x * 2 ** y),
  (x, y) => (y < 0 ? NaN : Math.floor(x / 2 ** y)),
];

// In the order of UNARY in kinds.py.
const UNARY = [
  keep,
  (x) => -x,
  Math.abs,
  Math.exp,
  Math.log,
  (x) => +Number.isFinite(x),
  (x) => +(x !== x),
  (x) => +(x === 0),
  (x) => +(x !== 0),
  (x) => Math.trunc(x) + 0,
  Math.sqrt,
];

// A run is the innermost loop. The frequent ones are written out: a function for each number
// would not be put in line.
const RUN = BINARY.map((make) => (F, n, o, a, b, so, sa, sb) => {
  for (let k = 0; k < n; k++, o += so, a += sa, b += sb) F[o] = make(F[a], F[b]);
});
RUN[0] = (F, n, o, a, b, so, sa, sb) => {
  for (let k = 0; k < n; k++, o += so, a += sa, b += sb) F[o] = F[a] + F[b];
};
RUN[1] = (F, n, o, a, b, so, sa, sb) => {
  for (let k = 0; k < n; k++, o += so, a += sa, b += sb) F[o] = F[a] - F[b];
};
RUN[2] = (F, n, o, a, b, so, sa, sb) => {
  for (let k = 0; k < n; k++, o += so, a += sa, b += sb) F[o] = F[a] * F[b];
};
RUN[3] = (F, n, o, a, b, so, sa, sb) => {
  for (let k = 0; k < n; k++, o += so, a += sa, b += sb) F[o] = F[a] / F[b];
};

const FEW = 4; // numbers in a row for which it is not worth the way to the vectors

// A run that goes two numbers at a time where they lie in a row.
function inRows(run, vector) {
  if (!vector) return run;
  const [both, first, second] = vector;
  return (F, n, o, a, b, so, sa, sb) => {
    if (so !== 1 || n < FEW) run(F, n, o, a, b, so, sa, sb);
    else if (sa === 1 && sb === 1) both(n, 8 * o, 8 * a, 8 * b);
    else if (sa === 0 && sb === 1) first(n, 8 * o, 8 * a, 8 * b);
    else if (sa === 1 && sb === 0) second(n, 8 * o, 8 * a, 8 * b);
    else run(F, n, o, a, b, so, sa, sb);
  };
}

const RUN_ONE = UNARY.map((make) => (F, n, o, a, b, so, sa) => {
  for (let k = 0; k < n; k++, o += so, a += sa) F[o] = make(F[a]);
});
RUN_ONE[0] = (F, n, o, a, b, so, sa) => {
  if (so === 1 && sa === 1) F.copyWithin(o, a, a + n);
  else if (so === 1 && sa === 0) F.fill(F[a], o, o + n);
  else for (let k = 0; k < n; k++, o += so, a += sa) F[o] = F[a];
};

const FOLD = BINARY.map((make) => (F, n, o, a, b, so, sa) => {
  for (let k = 0; k < n; k++, o += so, a += sa) F[o] = make(F[o], F[a]);
});
FOLD[0] = (F, n, o, a, b, so, sa) => {
  if (so === 0) {
    let sum = F[o];
    for (let k = 0; k < n; k++, a += sa) sum += F[a];
    F[o] = sum;
  } else for (let k = 0; k < n; k++, o += so, a += sa) F[o] += F[a];
};

function addProducts(F, n, o, a, b, so, sa, sb) {
  if (so === 0) {
    let sum = F[o];
    for (let k = 0; k < n; k++, a += sa, b += sb) sum += F[a] * F[b];
    F[o] = sum;
  } else for (let k = 0; k < n; k++, o += so, a += sa, b += sb) F[o] += F[a] * F[b];
}

// What a run costs for each number, roughly, in nanoseconds: numbers in a row, some apart, far apart.
const [IN_ROW, APART, FAR, BEGUN] = [0.5, 1.7, 4, 30];
const LINE = 8; // numbers that the processor fetches together

function costOf({ length, steps }) {
  if (steps[0] === 1 && steps.every((step) => step === 0 || step === 1)) return IN_ROW + BEGUN / length;
  return (steps.some((step) => Math.abs(step) >= LINE) ? FAR : APART) + BEGUN / length;
}

// Axes that can be walked in one go are joined; the one that costs least is walked innermost.
function joined(axes) {
  const kept = [];
  for (const axis of axes) {
    if (axis.length === 1) continue;
    const last = kept[kept.length - 1];
    if (last && last.steps.every((step, k) => step === axis.steps[k] * axis.length)) {
      last.length *= axis.length;
      last.steps = axis.steps;
    } else kept.push({ ...axis });
  }
  const least = kept.reduce((best, axis, k) => (costOf(axis) <= costOf(kept[best]) ? k : best), 0);
  return kept.concat(kept.splice(least, 1));
}

function planOf(axes, count) {
  const kept = joined(axes);
  if (!kept.length) kept.push({ length: 1, steps: Array(count).fill(0) });
  const steps = Array.from({ length: 4 }, (_, k) =>
    Int32Array.from(kept, (axis) => axis.steps[k] ?? 0));
  return {
    empty: axes.some((axis) => axis.length === 0),
    inner: kept.length - 1,
    lengths: Int32Array.from(kept, (axis) => axis.length),
    steps,
    at: new Int32Array(kept.length),
  };
}

// Goes through all but the innermost axis of a plan and lets each run do that one.
function walk(F, plan, o, a, b, run) {
  if (plan.empty) return;
  const { inner, lengths, at } = plan;
  const [so, sa, sb] = plan.steps;
  for (;;) {
    run(F, lengths[inner], o, a, b, so[inner], sa[inner], sb[inner]);
    let k = inner - 1;
    for (; k >= 0; k--) {
      o += so[k];
      a += sa[k];
      b += sb[k];
      if (++at[k] < lengths[k]) break;
      o -= so[k] * lengths[k];
      a -= sa[k] * lengths[k];
      b -= sb[k] * lengths[k];
      at[k] = 0;
    }
    if (k < 0) return;
  }
}

// Not a number comes last; equal ones stay as they were.
function before(x, y) {
  if (x < y) return -1;
  if (x > y) return 1;
  return x === y ? 0 : (x !== x) - (y !== y);
}

// Merges two runs of places, each in the order of their keys; of equal ones the first stays first.
function merged(keys, from, to, start, run) {
  const middle = Math.min(start + run, from.length);
  const end = Math.min(start + 2 * run, from.length);
  let [one, other] = [start, middle];
  for (let k = start; k < end; k++) {
    const second = one >= middle || (other < end && before(keys[from[other]], keys[from[one]]) < 0);
    to[k] = second ? from[other++] : from[one++];
  }
}

// Loops along one axis of numbers in a row: `length` of them, `inner` apart, from `a` on.
const ALONG = [
  // Runs in order are merged to longer ones, until there is one.
  function order(F, length, inner, o, a) {
    const keys = new Float64Array(length);
    let from = new Int32Array(length);
    for (let k = 0; k < length; k++) [keys[k], from[k]] = [F[a + k * inner], k];
    let to = new Int32Array(length);
    for (let run = 1; run < length; run *= 2) {
      for (let start = 0; start < length; start += 2 * run) merged(keys, from, to, start, run);
      [from, to] = [to, from];
    }
    for (let k = 0; k < length; k++) F[o + k * inner] = from[k];
    return length;
  },
  function sums(F, length, inner, o, a) {
    let sum = length ? F[a] : 0;
    for (let k = 0; k < length; k++) F[o + k * inner] = k ? (sum += F[a + k * inner]) : sum;
    return length;
  },
  function largest(F, length, inner, o, a) {
    let best = 0;
    for (let k = 1; k < length; k++) {
      const [x, y] = [F[a + k * inner], F[a + best * inner]];
      if (y === y && (x > y || x !== x)) best = k;
    }
    F[o] = best;
    return 1;
  },
  function smallest(F, length, inner, o, a) {
    let best = 0;
    for (let k = 1; k < length; k++) {
      const [x, y] = [F[a + k * inner], F[a + best * inner]];
      if (y === y && (x < y || x !== x)) best = k;
    }
    F[o] = best;
    return 1;
  },
  function sumsFrom(F, length, inner, o, a, starts, count) {
    for (let k = 0; k < count; k++) {
      const start = F[starts + k];
      const end = k + 1 < count ? F[starts + k + 1] : length;
      let sum = F[a + start * inner];
      for (let n = start + 1; n < end; n++) sum += F[a + n * inner];
      F[o + k * inner] = sum;
    }
    return count;
  },
];

export function loopsOver(module) {
  let at = 0; // the place of the block
  const plans = [];
  const vectors = vectorsOver(module.memory);
  const runs = RUN.map((run, k) => inRows(run, vectors?.binary[k]));
  const products = inRows(addProducts, vectors?.addProducts);
  const addOn = inRows((F, n, o, _, a, so, __, sa) => FOLD[0](F, n, o, a, 0, so, sa), vectors?.binary[0]);
  const folds = [(F, n, o, a, b, so, sa) => addOn(F, n, o, o, a, so, so, sa), ...FOLD.slice(1)];
  const walked = (runs) => () => {
    const F = module.HEAPF64;
    walk(F, plans[F[at + 1]], F[at + 2], F[at + 3], F[at + 4], runs[F[at]]);
  };
  // A run that copies what stands at some offsets, for each place of the plan.
  const picked = (copy) => () => {
    const F = module.HEAPF64;
    const [plan, row, base, n, offsets, tail] = F.subarray(at, at + 6);
    walk(F, plans[plan], row, base, 0, (_, length, o, a, b, so, sa) => {
      copy(F, n, offsets, tail, length, o, a, so, sa);
    });
  };
  return {
    begin(block) {
      at = block;
    },
    // count of axes, count of arrays, the lengths, then the steps of each array.
    plan() {
      const F = module.HEAPF64;
      const [n, count] = [F[at], F[at + 1]];
      const axes = Array.from({ length: n }, (_, k) => ({
        length: F[at + 2 + k],
        steps: Array.from({ length: count }, (_, j) => F[at + 2 + n * (j + 1) + k]),
      }));
      return plans.push(planOf(axes, count)) - 1;
    },
    // operation, plan, place of the result, of the first, of the second.
    binary: walked(runs),
    // operation, plan, place of the result, of the array.
    unary: walked(RUN_ONE),
    // operation, plan, place of the result, of the array, size of the result, what it starts with.
    fold() {
      const F = module.HEAPF64;
      const o = F[at + 2];
      F.fill(F[at + 5], o, o + F[at + 4]);
      walk(F, plans[F[at + 1]], o, F[at + 3], 0, folds[F[at]]);
    },
    // plan, place of the result (all nought), of the first, of the second.
    contract() {
      const F = module.HEAPF64;
      walk(F, plans[F[at]], F[at + 1], F[at + 2], F[at + 3], products);
    },
    // plan, place of the result, of the truths, of the first, of the second, its steps' plan.
    choose() {
      const F = module.HEAPF64;
      const [n, o, c, a, b] = F.subarray(at, at + 5);
      for (let k = 0; k < n; k++) F[o + k] = F[c + k] !== 0 ? F[a + k] : F[b + k];
    },
    // count of places, count of picks, place of the result; for each pick: place, length, step.
    offsets() {
      const F = module.HEAPF64;
      const [n, picks, o] = F.subarray(at, at + 3);
      F.fill(0, o, o + n);
      for (let p = 0, w = at + 3; p < picks; p++, w += 3) {
        const [a, length, step] = [F[w], F[w + 1], F[w + 2]];
        for (let k = 0; k < n; k++) {
          const place = F[a + k] < 0 ? F[a + k] + length : F[a + k];
          if (!(place >= 0 && place < length)) return 0;
          F[o + k] += place * step;
        }
      }
      return 1;
    },
    // plan, place of the row, of the array, count of offsets, their place, how far apart in the row.
    gather: picked((F, n, offsets, tail, length, row, array, so, sa) => {
      if (length === 1) {
        for (let k = 0; k < n; k++, row += tail) F[row] = F[array + F[offsets + k]];
        return;
      }
      for (let k = 0; k < n; k++, row += tail) {
        const from = array + F[offsets + k];
        for (let j = 0; j < length; j++) F[row + j * so] = F[from + j * sa];
      }
    }),
    scatter: picked((F, n, offsets, tail, length, row, array, so, sa) => {
      for (let k = 0; k < n; k++, row += tail) {
        const to = array + F[offsets + k];
        for (let j = 0; j < length; j++) F[to + j * sa] = F[row + j * so];
      }
    }),
    // which, how often, length and inner of the axis, places of result and array, more, their count.
    along() {
      const F = module.HEAPF64;
      const [which, outer, length, inner, out, a, more, count] = F.subarray(at, at + 8);
      const run = ALONG[which];
      let o = out;
      for (let k = 0; k < outer; k++) {
        let made = 0;
        for (let j = 0; j < inner; j++) {
          made = run(F, length, inner, o + j, a + k * length * inner + j, more, count);
        }
        o += made * inner;
      }
    },
    // place, count: whether all are counts that a double tells exactly.
    bounded() {
      const F = module.HEAPF64;
      const [a, n] = F.subarray(at, at + 2);
      for (let k = a; k < a + n; k++) if (!(Math.abs(F[k]) <= 2 ** 53)) return 0;
      return 1;
    },
  };
}
