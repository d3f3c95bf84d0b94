// Shows how dates are read while they are typed. Without this file the form shows it when it is sent.
"use strict";
(() => {
  const form = document.querySelector("form[data-reading]");
  if (!form) return;
  const rows = () => [...form.querySelectorAll("input[name=date_words]")];
  const shown = form.elements.shown;
  let waiting, asked = 0;

  async function ask() {
    const mine = ++asked;
    const query = new URLSearchParams(rows().map(row => ["date_words", row.value]));
    let said;
    try {
      const answer = await fetch(form.dataset.reading + "?" + query, { headers: { Accept: "application/json" }, redirect: "error" });
      if (!answer.ok) return;
      said = await answer.json();
    } catch { return; /* the line is away: the form asks when it is sent */ }
    if (mine !== asked) return;
    rows().forEach((row, i) => {
      const place = document.getElementById(row.id + "-reading");
      const told = said.rows[i] ?? { reading: "", wrong: "" };
      place.textContent = told.wrong || told.reading;
      document.getElementById(row.id + "-rule").textContent = told.rule ?? "";
      place.classList.toggle("error", told.wrong !== "");
      row.toggleAttribute("aria-invalid", told.wrong !== "");
      if (told.wrong !== "") row.setAttribute("aria-invalid", "true");
      document.getElementById(row.id + "-error")?.remove();
    });
    shown.value = said.shown;
  }

  form.addEventListener("input", event => {
    if (event.target.name !== "date_words") return;
    clearTimeout(waiting);
    waiting = setTimeout(ask, 400);
  });
  form.addEventListener("change", event => { if (event.target.name === "date_words") { clearTimeout(waiting); ask(); } });
  // words that were kept in this tab are back before anybody types
  addEventListener("load", () => { if (rows().some(row => row.value !== row.defaultValue)) ask(); });
})();
