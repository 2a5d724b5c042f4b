// Answers on the device while the server does not: pages that are kept, and for a form that
// charts, that it waits. What the server answers goes through as it is.
"use strict";
const cacheName = "cotline-" + version;
const patience = 10000; // ms after which the device answers, where it can
const longest = 45000; // ms for all else, as a PDF: more than the server takes for any answer
const sheet = /^\/units\/[^/]+\/(infants\/[^/]+\/)?chart\/[^/]+$/;

self.addEventListener("install", event => {
  const own = new Request("/waiting", {credentials: "omit", cache: "reload"});
  event.waitUntil(caches.open(cacheName).then(cache => cache.addAll([...files, own])).then(() => self.skipWaiting()));
});

self.addEventListener("activate", event => {
  event.waitUntil(caches.keys().then(names => Promise.all(names.filter(name => name !== cacheName).map(name => caches.delete(name))))
    .then(() => self.clients.claim()));
});

self.addEventListener("fetch", event => {
  const url = new URL(event.request.url);
  if (url.origin !== location.origin) return;
  if (event.request.mode === "navigate") event.respondWith(event.request.method === "POST" ? posted(event.request, url) : asked(event.request, url));
  else if (event.request.method === "GET" && url.pathname.startsWith("/static/")) event.respondWith(file(event.request, url));
});

// Where a browser stores nothing, all goes on as without this worker.
const quietly = doing => doing.catch(() => undefined);

// The server's answer; null where there is none, or a proxy's that there is none.
async function answered(request, wait = patience) {
  if (await quietly(store.get("leaving"))) await quietly(leave());
  const late = new Promise(done => { setTimeout(done, wait, null); });
  const answer = await Promise.race([fetch(request).catch(() => null), late]);
  if (!answer || [502, 503, 504].includes(answer.status)) {
    await quietly(store.silent());
    return null;
  }
  await quietly(store.answers());
  return answer;
}

// Who signed out while the server did not answer is signed out there before anything else.
async function leave() {
  const answer = await fetch("/sign-out", {method: "POST", body: new URLSearchParams(), redirect: "manual", signal: AbortSignal.timeout(patience)});
  if (answer.status < 500 && answer.status !== 429) await store.set("leaving");
}

async function asked(request, url) {
  const answer = await answered(request);
  if (answer && answer.ok) await quietly(charted(url.pathname));
  return answer || await offline(url.pathname);
}

// What came back, was opened and is charted now, waits no more.
async function charted(path) {
  const at = path.match(/\/charted\/([0-9a-f-]+)$/);
  const opened = at ? await store.get("opened") : undefined;
  const x = opened ? (await store.queue()).find(y => y.id === opened) : undefined;
  if (!x || x.token !== at[1]) return;
  await store.take(opened);
  await store.set("opened");
}

async function posted(request, url) {
  const charts = sheet.test(url.pathname);
  const form = charts ? new URLSearchParams(await request.clone().text()) : null;
  const now = Date.now();
  const proves = /^\/(sign-in|sign-out|link)(\/|$)/.test(url.pathname);
  const waits = charts && form.get("token") && form.get("sent.by") && !form.has("back") && !form.has("more");
  const answer = await answered(request, waits || proves ? patience : longest);
  if (proves) await quietly(store.wipe()); // whoever it is now
  else if (answer) await quietly(store.set("changed", now));
  if (answer && !(waits && answer.status === 401)) return answer; // 401: the session ended while she typed
  if (url.pathname === "/sign-out") {
    await store.set("leaving", true);
    return Response.redirect("/waiting", 303);
  }
  if (!waits) return stay(url.pathname);
  try {
    await wait(url.pathname, form, now);
  } catch {
    return answer || stay(url.pathname);
  }
  return Response.redirect(answer ? "/sign-in" : "/waiting#kept-now", 303);
}

// Leaves the page as it is, with what was typed, and has it say so.
async function stay(path) {
  for (const page of await self.clients.matchAll({type: "window"})) page.postMessage({unanswered: path});
  return new Response(null, {status: 204});
}

// Keeps a form as it was sent, with when that was.
async function wait(path, form, now) {
  const sent = Number(form.get("sent.device")) || now;
  const kept = await store.kept();
  const skew = form.has("sent.skew") ? Number(form.get("sent.skew")) : kept ? kept.skew : undefined;
  for (const name of ["sent.device", "sent.now", "sent.skew"]) form.delete(name);
  await store.wait({user: form.get("sent.by"), token: form.get("token"), path, body: form.toString(), what: form.get("what") || "", sent, skew,
    zone: kept ? kept.zone : undefined, state: "waiting"});
}

// A page that is kept, or the one that says what is on this device.
async function offline(path) {
  const since = await quietly(store.silent()) || Date.now();
  const kept = await quietly(store.kept());
  const cache = await caches.open(cacheName);
  const own = await cache.match("/waiting");
  if (!own) return Response.error();
  let html = kept && (kept.pages[path] || path === "/" && kept.pages[kept.home]);
  if (html) {
    html = html.replaceAll("@@since@@", store.clock(since, kept)).replaceAll("@@token@@", crypto.randomUUID());
  } else {
    const theme = kept ? kept.theme : "auto";
    html = (await own.text()).replace("<html lang=\"en\" data-theme=\"auto\"", "<html lang=\"en\" data-theme=\"" + theme + "\" data-offline=\"device\"")
      .replace("id=\"offline\" role=\"alert\" hidden", "id=\"offline\" role=\"alert\"")
      .replace("<span data-since></span>", "<span data-since>" + store.clock(since, kept) + "</span>");
  }
  const headers = new Headers(own.headers);
  for (const name of ["Content-Length", "Content-Encoding", "X-Request-Id", "Date"]) headers.delete(name);
  return new Response(html, {status: 200, headers});
}

// Files are the program's, and the same for as long as their address is.
async function file(request, url) {
  const cache = await caches.open(cacheName);
  const held = await cache.match(request);
  if (held) return held;
  try {
    return await fetch(request);
  } catch (fault) {
    const name = url.pathname.split("/").pop();
    const like = (await cache.keys()).find(key => key.url.endsWith("/" + name));
    if (like) return cache.match(like);
    throw fault;
  }
}
