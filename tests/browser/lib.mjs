// What the browser tests share: a phone-sized page in Chromium, and a server that can be stopped.
import { createServer } from 'node:http';
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { extname, join, normalize, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { HtmlValidate } from 'html-validate';
import { chromium } from 'playwright-core';

/** The folder of the built page. */
export const siteDir = process.env.SITE_DIR ?? fileURLToPath(new URL('../../site/dist', import.meta.url));

/** The screen of a small phone. */
export const phone = { viewport: { width: 360, height: 740 }, deviceScaleFactor: 2, hasTouch: true, isMobile: true };

const flags = [
  '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-dev-shm-usage',
  '--disable-background-networking', '--disable-component-update', '--disable-sync',
];

const types = {
  '.html': 'text/html; charset=utf-8', '.css': 'text/css; charset=utf-8', '.js': 'text/javascript; charset=utf-8',
  '.wasm': 'application/wasm', '.json': 'application/json', '.webmanifest': 'application/manifest+json',
  '.svg': 'image/svg+xml', '.png': 'image/png', '.txt': 'text/plain; charset=utf-8',
};

/** Starts Chromium; close it when done. */
export function browser() {
  return chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: flags });
}

/** What a `_headers` file asks a host to send with a path: the last rule that fits has the last word. */
async function wanted(folder) {
  const lines = await readFile(join(folder, '_headers'), 'utf8').then((text) => text.split('\n'), () => []);
  const rules = [];
  for (const line of lines) {
    if (line.startsWith('/')) rules.push([line.trim(), {}]);
    else if (line.trim()) rules.at(-1)[1][line.slice(0, line.indexOf(':')).trim()] = line.slice(line.indexOf(':') + 1).trim();
  }
  return (path) => Object.assign({}, ...rules.filter(([rule]) => (rule.endsWith('*') ? path.startsWith(rule.slice(0, -1)) : path === rule)).map(([, headers]) => headers));
}

/**
 * Serves a folder below any path, as the real server does, until `stop` is called.
 * @param {{ headers?: boolean, bend?: (path: string, body: Buffer) => Buffer | number | null }} [options] Whether it sends what the
 *   folder's `_headers` file asks for; and what becomes of an answer: another body, a status without one, or no answer at all.
 * @returns {Promise<{ url: string, asked: string[], stop: () => Promise<void> }>} `asked` lists every path requested.
 */
export async function serve(folder = siteDir, below = '/', { headers = true, bend = (_, body) => body } = {}) {
  const asked = [];
  const sent = headers ? await wanted(folder) : () => ({});
  const server = createServer(async (request, response) => {
    const path = decodeURIComponent(new URL(request.url, 'http://localhost').pathname);
    asked.push(path);
    const file = normalize(join(folder, path.slice(below.length - 1)));
    try {
      if (!path.startsWith(below) || !`${file}${sep}`.startsWith(normalize(`${folder}${sep}`))) throw new Error('outside');
      const named = path.endsWith('/') ? join(file, 'index.html') : file;
      const body = bend(path.slice(below.length), await readFile(named));
      if (body === null) {
        response.destroy();
        return;
      }
      if (typeof body === 'number') {
        response.writeHead(body).end();
        return;
      }
      response.writeHead(200, {
        'content-type': types[extname(named)] ?? 'application/octet-stream',
        'cache-control': 'no-cache',
        ...sent(path.slice(below.length - 1)),
      });
      response.end(body);
    } catch {
      response.writeHead(404).end();
    }
  });
  // A test that stops half way does not keep Node waiting.
  server.unref();
  await new Promise((ready) => { server.listen(0, '127.0.0.1', ready); });
  const stop = () => new Promise((done) => { server.close(done); server.closeAllConnections(); });
  return { url: `http://localhost:${server.address().port}${below}`, asked, stop };
}

/**
 * Opens a fresh page (nothing stored) and notes what goes wrong on it.
 * @param {{ url?: string, before?: () => void }} [options] Any option of a browser context, the address to open, and what every
 *   page runs before its own scripts.
 */
export async function open(chromium, { url = process.env.SITE_URL, before, ...options } = {}) {
  const context = await chromium.newContext({ ...phone, ...options });
  if (before) await context.addInitScript(before);
  const page = await context.newPage();
  const complaints = [];
  const away = [];
  page.on('pageerror', (cause) => complaints.push(String(cause)));
  page.on('console', (line) => { if (line.type() === 'error') complaints.push(line.text()); });
  context.on('request', (request) => {
    const asked = new URL(request.url());
    if (asked.protocol.startsWith('http') && asked.origin !== new URL(url).origin) away.push(request.url());
  });
  await page.goto(url);
  return { context, page, complaints, away };
}

/** Waits until the service worker is in charge of the page and has stored everything. */
export async function kept(page) {
  await page.evaluate(() => navigator.serviceWorker.ready);
  await page.waitForFunction(() => navigator.serviceWorker.controller?.state === 'activated');
  await page.evaluate(() => new Promise((done) => {
    navigator.serviceWorker.addEventListener('message', ({ data }) => { if (data === 'all kept') done(); });
    navigator.serviceWorker.controller.postMessage('rest');
  }));
}

const axe = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** What keeps people out of the page as it stands now, one line each; call it in every state of the page. */
export async function barriers(page) {
  await page.evaluate(axe);
  const { violations } = await page.evaluate(() => window.axe.run());
  return violations.flatMap(({ id, help, nodes }) => nodes.map(({ target }) => `${id}: ${help} (${target.join(' ')})`));
}

/** What an HTML file of the built page gets wrong, one line each. */
export async function slips(file) {
  const validator = new HtmlValidate({ extends: ['html-validate:standard', 'html-validate:a11y'] });
  const report = await validator.validateFile(file);
  return report.results.flatMap(({ messages }) => messages.map(({ line, ruleId, message }) => `${file}:${line} ${ruleId}: ${message}`));
}
