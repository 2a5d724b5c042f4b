// Charts by touch in Chromium on a tablet as a nurse would, counting touches and keys;
// measures what is to be touched; and looks at the pages of charting with axe-core in both
// themes.
import {job, launch, look, must, say, shot as shotOf, signIn, tablet, watch} from "./kit.mjs";

const browser = await launch();
const context = await browser.newContext(tablet);
const page = await context.newPage();
watch(page, job.name);
await signIn(page, job.name);

let taps = 0;
let keys = 0;
const tap = async where => { taps++; await page.locator(where).first().tap(); };
const key = async name => { keys++; await page.keyboard.press(name); };
const type = async text => { for (const c of text) await key(c); };
const count = name => { say({count: name, taps, keys}); taps = keys = 0; };
const shot = name => shotOf(page, name);
const arrives = async part => { await page.waitForURL(u => u.pathname.includes(part), {timeout: 20000}); };

// What is to be touched in the main part: 15 mm at least, 3 mm apart, in lengths of CSS.
async function measure(name) {
  const bad = await page.evaluate(() => {
    const mm = 96 / 25.4;
    const all = Array.from(document.querySelectorAll("main a[href], main button, main label.tap, main summary, main input:not([type=hidden]):not([type=radio]):not([type=checkbox]), main textarea"))
      .filter(e => !e.closest("dialog") && e.checkVisibility()).map(e => ({e, r: e.getBoundingClientRect()})).filter(x => x.r.width > 0);
    const called = e => (e.getAttribute("name") || e.textContent).trim().slice(0, 40);
    const out = [];
    for (const {e, r} of all) if (r.width < 15 * mm - 0.6 || r.height < 15 * mm - 0.6) out.push(`${called(e)}: ${r.width.toFixed()} by ${r.height.toFixed()} px`);
    for (let i = 0; i < all.length; i++) for (let j = i + 1; j < all.length; j++) {
      const a = all[i], b = all[j];
      if (a.e.contains(b.e) || b.e.contains(a.e)) continue;
      if (a.e.closest(".head.chart") || b.e.closest(".head.chart")) continue; // it stays, the rest moves under it
      const dx = Math.max(a.r.left - b.r.right, b.r.left - a.r.right), dy = Math.max(a.r.top - b.r.bottom, b.r.top - a.r.bottom);
      if (Math.max(dx, dy) < 3 * mm - 0.6) out.push(`${called(a.e)} and ${called(b.e)}: ${Math.max(dx, dy).toFixed(1)} px apart`);
    }
    return out;
  });
  for (const one of bad) say({fault: name + ": " + one});
}

// A routine round: settings and interface as before, three readings.
await page.goto(job.base + job.infant);
await shot("infant");
await tap("nav.chart a:has-text('Round')");
await arrives("/chart/round");
await shot("round");
await measure("round");
await tap(".before:has([name='settings.before']) label");
await tap(".before:has([name='interface.before']) label");
await tap("[name='observations.spo2Percent']");
await page.waitForFunction(() => document.activeElement.name === "observations.spo2Percent");
await type("92");
await key("Enter");
await type("148");
await key("Enter");
await type("52");
await shot("round-filled");
await tap("form.sheet button.go");
await arrives("/charted/");
count("routine round");
must((await page.textContent("main")).includes("92"), "what was charted is not shown");
await shot("charted");
await measure("charted");
await tap(".taken button"); // to an address like the one it is on
must(await page.waitForSelector("main:has-text('Undone:')", {timeout: 20000}).catch(() => null), "nothing was undone");
count("undo");

// Change of interface, five sites seen and intact.
await page.goto(job.base + job.infant);
await tap("nav.chart a:has-text('Change of interface')");
await arrives("/chart/face");
await shot("face");
await measure("face");
for (const site of ["bridge", "septum", "cheek-left", "cheek-right", "philtrum"]) await tap(".at-" + site);
await tap(".all");
await tap(".tap:has([name='interface.on'][value^='prongs|'])");
await shot("face-filled");
await tap("form.sheet button.go");
await arrives("/charted/");
count("change of interface, skin of five sites");

// A site that is not intact, by the keyboard alone.
await page.goto(job.base + job.infant + "/chart/face");
await page.focus("[value=septum]");
await page.keyboard.press("Space");
must(await page.isVisible(".of-septum summary"), "the findings of a site that was marked do not show");
must(!(await page.isVisible(".of-bridge summary")), "the findings of a site that was not marked show");
await page.focus(".of-septum summary");
await page.keyboard.press("Enter");
await page.focus("[name='skin.septum.finding']:checked");
await page.keyboard.press("ArrowDown");
await page.keyboard.press("ArrowDown");
await page.keyboard.press("ArrowDown");
await shot("face-finding");
await measure("face, findings open");
await page.focus("form.sheet button.go");
await page.keyboard.press("Enter");
await arrives("/charted/");
must((await page.textContent("main")).includes("septum"), "the finding was not taken by keyboard");

// Who leaves with something unsent is asked.
await page.goto(job.base + job.infant + "/chart/round");
await page.fill("[name='observations.spo2Percent']", "90");
await page.locator(".crumb a").tap();
must(await page.waitForSelector("dialog.unsent", {timeout: 20000}).catch(() => null), "nobody asks before what is unsent is lost");
await shot("unsent");
await page.locator("dialog button[value=stay]").tap();
must(await page.inputValue("[name='observations.spo2Percent']") === "90", "what was typed is lost");
// What is in doubt, and what is wrong.
await page.fill("[name='observations.heartRateBpm']", "1480");
await page.locator("form.sheet button.go").tap();
await page.waitForSelector("#problem");
await shot("faults");
await measure("faults");
must(await page.inputValue("[name='observations.spo2Percent']") === "90", "what was typed is lost by a fault");
await page.locator(".crumb a").tap();
await page.locator("dialog button[value=go]").tap();
await page.waitForURL(u => u.pathname === job.infant);

// Another infant who looks alike: a scanner types the number, Enter ends it.
await page.goto(job.base + job.alike + "/chart/round");
await shot("who");
await measure("who");
await page.waitForFunction(() => document.activeElement.id === "digits");
await type(job.digits);
await key("Enter");
await page.waitForSelector("[name='observations.spo2Percent']");
await shot("alike");
must((await page.textContent(".head.chart")).includes("LOOK-ALIKE"), "the look-alike is not told while charting");
await page.evaluate(() => window.scrollTo(0, document.body.scrollHeight));
const head = await page.locator(".head.chart").boundingBox();
must(head !== null && head.y >= -1 && head.y < 5, "who is charted scrolls out of sight");

await page.goto(job.base + job.infant + "/chart/measure");
await page.fill("[name='head.circumferenceCm']", "39.5");
await page.locator("form.sheet button.go").tap();
await page.waitForSelector("text=Is that so?");
await shot("sure");
await measure("sure");
const sure = await page.content();
must(sure.includes("39.5"), "what would be charted is not shown");

for (const name of job.sheets) {
  await page.goto(job.base + job.infant + "/chart/" + name);
  await measure(name);
  if (["set-up", "alarm-now", "measure", "safety-check", "gastric-tube"].includes(name)) await shot(name);
}
await page.goto(job.base + job.infant + "/chart/alarm-now");
await page.locator(".tap:has([value='low-pressure'])").first().tap();
must(await page.waitForSelector(".about-low-pressure", {timeout: 20000}).catch(() => null), "the causes of the alarm do not show");
must(!(await page.isVisible(".about-oxygen")), "the causes of another alarm show");
await shot("alarm-causes");
await measure("alarm, causes");
await page.goto(job.base + job.infant + "/chart");
await shot("menu");
await measure("menu");
await page.goto(job.base + job.infant + "/wrong-infant");
await shot("wrong-infant");
await measure("wrong-infant");
const storageState = await context.storageState();
await context.close();

const windows = [{name: "light", theme: "light", width: 820, height: 800}, {name: "dark", theme: "dark", width: 820, height: 800},
  {name: "zoomed", theme: "light", width: 410, height: 800}];
const other = await (await browser.newContext({storageState, bypassCSP: true})).newPage();
for (const where of [...job.kinds.map(s => job.infant + "/chart/" + s), job.infant + "/chart", job.alike + "/chart/round", job.infant + "/wrong-infant", job.unit + "/chart", job.unit + "/chart/admission"]) {
  await other.goto(job.base + where);
  await look(other, where.split("/").slice(-2).join("-"), windows);
}
say({end: true});
await browser.close();
