// The entries that are not numbers: what each asks, the list or shelf it is chosen from, and what is usual.

/**
 * `list` names a list of words of the core, `table` a list of its shelf, `moment` is a day and a time, `free` is words; what has none of these is yes or no.
 * `none` is what the first option says when nothing need be chosen.
 * A row of the stack stands under `stack.fabric`.
 * @type {Record<string, { label: string, list?: string, table?: string, none?: string, usual: any, hint?: string, moment?: boolean, free?: boolean }>}
 */
export const ASKS = {
  route: { label: 'Way of moulding', list: 'route', usual: 'infusion' },
  units: { label: 'Units', list: 'units', usual: 'metric' },
  'stack.fabric': { label: 'Cloth', table: 'fabrics', usual: '' },
  resin: { label: 'Resin', table: 'resins', usual: 'infusion_epoxy_slow' },
  'bag.gauge_kind': { label: 'What the gauge shows', list: 'gauge_kind', usual: 'mbar_absolute' },
  'bag.flow_mesh': { label: 'A flow mesh lies on the stack', usual: false, hint: 'an open net that lets resin run ahead, and keeps some of it' },
  'bag.peel_ply': { label: 'A peel ply lies on the stack', usual: true, hint: 'a thin cloth that you tear off after cure; it keeps some resin' },
  'fill.feed': { label: 'Where resin enters', list: 'feed', usual: 'edge' },
  'prepreg.mass_with_resin': { label: 'The areal mass of the prepreg counts its resin', usual: false },
  'dry.faces': { label: 'How the plies lie in the oven', list: 'faces', usual: 'two' },
  'dry.fan': { label: 'The oven has a fan', usual: false },
  'trim.tool': { label: 'Tool for the edge', table: 'tools', usual: 'cutting_disc_75' },
  'trim.unmarked': { label: 'The tool carries no marking of its speed', usual: false },
  'trim.sharp': { label: 'The tool is sharp', usual: true },
  'trim.finish_grit': { label: 'Grit to finish with', list: 'grits', usual: 'P240' },
  'dry.closed': { label: 'The oven is shut tight', usual: false, hint: 'the water that leaves the cloth stays in its air' },
  'part.matters': { label: 'What counts most', list: 'matters', usual: 'nothing' },
  'suit.equal': { label: 'Compare at', list: 'equal', usual: 'stiffness' },
  'load.case': { label: 'How it is loaded', list: 'load_case', none: 'nothing stated', usual: '' },
  'load.held': { label: 'How its ends or edges are held', list: 'held', usual: 'resting' },
  'load.sides': { label: 'The long edges of a pushed part are', list: 'sides', usual: 'free' },
  'target.glass': { label: 'Glass cloth may be used', usual: true },
  'target.carbon': { label: 'Carbon or aramid cloth may be used', usual: false },
  'target.core': { label: 'A core may lie in the middle', usual: false },
  'target.in_stock_only': { label: 'Only what you have left in the shop', usual: false, hint: 'as you wrote it under prices and stock' },
  'target.unbalanced': { label: 'Stacks that pull askew are welcome too', usual: false, hint: 'more plies at plus than at minus the same angle: a pull along the part then shears it' },
  'mix.pot_kind': { label: 'What you mix in', list: 'pot_kind', usual: 'cup' },
  'cure.mould_kind': { label: 'The mould is made of', list: 'mould_kind', usual: 'laminate' },
  'cure.post_on_mould': { label: 'The part stays on its mould in the oven', usual: false, hint: 'it may then soften and still keep its shape' },
  'service.colour': { label: 'In service the sun sees', list: 'colour', none: 'not stated', usual: '' },
  'service.facing': { label: 'The part lies', list: 'facing', usual: 'level' },
  'service.wind': { label: 'Around it', list: 'wind', usual: 'still' },
  'service.back': { label: 'Its back is', list: 'back', usual: 'insulated' },
  'service.wet': { label: 'It is wet for long in service', usual: false },
  'day.start': { label: 'The job begins', moment: true, usual: '', hint: 'day and time on the clock of the shop' },
  'day.closed': { label: 'Closed on', free: true, usual: '', hint: 'days and dates, like: Sat, Sun, 2026-12-25' },
  'day.out_by': { label: 'It must be off the mould by', moment: true, usual: '', hint: 'with this alone, the ticket says when to begin' },
};
