// The bench: a scan is caught whenever no field has focus; where the browser can read codes, the camera scans too.
const form = document.querySelector("[data-scan]");
const field = form.querySelector("#code");

// A wedge scanner types like a very fast person and ends with Enter.
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
        field.value = code.rawValue;
        shut();
        form.requestSubmit();
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
