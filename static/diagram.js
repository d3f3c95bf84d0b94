// The size of the stratigraphic diagram changes in place, around what is in the middle. Without this file the links lead
// to the same page at another size.
"use strict";
(() => {
  const links = [...document.querySelectorAll("a[data-size]")];
  const svg = document.querySelector(".strata svg");
  const box = svg?.closest(".scroll");
  if (!svg || links.length === 0) return;

  function show(link) {
    const size = link.dataset.size;
    const [across, down] = [(box.scrollLeft + box.clientWidth / 2) / svg.clientWidth, (scrollY + innerHeight / 2 - box.offsetTop) / svg.clientHeight];
    svg.classList.toggle("fits", size === "fit");
    svg.setAttribute("width", size === "fit" ? "100%" : String(Math.round(svg.dataset.width * size / 100)));
    links.forEach(other => { if (other === link) other.setAttribute("aria-current", "true"); else other.removeAttribute("aria-current"); });
    box.scrollLeft = across * svg.clientWidth - box.clientWidth / 2;
    if (down > 0 && down < 1) scrollTo(scrollX, box.offsetTop + down * svg.clientHeight - innerHeight / 2);
    history.replaceState(null, "", link.href);
  }
  links.forEach(link => link.addEventListener("click", event => {
    if (event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    show(link);
  }));

  const step = by => {
    const sized = links.filter(link => link.dataset.size !== "fit");
    const now = svg.clientWidth / svg.dataset.width * 100;
    const next = by > 0 ? sized.find(link => link.dataset.size > now + 1) : sized.findLast(link => link.dataset.size < now - 1);
    if (next) show(next);
  };
  for (const [words, by] of [["Smaller", -1], ["Larger", 1]]) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = words;
    button.addEventListener("click", () => step(by));
    links[0].parentElement.append(button);
  }
})();
