/**
 * What the results of a book depend on, and its name.
 *
 * Enters: the settings. Leaves: a change of settings, which can be undone like any other.
 * Always true: shows the settings as the engine holds them.
 * Never: changes a weight that was typed.
 */
import { html, nothing, type TemplateResult } from 'lit';
import type { SettingsForm } from '../../engine/generated/core.js';
import { Answer, View, waiting } from '../view.ts';
import './remembered-files.ts';
import './this-device.ts';

export class Settings extends View {
  private readonly settings = new Answer<SettingsForm>(this);
  private note = '';

  protected override render(): TemplateResult {
    const { state, book } = this.app;
    if (state === undefined || book === undefined) return html``;
    const form = this.settings.follow(`${book.id} ${state.revision}`, () => this.app.engine.askLatest('settings', 'settings', {}));
    return html`<div class="reading"><h1>Settings of this book</h1>
      ${form === undefined ? waiting(this.settings, 'the settings')
        : html`${this.form(form)}<fp-remembered-files></fp-remembered-files><fp-this-device></fp-this-device>`}</div>`;
  }

  private form(form: SettingsForm): TemplateResult {
    const unit = form.weightUnit;
    const number = (name: keyof SettingsForm, label: string, after: string, step = '1'): TemplateResult =>
      html`<label class="field"><span>${label}</span><span class="with-unit"><input type="number" name=${name} .value=${String(form[name])} step=${step} min="0" required inputmode="decimal" /><span class="soft">${after}</span></span></label>`;
    return html`<form class="settings" @submit=${(event: Event) => this.save(event, form)}>
      <fieldset ?disabled=${this.app.readOnly}>
        <label class="field"><span>Name of the book</span><input name="title" .value=${form.title} maxlength="120" autocomplete="off" /></label>
        <label class="field"><span>Unit of weights</span><select name="weightUnit"><option value="lb" ?selected=${unit === 'lb'}>pounds (lb)</option><option value="kg" ?selected=${unit === 'kg'}>kilograms (kg)</option></select></label>
        <label class="field"><span>As of (blank: no day set)</span><input type="date" name="asOf" .value=${form.asOf} /></label>
        <h2>Adjusted 205-day weight</h2>
        <div class="pair">${number('windowFromDays', 'Age at weighing from', 'days')}${number('windowToDays', 'to', 'days')}</div>
        <label class="field"><span>Calves outside that window</span><select name="outsideWindow">
          <option value="actual_only" ?selected=${form.outsideWindow === 'actual_only'}>No fair weight, actual figures only</option>
          <option value="straight_age" ?selected=${form.outsideWindow === 'straight_age'}>Adjust for age alone, and mark it</option></select></label>
        <h2>Standard birth weight, where none was taken</h2>
        <div class="pair">${number('standardBirthWeightMale', 'Bulls and steers', unit, '0.1')}${number('standardBirthWeightFemale', 'Heifers', unit, '0.1')}</div>
        <h2>Groups</h2>
        ${number('birthWindowDays', 'Born within', 'days of each other')}
        ${number('weighWindowDays', 'Weighed within', 'days of the first of the group')}
        ${number('weighedAfterWeaningDays', 'Weighed apart when more than', 'days after leaving the cow')}
        <div class="row"><button class="primary">Use these settings</button><span role="status" class="soft">${this.note === '' ? nothing : this.note}</span></div>
      </fieldset></form>`;
  }

  private save(event: Event, before: SettingsForm): void {
    event.preventDefault();
    const data = new FormData(event.target as HTMLFormElement);
    const text = (name: string): string => String(data.get(name) ?? '').trim();
    const settings: SettingsForm = {
      ...before,
      title: text('title'),
      weightUnit: text('weightUnit'),
      asOf: text('asOf'),
      windowFromDays: Number(text('windowFromDays')),
      windowToDays: Number(text('windowToDays')),
      outsideWindow: text('outsideWindow'),
      standardBirthWeightMale: Number(text('standardBirthWeightMale')),
      standardBirthWeightFemale: Number(text('standardBirthWeightFemale')),
      weighedAfterWeaningDays: Number(text('weighedAfterWeaningDays')),
      birthWindowDays: Number(text('birthWindowDays')),
      weighWindowDays: Number(text('weighWindowDays')),
    };
    void this.app.change({ do: 'setSettings', settings }).then(
      () => { this.note = 'In use. Every figure was worked out again.'; this.requestUpdate(); },
      (cause) => this.app.trouble(cause),
    );
  }
}

customElements.define('fp-settings', Settings);
