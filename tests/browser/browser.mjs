// browser.mjs: a headless browser, the program, and a place for files, for the tests beside it.
// LOBEWRIGHT: the program. SAMPLES: sample_runs. MODULES: where npm put what package.json names.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const require = createRequire(join(process.env.MODULES, 'any.js'));
const { chromium } = require('playwright-core');
export const axeSource = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');
export const program = process.env.LOBEWRIGHT;

export function sample(name) {
  return join(process.env.SAMPLES, name);
}

/** What the program prints; a verdict's exit status is no failure. */
export function run(...words) {
  try {
    return execFileSync(program, words, { encoding: 'utf8', maxBuffer: 1 << 28 });
  } catch (ended) {
    if (ended.status === 1 || ended.status === 2) return ended.stdout;
    throw ended;
  }
}

export function temporaryFolder() {
  const folder = mkdtempSync(join(tmpdir(), 'lobewright-'));
  process.on('exit', () => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

export function openBrowser() {
  // Root has no sandbox to give; what is opened is our own.
  return chromium.launch({ executablePath: process.env.CHROMIUM || '/usr/bin/chromium', args: ['--no-sandbox'] });
}

/** A page that remembers what it said on its console, what broke, and what it asked the network for. */
export async function openPage(browser, url, options = {}) {
  const page = await browser.newPage({ viewport: { width: 1280, height: 900 }, ...options });
  const troubles = [];
  page.on('console', message => { if (['error', 'warning'].includes(message.type())) troubles.push(message.text()); });
  page.on('pageerror', error => troubles.push(String(error)));
  page.on('request', request => { if (request.url() !== url) troubles.push(`asked for ${request.url()}`); });
  await page.goto(url);
  return { page, troubles };
}

/** Serious and critical findings of the accessibility checker, as short text. */
export async function accessibilityFindings(page) {
  await page.evaluate(axeSource);
  const found = await page.evaluate(() => axe.run(document, { resultTypes: ['violations'] }));
  return found.violations.filter(v => ['serious', 'critical'].includes(v.impact))
    .map(v => `${v.id}: ${v.nodes.map(n => n.target.join(' ')).slice(0, 3).join('; ')}`);
}
