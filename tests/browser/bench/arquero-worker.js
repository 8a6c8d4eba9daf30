// The herd's work in arquero, in a worker.
//
// Enters and leaves: as worker.mjs. Always true: the CSV bytes are in the worker before the clock starts; the
// factors are those of the engine's own table (BIF guideline; crate/engine/src/trade/factors.rs names the sources).
// Never: ships.

importScripts('./arquero.min.js');

const { op } = aq;
let bytes;

const days = (text) => Date.parse(text) / 86_400_000;
const CLASSES = [[1004, 60, 54], [1370, 40, 36], [1735, 20, 18], [3926, 0, 0], [Infinity, 20, 18]];

function adjusted({ birth_date, wean_date, birth_weight, wean_weight, sex, dam_age }) {
  const age = days(wean_date) - days(birth_date);
  if (wean_weight === null || !(age >= 160 && age <= 250)) return NaN;
  const heifer = sex === 'heifer';
  const birth = birth_weight ?? (heifer ? 70 : 75);
  const damDays = Math.round(dam_age * 365.25);
  const factor = damDays < 639 ? 0 : CLASSES.find(([to]) => damDays < to)[heifer ? 2 : 1];
  return ((wean_weight - birth) / age) * 205 + birth + factor;
}

function run() {
  const start = performance.now();
  const text = new TextDecoder().decode(bytes);
  const parse = { birth_weight: Number, wean_weight: Number, dam_age: Number };
  const calves = aq
    .fromCSV(text, { autoType: false, parse })
    .derive({ adjusted: aq.escape(adjusted) })
    .filter(aq.escape((d) => !Number.isNaN(d.adjusted)))
    .derive({ rounded: aq.escape((d) => Math.round(d.adjusted * 1e6)) })
    .groupby('place', 'sex', 'management', 'wean_date')
    .orderby(aq.desc('rounded'))
    .derive({ ratio: (d) => (100 * d.adjusted) / op.mean(d.adjusted), rank: () => op.rank() });
  const ms = performance.now() - start;
  const [total] = calves
    .ungroup()
    .rollup({
      n_ratios: (d) => op.valid(d.ratio),
      sum_of_ratios: (d) => op.sum(d.ratio),
      sum_of_squares: (d) => op.sum(d.ratio * d.ratio),
      sum_of_ranks: (d) => op.sum(d.rank),
    })
    .objects();
  return { ms, ...total };
}

const answers = {
  async start({ data }) {
    bytes = new Uint8Array(await (await fetch(data)).arrayBuffer());
    return {};
  },
  run,
};

self.onmessage = async ({ data }) => {
  const { id, ask, ...rest } = data;
  try {
    self.postMessage({ id, answer: await answers[ask](rest) });
  } catch (cause) {
    self.postMessage({ id, failure: cause?.message ?? String(cause) });
  }
};
