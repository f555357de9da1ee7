// How late a reading is on the bench's page: run by hand, its figures stand in docs/bench-page.md.
// LOBEWRIGHT=build/cli/lobewright SAMPLES=sample_runs MODULES=build/tests/browser/node_modules node tests/browser/lateness.mjs
import { bench, look, stopAll } from './bench_runner.mjs';
import { openBrowser } from './browser.mjs';

const browser = await openBrowser();
// 2000 samples a second: 100 deg/s at 20 counts a degree.
const { address } = await bench([], [], 100);
const { page } = await look(browser, address);
await page.getByRole('button', { name: 'Start' }).click();
// The bench's clock and the page's have different zeros: the least difference seen stands for no lateness at all, and half
// a repaint (20 ms) is added for what even that one waited.
const late = await page.evaluate(() => new Promise(done => {
  const seen = [];
  new MutationObserver((_, watch) => {
    const heard = Number(document.documentElement.dataset.heardUs) / 1000;
    requestAnimationFrame(() => {
      seen.push(performance.now() - heard);
      if (seen.length === 80) {
        watch.disconnect();
        const least = Math.min(...seen);
        done(seen.map(s => s - least + 20).sort((a, b) => a - b));
      }
    });
  }).observe(document.documentElement, { attributes: true, attributeFilter: ['data-heard-us'] });
}));
console.log(`${late.length} pictures: median ${late[late.length >> 1].toFixed(0)} ms, 99 % within ${late[Math.ceil(0.99 * late.length) - 1].toFixed(0)} ms`);
stopAll();
await browser.close();
