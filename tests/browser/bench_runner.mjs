// bench_runner.mjs: a virtual rig and a bench with its page, beside a test.
import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { program, sample, temporaryFolder } from './browser.mjs';

const started = [];

export function stopAll() {
  for (const child of started) child.kill('SIGTERM');
}

/** A program that runs beside the test; `says(pattern)` waits for words of it. */
export function start(...words) {
  const child = spawn(program, words, { stdio: ['ignore', 'pipe', 'pipe'] });
  started.push(child);
  let said = '';
  const waiting = new Set();
  const hear = bytes => {
    said += bytes;
    for (const wake of waiting) wake();
  };
  child.stdout.on('data', hear);
  child.stderr.on('data', hear);
  const says = pattern => new Promise((found, failed) => {
    const look = () => {
      const match = said.match(pattern);
      if (match) {
        waiting.delete(look);
        found(match);
      }
    };
    waiting.add(look);
    child.on('exit', () => failed(new Error(`ended without saying ${pattern}: ${said}`)));
    look();
  });
  const ended = new Promise(done => child.on('exit', done));
  return { child, says, ended, said: () => said };
}

/** A virtual rig with lobe 1E under the tips, and the bench on a new run of it. */
export async function bench(rigOptions, benchOptions = [], handSpeed = 40) {
  const folder = temporaryFolder(), link = join(folder, 'rig'), run = join(folder, 'run');
  const rig = start('virtual-rig', '--pty', link, '--place', '1E', '--hand-speed', String(handSpeed), ...rigOptions);
  await rig.says(/ready at/);
  const page = start('bench', run, '1E', '--port', link, '--like', sample('launch-4-new'), '--set', 'run.condition=used',
    '--set', 'run.id=under-test', ...benchOptions);
  const [, address] = await page.says(/page: (\S+)/);
  return { rig, page, address, run };
}

export async function look(browser, address) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 } });
  const page = await context.newPage();
  const troubles = [];
  page.on('console', message => { if (message.type() === 'error') troubles.push(message.text()); });
  page.on('pageerror', error => troubles.push(String(error)));
  await page.goto(address);
  await page.waitForSelector('html[data-line="open"]');
  await page.locator('#place').filter({ hasText: '1E' }).waitFor();
  return { page, troubles };
}
