// The browser's part of the page: it sends what the user does, and puts what comes back into place, so that focus,
// caret and scroll stay where they are. It decides nothing about the plan.

const page = document.getElementById("page");
const offline = document.getElementById("offline");
const host = document.documentElement.dataset.answers === "module" ? await moduleHost() : serverHost();

/* ---- the hosts ---- */

// A program on this machine answers, and keeps the plan.
function serverHost() {
  const own = document.documentElement.dataset.page;
  const post = async (path, body) => {
    const answer = await fetch(path, { method: "POST", headers: { "Content-Type": "application/json" }, body, cache: "no-store" });
    const json = await answer.json().catch(() => ({}));
    if (!answer.ok && !json.html) throw Object.assign(new Error(json.notice || `the program answered ${answer.status}`), { answered: true });
    return json;
  };
  return {
    turn: (edit) => post(`turn?page=${own}`, edit),
    // A request that outlives the page.
    last: (edit) => void fetch(`turn?page=${own}`, { method: "POST", headers: { "Content-Type": "application/json" }, body: edit, keepalive: true }).catch(() => {}),
    file: (wish) => post(`file?page=${own}`, JSON.stringify(wish)),
    draft: () => null,
    mayClose: () => true,
  };
}

// The engine runs in the browser; the plan is kept by the browser until it is saved as a file.
async function moduleHost() {
  const compiled = await WebAssembly.compileStreaming(fetch("engine.wasm")).catch(async () =>
    WebAssembly.compile(await (await fetch("engine.wasm")).arrayBuffer()));
  // Tables that are hashed ask for random numbers; what else is imported serves tools that are not used here.
  const random = (at, length) => crypto.getRandomValues(new Uint8Array(engine.memory.buffer, at, length));
  const imports = {};
  for (const { module, name } of WebAssembly.Module.imports(compiled))
    (imports[module] ??= {})[name] = name.includes("getRandomValues") ? random : () => 0;
  const engine = (await WebAssembly.instantiate(compiled, imports)).exports;
  const read = (at, length) => new TextDecoder().decode(new Uint8Array(engine.memory.buffer, at, length));
  const call = (text) => {
    const bytes = new TextEncoder().encode(text);
    const at = engine.room(bytes.length);
    new Uint8Array(engine.memory.buffer, at, bytes.length).set(bytes);
    const length = engine.turn();
    return read(engine.answer(), length);
  };
  const text = () => {
    const length = engine.text();
    return read(engine.answer(), length);
  };
  const KEPT = "bywash plan";
  let saved = "";
  return {
    async turn(edit) {
      const answer = JSON.parse(call(edit));
      try {
        if (answer.name) localStorage.setItem(KEPT, JSON.stringify({ name: answer.name, text: text() }));
        else if (JSON.parse(edit).do === "close") localStorage.removeItem(KEPT);
      } catch { answer.notice ||= "This browser keeps nothing: save the plan as a file before you leave."; }
      return answer;
    },
    last(edit) { this.turn(edit); },
    async file(wish) {
      const form = wish.act === "pdf" ? "pdf" : wish.act === "paper" ? wish.form : null;
      if (form === "pdf") {
        // The browser is the typesetter: the whole review, or the paper that is shown, is printed.
        const review = wish.act === "pdf" && !document.querySelector("article[data-paper=review]");
        const answer = review ? await this.turn(JSON.stringify({ do: "paper", name: "review" })) : {};
        setTimeout(() => window.print());
        return { ...answer, saved: "Choose “Save as PDF” where the browser prints." };
      }
      if (form) {
        const length = engine.paper(["pdf", "csv", "xlsx", "patch"].indexOf(form));
        if (!length) return { notice: "This paper has no such file." };
        download(wish.name, new Uint8Array(engine.memory.buffer, engine.answer(), length), "application/octet-stream");
        return { saved: `Saved as ${wish.name} among the downloads.` };
      }
      const name = document.querySelector("#top .job .file")?.textContent || "plan.jsonc";
      download(name, text(), "application/json");
      saved = text();
      return { saved: `Saved as ${name} among the downloads.` };
    },
    mayClose: () => text() === saved || !document.querySelector(".tools [data-edit*=undo]:not(:disabled)") || confirm("The plan was not saved as a file. Leave it for another one?"),
    draft: () => {
      try { return JSON.parse(localStorage.getItem(KEPT)); } catch { return null; }
    },
  };
}

function download(name, content, type) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([content], { type }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

/* ---- edits, one after another ---- */

const waiting = [];
let busy = false;
let rest = 0;

// What a change leaves for later is asked for when nothing else is waiting; the next change calls that off.
const REST = { do: "rest" };

// Of several edits of one passing kind only the last is sent: `key` names the kind.
function send(edit, key) {
  clearTimeout(rest);
  const last = waiting.at(-1);
  if (key && last && last.key === key) last.edit = edit;
  else waiting.push({ edit, key });
  pump();
}

async function pump() {
  if (busy) return;
  busy = true;
  page.dataset.state = "busy";
  while (waiting.length) {
    // What is under way is no longer waiting: a later edit of its kind does not take its place.
    const next = waiting.shift();
    const started = performance.now();
    try {
      const answer = await host.turn(JSON.stringify(next.edit));
      offline.hidden = true;
      show(answer);
      page.dataset.first ??= performance.now().toFixed(0);
      if (next.edit !== REST) {
        page.dataset.took = (performance.now() - started).toFixed(1);
        page.dataset.turns = String(Number(page.dataset.turns || 0) + 1);
      }
      if (answer.later && !waiting.length) {
        busy = false;
        rest = setTimeout(() => send(REST), 60);
        return;
      }
    } catch (error) {
      if (error.answered) {
        say(error.message);
        continue;
      }
      waiting.unshift(next);
      offline.textContent = "The program does not answer. What was typed last is kept in this page and is sent as soon as it answers; all before that is kept beside the plan.";
      offline.hidden = false;
      await new Promise((done) => setTimeout(done, 1500));
    }
  }
  busy = false;
  page.dataset.state = "ready";
}

function show(answer) {
  for (const [id, html] of answer.html || []) {
    const region = document.getElementById(id);
    const fresh = document.createElement("template");
    fresh.innerHTML = html;
    morph(region, fresh.content);
  }
  if (answer.focus) {
    const element = document.getElementById(answer.focus);
    if (element) {
      element.focus({ preventScroll: true });
      element.scrollIntoView({ block: "center" });
    }
  }
  if (answer.saved) {
    const saved = document.getElementById("saved");
    if (saved) saved.textContent = answer.saved;
  }
  if (answer.notice) say(answer.notice);
  const job = document.querySelector("#top h1");
  document.title = job ? `${job.textContent} – bywash` : "bywash";
  light();
}

function say(words) {
  offline.textContent = words;
  offline.hidden = false;
}

/* ---- putting HTML into place ---- */

function morph(old, fresh) {
  const kept = new Map();
  for (const child of old.children) if (child.id) kept.set(child.id, child);
  let at = old.firstChild;
  for (const next of [...fresh.childNodes]) {
    let match = next.id ? kept.get(next.id) : null;
    if (!match && at && at.nodeName === next.nodeName && !at.id && !next.id) match = at;
    if (match && match.nodeName === next.nodeName) {
      if (match !== at) old.insertBefore(match, at);
      else at = at.nextSibling;
      if (match.nodeType === Node.ELEMENT_NODE) morphElement(match, next);
      else if (match.nodeValue !== next.nodeValue) match.nodeValue = next.nodeValue;
    } else {
      old.insertBefore(next, at);
    }
  }
  while (at) {
    const gone = at;
    at = at.nextSibling;
    gone.remove();
  }
}

function morphElement(old, fresh) {
  // A region within another one is put into place by itself.
  const apart = old.dataset.region !== undefined && fresh.dataset.region !== undefined;
  for (const { name, value } of fresh.attributes) if (old.getAttribute(name) !== value) old.setAttribute(name, value);
  for (const { name } of [...old.attributes])
    if (!fresh.hasAttribute(name) && name !== "open" && !(name === "class" && old.classList.contains("lit"))) old.removeAttribute(name);
  if (old.nodeName === "INPUT" || old.nodeName === "TEXTAREA") {
    // What the user is typing is left alone.
    const typing = old === document.activeElement || pending.has(old);
    const value = fresh.nodeName === "TEXTAREA" ? fresh.textContent : fresh.getAttribute("value") ?? "";
    const plain = old.dataset.set || old.readOnly || old.id === "moment";
    if (!typing && plain && old.value !== value) old.value = value;
    if (old.nodeName === "TEXTAREA" && !old.dataset.set && !old.readOnly) return;
    if (old.nodeName === "INPUT") return;
  }
  if (apart || old.isEqualNode(fresh)) return;
  morph(old, fresh);
  if (old.nodeName === "SELECT" && old !== document.activeElement) {
    const chosen = fresh.querySelector("option[selected]");
    if (chosen && old.value !== chosen.value) old.value = chosen.value;
  }
}

/* ---- typing and choosing ---- */

const pending = new Map();

page.addEventListener("input", (event) => {
  const box = event.target;
  if (box.id === "moment") {
    send({ do: "case", name: box.dataset.case, step: Number(box.value) }, "case");
    return;
  }
  if (!box.dataset.set || box.nodeName === "SELECT") return;
  clearTimeout(pending.get(box));
  pending.set(box, setTimeout(() => settle(box, true), 200));
});

function settle(box, typing) {
  clearTimeout(pending.get(box));
  pending.delete(box);
  const edit = { do: "set", at: box.dataset.set, text: box.value, typing };
  send(edit, typing ? `set ${box.dataset.set}` : undefined);
}

page.addEventListener("change", (event) => {
  const box = event.target;
  if (box.dataset.file) {
    readFile(box);
  } else if (box.dataset.set) {
    settle(box, false);
  } else {
    const form = box.closest("form[data-live]");
    if (form) submit(form);
  }
});

// What is being typed when the page is left, reloaded or closed is sent first.
addEventListener("pagehide", () => {
  const typed = [...pending.keys()].map((box) => ({ do: "set", at: box.dataset.set, text: box.value, typing: false }));
  for (const edit of [...waiting.map((next) => next.edit), ...typed]) host.last(JSON.stringify(edit));
});

async function readFile(box) {
  const file = box.files[0];
  if (!file) return;
  if (file.size > 8_000_000) return say("That file is larger than any plan; nothing was opened.");
  if (/\.xls[xm]$/i.test(file.name)) {
    const reader = new FileReader();
    reader.readAsDataURL(file);
    await new Promise((done) => reader.addEventListener("loadend", done));
    if (!reader.result) return say(`${file.name} can’t be read; nothing was opened.`);
    send({ do: box.dataset.file, name: file.name, bytes: reader.result.slice(reader.result.indexOf(",") + 1) });
    box.value = "";
    return;
  }
  const bytes = new Uint8Array(await file.arrayBuffer());
  let text;
  try {
    text = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return say(`${file.name} is not a text in UTF-8; nothing was opened.`);
  }
  send({ do: box.dataset.file, name: file.name, text });
  box.value = "";
}

function submit(form) {
  const edit = JSON.parse(form.dataset.edit);
  for (const [name, value] of new FormData(form)) edit[name] = value;
  // A browser gives the lines of a text area other ends than the plan has.
  if (edit.do === "text") edit.text = form.elements.text.value;
  send(edit);
}

page.addEventListener("submit", (event) => {
  event.preventDefault();
  if (event.target.dataset.host) {
    ask(event.target.dataset.host, Object.fromEntries(new FormData(event.target)));
    return;
  }
  submit(event.target);
  if (event.target.classList.contains("add")) event.target.reset();
});

page.addEventListener("click", (event) => {
  const pressed = event.target.closest("[data-edit], [data-host], [data-copy], [data-play]");
  if (!pressed || pressed.nodeName === "FORM") return;
  act(pressed);
});

// A press gets its click even where the page moved under the pointer between press and release, as it does when a box
// that is left folds its note away.
let press = null;
const pressable = (event) => event.target.closest("button:not(:disabled), summary, g.mark");
page.addEventListener("pointerdown", (event) => {
  const button = event.button === 0 ? pressable(event) : null;
  press = button && { button, x: event.clientX, y: event.clientY };
}, true);
page.addEventListener("click", (event) => {
  if (press && pressable(event) === press.button) press = null;
}, true);
page.addEventListener("pointerup", (event) => {
  const begun = press;
  if (!begun || Math.hypot(event.clientX - begun.x, event.clientY - begun.y) > 8) return;
  setTimeout(() => {
    if (press === begun && begun.button.isConnected) begun.button.dispatchEvent(new MouseEvent("click", { bubbles: true, cancelable: true }));
    press = null;
  });
}, true);

function act(pressed) {
  for (const box of pending.keys()) settle(box, false);
  if (pressed.dataset.edit) send(JSON.parse(pressed.dataset.edit));
  else if (pressed.dataset.host) ask(pressed.dataset.host, JSON.parse(pressed.dataset.choice || "{}"));
  else if (pressed.dataset.copy) copy(document.getElementById(pressed.dataset.copy));
  else play();
}

async function ask(what, choice) {
  if (what === "print") return window.print();
  if (what === "close") {
    if (!host.mayClose()) return;
    send({ do: "close" });
    return;
  }
  while (busy || waiting.length) await new Promise((done) => setTimeout(done, 20));
  try {
    show(await host.file({ act: what, ...choice }));
  } catch (error) {
    say(error.answered ? error.message : "The program does not answer; nothing was saved.");
  }
}

async function copy(box) {
  box.select();
  try {
    await navigator.clipboard.writeText(box.value);
  } catch {
    document.execCommand("copy");
  }
}

function play() {
  const slider = document.getElementById("moment");
  if (!slider) return;
  if (Number(slider.value) >= Number(slider.max)) slider.value = 0;
  const step = () => {
    const now = document.getElementById("moment");
    if (!now || Number(now.value) >= Number(now.max)) return;
    now.value = Number(now.value) + 1;
    now.dispatchEvent(new Event("input", { bubbles: true }));
    setTimeout(step, 120);
  };
  step();
}

/* ---- keys ---- */

page.addEventListener("keydown", (event) => {
  const { target, key } = event;
  if (target.matches("g[role=button]") && (key === "Enter" || key === " ")) {
    event.preventDefault();
    act(target);
  } else if (target.matches(".grip") && /^(Arrow|Page)(Up|Down)$/.test(key)) {
    event.preventDefault();
    const far = key.startsWith("Page") ? 4 : 1;
    send({ do: "nudge", at: target.dataset.at, steps: key.endsWith("Up") ? far : -far });
  } else if ((event.ctrlKey || event.metaKey) && key === "s") {
    event.preventDefault();
    if (document.activeElement?.dataset?.set) settle(document.activeElement, false);
    ask("save");
  }
});

/* ---- dragging ---- */

let drag = null;

page.addEventListener("pointerdown", (event) => {
  const grip = event.target.closest(".grip");
  if (!grip || event.button > 0) return;
  event.preventDefault();
  grip.focus({ preventScroll: true });
  const svg = grip.ownerSVGElement;
  const scale = svg.getScreenCTM().d;
  drag = {
    at: grip.dataset.at,
    value: Number(grip.dataset.grip),
    snap: Number(grip.dataset.snap),
    perMetre: Number(grip.dataset.scale) * scale,
    from: event.clientY,
    moved: 0,
    sent: null,
  };
  page.setPointerCapture(event.pointerId);
});

page.addEventListener("pointermove", (event) => {
  if (!drag) return;
  drag.moved = drag.from - event.clientY;
  follow(event, false);
});

for (const end of ["pointerup", "pointercancel"])
  page.addEventListener(end, (event) => {
    if (!drag) return;
    follow(event, true);
    drag = null;
  });

// The handle follows the pointer at once, on the snap; the plan follows as fast as it can be reviewed.
function follow(event, done) {
  const to = Math.round((drag.value + drag.moved / drag.perMetre) / drag.snap) * drag.snap;
  if (to === drag.sent && !done) return;
  if (drag.sent === null && done && drag.moved === 0) return;
  drag.sent = to;
  const grip = page.querySelector(`.grip[data-at="${CSS.escape(drag.at)}"]`);
  if (grip && !done) {
    const now = Number(grip.dataset.grip);
    grip.setAttribute("transform", `translate(0 ${(now - to) * Number(grip.dataset.scale)})`);
  }
  send({ do: "drag", at: drag.at, to, done }, done ? undefined : `drag ${drag.at}`);
}

/* ---- what belongs together lights up ---- */

let lit = null;

for (const [kind, element] of [["mouseover", page], ["focusin", page]])
  element.addEventListener(kind, (event) => {
    const at = event.target.closest?.("[data-at]")?.dataset.at ?? null;
    if (at === lit) return;
    lit = at;
    light();
  });

function light() {
  for (const element of page.querySelectorAll(".lit")) element.classList.remove("lit");
  if (!lit) return;
  let found = page.querySelectorAll(`[data-at="${CSS.escape(lit)}"]`);
  // What is not drawn itself is part of something that is.
  for (let at = lit; at; at = at.slice(0, at.lastIndexOf("/"))) {
    const spots = page.querySelectorAll(`.spot[data-at="${CSS.escape(at)}"]`);
    if (spots.length) {
      found = [...found, ...spots];
      break;
    }
  }
  for (const element of found) if (!element.matches("section")) element.classList.add("lit");
}

/* ---- begin ---- */

const draft = host.draft();
if (draft?.text) send({ do: "open", name: String(draft.name), text: String(draft.text) });
else send({ do: "show" });
