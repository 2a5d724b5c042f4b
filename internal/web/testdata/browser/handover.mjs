// Hands over two infants in Chromium as two nurses would, one of whom is interrupted; and
// looks at the pages of handing over, and at the clerk's, with axe-core in both themes.
import {job, launch, look as lookAt, must, say, shot, signIn, tablet, watch} from "./kit.mjs";

const browser = await launch();

async function as(name) {
  const context = await browser.newContext(tablet);
  const page = await context.newPage();
  watch(page, name);
  await signIn(page, name);
  return {context, page};
}

// What is to be touched in a form: 15 mm at least, in lengths of CSS.
async function measure(page, name) {
  const bad = await page.evaluate(() => {
    const least = 15 * 96 / 25.4 - 0.6;
    return Array.from(document.querySelectorAll("main form a[href], main form button, main form label.tap, main form summary, main form input:not([type=hidden]):not([type=radio]):not([type=checkbox]), main form textarea"))
      .filter(e => e.checkVisibility()).map(e => ({e, r: e.getBoundingClientRect()})).filter(x => x.r.width > 0 && (x.r.width < least || x.r.height < least))
      .map(({e, r}) => `${(e.getAttribute("name") || e.textContent).trim().slice(0, 40)}: ${r.width.toFixed()} by ${r.height.toFixed()} px`);
  });
  for (const one of bad) say({fault: name + ": " + one});
}

// Each page as it is now, for who is signed in: in both themes, on a tablet, a desk and zoomed.
const windows = [{name: "tablet", theme: "dark", width: 820, height: 1000}, {name: "desk", theme: "light", width: 1600, height: 1000},
  {name: "zoomed", theme: "light", width: 410, height: 1000}];
async function look(who, name, where) {
  const context = await browser.newContext({storageState: await who.context.storageState(), bypassCSP: true});
  const page = await context.newPage();
  await page.goto(job.base + where);
  await lookAt(page, name, windows);
  await context.close();
}

const out = await as(job.out);
await look(out, "handover-before", job.unit + "/handover");
await out.page.goto(job.base + job.unit + "/ward");
await out.page.locator("nav a:text-is('Handover')").tap();
await out.page.locator("a.button:has-text('Review and sign')").tap();
await out.page.waitForURL(/review/);
await measure(out.page, "review");
await look(out, "review", job.unit + "/handover/review");
for (const infant of job.infants) await out.page.locator(`label.tap:has(input[name=infant][value="${infant}"])`).tap();
await out.page.locator("button.go:has-text('Sign')").tap();
await out.page.waitForSelector("text=Say who takes over");
must(await out.page.locator(`input[name=infant][value="${job.infants[0]}"]`).isChecked(), "the infants chosen were lost");
await out.page.fill("#other", job.in);
await out.page.locator("button.go:has-text('Sign')").tap();
await out.page.waitForURL(u => /handover\/[0-9a-f-]{36}$/.test(u.pathname));
const signed = new URL(out.page.url()).pathname;
must((await out.page.locator(".cots").count()) === 2, "not both infants wait to be accepted");
await look(out, "signed", signed);

const back = await as(job.in);
await back.page.goto(job.base + job.unit + "/ward");
must(await back.page.locator(".handing.open .cots").first().isVisible(), "the ward does not list what is not accepted");
await look(back, "ward-waiting", job.unit + "/ward");
await look(back, "handover-waiting", job.unit + "/handover");
await back.page.locator(".handing a:has-text('Take over')").first().tap();
await back.page.waitForURL(u => u.pathname.endsWith("/infants/" + job.infants[0]));
const first = new URL(back.page.url()).pathname;
await measure(back.page, "take over");
await look(back, "take-over", first);
async function ticks(page) {
  for (const value of await page.locator("[name=confirmed]:not(:checked)").evaluateAll(all => all.map(e => e.value))) await page.locator(`label.tap:has([name=confirmed][value=${value}])`).tap();
  await page.locator("label.tap:has([name=readBack][value=yes])").tap();
}
await back.page.locator("label.tap:has([name=confirmed][value=skin])").tap();
await back.page.locator("label.tap:has([name=readBack][value=yes])").tap();
await back.page.locator("form.sheet button.go").tap();
await back.page.waitForSelector("text=Not ticked:");
await shot(back.page, "unticked");
await ticks(back.page);
await back.page.fill("#asked", "Whose turn is the rotation? Hers, at nine.");
await back.page.locator("form.sheet button.go").tap();
await back.page.waitForURL(u => u.pathname.endsWith("/infants/" + job.infants[1]));
await back.page.close(); // interrupted

back.page = await back.context.newPage();
watch(back.page, "after an interruption");
await back.page.goto(job.base + job.unit + "/ward");
await back.page.locator(".handing a:has-text('Take over')").first().tap();
await back.page.waitForURL(u => u.pathname.endsWith("/infants/" + job.infants[1]));
await ticks(back.page);
await back.page.locator("form.sheet button.go").tap();
await back.page.waitForURL(u => u.pathname === signed);
must((await back.page.locator(".cots").count()) === 0, "something is still not accepted");
await look(back, "accepted", signed);
await back.page.goto(job.base + job.unit + "/ward");
must((await back.page.locator(".handing .cots:has-text('nurse to charge')").count()) === 0, "the ward still lists it");

// A page that renews itself keeps whom somebody chose to print, what she opened and where she is.
await back.page.goto(job.base + job.unit + "/handover");
await back.page.locator("#paper summary").tap();
const [mine, chosen] = await back.page.locator("#paper [name=infant]").evaluateAll(all => [all.find(e => e.checked).value, all.find(e => !e.checked).value]);
for (const infant of [mine, chosen]) await back.page.locator(`#paper label.tap:has([name=infant][value="${infant}"])`).tap();
await back.page.focus(`#paper [name=infant][value="${chosen}"]`);
await back.page.evaluate(() => {
  window.before = document.querySelector("#paper");
  document.dispatchEvent(new Event("visibilitychange"));
});
await back.page.waitForFunction(() => !document.contains(window.before));
must(await back.page.locator(`#paper [name=infant][value="${chosen}"]`).isChecked(), "whom somebody chose to print is lost when the page renews itself");
must(!(await back.page.locator(`#paper [name=infant][value="${mine}"]`).isChecked()), "whom somebody would not print comes back when the page renews itself");
must(await back.page.locator("#paper").evaluate(d => d.open), "what was open is shut when the page renews itself");
must(await back.page.evaluate(value => document.activeElement.value === value, chosen), "the focus is lost when the page renews itself");

// Paper, under its own strict policy: its style sheet holds.
await back.page.goto(job.base + signed);
await back.page.locator("#paper summary").tap();
await shot(back.page, "print-form");
await back.page.locator("#paper button[value=html]").tap();
await back.page.waitForSelector(".caution");
must(await back.page.evaluate(() => getComputedStyle(document.querySelector(".caution")).borderTopStyle === "solid"), "the page for paper has no style");
await shot(back.page, "paper");

const clerk = await as("clerk");
await look(clerk, "tables", job.unit + "/tables");
await look(clerk, "sheet", job.unit + "/sheet");
await clerk.page.goto(job.base + job.unit + "/sheet");
await clerk.page.setInputFiles("#file", {name: "night.csv", mimeType: "text/csv", buffer: Buffer.from(job.faulty)});
await clerk.page.locator("button.go:has-text('Send it')").tap();
await clerk.page.waitForSelector("text=Cells to mend");
await shot(clerk.page, "sheet-faults");
await shot(clerk.page, "page-sheet", job.keep, false);
say({end: true});
await browser.close();
