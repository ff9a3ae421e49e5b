// The entries that are not numbers: what each asks, the list or shelf it is chosen from, and what is usual.

/**
 * `list` names a list of words of the core, `table` a list of its shelf; what has neither is yes or no.
 * `none` is what the first option says when nothing need be chosen.
 * A row of the stack stands under `stack.fabric`.
 * @type {Record<string, { label: string, list?: string, table?: string, none?: string, usual: any, hint?: string }>}
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
};
