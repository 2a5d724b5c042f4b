// A form to chart with. Enter goes to the next field, so that nothing is sent by a key
// too many; who leaves with something unsent is asked; a second touch sends nothing again.
// Without this script the form works as any other.
"use strict";
(() => {
  const form = document.querySelector("form[data-chart]");
  if (!form) return;
  const dialog = document.querySelector("dialog.unsent");
  const problem = document.getElementById("problem");
  let touched = problem !== null;
  let leaving = false;

  form.addEventListener("input", () => { touched = true; });
  form.addEventListener("keydown", event => {
    const at = event.target;
    if (event.key !== "Enter" || !(at instanceof HTMLInputElement)) return;
    event.preventDefault();
    const fields = Array.from(form.querySelectorAll("input:not([type=hidden]):not([type=radio]):not([type=checkbox]), textarea"))
      .filter(field => field.offsetParent !== null);
    const next = fields[fields.indexOf(at) + 1] || form.querySelector("button.go");
    next.focus();
  });
  form.addEventListener("submit", event => {
    if (leaving) { event.preventDefault(); return; }
    leaving = true;
  });
  window.addEventListener("pageshow", () => { leaving = false; });
  document.addEventListener("unanswered", () => { leaving = false; });
  window.addEventListener("beforeunload", event => {
    if (touched && !leaving) event.preventDefault();
  });

  function ask(go) {
    dialog.addEventListener("close", () => {
      if (dialog.returnValue !== "go") return;
      leaving = true;
      go();
    }, {once: true});
    dialog.returnValue = "stay";
    dialog.showModal();
  }

  document.addEventListener("click", event => {
    const link = event.target.closest("a[href]");
    if (!link || !touched || leaving || link.getAttribute("href").startsWith("#")) return;
    event.preventDefault();
    ask(() => { location.assign(link.href); });
  });
  document.addEventListener("submit", event => {
    if (event.target === form || dialog.contains(event.target) || !touched || leaving) return;
    event.preventDefault();
    ask(() => { event.target.requestSubmit(event.submitter); });
  });
  if (problem) problem.focus();
})();
