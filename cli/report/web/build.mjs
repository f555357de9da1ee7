// build.mjs: bundles the pages' and the figures' scripts beside it, where node_modules stands too.
import { build } from 'esbuild';
import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';

const both = {
  bundle: true, format: 'iife', logLevel: 'warning', legalComments: 'inline', absWorkingDir: dirname(fileURLToPath(import.meta.url)),
  define: { 'process.env.NODE_ENV': '"production"' }
};
await build({ ...both, entryPoints: ['page.js'], outfile: 'page.bundle.js', minify: true, target: 'es2019' });
await build({ ...both, entryPoints: ['bench.js'], outfile: 'bench.bundle.js', minify: true, target: 'es2019' });
// The engine in the program speaks ES5 and has neither window nor timers; shortened syntax is more than its parser takes.
await build({
  ...both, entryPoints: ['figures.js'], outfile: 'figures.bundle.js', minifyWhitespace: true, minifyIdentifiers: true, target: 'es5',
  banner: { js: 'var global=this,nothing=function(){},setTimeout=nothing,clearTimeout=nothing,console={error:nothing,warn:nothing,log:nothing};' }
});
