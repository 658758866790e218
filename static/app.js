// What the pages do beyond htmx. Everything works without it.

// The server is gone or refused: say so in a bar that stays; typed text stays where it is.
const bar = document.getElementById("trouble-bar");
function trouble(words) {
  if (!bar) return;
  bar.textContent = words;
  bar.hidden = false;
}
document.addEventListener("htmx:error", (event) => {
  const onlyLooked = event.detail?.ctx?.request?.method === "GET";
  if (onlyLooked) trouble("Benchday does not answer, so what you see may be out of date. Is it still running?");
  else trouble("Not saved: Benchday does not answer. Is it still running? Try again.");
});
document.addEventListener("htmx:response:error", (event) => {
  const status = event.detail?.ctx?.response?.status ?? 0;
  if (status >= 500) trouble("Not saved: something went wrong on our side. Try again; what you typed is still here.");
});
document.addEventListener("htmx:after:swap", (event) => {
  const status = event.detail?.ctx?.response?.status ?? 200;
  if (bar && status < 400) bar.hidden = true;
});

// A field changed while its form was still being sent waits its turn: what it then sends is the form as it is by
// then, with the key and version that came back. A press of a button is sent as it was pressed, so it counts once.
document.addEventListener("htmx:before:request", (event) => {
  const ctx = event.detail?.ctx;
  const form = ctx?.request?.form;
  if (ctx?.sourceEvent?.type === "change" && form?.isConnected && form.method === "post" && ctx.request.body)
    ctx.request.body = new URLSearchParams(new FormData(form));
});

// A figure's working opens in the panel; focus goes there, and back when it closes.
let opener = null;
document.addEventListener("click", (event) => {
  const figure = event.target.closest("a.figure");
  if (figure) opener = figure;
  if (event.target.closest("[data-close]")) closeWorking();
  if (event.target.closest("[data-print]")) window.print();
});
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape") closeWorking();
});
function closeWorking() {
  const panel = document.getElementById("working");
  if (!panel || panel.hidden) return;
  panel.hidden = true;
  opener?.focus();
}
const panel = document.getElementById("working");
if (panel) {
  new MutationObserver(() => {
    if (!panel.firstElementChild) return;
    panel.hidden = false;
    panel.querySelector("h2")?.focus();
  }).observe(panel, { childList: true });
}

// Leaving with something typed and not sent: the browser asks.
let dirty = false;
document.addEventListener("input", (event) => {
  const form = event.target.closest("form");
  if (form && form.method === "post" && !form.hasAttribute("hx-post")) dirty = true;
});
document.addEventListener("submit", () => (dirty = false));
window.addEventListener("beforeunload", (event) => {
  if (dirty) event.preventDefault();
});

document.querySelectorAll("[data-print]").forEach((button) => (button.hidden = false));
document.getElementById("problems")?.focus();
