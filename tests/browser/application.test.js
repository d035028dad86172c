// The whole path of a person: look at the fleet, answer a question, see the reading change, read a machine, say a word on a finding,
// ask in SQL, take the answer away. Checked against what the command line tells of the same fleet.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { after, before, test } from "node:test";
import { importFleet, launch, open, run, serve } from "./browser.js";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

let browser, fleet, application;
before(async () => {
  fleet = importFleet("samples");
  application = await serve(fleet.fleet);
  browser = await launch();
});
after(async () => {
  await browser?.close();
  await application?.stop();
  fleet?.remove();
});

/** What the command line answers, as objects. */
const ask = (sql) => JSON.parse(run("query", sql, "--fleet", fleet.fleet, "--format", "json"));

/** Answers the first open question of a kind, chosen from what is offered or in words. */
async function answer(page, question, told) {
  await page.goto(application.url + "/intake");
  await page.click(`#questions tbody a:has-text('${question}')`);
  const offered = page.locator(`input[name=choice][value='${told}']`);
  if (await offered.count()) await offered.check();
  else await page.fill("input[name=answer]", told);
  await page.fill("input[name=why]", "the clerk's habit");
  await page.fill("input[name=by]", "a test");
  await page.click("button:has-text('Answer')");
  assert.match(await page.textContent(".answer .message"), new RegExp(`Answered: ${told} .* waits to be applied`));
}

/** Applies the answers, and waits until that is done. */
async function apply(page) {
  await page.click("button:has-text('Apply them now')");
  await page.waitForFunction(() => !document.documentElement.hasAttribute("data-working"));
  await page.goto(application.url + "/intake");
  assert.match(await page.textContent(".status"), /The answers are applied/);
}

test("questions are answered beside their cells, and the readings change", async () => {
  const { page, complaints, close } = await open(browser);
  const readings = "SELECT value, unit FROM readings WHERE source_file LIKE '%round_without_unit%' ORDER BY value DESC";
  assert.deepEqual(ask(readings), [], "nothing of it is guessed");
  await answer(page, "Day first or month first?", "day-first");
  await answer(page, "What was measured?", "insulation_resistance");
  await apply(page);
  // Now that it is a resistance, its unit is open.
  await answer(page, "Which unit is meant?", "MΩ");
  await apply(page);
  assert.equal(await page.locator("#questions tbody tr").count(), 0, "no question is left");
  // The first value of the sheet is 5170, and the four of its column are readings.
  assert.deepEqual(ask(readings)[0], { value: 5.17e9, unit: "Ohm" });
  assert.equal(ask(readings).length, 4);
  // From the cell to its reading, and back to the cell.
  await page.click("#sources a:has-text('round_without_unit')");
  await page.click("td.cell a:has-text('5170')");
  await page.waitForFunction(() => document.querySelector("#cell h2").textContent === "Cell C3");
  assert.match(await page.textContent("#cell"), /5170\s*MΩ/);
  assert.match(await page.textContent("#cell"), /ruled by a test/);
  await page.click("#cell a[href^='/readings/']");
  assert.match(await page.textContent("h1"), /LQ-RF-201/);
  assert.deepEqual(complaints, []);
  await close();
});

test("an answer is taken back", async () => {
  const { page, complaints, close } = await open(browser);
  await page.goto(application.url + "/decisions");
  const given = await page.locator("tbody tr").count();
  assert.ok(given > 0);
  await page.click("tbody tr:first-child button");
  await page.waitForLoadState();
  assert.equal(await page.locator("tbody tr").count(), given - 1);
  await apply(page);
  assert.ok((await page.locator("#questions tbody tr").count()) > 0, "it is asked again");
  assert.deepEqual(complaints, []);
  await close();
});

test("one answer settles the same question at several places of a source", async () => {
  const own = importFleet("tests/corpus/hands/u/files/es_ord/Mediciones_predictivo_LA.xlsx");
  const serving = await serve(own.fleet);
  const { page, complaints, close } = await open(browser);
  try {
    await page.goto(serving.url + "/intake");
    const asked = await page.locator("#questions tbody a:has-text('What was measured?')").count();
    assert.ok(asked > 2, "a sheet of numbers without a word on what they are");
    await page.click("#questions tbody a:has-text('What was measured?') >> nth=0");
    const more = page.locator("fieldset:has-text('more place') input[name=hold]");
    assert.equal(await more.count(), asked - 1);
    assert.equal(await page.locator("fieldset:has-text('more place') input:checked").count(), 0, "nothing is meant that was not ticked");
    for (const box of (await more.all()).slice(1)) await box.check();
    await page.check("input[name=choice][value='no reading']");
    await page.click("button:has-text('Answer')");
    await page.goto(serving.url + "/intake");
    const answered = page.locator("#questions tbody tr:has-text('answered: no reading')");
    assert.equal(await answered.count(), asked - 1, "all but the one that was left out");
    assert.deepEqual(complaints, []);
  } finally {
    await close();
    await serving.stop();
    own.remove();
  }
});

test("sources are searched, and those that were not read are told apart", async () => {
  const { page, complaints, close } = await open(browser);
  await page.goto(application.url + "/intake");
  await page.selectOption("select[name=kind]", "refused");
  await page.click("#sources button:has-text('Find')");
  const refused = ask("SELECT source_file FROM sources WHERE status = 'refused' ORDER BY source_file").map((row) => row.source_file);
  assert.deepEqual((await page.locator("#sources tbody th a").allTextContents()).sort(), refused);
  await page.fill("input[name=source]", "UNCLAIMED memo");
  await page.click("#sources button:has-text('Find')");
  assert.deepEqual(await page.locator("#sources tbody th a").allTextContents(), ["unclaimed/memo.txt"]);
  assert.deepEqual(complaints, []);
  await close();
});

test("two people answer one question: the second is told", async () => {
  const [first, second] = [await open(browser), await open(browser)];
  for (const { page } of [first, second]) {
    await page.goto(application.url + "/intake");
    await page.click("#questions tbody tr:first-child a");
    await page.fill("input[name=answer]", "no reading");
  }
  await first.page.fill("input[name=by]", "the quicker");
  await first.page.click("button:has-text('Answer')");
  await second.page.click("button:has-text('Answer')");
  assert.match(await second.page.textContent("h1"), /Someone was quicker/);
  assert.match(await second.page.textContent(".message"), /answered meanwhile: "no reading" \(ruled by the quicker/);
  await first.close();
  await second.close();
});

test("a machine shows its histories, and a mark leads to its cell", async () => {
  const { page, complaints, close } = await open(browser);
  await page.goto(application.url + "/?q=LQ-VP-311");
  await page.click("table.fleet tbody a");
  assert.match(await page.textContent("h1"), /LQ-VP-311/);
  const drawn = await page.locator("#histories figure svg").count();
  assert.ok(drawn >= 5, `histories and curves are drawn: ${drawn}`);
  const curve = page.locator("figure.curves svg").first();
  const [picture, labels] = [await curve.boundingBox(), await curve.locator("g.ends").boundingBox()];
  assert.ok(labels.x + labels.width <= picture.x + picture.width, "the labels of the curves end within the picture");
  const readings = ask("SELECT count(*) AS n FROM readings r JOIN tests t ON r.test_id = t.test_id JOIN assets a ON t.asset_id = a.asset_id WHERE a.tag = 'LQ-VP-311'")[0].n;
  assert.equal(await page.locator("#tests tr[id^='r-']").count(), readings, "every reading of the tables stands there");
  const mark = page.locator("#histories figure >> nth=0").locator("svg a >> nth=0");
  const to = await mark.getAttribute("href");
  await page.goto(page.url().split("#")[0] + to);
  const row = page.locator(`[id="${to.slice(1)}"]`);
  assert.ok(await row.isVisible(), "the test unfolds");
  await row.locator("a").click();
  assert.match(await page.textContent("#cell"), /From the cell to the value/);
  assert.deepEqual(complaints, []);
  await close();
});

test("a finding is acknowledged with a reason, and the command line knows", async () => {
  const { page, complaints, close } = await open(browser);
  await page.goto(application.url + "/findings?level=act");
  await page.click("tbody a[href^='/findings/'] >> nth=0");
  const id = page.url().split("/").pop();
  assert.match(await page.textContent("main"), /Basis|basis/);
  await page.fill("textarea[name=reason]", "rewind ordered");
  await page.fill("input[name=by]", "a test");
  await page.click("button:has-text('Acknowledge')");
  assert.match(await page.textContent("main"), /acknowledged at act by a test: rewind ordered/);
  assert.equal(ask(`SELECT state FROM findings WHERE finding_id = '${id}'`)[0].state, "acknowledged");
  assert.deepEqual(complaints, []);
  await close();
});

test("an SQL statement is answered, drawn, kept and taken away", async () => {
  const { page, complaints, close } = await open(browser);
  const sql = "SELECT level, count(*) AS n FROM findings GROUP BY level ORDER BY level";
  await page.goto(application.url + "/query");
  await page.fill("#sql", sql);
  await page.click("button:has-text('Ask')");
  const rows = await page.locator("#answer tbody tr").allTextContents();
  assert.deepEqual(rows, ask(sql).map((row) => `${row.level}${row.n}`));
  assert.equal(await page.locator("#answer svg rect").count(), rows.length, "a bar each");
  for (const [name, begins] of [["CSV", "level,n"], ["JSON", "["], ["Parquet", "PAR1"]]) {
    const [download] = await Promise.all([page.waitForEvent("download"), page.click(`button:has-text('Save as ${name}')`)]);
    assert.ok(readFileSync(await download.path(), "latin1").startsWith(begins), name);
  }
  await page.fill("input[name=name]", "findings by level");
  await page.click("button:has-text('Keep under this name')");
  await page.goto(application.url + "/query");
  await page.click("a:has-text('findings by level')");
  assert.equal((await page.inputValue("#sql")).trim(), sql);
  await page.fill("#sql", "SELECT nothing FROM findings");
  await page.click("button:has-text('Ask')");
  assert.match(await page.textContent("[role=alert]"), /nothing/);
  assert.deepEqual(complaints, []);
  await close();
});

test("a statement that runs is cancelled", async () => {
  const { page, close } = await open(browser);
  const { page: other, close: closeOther } = await open(browser);
  await other.goto(application.url + "/query");
  const running = () => other.evaluate(async () => (await (await fetch("/api/v1/work")).json()).queries);
  await page.goto(application.url + "/query");
  await page.fill("#sql", "SELECT count(DISTINCT a.raw_text || b.raw_text) AS n FROM cells a CROSS JOIN cells b");
  // A person presses the button while the page waits; the driver of the browser waits with the page, so the page presses it itself.
  let told;
  const pressed = new Promise((resolve) => (told = resolve));
  await page.exposeFunction("pressed", told);
  await page.evaluate(() => {
    const press = async () => {
      const work = await (await fetch("/api/v1/work")).json();
      if (work.queries !== 1) return setTimeout(press, 0);
      window.pressed();
      document.querySelector("[data-cancel]").click();
    };
    press();
  });
  await page.click("button:has-text('Ask')", { noWaitAfter: true });
  await pressed;
  await until(async () => (await running()) === 0);
  assert.equal(await page.locator("#answer").count(), 0, "no answer comes");
  await close();
  await closeOther();
});

/** Asks again until it holds; a test that waits for ever is ended by its runner. */
async function until(holds) {
  while (!(await holds())) await new Promise((resolve) => setImmediate(resolve));
}

test("units and colours are as the reader wants them", async () => {
  const { page, complaints, close } = await open(browser);
  await page.goto(application.url + "/");
  await page.selectOption("select[name=units]", "us");
  await page.waitForFunction(() => document.querySelector("table.fleet").textContent.includes("hp"));
  assert.match(await page.textContent("table.fleet thead"), /104\s°F/);
  await page.selectOption("select[name=colours]", "dark");
  await page.waitForFunction(() => document.documentElement.dataset.colours === "dark");
  assert.deepEqual(complaints, []);
  await close();
});

test("everything can be reached by keyboard", async () => {
  const { page, close } = await open(browser);
  await page.goto(application.url + "/");
  await page.keyboard.press("Tab");
  assert.match(await page.evaluate(() => document.activeElement.textContent), /Skip to the content/);
  await page.keyboard.press("Enter");
  assert.equal(await page.evaluate(() => document.activeElement.id), "main");
  await page.goto(application.url + "/intake");
  await page.click("#sources tbody a:has-text('absorption_2013')");
  await page.focus("td.cell a >> nth=0");
  await page.keyboard.press("ArrowDown");
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.querySelector("#cell h2").textContent === "Cell B2");
  await close();
});

for (const colorScheme of ["light", "dark"]) {
  test(`no serious fault of accessibility, ${colorScheme}`, async () => {
    const { page, complaints, close } = await open(browser, { colorScheme });
    const first = (where, selector) => page.goto(application.url + where).then(() => page.getAttribute(selector, "href"));
    const places = ["/", "/findings", "/intake", "/decisions", "/query", "/cohorts", "/machines/none"];
    places.push(await first("/", "table.fleet tbody a"));
    places.push(await first("/findings", "tbody a[href^='/findings/']"));
    places.push(await first("/intake", "#questions tbody a"));
    places.push((await first("/intake", "#sources tbody a")) + "&at=A1");
    places.push("/report", places[7] + "/report");
    for (const place of places) {
      await page.goto(application.url + place);
      await page.evaluate(() => { for (const folded of document.querySelectorAll("details")) folded.open = true; });
      // The library is handed to the page by the browser itself; the page's own policy lets no script in.
      await page.evaluate(axe);
      const { violations } = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ["violations"] }));
      const serious = violations.filter((found) => ["serious", "critical"].includes(found.impact));
      assert.deepEqual(serious.map((found) => `${found.id}: ${found.nodes[0].html} ${found.nodes[0].failureSummary}`), [], place);
    }
    assert.deepEqual(complaints.filter((text) => !text.includes("404")), []);
    await close();
  });
}

for (const width of [1100, 820, 420]) {
  test(`no page is wider than a window of ${width} pixels`, async () => {
    const { page, close } = await open(browser, { viewport: { width, height: 800 } });
    const first = (where, selector) => page.goto(application.url + where).then(() => page.getAttribute(selector, "href"));
    const machine = await first("/?q=LQ-VP-311", "table.fleet tbody a");
    const finding = await first("/findings", "tbody a[href^='/findings/']");
    for (const place of ["/", "/findings", "/intake", "/query", "/cohorts", "/decisions", "/report", machine, machine + "/report", finding, "/intake/source?file=log_2020-2024.xlsx", "/intake/source?file=store_room/bridge_readings_2004.xml"]) {
      await page.goto(application.url + place);
      const surplus = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
      assert.equal(surplus, 0, place);
    }
    await close();
  });
}

test("a page can be printed", async () => {
  const { page, close } = await open(browser);
  await page.goto(application.url + "/?q=LQ-VP-311");
  await page.click("table.fleet tbody a");
  const pdf = await page.pdf({ format: "A4" });
  assert.equal(pdf.subarray(0, 5).toString(), "%PDF-");
  await page.emulateMedia({ media: "print" });
  assert.ok(await page.isHidden("header nav"), "what only a screen needs is left out");
  assert.ok(await page.isVisible(".cautions li >> nth=0"), "the cautions are printed");
  await close();
});

test("the report is one file that asks for nothing, and its first sheet is one page of paper", async () => {
  // A4 less its margins, at 96 pixels an inch.
  const paper = { width: 703, height: 1032 };
  const { page, complaints, close } = await open(browser, { viewport: paper });
  const asked = [];
  page.on("request", (request) => asked.push(request.url()));
  const file = "file://" + fleet.fleet + "/report.html";
  await page.goto(file);
  assert.deepEqual(asked, [file]);
  assert.equal(await page.locator("script").count(), 0);
  for (const view of ["#summary", "#distributions figure", ".next-test", "figure.curves", ".coverage figure", "details.test"]) {
    assert.ok((await page.locator(view).count()) > 0, `the report has ${view}`);
  }
  await page.emulateMedia({ media: "print" });
  const sheet = await page.locator("#summary").boundingBox();
  assert.ok(sheet.y + sheet.height <= paper.height, `the first sheet ends at ${sheet.y + sheet.height} of ${paper.height} pixels`);
  const pdf = await page.pdf({ format: "A4" });
  assert.equal(pdf.subarray(0, 5).toString(), "%PDF-");
  assert.deepEqual(complaints, []);
  await close();
});

test("distributions by cohort lead to their machines, and a machine shows its place among them", async () => {
  const { page, complaints, close } = await open(browser);
  await page.goto(application.url + "/");
  const group = page.locator("#distributions figure >> nth=0").locator("g.group >> nth=0");
  const told = Number((await group.locator(".group-count").textContent()).split(" ")[0]);
  await group.locator("a").click();
  await page.waitForURL(/cohort=/);
  assert.equal(await page.locator("table.fleet tbody tr").count(), told);
  await page.click("table.fleet tbody a >> nth=0");
  assert.equal(await page.locator("figure.distribution path.here").count(), 2, "resistance and polarization index");
  assert.deepEqual(complaints, []);
  await close();
});
