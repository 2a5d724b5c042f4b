// What is on this device for when the server does not answer, in IndexedDB, for pages and
// for the worker: what is kept to be read, what waits to be sent, and since when the server
// has not answered. Only what waits outlives a session.
"use strict";
const store = (() => {
  const stores = ["kept", "queue", "state"];

  function opened() {
    return new Promise((done, fail) => {
      const ask = indexedDB.open("cotline", 1);
      ask.onupgradeneeded = () => {
        for (const name of stores) ask.result.createObjectStore(name, name === "queue" ? {keyPath: "id", autoIncrement: true} : undefined);
      };
      ask.onsuccess = () => done(ask.result);
      ask.onerror = () => fail(ask.error);
    });
  }

  // What is written is on the disk before this ends.
  async function run(name, mode, work) {
    const db = await opened();
    try {
      return await new Promise((done, fail) => {
        const tx = db.transaction(name, mode, {durability: "strict"});
        const ask = work(tx.objectStore(name));
        tx.oncomplete = () => done(ask.result);
        tx.onerror = tx.onabort = () => fail(tx.error);
      });
    } finally {
      db.close();
    }
  }

  const get = async key => run("state", "readonly", s => s.get(key));
  const set = (key, value) => run("state", "readwrite", s => value === undefined ? s.delete(key) : s.put(value, key));

  // What is to be read goes; what waits to be sent stays.
  const wipe = () => run("kept", "readwrite", s => s.clear());

  // What is kept, null where nothing is. Past its limit, or with a clock set back before it
  // was kept, it is wiped.
  async function kept() {
    const k = await run("kept", "readonly", s => s.get("now"));
    if (!k) return null;
    const now = Date.now();
    if (now < k.limit && now > k.at - 300000) return k;
    await wipe();
    return null;
  }

  const keep = k => run("kept", "readwrite", s => s.put(k, "now"));
  const queue = () => run("queue", "readonly", s => s.getAll());
  const put = x => run("queue", "readwrite", s => s.put(x));
  const take = id => run("queue", "readwrite", s => s.delete(id));

  // The same sent twice waits once. What the server gave back is replaced by what was mended.
  async function wait(x) {
    const same = (await queue()).filter(y => y.token === x.token && y.user === x.user && y.path === x.path);
    if (same.some(y => y.body === x.body && y.state === "waiting")) return;
    const back = same.find(y => y.state === "back");
    await put(back ? {...x, id: back.id} : x);
  }

  // Since when the server has not answered: from the first time on.
  async function silent() {
    const since = await get("since");
    if (since) return since;
    const now = Date.now();
    await set("since", now);
    return now;
  }
  const answers = async () => { if (await get("since")) await set("since"); };

  // A moment of the device's clock, as the unit's shows it, with its day where that is
  // another. By is what tells the unit's zone, and how far the device's clock is ahead.
  function clock(ms, by) {
    const {zone, skew} = by || {};
    const told = (at, options) => new Intl.DateTimeFormat("en-GB", {timeZone: zone, ...options}).format(at - (skew || 0));
    const day = {weekday: "short", day: "numeric", month: "short"};
    const time = told(ms, {hour: "2-digit", minute: "2-digit", hour12: false});
    return told(ms, day) === told(Date.now(), day) ? time : told(ms, day) + " " + time;
  }

  return {get, set, wipe, kept, keep, queue, put, take, wait, silent, answers, clock};
})();
