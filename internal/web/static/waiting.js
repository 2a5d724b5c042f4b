// What waits on this device to be sent: says how much on each page, sends it when the
// server answers and its own nurse is signed in, and lists it. Nobody's is sent by another:
// the server holds each form to who filled it in.
"use strict";
(() => {
  if (!window.isSecureContext || !navigator.serviceWorker || !window.indexedDB) return;
  let user = document.body.dataset.user;
  const root = document.documentElement;
  const list = document.getElementById("queue");
  const fill = (where, name, text) => { for (const e of where.querySelectorAll("[data-" + name + "]")) e.textContent = text; };
  const entries = n => {
    const said = document.getElementById(n === 1 ? "one-entry" : "entries").content.cloneNode(true);
    fill(said, "count", n);
    return said.textContent;
  };
  let online = !root.dataset.offline;

  async function show() {
    const all = await store.queue();
    const own = all.filter(x => x.user === user);
    const waits = own.filter(x => x.state === "waiting").length;
    const back = own.length - waits;
    for (const [id, n] of [["unsent-note", waits], ["back-note", back]]) {
      const note = document.getElementById(id);
      fill(note, "count", entries(n));
      note.hidden = n === 0;
    }
    others(all.filter(x => x.user !== user));
    if (list) await lines(own);
  }

  function others(all) {
    const note = document.getElementById("others-note");
    const names = [...new Set(all.map(x => x.user))];
    note.hidden = names.length === 0;
    const said = note.querySelector("[data-said]");
    said.replaceChildren();
    names.forEach((name, i) => {
      const one = document.getElementById("others-said").content.cloneNode(true);
      fill(one, "count", entries(all.filter(x => x.user === name).length));
      fill(one, "whose", name);
      said.append(i ? "; " : "", one);
    });
  }

  async function lines(own) {
    const kept = await store.kept();
    list.replaceChildren(...own.map(x => line(x, kept)));
    document.getElementById("none-waits").hidden = own.length > 0;
    if (own.length > 0 && navigator.storage && navigator.storage.persist) navigator.storage.persist(); // to be thrown away last
    document.getElementById("kept-here").hidden = !root.dataset.offline;
    document.getElementById("none-kept").hidden = kept !== null;
    document.getElementById("is-kept").hidden = kept === null;
    if (!kept) return;
    document.querySelector("[data-home]").href = kept.home;
    fill(document.getElementById("is-kept"), "at", store.clock(kept.at, kept));
  }

  // What was typed and tapped, in the words of its form where that is kept.
  function typed(x, kept) {
    const form = new DOMParser().parseFromString(kept && kept.pages[x.path] || "", "text/html");
    const words = (where, what) => { const e = where && where.querySelector(what); return e ? e.textContent.trim() : ""; };
    const said = [];
    for (const [name, value] of new URLSearchParams(x.body)) {
      if (!value || !name.includes(".") || /^(sent|at)\.|\.was\./.test(name)) continue;
      const input = Array.from(form.getElementsByName(name)).find(e => e.value === value || !/radio|checkbox/.test(e.type));
      if (input && input.type === "hidden") continue;
      const tapped = input && input.closest("label.tap");
      const asks = tapped ? words(tapped.closest("fieldset"), "legend") : words(form, "label[for=\"" + CSS.escape(name) + "\"]");
      said.push([asks || (input ? "" : name.split(".").slice(1).join(" ")), tapped ? words(tapped, ".shown") : value].filter(Boolean).join(" "));
    }
    return said.join("; ");
  }

  function line(x, kept) {
    const li = document.getElementById("queued").content.cloneNode(true).querySelector("li");
    fill(li, "what", x.what);
    fill(li, "when", store.clock(x.sent, x));
    fill(li, "typed", typed(x, kept));
    li.querySelector("[data-waits]").hidden = x.state !== "waiting";
    li.querySelector("[data-back]").hidden = x.state === "waiting";
    li.classList.toggle("back", x.state !== "waiting");
    fill(li, "said", x.said || "");
    const open = li.querySelector("[data-open]");
    open.hidden = x.state === "waiting" || !online;
    open.addEventListener("click", () => look(x));
    li.querySelector("[data-away]").addEventListener("click", () => away(x));
    return li;
  }

  // A form as it waits, with the device's clock when it was sent and now.
  function pairs(x) {
    const out = new URLSearchParams(x.body);
    out.set("sent.device", x.sent);
    out.set("sent.now", Date.now());
    if (x.skew !== undefined) out.set("sent.skew", Math.round(x.skew));
    return out;
  }

  // Opens what came back as the server's own page, with what was typed. Once it is charted
  // from there, the worker takes it from what waits.
  async function look(x) {
    await store.set("opened", x.id);
    const form = document.createElement("form");
    form.method = "post";
    form.action = x.path;
    for (const [name, value] of pairs(x)) {
      const input = document.createElement("input");
      input.type = "hidden";
      input.name = name;
      input.value = value;
      form.append(input);
    }
    document.body.append(form);
    form.submit();
  }

  function away(x) {
    const dialog = document.getElementById("take-away");
    fill(dialog, "what", x.what);
    fill(dialog, "when", store.clock(x.sent, x));
    const take = async () => { await store.take(x.id); await show(); };
    asked(dialog, () => navigator.locks.request("deliver", take)); // not while it is being sent
  }

  function asked(dialog, go) {
    dialog.returnValue = "stay";
    dialog.addEventListener("close", () => { if (dialog.returnValue === "go") go(); }, {once: true});
    dialog.showModal();
  }

  // What a page says that asks or refuses.
  function told(html) {
    const page = new DOMParser().parseFromString(html, "text/html");
    const said = Array.from(page.querySelectorAll("main p[role=alert], main [role=alert] p + p, main [role=alert] li"), e => e.textContent.trim());
    if (said.length) return said.join("\n");
    return Array.from(page.querySelectorAll("main h1, main label, main h1 + p"), e => e.textContent.trim()).join("\n");
  }

  // Sends one; false where the server does not answer, or not to her: it waits. One on which
  // the server itself fails waits too, and holds up no other.
  async function send(x) {
    const answer = await fetch(x.path, {method: "POST", body: pairs(x), headers: {"X-Deliver": "1"}, redirect: "manual", signal: AbortSignal.timeout(30000)});
    if (answer.status >= 500) return true;
    if (answer.type === "opaqueredirect" || [401, 409, 429].includes(answer.status)) {
      document.querySelector("[data-sign-in]").hidden = answer.status !== 401;
      return false;
    }
    if (answer.ok && answer.headers.get("Content-Type") === "application/json") {
      if ((await answer.json()).charted !== x.token) return false;
      await store.take(x.id);
      await store.set("changed", Date.now());
      return true;
    }
    await store.put({...x, state: "back", said: told(await answer.text())});
    return true;
  }

  async function deliver() {
    await navigator.locks.request("deliver", {ifAvailable: true}, async lock => {
      if (!lock || !user) return;
      const own = (await store.queue()).filter(x => x.user === user && x.state === "waiting");
      for (const x of own) {
        if (!(await store.queue()).some(y => y.id === x.id)) continue; // taken away meanwhile
        try {
          if (!await send(x)) break;
        } catch {
          break;
        }
        await show();
      }
    });
  }

  // Who signs out with something unsent is asked. Nothing to be read stays in any case.
  // It is asked after the page's own question about what is typed.
  const out = document.querySelector("form.out");
  window.addEventListener("submit", async event => {
    if (event.target !== out || event.defaultPrevented) return;
    event.preventDefault();
    const all = await store.queue();
    const own = all.filter(x => x.user === user).length;
    const go = async () => {
      await store.wipe();
      if (all.length === 0) {
        const clear = document.createElement("input");
        clear.type = "hidden";
        clear.name = "nothing-waits";
        clear.value = "yes";
        out.append(clear);
      }
      out.submit();
    };
    if (own === 0) {
      go();
      return;
    }
    const dialog = document.getElementById("unsent-out") || 
      document.body.appendChild(document.getElementById("sign-out-asks").content.firstElementChild.cloneNode(true));
    fill(dialog, "count", entries(own));
    asked(dialog, go);
  });

  const keptNow = document.getElementById("kept-now");
  if (keptNow && location.hash === "#kept-now") keptNow.hidden = false;

  // What cannot wait and was not answered stays on its page.
  const unanswered = document.getElementById("unanswered");
  let sending;
  document.addEventListener("submit", event => {
    sending = new URL(event.target.action).pathname;
    unanswered.hidden = true;
  });
  navigator.serviceWorker.addEventListener("message", event => {
    if (event.data.unanswered !== sending) return;
    unanswered.hidden = false;
    unanswered.scrollIntoView({block: "center"});
    document.dispatchEvent(new CustomEvent("unanswered"));
  });
  document.addEventListener("answers", async () => {
    online = true;
    await deliver();
    await show();
  });
  document.addEventListener("silent", async () => {
    online = false;
    await show();
  });
  (async () => {
    const kept = root.dataset.offline ? await store.kept() : null;
    if (kept) user = kept.user;
    await show();
  })();
})();
