// Trade words in plain ones, for the first tap on a figure.

/** @type {[RegExp, string][]} */
const WORDS = [
  [/fibre (by volume|fraction|volume)/i, 'Fibre by volume: of each litre of laminate, how much is fibre. More fibre means a thinner, lighter, stiffer part.'],
  [/void|porosity/i, 'Void: small pockets that resin never fills, in the yarns and between them.'],
  [/regain|water per dry fibre/i, 'Water per dry fibre: the grams of water that 100 g of bone dry cloth holds.'],
  [/bending/i, 'Stiffness in bending counts what lies near the two faces most.'],
  [/stiffness|modulus/i, 'Stiffness: how hard the laminate resists being stretched, whatever its size.'],
  [/glass transition/i, 'Glass transition: the temperature above which cured resin goes from hard to leathery.'],
  [/\bgel/i, 'Gel: the moment when resin stops being a liquid and no longer flows.'],
  [/off the mould|demould/i, 'Off the mould: hard enough to be pulled without bending out of shape.'],
  [/viscosity/i, 'Viscosity: how thick a liquid is. Water has 1 mPa·s, olive oil about 80.'],
  [/permeab/i, 'Permeability: how easily resin runs through the cloth; ten times more means ten times faster.'],
  [/lag/i, 'Lag: how far the resin at the mould trails behind the resin under the mesh.'],
  [/kerf|width of the cut/i, 'The width of what the tool turns into dust.'],
  [/surface speed/i, 'Surface speed: how fast the rim of the tool passes the work.'],
  [/chip|per cutting edge/i, 'What each cutting edge takes off as it passes.'],
  [/net pressure/i, 'The air outside minus what is left in the bag: what presses the stack together.'],
  [/areal|mass per area/i, 'Areal mass: what one square metre weighs.'],
  [/batch/i, 'Below this, one step of the scale is more than the hardener may be off.'],
];

/** One plain sentence on what a figure with this label is, or null. */
export function explain(label) {
  return WORDS.find(([pattern]) => pattern.test(label))?.[1] ?? null;
}
