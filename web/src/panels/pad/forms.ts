/**
 * What is typed in the alley: a weight, a calving, a pregnancy check.
 *
 * Enters: the book's unit, animals that fit. Leaves: fields named by the columns they go to.
 * Always true: every field is large enough for a thumb and has a label.
 * Never: reads what was typed; the engine does.
 */
import { html, type TemplateResult } from 'lit';
import type { PadAnimal } from '../../engine/generated/core.js';

const choice = (column: string, value: string, label = value): TemplateResult =>
  html`<label class="pad-choice"><input type="radio" name=${column} value=${value} /><span>${label}</span></label>`;

const choices = (title: string, column: string, values: readonly (readonly [string, string])[]): TemplateResult =>
  html`<fieldset><legend>${title}</legend><div class="pad-choices">${values.map(([value, label]) => choice(column, value, label))}</div></fieldset>`;

const COLUMN: Record<string, string> = { 'Weaning weights': 'wean_weight', 'Birth weights': 'birth_weight', 'Yearling weights': 'yearling_weight', 'Other weights': 'weight' };

export function weightForm(unit: string, task: string): TemplateResult {
  return html`<label class="pad-weight"><span>Weight</span><span class="with-unit"><input name=${COLUMN[task] ?? 'weight'} inputmode="decimal" /><span class="soft">${unit}</span></span></label>`;
}

export function checkForm(): TemplateResult {
  return html`${choices('What was found', 'result', [['bred', 'Bred'], ['open', 'Open'], ['recheck', 'Recheck'], ['not checked', 'Not checked']])}
    <label class="field"><span>Stage, as it was called</span><input name="stage" placeholder="90 days, 3 months, early, late" /></label>
    <label class="field"><span>Remarks</span><input name="remarks" /></label>
    <p class="soft">Before a cow is treated, culled or sold on this, ask the veterinarian who checked her.</p>`;
}

export function calvingForm(unit: string, look: (dam: string) => void, dams: readonly PadAnimal[]): TemplateResult {
  return html`<div class="pair">
      <label class="field"><span>Calf's tag</span><input name="tag" inputmode="numeric" /></label>
      <label class="field"><span>Dam</span><input name="dam" list="pad-dams" inputmode="numeric" @input=${(event: Event) => look((event.target as HTMLInputElement).value)} /></label>
      <datalist id="pad-dams">${dams.map((dam) => html`<option value=${dam.call}>${dam.words}</option>`)}</datalist>
    </div>
    ${choices('Sex', 'sex', [['heifer', 'Heifer'], ['bull', 'Bull'], ['steer', 'Steer']])}
    <label class="field"><span>Birth weight</span><span class="with-unit"><input name="birth_weight" inputmode="decimal" /><span class="soft">${unit}</span></span></label>
    ${choices('Calving ease', 'calving_ease', [['1', '1 no help'], ['2', '2 some help'], ['3', '3 hard pull'], ['4', '4 surgery'], ['5', '5 calf placed wrong']])}
    ${choices('Born as', 'born_as', [['single', 'Single'], ['twin', 'Twin']])}
    ${choices('Lost', 'left_because', [['born dead', 'Born dead'], ['died', 'Died']])}
    <label class="field"><span>Note</span><input name="note" /></label>
`;
}
