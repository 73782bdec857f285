// Looks at reports in a headless browser: `node look.mjs CHROMIUM FOLDER…`,
// each folder holding report.html (or a sheet of `ahead`, a file ending in .html) and the pictures of a run (with its summary.json) or of
// choices (compare, sweep, size: without).
// With SHOTS=folder it leaves screenshots and a PDF there.
import { existsSync, readFileSync, readdirSync, mkdirSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { basename, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import puppeteer from "puppeteer-core";

const require = createRequire(import.meta.url);
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
const [chromium, ...folders] = process.argv.slice(2);
const shots = process.env.SHOTS;
if (shots) mkdirSync(shots, { recursive: true });

let passed = 0;
const failed = [];
const check = (ok, words) => {
  if (ok) passed += 1;
  else {
    failed.push(words);
    console.error(`not so: ${words}`);
  }
};

const browser = await puppeteer.launch({
  executablePath: chromium,
  args: ["--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"],
});

const pages = async (page, format) => {
  const pdf = Buffer.from(await page.pdf({ format, printBackground: false }));
  return { pdf, count: (pdf.toString("latin1").match(/\/Type\s*\/Page\b/g) ?? []).length };
};

async function open(file, scripts) {
  const page = await browser.newPage();
  const said = [];
  const asked = [];
  page.on("console", (m) => said.push(m.text()));
  page.on("pageerror", (e) => said.push(String(e)));
  page.on("request", (r) => asked.push(r.url()));
  await page.setJavaScriptEnabled(scripts);
  // The test reads the page with scripts of its own, which its policy forbids.
  await page.setBypassCSP(true);
  await page.goto(pathToFileURL(file).href, { waitUntil: "load" });
  return { page, said, asked };
}

async function report(folder) {
  const name = basename(folder);
  const file = resolve(folder, "report.html");
  const run = existsSync(join(folder, "summary.json"));
  const summary = run ? JSON.parse(readFileSync(join(folder, "summary.json"), "utf8")) : { measures: {} };

  const quiet = await open(file, false);
  check(quiet.said.length === 0, `${name}: nothing on the console: ${quiet.said}`);
  const own = quiet.asked.filter((u) => !u.startsWith("data:"));
  check(own.length === 1 && own[0].endsWith("/report.html"), `${name}: no request leaves the page: ${own}`);
  await quiet.page.close();

  const { page, said } = await open(file, true);
  const found = await page.evaluate(() => {
    const pictures = [...document.querySelectorAll("svg[role=img]")].map((s) => ({
      title: s.querySelector(":scope > title")?.textContent ?? "",
      desc: s.querySelector(":scope > desc")?.textContent ?? "",
      named: (s.getAttribute("aria-labelledby") ?? "").split(" ").every((id) => document.getElementById(id)),
      table: !!s.closest("figure")?.querySelector("details table"),
    }));
    const rows = [...document.querySelectorAll("#measures tbody tr")].map((r) =>
      [...r.children].map((c) => c.textContent),
    );
    const ids = [...document.querySelectorAll("[id]")].map((e) => e.id);
    const links = [...document.querySelectorAll("a")].every((a) => document.querySelector(a.getAttribute("href")));
    const scripts = document.querySelectorAll("script").length;
    return { pictures, rows, ids, links, scripts };
  });
  check(found.scripts === 0, `${name}: no script`);
  // Each stands there twice: for a page and for a telephone.
  check(found.pictures.length >= (run ? 12 : 2), `${name}: enough pictures, not ${found.pictures.length}`);
  for (const p of found.pictures) {
    check(p.title && p.desc && p.named && p.table, `${name}: a picture with title, description and table: ${JSON.stringify(p)}`);
  }
  check(new Set(found.ids).size === found.ids.length, `${name}: every id once`);
  check(found.links, `${name}: every link leads somewhere`);
  const measures = Object.entries(summary.measures);
  check(found.rows.length === measures.length, `${name}: every measure is shown`);
  for (const [i, [key, m]] of measures.entries()) {
    const [shown, , ...numbers] = found.rows[i] ?? [];
    const same = [m.mean, m.p05, m.p50, m.p95].every((x, j) => Number(numbers[j]) === x);
    check(shown === key && same, `${name}: ${key} as in summary.json: ${numbers}`);
  }

  for (const width of [360, 768, 1440]) {
    await page.setViewport({ width, height: 900 });
    const over = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
    check(over <= 0, `${name}: nothing overflows at ${width} px, not by ${over}`);
    // Each picture is shown once, whole, and its words are large enough to read and not cut off.
    const seen = await page.evaluate(() => {
      const shown = [...document.querySelectorAll("figure")].map((f) => {
        const svgs = [...f.querySelectorAll("svg[role=img]:not(.spot)")].filter((s) => s.getClientRects().length);
        const plot = f.querySelector(".plot");
        const bad = svgs.flatMap((s) => {
          const [box, per] = [s.getBoundingClientRect(), s.getBoundingClientRect().width / s.viewBox.baseVal.width];
          return [...s.querySelectorAll("text")].flatMap((t) => {
            const b = t.getBoundingClientRect();
            const size = parseFloat(getComputedStyle(t).fontSize) * per;
            const out = b.left < box.left - 2 || b.right > box.right + 2 || b.bottom > box.bottom + 2;
            return size < 10 || out ? [`${t.textContent} (${size.toFixed(1)} px${out ? ", cut off" : ""})`] : [];
          });
        });
        return { id: f.id, count: svgs.length, slides: plot.scrollWidth - plot.clientWidth, bad };
      });
      return shown.filter((f) => f.count !== 1 || f.slides > 1 || f.bad.length);
    });
    check(seen.length === 0, `${name}: every picture can be read at ${width} px: ${JSON.stringify(seen).slice(0, 600)}`);
    if (shots) await page.screenshot({ path: join(shots, `${name}-${width}.png`), fullPage: true });
  }

  for (const scheme of ["light", "dark"]) {
    await page.emulateMediaFeatures([{ name: "prefers-color-scheme", value: scheme }]);
    await page.setViewport({ width: 1000, height: 900 });
    await page.evaluate(() => document.querySelectorAll("details").forEach((d) => (d.open = true)));
    await page.evaluate(axe);
    const result = await page.evaluate(() =>
      axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }),
    );
    const words = result.violations.map((v) => `${v.id} (${v.nodes.length}): ${v.nodes[0].html.slice(0, 160)} ${v.nodes[0].failureSummary}`);
    check(words.length === 0, `${name}: axe finds nothing, ${scheme}: ${words.join("\n  ")}`);
    await page.evaluate(() => document.querySelectorAll("details").forEach((d) => (d.open = false)));
    if (shots && scheme === "dark") await page.screenshot({ path: join(shots, `${name}-dark.png`), fullPage: true });
  }
  await page.emulateMediaFeatures([{ name: "prefers-color-scheme", value: "light" }]);

  // A picture shows its values to whoever comes by keyboard.
  const spot = await page.$("svg.over .spot");
  if (spot) {
    await spot.evaluate((e) => e.focus());
    const seen = await spot.$eval(".tip", (t) => getComputedStyle(t).visibility);
    check(seen === "visible", `${name}: focus shows values`);
  }

  const papers = ["letter", "a4"];
  const whole = {};
  for (const paper of papers) whole[paper] = await pages(page, paper);
  await page.addStyleTag({ content: ".door{display:none}" });
  for (const paper of papers) {
    const [all, rest] = [whole[paper].count, (await pages(page, paper)).count];
    check(all === rest + (run ? 1 : 0), `${name}: the door sheet is one page of ${paper}: ${all} with it, ${rest} without`);
    const [least, most] = run ? [6, 18] : [1, 12];
    check(all >= least && all <= most, `${name}: prints to ${least} to ${most} pages of ${paper}, not ${all}`);
    if (shots) writeFileSync(join(shots, `${name}-${paper}.pdf`), whole[paper].pdf);
  }
  check(said.length === 0, `${name}: nothing on the console with scripts either: ${said}`);
  await page.close();

  for (const svg of readdirSync(folder).filter((f) => f.endsWith(".svg"))) {
    const alone = await open(resolve(folder, svg), true);
    const root = await alone.page.evaluate(() => document.documentElement.nodeName);
    check(root === "svg" && alone.asked.length === 1, `${name}: ${svg} opens alone: ${root}`);
    await alone.page.close();
  }
  console.log(`${name}: ${found.pictures.length} pictures, ${whole.letter.count} pages on Letter, ${whole.a4.count} on A4`);
}

// A sheet to hang up: one page, no request, read by everybody.
async function sheet(path) {
  const name = basename(path);
  const { page, said, asked } = await open(resolve(path), true);
  check(said.length === 0, `${name}: nothing on the console: ${said}`);
  check(asked.filter((u) => !u.startsWith("data:")).length === 1, `${name}: no request leaves the page: ${asked}`);
  await page.evaluate(axe);
  const result = await page.evaluate(() => axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21aa", "best-practice"] }));
  const words = result.violations.map((v) => `${v.id}: ${v.nodes[0].html.slice(0, 160)} ${v.nodes[0].failureSummary}`);
  check(words.length === 0, `${name}: axe finds nothing: ${words.join("\n  ")}`);
  const counts = [];
  for (const paper of ["letter", "a4"]) {
    const { pdf, count } = await pages(page, paper);
    check(count === 1, `${name}: one page of ${paper}, not ${count}`);
    counts.push(count);
    if (shots) writeFileSync(join(shots, `${name}-${paper}.pdf`), pdf);
  }
  await page.close();
  console.log(`${name}: ${counts[0]} page on Letter, ${counts[1]} on A4`);
}

try {
  for (const folder of folders) await (folder.endsWith(".html") ? sheet(folder) : report(folder));
} finally {
  await browser.close();
}
console.log(`browser: ${passed} passed, ${failed.length} failed`);
process.exit(failed.length ? 1 : 0);
