// Links and backups with slips: what is kept of the long searches, and a few more drawn from a seed. No browser.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { ask, corpus, hunt } from './fuzz.mjs';

const seed = Number(process.env.BASTWORK_SEED ?? 1);

for (const [what, count] of [['link', 1500], ['backup', 60]]) {
  test(`what is kept of the search among ${what}s does no harm`, async (t) => {
    const kept = await corpus(what);
    assert.ok(kept.length >= 5, `${kept.length}`);
    for (const { name, text } of kept) await ask(what, text).catch((why) => assert.fail(`${name}: ${why.message}`));
    t.diagnostic(`${kept.length} inputs`);
  });

  test(`a ${what} with slips comes in, or is told`, async (t) => {
    const { tried, marks, harms } = await hunt(what, { seed, count });
    t.diagnostic(`${tried} tried, ${marks} answers`);
    assert.deepEqual(harms.map(({ what: told, text }) => `${told}: ${text.slice(0, 2000)}`), []);
    assert.ok(marks > 10, 'the slips are seen');
  });
}
