// Works a whole shift in Chromium by pages alone, as two nurses would: admits twins who have
// no name yet, sets up, fits, makes rounds, rotates, looks at skin, tube and head, settles an
// alarm, corrects, moves what was charted on the wrong twin, hands over and takes over.
import {job, launch, must, say, shot as shotOf, tablet, watch} from "./kit.mjs";

const browser = await launch();
const shot = (page, name) => shotOf(page, "shift-" + name);
const ward = job.unit + "/ward";

// Each nurse has a tablet of her own, and signs in anew when her session ended.
async function nurse(name) {
  const page = await (await browser.newContext(tablet)).newPage();
  page.setDefaultTimeout(20000);
  watch(page, name);
  return {name, page};
}
async function open(who, where) {
  await who.page.goto(job.base + where);
  if (!new URL(who.page.url()).pathname.startsWith("/sign-in")) return;
  await who.page.fill("#name", who.name);
  await who.page.fill("#password", job.password);
  await who.page.press("#password", "Enter");
  await who.page.waitForURL(u => u.pathname === where);
}
const later = async minutes => { await fetch(job.clock + "?minutes=" + minutes); };

// A touch on what is named so; what stands behind "More" or a finding is opened first.
async function reveal(page, at) {
  while (!(await at.isVisible())) {
    const shut = await page.locator("details:not([open])", {has: at}).first().elementHandle();
    await (await shut.$(":scope > summary")).tap();
    await page.waitForFunction(d => d.open, shut); // another touch would shut it again
  }
}
async function fill(page, fields) {
  for (const [name, value] of fields) {
    const at = page.locator(`[name="${name}"]`).first();
    const kind = await at.getAttribute("type");
    if (kind === "radio" || kind === "checkbox") {
      const tap = page.locator(`label.tap:has([name="${name}"][value="${value}"])`).first();
      await reveal(page, tap);
      await tap.tap();
    } else {
      await reveal(page, at);
      await at.fill(value);
    }
  }
}
async function whoIs(page, label) {
  if (await page.locator("#digits").count() === 0) return;
  await page.waitForFunction(() => document.activeElement.id === "digits"); // a scanner types where the focus is
  await page.keyboard.type(label);
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => !document.querySelector("#digits"));
}
async function send(page, button = "form.sheet button.go") {
  await page.locator(button).first().tap();
}

// Charts on a sheet, by way of the infant's page.
async function chart(who, infant, sheet, ...fields) {
  const page = who.page;
  await open(who, ward);
  await page.locator(".line h3 a").filter({hasText: infant.cot}).first().tap();
  await page.waitForURL(u => u.pathname.includes("/infants/"));
  const link = page.locator(`nav.chart a[href$="/chart/${sheet}"]`);
  if (await link.count() === 0) {
    await page.locator("nav.chart a:has-text('Chart something else')").tap();
    await page.waitForURL(u => u.pathname.endsWith("/chart"));
  }
  await page.locator(`main a[href$="/chart/${sheet}"]`).first().tap();
  await page.waitForURL(u => u.pathname.endsWith("/chart/" + sheet));
  await whoIs(page, infant.label);
  must((await page.textContent(".head.chart")).includes(infant.cot), sheet + ": the cot is out of sight");
  await fill(page, fields);
  await send(page);
  const there = await page.waitForURL(u => u.pathname.includes("/charted/")).catch(() => null);
  if (there === null && !page.url().includes("/charted/")) say({fault: sheet + " was not taken: " + (await page.textContent("main")).replace(/\s+/g, " ").slice(0, 600)});
  say({step: sheet});
}

async function admit(who, infant, order) {
  const page = who.page;
  await open(who, ward);
  await page.locator("a:has-text('Admit an infant')").tap();
  await page.waitForURL(u => u.pathname.endsWith("/admission"));
  await fill(page, [["admission.born.time", infant.born], ["admission.born.day", job.day], ["admission.cot", infant.cot], ["admission.temporary", infant.label],
    ["admission.sex", "female"], ["admission.gestation", "27+4"], ["admission.birthWeightG", infant.birthWeight], ["admission.birthOrder", order],
    ["admission.multiples", "2"], ["admission.mother", "mo-7"], ["admission.from", "delivery room"]]);
  await send(page);
  await page.waitForURL(u => u.pathname.includes("/charted/"));
  infant.path = new URL(page.url()).pathname.replace(/\/charted\/.*/, "");
  say({step: "admission"});
}

const first = {cot: "Fern 1", label: "MW-31-A", born: "17:05", birthWeight: "980"};
const second = {cot: "Fern 2", label: "MW-31-B", born: "17:11", birthWeight: "1040"};
const steps = (await (await fetch(job.clock + "?minutes=0")).json()).steps;
const sites = ["septum", "columella", "naris-left", "naris-right", "bridge", "philtrum", "cheek-left", "cheek-right", "forehead", "ear-left", "ear-right", "occiput"];
const seen = sites.map(site => ["skin.seen", site]);

const out = await nurse(job.out);
await open(out, ward);
must((await out.page.textContent("main")).includes("No infant is here"), "an empty ward does not say so");
await admit(out, first, "1");
await later(2);
await admit(out, second, "2");
for (const infant of [first, second]) {
  await later(3);
  await chart(out, infant, "set-up", ["circuit.action", "fitted"], ...steps.map((_, i) => [`setup.steps.${i}.done`, "yes"]), ["humidifier.state", "on"],
    ["humidifier.chamberC", "36.9"], ["humidifier.water", "ok"], ["calibration.points.0.readPercent", "21.2"], ["calibration.points.1.readPercent", "99.4"], ["seal.held", "yes"]);
  await later(1);
  await chart(out, infant, "support", ["support.state", "started"], ["support.mode", "cpap"], ["support.driver", infant === first ? "ax-1" : "ax-2"], ["support.why", "from birth"]);
  await chart(out, infant, "settings", ["settings.pressureCmH2O", "6"], ["settings.fio2Percent", infant === first ? "30" : "25"], ["settings.flowLMin", "8"], ["settings.spo2LowPercent", "90"], ["settings.spo2HighPercent", "94"]);
  await later(1);
  await chart(out, infant, "face", ...seen, ["skin.intact", "yes"], ["interface.on", "mask|pea"], ["interface.fit", "sealed"], ["interface.reason", "first"]);
}
await chart(out, first, "safety-check", ...["bag-and-mask", "suction", "oxygen", "name-bands"].map((_, i) => [`safety.items.${i}.ok`, "yes"]));
await chart(out, first, "gastric-tube", ["tube.action", "placed"], ["tube.use", "feeding"], ["tube.route", "oral"], ["tube.sizeFr", "6"], ["tube.markCm", "15.0"], ["tube.ph", "4.5"], ["tube.aspirate", "got"]);
await chart(out, first, "measure", ["head.circumferenceCm", "25.0"], ["weight.weightG", "1080"], ["bonnet.action", "fitted"], ["bonnet.size", "petal"]);

// What was read off the scale was 980: the entry is corrected where it stands.
await open(out, first.path);
await out.page.locator("a.button:has-text('Entries, with who and when')").tap();
await out.page.waitForURL(u => u.pathname.endsWith("/entries"));
await out.page.locator(".timeline li", {hasText: "1080"}).first().locator("a:has-text('Correct')").tap();
await out.page.waitForURL(u => u.pathname.endsWith("/correct"));
await whoIs(out.page, first.label);
await fill(out.page, [["weight.weightG", "985"], ["reason", "the scale was read wrong"]]);
await send(out.page);
await out.page.waitForURL(u => u.pathname.includes("/charted/"));
say({step: "correction"});

// Rounds of an hour; as before is a touch a group.
const round = async (infant, spo2, heart, breaths, ...more) => chart(out, infant, "round", ["observations.spo2Percent", spo2], ["observations.heartRateBpm", heart],
  ["observations.respRateBpm", breaths], ["interface.before", "yes"], ...more);
await later(60);
await round(first, "92", "156", "58", ["settings.before", "yes"]);
await round(second, "93", "149", "52", ["settings.before", "yes"], ["humidifier.chamberC", "37.0"], ["humidifier.water", "ok"]);
await later(60);
await round(first, "88", "161", "64", ["settings.fio2Percent", "34"]);
await shot(out.page, "charted");

// An alarm: causes in order, until one is found.
await later(20);
await chart(out, first, "alarm-now", ["alarm.about", "low-pressure"], ["alarm.tried.low-pressure.0.found", "no"], ["alarm.tried.low-pressure.1.found", "no"],
  ["alarm.tried.low-pressure.2.found", "yes"], ["alarm.action", "hose joined again"], ["alarm.settledAt.now", "yes"]);

// The first twin's round is charted on the second, and moved to where it belongs.
await later(40);
await chart(out, second, "round", ["observations.spo2Percent", "87"], ["observations.heartRateBpm", "170"]);
const wrong = (await (await fetch(job.clock + "?minutes=0")).json()).clock;
await later(5);
await open(out, second.path + "/wrong-infant");
await whoIs(out.page, second.label);
await fill(out.page, [["to", first.path.split("/").pop()], ["since.time", wrong], ["until.time", wrong], ["reason", "the other twin"]]);
await send(out.page, "form.sheet button.go");
await out.page.waitForSelector("text=These move, all or none");
must((await out.page.locator("ol.said li").count()) === 1, "not the one entry would move");
await shot(out.page, "wrong-twin");
await out.page.locator("button[name=sure]").tap();
await out.page.waitForURL(u => !u.pathname.endsWith("/wrong-infant"));
say({step: "wrong twin"});

// Rotation with the skin of every site; one site blanches.
await later(150);
await chart(out, first, "face", ...seen, ["skin.intact", "yes"], ["skin.bridge.finding", "blanching"], ["interface.on", "prongs|reed"], ["interface.fit", "sealed"], ["interface.reason", "rotation"]);
await later(60);
await chart(out, first, "gastric-tube", ["tube.action", "checked"], ["tube.use", "feeding"], ["tube.markCm", "13.8"], ["tube.ph", "5.0"], ["tube.aspirate", "got"]);
await round(first, "91", "150", "60", ["settings.before", "yes"]);
await later(100);
await round(second, "94", "146", "50", ["settings.fio2Percent", "23"]);
await chart(out, first, "outlook", ["outlook.severity", "watcher"], ["outlook.callFor", "any bagging"]);

// A round sent as it is shown adds nothing.
await open(out, second.path);
await out.page.locator("nav.chart a:has-text('Round')").tap();
await out.page.waitForURL(u => u.pathname.endsWith("/chart/round"));
await whoIs(out.page, second.label);
await send(out.page);
await out.page.waitForSelector("#problem");
say({step: "nothing touched"});
await open(out, ward);
await out.page.locator(".line").first().waitFor();
await shot(out.page, "ward");

// Handed over by the one, taken over by the other on her own tablet.
await later(20);
await open(out, job.unit + "/handover");
await out.page.locator("a.button:has-text('Review and sign')").tap();
await out.page.waitForURL(/review/);
for (const infant of [first, second]) {
  const box = out.page.locator(`[name=infant][value="${infant.path.split("/").pop()}"]`);
  if (!(await box.isChecked())) await out.page.locator(`label.tap:has([name=infant][value="${infant.path.split("/").pop()}"])`).tap();
}
await out.page.locator(`label.tap:has([name=to][value="${job.in}"])`).tap();
await out.page.locator("button.go:has-text('Sign')").tap();
await out.page.waitForURL(u => /handover\/[0-9a-f-]{36}$/.test(u.pathname));
say({step: "signed"});

const back = await nurse(job.in);
await later(5);
await open(back, ward);
await back.page.locator(".handing a:has-text('Take over')").first().tap();
for (const infant of [first, second]) {
  await back.page.waitForURL(u => u.pathname.endsWith(infant.path.split("/").pop()));
  await whoIs(back.page, infant.label);
  for (const value of await back.page.locator("[name=confirmed]").evaluateAll(all => all.map(e => e.value))) {
    if (infant === first || value !== "skin") await back.page.locator(`label.tap:has([name=confirmed][value=${value}])`).tap();
  }
  await back.page.locator("label.tap:has([name=readBack][value=yes])").tap();
  if (infant === first) await back.page.fill("#asked", "Tube at 13.8, placed at 15.0: to be replaced before the feed. Yes.");
  await send(back.page);
  if (infant === second) {
    await back.page.waitForSelector("text=Not ticked:");
    await send(back.page);
  }
  say({step: "accepted"});
}
await back.page.waitForURL(u => /handover\/[0-9a-f-]{36}$/.test(u.pathname));
await open(back, ward);
must((await back.page.locator(".handing .cots").count()) === 0, "something is still not accepted");
must((await back.page.textContent(".line >> nth=0")) !== "", "the ward is empty");
await shot(back.page, "taken");
await back.page.locator(".line h3 a").first().tap();
await back.page.waitForURL(u => u.pathname.includes("/infants/"));
await shot(back.page, "infant");
say({end: true});
await browser.close();
