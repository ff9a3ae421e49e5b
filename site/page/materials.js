// The shop's own cloths, cores, resins and tools: changing one, writing a new one, taking one off the shelf.
import { readTyped, shown } from './entry.js';
import { h, write } from './dom.js';
import { copyOf, get } from './path.js';
import { standalone } from './ownshelf.js';

/** What an own material needs besides numbers; `list` names a list of the core's shelf. */
const KINDS = {
  fabrics: { table: 'fabrics', one: 'cloth', many: 'cloths', fixed: { kind: 'cloth' }, words: [
    { name: 'fibre', label: 'Fibre', list: 'fibres', usual: 'flax' },
    { name: 'architecture', label: 'How the fibres lie', list: 'architectures', usual: 'twill' },
    { name: 'mass_basis', label: 'What the stated mass includes', list: 'mass_bases', usual: 'conditioned' }] },
  cores: { table: 'fabrics', one: 'core', many: 'cores', fixed: { kind: 'core' }, words: [] },
  resins: { table: 'resins', one: 'resin', many: 'resins', fixed: {}, words: [
    { name: 'pot_life_meaning', label: 'When its maker calls the pot life over', list: 'pot_life_meanings', usual: 'gel' }] },
  tools: { table: 'tools', one: 'tool', many: 'tools', fixed: {}, words: [
    { name: 'action', label: 'How it cuts', list: 'actions', usual: 'cutting_wheel' }] },
};

/** What stands in the place that `ownButton` opens. */
export function editor(app, kind, path, id, done) {
  const spec = KINDS[kind];
  const owned = Object.entries(app.own[spec.table] ?? {}).filter(([, doc]) => (doc?.kind ?? 'cloth') === (spec.fixed.kind ?? doc?.kind ?? 'cloth'));
  const body = h('div', {});
  const open = (key) => body.replaceChildren(...form(app, kind, path, id, key, done));
  const list = owned.map(([key, doc]) => h('li', {}, h('span', {}, doc.name ?? key),
    h('button', { type: 'button', class: 'quiet', 'aria-label': `Change ${doc.name ?? key}`, on: { click: () => open(key) } }, 'Change'),
    h('button', { type: 'button', class: 'quiet', 'aria-label': `Take ${doc.name ?? key} off the shelf`, on: { click() { takeOff(app, spec.table, key, doc.name ?? key); done(); } } }, 'Take off')));
  const places = path === 'stack' ? (app.plan.stack ?? []).map((_, at) => `stack.${at}.fabric`) : [path];
  for (const where of places) {
    const written = get(app.plan, where);
    if (written === null || typeof written !== 'object' || (written.kind ?? 'cloth') !== (spec.fixed.kind ?? 'cloth')) continue;
    list.push(h('li', {}, h('span', {}, written.name ?? 'Written out in this plan'),
      h('button', { type: 'button', class: 'quiet', on: { click() { use(app, spec, where, newKey(app, spec.table, written.name), copyOf(written)); done(); } } }, 'Keep it on your shelf')));
  }
  open(null);
  return [list.length > 0 && h('ul', { class: 'owned' }, ...list), body].filter(Boolean);
}

function takeOff(app, table, key, name) {
  const before = { own: copyOf(app.own), plan: copyOf(app.plan) };
  const own = copyOf(app.own);
  delete own[table][key];
  // The plan on the bench keeps what it used, written out in full.
  app.replacePlan(standalone(app.plan, { [table]: { [key]: before.own[table][key] } }));
  app.saveOwn(own);
  app.say(`${name} is off your shelf.`, { undo: () => { app.saveOwn(before.own); app.replacePlan(before.plan); } });
}

function form(app, kind, path, id, key, done) {
  const spec = KINDS[kind];
  const known = key ? app.own[spec.table][key] : null;
  const draft = known ? null : app.own.drafts?.[kind];
  const texts = copyOf(draft?.texts ?? {});
  const words = { ...Object.fromEntries(spec.words.map(({ name, usual }) => [name, known?.[name] ?? usual])), ...draft?.words };
  const fields = app.core.own_entries(kind, app.units).map((entry) => {
    const name = entry.key.split('.').at(-1);
    return { ...entry, name, key: entry.key.includes('.') ? entry.key : `${kind}.${entry.key}` };
  });
  // A draft that was typed in the other units says the same in these.
  if (draft && draft.units !== app.units) {
    for (const { name, key: at } of fields) {
      const { value } = texts[name] ? app.core.read_entry(at, texts[name], draft.units) : {};
      if (value !== undefined) texts[name] = shown(app, at, value);
    }
  }
  if (known) for (const { name, key: at } of fields) texts[name] = shown(app, at, known[name]);

  const title = h('input', { id: `${id}-name`, type: 'text', maxlength: 200, autocomplete: 'off', value: known?.name ?? draft?.name ?? '', 'aria-describedby': `${id}-name-under` });
  const titleUnder = h('p', { class: 'under', id: `${id}-name-under` }, `as you call it in the shop`);
  const keepDraft = () => {
    if (known) return;
    const own = copyOf(app.own);
    own.drafts = { ...own.drafts, [kind]: { name: title.value, units: app.units, words, texts } };
    app.saveOwn(own, { quiet: true });
  };
  title.addEventListener('input', keepDraft);

  const selects = spec.words.map(({ name, label, list }) => {
    const options = app.shelf[list] ?? [];
    const select = h('select', { id: `${id}-${name}`, on: { change() { words[name] = select.value; keepDraft(); } } },
      ...options.map((option) => h('option', { value: option.word ?? option.key }, option.label ?? option.name)));
    select.value = words[name];
    return h('div', { class: 'entry' }, h('label', { for: `${id}-${name}` }, label), h('div', { class: 'well' }, select));
  });
  const inputs = new Map();
  const numbers = fields.map(({ name, label, hint, unit }) => {
    const under = h('p', { class: 'under', id: `${id}-${name}-under` }, hint && `for example ${hint}`);
    const input = h('input', { id: `${id}-${name}`, type: 'text', inputmode: 'decimal', autocomplete: 'off', 'aria-describedby': `${id}-${name}-under`, value: texts[name] ?? '' });
    input.addEventListener('input', () => { texts[name] = input.value; keepDraft(); tell(name, null); });
    inputs.set(name, { input, under, usual: under.textContent });
    return h('div', { class: 'entry' }, h('label', { for: `${id}-${name}` }, label),
      h('div', { class: 'well' }, input, unit && h('span', { class: 'unit' }, unit)), under);
  });
  function tell(name, sentence) {
    const { input, under, usual } = inputs.get(name);
    write(under, sentence ?? usual);
    under.classList.toggle('problem', Boolean(sentence));
    if (sentence) input.setAttribute('aria-invalid', 'true');
    else input.removeAttribute('aria-invalid');
  }
  const foot = h('p', { class: 'under', role: 'status' });
  const keep = () => {
    const doc = { ...known, name: title.value.trim(), ...spec.fixed, ...words };
    const sentences = new Map();
    for (const { name, key: at, unit } of fields) {
      const read = readTyped(app, at, texts[name] ?? '', unit);
      // A range that came with a file stays while its number is not touched.
      const untouched = known && texts[name] === shown(app, at, known[name]);
      if (untouched) continue;
      if (read.value === undefined) delete doc[name];
      else doc[name] = read.value;
      if (read.sentence) sentences.set(name, read.sentence);
    }
    const rest = [];
    for (const { field, sentence } of probe(app, spec.table, doc)) {
      if (inputs.has(field)) sentences.set(field, sentences.get(field) ?? sentence);
      else rest.push(sentence);
    }
    if (!doc.name) rest.push(`Give the ${spec.one} a name.`);
    for (const name of inputs.keys()) tell(name, sentences.get(name) ?? null);
    write(foot, rest.join(' '));
    foot.classList.toggle('problem', rest.length > 0);
    const [first] = sentences.keys();
    if (first) return inputs.get(first).input.focus();
    if (rest.length) return title.focus();
    use(app, spec, path, key ?? newKey(app, spec.table, doc.name), doc, kind);
    return done();
  };
  return [
    h('h3', {}, known ? `Change ${known.name ?? key}` : `Write your own ${spec.one}`),
    h('div', { class: 'entries' },
      h('div', { class: 'entry' }, h('label', { for: `${id}-name` }, 'Name'), h('div', { class: 'well' }, title), titleUnder), ...selects, ...numbers),
    foot,
    h('p', { class: 'buttons' },
      h('button', { type: 'button', class: 'main', on: { click: keep } }, 'Keep and use it'),
      h('button', { type: 'button', class: 'quiet', on: { click: done } }, 'Put away')),
  ];
}

/** What stands in the way of using this material, by the name of its field. */
function probe(app, table, doc) {
  const plan = { format: 1, units: app.units, part: { area_m2: 1, flow_length_mm: 300 }, stack: [{ fabric: 'flax_twill_300', count: 1 }] };
  const at = { fabrics: 'stack.0.fabric.', resins: 'resin.', tools: 'trim.tool.' }[table];
  // A core alone makes no laminate, so a cloth stays beside it.
  if (table === 'fabrics') plan.stack.unshift({ fabric: doc, count: 1 });
  if (table === 'resins') plan.resin = doc;
  if (table === 'tools') plan.trim = { tool: doc };
  const { problems = [] } = app.core.sheet(plan, null);
  return problems.filter(({ field }) => field.startsWith(at)).map(({ field, sentence }) => ({ field: field.slice(at.length), sentence }));
}

function newKey(app, table, name) {
  const plain = `own_${String(name ?? '').normalize('NFKD').toLowerCase().replace(/[^a-z0-9]+/g, '_').replace(/^_+|_+$/g, '') || 'entry'}`;
  const taken = app.own[table] ?? {};
  for (let count = 1; ; count += 1) {
    const key = count === 1 ? plain : `${plain}_${count}`;
    if (!Object.hasOwn(taken, key)) return key;
  }
}

function use(app, spec, path, key, doc, kind) {
  const own = copyOf(app.own);
  own[spec.table] = { ...own[spec.table], [key]: doc };
  if (kind && own.drafts) delete own.drafts[kind];
  const before = copyOf(app.plan);
  app.saveOwn(own);
  if (path === 'stack') {
    const rows = Array.isArray(app.plan.stack) ? copyOf(app.plan.stack) : [];
    const used = rows.some(({ fabric }) => fabric === key);
    if (spec.fixed.kind === 'core' && !used) rows.push({ fabric: key, count: 1, angle_deg: 0 });
    else if (!used && rows.length) rows[rows.length - 1].fabric = key;
    else if (!used) rows.push({ fabric: key, count: 1, angle_deg: 0 });
    app.set('stack', rows);
  } else {
    app.set(path, key);
  }
  app.say(`${doc.name} is on your shelf and in this plan.`, { undo: () => app.replacePlan(before) });
}
