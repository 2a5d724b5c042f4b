// A page that shows infants asks for itself now and then, and says how old it is: a page
// that could not is marked as old in words. Without this script a page still says as of when.
"use strict";
(() => {
  const main = document.getElementById("main");
  const every = 20000; // ms between two looks
  const late = 90000; // ms without an answer, after which the page says so loudly
  const asks = main.querySelector("[data-refresh]") !== null;
  let seen = Date.now();
  let tag = "";
  let why = ""; // the id of what says it

  // The text of a template of the page, with what stands in its places.
  function fromPage(id, places) {
    const text = document.getElementById(id).content.cloneNode(true);
    for (const [name, said] of Object.entries(places)) text.querySelector("[data-" + name + "]").textContent = said;
    return text.textContent;
  }

  function age() {
    const where = main.querySelector(".age");
    if (!where) return;
    const since = Date.now() - seen;
    const seconds = Math.floor(since / 1000);
    const said = seconds < 60 ? fromPage("age-seconds", {count: seconds}) : fromPage("age-minutes", {count: Math.floor(seconds / 60)});
    const old = since > late;
    where.classList.toggle("late", old);
    where.textContent = old ? fromPage("age-old", {age: said, why: why ? fromPage(why, {}) : ""}) : fromPage("age-looked", {age: said});
  }

  // What tells a link, an input or the head of what opens from the others, before and after.
  function sameOf(at) {
    if (at.matches("a[href]")) return "a[href=\"" + CSS.escape(at.getAttribute("href")) + "\"]";
    if (at.name) return at.localName + "[name=\"" + CSS.escape(at.name) + "\"][value=\"" + CSS.escape(at.value) + "\"]";
    const opens = at.matches("summary") && at.closest("details[id]");
    return opens ? "#" + CSS.escape(opens.id) + " > summary" : null;
  }

  // What was open, focused or ticked stays so: who prints chose whom.
  function put(html) {
    const focused = document.activeElement && main.contains(document.activeElement) ? sameOf(document.activeElement) : null;
    const ticked = Array.from(main.querySelectorAll("input[type=checkbox]")).filter(box => box.checked !== box.defaultChecked)
      .map(box => [sameOf(box), box.checked]);
    const open = Array.from(main.querySelectorAll("details[id][open]"), d => d.id);
    const top = window.scrollY;
    const held = new DOMParser().parseFromString("<main>" + html + "</main>", "text/html").querySelector("main");
    main.replaceChildren(...held.childNodes);
    for (const id of open) {
      const d = document.getElementById(id);
      if (d) d.open = true;
    }
    for (const [same, checked] of ticked) {
      const box = main.querySelector(same);
      if (box) box.checked = checked;
    }
    const again = focused && main.querySelector(focused);
    if (again) again.focus({preventScroll: true});
    window.scrollTo(0, top);
  }

  async function look() {
    try {
      const headers = {"X-Refresh": "1"};
      if (tag) headers["If-None-Match"] = tag;
      const answer = await fetch(location.href, {headers, cache: "no-store", credentials: "same-origin"});
      if (answer.status === 401) {
        location.assign("/sign-in?next=" + encodeURIComponent(location.pathname + location.search));
        return;
      }
      if (answer.status === 404) {
        location.reload();
        return;
      }
      if (answer.status === 200) {
        put(await answer.text());
        tag = answer.headers.get("ETag") || "";
      }
      if (answer.status === 200 || answer.status === 304) {
        seen = Date.now();
        why = "";
      } else {
        why = "age-unread";
      }
    } catch {
      why = "age-silent";
    }
    age();
  }

  if (asks) {
    age();
    setInterval(age, 1000);
    setInterval(() => { if (!document.hidden) look(); }, every);
    document.addEventListener("visibilitychange", () => { if (!document.hidden) look(); });
  }
})();
