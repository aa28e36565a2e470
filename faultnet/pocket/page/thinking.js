// The worker that thinks: Python with the rooms of the desk. thinker.js asks it.

import { keepBeside } from "./copies.js";
import createPyodideModule from "./core/pyodide.asm.js";
import { loadPyodide } from "./core/pyodide.js";
import { loopsOver } from "./loops.js";

const HERE = new URL("./", import.meta.url);
const CORE = new URL("core/", HERE).href;
const WHEEL = "core/msgspec-0.22.0-cp314-cp314-pyemscripten_2026_0_wasm32.whl";
const ROOMS = "rooms.zip";
const COMPILED = "compiled.zip"; // made here, at the first time
const QUIET = 3000; // milliseconds without a question, after which it is made
const STEPS = 4;
const NO_PACKAGES = {
  info: { abi_version: "2026_0", arch: "wasm32", platform: "emscripten_5_0_3", python: "3.14.2" },
  packages: {},
};

let quiet = 0;
let stepped = 0;

const files = Promise.all([WHEEL, ROOMS, COMPILED, "knowledge.bin"].map(bytes));
const ready = started();

self.onmessage = async ({ data: { id, name, given } }) => {
  clearTimeout(quiet);
  try {
    const { talking, python } = await ready;
    self.postMessage({ id, answer: talking.answer(name, given) });
    if (python) quiet = setTimeout(() => compile().catch(() => {}), QUIET);
  } catch (error) {
    self.postMessage({ id, died: String(error).slice(-500) });
  }
};

// Returns a file of the page; only what is compiled may be missing.
async function bytes(path) {
  const answer = await fetch(new URL(path, HERE));
  if (!answer.ok && path === COMPILED) return null;
  if (!answer.ok) throw new Error(`${path}: ${answer.status}`);
  return new Uint8Array(await answer.arrayBuffer());
}

async function started() {
  const [wheel, rooms, compiled, knowledge] = await files;
  step();
  const python = await loadPyodide({
    indexURL: CORE,
    createPyodideModule,
    lockFileContents: NO_PACKAGES,
    packageBaseUrl: CORE,
    env: { FAULTNET_CACHE: "", PYTHONPATH: `/${COMPILED}:/${ROOMS}` },
    fsInit: (fs) => {
      if (compiled) fs.writeFile(`/${COMPILED}`, compiled);
      fs.writeFile(`/${ROOMS}`, rooms);
    },
  });
  step();
  python.registerJsModule("page_loops", loopsOver(python._module));
  python.unpackArchive(wheel, "wheel");
  const { started: talkingOf } = python.pyimport("faultnet.pocket.talk.started");
  step();
  const talking = talkingOf(python.toPy(knowledge));
  step();
  return { talking, python: compiled ? null : python };
}

function step() {
  stepped += 1;
  self.postMessage({ share: stepped / STEPS });
}

// Keeps what Python compiled, so that it need not at the next time; questions come in between.
async function compile() {
  const all = await ready;
  const { python } = all;
  if (!python) return;
  all.python = null;
  const compiling = python.pyimport("faultnet.pocket.talk.compiled").Compiling();
  while (compiling.more()) await new Promise((resolve) => { setTimeout(resolve, 0); });
  const whole = compiling.whole();
  await keepBeside(COMPILED, whole.toJs());
  whole.destroy();
  compiling.destroy();
}
