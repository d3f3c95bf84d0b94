// Marks the site of a spot test by a click on the photograph. Without this file the two numbers are typed.
"use strict";
(() => {
  const place = document.querySelector("[data-site-map]");
  const form = place?.closest("form");
  const choices = form ? [...form.querySelectorAll("input[name=site_image]")] : [];
  const [x, y] = ["x_pct", "y_pct"].map(id => document.getElementById(id));
  const svg = name => document.createElementNS("http://www.w3.org/2000/svg", name);
  const number = field => parseFloat(field.value.replace(",", "."));
  let over = null;

  function draw() {
    const chosen = choices.find(c => c.checked && c.dataset.screen);
    place.hidden = !chosen;
    place.replaceChildren();
    if (!chosen) return;
    const [width, height] = [Number(chosen.dataset.width), Number(chosen.dataset.height)];
    const figure = document.createElement("figure");
    figure.className = "figure marked";
    over = document.createElement("div");
    over.className = "over pointing";
    const picture = document.createElement("img");
    Object.assign(picture, { src: chosen.dataset.screen, width, height, alt: "The chosen photograph: click where the spot is" });
    const marks = svg("svg");
    marks.setAttribute("viewBox", `0 0 ${width} ${height}`);
    marks.setAttribute("aria-hidden", "true");
    over.append(picture, marks);
    figure.append(over);
    place.append(figure);
    over.addEventListener("click", event => {
      const box = picture.getBoundingClientRect();
      const share = (at, from, side) => (Math.min(1, Math.max(0, (at - from) / side)) * 100).toFixed(1);
      x.value = share(event.clientX, box.left, box.width);
      y.value = share(event.clientY, box.top, box.height);
      x.dispatchEvent(new Event("input", { bubbles: true }));
    });
    mark();
  }
  function mark() {
    const marks = over?.querySelector("svg");
    if (!marks) return;
    marks.replaceChildren();
    const [width, height] = marks.getAttribute("viewBox").split(" ").slice(2).map(Number);
    const [left, top] = [number(x), number(y)];
    if (!(left >= 0 && left <= 100 && top >= 0 && top <= 100)) return;
    for (const name of ["under", "ring"]) {
      const circle = svg("circle");
      circle.setAttribute("class", name);
      circle.setAttribute("cx", left / 100 * width);
      circle.setAttribute("cy", top / 100 * height);
      circle.setAttribute("r", 0.02 * Math.max(width, height));
      marks.append(circle);
    }
  }
  if (place) {
    choices.forEach(choice => choice.addEventListener("change", draw));
    [x, y].forEach(field => field.addEventListener("input", mark));
    draw();
  }
})();

// Of the table of solvents only the chosen ones are shown, once one is chosen.
(() => {
  const table = document.querySelector("[data-solvents]");
  const parts = [...document.querySelectorAll("select[data-part]")];
  if (!table || !parts.length) return;
  const tell = () => {
    const chosen = parts.map(part => part.value).filter(Boolean);
    const rows = [...table.querySelectorAll("[data-solvent]")];
    const any = rows.some(row => chosen.includes(row.dataset.solvent));
    rows.forEach(row => { row.hidden = any && !chosen.includes(row.dataset.solvent); });
    if (any) table.open = true;
  };
  parts.forEach(part => part.addEventListener("change", tell));
  tell();
})();
