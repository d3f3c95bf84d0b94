// A grid of rows: cells pasted from a spreadsheet, Enter down and up, rows added as they are needed. Without this file every cell
// is a field, and a button brings more rows.
"use strict";
(() => {
  const table = document.querySelector("table[data-cells]");
  if (!table) return;
  const form = table.closest("form");
  const body = table.tBodies[0];
  const most = Number(table.dataset.cells);
  const rows = () => [...body.rows].filter(row => !row.classList.contains("told"));
  const cells = row => [...row.querySelectorAll("input")];
  const heads = [...table.tHead.rows[0].cells].slice(1).map(head => head.firstChild.textContent.trim().toLowerCase());

  function add() {
    const all = rows();
    if (all.length >= most) return null;
    const row = all[all.length - 1].cloneNode(true);
    const n = all.length + 1;
    row.id = "r" + n;
    row.cells[0].id = "n" + n; row.cells[0].textContent = n;
    cells(row).forEach(cell => {
      cell.value = ""; cell.removeAttribute("aria-invalid"); cell.removeAttribute("aria-describedby");
      cell.setAttribute("aria-labelledby", cell.getAttribute("aria-labelledby").split(" ")[0] + " n" + n);
    });
    body.append(row);
    return row;
  }
  // what was kept in this browser may need more rows than the page came with
  const fields = () => [...form.elements].filter(e => e.name && !["hidden", "submit", "button"].includes(e.type)).length;
  form.addEventListener("needs", event => { while (fields() < event.detail && add()) { /* one more */ } });
  document.querySelector("[data-more]")?.addEventListener("click", event => {
    event.preventDefault();
    const added = Array.from({ length: 20 }, add).filter(row => row);
    if (added.length) cells(added[0])[0].focus();
  });

  table.addEventListener("keydown", event => {
    if (event.key !== "Enter" || event.ctrlKey || event.metaKey || event.altKey || !event.target.matches("input")) return;
    event.preventDefault();
    const row = event.target.closest("tr"), all = rows();
    const at = cells(row).indexOf(event.target), place = all.indexOf(row);
    const next = event.shiftKey ? all[place - 1] : all[place + 1] ?? add();
    if (next) { const cell = cells(next)[at]; cell.focus(); cell.select(); }
  });

  // As spreadsheets copy: a cell that holds a line end, a tab or a quote stands in quotes, which are doubled within it.
  function parted(text) {
    const lines = [[]];
    for (const [, quoted, plain, end] of text.matchAll(/(?:"((?:[^"]|"")*)"(?=[\t\n]|$)|([^\t\n]*))(\t|\n|$)/g)) {
      lines.at(-1).push((quoted?.replaceAll('""', '"') ?? plain).replace(/\s*\n\s*/g, " "));
      if (end === "\n") lines.push([]);
      else if (end === "") break;
    }
    return lines;
  }
  table.addEventListener("paste", event => {
    const text = event.clipboardData?.getData("text/plain") ?? "";
    if (!/[\t\n]/.test(text.replace(/\r?\n$/, ""))) return;
    event.preventDefault();
    const lines = parted(text.replace(/\r\n?/g, "\n").replace(/\n$/, ""));
    const from = event.target.closest("tr");
    const left = cells(from).indexOf(event.target);
    // headings that were copied along
    if (lines.length > 1 && lines[0].every((word, i) => word.trim().toLowerCase() === heads[left + i])) lines.shift();
    let place = rows().indexOf(from), fitted = 0, cut = 0;
    for (const line of lines) {
      const row = rows()[place] ?? add();
      if (!row) break;
      const own = cells(row);
      line.forEach((word, i) => { if (own[left + i]) own[left + i].value = word.trim(); else if (word.trim()) cut++; });
      place++; fitted++;
    }
    form.dispatchEvent(new Event("input", { bubbles: true }));
    const state = form.querySelector("[data-draft-state]");
    state.textContent = fitted + (fitted === 1 ? " row pasted." : " rows pasted.")
      + (cut ? ` ${cut} cells lay beyond the last column and were left out.` : "")
      + (fitted < lines.length ? ` ${lines.length - fitted} rows did not fit: use the template.` : "");
  });
})();
