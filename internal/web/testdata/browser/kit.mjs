// What the scripts that drive Chromium share: the job on standard input, the lines of JSON on
// standard output, one browser, who signs in, what the console says, and the look at a page.
import fs from "node:fs";
import {createRequire} from "node:module";
import path from "node:path";

export const job = JSON.parse(fs.readFileSync(0, "utf8"));
const require = createRequire(path.join(job.modules, "kit"));
const {chromium} = require("playwright-core");
const axe = fs.readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

// Debian's launcher has pages painted by a graphics processor, which is played by the main one where there is none.
// Beyond one process of a site no process is kept in store for the page that comes next.
const how = {executablePath: job.chromium, args: ["--no-sandbox", "--disable-background-networking", "--disable-gpu", "--renderer-process-limit=1"]};
export const launch = () => chromium.launch(how);
export const launchKept = (profile, view) => chromium.launchPersistentContext(profile, {...how, ...view});
export const tablet = {viewport: {width: 820, height: 1180}, hasTouch: true, colorScheme: "dark", reducedMotion: "reduce"};

export const say = line => console.log(JSON.stringify(line));
export const must = (yes, what) => { if (!yes) say({fault: what}); };
export const shot = async (page, name, where = job.shots, whole = true) => {
  if (where) await page.screenshot({path: path.join(where, name + ".png"), fullPage: whole});
};

// What a page's script throws and the console says is a fault; not that a page was refused.
export function watch(page, name, {expected = /status of 4/, ours = () => true} = {}) {
  page.on("pageerror", e => say({fault: name + ": script: " + e}));
  page.on("console", m => { if (m.type() === "error" && ours(m) && !expected.test(m.text())) say({fault: name + ": console: " + m.text()}); });
}

export async function signIn(page, name, open = where => page.goto(where)) {
  await open(job.base + "/sign-in");
  await page.fill("#name", name);
  await page.fill("#password", job.password);
  await Promise.all([page.waitForURL(u => !u.pathname.startsWith("/sign-in")), page.click("section[aria-labelledby=by-password] button")]);
}

// What a theme changes, and what is judged by the colours of a page alone.
const byColour = ["color-contrast", "link-in-text-block"];
const rules = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]; // WCAG 2.2 A and AA, and axe-core's best practices

// Has axe-core look at the page that is open, in each window in turn. A theme changes colours
// and a width changes the layout: in a theme that is new at a width that is not, the rules on
// colour run, in a theme that is not at a width that is new all but contrast, otherwise all.
export async function look(page, name, windows, {open = true} = {}) {
  const themes = new Set(), widths = new Set();
  for (const w of windows) {
    await page.emulateMedia({colorScheme: w.theme, reducedMotion: "reduce"});
    await page.setViewportSize({width: w.width, height: w.height});
    await shot(page, `${name}-${w.name}-${w.theme}`);
    const part = widths.has(w.width) ? {runOnly: {type: "rule", values: byColour}} :
      {runOnly: {type: "tag", values: rules}, rules: {"color-contrast": {enabled: !themes.has(w.theme)}}};
    const least = widths.has(w.width) ? 1 : 10;
    themes.add(w.theme);
    widths.add(w.width);
    const where = `${name}, ${w.name}, ${w.theme}`;
    const found = await looked(page, part, open);
    must(found.theme === w.theme && found.width === w.width, `${where}: the page is ${found.width} px wide and ${found.theme}`);
    must(found.passes >= least, `${where}: only ${found.passes} rules passed`);
    must(found.wide <= 0, `${where}: ${found.wide} px wider than the screen`);
    for (const v of found.violations) say({fault: `${where}: ${v.id}: ${v.nodes} places, such as ${v.first}`});
    say({looked: where});
  }
}

// A page that went back to the server by itself is given axe-core anew.
async function looked(page, part, open) {
  for (;;) {
    const found = await page.evaluate(async ([part, open]) => {
      if (!window.axe) return null;
      if (open) document.querySelectorAll("details:not([open])").forEach(d => { d.open = true; });
      // No film or sound is fetched by style sheets: these need not be read a second time.
      const {violations, passes} = await axe.run(document, {...part, resultTypes: ["violations"], preload: {assets: ["media"]}});
      const root = document.documentElement;
      return {passes: passes.length, wide: root.scrollWidth - root.clientWidth, width: innerWidth,
        theme: matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light",
        violations: violations.map(v => ({id: v.id, nodes: v.nodes.length, first: v.nodes[0].html.slice(0, 200) + " " + (v.nodes[0].failureSummary || "").slice(0, 300)}))};
    }, [part, open]);
    if (found) return found;
    await page.evaluate(axe);
  }
}
