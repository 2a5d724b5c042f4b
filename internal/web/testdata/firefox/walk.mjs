// Goes through a shift in Firefox as it comes, in a dark theme: signs in, charts a round and
// skin by the map, corrects, hands over and takes over, and charts while the server does not
// answer. Job and lines are those of the scripts that drive Chromium.
import fs from "node:fs";
import {createRequire} from "node:module";
import path from "node:path";
import {pathToFileURL} from "node:url";

const job = JSON.parse(fs.readFileSync(0, "utf8"));
const puppeteer = (await import(pathToFileURL(createRequire(path.join(job.modules, "walk")).resolve("puppeteer-core")))).default;
const say = line => console.log(JSON.stringify(line));
const must = (yes, what) => { if (!yes) say({fault: what}); };

const dark = {"layout.css.prefers-color-scheme.content-override": 0};
const browser = await puppeteer.launch({browser: "firefox", executablePath: job.firefox, headless: true, userDataDir: job.profile, extraPrefsFirefox: dark});
const page = await browser.newPage();
await page.setViewport({width: 820, height: 1180});
page.on("pageerror", e => say({fault: "script: " + e.message}));
page.on("console", m => { if (m.type() === "error") say({fault: "console: " + m.text()}); });

const open = where => page.goto(job.base + where, {timeout: 60000});
const on = doing => Promise.all([page.waitForNavigation({timeout: 60000}), doing()]);
const tap = async where => { const e = await page.waitForSelector(where); await e.scrollIntoView(); await e.click(); };
const send = () => on(() => tap("form.sheet button.go"));
const says = async (text, what) => must((await page.$eval("body", e => e.innerText)).includes(text), what);
async function step(name) {
  say({step: name});
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  must(wide <= 0, `${name}: ${wide} px wider than the screen`);
  const paper = await page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor);
  must(paper === "rgb(16, 19, 22)", `${name}: not dark: ${paper}`);
  if (job.shots) await page.screenshot({path: path.join(job.shots, `firefox-${name}.png`)});
}
async function signIn(name) {
  await open("/sign-in");
  await page.type("#name", name);
  await page.type("#password", job.password);
  await on(() => page.click("section[aria-labelledby=by-password] button"));
}

await signIn(job.out);
await step("ward");
await open(job.infant);
await step("infant");

await open(job.infant + "/chart/round");
await tap(".before:has([name='settings.before']) label");
await page.type("[name='observations.spo2Percent']", "92");
await page.keyboard.press("Enter");
must(await page.evaluate(() => document.activeElement.name) === "observations.heartRateBpm", "Enter does not lead to the next field");
await page.keyboard.type("148");
await step("round");
await send();
await says("SpO2 92 %", "what was charted is not shown");
await on(() => tap(".taken a.button"));
await page.type("[name$=reason]", "misread");
await step("correct");
await send();

await open(job.infant + "/chart/face");
for (const site of ["septum", "bridge"]) await tap(`label.site.at-${site}`);
await tap("label.tap.all");
await step("face");
await tap(".head.chart .crumb a"); // with something unsent
await tap("dialog[open] button[value=stay]");
await send();

await on(() => page.click("nav a[href$='/handover']"));
await on(() => tap("a.button[href$='/review']"));
if (!await page.$eval(`[name=infant][value="${job.key}"]`, e => e.checked)) await tap(`label.tap:has([name=infant][value="${job.key}"])`);
await page.type("#other", job.in);
await step("review");
await send();
await on(() => page.click("form.out button"));
await signIn(job.in);
await on(() => page.click(`.handing a[href*="/${job.key}"]`));
for (const e of await page.$$("label.tap:has([name=confirmed])")) { await e.scrollIntoView(); await e.click(); }
await tap("label.tap:has([name=readBack][value=yes])");
await step("take-over");
await send();
await says("Taken over by", "it is not taken over");

await open(job.ward);
await page.waitForFunction(async where => navigator.serviceWorker.controller && (await store.kept())?.pages[where], {timeout: 60000}, job.infant);
await fetch(job.gate + "/down");
await open(job.infant);
await says("OFFLINE since", "it does not say that it is offline");
await step("offline");
await open(job.infant + "/chart/round");
await page.type("[name='observations.spo2Percent']", "87");
await send();
await says("Kept on this device", "what waits is not told");
await fetch(job.gate + "/up");
await page.waitForFunction(async () => (await store.queue()).length === 0, {timeout: 60000});
await browser.close();
say({end: true});
