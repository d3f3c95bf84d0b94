// Comforts of an upload: what was chosen is shown before it is sent, and how far it has got. Without this file the form works as it stands.
"use strict";
(() => {
  const form = document.querySelector("form[data-upload]");
  const input = form && form.querySelector("input[type=file]");
  const list = form && form.querySelector("[data-upload-list]");
  if (!input || !list) return;
  const limit = Number(form.dataset.upload);
  const size = bytes => bytes < 1e6 ? Math.ceil(bytes / 1e3) + " kB" : (bytes / 1e6).toFixed(1) + " MB";
  const make = (name, className, text) => {
    const e = document.createElement(name);
    if (className) e.className = className;
    if (text) e.textContent = text;
    return e;
  };
  let urls = [];
  input.addEventListener("change", () => {
    urls.forEach(url => URL.revokeObjectURL(url));
    urls = [];
    const files = [...input.files];
    const all = files.reduce((sum, file) => sum + file.size, 0);
    const ul = make("ul", "gallery");
    for (const file of files) {
      const li = make("li");
      if (/^image\/(jpeg|png)$/.test(file.type)) {
        const img = make("img");
        img.alt = "";
        img.src = URL.createObjectURL(file);
        urls.push(img.src);
        li.append(img);
      }
      li.append(make("span", "hint", file.name + ", " + size(file.size)));
      ul.append(li);
    }
    const count = files.length === 1 ? "1 file" : files.length + " files";
    const sum = make("p", all > limit ? "error" : "hint", count + ", " + size(all));
    if (all > limit) sum.textContent += ": more than " + size(limit) + " at once. Send them in several goes.";
    list.replaceChildren(sum, ul);
    list.hidden = files.length === 0;
  });

  // The same form, sent with a line that tells how far it is; any trouble falls back to the browser's own way.
  form.addEventListener("submit", event => {
    if (!window.XMLHttpRequest || !input.files.length) return;
    event.preventDefault();
    const button = form.querySelector("button.primary");
    const told = make("p", "hint");
    told.setAttribute("role", "status");
    const bar = make("progress");
    bar.max = 1;
    bar.value = 0;
    bar.setAttribute("aria-label", "Sent so far");
    button.disabled = true;
    button.closest("p").after(told, bar);
    const request = new XMLHttpRequest();
    request.open("POST", form.action);
    request.upload.addEventListener("progress", e => {
      if (!e.lengthComputable) return;
      bar.value = e.loaded / e.total;
      told.textContent = e.loaded < e.total ? "Sending, " + Math.floor(100 * e.loaded / e.total) + " %" : "All sent. The pictures are being opened.";
    });
    const broke = () => {
      told.textContent = "The line broke. What had arrived is kept. Send again; files that are here already are not stored twice.";
      told.className = "error";
      bar.remove();
      button.disabled = false;
    };
    request.addEventListener("error", broke);
    request.addEventListener("abort", broke);
    request.addEventListener("load", () => {
      const page = new DOMParser().parseFromString(request.responseText, "text/html");
      const main = page.querySelector("main");
      if (request.status === 200 || !main) {
        // the notice was shown to this request: it is handed on to the page that is opened now (app.js)
        const notice = page.querySelector("main > p.notice");
        try { if (notice) sessionStorage.setItem("told", notice.textContent); } catch { /* storage is shut */ }
        location.assign(request.responseURL || form.action);
        return;
      }
      // refused files: the answer of the form, put in place of the page
      document.querySelector("main").replaceWith(document.adoptNode(main));
      document.title = page.title;
      document.getElementById("main").focus();
      scrollTo(0, 0);
    });
    request.send(new FormData(form));
  });
})();
