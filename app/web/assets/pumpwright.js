// The script of the pages. Everything also works without it as plain forms;
// with it entries are kept in the browser until they are saved, pages change
// in place, and what others write shows by itself.
"use strict";
(function () {
  const words = document.body.dataset;
  const main = () => document.getElementById("main");
  const stock = storage();

  document.documentElement.classList.add("scripted");

  // ---- what is kept in the browser

  function storage() {
    try {
      localStorage.setItem("pw.test", "1");
      localStorage.removeItem("pw.test");
      return localStorage;
    } catch (_) {
      const kept = new Map(); // closed storage: keep it at least until the page goes
      return { lost: true, getItem: (k) => kept.has(k) ? kept.get(k) : null, setItem: (k, v) => kept.set(k, v), removeItem: (k) => kept.delete(k), key: (i) => [...kept.keys()][i], get length() { return kept.size; } };
    }
  }

  function keep(key, value) {
    try {
      stock.setItem(key, value);
      return true;
    } catch (_) {
      tell("full", words.full);
      return false;
    }
  }

  // Entries and photos wait in a queue of the browser, in order, until the shop
  // has them. They belong to the person who wrote them. Here only is told what
  // waits; queue.js keeps and sends it. The person is "site/name".
  const queue = self.pumpwright;
  let standing = { waiting: 0, refused: 0, others: 0 };

  async function look() {
    const list = await queue.all();
    const mine = words.person ? list.filter((one) => queue.belongs(one, words.person)) : [];
    standing = { waiting: mine.filter((one) => !one.refused).length, refused: mine.filter((one) => one.refused).length, others: list.length - mine.length };
    return standing;
  }

  // takeOver moves what an older version of this page kept into the queue.
  async function takeOver() {
    const old = [];
    for (let i = 0; i < stock.length; i++) {
      const key = stock.key(i);
      if (key && key.startsWith("pw.wait.")) old.push(key);
    }
    const list = old.map((key) => ({ key, person: key.slice(8, key.lastIndexOf(".")), ...JSON.parse(stock.getItem(key)) }));
    for (const { key, person, address, letter } of list.sort((a, b) => a.letter.at - b.letter.at)) {
      await queue.add({ id: letter.id, kind: "entry", person, address, letter, words: [letter.kind] });
      stock.removeItem(key);
    }
  }

  // What was begun before sites were written down is the person's here.
  const drafts = "pw.draft." + words.person + ".";
  const older = "pw.draft." + (words.person || "").split("/").pop() + ".";
  for (const key of words.person ? Object.keys(stock) : []) {
    if (!key.startsWith(older)) continue;
    stock.setItem(drafts + key.slice(older.length), stock.getItem(key));
    stock.removeItem(key);
  }

  function draftKey(form) { return drafts + form.dataset.draft; }

  function saveDraft(form) {
    const fields = {};
    let typed = false;
    for (const el of form.elements) {
      if (!el.name || el.type === "hidden" || el.tagName === "BUTTON") continue;
      if (el.type === "radio" || el.type === "checkbox") {
        if (el.checked !== el.defaultChecked) typed = true;
        if (el.checked) fields[el.name] = el.value;
        else if (el.type === "checkbox") fields[el.name] = "";
        continue;
      }
      fields[el.name] = el.value;
      if (el.tagName === "SELECT" ? !chosenByPage(el) : el.value !== el.defaultValue) typed = true;
    }
    if (typed) keep(draftKey(form), JSON.stringify(fields));
    else stock.removeItem(draftKey(form));
    form.dataset.typed = typed ? "yes" : "";
  }

  function chosenByPage(select) {
    const o = select.selectedOptions[0];
    return !o || o.defaultSelected || (select.selectedIndex === 0 && ![...select.options].some((x) => x.defaultSelected));
  }

  function loadDrafts(root) {
    for (const form of root.querySelectorAll("form[data-draft]")) {
      if (form.querySelector(".refused[role=alert]")) continue; // the page brings what was typed
      const text = stock.getItem(draftKey(form));
      if (!text) continue;
      const fields = JSON.parse(text);
      for (const el of form.elements) {
        if (!el.name || el.type === "hidden" || !(el.name in fields)) continue;
        if (el.type === "radio" || el.type === "checkbox") el.checked = fields[el.name] === el.value;
        else if (el.tagName !== "BUTTON") el.value = fields[el.name];
      }
      form.dataset.typed = "yes";
      const hidden = form.closest("details");
      if (hidden) hidden.open = true;
    }
  }

  // ---- ids: UUID version 7 (RFC 9562)

  function newID() {
    const b = new Uint8Array(16);
    crypto.getRandomValues(b);
    let ms = Date.now();
    for (let i = 5; i >= 0; i--) {
      b[i] = ms % 256;
      ms = Math.floor(ms / 256);
    }
    b[6] = (b[6] & 0x0f) | 0x70;
    b[8] = (b[8] & 0x3f) | 0x80;
    const hex = [...b].map((x) => x.toString(16).padStart(2, "0")).join("");
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
  }

  let lastAt = 0;

  function moment() { // microseconds, never twice the same
    lastAt = Math.max(lastAt + 1, Date.now() * 1000);
    return lastAt;
  }

  // ---- sending

  let sending = false;
  let turns = 0; // entries on their way so far: a page that was asked for before one is older

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.matches("form[data-entry], form[data-photo]")) return;
    event.preventDefault();
    stopTyped();
    const reading = form.querySelector("[data-reading]");
    if (sending && reading) { // a caliper is faster than the network: in turn
      if (reading.value.trim()) typedAhead.push(reading.value);
      reading.value = "";
      stock.removeItem(draftKey(form)); // it is on its way, and must not come back as a draft
      form.dataset.typed = "";
      return;
    }
    if (sending) return; // a second tap on the same button
    sending = true;
    turns++;
    take(form, event.submitter);
  });

  // take keeps what a form says, then sends it.
  async function take(form, by) {
    const data = new FormData(form);
    if (by && by.name) data.set(by.name, by.value);
    const reading = form.querySelector("[data-reading]");
    const typed = reading && reading.value;
    if (reading) reading.value = "";
    const photo = form.matches("[data-photo]");
    let one;
    try {
      one = photo ? await photoOf(form, data) : letterOf(form, data);
      await queue.add(one);
    } catch (_) {
      if (reading) reading.value = typed;
      sending = false;
      return tell("full", words.full);
    }
    if (photo) form.reset();
    else stock.removeItem(draftKey(form));
    form.dataset.typed = "";
    await send(one, form);
  }

  function letterOf(form, data) {
    const steer = (name) => String(data.get(name) || "");
    const fields = {};
    for (const [name, value] of data) {
      if (name[1] === "/" && typeof value === "string") fields[name] = value;
    }
    const letter = { id: newID(), kind: steer("kind"), at: moment(), seen: steer("seen"), draft: steer("draft"), from: steer("from"), next: steer("next"), fields };
    const texts = Object.entries(fields).filter(([name, text]) => text && !/instrument$|\/(float|pushed)$/.test(name)).map(([, text]) => text);
    return { id: letter.id, kind: "entry", person: words.person, address: new URL(form.action).pathname, letter, words: texts.slice(0, 6) };
  }

  async function photoOf(form, data) {
    const file = data.get("photo");
    const letter = { id: newID(), at: String(moment()) };
    for (const [name, value] of data) {
      if (typeof value === "string" && name !== "id") letter[name] = value;
    }
    letter.from = letter.next;
    const photo = new File([await file.arrayBuffer()], file.name, { type: file.type }); // a copy: the camera's own file may go
    return { id: letter.id, kind: "photo", person: words.person, address: new URL(form.action).pathname, letter, photo, words: [letter.note || letter.step || letter.part] };
  }

  // What was typed while an entry was on its way goes into the field that is
  // asked for next; where there is none it is said.
  let typedAhead = [];
  let stray = "";

  function goAhead(begun) {
    const field = main().querySelector("[data-reading]");
    const refused = field && field.form.querySelector(".refused[role=alert]");
    const waitingFor = typedAhead;
    typedAhead = [];
    if (field && !refused) {
      if (waitingFor.length) {
        begun = begun || field.value; // it comes after those that wait
        field.value = waitingFor.shift();
        typedAhead = waitingFor;
        field.form.requestSubmit(); // it empties the field again
      }
      if (begun) {
        field.value = begun;
        field.dispatchEvent(new Event("input", { bubbles: true }));
      }
      return;
    }
    if (begun) {
      waitingFor.push(begun);
      stray = begun; // its last figures may still be coming
    }
    if (waitingFor.length) tell("stray", words.stray.replace("#", waitingFor.join(", ")));
  }

  async function send(one, form) {
    const slow = setTimeout(() => tell("state", words.saving), 400);
    sending = true;
    let answer = await queue.deliver(words.person, one.id);
    if (answer.away || answer.signedOut) {
      const here = await askTablet(one);
      if (here && here.page) answer = { ...here, ...answer };
    }
    sending = false;
    clearTimeout(slow);
    tell("state", "");
    const late = answer.away || answer.signedOut;
    if (answer.page) {
      if (!answer.saved) await queue.drop(one); // it comes back in its form
      const old = main().querySelector("[data-reading]");
      const begun = old ? old.value : "";
      if (begun && answer.saved && old.form === form) stock.removeItem(draftKey(form)); // it was begun for the next place
      show(answer.page, answer.address, true);
      goAhead(begun);
    } else if (late) {
      goOn(form, one);
    } else if (answer.gone) {
      await refresh(); // another page of this browser sent it
      if (typedAhead.length && !sending) goAhead("");
    }
    if (answer.clock) tell("clock", answer.clock);
    await state(answer);
    if (late || standing.waiting) later();
  }

  // askTablet asks the tablet itself, where it can work without the shop: the
  // answer has the page as the shop would show it.
  async function askTablet(one) {
    const worker = navigator.serviceWorker && navigator.serviceWorker.controller;
    if (!worker) return null;
    try {
      const response = await fetch(queue.request(one, false, { "Pumpwright-Tablet": one.id }));
      return response.headers.get("Pumpwright-Tablet") ? await response.json() : null;
    } catch (_) {
      return null;
    }
  }

  // goOn takes the next place of the feature while there is no network: the
  // technician keeps reading, the entries wait.
  function goOn(form, one) {
    if (!form || !form.isConnected || one.letter.kind !== "reading") return;
    const spots = [...document.querySelectorAll(".spots a")];
    const at = spots.findIndex((a) => a.getAttribute("aria-current"));
    const text = one.letter.fields["t/values/0/text"] || one.letter.fields["t/values/0/goes"] || "";
    if (at >= 0) {
      spots[at].querySelector(".text").textContent = text + " …";
      spots[at].classList.add("read", "kept");
    }
    const field = form.querySelector("[data-reading]");
    for (const r of form.querySelectorAll(".leaf-row input[value='']")) r.checked = true;
    const next = spots.find((a, i) => i !== at && !a.classList.contains("read"));
    if (next) {
      spots[at] && spots[at].removeAttribute("aria-current");
      next.setAttribute("aria-current", "true");
      const set = (name, value) => {
        const el = form.elements[name];
        if (el) el.value = value;
      };
      set("t/values/0/plane", next.dataset.plane);
      set("n/values/0/angle", next.dataset.angle);
      const head = document.querySelector("#zone-asked .place strong");
      if (head) head.textContent = next.querySelector(".name").textContent;
      stock.removeItem(draftKey(form)); // what is begun by now is for the next place
      form.dataset.draft = form.dataset.draft.split(".offline.")[0] + ".offline." + next.dataset.plane + "." + next.dataset.angle;
      if (field && field.value) saveDraft(form);
    }
    if (field) field.focus();
    if (typedAhead.length) goAhead("");
  }

  let retry = 0;

  function later() {
    clearTimeout(retry);
    retry = setTimeout(flush, 3000);
  }

  let flushing = false; // an entry that is made meanwhile is kept and goes after

  async function flush() {
    if (sending || flushing) return later();
    await look();
    if (sending) return later(); // it was made meanwhile, and goes by itself
    if (!standing.waiting) return state({});
    flushing = true;
    let saved = 0;
    const answer = await queue.deliver(words.person, "", (_, said) => {
      if (said.saved) saved++;
      if (said.clock) tell("clock", said.clock);
    });
    flushing = false;
    await state(answer);
    if (answer.away || answer.signedOut) later();
    if (saved) {
      tell("state", words.saved);
      const field = main().querySelector("[data-reading]");
      await refresh(!field || field.value === ""); // the next place is asked for, unless one is being typed
    }
    document.dispatchEvent(new CustomEvent("pumpwright.queue"));
    if (typedAhead.length) goAhead("");
  }

  async function state(answer) {
    const { waiting, refused, others } = await look();
    const many = (n) => n === 1 ? words.one : words.many.replace("#", n);
    const list = "/waiting";
    tell("others", others ? words.others.replace("#", many(others)) : "");
    tell("refused", refused ? words.refused.replace("#", many(refused)) : "", list, words.look);
    if (queue.lost && (waiting || refused)) tell("full", words.full);
    if (!waiting) return tell("waiting", "");
    if (answer.signedOut) {
      tell("waiting", words.signIn.replace("#", many(waiting)), "/sign-in?next=" + encodeURIComponent(location.pathname + location.search), words.toSignIn);
    } else if (answer.away) {
      tell("waiting", words.waiting.replace("#", many(waiting)), list, words.list);
    }
  }

  // tell shows a line under the head of the page; an empty text takes it away.
  function tell(key, text, address, label) {
    const box = document.getElementById("kept");
    let line = box.querySelector(`[data-line="${key}"]`);
    if (!text) {
      if (line) line.remove();
      return;
    }
    if (!line) {
      line = document.createElement("p");
      line.dataset.line = key;
      box.append(line);
    }
    line.textContent = text + " ";
    if (address) {
      const a = document.createElement("a");
      a.href = address;
      a.textContent = label || address;
      line.append(a);
    }
    if (key === "state" && text === words.saved) setTimeout(() => line.remove(), 4000);
  }

  // ---- changing the page in place

  // show puts a page of the server in place of this one. A zone in which
  // somebody types stays as it is unless the page is his own answer.
  function show(html, address, own) {
    const fresh = new DOMParser().parseFromString(html, "text/html");
    const next = fresh.getElementById("main");
    if (!next) {
      location.assign(address);
      return;
    }
    const here = location.pathname + location.search;
    const moved = address && address !== here;
    if (moved) history.pushState({}, "", address);
    document.title = fresh.title;
    copied(fresh.body.dataset.copy);
    const before = own ? null : readings();
    const kind = (m) => (m.querySelector("[data-kind]") || m).dataset.kind || "";
    const old = main();
    const openKeys = new Set([...old.querySelectorAll("details[data-keep][open]")].map((d) => d.dataset.keep));
    const focus = own ? null : focusMark();
    if (kind(next) !== kind(old) || next.dataset.page !== old.dataset.page) {
      old.replaceWith(next);
    } else {
      for (const zone of next.querySelectorAll("[data-zone]")) {
        const there = document.getElementById(zone.id);
        if (!there) continue;
        if (!own && typing(there)) continue;
        there.replaceWith(zone);
      }
      for (const name of ["stream", "seq", "page"]) old.dataset[name] = next.dataset[name];
    }
    const nav = document.querySelector("header .places");
    const freshNav = fresh.querySelector("header .places");
    if (nav && freshNav) nav.replaceWith(freshNav);
    for (const hidden of document.querySelectorAll('header input[name="next"]')) hidden.value = address || here;
    if (!moved || !own) {
      for (const d of main().querySelectorAll("details[data-keep]")) if (openKeys.has(d.dataset.keep)) d.open = true;
    }
    ready(main());
    if (own) {
      const first = main().querySelector("[role=alert] button, [role=alert]") && main().querySelector("form .refused[role=alert]")
        ? main().querySelector("form .refused[role=alert]").closest("form").querySelector("[data-reading], input:not([type=hidden]), select, button")
        : main().querySelector("[autofocus]") || main().querySelector("#zone-end form button.do, #zone-walk a[rel=next]");
      if (first) first.focus({ preventScroll: first.matches("[data-reading]") });
      if (moved && main().querySelector("#now")) main().querySelector("#now").scrollTop = 0;
      if (moved && !main().querySelector("[autofocus]")) scrollTo(0, 0);
    } else if (focus) {
      restoreFocus(focus);
    }
    if (before) markChanged(before);
    keepCopy();
  }

  function typing(zone) {
    if (!zone.hasAttribute("data-form")) return false;
    const begun = (f) => { // a reading form without its figure has nothing to lose
      const field = f.querySelector("[data-reading]");
      return f.dataset.typed === "yes" && !(field && field.value === "");
    };
    return [...zone.querySelectorAll("form")].some(begun) ||
      (zone.contains(document.activeElement) && document.activeElement.matches("select, textarea") );
  }

  function focusMark() {
    const el = document.activeElement;
    if (!el || el === document.body) return null;
    return { id: el.id, name: el.name, form: el.form && el.form.id, href: el.getAttribute("href"), start: el.selectionStart, end: el.selectionEnd };
  }

  function restoreFocus(m) {
    if (document.activeElement && document.activeElement !== document.body) return;
    const el = (m.id && document.getElementById(m.id)) || (m.form && document.getElementById(m.form) && document.getElementById(m.form).elements[m.name]) ||
      (m.href && main().querySelector(`a[href="${CSS.escape(m.href)}"]`));
    if (!el || !el.focus) return;
    el.focus({ preventScroll: true });
    if (m.start != null && el.setSelectionRange) {
      try {
        el.setSelectionRange(m.start, m.end);
      } catch (_) { /* a field without a cursor */ }
    }
  }

  // copied says that the page is from the copy on this tablet, and of when.
  function copied(at) {
    const time = at && new Date(Number(at)).toLocaleString([], { dateStyle: "short", timeStyle: "short" });
    tell("copy", time ? words.copied.replace("#", time) : "");
    document.body.dataset.copy = at || "";
  }

  function readings() {
    const texts = new Map();
    for (const el of document.querySelectorAll("[data-watch]")) texts.set(el.dataset.watch, el.textContent.trim());
    return texts;
  }

  // markChanged marks what reads otherwise than before, until it was seen: it
  // stood on the screen and the person touched or typed something after that.
  function markChanged(before) {
    for (const el of document.querySelectorAll("[data-watch]")) {
      if (before.get(el.dataset.watch) !== el.textContent.trim()) el.classList.add("changed");
    }
  }

  function seen() {
    for (const el of document.querySelectorAll(".changed")) {
      const box = el.getBoundingClientRect();
      if (box.bottom > 0 && box.top < innerHeight) el.classList.remove("changed");
    }
  }
  for (const kind of ["pointerdown", "keydown"]) document.addEventListener(kind, () => setTimeout(seen, 600), true);

  let asked = 0; // an answer that a later question has overtaken is stale

  async function refresh(own) {
    const mine = ++asked;
    if (sending) { // the answer to our own entry brings the same
      setTimeout(() => refresh(own), 200);
      return;
    }
    const address = location.pathname + location.search;
    const turn = turns;
    try {
      // what the tablet keeps for lack of a network is older than what is shown
      const response = await fetch(address, { headers: { Accept: "text/html", "Pumpwright-Fresh": "1" } });
      if (!response.ok || response.redirected && new URL(response.url).pathname === "/sign-in") return;
      const html = await response.text();
      if (sending || turn !== turns || mine !== asked || address !== location.pathname + location.search) return; // gone on meanwhile
      show(html, address, own === true);
    } catch (_) { /* the live connection says so */ }
  }

  // ---- live

  let source = null;
  let wasLost = false;
  let due = 0;

  function live() {
    if (!main() || !main().dataset.stream || typeof EventSource === "undefined") return;
    source = new EventSource("/live");
    source.addEventListener("grown", (event) => {
      const hint = JSON.parse(event.data);
      const m = main();
      if (hint.stream && (hint.stream !== m.dataset.stream || hint.seq <= Number(m.dataset.seq))) return;
      clearTimeout(due);
      due = setTimeout(() => { // an answer of our own may be on its way with the same
        if (!hint.stream || hint.seq > Number(main().dataset.seq)) refresh();
      }, 60);
    });
    source.addEventListener("open", () => {
      tell("live", "");
      if (wasLost) {
        wasLost = false;
        refresh();
        flush();
      }
    });
    source.addEventListener("error", () => {
      wasLost = true;
      setTimeout(() => {
        if (wasLost) tell("live", words.lost);
      }, 2500);
      if (source.readyState === EventSource.CLOSED) { // the server refused: ask again by ourselves
        source.close();
        setTimeout(live, 3000);
      }
    });
  }
  addEventListener("online", flush);
  addEventListener("pagehide", () => source && source.close());
  addEventListener("pageshow", (event) => {
    if (event.persisted) {
      live();
      refresh();
    }
  });
  addEventListener("popstate", () => location.reload());

  // ---- keys, leaves, taps

  document.addEventListener("input", (event) => {
    const form = event.target.form;
    if (form && form.dataset.draft) saveDraft(form);
    if (form && form.dataset.answers) askTyped(form);
    if (form && form.dataset.checks !== undefined && event.target.name !== "reason") checkPaper(form, event.target);
    if (event.target.dataset.filter) filter(event.target);
    if (event.target.matches("[data-tool]")) tool(event.target);
    if (event.target.dataset.leaf !== undefined) leaf(event.target);
  });

  // ---- a model sheet is checked while it is being typed

  let checking = 0;

  // checkPaper sends the text and its form as the button would, and takes over
  // what came back but for the field that is being typed in.
  function checkPaper(form, at) {
    const turn = ++checking;
    setTimeout(async () => {
      if (turn !== checking) return;
      const body = new URLSearchParams(new FormData(form));
      body.set("do", "check");
      let page;
      try {
        const response = await fetch(form.getAttribute("action"), { method: "POST", body });
        page = new DOMParser().parseFromString(await response.text(), "text/html");
      } catch (_) { return; /* no network: the button still asks */ }
      const fresh = page.querySelector("form[data-checks]");
      if (turn !== checking || !fresh || !form.isConnected) return;
      const found = document.getElementById("paper-findings");
      const said = fresh.querySelector("#paper-findings");
      const refused = page.querySelector("main > .refused");
      if (found && said) found.replaceChildren(...(refused ? [refused] : []), ...said.childNodes);
      if (refused && at.name !== "text") return; // what was typed does not fit into the text yet
      const text = fresh.elements.text.value;
      form.elements.shown.value = text;
      if (at.name !== "text") form.elements.text.value = text;
      const old = form.querySelector(".paper-form");
      const now = fresh.querySelector(".paper-form");
      if (at.name === "text" && old && now) {
        const open = new Set([...old.querySelectorAll("details[open]")].map((d) => d.dataset.keep));
        for (const d of now.querySelectorAll("details")) d.open = open.has(d.dataset.keep);
        old.replaceWith(now);
      }
    }, 350);
  }

  // ---- the answer while a value is being typed

  const typed = { timer: 0, turn: 0, before: new Map() };
  const calm = 120; // ms without a key before the answer is asked for

  function answerOf(form) {
    const zone = form.closest("[data-zone]") || form;
    return form.querySelector("[data-answer]") || zone.querySelector("[data-answer]");
  }

  function askTyped(form) {
    clearTimeout(typed.timer);
    const turn = ++typed.turn;
    const box = answerOf(form);
    if (!box || sending) return;
    typed.timer = setTimeout(async () => {
      const fields = {};
      for (const [name, value] of new FormData(form)) {
        if (name[1] === "/" && typeof value === "string") fields[name] = value;
      }
      let text = "";
      try {
        const response = await fetch(form.dataset.answers, {
          method: "POST", headers: { "Content-Type": "application/json" },
          body: JSON.stringify({ kind: form.dataset.entry, seen: form.elements.seen.value, fields }),
        });
        if (response.status === 200) text = await response.text();
      } catch (_) { /* no network: saving still keeps the value here */ }
      if (turn === typed.turn && !sending && box.isConnected) fillTyped(box, text);
    }, calm);
  }

  // fillTyped puts an answer where it belongs; an empty one brings back what
  // stood there before.
  function fillTyped(box, text) {
    const put = (into, nodes) => {
      if (!typed.before.has(into)) typed.before.set(into, [...into.childNodes]);
      into.replaceChildren(...nodes);
    };
    if (!text) {
      for (const [into, nodes] of typed.before) into.replaceChildren(...nodes);
      typed.before.clear();
      return;
    }
    const open = box.querySelector("details[open]");
    const fresh = new DOMParser().parseFromString(text, "text/html").body;
    for (const part of fresh.querySelectorAll("[data-into]")) {
      part.remove();
      const into = document.getElementById(part.dataset.into);
      if (into) put(into, [...part.childNodes]);
    }
    put(box, [...fresh.childNodes]);
    const again = box.querySelector("details");
    if (open && again) again.open = true;
  }

  function stopTyped() {
    clearTimeout(typed.timer);
    typed.turn++;
    typed.before.clear();
  }

  // ---- marks on a photo: a tap sets a mark, a drag how far it reaches

  let drawing = null;

  function placeOn(picture, event) {
    const box = (picture.querySelector("svg") || picture).getBoundingClientRect();
    const part = (at, from, size) => Math.min(1, Math.max(0, (at - from) / size));
    return { x: part(event.clientX, box.left, box.width), y: part(event.clientY, box.top, box.height) };
  }

  function setMark(row, of, value) {
    const el = row.querySelector(`[data-of="${of}"]`);
    if (el) el.value = typeof value === "number" ? value.toFixed(3) : value;
  }

  document.addEventListener("pointerdown", (event) => {
    const picture = event.target.closest && event.target.closest("[data-marked]");
    if (!picture) return;
    const rows = [...document.querySelectorAll("[data-mark]")];
    const row = rows.find((r) => !r.querySelector('[data-of="shape"]').value);
    if (!row) return;
    event.preventDefault();
    const shape = document.querySelector('[data-shape][aria-pressed="true"]').dataset.shape;
    const at = placeOn(picture, event);
    drawing = { row, picture, at };
    setMark(row, "shape", shape);
    setMark(row, "x", at.x);
    setMark(row, "y", at.y);
    setMark(row, "to-x", shape === "arrow" ? (at.x > 0.5 ? at.x - 0.15 : at.x + 0.15) : at.x + 0.08);
    setMark(row, "to-y", shape === "arrow" ? (at.y > 0.5 ? at.y - 0.15 : at.y + 0.15) : at.y);
    for (const r of rows) r.open = r === row;
    picture.setPointerCapture(event.pointerId);
  });

  document.addEventListener("pointermove", (event) => {
    if (!drawing) return;
    const to = placeOn(drawing.picture, event);
    if (Math.hypot(to.x - drawing.at.x, to.y - drawing.at.y) < 0.02) return;
    setMark(drawing.row, "to-x", to.x);
    setMark(drawing.row, "to-y", to.y);
  });

  for (const kind of ["pointerup", "pointercancel"]) {
    document.addEventListener(kind, () => {
      if (!drawing) return;
      const row = drawing.row;
      drawing = null;
      row.querySelector('[data-of="shape"]').dispatchEvent(new Event("input", { bubbles: true }));
    });
  }

  function pickShape(button) {
    for (const b of document.querySelectorAll("[data-shape]")) b.setAttribute("aria-pressed", b === button ? "true" : "false");
  }

  function tool(select) {
    const note = select.parentElement.querySelector(".tool-warning");
    if (note) note.hidden = !(select.selectedOptions[0] && select.selectedOptions[0].dataset.blocked);
  }

  // leaf: the leaf after the last that goes is the first that does not, until
  // another is tapped.
  function leaf(input) {
    const rows = [...input.closest("[data-leaves]").querySelectorAll(".leaf-row")];
    if (!rows[0].contains(input)) return;
    const next = rows[1].querySelector(`[data-leaf="${Number(input.dataset.leaf) + 1}"]`);
    const now = rows[1].querySelector("input:checked");
    if (next && (!now || now.value === "" || Number(now.dataset.leaf) <= Number(input.dataset.leaf))) {
      next.checked = true;
      saveDraft(input.form);
    }
  }

  function filter(input) {
    const asked = input.value.toLowerCase().split(/\s+/).filter(Boolean);
    for (const row of document.querySelectorAll("#" + input.dataset.filter + " [data-row]")) {
      const text = row.textContent.toLowerCase();
      row.hidden = !asked.every((w) => text.includes(w));
    }
  }

  document.addEventListener("click", (event) => {
    const key = event.target.closest("[data-key]");
    if (key) return type(key);
    const shape = event.target.closest("[data-shape]");
    if (shape) return pickShape(shape);
    const step = event.target.closest("[data-step]");
    if (step) return count(step);
    const drawn = event.target.closest("[data-part]");
    const open = drawn && drawn.closest("[data-open]");
    if (open) location.assign(open.dataset.open + encodeURIComponent(drawn.dataset.part));
  });

  function type(button) {
    const field = button.closest("form").querySelector("[data-reading]");
    const from = field.selectionStart == null ? field.value.length : field.selectionStart;
    const to = field.selectionEnd == null ? from : field.selectionEnd;
    if (button.dataset.key === "back") field.setRangeText("", from === to ? Math.max(0, from - 1) : from, to, "end");
    else field.setRangeText(button.dataset.key, from, to, "end");
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }

  function count(button) {
    const field = button.parentElement.querySelector("input");
    const n = Math.max(0, (parseInt(field.value, 10) || 0) + Number(button.dataset.step));
    field.value = n === 0 ? "" : String(n);
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }

  // A caliper types into whatever has the focus. Figures that come in where no
  // field takes them are said, never lost in silence.
  document.addEventListener("keydown", (event) => {
    const on = event.target;
    if (on.matches && on.matches("input, textarea, select, [contenteditable]")) {
      stray = "";
      return;
    }
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (/^[0-9.,+/-]$/.test(event.key)) {
      const field = main().querySelector("[data-reading]");
      if (field) { // it was meant for the reading
        event.preventDefault();
        field.focus();
        field.value += event.key;
        field.dispatchEvent(new Event("input", { bubbles: true }));
        return;
      }
      stray += event.key;
    } else if (event.key === "Enter") {
      if (stray.length > 1) {
        event.preventDefault();
        tell("stray", words.stray.replace("#", stray));
      }
      stray = "";
    }
  });

  // ---- clocks

  function clocks(root) {
    for (const clock of root.querySelectorAll("[data-clock]")) {
      const key = "pw.clock." + clock.dataset.clock;
      const out = clock.querySelector("[data-time]");
      const start = clock.querySelector("[data-start]");
      const stop = clock.querySelector("[data-stop]");
      const limit = Number(clock.dataset.limit);
      const show = () => {
        if (!clock.isConnected) return clearInterval(beat);
        const from = Number(stock.getItem(key));
        start.hidden = !!from;
        stop.hidden = !from;
        if (!from) return;
        const s = Math.floor((Date.now() - from) / 1000);
        out.textContent = Math.floor(s / 60) + ":" + String(s % 60).padStart(2, "0");
        clock.classList.toggle("over", limit > 0 && s > limit);
      };
      start.addEventListener("click", () => {
        keep(key, String(Date.now()));
        show();
      });
      stop.addEventListener("click", () => {
        const minutes = (Date.now() - Number(stock.getItem(key))) / 60000;
        stock.removeItem(key);
        const field = clock.parentElement.querySelector('input[name="n/minutes"]');
        if (field) {
          field.value = minutes.toFixed(1);
          field.dispatchEvent(new Event("input", { bubbles: true }));
        }
        show();
      });
      const beat = setInterval(show, 500);
      show();
    }
  }

  // ---- the copy on this tablet

  // keepCopy has the worker of the pages keep what the job needs, so that it
  // stays usable without network. It works over TLS or on this machine alone.
  function keepCopy() {
    if (!navigator.serviceWorker || !words.person) return;
    navigator.serviceWorker.register("/worker.js").then(() => navigator.serviceWorker.ready).then((there) => {
      const m = main();
      if (!m.dataset.stream || document.body.dataset.copy) return;
      const job = location.pathname.split("/").slice(0, 3).join("/");
      if (!job.startsWith("/job/")) return;
      const links = [...document.querySelectorAll(`a[href^="${CSS.escape(job)}"], a[href^="/job/"]`)].map((a) => a.getAttribute("href").split("#")[0])
        .filter((a) => (a === job || a.startsWith(job + "/")) && !/\.pdf|\/photo\/|\/share$|\/labels$/.test(a));
      there.active.postMessage({ keep: job, seq: Number(m.dataset.seq), person: words.person, links: [...new Set([job, location.pathname + location.search, ...links])].sort((a, b) => a.length - b.length) });
    }).catch(() => { /* no secure context, or not allowed here: everything but the copy works */ });
  }

  // ---- the list of what this tablet keeps

  async function listKept() {
    const box = document.getElementById("on-tablet");
    if (!box) return;
    const own = box.dataset;
    const all = (await queue.all(words.person));
    const show = (name, on) => { box.querySelector(`[data-show="${name}"]`).hidden = !on; };
    const fill = (name, items) => box.querySelector(`[data-list="${name}"]`).replaceChildren(...items);
    const make = (tag, text, more) => Object.assign(document.createElement(tag), { textContent: text }, more);
    const line = (one) => {
      const li = document.createElement("li");
      li.dataset.id = one.id;
      const job = decodeURIComponent(one.address.split("/")[2] || "");
      const what = one.kind === "photo" ? own.photoWord : one.letter.kind;
      const at = new Date(Number(one.letter.at) / 1000).toLocaleString([], { dateStyle: "short", timeStyle: "short" });
      const name = make("span", "", { className: "name" });
      name.append(make("strong", job), " " + what + ": " + one.words.filter(Boolean).join(", "));
      li.append(name, make("span", at, { className: "remark" }));
      return li;
    };
    const refused = all.filter((one) => one.refused).map((one) => {
      const li = line(one);
      li.append(make("p", one.refused, { className: "refused" }));
      const button = (text, act) => {
        const b = make("button", text, { type: "button" });
        b.addEventListener("click", act);
        li.append(b);
        return b;
      };
      if (one.letter.fields) {
        button(own.right, async () => { // back into its form
          keep(drafts + one.letter.draft, JSON.stringify(one.letter.fields));
          await queue.drop(one);
          location.assign(one.letter.from);
        });
      }
      button(own.again, async () => {
        await queue.again(one);
        await flush();
        await listKept();
      });
      const drop = button(own.drop, async () => {
        if (drop.textContent !== own.sure) {
          drop.textContent = own.sure;
          return;
        }
        await queue.drop(one);
        await state({});
        await listKept();
      });
      return li;
    });
    const waiting = all.filter((one) => !one.refused).map(line);
    fill("refused", refused);
    fill("waiting", waiting);
    show("refused", refused.length);
    show("waiting", waiting.length);
    show("nothing", !all.length);
    show("missing", document.body.dataset.missing);
    const jobs = new Set();
    const copies = !!(navigator.serviceWorker && self.caches);
    if (copies) {
      for (const asked of await (await caches.open("pw.pages")).keys()) {
        const path = new URL(asked.url).pathname;
        if (/^\/job\/[^/]+$/.test(path)) jobs.add(path);
      }
      for (const path of await queue.within("copies", "readonly", (s) => s.getAllKeys())) jobs.add(path);
    }
    fill("jobs", [...jobs].sort().map((path) => {
      const li = document.createElement("li");
      li.append(make("a", decodeURIComponent(path.slice(5)), { href: path }));
      return li;
    }));
    show("no-copies", !copies);
    show("no-jobs", copies && !jobs.size);
  }
  document.addEventListener("pumpwright.queue", listKept);
  document.addEventListener("click", (event) => {
    if (event.target.closest("[data-send-now]")) flush();
  });

  // ---- begin

  // settle brings the place that is asked for into view: on a phone the page
  // begins with the drawing, so that drawing, field and keys stand together.
  function settle() {
    const spot = document.querySelector(".spots a[aria-current]");
    if (spot) spot.parentElement.scrollLeft = spot.offsetLeft - spot.parentElement.offsetLeft - 8;
    const field = document.querySelector("[data-reading]");
    const pad = document.querySelector(".pad");
    if (!field || !pad || !pad.offsetHeight) return;
    const desk = document.querySelector(".desk");
    const walk = document.querySelector(".walk");
    const overlap = pad.getBoundingClientRect().bottom - (innerHeight - (walk ? walk.offsetHeight : 0)) + 6;
    if (!matchMedia("(max-width: 699px)").matches) { // beside the drawing: all keys in view, the head of the question too
      const asking = document.querySelector(".asking");
      if (overlap > 0 && asking) scrollBy(0, Math.min(overlap, Math.max(0, asking.getBoundingClientRect().top - 6)));
      return;
    }
    const top = desk.getBoundingClientRect().top;
    if (overlap > 0 || top < 0) scrollBy(0, Math.max(top, overlap));
  }

  function ready(root) {
    loadDrafts(root);
    requestAnimationFrame(settle);
    clocks(root);
    for (const el of root.querySelectorAll("[data-tool]")) tool(el);
    if (matchMedia("(pointer: coarse)").matches) { // our own keys take the place of the system's
      for (const field of root.querySelectorAll("[data-reading]")) field.inputMode = "none";
    }
  }

  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") for (const d of document.querySelectorAll(".menu[open]")) d.open = false;
  });

  ready(document);
  copied(document.body.dataset.copy);
  if (stock.lost) tell("full", words.full);
  takeOver().catch(() => {}).then(flush);
  live();
  keepCopy();
  listKept();
})();
