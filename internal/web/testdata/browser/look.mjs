// Opens pages in Chromium as a person would: signs in, then looks at each page in both
// themes and at several sizes with axe-core (WCAG 2.2 A and AA, and its best practices).
// Input: JSON on standard input; output: a line of JSON a page looked at.
import fs from "node:fs";
import path from "node:path";
import {chromium} from "playwright-core";

const job = JSON.parse(fs.readFileSync(0, "utf8"));
const axe = fs.readFileSync(path.join(job.modules, "axe-core", "axe.min.js"), "utf8");
const browser = await chromium.launch({executablePath: job.chromium, args: ["--no-sandbox", "--disable-background-networking"]});

// Who signs in does so once; the other windows are hers too.
async function signedIn() {
  const context = await browser.newContext();
  const page = await context.newPage();
  await page.goto(job.base + "/sign-in");
  await page.fill("#name", job.name);
  await page.fill("#password", job.password);
  await Promise.all([page.waitForURL(u => !u.pathname.startsWith("/sign-in")), page.click("section[aria-labelledby=by-password] button")]);
  const cookies = await context.cookies();
  await context.close();
  return cookies;
}
const cookies = await signedIn();

for (const w of job.windows) {
  // The test's own script and its evaluation need what the pages' policy refuses.
  const context = await browser.newContext({viewport: {width: w.width, height: w.height}, colorScheme: w.theme, reducedMotion: "reduce", bypassCSP: true});
  const page = await context.newPage();
  const said = [];
  page.on("console", m => { if (m.type() === "error" || m.type() === "warning") said.push(m.text()); });
  page.on("pageerror", e => said.push(String(e)));
  let inside = false;
  for (const p of job.pages) {
    if (w.only && !w.only.includes(p.name)) continue;
    if (p.signedIn && !inside) {
      await context.addCookies(cookies);
      inside = true;
    }
    said.length = 0;
    const answer = await page.goto(job.base + p.path);
    if (job.keep && w.name === "tablet" && ["ward", "infant"].includes(p.name)) await page.screenshot({path: path.join(job.keep, `page-${p.name}.png`)});
    if (p.open) await page.evaluate(() => document.querySelectorAll("details").forEach(d => { d.open = true; }));
    await page.evaluate(axe);
    const found = await page.evaluate(() => axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"], resultTypes: ["violations"]}));
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    const violations = found.violations.map(v => ({id: v.id, nodes: v.nodes.map(n => n.html.slice(0, 200) + " " + (n.failureSummary || "").slice(0, 300))}));
    if (job.shots) await page.screenshot({path: path.join(job.shots, `${p.name}-${w.name}-${w.theme}.png`), fullPage: true});
    console.log(JSON.stringify({page: p.name, size: w.name, theme: w.theme, status: answer.status(), passes: found.passes.length, wide,
      console: said.filter(s => !s.includes("status of 4")), violations}));
  }
  await context.close();
}
await browser.close();
