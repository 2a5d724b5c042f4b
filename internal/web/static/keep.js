// Keeps on this device what is to be read while the server does not answer, wipes it when
// the session is over or somebody else's, and says since when the server has not answered.
// Without this script, or without TLS, a device keeps nothing.
"use strict";
(() => {
  if (!window.isSecureContext || !navigator.serviceWorker || !window.indexedDB) return;
  const every = 20000; // ms between two looks whether the server answers
  const anew = 120000; // ms between two times that what is kept is kept anew, while a page stays open and nothing was sent
  const young = 15000; // ms for which another page need not keep it anew
  const patience = 10000; // ms that it may take
  const root = document.documentElement;
  const user = document.body.dataset.user;
  const path = document.body.dataset.keep;
  const stored = root.dataset.offline; // a page that the worker gave: "kept", or "device"
  const note = document.getElementById("offline");
  const again = document.getElementById("answers-again"); // on a page that is kept

  navigator.serviceWorker.register("/worker.js").catch(() => {});

  const tell = (name, detail) => document.dispatchEvent(new CustomEvent(name, {detail}));

  async function ask(where, headers) {
    const answer = await fetch(where, {headers, cache: "no-store", signal: AbortSignal.timeout(patience)});
    if ([502, 503, 504].includes(answer.status)) throw new Error("no answer");
    return answer;
  }

  async function keep() {
    const answer = await ask(path, {"X-Refresh": "1"});
    if (answer.status === 401 || answer.status === 404) {
      await store.wipe();
      return;
    }
    if (answer.status !== 200) return;
    const got = await answer.json();
    if (got.user !== user) { // somebody else signed in meanwhile, in another window
      await store.wipe();
      return;
    }
    const now = Date.now();
    const server = Date.parse(got.now);
    await store.keep({...got, at: now, limit: now + Date.parse(got.until) - server, skew: now - server});
  }

  // Nobody is signed in any more, or somebody else is: nothing stays to be read.
  async function mine() {
    const kept = await store.kept();
    const nobody = !user && /^\/(sign-in|link)(\/|$)/.test(location.pathname);
    if (kept && (nobody || user && kept.user !== user)) await store.wipe();
  }

  async function silent() {
    const since = await store.silent();
    const kept = await store.kept();
    if (stored === "kept" && !kept || !stored && limit && Date.now() > limit) {
      location.replace("/waiting"); // the limit has passed
      return;
    }
    if (again) again.hidden = true;
    if (!note) return;
    note.querySelector("[data-since]").textContent = store.clock(since, kept);
    const stood = document.querySelector(".stood time");
    note.querySelector("#offline-as-of").hidden = !stood;
    if (stood) note.querySelector("[data-at]").textContent = stood.textContent;
    note.hidden = false;
  }

  // What the worker gave is given back for the server's own page, unless somebody types.
  let typed = false;
  document.addEventListener("input", () => { typed = true; });
  async function answers() {
    await store.answers();
    if (note) note.hidden = true;
    if (!stored) return;
    if (!typed && !document.querySelector("form[data-chart]")) location.reload();
    if (again) again.hidden = false;
  }

  let limit = 0;
  let asked = 0;
  let busy = false;
  async function look() {
    if (busy) return;
    busy = true;
    try {
      if (await store.get("leaving")) {
        await ask("/healthy", {});
        location.replace("/sign-in"); // on the way the worker signs out
        return;
      }
      if (!stored && user && path && (Date.now() > asked + anew || await store.get("changed") > asked)) {
        const now = Date.now();
        await keep();
        asked = now;
      } else {
        await ask("/healthy", {});
      }
      await answers();
      const kept = await store.kept();
      if (kept) limit = kept.limit;
      tell("answers");
    } catch {
      await silent();
      tell("silent");
    }
    busy = false;
  }

  (async () => {
    if (!stored) await mine();
    const kept = await store.kept();
    if (kept && Date.now() - kept.at < young) asked = kept.at;
    await look();
  })();
  setInterval(() => { if (!document.hidden) look(); }, every);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) look(); });
  window.addEventListener("online", look);
  window.addEventListener("offline", look);
})();
