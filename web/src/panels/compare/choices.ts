/**
 * The further choices of a comparison, folded away so that the plain one stays plain.
 *
 * Enters: the choices as they stand and what can be chosen. Leaves: markup; a changed copy through `change`.
 * Always true: an untouched fold is the usual comparison.
 * Never: judges a choice; the engine says what it could not do.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { CompareChoices, ResponseOption } from '../../engine/generated/core.js';

/** Every choice said. */
export type Chosen = Required<CompareChoices>;

/** The usual comparison. */
export const USUAL: Chosen = { response: 'age_adjusted', margins: 'equal', several: 'usual', against: '', bySex: false, byDamAge: false, random: 'supported', degrees: 'usual', places: 'these' };

/** How many choices differ from the usual. */
export const changed = (choices: Chosen): number => (Object.keys(USUAL) as (keyof Chosen)[]).filter((key) => key !== 'against' && choices[key] !== USUAL[key]).length;

interface Offer { value: string; words: string }

const MARGINS: Offer[] = [{ value: 'equal', words: 'every class counts the same' }, { value: 'observed', words: 'classes count as often as they occur' }];
const RANDOM: Offer[] = [{ value: 'supported', words: 'cows, bulls and places as the records allow' }, { value: 'none', words: 'nothing: each calf by itself' }];
const DEGREES: Offer[] = [{ value: 'usual', words: 'the usual' }, { value: 'kenward_roger', words: 'Kenward and Roger' }, { value: 'satterthwaite', words: 'Satterthwaite' }];
const PLACES: Offer[] = [{ value: 'these', words: 'these places' }, { value: 'such', words: 'such places: each place counts as one draw' }];

export function furtherChoices(choices: Chosen, responses: readonly ResponseOption[], levels: readonly string[], change: (choices: Chosen) => void): TemplateResult {
  const set = (part: Partial<Chosen>): void => change({ ...choices, ...part });
  const several: Offer[] = [
    { value: 'usual', words: 'the usual: all pairs together' }, { value: 'unadjusted', words: 'each pair by itself' },
    { value: 'tukey_kramer', words: 'all pairs together (Tukey and Kramer)' }, { value: 'holm', words: 'all pairs together (Holm)' },
    ...levels.map((level) => ({ value: `against ${level}`, words: `each against ${level} (Dunnett)` })),
  ];
  const offered = responses.length > 0 ? responses : [{ key: USUAL.response, words: 'weaning weight', n: 0 }];
  const n = changed(choices);
  return html`<details class="fold more-choices"><summary><strong>More choices</strong> <span class="soft">${n === 0 ? 'all as usual' : `${n} changed`}</span></summary><div class="choices">
    ${select('What is compared', offered.map((one) => ({ value: one.key, words: one.n > 0 ? `${one.words} (${one.n.toLocaleString('en-US')})` : one.words })), choices.response, (response) => set({ response }))}
    ${levels.length > 2 ? select('Several pairs', several, choices.several === 'against_one' ? `against ${choices.against}` : choices.several,
      (value) => set(value.startsWith('against ') ? { several: 'against_one', against: value.slice('against '.length) } : { several: value, against: '' })) : nothing}
    ${select('A fair mean counts', MARGINS, choices.margins, (margins) => set({ margins }))}
    ${select('Drawn at random', RANDOM, choices.random, (random) => set({ random }))}
    ${select('The model speaks of', PLACES, choices.places, (places) => set({ places }))}
    ${select('Degrees of freedom', DEGREES, choices.degrees, (degrees) => set({ degrees }))}
    <fieldset><legend>Tell the difference for each</legend>
      <label class="choice"><input type="checkbox" .checked=${choices.bySex} @change=${(event: Event) => set({ bySex: (event.target as HTMLInputElement).checked })} /> sex</label>
      <label class="choice"><input type="checkbox" .checked=${choices.byDamAge} @change=${(event: Event) => set({ byDamAge: (event.target as HTMLInputElement).checked })} /> dam-age class</label></fieldset>
  </div></details>`;
}

function select(label: string, offers: readonly Offer[], value: string, chosen: (value: string) => void): TemplateResult {
  return html`<label class="field"><span>${label}</span><select @change=${(event: Event) => chosen((event.target as HTMLSelectElement).value)}>
    ${offers.map((offer) => html`<option value=${offer.value} ?selected=${offer.value === value}>${offer.words}</option>`)}</select></label>`;
}
