// Signs in at a real OpenID provider in Chromium, as a nurse on a shared tablet would: a
// colleague has a PIN there, and both can change over afterwards. The second sign-in is asked
// for anew by the provider, though its own session is open.
import {job, launch, must, say, signIn, watch} from "./kit.mjs";

const browser = await launch();
const context = await browser.newContext();
const page = await context.newPage();
watch(page, job.name, {expected: /^$/, ours: m => m.location().url.startsWith(job.base)});

// The colleague sets her PIN and signs out.
await signIn(page, job.name);
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
