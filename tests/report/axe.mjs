// Looks at every report of a folder as a browser shows it: what axe-core finds, and whether the page scrolls sideways.
//
//     node axe.mjs FOLDER
//
// axe-core and playwright-core are looked for in the folder that it runs in, Chromium on the PATH.
import { createRequire } from "node:module";
import { readdirSync, readFileSync } from "node:fs";
import { execFileSync } from "node:child_process";
import { pathToFileURL } from "node:url";
import { join, resolve } from "node:path";

const require = createRequire(pathToFileURL(join(process.cwd(), "here.js")));
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

const folder = resolve(process.argv[2]);
const pages = readdirSync(folder).filter((name) => name.endsWith(".html")).sort();
if (pages.length === 0) throw new Error(`no report in ${folder}`);

const executablePath = execFileSync("sh", ["-c", "command -v chromium || command -v chromium-browser"]).toString().trim();
const switches = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync"];
const browser = await chromium.launch({ executablePath, args: switches });
let faults = 0;
const fault = (words) => { faults += 1; console.error(words); };
for (const name of pages) {
  for (const [width, colorScheme] of [[1280, "light"], [1280, "dark"], [390, "light"], [390, "dark"]]) {
    const where = `${name}, ${width} px, ${colorScheme}`;
    // The page's own policy lets no script run: axe is let in beside it, and what the page asks for is counted.
    const page = await browser.newPage({ viewport: { width, height: 900 }, colorScheme, bypassCSP: true });
    page.setDefaultTimeout(180000);
    const asked = [];
    page.on("request", (request) => asked.push(request.url()));
    await page.goto(pathToFileURL(join(folder, name)).href);
    if (asked.length !== 1) fault(`${where}: asks for ${asked.slice(1).join(", ")}`);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    if (wide > width) fault(`${where}: ${wide} px wide, scrolls sideways`);
    await page.evaluate(axe);
    const found = await page.evaluate(() => axe.run(document, { resultTypes: ["violations"] }));
    if (found.passes.length === 0) fault(`${where}: axe looked at nothing`);
    for (const it of found.violations) {
      fault(`${where}: ${it.id}, ${it.help}: ${it.nodes.slice(0, 3).map((node) => node.html.slice(0, 200)).join(" | ")}`);
    }
    await page.close();
  }
}
await browser.close();
console.log(`${pages.length} reports looked at, ${faults} faults`);
process.exit(faults === 0 ? 0 : 1);
