// Two photographs laid upon each other, a slider between them. Without this file they stand side by side.
"use strict";
(() => {
  for (const pair of document.querySelectorAll("[data-compare]")) {
    const figures = pair.querySelectorAll("figure");
    if (figures.length !== 2) continue;
    const over = figures[1].querySelector("img");
    const label = document.createElement("label");
    label.className = "field";
    const words = document.createElement("span");
    words.textContent = pair.dataset.compare;
    const range = document.createElement("input");
    range.type = "range";
    range.min = "0";
    range.max = "100";
    range.value = "50";
    label.append(words, range);
    const show = () => { over.style.clipPath = "inset(0 0 0 " + range.value + "%)"; };
    range.addEventListener("input", show);
    pair.classList.add("upon");
    pair.after(label);
    show();
  }
})();
