// The report of every sample run, opened from its file in a real browser.
import assert from 'node:assert/strict';
import { cpSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { accessibilityFindings, openBrowser, openPage, run, sample, temporaryFolder } from './browser.mjs';

const folder = temporaryFolder();
let browser;
before(async () => { browser = await openBrowser(); });
after(async () => { await browser.close(); });

// Reference, or none, and run.
const cases = [
  ['launch-4-new', 'launch-4-used-wiped'], ['launch-4-new', 'launch-4-used-nose'], ['launch-4-before', 'launch-4-after'],
  ['pump-6-new', 'pump-6-used'], ['hand-4-new', 'hand-4-used'], [null, 'launch-4-new'], [null, 'pump-6-used']
];

function reportOf([reference, used], ...more) {
  const file = join(folder, `${reference || 'alone'}-${used}.html`);
  run('report', ...(reference ? [sample(reference)] : []), sample(used), '--to', file, '--overwrite', ...more);
  return file;
}

/** How many colours a chart shows: one drawn blank shows one. */
async function colours(page, holder) {
  const shot = await holder.screenshot();
  return page.evaluate(async bytes => {
    const image = await createImageBitmap(new Blob([new Uint8Array(bytes)], { type: 'image/png' }));
    const canvas = new OffscreenCanvas(image.width, image.height);
    const context = canvas.getContext('2d');
    context.drawImage(image, 0, 0);
    const pixels = new Uint32Array(context.getImageData(0, 0, image.width, image.height).data.buffer);
    return new Set(pixels).size;
  }, [...shot]);
}

for (const which of cases) {
  test(`report of ${which.filter(Boolean).join(' and ')}`, async () => {
    const file = reportOf(which);
    assert.ok(statSync(file).size < 3e6, `${statSync(file).size} bytes`);
    const { page, troubles } = await openPage(browser, `file://${file}`);
    await page.waitForSelector('html[data-ready]');
    const json = JSON.parse(which[0] ? run('compare', sample(which[0]), sample(which[1]), '--json')
      : run('inspect', sample(which[1]), '--json'));

    // The verdict and every lobe stand on the first screen's table as --json has them.
    const words = { reuse: 'reuse', regrind: 'regrind', scrap: 'scrap', remeasure: 'measure again' };
    for (const lobe of json.lobes) {
      const row = page.locator('main > .wide-table').first().locator('tr', { has: page.getByRole('button', { name: lobe.name, exact: true }) });
      assert.equal((await row.locator('.verdict-cell').innerText()).trim(), words[lobe.verdict]);
    }
    // Every figure of every lobe, digit for digit.
    for (const [i, lobe] of json.lobes.entries()) {
      const cells = await page.locator(`.lobe[data-lobe="${i}"] td[data-value]`).evaluateAll(
        list => list.map(cell => [Number(cell.dataset.value), Number(cell.dataset.u95)]));
      const expected = [lobe.lift.used, lobe.taper.opening, lobe.taper.closing, lobe.base_circle.runout.front,
        lobe.base_circle.eccentricity, ...(which[0] ? [lobe.lift.loss, lobe.wear.nose_depth, lobe.wear.volume, lobe.stock_to_clean] : [])];
      for (const figure of expected.filter(Boolean)) {
        assert.ok(cells.some(([value, u95]) => value === figure.value && u95 === figure.u95), `${lobe.name}: ${JSON.stringify(figure)}`);
      }
    }
    // Charts are drawn, in pixels: of every lobe in one report, of the first one in the others.
    for (const lobe of which === cases[0] ? json.lobes : json.lobes.slice(0, 1)) {
      await page.locator('.lobe-bar').getByRole('button', { name: lobe.name, exact: true }).click();
      const holders = await page.locator('.lobe.shown .chart').all();
      assert.ok(holders.length >= 2);
      for (const holder of holders) {
        await holder.scrollIntoViewIfNeeded();
        await holder.locator('svg').first().waitFor();
        assert.ok(await colours(page, holder) > 8, `${lobe.name} ${await holder.getAttribute('data-chart')}`);
      }
    }
    assert.deepEqual(troubles, []);
    await page.close();
  });
}

test('the first chart stands there before anyone scrolls, the others when they come into sight', async () => {
  const { page } = await openPage(browser, `file://${reportOf(cases[0])}`);
  await page.waitForFunction(() => document.querySelector('.lobe.shown .chart svg path'));
  const drawn = () => page.evaluate(() => [...document.querySelectorAll('.chart')].filter(c => c.querySelector('svg')).length);
  assert.equal(await drawn(), 1);
  await page.evaluate(() => document.querySelector('.lobe.shown .chart').scrollIntoView());
  await page.waitForFunction(() => [...document.querySelectorAll('.lobe.shown .chart')].slice(0, 3).every(c => c.querySelector('svg path')));
  await page.close();
});

test('hover and arrow keys read a chart off', async () => {
  const file = reportOf(cases[0]);
  const { page } = await openPage(browser, `file://${file}`);
  const chart = page.locator('.lobe.shown .chart[data-chart="wear"]');
  await chart.scrollIntoViewIfNeeded();
  await chart.locator('svg').first().waitFor();
  await chart.hover({ position: { x: 500, y: 120 } });
  await page.waitForFunction(() => /from the nose.*front edge.*mm/s.test(document.querySelector('.lobe.shown [data-chart="wear"]').innerText));
  await page.mouse.move(0, 0);
  const taper = page.locator('.lobe.shown .chart[data-chart="taper"]');
  await taper.focus();
  await taper.press('ArrowRight');
  await page.waitForFunction(() => /from the nose.*taper.*mm/s.test(document.querySelector('.lobe.shown [data-chart="taper"]').innerText));
  await page.close();
});

test('arrow keys walk from lobe to lobe', async () => {
  const { page } = await openPage(browser, `file://${reportOf(cases[1])}`);
  await page.waitForSelector('html[data-ready]');
  const shownLobe = () => page.locator('.lobe.shown').getAttribute('aria-label');
  const first = await shownLobe();
  await page.keyboard.press('ArrowRight');
  assert.notEqual(await shownLobe(), first);
  await page.keyboard.press('ArrowLeft');
  assert.equal(await shownLobe(), first);
  await page.close();
});

for (const width of [360, 820, 1920]) {
  test(`nothing sticks out of a window ${width} wide`, async () => {
    const { page } = await openPage(browser, `file://${reportOf(cases[0])}`, { viewport: { width, height: 800 } });
    await page.waitForSelector('html[data-ready]');
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
    await page.close();
  });
}

for (const colorScheme of ['light', 'dark']) {
  test(`no serious finding of the accessibility checker, ${colorScheme}`, async () => {
    const { page } = await openPage(browser, `file://${reportOf(cases[0])}`, { colorScheme });
    await page.waitForSelector('html[data-ready]');
    assert.deepEqual(await accessibilityFindings(page), []);
    await page.close();
  });
}

for (const format of ['A4', 'Letter']) {
  test(`printed on ${format}: every lobe, no chart cut off`, async () => {
    const { page } = await openPage(browser, `file://${reportOf(cases[0])}`);
    await page.waitForSelector('html[data-ready]');
    // As a browser prints: the page is told while it is still laid out for the screen, and there is no frame after it.
    const empty = await page.evaluate(() => {
      dispatchEvent(new Event('beforeprint'));
      return [...document.querySelectorAll('.chart')].filter(c => c.querySelectorAll('svg path').length < 3).map(c => c.dataset.chart);
    });
    assert.deepEqual(empty, []);
    await page.emulateMedia({ media: 'print' });
    const wide = format === 'A4' ? 793 - 2 * 53 : 816 - 2 * 53;  // 14 mm margins, CSS pixels
    const charts = await page.locator('.lobe .chart').evaluateAll(list => list.map(holder => {
      const svg = holder.querySelector('svg');
      return svg ? [svg.getBoundingClientRect().width, holder.getBoundingClientRect().width] : null;
    }));
    assert.ok(charts.length >= 8 * 6);
    for (const chart of charts) assert.ok(chart && chart[0] <= wide && chart[0] <= chart[1] + 1, JSON.stringify(chart));
    const pdf = await page.pdf({ format, printBackground: true });
    assert.ok((pdf.toString('latin1').match(/\/Type\s*\/Page[^s]/g) || []).length >= 9);
    await page.close();
  });
}

test('text from a run stays text', async () => {
  const hostile = join(folder, 'hostile');
  cpSync(sample('launch-4-used-wiped'), hostile, { recursive: true });
  const file = join(hostile, 'run.toml');
  const attack = '</script><img src=x onerror=alert(1)><b>&amp;';
  writeFileSync(file, readFileSync(file, 'utf8').replace(/operator = ".*"/, `operator = "${attack}"`)
    .replace(/part = ".*"/, `part = "${attack}"`).replace(/^note = ".*"/m, `note = "${attack}"`)
    .replace(/tappet = "T1E"/, `tappet = "${attack}"`).replace(/material = ".*"/, `material = "${attack}"`)
    .replace(/^id = ".*"/m, `id = "${attack}"`));
  // A lobe's and a journal's name stand in the sweeps, too, and in the reference.
  const reference = join(folder, 'hostile-new');
  cpSync(sample('launch-4-new'), reference, { recursive: true });
  for (const run of [hostile, reference]) {
    const toml = join(run, 'run.toml');
    writeFileSync(toml, readFileSync(toml, 'utf8').replace('name = "2I"', `name = "2${attack}"`).replace('name = "J2"', `name = "J${attack}"`));
    for (const name of readdirSync(join(run, 'sweeps'))) {
      const sweep = join(run, 'sweeps', name);
      writeFileSync(sweep, readFileSync(sweep, 'utf8').replace(/^# of: 2I$/m, `# of: 2${attack}`).replace(/^# of: J2$/m, `# of: J${attack}`));
    }
  }
  const page = join(folder, 'hostile.html');
  run('report', reference, hostile, '--to', page, '--figures', join(folder, 'hostile-figures'));
  const opened = await openPage(browser, `file://${page}`);
  await opened.page.waitForSelector('html[data-ready]');
  assert.equal(await opened.page.locator('img').count(), 0);
  assert.ok((await opened.page.locator('header .run').first().innerText()).includes(attack));
  assert.ok((await opened.page.locator('.lobe-bar').innerText()).includes(attack));
  for (const holder of await opened.page.locator('.chart[data-chart^="along"]').all()) {
    await holder.scrollIntoViewIfNeeded();
    await holder.locator('svg').first().waitFor();
    await holder.hover({ position: { x: 130, y: 180 } });
  }
  assert.equal(await opened.page.locator('img').count(), 0);
  assert.deepEqual(opened.troubles, []);
  await opened.page.close();
  for (const name of readdirSync(join(folder, 'hostile-figures'))) assert.ok(!/<img|<script/i.test(readFileSync(join(folder, 'hostile-figures', name), 'utf8')), name);
});

const otherPages = {
  regrind: ['regrind', sample('launch-4-used-wiped'), '--target', sample('launch-4-new')],
  history: ['history', sample('launch-4-before'), sample('launch-4-after')],
  card: ['card', sample('pump-6-new')]
};
for (const [name, words] of Object.entries(otherPages)) {
  test(`page of ${name}`, async () => {
    const file = join(folder, `${name}.html`);
    run(...words, '--report', file);
    const { page, troubles } = await openPage(browser, `file://${file}`);
    await page.waitForSelector('html[data-ready]');
    // Every figure with a value that --json holds of the first lobe's stock, loss or lift stands in the page.
    const lobe = JSON.parse(run(...words, '--json')).lobes[0];
    const figure = lobe.stock || lobe.lift || lobe.lift_loss.at.at(-1).value;
    const values = await page.locator('td[data-value]').evaluateAll(list => list.map(cell => Number(cell.dataset.value)));
    assert.ok(values.includes(figure.value), JSON.stringify(figure));
    for (const holder of (await page.locator('.chart').all()).slice(0, 4)) {
      await holder.scrollIntoViewIfNeeded();
      await holder.locator('svg').first().waitFor();
      assert.ok(await colours(page, holder) > 8);
    }
    assert.deepEqual(await accessibilityFindings(page), []);
    assert.deepEqual(troubles, []);
    await page.close();
  });
}

test('page of a study', async () => {
  const lines = join(folder, 'study.ndjson'), file = join(folder, 'study.html');
  run('study', sample('.'), '--out', lines);
  run('study', '--summary', lines, '--report', file);
  const { page, troubles } = await openPage(browser, `file://${file}`);
  await page.waitForSelector('html[data-ready]');
  const summary = JSON.parse(run('study', '--summary', lines, '--json'));
  const values = await page.locator('td[data-value]').evaluateAll(list => list.map(cell => Number(cell.dataset.value)));
  for (const one of [...summary.places, ...summary.parts]) assert.ok(values.includes(one.nose_wear.median), one.part);
  assert.deepEqual(await accessibilityFindings(page), []);
  assert.deepEqual(troubles, []);
  await page.close();
});

test('a limit is drawn where it is', async () => {
  const { page } = await openPage(browser, `file://${reportOf(cases[0])}`);
  const chart = page.locator('[data-chart="along-taper"]');
  await chart.scrollIntoViewIfNeeded();
  await chart.locator('svg').first().waitFor();
  // The scale from two of its labels; the limit's line from the one that is dotted.
  const [limit, scale] = await chart.evaluate(holder => {
    const texts = [...holder.querySelectorAll('text')].map(t => [Number(t.textContent.replace('\u2212', '-')), t.getBoundingClientRect()])
      .filter(([value]) => Number.isFinite(value) && value !== 0 || value === 0).map(([value, box]) => [value, box.y + box.height / 2]);
    const dotted = [...holder.querySelectorAll('path[stroke-dasharray]')].map(p => p.getBoundingClientRect()).filter(b => b.width > 100);
    return [dotted[0].y + dotted[0].height / 2, texts];
  });
  const [low, high] = [scale.find(([v]) => v === 0), scale.find(([v]) => v === 0.02)];
  const value = (limit - low[1]) / (high[1] - low[1]) * (high[0] - low[0]);
  assert.ok(Math.abs(value - 0.005) < 0.0005, `${value}`);  // built-in: common practice, no source
  await page.close();
});

test('figures of their own are whole drawings', async () => {
  const figures = join(folder, 'figures');
  run('report', sample('launch-4-new'), sample('launch-4-used-nose'), '--to', join(folder, 'with.html'), '--figures', figures);
  const names = readdirSync(figures);
  assert.ok(names.includes('cam.svg') && names.includes('1E-wear.svg') && names.includes('along-wear.svg'));
  const page = await browser.newPage();
  for (const name of names) {
    // A browser that can't read it as a drawing shows a parser's error instead.
    await page.goto(`file://${join(figures, name)}`);
    assert.equal(await page.evaluate(() => document.documentElement.localName), 'svg', name);
    assert.ok(await page.evaluate(() => document.querySelectorAll('path, rect, text').length) > 10, name);
  }
  await page.close();
});
