// Goes on with a shift in Chromium while the server does not answer, as a nurse would, with
// a profile that stays when the browser is closed; what stands between browser and server is
// told to be down, up, or to cut the next answer off. Looks at the pages with axe-core in
// both themes.
import {job, launch, launchKept, look as lookAt, must, say, shot, signIn as signInBy, tablet, watch as watchFor} from "./kit.mjs";

const net = async mode => { await fetch(job.gate + "/" + mode, {method: "POST"}); };
const watch = (page, name) => watchFor(page, name, {expected: /status of [45]|net::ERR|WorkerContext|Failed to fetch/});

async function open() {
  const context = await launchKept(job.profile, tablet);
  const page = context.pages()[0] || await context.newPage();
  watch(page, "tablet");
  return {context, page};
}

const signIn = (page, name) => signInBy(page, name, where => visit(page, where));

// A page that is opened while the one before goes back to the server by itself is opened again.
async function visit(page, where) {
  for (let i = 0; ; i++) {
    try {
      return await page.goto(where);
    } catch (e) {
      if (i === 3 || !/ERR_ABORTED|interrupted by another/.test(e.message)) throw e;
    }
  }
}

const held = page => page.evaluate(async () => ({kept: await store.kept(), queue: await store.queue()}));

// What holds at once or soon. A page may go back to the server meanwhile, by itself.
async function soon(what, is) {
  for (let i = 0; i < 150; i++) {
    try {
      if (await is()) return true;
    } catch (e) {
      if (!/context was destroyed/.test(e.message)) throw e;
    }
    await new Promise(done => setTimeout(done, 100));
  }
  say({fault: "not so after 15 s: " + what});
  return false;
}

// Everything of this origin that the browser stores, as text.
const stored = page => page.evaluate(async () => {
  let out = JSON.stringify(await store.kept() || "");
  for (const name of await caches.keys()) for (const key of await (await caches.open(name)).keys()) out += key.url + "\n" + await (await caches.match(key)).text();
  return out + JSON.stringify({...localStorage}) + JSON.stringify({...sessionStorage});
});

const windows = [{name: "tablet", theme: "dark", width: 820, height: 1100}, {name: "desk", theme: "light", width: 1280, height: 1100},
  {name: "zoomed", theme: "light", width: 410, height: 1100}];
async function look(page, name) {
  await lookAt(page, name, windows);
  await page.emulateMedia({colorScheme: tablet.colorScheme});
  await page.setViewportSize(tablet.viewport);
}

// Charts one reading on an open form, as the page is.
async function chart(page, infant, spo2, digits) {
  await visit(page, job.base + infant + "/chart/round");
  if (digits) await page.fill("#digits", digits);
  await page.fill("[name='observations.spo2Percent']", spo2);
  await page.locator("form.sheet button.go").tap();
}

async function waits(page, n) {
  await page.waitForURL(u => u.pathname === "/waiting");
  must(await page.isVisible("#kept-now"), "it is not said that it is kept");
  await soon(n + " wait", async () => (await page.locator("#queue li").count()) === n);
}

let {context, page} = await open();
await signIn(page, "nurse");
// Online: an infant of each sort becomes hers.
await visit(page, job.base + job.plain + "/chart/round");
await page.fill("[name='observations.spo2Percent']", "95");
await page.locator("form.sheet button.go").tap();
await page.waitForURL(/charted/);
await visit(page, job.base + job.alike + "/chart/round");
await page.fill("#digits", job.digits);
await page.keyboard.press("Enter");
await page.waitForSelector("[name='observations.spo2Percent']");
await page.fill("[name='observations.spo2Percent']", "95");
await page.locator("form.sheet button.go").tap();
await page.waitForURL(/charted/);
await soon("what was charted last is kept at once", async () => { const k = (await held(page)).kept; return k && k.pages[job.plain] && k.pages[job.alike]; });

must(!(await page.isVisible("#offline")), "it says offline while it is not");

// The page that is open says that the server does not answer.
await net("down");
await page.evaluate(() => window.dispatchEvent(new Event("offline")));
await soon("an open page says that it is offline", () => page.isVisible("#offline"));
must(/OFFLINE since \d\d:\d\d/.test(await page.textContent("#offline")), "it does not say since when");
await look(page, "open-page");

// Reading: the infant, the ward, and one that was not kept.
await visit(page, job.base + job.plain);
const banner = await page.textContent(".offline");
must(/OFFLINE since \d\d:\d\d/.test(banner) && /compiled at/.test(banner), "the page that is kept says " + banner);
must((await page.textContent("main")).includes("In short"), "no short form");
await look(page, "kept-infant");
await visit(page, job.base + "/");
must((await page.locator(".ward .line").count()) === 2, "not both of her infants");
await look(page, "kept-ward");
await visit(page, job.base + job.ward + "/../infants/none");
must((await page.textContent("h1")).includes("On this device"), "what was not kept is not said");
await visit(page, job.base + job.ward + "/../handover");
await soon("what is kept is told of", () => page.isVisible("#is-kept"));

// Charting: two of one form, a value that is refused, one that is doubted, a look-alike with
// its digits and with wrong ones, and the same one sent twice.
await chart(page, job.plain, "91");
await waits(page, 1);
await chart(page, job.plain, "90");
await waits(page, 2);
await page.goBack();
await page.waitForSelector("form.sheet");
await page.goForward();
await waits(page, 2);
await chart(page, job.plain, "999");
await waits(page, 3);
await visit(page, job.base + job.plain + "/chart/measure");
await page.fill("[name='weight.weightG']", job.doubtful);
await page.locator("form.sheet button.go").tap();
await waits(page, 4);
await visit(page, job.base + job.alike + "/chart/round");
must(!(await page.textContent("main")).includes(job.number), "the number stands beside the question for it");
await look(page, "kept-form");
await chart(page, job.alike, "89", job.digits);
await waits(page, 5);
await chart(page, job.alike, "88", "000");
await waits(page, 6);
await look(page, "waiting");
must((await page.textContent("#unsent-note")).includes("6 entries"), "not all are counted");
must(/SpO2 % 91/.test(await page.locator("#queue li").first().textContent()), "what was typed is not told");

// The browser is closed and opened again, still without the server.
await context.close();
({context, page} = await open());
await visit(page, job.base + job.plain);
must((await page.textContent(".offline")).includes("OFFLINE since"), "after the browser was closed nothing is kept");
await soon("what waits is counted", async () => (await page.textContent("#unsent-note")).includes("6 entries"));
const queue = (await held(page)).queue;
say({queue: queue.map(x => ({token: x.token, path: x.path, body: x.body, sent: x.sent, user: x.user}))});

// The server answers: nobody is signed in. Another nurse comes first, and sends nothing.
await net("up");
await visit(page, job.base + job.ward);
await page.waitForURL(/sign-in/);
await soon("whose entries wait is said", async () => (await page.textContent("#others-note")).includes("6 entries of nurse"));
await soon("nothing stays to be read", async () => !(await held(page)).kept);
await look(page, "sign-in");
await signIn(page, "charge");
await soon("hers is kept, if anything", async () => ((await held(page)).kept || {}).user === "charge"); // what waits is tried after that
await page.waitForTimeout(1500);
must((await held(page)).queue.length === 6, "another nurse sent, or lost, what waited");
must(!JSON.stringify((await held(page)).kept || "").includes(job.plain), "what is another's can be read");
await page.locator("form.out button").tap();
await page.waitForURL(/sign-in/);
await soon("it waits on after another signed out", async () => (await held(page)).queue.length === 6);

// Its own nurse signs in: what can be taken is, the rest comes back with what she typed.
await signIn(page, "nurse");
await soon("all is delivered", async () => (await held(page)).queue.every(x => x.state === "back") && (await held(page)).queue.length === 3);
await visit(page, job.base + "/waiting");
await soon("three came back", async () => (await page.locator("#queue li.back").count()) === 3);
await look(page, "came-back");
const item = text => page.locator("#queue li", {hasText: text}).locator("[data-open]");
await item("999").first().tap().catch(() => {});
must(await page.waitForSelector("[name='observations.spo2Percent'][value='999']", {timeout: 8000}).catch(() => null), "what was refused is not on the form");
await shot(page, "refused-form");
await page.fill("[name='observations.spo2Percent']", "93");
await page.locator("form.sheet button.go").tap();
await page.waitForURL(/charted/);
await visit(page, job.base + "/waiting");
await soon("two are left", async () => (await page.locator("#queue li.back").count()) === 2);
await item("Weekly measuring").tap();
await page.waitForSelector("text=Is that so?");
await page.locator("button[name=sure]").tap();
await page.waitForURL(/charted/);
await visit(page, job.base + "/waiting");
await soon("one is left", async () => (await page.locator("#queue li.back").count()) === 1);
await item("Round").first().tap();
await page.waitForSelector("#digits-fault");
await page.fill("#digits", job.digits);
await page.keyboard.press("Enter");
await page.waitForURL(/charted/);
await visit(page, job.base + "/waiting");
await soon("none is left", async () => (await held(page)).queue.length === 0);
say({step: "delivered"});

// The server took it, and its answer never came.
await visit(page, job.base + job.plain + "/chart/round");
await page.fill("[name='observations.spo2Percent']", "94");
await net("cut");
await page.locator("form.sheet button.go").tap();
await waits(page, 1);
await net("up");
await visit(page, job.base + job.ward);
await soon("it is delivered again, and waits no more", async () => (await held(page)).queue.length === 0);
say({step: "cut"});

// The session ended while she typed.
await visit(page, job.base + job.plain + "/chart/round");
await page.fill("[name='observations.spo2Percent']", "84");
await context.clearCookies();
await page.locator("form.sheet button.go").tap();
await page.waitForURL(/sign-in/);
await soon("it waits for her", async () => (await page.textContent("#others-note")).includes("1 entry of nurse"));
await signIn(page, "nurse");
await soon("it is delivered when she is back", async () => (await held(page)).queue.length === 0);

// What cannot wait stays on its page with what was typed, and may be sent again.
await visit(page, job.base + job.ward + "/../handover/review");
await page.fill("#other", "charge");
await net("down");
await page.locator("button.go:has-text('Sign')").tap();
await soon("it is said that it was not answered", () => page.isVisible("#unanswered"));
must(new URL(page.url()).pathname.endsWith("/handover/review") && await page.inputValue("#other") === "charge", "what was typed and cannot wait is lost");
await net("up");
await page.locator("button.go:has-text('Sign')").tap();
await page.waitForSelector("text=choose the infants that you hand over");

// What the server fails on holds up no other.
await net("down");
await chart(page, job.plain, "83");
await waits(page, 1);
await chart(page, job.plain, "82");
await waits(page, 2);
await net("fail-83");
await visit(page, job.base + job.ward);
await soon("the other is delivered", async () => (await held(page)).queue.length === 1);
await net("up");
await visit(page, job.base + job.ward);
await soon("it is delivered when the server can", async () => (await held(page)).queue.length === 0);

// Two tablets.
const browser = await launch();
const other = await (await browser.newContext(tablet)).newPage();
watch(other, "other tablet");
await signIn(other, "charge");
await visit(other, job.base + job.plain + "/chart/round");
await other.evaluate(() => navigator.serviceWorker.ready);
await other.reload();
await visit(page, job.base + job.plain + "/chart/round");
await other.fill("[name='observations.spo2Percent']", "87");
await page.fill("[name='observations.spo2Percent']", "86");
await net("down");
await Promise.all([other.locator("form.sheet button.go").tap(), page.locator("form.sheet button.go").tap()]);
await Promise.all([waits(page, 1), other.waitForURL(u => u.pathname === "/waiting")]);
await net("up");
await Promise.all([visit(other, job.base + job.ward), visit(page, job.base + job.ward)]);
await soon("both tablets' are delivered", async () => (await held(page)).queue.length === 0 && (await held(other)).queue.length === 0);
await browser.close();
say({step: "two tablets"});

// Past the limit nothing is to be read, though the server does not answer.
await soon("it is kept", async () => (await held(page)).kept);
await net("down");
await page.evaluate(async () => { const k = await store.kept(); await store.keep({...k, limit: Date.now() + 1}); });
await visit(page, job.base + job.plain);
must((await page.textContent("h1")).includes("On this device"), "past the limit it can be read");
await soon("past the limit nothing is stored", async () => !(await stored(page)).includes(job.name));
await net("up");

// Who signs out with something unsent is asked; nothing to be read stays, what waits does.
await visit(page, job.base + job.ward);
await soon("it is kept again", async () => (await held(page)).kept);
must((await stored(page)).includes(job.name), "the search for a name finds none in any case");
await visit(page, job.base + job.plain + "/chart/round");
await page.fill("[name='observations.spo2Percent']", "85");
await net("down");
await page.locator("form.sheet button.go").tap();
await waits(page, 1);
await net("up-not-sheets");
await visit(page, job.base + job.ward);
await page.locator("form.out button").tap();
await page.waitForSelector("#unsent-out[open]");
await look(page, "sign-out-asks");
await page.locator("#unsent-out button[value=stay]").tap();
must(new URL(page.url()).pathname === job.ward, "signed out though she stayed");
await page.locator("form.out button").tap();
await page.locator("#unsent-out button[value=go]").tap();
await page.waitForURL(/sign-in/);
await soon("what waits is still there", async () => (await held(page)).queue.length === 1);
must(!(await stored(page)).includes(job.name), "after signing out a name is stored");
await net("up");
await signIn(page, "nurse");
await soon("it is delivered", async () => (await held(page)).queue.length === 0);
await soon("it is kept again", async () => (await held(page)).kept);

// Signing out while the server does not answer: nothing to be read, and signed out as soon
// as it answers.
await net("down");
await visit(page, job.base + job.plain);
await page.locator("form.out button").tap();
await page.waitForURL(u => u.pathname === "/waiting");
must(!(await stored(page)).includes(job.name), "after signing out without the server a name is stored");
await net("up");
await visit(page, job.base + job.ward);
await page.waitForURL(/sign-in/);

// One tablet goes from hand to hand by PIN, with nobody signing out: what the first nurse kept
// goes, and her form waits for her, neither shown to the second nor sent as hers.
const pins = {nurse: "730194", charge: "280413"};
async function setPIN(name) {
  await visit(page, job.base + "/account");
  await page.fill("#pin-password", job.password);
  await page.fill("#pin", pins[name]);
  await page.click("section[aria-labelledby=pin-of] button");
  await page.waitForSelector(".done");
}
async function changeTo(name) {
  await visit(page, job.base + "/sign-in");
  await page.check("input[type=radio][name=name][value=" + name + "]");
  await page.fill("#pin", pins[name]);
  await page.click("section[aria-labelledby=by-pin] button");
  await page.waitForURL(u => !u.pathname.startsWith("/sign-in"));
  must(await page.getAttribute("body", "data-user") === name, "it is not " + name + " who changed over");
}
await signIn(page, "charge");
await setPIN("charge");
await signIn(page, "nurse");
await setPIN("nurse");
await soon("it is kept for the first nurse", async () => ((await held(page)).kept || {}).user === "nurse");
await page.evaluate(async () => { const k = await store.kept(); await store.keep({...k, pages: {...k.pages, "/hers": "hers alone"}}); });
must((await stored(page)).includes("hers alone"), "the search for what is hers finds nothing in any case");
await net("up-not-sheets");
await chart(page, job.plain, "81");
await waits(page, 1);
const hers = (await held(page)).queue[0];
await changeTo("charge");
must(!(await stored(page)).includes("hers alone"), "what the first nurse kept is there for the second");
await net("up");
await soon("it is kept for the second", async () => ((await held(page)).kept || {}).user === "charge"); // what waits is tried after that
await visit(page, job.base + "/waiting");
await soon("the second is told whose waits", async () => (await page.textContent("#others-note")).includes("1 entry of nurse"));
await page.waitForTimeout(1500);
must((await page.locator("#queue li").count()) === 0 && !(await page.textContent("body")).includes("SpO2 % 81"), "the second is shown what the first filled in");
must(!(await page.isVisible("#unsent-note")) && !(await page.isVisible("#back-note")), "the first's is counted as the second's");
must((await held(page)).queue.length === 1, "the second sent, or lost, what the first filled in");
const refused = await page.evaluate(async x => (await fetch(x.path, {method: "POST", body: new URLSearchParams(x.body), headers: {"X-Deliver": "1"}})).status, hers);
must(refused === 409, "what the first filled in and the second sends is answered by " + refused);
await changeTo("nurse");
await soon("it is delivered when the first is back", async () => (await held(page)).queue.length === 0);
await page.locator("form.out button").tap();
await page.waitForURL(/sign-in/);
say({step: "changed by PIN"});

// Signing out with nothing waiting leaves nothing at all.
await signIn(page, "nurse");
await soon("it is kept once more", async () => (await held(page)).kept);
await page.locator("form.out button").tap();
await page.waitForURL(/sign-in/);
must(!(await stored(page)).includes(job.name), "after the last sign-out a name is stored");
await context.close();
say({end: true});
