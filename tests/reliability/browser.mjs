// Loads every page of a folder in Chromium and tells what it asks for or starts besides itself. By hand:
//
//     mkdir pages && SKEG_PAGES="$PWD/pages" cargo test --test reliability no_hostile_text
//     npm install --no-save playwright-core
//     node tests/reliability/browser.mjs pages /usr/bin/chromium
//
// A page that certainly asks and starts something goes first, so that silence means something.

import { readdirSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const { chromium } = createRequire(join(process.cwd(), "here.js"))("playwright-core");
const [folder, browserPath] = process.argv.slice(2);

const QUIET = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync"];
const browser = await chromium.launch({ executablePath: browserPath, args: QUIET });
const context = await browser.newContext();

/** What a page did besides being shown: requests, boxes, new windows, scripts. */
async function acts(path) {
    const page = await context.newPage();
    const own = pathToFileURL(path).href;
    const seen = [];
    page.on("request", (request) => {
        if (request.url() !== own && !request.url().startsWith("data:")) seen.push(`asks for ${request.url()}`);
    });
    page.on("dialog", async (dialog) => { seen.push(`opens a box: ${dialog.message()}`); await dialog.dismiss(); });
    page.on("popup", () => seen.push("opens a window"));
    page.on("framenavigated", (frame) => { if (frame.url() !== own) seen.push(`goes to ${frame.url()}`); });
    await page.goto(own, { waitUntil: "load" });
    await page.waitForTimeout(50);
    await page.close();
    return seen;
}

const certain = join(tmpdir(), `certain-${process.pid}.html`);
writeFileSync(certain, "<p>x</p><script>alert(1)</script><img src=http://127.0.0.1:9/x.png>");
const told = await acts(certain);
if (told.length < 2) throw new Error(`a page that certainly acts was not noticed: ${told}`);

const pages = readdirSync(folder).filter((name) => name.endsWith(".html"));
let bad = 0;
for (const name of pages) {
    const seen = await acts(resolve(folder, name));
    if (seen.length > 0) { bad += 1; console.log(`${name}: ${seen.join("; ")}`); }
}
await browser.close();
console.log(`${pages.length} pages loaded, ${bad} did anything besides being shown`);
process.exit(bad > 0 || pages.length === 0 ? 1 : 0);
