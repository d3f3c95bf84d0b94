// The bench: a scan is caught wherever the focus is (app.js); where the browser can read codes, the camera scans too.
const form = document.querySelector("[data-scan]");
const field = form.querySelector("#code");

// One code after the other: what is scanned while the page is still on its way waits for the next page of the tray.
const WAITING = "scans-waiting";
let sent = false;
const onTray = () => form.elements.mode.value === "tray";
const waiting = () => JSON.parse(sessionStorage.getItem(WAITING) || "[]");
function send(code) {
  sent = true;
  field.value = code;
  form.requestSubmit();
}
document.addEventListener("scanned", event => {
  event.preventDefault();
  if (!sent) return send(event.detail);
  if (onTray()) sessionStorage.setItem(WAITING, JSON.stringify([...waiting(), event.detail]));
});
addEventListener("pageshow", () => { sent = false; });
try {
  const [next, ...rest] = waiting();
  sessionStorage.removeItem(WAITING);
  if (next !== undefined && onTray()) {
    if (rest.length > 0) sessionStorage.setItem(WAITING, JSON.stringify(rest));
    addEventListener("pageshow", () => send(next), { once: true });
  }
} catch { /* storage is shut: the next scan waits for nobody */ }

// Somebody types a number without having chosen the field first.
document.addEventListener("keydown", event => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.key.length !== 1 || event.key === "/") return;
  if (event.target.closest("input, textarea, select, button, a, summary, [contenteditable]")) return;
  if (document.activeElement !== field) { field.value = ""; field.focus(); }
});
field.addEventListener("focus", () => field.select());

const open = form.querySelector("[data-camera]");
const finder = form.querySelector("[data-viewfinder]");
const video = finder.querySelector("video");
const said = finder.querySelector("[data-viewfinder-said]");
let stream = null;

function shut() {
  stream?.getTracks().forEach(track => track.stop());
  stream = null;
  finder.hidden = true;
  open.hidden = false;
}

async function look(detector) {
  while (stream) {
    try {
      const [code] = await detector.detect(video);
      if (code) {
        shut();
        send(code.rawValue);
        return;
      }
    } catch { /* no picture yet */ }
    await new Promise(done => setTimeout(done, 150));
  }
}

async function start() {
  open.hidden = true;
  finder.hidden = false;
  said.textContent = "Hold the code into the picture.";
  try {
    stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" }, audio: false });
    video.srcObject = stream;
    await video.play();
    await look(new BarcodeDetector({ formats: ["qr_code"] }));
  } catch {
    stream?.getTracks().forEach(track => track.stop());
    stream = null;
    said.textContent = "The camera cannot be used. Allow it for this page, or type the number.";
  }
}

async function offer() {
  if (!("BarcodeDetector" in window) || !navigator.mediaDevices?.getUserMedia) return;
  const formats = await BarcodeDetector.getSupportedFormats().catch(() => []);
  if (formats.includes("qr_code")) open.hidden = false;
}
open.addEventListener("click", start);
form.querySelector("[data-camera-stop]").addEventListener("click", shut);
addEventListener("pagehide", shut);
offer();
