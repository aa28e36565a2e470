// Loops over numbers in the memory of the browser; addresses in bytes, steps in elements.
export function loopsOver(module) {
  const ops = [
    (x, y) => x + y, (x, y) => x - y, (x, y) => x * y, (x, y) => x / y,
    (x, y) => (x > y || x !== x ? x : y), (x, y) => (x < y || x !== x ? x : y),
    (x, y) => +(x > y), (x, y) => +(x < y), (x, y) => +(x === y), (x, y) => +(x !== y),
    (x, y) => +(x >= y), (x, y) => +(x <= y), (x, y) => +(!!x && !!y), (x, y) => +(!!x || !!y),
  ];
  // The axes of one loop, joined where they can be walked in one go: lengths and steps.
  const L = new Int32Array(64), S0 = new Int32Array(64), S1 = new Int32Array(64), S2 = new Int32Array(64);
  const at = new Int32Array(64);
  function joined(n, meta, count) {
    const I = module.HEAP32, m = meta >> 2;
    let d = 0;
    for (let k = 0; k < n; k++) {
      const len = I[m + k];
      if (len === 0) return 0;
      if (len === 1) continue;
      const s0 = I[m + n + k], s1 = I[m + 2 * n + k], s2 = count > 2 ? I[m + 3 * n + k] : 0;
      if (d && S0[d - 1] === s0 * len && S1[d - 1] === s1 * len && S2[d - 1] === s2 * len) {
        L[d - 1] *= len; S0[d - 1] = s0; S1[d - 1] = s1; S2[d - 1] = s2;
      } else { L[d] = len; S0[d] = s0; S1[d] = s1; S2[d] = s2; d++; }
    }
    if (!d) { L[0] = 1; S0[0] = S1[0] = S2[0] = 0; d = 1; }
    return d;
  }
  function walk(d, o, a, b, run) {
    const inner = d - 1;
    for (let k = 0; k < inner; k++) at[k] = 0;
    for (;;) {
      run(L[inner], o, a, b, S0[inner], S1[inner], S2[inner]);
      let k = inner - 1;
      for (; k >= 0; k--) {
        o += S0[k]; a += S1[k]; b += S2[k];
        if (++at[k] < L[k]) break;
        o -= S0[k] * L[k]; a -= S1[k] * L[k]; b -= S2[k] * L[k]; at[k] = 0;
      }
      if (k < 0) return;
    }
  }
  let F;
  const runs = ops.map((f) => (n, o, a, b, so, sa, sb) => {
    for (let k = 0; k < n; k++, o += so, a += sa, b += sb) F[o] = f(F[a], F[b]);
  });
  runs[0] = (n, o, a, b, so, sa, sb) => { for (let k = 0; k < n; k++, o += so, a += sa, b += sb) F[o] = F[a] + F[b]; };
  runs[2] = (n, o, a, b, so, sa, sb) => { for (let k = 0; k < n; k++, o += so, a += sa, b += sb) F[o] = F[a] * F[b]; };
  const copied = (n, o, a, b, so, sa) => { for (let k = 0; k < n; k++, o += so, a += sa) F[o] = F[a]; };
  const contracted = (n, o, a, b, so, sa, sb) => { for (let k = 0; k < n; k++, o += so, a += sa, b += sb) F[o] += F[a] * F[b]; };
  return {
    binary(op, n, meta, out, one, other) {
      F = module.HEAPF64;
      const d = joined(n, meta, 3);
      if (d) walk(d, out >> 3, one >> 3, other >> 3, runs[op]);
    },
    copy(n, meta, out, one) {
      F = module.HEAPF64;
      const d = joined(n, meta, 2);
      if (d) walk(d, out >> 3, one >> 3, 0, copied);
    },
    contract(n, meta, out, one, other) {
      F = module.HEAPF64;
      const d = joined(n, meta, 3);
      if (d) walk(d, out >> 3, one >> 3, other >> 3, contracted);
    },
    gather(n, meta, out, base, count, where) {
      F = module.HEAPF64;
      const I = module.HEAP32, w = where >> 2, m = meta >> 2;
      let d = 0, inner = 1;
      for (let k = 0; k < n; k++) inner *= I[m + k];
      for (let k = 0, step = inner; k < n; k++) {
        const len = I[m + k]; step /= len || 1;
        L[k] = len; S0[k] = step; S1[k] = I[m + n + k]; S2[k] = 0;
      }
      if (!inner) return;
      for (let k = 0; k < count; k++) walk(n, (out >> 3) + k * inner, (base >> 3) + I[w + k], 0, copied);
    },
  };
}
