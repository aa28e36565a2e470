// The worker that thinks: Python with the rooms of the desk. Asked by page/thinker.js.

import createPyodideModule from "./core/pyodide.asm.js";
import { loadPyodide } from "./core/pyodide.js";
import { loopsOver } from "./loops.js";

const HERE = new URL("./", import.meta.url);
const WHEEL = "core/msgspec-0.22.0-cp314-cp314-pyemscripten_2026_0_wasm32.whl";
const NO_PACKAGES = {
  info: { abi_version: "2026_0", arch: "wasm32", platform: "emscripten_5_0_3", python: "3.14.2" },
  packages: {},
};

async function bytes(path) {
  const answer = await fetch(new URL(path, HERE));
  if (!answer.ok) throw new Error(`${path}: ${answer.status}`);
  return new Uint8Array(await answer.arrayBuffer());
}

async function talking() {
  const files = Promise.all([WHEEL, "rooms.zip", "knowledge.bin"].map(bytes));
  const python = await loadPyodide({
    indexURL: new URL("core/", HERE).href,
    createPyodideModule,
    lockFileContents: NO_PACKAGES,
    packageBaseUrl: new URL("core/", HERE).href,
    env: { FAULTNET_CACHE: "" },
  });
  const [wheel, rooms, knowledge] = await files;
  python.registerJsModule("page_loops", loopsOver(python._module));
  python.unpackArchive(wheel, "wheel");
  python.unpackArchive(rooms, "zip", { extractDir: "/rooms" });
  python.pyimport("sys").path.insert(0, "/rooms");
  const { started } = python.pyimport("faultnet.pocket.talk.started");
  return started(python.toPy(knowledge));
}

const ready = talking();

ready.then(
  () => self.postMessage({ ready: true }),
  (error) => self.postMessage({ ready: false, reason: String(error).slice(-400) }),
);

self.onmessage = async ({ data: { id, name, given } }) => {
  const answering = await ready;
  self.postMessage({ id, answer: answering.answer(name, given) });
};
