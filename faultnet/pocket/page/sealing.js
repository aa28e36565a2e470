// Sealing what is kept: a key of the data, wrapped by a key that is made of words.

import { newName } from "./records.js";

/** Rounds of PBKDF2-HMAC-SHA-256: OWASP, Password Storage Cheat Sheet (its figure of 2023). */
const ROUNDS = 600_000;

const UTF8 = new TextEncoder();
const random = (bytes) => crypto.getRandomValues(new Uint8Array(bytes));

/** Return the bits that PBKDF2-HMAC-SHA-256 (RFC 8018) makes of words. */
export async function derived(words, salt, rounds, bits) {
  const key = await crypto.subtle.importKey("raw", words, "PBKDF2", false, ["deriveBits"]);
  return new Uint8Array(
    await crypto.subtle.deriveBits({ name: "PBKDF2", hash: "SHA-256", salt, iterations: rounds }, key, bits),
  );
}

/** Return an AES key of 32 bytes (or 16, in the published vectors). */
export const keyOf = (raw) => crypto.subtle.importKey("raw", raw, "AES-GCM", false, ["encrypt", "decrypt"]);

/** Return what AES-GCM (NIST SP 800-38D, tag of 128 bits behind) makes of bytes. */
export async function encrypted(key, iv, bytes, beside) {
  return new Uint8Array(
    await crypto.subtle.encrypt({ name: "AES-GCM", iv, additionalData: beside }, key, bytes),
  );
}

/** Return the bytes back; raises where key, bytes or what stands beside are others. */
export async function decrypted(key, iv, bytes, beside) {
  return new Uint8Array(
    await crypto.subtle.decrypt({ name: "AES-GCM", iv, additionalData: beside }, key, bytes),
  );
}

/** Return a text as the body of a record: sealed for this record, or plain without a key. */
export async function sealed(key, record, plain) {
  if (!key) return { text: plain };
  const iv = random(12);
  return { iv, data: await encrypted(key, iv, UTF8.encode(plain), UTF8.encode(record)) };
}

/** Return the text of a body; raises where it does not open. */
export async function unsealed(key, record, body) {
  if ("text" in body) return body.text;
  return new TextDecoder().decode(await decrypted(key, body.iv, body.data, UTF8.encode(record)));
}

/** Return a new lock for these words, and the key of the data. */
export async function newLock(words) {
  const raw = random(32);
  return { lock: await wrapped(words, raw, newName()), key: await keyOf(raw) };
}

/** Return a lock with other words for the same key of the data. */
export async function changedLock(lock, present, words) {
  return wrapped(words, await unwrapped(lock, present), lock.id);
}

/** Return the key of the data; raises where the words are wrong. */
export const keyFrom = async (lock, words) => keyOf(await unwrapped(lock, words));

/** Return words as they count: however they were typed, and with single spaces. */
export const spelled = (words) => String(words).normalize("NFKC").trim().replace(/\s+/g, " ");

async function wordsKey(words, { salt, rounds }) {
  return keyOf(await derived(UTF8.encode(spelled(words)), salt, rounds, 256));
}

async function wrapped(words, raw, id) {
  const made = { id, salt: random(16), rounds: ROUNDS, iv: random(12) };
  const key = await wordsKey(words, made);
  return { ...made, data: await encrypted(key, made.iv, raw, UTF8.encode(id)) };
}

async function unwrapped(lock, words) {
  return decrypted(await wordsKey(words, lock), lock.iv, lock.data, UTF8.encode(lock.id));
}
