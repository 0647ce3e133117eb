// The worker of the pages: it keeps what a tablet needs to go on without
// network, and answers from it while there is none. What it keeps of pages is
// of one person alone and goes when that person signs out.
"use strict";
importScripts("%queue%");

const files = "%files%"; // style, scripts and fonts; their addresses change with their content
const program = "%program%"; // the pages' own code for this tablet, "" in a build without it
const starter = "%starter%";
const keptFiles = "pw.files";
const keptPages = "pw.pages";
const queue = self.pumpwright;
if (starter) importScripts(starter);

self.addEventListener("install", (event) => {
  event.waitUntil((async () => {
    const cache = await caches.open(keptFiles);
    await cache.addAll(files);
    await self.skipWaiting();
  })());
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    const cache = await caches.open(keptFiles);
    const old = (await cache.keys()).filter((r) => ![...files, program, starter].includes(new URL(r.url).pathname));
    for (const r of old.slice(0, -24)) await cache.delete(r); // pages kept before still need theirs
    await self.clients.claim();
  })());
});

self.addEventListener("fetch", (event) => {
  const asked = event.request;
  const url = new URL(asked.url);
  if (url.origin !== location.origin) return;
  if (asked.method === "POST") {
    if (asked.headers.get("Pumpwright-Tablet")) event.respondWith(ownAnswer(asked, url));
    else if (url.pathname === "/sign-out") event.respondWith(signOut(asked));
    else if (url.pathname.startsWith("/calculators/")) event.respondWith(calculated(asked, url));
    return;
  }
  if (asked.method !== "GET") return;
  if (url.pathname.startsWith("/assets/")) event.respondWith(kept(asked, keptFiles));
  else if (/^\/job\/[^/]+\/photo\//.test(url.pathname)) event.respondWith(photo(asked, url));
  else if (asked.mode === "navigate" || (asked.headers.get("Accept") || "").startsWith("text/html")) event.respondWith(page(event, asked, url));
});

// ---- pages: the network first, the copy where it does not answer

const keeps = (path) => (path === "/" || path === "/waiting" || /^\/(job|calculators)(\/|$)/.test(path)) && !/\.(pdf|zip|csv)$|\/(share|labels)$/.test(path);

async function page(event, asked, url) {
  const there = keeps(url.pathname) && await hasCopy(url);
  const since = left;
  try {
    const answer = await inTime(fetch(asked), there && !asked.headers.get("Pumpwright-Fresh") ? 4000 : 0);
    if (answer.status >= 502 && answer.status <= 504) throw new Error("the shop is away"); // says a server in front of it
    if (keeps(url.pathname)) event.waitUntil(keepPage(url, answer.clone(), since));
    return answer;
  } catch (reason) {
    if (asked.headers.get("Pumpwright-Fresh")) return Response.error();
    return copyOf(url);
  }
}

function inTime(promise, most) {
  if (!most) return promise;
  return Promise.race([promise, new Promise((_, fail) => setTimeout(() => fail(new Error("too slow")), most))]);
}

async function hasCopy(url) {
  const cache = await caches.open(keptPages);
  return !!(await cache.match(url.pathname + url.search)) || !!(await copyOfJob(url));
}

// keepPage keeps a page that was asked for when so many had signed out.
async function keepPage(url, answer, since) {
  const person = answer.headers.get("Pumpwright-Person");
  if (!person || since !== left) return;
  await belongTo(person);
  if (!answer.ok) return;
  const cache = await caches.open(keptPages);
  if (answer.redirected) { // remember where it leads, if that is kept
    const to = new URL(answer.url);
    if (!keeps(to.pathname)) return;
    await cache.put(url.pathname + url.search, new Response("", { headers: { "Pumpwright-Goes": to.pathname + to.search, "Pumpwright-Time": String(Date.now()) } }));
    url = to;
  }
  const headers = new Headers(answer.headers);
  headers.delete("Content-Encoding");
  headers.delete("Content-Length");
  headers.set("Pumpwright-Time", String(Date.now()));
  await cache.put(url.pathname + url.search, new Response(await answer.text(), { status: 200, headers }));
}

// belongTo makes the copies those of a person: what is of another one goes.
async function belongTo(person) {
  const before = await queue.read("state", "person");
  if (before === person) return;
  await forget();
  await queue.write("state", "person", person);
}

async function forget() {
  await caches.delete(keptPages);
  await queue.wipe("copies");
  await queue.write("state", "person", "");
}

let left = 0; // who signs out while a page is under way does not get it kept

async function signOut(asked) {
  left++;
  try {
    return await fetch(asked);
  } catch (_) {
    return Response.redirect("/waiting", 303);
  } finally {
    left++;
    const shell = await (await caches.open(keptPages)).match("/waiting");
    await forget();
    if (shell) { // what waits still has its list; it names no job
      const cache = await caches.open(keptPages);
      await cache.put("/waiting", shell);
    }
  }
}

// copyOf answers without network: from the pages' own code over the copy of
// the job, else with the page as it was seen last, else with what there is.
async function copyOf(url) {
  const own = await run({ method: "GET", url: url.pathname + url.search }, url);
  if (own) return own;
  const cache = await caches.open(keptPages);
  const seen = await cache.match(url.pathname + url.search);
  if (seen && seen.headers.get("Pumpwright-Goes")) return Response.redirect(seen.headers.get("Pumpwright-Goes"), 302);
  if (seen) return dated(await seen.text(), seen.headers, seen.headers.get("Pumpwright-Time"), 200);
  const list = await cache.match("/waiting");
  if (!list) return Response.error();
  const text = (await list.text()).replace("<body ", `<body data-missing="${encodeURIComponent(url.pathname)}" `);
  return dated(text, list.headers, list.headers.get("Pumpwright-Time"), 503);
}

function dated(text, headers, time, status) {
  return new Response(text.replace("<body ", `<body data-copy="${Number(time)}" `), { status, headers });
}

// ---- files and photos: they never change under their address

async function kept(asked, name) {
  const cache = await caches.open(name);
  const there = await cache.match(asked);
  if (there) return there;
  const answer = await fetch(asked);
  if (answer.ok) await cache.put(asked, answer.clone());
  return answer;
}

async function photo(asked, url) {
  try {
    return await kept(asked, keptPages);
  } catch (reason) { // one that still waits here
    const hash = url.pathname.split("/").pop();
    for (const one of await queue.all(await queue.read("state", "person"))) {
      if (one.kind === "photo" && (await hashOf(one.photo)) === hash) return new Response(one.photo, { headers: { "Content-Type": one.photo.type } });
    }
    return Response.error();
  }
}

async function hashOf(blob) {
  const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", await blob.arrayBuffer()));
  return [...sum].map((b) => b.toString(16).padStart(2, "0")).join("");
}

// ---- keeping a job

let keeping = Promise.resolve();

self.addEventListener("message", (event) => {
  if (!event.data || !event.data.keep) return;
  const since = left;
  keeping = keeping.then(() => keepJob(event.data, since)).catch(() => { /* the network has gone: next time */ });
  event.waitUntil(keeping);
});

const fresh = 10 * 60 * 1000; // so long a page that was fetched ahead is not fetched again

async function keepJob({ keep, seq, person, links }, since) {
  const cache = await caches.open(keptPages);
  const fetchAhead = async (address) => {
    const there = await cache.match(address);
    if (there && Date.now() - Number(there.headers.get("Pumpwright-Time")) < fresh) return;
    if (since !== left) return;
    const answer = await fetch(address, { headers: { Accept: "text/html", "Pumpwright-Person": person } });
    await keepPage(new URL(address, location.origin), answer, since);
  };
  await fetchAhead("/waiting");
  if (program) {
    await kept(new Request(program), keptFiles);
    await kept(new Request(starter), keptFiles);
    await keepCopy(keep, seq, person, since);
    return;
  }
  for (const address of links) await fetchAhead(address);
}

// keepCopy brings the entries of a job, of which only those are fetched that
// are not here yet.
async function keepCopy(job, seq, person, since) {
  const before = await queue.read("copies", job);
  if (before && ownerOf(before) === person && before.entries.length >= seq) return void await wordsOf(before);
  const after = before ? before.entries.length : 0;
  const answer = await fetch(job + "/copy?after=" + after, { headers: { Accept: "application/json" } });
  if (!answer.ok || answer.redirected) return;
  const now = await answer.json();
  if (ownerOf(now) !== person || since !== left) return;
  await belongTo(person);
  now.entries = (before ? before.entries : []).concat(now.entries);
  now.time = Date.now();
  await wordsOf(now);
  await queue.write("copies", job, now);
}

// ownerOf is whose a copy is: the same person may be somebody else at another site.
const ownerOf = (copy) => copy.site + "/" + copy.person.id;

// wordsOf are those of the language that the person of a copy reads; without
// them the pages' own code speaks English.
async function wordsOf(copy) {
  if (!copy.words) return "";
  try {
    return await (await kept(new Request(copy.words), keptFiles)).text();
  } catch (_) {
    return "";
  }
}

// ---- the pages' own code

const jobOf = (url) => {
  const parts = url.pathname.split("/");
  return parts[1] === "job" && parts[2] ? "/job/" + parts[2] : "";
};

// whose is the job over which an address is answered. Calculators read nothing
// of a job: any will do.
async function whose(url) {
  if (!program) return "";
  if (!/^\/calculators(\/|$)/.test(url.pathname)) return jobOf(url);
  return (await queue.within("copies", "readonly", (s) => s.getAllKeys()))[0] || "";
}

async function copyOfJob(url) {
  const job = await whose(url);
  return job ? queue.read("copies", job) : null;
}

// calculated works out what was typed into a calculator: here while there is
// no network, which is the same code.
async function calculated(asked, url) {
  const here = asked.clone();
  try {
    return await fetch(asked);
  } catch (reason) {
    const body = new Uint8Array(await here.arrayBuffer());
    return (await run({ method: "POST", url: url.pathname + url.search, type: here.headers.get("Content-Type"), body }, url)) || copyOf(url);
  }
}

async function ownAnswer(asked, url) {
  const body = new Uint8Array(await asked.arrayBuffer());
  const own = await run({ method: "POST", url: url.pathname, id: asked.headers.get("Pumpwright-Tablet"), type: asked.headers.get("Content-Type"), body }, url);
  return own || new Response("", { status: 503 });
}

let started = null;
let spoken = ""; // address of the words that the code has

function start() {
  if (!started) {
    started = (async () => {
      const go = new Go();
      const code = await kept(new Request(program), keptFiles);
      const { instance } = await WebAssembly.instantiateStreaming(code, go.importObject);
      go.run(instance);
      return self.pumpwrightTablet;
    })();
    started.catch(() => { started = null; });
  }
  return started;
}

let turn = Promise.resolve();

// run asks the pages' own code, over the job as it was copied and what waits
// here on top of it. It gives nothing when there is no copy or no code.
function run(what, url) {
  const mine = turn.then(async () => {
    const copy = await copyOfJob(url);
    if (!copy) return null;
    const ask = await start();
    const job = await whose(url);
    const waits = [];
    for (const one of await queue.all(ownerOf(copy))) {
      if (one.refused || !one.address.startsWith(job + "/")) continue;
      const sent = queue.request(one, true);
      waits.push({ id: one.id, url: one.address, type: sent.headers.get("Content-Type"), body: new Uint8Array(await sent.arrayBuffer()) });
    }
    if (copy.words && spoken !== copy.words) {
      self.pumpwrightSpeak(copy.person.language, await wordsOf(copy));
      spoken = copy.words;
    }
    const answer = await ask(job, JSON.stringify(copy), waits, what);
    if (!answer) return null;
    const headers = new Headers(answer.headers);
    headers.set("Pumpwright-Tablet", "yes");
    if (answer.status >= 300 && answer.status < 400) return Response.redirect(answer.headers.Location, answer.status);
    if ((headers.get("Content-Type") || "").startsWith("text/html")) return dated(answer.text, headers, copy.time, answer.status);
    const said = JSON.parse(answer.text);
    if (said.page) said.page = said.page.replace("<body ", `<body data-copy="${copy.time}" `);
    return new Response(JSON.stringify(said), { status: answer.status, headers });
  });
  turn = mine.catch(() => null);
  return turn;
}
