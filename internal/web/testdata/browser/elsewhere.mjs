// Signs in at a real OpenID provider in Chromium, as a nurse on a shared tablet would: a
// colleague has a PIN there, and both can change over afterwards. The second sign-in is asked
// for anew by the provider, though its own session is open.
// Input: JSON on standard input; output: a line of JSON a fault, or the end.
import fs from "node:fs";
import {chromium} from "playwright-core";

const job = JSON.parse(fs.readFileSync(0, "utf8"));
const browser = await chromium.launch({executablePath: job.chromium, args: ["--no-sandbox", "--disable-background-networking"]});
const say = line => console.log(JSON.stringify(line));
const must = (yes, what) => { if (!yes) say({fault: what}); };
const context = await browser.newContext();
const page = await context.newPage();
page.on("pageerror", e => say({fault: "script: " + e}));
page.on("console", m => { if (m.type() === "error" && m.location().url.startsWith(job.base)) say({fault: "console: " + m.text()}); });

// The colleague sets her PIN and signs out.
await page.goto(job.base + "/sign-in");
await page.fill("#name", job.name);
await page.fill("#password", job.password);
await page.click("section[aria-labelledby=by-password] button");
await page.waitForURL(u => !u.pathname.startsWith("/sign-in"));
await page.goto(job.base + "/account");
await page.fill("#pin-password", job.password);
await page.fill("#pin", "280413");
await page.click("section[aria-labelledby=pin-of] button");
await page.waitForSelector(".done");
await page.click(".out button");
await page.waitForURL(u => u.pathname === "/sign-in");

async function elsewhere() {
  await page.goto(job.base + job.ward);
  await page.click("section[aria-labelledby=by-hospital] button");
  await page.waitForURL(u => u.origin === job.issuer);
  await page.fill("input[name=login]", "4711");
  await page.fill("input[name=password]", "x");
  await page.click("button[type=submit]");
  const consent = page.getByText("Continue");
  await Promise.race([consent.waitFor(), page.waitForURL(u => u.origin === job.base && u.pathname === job.ward)]).catch(() => {});
  if (page.url().startsWith(job.issuer)) await consent.click();
  await page.waitForURL(u => u.origin === job.base && u.pathname === job.ward);
  must((await page.textContent(".who")).includes("Maeve B."), "somebody else is signed in");
}
await elsewhere();
await page.goto(job.base + "/account");
await page.fill("#pin", "730194");
await page.click("section[aria-labelledby=pin-of] button");
await page.waitForSelector(".done");
await page.click(".out button");
await page.waitForURL(u => u.pathname === "/sign-in");
const names = await page.locator("input[type=radio][name=name]").evaluateAll(all => all.map(x => x.value).sort());
must(names.join() === ["maeve", job.name].sort().join(), "on this tablet: " + names);
await elsewhere(); // the provider asks again: else its page with the fields never comes
say({end: true});
await browser.close();
