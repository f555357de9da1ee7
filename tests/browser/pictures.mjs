// Makes the pictures in docs/ from the sample runs, so that they show what the program shows. Run by hand:
// LOBEWRIGHT=build/cli/lobewright SAMPLES=sample_runs MODULES=build/tests/browser/node_modules node tests/browser/pictures.mjs
import { copyFileSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { bench, look, stopAll } from './bench_runner.mjs';
import { openBrowser, run, sample, temporaryFolder } from './browser.mjs';

const pictures = join(dirname(fileURLToPath(import.meta.url)), '../../docs/pictures');
const folder = temporaryFolder(), file = join(folder, 'report.html');
run('report', sample('launch-4-new'), sample('launch-4-used-wiped'), '--to', file, '--figures', join(folder, 'figures'));
copyFileSync(join(folder, 'figures', '3E-taper.svg'), join(pictures, '3E-taper.svg'));

const browser = await openBrowser();
const report = await browser.newPage({ viewport: { width: 1180, height: 900 }, colorScheme: 'light' });
await report.goto(`file://${file}`);
await report.waitForSelector('html[data-ready]');
await report.screenshot({ path: join(pictures, 'report.png') });

// A lobe's outline with its parts named, from a sample lobe's own curve.
const lobe = JSON.parse(run('inspect', sample('launch-4-new'), '--json', '--curves')).lobes[0];
writeFileSync(join(pictures, 'lobe.svg'), lobeParts(lobe));

const { address } = await bench(['--fault', 'back:12@100deg']);
const { page } = await look(browser, address);
await page.getByRole('button', { name: 'Start' }).click();
await page.waitForFunction(() => /^[67]\d percent/.test(document.getElementById('ring').getAttribute('aria-label')), null, { timeout: 60000 });
await page.waitForTimeout(300);  // the trace is drawn five times a second
await page.screenshot({ path: join(pictures, 'bench.png') });
stopAll();
await browser.close();

function lobeParts(lobe) {
  const base = 14, curves = lobe.curves, nose = lobe.nose_deg.value;
  const lift = curves.front.map((f, i) => (f + curves.rear[i]) / 2), most = Math.max(...lift);
  const at = (deg, out) => [220 + 9 * out * Math.sin(deg * Math.PI / 180), 230 - 9 * out * Math.cos(deg * Math.PI / 180)];
  const step = 360 / lift.length;
  // h cos - h' sin and h sin + h' cos, about the nose.
  const points = lift.map((h, i) => {
    const slope = (lift[(i + 1) % lift.length] - lift[(i + lift.length - 1) % lift.length]) / (2 * step * Math.PI / 180);
    const deg = curves.angle_deg[i] - nose, [x, y] = at(deg, base + h), [dx, dy] = at(deg + 90, slope);
    return { deg: ((deg + 540) % 360) - 180, share: h / most, x: x + dx - 220, y: y + dy - 230 };
  }).sort((a, b) => a.deg - b.deg);
  const path = part => `M${part.map(p => `${p.x.toFixed(1)} ${p.y.toFixed(1)}`).join('L')}`;
  const ramp = side => points.filter(p => side * p.deg > 0 && p.share > 0.2 && p.share < 0.8);
  const tip = points.filter(p => Math.abs(p.deg) <= 2);
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 440 420" font-family="system-ui, DejaVu Sans, sans-serif" font-size="16" role="img" aria-label="A lobe with heel, ramps and nose">
<rect width="440" height="420" fill="#fff"/><path d="${path(points)}z" fill="#eef1f3" stroke="#66727c" stroke-width="2"/>
<path d="${path(ramp(-1))}" fill="none" stroke="#0b62a8" stroke-width="7"/><path d="${path(ramp(1))}" fill="none" stroke="#c1440e" stroke-width="7" stroke-dasharray="10 5"/>
<path d="${path(tip)}" fill="none" stroke="#1b232b" stroke-width="9"/><path d="M210 230h20M220 220v20" stroke="#57636e" stroke-width="2"/>
<path d="M196 268a44 44 0 0 1 0 -76m-12 8l12-9l3 15" fill="none" stroke="#57636e" stroke-width="2"/>
<g fill="#1b232b" text-anchor="middle"><text x="220" y="26">nose</text><text x="220" y="392">heel</text><text x="72" y="150">opening</text><text x="72" y="170">ramp</text><text x="368" y="150">closing</text><text x="368" y="170">ramp</text></g></svg>
`;
}
