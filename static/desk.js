// The desk: keys that go through the finds, a draft that is kept while it is typed. Without this file links and buttons do the same.
"use strict";
(() => {
  const keys = document.querySelector(".series .keys");
  if (keys) keys.hidden = false;
  addEventListener("keydown", event => {
    if (!event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
    const way = document.querySelector(`.series a[data-key="${event.key}"]`);
    if (way) { event.preventDefault(); location.assign(way.href); return; }
    const first = document.getElementById("identification");
    if (event.key === "Home" && first) { event.preventDefault(); first.focus(); first.scrollIntoView({ block: "center" }); }
  });

  const form = document.querySelector("form[data-draft]");
  if (!form) return;
  const state = form.querySelector("[data-draft-state]");
  const QUIET_MS = 2500, AGAIN_MS = 15000;
  let waiting, typed = 0, kept = 0, sending = false, left = false;
  const later = ms => { clearTimeout(waiting); waiting = setTimeout(keep, ms); };

  async function keep() {
    if (sending || left || kept === typed) return;
    const mine = typed;
    sending = true;
    try {
      const answer = await fetch(form.dataset.draft, { method: "POST", body: new URLSearchParams(new FormData(form)), headers: { Accept: "application/json" }, redirect: "error", keepalive: true });
      if (!answer.ok) throw new Error(answer.status);
      const said = await answer.json();
      kept = mine;
      state.textContent = said.words;
      if (mine === typed) form.dispatchEvent(new Event("kept")); else later(QUIET_MS);
    } catch {
      state.textContent = "The line is away, or your session has ended. What you typed is kept in this browser and becomes a draft when you are back.";
      later(AGAIN_MS);
    } finally { sending = false; }
  }

  form.addEventListener("input", () => { typed++; later(QUIET_MS); });
  form.addEventListener("submit", () => { left = true; clearTimeout(waiting); });
  addEventListener("pageshow", () => { left = false; });
  addEventListener("online", () => later(0));
  document.addEventListener("visibilitychange", () => { if (document.hidden) keep(); });
  // words that were kept in this browser are back before anybody types
  addEventListener("load", () => { if (document.querySelector("[data-typed-back]")) { typed++; later(0); } });
})();
