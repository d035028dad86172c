// A browser, a fleet of the demo records, and the application over it.
import { chromium } from "playwright-core";
import { execFileSync, spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

/** The folder of the project. */
export const root = fileURLToPath(new URL("../..", import.meta.url));
/** The program that is tested. */
export const windrow = process.env.WINDROW ?? join(root, "target", "debug", "windrow");

/** Runs a command of the program; a status of 1 says that something waits for a person, and is no failure. */
export function run(...args) {
  try {
    return execFileSync(windrow, args, { encoding: "utf8", stdio: ["ignore", "pipe", "pipe"] });
  } catch (failed) {
    if (failed.status === 1) return failed.stdout;
    throw failed;
  }
}

/** A fleet folder of the records in `folders`, removed by `remove`. */
export function importFleet(...folders) {
  const dir = mkdtempSync(join(tmpdir(), "windrow-browser-"));
  const fleet = join(dir, "mill");
  run("run", ...folders.map((folder) => join(root, folder)), "--fleet", fleet);
  return { fleet, remove: () => rmSync(dir, { recursive: true, force: true }) };
}

/** The application over a fleet, at a free port; tells its address. */
export async function serve(fleet, ...more) {
  const child = spawn(windrow, ["serve", "--fleet", fleet, "--port", "0", ...more], { stdio: ["ignore", "pipe", "inherit"] });
  const url = await new Promise((resolve, reject) => {
    let said = "";
    child.stdout.on("data", (bytes) => {
      said += bytes;
      const found = said.match(/http:\/\/\S+\//);
      if (found) resolve(found[0]);
    });
    child.on("exit", (status) => reject(new Error(`windrow serve ended with status ${status} before it printed its address`)));
  });
  const stop = () => new Promise((resolve) => { child.removeAllListeners("exit"); child.on("exit", resolve); child.kill("SIGTERM"); });
  return { url: url.replace(/\/$/, ""), stop };
}

/** Debian's browser, quiet: nothing of it asks the network for anything. */
export function launch() {
  return chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
  });
}

/** A page whose complaints are kept: console errors, exceptions, requests that failed. */
export async function open(browser, options = {}) {
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, acceptDownloads: true, ...options });
  const page = await context.newPage();
  const complaints = [];
  page.on("console", (message) => { if (["error", "warning"].includes(message.type())) complaints.push(message.text()); });
  page.on("pageerror", (error) => complaints.push(String(error)));
  return { page, complaints, close: () => context.close() };
}
