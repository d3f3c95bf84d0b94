// Comforts only: every page can be read and every form sent without this file.
"use strict";

// What the answer to an upload said (upload.js), shown on the page it led to.
try {
  const told = sessionStorage.getItem("told");
  sessionStorage.removeItem("told");
  if (told && !document.querySelector("main > p.notice")) {
    const p = document.createElement("p");
    p.className = "notice"; p.setAttribute("role", "status"); p.textContent = told;
    const main = document.getElementById("main");
    main.insertBefore(p, main.querySelector(":scope > nav.trail")?.nextSibling ?? main.firstChild);
  }
} catch { /* storage is shut */ }

// Long forms keep what was typed in this tab until they are sent. The hidden fields say which finds a form is about:
// words typed about one find never appear in the form of another.
function keyOf(form) {
  const about = [...form.querySelectorAll("input[type=hidden]")].filter(e => !["_token", "submission", "revision"].includes(e.name));
  const person = document.querySelector(".person summary")?.textContent ?? "";
  return ["typed:" + location.pathname, person, form.dataset.keep, ...about.map(e => e.name + "=" + e.value)].join("\n");
}
function keepTyped(form) {
  const key = keyOf(form);
  // on a desk what was typed outlives the tab, until the server says that it has it
  const keptIn = "keepLong" in form.dataset ? localStorage : sessionStorage;
  const fields = () => [...form.elements].filter(e => e.name && !["hidden", "password", "file", "submit", "button"].includes(e.type));
  const read = e => (e.type === "checkbox" || e.type === "radio" ? e.checked : e.value);
  const write = (e, v) => { if (typeof v === "boolean") e.checked = v; else e.value = v; };
  const note = message => {
    const p = document.createElement("p");
    p.className = "notice"; p.dataset.typedBack = ""; p.setAttribute("role", "status"); p.textContent = message + " ";
    const back = document.createElement("button");
    back.type = "button"; back.className = "plain"; back.textContent = "Start afresh";
    back.addEventListener("click", () => { keptIn.removeItem(key); form.reset(); p.remove(); });
    p.append(back); form.before(p);
  };
  const kept = JSON.parse(keptIn.getItem(key) || "null");
  if (kept && !document.querySelector(".wrong")) {
    form.dispatchEvent(new CustomEvent("needs", { detail: kept.length }));
    const list = fields();
    if (kept.length === list.length && list.some((e, i) => read(e) !== kept[i])) {
      list.forEach((e, i) => write(e, kept[i]));
      note("What you had typed here is back.");
    }
  }
  form.addEventListener("input", () => keptIn.setItem(key, JSON.stringify(fields().map(read))));
  form.addEventListener("kept", () => keptIn.removeItem(key));
  form.addEventListener("submit", () => sessionStorage.setItem("sent:" + key, "yes"));
}
// What was sent is forgotten once a notice says that it was saved; the form with its faults, a lost line, an ended session keep it.
function forgetSent() {
  // At the door and on a page of errors nobody is signed in, and nothing was saved.
  if (!document.querySelector(".person")) return;
  for (const sent of Object.keys(sessionStorage).filter(k => k.startsWith("sent:"))) {
    const key = sent.slice(5);
    const here = [...document.querySelectorAll("form[data-keep]")].some(f => key === keyOf(f));
    const told = document.querySelector("p.notice");
    if (told) { sessionStorage.removeItem(key); localStorage.removeItem(key); }
    if (told || here) sessionStorage.removeItem(sent);
  }
}
try { forgetSent(); } catch { /* storage is shut */ }
document.querySelectorAll("form[data-keep]").forEach(form => {
  const keep = () => { try { keepTyped(form); } catch { /* storage is shut: typing is simply not kept */ } };
  // a form that grows (grid.js) waits for the script that makes room
  if (form.querySelector("[data-cells]")) addEventListener("DOMContentLoaded", keep); else keep();
});

document.querySelector(".person form")?.addEventListener("submit", () => { try { sessionStorage.clear(); localStorage.clear(); } catch { /* storage is shut */ } });

// A shared tablet locks itself when nobody touches it; while somebody does, the server is told now and then.
const lock = document.querySelector("[data-lock-after]");
if (lock) {
  let idle, told = Date.now();
  const touched = () => {
    clearTimeout(idle);
    idle = setTimeout(() => lock.requestSubmit(), lock.dataset.lockAfter * 1000);
    if (Date.now() - told < 60000) return;
    told = Date.now();
    fetch(lock.dataset.awake, { redirect: "manual" }).catch(() => { /* the line is away */ });
  };
  ["pointerdown", "keydown", "scroll"].forEach(what => addEventListener(what, touched, { passive: true }));
  touched();
}

// A wedge scanner types like a person of impossible speed and ends with Enter or Tab. Its Enter never presses what has the focus, and
// what it typed into a field is taken out again: the bench takes the code (scan.js), every other page says what was scanned. Words
// that come as fast into a field are somebody's (dictation, an expander): only a code of ours is taken out of one off the bench.
const QUICK_MS = 40; // between two keys; scanners need a few, the quickest hands about sixty (common practice, no source)
let burst = null;
const textual = at => at.matches("textarea, input:not([type=checkbox], [type=radio], [type=submit], [type=button], [type=file])");
const asIs = at => (textual(at) || at.matches("select") ? { at, value: at.value, caret: at.selectionStart } : null);
function putBack({ at, value, caret }) {
  if (at.value === value) return;
  at.value = value;
  if (typeof caret === "number") at.setSelectionRange(caret, caret);
  at.dispatchEvent(new Event("input", { bubbles: true }));
}
function tellScanned(code) {
  document.getElementById("scanned")?.remove();
  const p = document.createElement("p");
  p.id = "scanned"; p.className = "notice"; p.setAttribute("role", "status");
  p.textContent = `Scanned “${code}”. Nothing on this page was typed or pressed. `;
  const bench = document.querySelector('.nav a[href="/bench"]');
  if (bench) {
    const way = document.createElement("a");
    way.href = "/bench?code=" + encodeURIComponent(code); way.textContent = "Open it at the bench";
    p.append(way);
  }
  document.getElementById("main").prepend(p);
  p.scrollIntoView({ block: "nearest" });
}
function takeScan({ code, before }) {
  if (before) putBack(before);
  const scanned = new CustomEvent("scanned", { detail: code, cancelable: true });
  if (document.dispatchEvent(scanned)) tellScanned(code);
}
// A password manager types as fast: nothing is scanned before somebody is signed in, nor into a password.
const typedFor = at => document.body.matches(".door") || at.matches("[type=password]");
const isCode = code => !/\s/.test(code) && /^https?:\/\//.test(code);
const atBench = document.querySelector("[data-scan]") !== null;
const takes = ({ code, before }) => atBench || !before || isCode(code);
addEventListener("keydown", event => {
  if (event.key === "Shift" || event.key === "CapsLock" || event.isComposing || typedFor(event.target)) return;
  const quick = burst && event.timeStamp - burst.last <= QUICK_MS && !event.repeat;
  const letter = event.key.length === 1 && !event.ctrlKey && !event.metaKey && !event.altKey && !event.repeat;
  if (quick && burst.code.length > 1 && takes(burst) && (event.key === "Enter" || event.key === "Tab")) {
    event.preventDefault(); event.stopImmediatePropagation();
    const whole = burst;
    burst = null;
    takeScan(whole);
  } else if (!letter) {
    burst = null;
  } else {
    if (!quick) burst = { code: "", before: asIs(event.target) };
    burst.code += event.key;
    burst.last = event.timeStamp;
    if (quick && !textual(event.target) && !event.target.matches("select")) { event.preventDefault(); event.stopImmediatePropagation(); }
  }
}, true);
addEventListener("keyup", event => { if (event.key === " " && burst?.code.length > 1 && !textual(event.target)) event.preventDefault(); }, true);

// A list of ticks: "tick all", and how many are ticked.
document.querySelectorAll("[data-tick-all]").forEach(box => {
  const form = box.closest("form");
  const ticks = () => [...form.querySelectorAll(`input[type=checkbox][name="${box.dataset.tickAll}"]`)];
  const count = form.querySelector("[data-tick-count]");
  const tell = () => {
    const n = ticks().filter(t => t.checked).length;
    if (count) count.textContent = n === 0 ? "none ticked" : n + " ticked";
    box.checked = n > 0 && n === ticks().length;
    box.indeterminate = n > 0 && n < ticks().length;
  };
  box.closest("[hidden]")?.removeAttribute("hidden");
  box.addEventListener("change", () => { ticks().forEach(t => { t.checked = box.checked; }); tell(); });
  form.addEventListener("change", tell);
  tell();
});

// A round: how much is ticked so far.
document.querySelectorAll("[data-tally]").forEach(place => {
  const ticks = [...place.closest("form").querySelectorAll(`input[name="${place.dataset.tally}"]`)];
  const first = place.textContent;
  const tell = () => {
    const n = ticks.filter(t => t.checked).length;
    place.textContent = n === 0 ? first : `${n} of ${ticks.length} ${place.dataset.words}`;
  };
  place.closest("form").addEventListener("change", tell);
  tell();
});

// Two versions side by side: a button takes the other version's words into the field without sending.
document.querySelectorAll("button[data-take]").forEach(button => {
  button.addEventListener("click", event => {
    const field = document.getElementById(button.dataset.take);
    if (!field) return;
    event.preventDefault();
    field.value = button.dataset.words;
    field.focus();
  });
});

// "/" leads to the search unless something is being typed; Escape or a click elsewhere shuts an open drop.
const shut = except => document.querySelectorAll("details.drop[open]").forEach(d => { if (d !== except) d.open = false; });
document.addEventListener("keydown", event => {
  if (event.key === "Escape") {
    const open = document.querySelector("details.drop[open]");
    if (open) { open.open = false; open.querySelector("summary").focus(); }
  }
  if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.target.closest("input, textarea, select, [contenteditable]")) return;
  const search = document.getElementById("search");
  if (search) { event.preventDefault(); search.focus(); search.select(); }
});
document.addEventListener("click", event => shut(event.target.closest("details.drop")));
