// Whole editions that this phone keeps (Cache Storage), each under its digest; served.js answers
// from the one in use.

export const HERE = new URL("./", import.meta.url);
export const LIST = "edition.json";

const OURS = `faultnet ${HERE.pathname}`;
const AT_ONCE = 4;

export const addressOf = (path) => new URL(path, HERE).href;

// Why a file could not be copied: `code` is one of those below `edition.trouble` in the texts.
export class CopyError extends Error {
  constructor(code, cause) {
    super(code, { cause });
    this.code = code;
  }
}

// Whether this browser can keep copies here at all: only over https, and not in a private window.
export function whyNot() {
  if (!isSecureContext) return "no-https";
  return globalThis.caches && navigator.serviceWorker && globalThis.crypto?.subtle ? null : "refused";
}

// Returns the list of the edition in use, or null.
export async function inUse() {
  const said = await caches.match(addressOf("in-use"), { cacheName: OURS });
  return said ? listOf((await said.json()).edition) : null;
}

// Returns the list of an edition that is copied as a whole, or null.
export async function listOf(edition) {
  const list = await caches.match(addressOf(LIST), { cacheName: nameOf(edition) });
  return list ? list.json() : null;
}

// Returns the list that the office, or the file server, has now.
export async function offered() {
  const answer = await got(LIST);
  const list = await answer.json().catch(() => null);
  if (!list?.edition || !Array.isArray(list.files)) throw new CopyError("other");
  return list;
}

// Copies an edition; what is there already is left, what another has is taken from it. The list
// comes last: an edition with a list is whole. `tell` gets the bytes that came, and of how many.
export async function copy(list, before, tell) {
  const cache = await guarded(caches.open(nameOf(list.edition)));
  const old = before && { cache: await caches.open(nameOf(before.edition)), paths: pathsOf(before) };
  const came = new Map(list.files.map((file) => [file.path, 0]));
  const of = list.files.reduce((sum, file) => sum + sizeOf(file), 0);
  const count = (file, bytes) => {
    came.set(file.path, Math.min(bytes, sizeOf(file)));
    tell([...came.values()].reduce((sum, each) => sum + each, 0), of);
  };
  const waiting = [...list.files];
  const one = async () => {
    for (let file = waiting.pop(); file; file = waiting.pop()) {
      await keepFile(cache, old, file, list.headers, (bytes) => count(file, bytes));
      count(file, Infinity);
    }
  };
  const ended = await Promise.allSettled(Array.from({ length: AT_ONCE }, one)); // what is on its way is kept
  const failed = ended.find(({ reason }) => reason);
  if (failed) throw failed.reason;
  await guarded(cache.put(addressOf(LIST), Response.json(list, { headers: list.headers })));
}

// Keeps something beside the files of the edition in use; nothing is said where that fails.
export async function keepBeside(path, bytes) {
  const list = await inUse();
  if (!list) return;
  const cache = await caches.open(nameOf(list.edition));
  await cache.put(addressOf(path), new Response(bytes)).catch(() => {});
}

// Removes all copies but those of these editions.
export async function tidy(editions) {
  const wanted = editions.map(nameOf);
  const names = (await caches.keys()).filter((name) => name.startsWith(`${OURS} `));
  await Promise.all(names.filter((name) => !wanted.includes(name)).map((name) => caches.delete(name)));
}

const nameOf = (edition) => `${OURS} ${edition}`;
const pathsOf = (list) => new Map(list.files.map((file) => [file.sha256, file.path]));
const unpacks = "DecompressionStream" in globalThis;
const sizeOf = (file) => (unpacks && file.packed ? file.packed.bytes : file.bytes);

async function keepFile(cache, old, file, headers, tell) {
  const address = addressOf(file.path);
  if (await cache.match(address)) return;
  const same = old?.paths.get(file.sha256);
  const kept = same && (await old.cache.match(addressOf(same)));
  const data = kept ? await kept.arrayBuffer() : await fetched(file, tell);
  await guarded(cache.put(address, new Response(data, { headers: { ...headers, "content-type": file.type } })));
}

async function fetched(file, tell) {
  const packed = unpacks ? file.packed : null;
  const answer = await got(packed?.path ?? file.path);
  let body = answer.body.pipeThrough(counted(tell));
  if (packed) body = body.pipeThrough(new DecompressionStream("gzip"));
  const data = await new Response(body).arrayBuffer().catch((error) => { throw new CopyError("broken", error); });
  if ((await digestOf(data)) !== file.sha256) throw new CopyError("changed");
  return data;
}

async function got(path) {
  let answer;
  try {
    answer = await fetch(addressOf(path), { cache: "no-store", redirect: "error" });
  } catch (error) {
    throw new CopyError("away", error);
  }
  if (!answer.ok) throw new CopyError(answer.status === 404 ? "changed" : "other");
  return answer;
}

function counted(tell) {
  let bytes = 0;
  return new TransformStream({
    transform(part, out) {
      bytes += part.byteLength;
      tell(bytes);
      out.enqueue(part);
    },
  });
}

async function digestOf(data) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", data));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

function guarded(keeping) {
  return keeping.catch((error) => { throw new CopyError(error.name === "QuotaExceededError" ? "full" : "refused", error); });
}
