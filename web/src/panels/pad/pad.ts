/**
 * Entry in the alley: find the animal, type the one thing, done.
 *
 * Enters: taps and digits. Leaves: ordinary changes of the sheets, each kept before it is said to be.
 * Always true: an unlikely entry, and one that would replace a weight, is asked about once; what was entered for the
 * day is listed and can be taken back; an animal that is not on record is entered all the same, and marked.
 * Never: chooses between two animals, or needs a signal.
 */
import { html, nothing, type TemplateResult } from 'lit';
import { bringing } from '../bring-in/bringing.ts';
import { remember, remembered, words } from '../app.ts';
import type { PadAnimal, PadCell, PadDone, PadDoubts, PadEntry, ValueCount } from '../../engine/generated/core.js';
import { today } from '../days.ts';
import { Answer, counted, download, fileName, View } from '../view.ts';
import { calvingForm, checkForm, weightForm } from './forms.ts';
import './pad.css';

export const TASKS = [
  { key: 'weaning', words: 'Weaning weights', sheet: 'calves', column: 'wean_weight' },
  { key: 'birth', words: 'Birth weights', sheet: 'calves', column: 'birth_weight' },
  { key: 'yearling', words: 'Yearling weights', sheet: 'calves', column: 'yearling_weight' },
  { key: 'weighing', words: 'Other weights', sheet: 'weights', column: 'weight' },
  { key: 'calving', words: 'Calving', sheet: 'calves', column: 'tag' },
  { key: 'pregnancy', words: 'Pregnancy checks', sheet: 'checks', column: 'result' },
] as const;
type TaskKey = (typeof TASKS)[number]['key'];

/** Whether a tag is the one that was typed: case and spaces around it do not matter. */
const alike = (tag: string, text: string): boolean => tag.toLowerCase() === text.trim().toLowerCase();

/** A text whose dates are not broken across lines. */
const wholeDates = (text: string): readonly (string | TemplateResult)[] =>
  text.split(/(\d{4}-\d\d-\d\d)/).map((part, at) => (at % 2 === 1 ? html`<span class="whole">${part}</span>` : part));

const MOST_ANIMALS = 8;
const MOST_SHOWN = 30;

export class Pad extends View {
  private task: TaskKey = TASKS.find((task) => task.key === remembered('pad-task'))?.key ?? 'weaning';
  private day = today();
  private text = '';
  private animals: PadAnimal[] = [];
  private chosen: PadAnimal | undefined;
  private doubts: PadDoubts | undefined;
  private asked: PadEntry | undefined;
  private failure = '';
  private said = '';
  private busy = false;
  private searching = false;
  private looking: Promise<void> = Promise.resolve();
  private readonly done = new Answer<PadDone[]>(this);
  private readonly weighings = new Answer<PadDone[]>(this);
  private readonly places = new Answer<ValueCount[]>(this);

  protected override render(): TemplateResult {
    const { state, book } = this.app;
    if (state === undefined || book === undefined) return html``;
    const stamp = `${book.id} ${state.revision}`;
    const done = this.done.follow(`${stamp} ${this.task} ${this.day}`, () => this.app.engine.ask('padToday', { task: this.task, day: this.day })) ?? [];
    return html`<div class="pad">
      <div class="pad-head"><h1>In the alley</h1>
        <div class="field"><label for="pad-task">What is being done</label><select id="pad-task" name="task" @change=${this.taskChosen}>
          ${TASKS.map(({ key, words: label }) => html`<option value=${key} ?selected=${key === this.task}>${label}</option>`)}</select></div>
        <div class="field"><label for="pad-day">Day</label><input id="pad-day" type="date" name="day" .value=${this.day} required @change=${this.dayChosen} /></div>
      </div>
      ${this.app.readOnly ? html`<p class="caution">This book is open in another tab. Here it can be read, not changed.</p>` : this.step()}
      <p class="pad-said" role="status" aria-live="polite">${this.said}</p>
      ${this.list(done)}
      ${this.task === 'weaning' || this.task === 'yearling' ? this.otherWeighings(stamp) : nothing}
      ${this.workList(stamp)}
    </div>`;
  }

  /* Finding, then typing, then (rarely) being asked. */

  private step(): TemplateResult {
    if (this.asked !== undefined) return this.question();
    if (this.task === 'calving') return this.form('A new calf', calvingForm(this.app.state?.weightUnit ?? 'lb', (text) => this.look(text), this.animals));
    if (this.chosen === undefined) return this.search();
    const { tag, words: card, last } = this.chosen;
    return html`<section class="pad-card" aria-label="The animal"><p class="pad-tag">${tag === '' ? 'No tag' : tag}</p>
        <p>${card}</p>${last === '' ? nothing : html`<p class="soft">Already written: ${last}</p>`}</section>
      ${this.form('', this.task === 'pregnancy' ? checkForm() : weightForm(this.app.state?.weightUnit ?? 'lb', TASKS.find(({ key }) => key === this.task)?.words ?? ''))}`;
  }

  private search(): TemplateResult {
    const text = this.text.trim();
    const expected = this.animals.filter(({ offList }) => !offList);
    const others = this.animals.filter(({ offList }) => offList);
    const whole = this.animals.some(({ tag }) => alike(tag, text));
    return html`<form class="pad-search" role="search" @submit=${this.firstTaken}>
      <label for="pad-find">Tag, or its last digits</label>
      <input id="pad-find" type="search" inputmode="numeric" autocomplete="off" spellcheck="false" .value=${this.text} @input=${(event: Event) => this.look((event.target as HTMLInputElement).value)} />
    </form>
    ${this.offered(expected, 'Animals that fit')}
    ${others.length === 0 ? nothing : html`<h2 class="pad-apart">Not on this list</h2>${this.offered(others, 'Not on this list')}`}
    ${text === '' || this.searching || whole ? nothing : html`<p>${this.animals.length === 0 ? 'No animal here has these digits. ' : 'None of these? '}<button type="button" class=${this.animals.length === 0 ? '' : 'quiet'} @click=${() => this.choose(this.unknown(text))}>Enter "${text}" all the same</button></p>
      ${this.animals.length === 0 ? html`<p class="soft">It is kept under this tag, marked as not on record.</p>` : nothing}`}`;
  }

  private offered(animals: readonly PadAnimal[], label: string): TemplateResult {
    return html`<ul class="plain pad-animals" role="list" aria-label=${label}>${animals.map((animal) => html`<li><button type="button" @click=${() => this.choose(animal)}>
      <span class="pad-tag">${animal.tag === '' ? 'No tag' : animal.tag}</span><span class="soft">${animal.words}${animal.last === '' ? '' : html`<br />${animal.last}`}</span></button></li>`)}</ul>`;
  }

  /** An animal under the tag that was typed, which nothing on record has. */
  private unknown(tag: string): PadAnimal {
    const sheet = TASKS.find(({ key }) => key === this.task)?.sheet ?? 'calves';
    return { sheet, rowKey: undefined, tag, call: tag, words: 'not on record', last: '', offList: false };
  }

  private form(title: string, fields: TemplateResult): TemplateResult {
    return html`<form class="pad-form" @submit=${this.typed} autocomplete="off">
      ${title === '' ? nothing : html`<h2>${title}</h2>`}
      ${fields}
      ${this.failure === '' ? nothing : html`<p class="caution" role="alert">${this.failure}</p>`}
      <div class="pad-acts">
        ${this.task === 'calving' ? nothing : html`<button type="button" @click=${this.another}>Another animal</button>`}
        <button class="primary" ?disabled=${this.busy}>Done</button>
      </div></form>`;
  }

  private question(): TemplateResult {
    const { sentences = [], replaces = '', keepBoth = '', otherEntry = undefined } = this.doubts ?? {};
    const replacing = replaces !== '';
    const enter = (entry: PadEntry | undefined) => () => { if (entry !== undefined) void this.enter(entry); };
    return html`<section class="pad-ask" role="alertdialog" aria-labelledby="pad-ask-title">
      <h2 id="pad-ask-title">${replacing ? 'Replace the weight on record?' : 'Is this right?'}</h2>
      <ul>${sentences.map((doubt) => html`<li>${wholeDates(doubt)}</li>`)}</ul>
      ${otherEntry === undefined ? nothing : html`<p class="soft">Both are kept when the new one is entered as another weighing, on the sheet Weights.</p>`}
      <div class=${replacing ? 'pad-acts pad-acts-words' : 'pad-acts'}><button type="button" @click=${this.change}>${replacing ? 'No' : 'Change it'}</button>
        ${otherEntry === undefined ? nothing : html`<button type="button" ?disabled=${this.busy} @click=${() => void this.check(otherEntry)}>${keepBoth.charAt(0).toUpperCase()}${keepBoth.slice(1)}</button>`}
        <button type="button" class=${replacing ? '' : 'primary'} ?disabled=${this.busy} @click=${enter(this.asked)}><span>Yes, ${replacing ? wholeDates(replaces) : 'enter it'}</span></button></div></section>`;
  }

  private list(done: readonly PadDone[]): TemplateResult {
    if (done.length === 0) return html`<p class="soft">Nothing is entered for this day yet.</p>`;
    return html`<section aria-label="Entered for this day"><h2>${counted(done.length, 'entry', 'entries')} for this day</h2>
      <ul class="plain pad-done" role="list">${done.slice(0, MOST_SHOWN).map((entry) => html`<li><span><strong>${entry.tag === '' ? 'No tag' : entry.tag}</strong> ${entry.words}</span>
        <button type="button" class="quiet" ?disabled=${this.app.readOnly} aria-label=${`Take back ${entry.tag}, ${entry.words}`} @click=${() => this.takeBack(entry)}>Take back</button></li>`)}</ul>
      ${done.length > MOST_SHOWN ? html`<p class="soft">The latest ${MOST_SHOWN} are listed.</p>` : nothing}
      <p class="row"><button type="button" @click=${this.giveBack}>Save this day's entries as a file</button></p></section>`;
  }

  /** Weights that were kept beside a weaning or yearling weight stand on another sheet, and in another file. */
  private otherWeighings(stamp: string): TemplateResult {
    const n = this.weighings.follow(`${stamp} ${this.day}`, () => this.app.engine.ask('padToday', { task: 'weighing', day: this.day }))?.length ?? 0;
    return n === 0 ? html`` : html`<p class="row">${counted(n, 'other weighing')} for this day. <button type="button" class="quiet" @click=${() => this.chooseTask('weighing')}>Show other weights</button></p>`;
  }

  private workList(stamp: string): TemplateResult {
    const places = this.places.follow(stamp, () => this.app.engine.ask('workListPlaces', {})) ?? [];
    return html`<details class="pad-list"><summary>Work lists between devices</summary>
      <p>A work list is a small book with the animals to expect. Open it on the phone, enter there, save the day's entries as a file, and bring that file in here: what is new and what differs is shown first. Calves of other places go along, so that one that strayed is known; they are marked as not on the list.</p>
      <form class="row" @submit=${this.saveWorkList}><label><span>Animals of</span> <select name="place"><option value="">every place</option>
        ${places.map(({ text, n }) => html`<option value=${text}>${text} (${n})</option>`)}</select></label>
        <button>Save a work list</button>
        <button type="button" ?disabled=${this.app.readOnly} @click=${() => bringing.choose()}>Bring entries in</button></form></details>`;
  }

  /* What happens on a tap. */

  private readonly taskChosen = (event: Event): void => {
    const chosen = TASKS.find(({ key }) => key === (event.target as HTMLSelectElement).value);
    if (chosen !== undefined) this.chooseTask(chosen.key);
  };

  private chooseTask(task: TaskKey): void {
    this.task = task;
    remember('pad-task', task);
    this.said = '';
    this.another();
  }

  private readonly dayChosen = (event: Event): void => {
    this.day = (event.target as HTMLInputElement).value || today();
    this.requestUpdate();
  };

  private look(text: string): void {
    this.text = text;
    this.said = '';
    this.searching = true;
    this.looking = this.app.engine.askLatest('pad', 'padAnimals', { task: this.task, text, day: this.day, most: MOST_ANIMALS }).then(
      (animals) => {
        this.animals = animals;
        this.searching = false;
        this.requestUpdate();
      },
      (cause: unknown) => this.app.trouble(cause),
    );
    this.requestUpdate();
  }

  private readonly firstTaken = async (event: Event): Promise<void> => {
    event.preventDefault();
    await this.looking;
    const whole = this.animals.filter(({ tag, offList }) => !offList && alike(tag, this.text));
    const fit = whole.length > 0 ? whole : this.animals;
    const [only, ...others] = fit;
    if (only !== undefined && others.length === 0) this.choose(only);
  };

  private choose(animal: PadAnimal): void {
    this.chosen = animal;
    this.failure = '';
    this.requestUpdate();
    void this.updateComplete.then(() => this.querySelector<HTMLElement>('.pad-form input, .pad-form button')?.focus());
  }

  private readonly another = (): void => {
    this.chosen = undefined;
    this.asked = undefined;
    this.searching = false;
    this.text = '';
    this.animals = [];
    this.failure = '';
    this.requestUpdate();
    void this.updateComplete.then(() => this.querySelector<HTMLElement>('#pad-find, .pad-form input')?.focus());
  };

  /** Back to the form with what was typed still in it. */
  private readonly change = (): void => {
    const column = TASKS.find(({ key }) => key === this.task)?.column ?? '';
    // What was to be kept as another weighing goes back to where it was typed.
    const cells = (this.asked?.cells ?? []).map((cell) => (this.asked?.task !== this.task && cell.column === 'weight' ? { ...cell, column } : cell));
    this.asked = undefined;
    this.requestUpdate();
    void this.updateComplete.then(() => {
      const form = this.querySelector<HTMLFormElement>('.pad-form');
      for (const { column, text } of cells) {
        const field = form?.elements.namedItem(column);
        if (field instanceof HTMLInputElement || field instanceof RadioNodeList) field.value = text;
      }
      this.querySelector<HTMLElement>('.pad-form input')?.focus();
    });
  };

  private readonly typed = (event: SubmitEvent): void => {
    event.preventDefault();
    const cells: PadCell[] = [];
    for (const [column, value] of new FormData(event.target as HTMLFormElement)) {
      if (typeof value === 'string' && value.trim() !== '') cells.push({ column, text: value.trim() });
    }
    const { chosen } = this;
    if (cells.length > 0 && this.task === 'weighing') cells.push({ column: 'animal', text: chosen?.call ?? '' });
    if (cells.length > 0 && this.task === 'pregnancy') cells.push({ column: 'cow', text: chosen?.call ?? '' });
    if (chosen !== undefined && chosen.rowKey === undefined && chosen.sheet === 'calves') cells.push({ column: 'tag', text: chosen.tag });
    void this.check({ task: this.task, rowKey: chosen?.rowKey, day: this.day, cells });
  };

  private async check(entry: PadEntry): Promise<void> {
    this.failure = '';
    this.said = '';
    this.busy = true;
    try {
      this.doubts = await this.app.engine.ask('padDoubts', { entry });
      this.busy = false;
      if (this.doubts.sentences.length === 0) return await this.enter(entry);
      this.asked = entry;
    } catch (cause) {
      this.asked = undefined;
      this.failure = words(cause);
    }
    this.busy = false;
    this.requestUpdate();
    void this.updateComplete.then(() => this.querySelector<HTMLElement>('.pad-ask button')?.focus());
  }

  private async enter(entry: PadEntry): Promise<void> {
    this.busy = true;
    this.requestUpdate();
    try {
      await this.app.acknowledged(this.app.engine.ask('padEnter', { entry }));
      const task = TASKS.find(({ key }) => key === entry.task);
      const what = entry.cells.find(({ column }) => column === task?.column)?.text ?? '';
      const who = entry.cells.find(({ column }) => column === 'tag')?.text ?? this.chosen?.tag ?? '';
      if (entry.task === 'calving') this.said = `Calf ${who === '' ? 'without a tag' : who} is entered.`;
      else if (entry.task !== this.task) this.said = `${who}: ${what} is entered as another weighing; the weight on record stays.`;
      else this.said = `${who}: ${what === '' ? 'the check' : what} is entered${this.chosen?.rowKey === undefined && this.chosen?.words === 'not on record' ? ', marked as not on record' : ''}.`;
      this.busy = false;
      this.querySelector<HTMLFormElement>('.pad-form')?.reset();
      this.another();
    } catch (cause) {
      this.busy = false;
      this.asked = undefined;
      this.failure = words(cause);
      this.requestUpdate();
    }
  }

  private takeBack(entry: PadDone): void {
    this.said = `${entry.tag}: ${entry.words} was taken back. Undo brings it again.`;
    this.app.acknowledged(this.app.engine.ask('padTakeBack', { task: this.task, rowKey: entry.rowKey })).catch((cause: unknown) => this.app.trouble(cause));
  }

  private readonly giveBack = (): void => {
    this.app.engine.ask('padCsv', { task: this.task, day: this.day }).then(
      (bytes) => download(fileName(`${this.task} ${this.day}`, '.csv'), bytes, 'text/csv'),
      (cause: unknown) => this.app.trouble(cause),
    );
  };

  private readonly saveWorkList = (event: SubmitEvent): void => {
    event.preventDefault();
    const place = String(new FormData(event.target as HTMLFormElement).get('place') ?? '');
    this.app.engine.ask('workList', { place }).then(
      (bytes) => download(fileName(`work list ${place}`, '.zip'), bytes, 'application/zip'),
      (cause: unknown) => this.app.trouble(cause),
    );
  };
}

customElements.define('fp-pad', Pad);
