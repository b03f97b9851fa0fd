// The hosted guide's worker: keeps one edition whole, or none of it. EDITION (its mark), FILES (output name to the
// first half of a picture's SHA-256, to nothing for other files) and WRONG (an earlier edition's name to what is wrong
// in it, in words) are put before this text when the guide is made (guide/press/offline.py).
//
// A new edition is fetched whole into a store of its own while the old one goes on serving; it takes over when
// every page of the old one is closed, or when a page says so. Then the old store is removed. A guide published anew in
// the middle of fetching is not kept half old, half new: a page has to carry the mark, a picture to be what its digest
// says, and the host to have this edition before and after. Bytes of pages, styles and scripts are not compared, since
// hosts rewrite them; each is asked for under the edition's mark, so that no store on the way has an older one.
// runs: by itself
"use strict";

const PREFIX = "running-change " + self.registration.scope + " ";
const STORE = PREFIX + EDITION;
const AT_ONCE = 6;
const address = (name) => new URL(name, self.registration.scope).href;

async function digestOf(data) {
  const bytes = new Uint8Array(await crypto.subtle.digest("SHA-256", data));
  return Array.from(bytes.slice(0, 16), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

// Fetches past the browser's own store ("reload"), which may hold a file of an older edition.
async function fetchNow(name) {
  const answer = await fetch(new Request(address(name) + "?e=" + EDITION, { cache: "reload" }));
  if (!answer.ok) { throw new Error(name + ": " + answer.status); }
  return answer;
}

async function fetchOne(name) {
  const answer = await fetchNow(name);
  const type = answer.headers.get("Content-Type") || "";
  const data = await answer.arrayBuffer();
  const isPage = name.endsWith(".html");
  const fits = FILES[name] ? await digestOf(data) === FILES[name]
    : isPage ? new TextDecoder().decode(data).includes(EDITION)
      : !type.startsWith("text/html");   // else the host answered with a page of its own
  if (!fits) { throw new Error(name + ": of another edition"); }
  return new Response(data, { headers: { "Content-Type": type } });   // made anew: one that was led elsewhere is refused
}

async function holdToEdition() {
  const found = await (await fetchNow("edition.json")).json();
  if (found.edition !== EDITION) { throw new Error("edition.json: of another edition"); }
}

async function fetchWhole() {
  const names = Object.keys(FILES);
  const fetched = new Map();
  await holdToEdition();
  for (let at = 0; at < names.length; at += AT_ONCE) {
    const some = names.slice(at, at + AT_ONCE);
    (await Promise.all(some.map(fetchOne))).forEach((answer, index) => fetched.set(some[index], answer));
  }
  await holdToEdition();
  await caches.delete(STORE);
  try {
    const store = await caches.open(STORE);
    for (const [name, answer] of fetched) { await store.put(address(name), answer); }
  } catch (full) {
    await caches.delete(STORE);
    throw full;
  }
}

async function isWhole() {
  if (!(await caches.has(STORE))) { return false; }
  const kept = await (await caches.open(STORE)).keys();
  const held = new Set(kept.map((request) => request.url));
  return Object.keys(FILES).every((name) => held.has(address(name)));
}

// Fetches again what the browser threw away; where the host has a newer edition, that one is fetched instead.
async function makeWhole() {
  if (await isWhole()) { return true; }
  try {
    await fetchWhole();
    return await isWhole();
  } catch (failed) {
    await self.registration.update().catch(() => null);
    return false;
  }
}

async function removeOld() {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith(PREFIX) && name !== STORE).map((name) => caches.delete(name)));
}

self.addEventListener("install", (event) => event.waitUntil(fetchWhole()));

self.addEventListener("activate", (event) => event.waitUntil(removeOld().then(() => self.clients.claim())));

self.addEventListener("message", function (event) {
  if (event.data === "take over") { self.skipWaiting(); }
  const reply = event.ports[0];
  if (event.data && event.data.wrongIn && reply) { reply.postMessage(WRONG[event.data.wrongIn] || ""); }
  if (event.data === "whole?" && reply) { event.waitUntil(isWhole().then((whole) => reply.postMessage(whole))); }
  if (event.data === "make whole" && reply) { event.waitUntil(makeWhole().then((whole) => reply.postMessage(whole))); }
});

// Finds what is kept under an address, or under the one that a host leads on to another without its ending.
async function findKept(href) {
  const found = await caches.match(href, { cacheName: STORE });
  return found || caches.match(href + ".html", { cacheName: STORE });
}

self.addEventListener("fetch", function (event) {
  const asked = new URL(event.request.url);
  if (event.request.method !== "GET" || !asked.href.startsWith(self.registration.scope)) { return; }
  asked.search = "";
  asked.hash = "";
  if (asked.href.endsWith("/")) { asked.pathname += "index.html"; }
  event.respondWith(findKept(asked.href).then((found) => found || fetch(event.request)));
});
