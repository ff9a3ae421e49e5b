// The handout element as a plain frame: frame.html?stage=dry&plan=...&fixed=...&open=... or the same after `#`.
import { planFrom } from './share.js';

/** Attributes that the address may set. */
const names = ['stage', 'plan', 'fixed', 'open', 'theme'];

async function follow() {
  const element = /** @type {HTMLElement} */ (document.querySelector('bast-work'));
  const given = new Map([...new URLSearchParams(location.search), ...new URLSearchParams(location.hash.slice(1))]);
  const plan = given.get('plan');
  // The part of a link after `#` stands for its plan too.
  const linked = plan === undefined ? null : await planFrom({ hash: `#${plan}` });
  if (linked && 'plan' in linked) given.set('plan', JSON.stringify(linked.plan));
  for (const name of names) {
    const value = given.get(name);
    if (value === undefined) element.removeAttribute(name);
    else element.setAttribute(name, value);
  }
}

addEventListener('hashchange', () => void follow());
await follow();
await import('./bast-work.js');
