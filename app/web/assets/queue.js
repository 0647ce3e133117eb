// What this browser keeps until the shop has it: entries and photos in the
// order in which they were made. Pages and the worker share it.
"use strict";
self.pumpwright = (function () {
  let opened = null;
  const memory = []; // where the browser keeps nothing: until the page goes
  let lost = false;

  function open() {
    if (!opened) {
      opened = new Promise((done, fail) => {
        const asked = indexedDB.open("pumpwright", 1);
        asked.onupgradeneeded = () => {
          asked.result.createObjectStore("waiting", { keyPath: "n", autoIncrement: true });
          asked.result.createObjectStore("copies"); // what a job was made of, by its address
          asked.result.createObjectStore("state");
        };
        asked.onsuccess = () => {
          asked.result.onclose = asked.result.onversionchange = () => {
            asked.result.close();
            opened = null;
          };
          done(asked.result);
        };
        asked.onerror = () => fail(asked.error);
      });
      opened.catch(() => { opened = null; });
    }
    return opened;
  }

  // within does one thing in one change, which is on the disk when it is done.
  async function within(store, mode, work) {
    const db = await open();
    return new Promise((done, fail) => {
      const change = db.transaction(store, mode, { durability: "strict" });
      const asked = work(change.objectStore(store));
      change.oncomplete = () => done(asked && asked.result);
      change.onerror = change.onabort = () => fail(change.error || new Error("not kept"));
    });
  }

  const read = (store, key) => within(store, "readonly", (s) => s.get(key));
  const write = (store, key, value) => within(store, "readwrite", (s) => s.put(value, key));
  const wipe = (store) => within(store, "readwrite", (s) => s.clear());

  // add keeps one more; it is kept when the promise is.
  async function add(one) {
    try {
      one.n = await within("waiting", "readwrite", (s) => s.add(one));
      if (navigator.storage && navigator.storage.persist) navigator.storage.persist().catch(() => {});
    } catch (reason) {
      if (opened) throw reason; // it is full
      lost = true;
      one.n = memory.push(one);
    }
    return one;
  }

  // belongs tells whether one is of a person at a site ("site/person").
  function belongs(one, person) {
    return one.person === person || (!one.person.includes("/") && person.endsWith("/" + one.person));
  }

  // all lists what waits, in order: of one person at one site ("site/person"), or
  // of everybody. What was kept before sites were written down has the person alone.
  async function all(person) {
    let list = memory.slice();
    try {
      list = list.concat(await within("waiting", "readonly", (s) => s.getAll()));
    } catch (_) {
      lost = true;
    }
    return list.filter((one) => !person || belongs(one, person)).sort((a, b) => a.n - b.n);
  }

  async function change(one, how) {
    const i = memory.findIndex((m) => m.id === one.id);
    if (i >= 0) return how ? how(memory[i]) : memory.splice(i, 1);
    return within("waiting", "readwrite", (s) => {
      if (!how) return s.delete(one.n);
      s.get(one.n).onsuccess = (event) => {
        const there = event.target.result;
        if (!there) return;
        how(there);
        s.put(there);
      };
      return null;
    });
  }

  const drop = (one) => change(one, null);
  const refuse = (one, words) => change(one, (there) => { there.refused = words; });
  const again = (one) => change(one, (there) => { there.refused = ""; });

  // ---- sending

  // request makes what is sent of one that waits. The moment of sending goes
  // along, so that the shop sees how far the clock of the tablet is off.
  function request(one, quiet, more) {
    const headers = { Accept: "application/json", "Pumpwright-Person": one.person, ...more };
    const now = Date.now() * 1000;
    if (one.kind !== "photo") {
      headers["Content-Type"] = "application/json";
      return new Request(one.address, { method: "POST", headers, body: JSON.stringify({ ...one.letter, quiet, now }) });
    }
    const form = new FormData();
    for (const [name, value] of Object.entries(one.letter)) form.set(name, value);
    form.set("now", String(now));
    form.set("quiet", quiet ? "yes" : "");
    form.set("photo", one.photo, one.photo.name || "photo");
    return new Request(one.address, { method: "POST", headers, body: form });
  }

  // post sends one. Nothing but an answer of the shop itself counts as one: a
  // network that answers in its place, such as the sign-in of a hotel, does not.
  async function post(one, quiet) {
    const stop = new AbortController();
    const timer = setTimeout(() => stop.abort(), one.kind === "photo" ? 120000 : 10000);
    try {
      const response = await fetch(request(one, quiet), { signal: stop.signal });
      if (response.status === 401) return { signedOut: true };
      if (response.status >= 500 || response.status === 408 || response.status === 429) return { away: true };
      const said = await response.json().catch(() => null);
      if (said && typeof said.saved === "boolean") return { status: response.status, ...said };
      if (response.status >= 400) return { status: response.status, saved: false, problem: String(response.status) };
      return { away: true };
    } catch (_) {
      return { away: true };
    } finally {
      clearTimeout(timer);
    }
  }

  // sawOwn: whoever wrote on knew his own entry before. When it came in right
  // behind what he had seen of the shop, that is what he has seen now; when
  // others came in between, it is not, and a conflict with them shows.
  async function sawOwn(one, answer) {
    if (!answer.hash || answer.after !== one.letter.seen) return;
    const base = one.base || one.letter.seen;
    const next = (await all(one.person)).find((later) => later.n > one.n && jobOf(later) === jobOf(one) && (later.base || later.letter.seen) === base);
    if (!next) return;
    await change(next, (there) => {
      there.base = base;
      there.letter.seen = answer.hash;
    });
  }

  const jobOf = (one) => one.address.split("/")[2];

  // deliver sends what a person has waiting, one after the other; the next
  // goes when the shop has answered the one before. Sending one twice does no
  // harm: it carries its id. The answer to the one with the id loud, with its
  // page, is returned; whoever shows it decides what becomes of a refused one.
  async function deliver(person, loud, each) {
    const run = async () => {
      let mine = { gone: true };
      for (let last = 0; ;) { // read anew each time: what was sent changes what comes next
        const one = (await all(person)).find((later) => later.n > last && !later.refused);
        if (!one) break;
        last = one.n;
        const answer = await post(one, one.id !== loud);
        if (answer.away || answer.signedOut) return answer;
        if (answer.saved) await sawOwn(one, answer);
        if (answer.saved) await drop(one);
        else if (one.id !== loud || !answer.page) await refuse(one, answer.problem || (answer.ask || []).join(" ") || String(answer.status));
        if (one.id === loud) mine = answer;
        else if (each) each(one, answer);
      }
      return mine;
    };
    // one page at a time, where the browser can tell
    return navigator.locks ? navigator.locks.request("pumpwright.deliver", run) : run();
  }

  return { add, all, belongs, drop, refuse, again, deliver, request, read, write, wipe, within, get lost() { return lost; } };
})();
