// Opens pages in Chromium as a person would: signs in, then looks at each page in both
// themes and at several sizes with axe-core.
import {job, launch, look, say, shot, signIn} from "./kit.mjs";

const browser = await launch();

// Who signs in does so once; the pages that need it are hers.
async function signedIn() {
  const context = await browser.newContext();
  await signIn(await context.newPage(), job.name);
  const cookies = await context.cookies();
  await context.close();
  return cookies;
}
const cookies = await signedIn();

// The test's own script and its evaluation need what the pages' policy refuses.
const context = await browser.newContext({reducedMotion: "reduce", bypassCSP: true});
const page = await context.newPage();
let said = [];
page.on("console", m => { if (m.type() === "error" || m.type() === "warning") said.push(m.text()); });
page.on("pageerror", e => said.push(String(e)));
let inside = false;
for (const p of job.pages) {
  if (p.signedIn && !inside) {
    await context.addCookies(cookies);
    inside = true;
  }
  said = [];
  const windows = job.windows.filter(w => !w.only || w.only.includes(p.name));
  await page.emulateMedia({colorScheme: windows[0].theme});
  await page.setViewportSize(windows[0]);
  await page.goto(job.base + p.path);
  const drawn = windows.find(w => w.name === "tablet");
  if (job.keep && drawn && ["ward", "infant"].includes(p.name)) {
    await page.emulateMedia({colorScheme: drawn.theme});
    await page.setViewportSize(drawn);
    await shot(page, "page-" + p.name, job.keep, false);
  }
  await look(page, p.name, windows, {open: p.open});
  for (const line of said.filter(s => !s.includes("status of 4"))) say({fault: `${p.name}: the console says ${line}`});
}
say({end: true});
await browser.close();
