// The bench's page through a whole sweep of the virtual rig, in a real browser: troubles, a reload, a second viewer, pages
// from elsewhere, and who may look.
import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import http from 'node:http';
import net from 'node:net';
import { networkInterfaces } from 'node:os';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { bench, look as lookWith, stopAll } from './bench_runner.mjs';
import { accessibilityFindings, openBrowser } from './browser.mjs';

let browser;
const look = address => lookWith(browser, address);
before(async () => { browser = await openBrowser(); });
after(async () => {
  stopAll();
  await browser.close();
});

async function sweepDone(page) {
  await page.waitForFunction(() => document.documentElement.dataset.tone === 'done', null, { timeout: 120000 });
}

test('a whole sweep by the page’s buttons, with faults, a reload and a second viewer', async () => {
  // The hand turns as soon as the bench listens; on a busy computer Start comes later, so it turns back in every turn.
  const turnedBack = [150, 500, 850, 1200, 1550].flatMap(deg => ['--fault', `back:12@${deg}deg`]);
  const { address, run, page: program } = await bench(['--fault', 'lost-bytes:0.00002', ...turnedBack]);
  const first = await look(address);
  assert.deepEqual(await accessibilityFindings(first.page), []);
  await first.page.getByRole('button', { name: 'Start' }).click();
  await first.page.getByRole('button', { name: 'End here' }).waitFor();
  const second = await look(address);
  await second.page.waitForFunction(() => /turned back/.test(document.getElementById('troubles').textContent), null, { timeout: 60000 });
  // The second is shut, the first loaded again in the middle: both lack nothing, the sweep goes on.
  await second.page.close();
  await first.page.reload();
  await first.page.waitForFunction(() => /turned back/.test(document.getElementById('troubles').textContent));
  const ring = await first.page.locator('#ring').getAttribute('aria-label');
  assert.match(ring, /percent of the turn/);
  // Traces are drawn, in pixels.
  const inked = await first.page.locator('#lobe canvas').evaluate(canvas => {
    const pixels = new Uint32Array(canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data.buffer);
    return new Set(pixels).size;
  });
  assert.ok(inked > 20, `${inked} colours`);
  await sweepDone(first.page);
  await first.page.locator('#places li.done', { hasText: '1E' }).waitFor();
  program.child.kill('SIGTERM');
  await program.ended;
  const sweeps = readdirSync(join(run, 'sweeps')).filter(name => name.endsWith('.csv'));
  assert.equal(sweeps.length, 1);
  // Every degree of the turn was read: 7200 counts a turn.
  const counts = readFileSync(join(run, 'sweeps', sweeps[0]), 'utf8').split('\n').filter(row => /^\d+,-?\d+,/.test(row)).map(row => Number(row.split(',')[1]));  // t_us,count,...
  assert.equal(new Set(counts.map(count => Math.floor((((count % 7200) + 7200) % 7200) / 20))).size, 360);
  assert.deepEqual(first.troubles, []);
});

/** The status of a plain request with these headers. */
function status(address, path, headers) {
  const url = new URL(path, address);
  return new Promise((done, failed) => {
    http.get({ host: url.hostname, port: url.port, path: url.pathname + url.search, headers }, response => {
      response.resume();
      done(response.statusCode);
    }).on('error', failed);
  });
}

const asWebSocket = { Connection: 'Upgrade', Upgrade: 'websocket', 'Sec-WebSocket-Version': '13', 'Sec-WebSocket-Key': 'dGhlIHNhbXBsZSBub25jZQ==' };

test('pages from elsewhere, wrong hosts and other paths are refused', async () => {
  const { address, page: program } = await bench(['--still']);
  const host = new URL(address).host;
  assert.equal(await status(address, '/', { Host: host }), 200);
  assert.equal(await status(address, '/', { Host: 'elsewhere.example' }), 421);
  assert.equal(await status(address, '/live', { Host: host, ...asWebSocket, Origin: 'http://elsewhere.example' }), 403);
  assert.equal(await status(address, '/live', { Host: host, ...asWebSocket }), 403);
  for (const path of ['/run.toml', '/../run.toml', '/%2e%2e/etc/passwd', '/bench.js/x']) assert.equal(await status(address, path, { Host: host }), 404, path);
  // A page of another origin, in the same browser.
  const evil = http.createServer((request, response) => {
    response.setHeader('Content-Type', 'text/html');
    response.end('<script>const w = new WebSocket("ws://' + host + '/live"); w.onopen = () => document.title = "in"; w.onerror = () => document.title = "out";</script>');
  });
  await new Promise(listening => evil.listen(0, '127.0.0.1', listening));
  const page = await browser.newPage();
  await page.goto(`http://127.0.0.1:${evil.address().port}/`);
  await page.waitForFunction(() => document.title !== '');
  assert.equal(await page.title(), 'out');
  await page.close();
  evil.close();
  // What is no request at all, and a very long one: the bench goes on.
  for (const bytes of ['\0\0\0\n\n', 'GET / HTTP/1.1\r\nHost: ' + 'x'.repeat(20000) + '\r\n\r\n', 'GET']) {
    await new Promise(done => {
      const socket = net.connect(new URL(address).port, '127.0.0.1', () => socket.end(bytes));
      socket.on('close', done).on('error', done).resume();
    });
  }
  assert.equal(await status(address, '/', { Host: host }), 200);
  program.child.kill('SIGTERM');
  await program.ended;
});

test('beyond loopback a key is wanted, and is good once', async () => {
  const other = Object.values(networkInterfaces()).flat().find(address => address.family === 'IPv4' && !address.internal);
  assert.ok(other, 'this machine has loopback only');
  const { address, page: program } = await bench(['--still'], ['--page-at', other.address]);
  const url = new URL(address), key = url.search, host = url.host, here = url.origin;
  assert.match(key, /^\?key=[0-9a-f]{32}$/);
  assert.equal(await status(here, '/', { Host: host }), 403);
  assert.equal(await status(here, '/?key=00000000000000000000000000000000', { Host: host }), 403);
  assert.equal(await status(here, `/${key}`, { Host: host }), 303);
  assert.equal(await status(here, `/${key}`, { Host: host }), 403);
  await program.says(/For another browser: \S+key=/);
  program.child.kill('SIGTERM');
  await program.ended;
});
