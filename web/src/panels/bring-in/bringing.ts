/**
 * A file on its way in: chosen, read, looked at, brought in.
 *
 * Enters: files, pasted text, choices. Leaves: an open book with the rows, or nothing changed at all.
 * Always true: nothing in a book changes before `commit`; a book made only for this file goes when it is cancelled.
 * Never: guesses in silence; what was understood is shown.
 */
import { Stale, type Progress } from '../../engine/client.ts';
import type { ImportChoices, ImportMergeChoices, ImportPreview } from '../../engine/generated/core.js';
import { beginsAsSpreadsheet, SpreadsheetFile } from '../../engine/spreadsheet-file.ts';
import { app, words } from '../app.ts';
import { today } from '../days.ts';
import { route } from '../route.ts';

export class Bringing extends EventTarget {
  phase: 'idle' | 'reading' | 'sheets' | 'looking' | 'committing' = 'idle';
  name = '';
  progress: Progress | undefined;
  preview: ImportPreview | undefined;
  failure = '';
  /** The spreadsheet file whose sheets are to be chosen from. */
  spreadsheet: SpreadsheetFile | undefined;
  /** What was done to make plain cells of a spreadsheet's. */
  remarks: readonly string[] = [];
  /** Whether the text on the screen is a sheet of a spreadsheet file. */
  ofSpreadsheet = false;
  /** Names of sheets of which the book remembers how they are read. */
  knownParts: readonly string[] = [];
  private remarksOf = new WeakMap<File, readonly string[]>();
  private partOf = new WeakMap<File, string>();
  private waiting: File[] = [];
  private madeFor = '';
  /** Counts the readings: an answer to one that was stopped means nothing to the next. */
  private turn = 0;
  private dropping: Promise<void> = Promise.resolve();

  private tell(): void {
    this.dispatchEvent(new Event('change'));
  }

  /** Lets the person choose files. */
  choose(): void {
    const input = document.createElement('input');
    input.type = 'file';
    input.multiple = true;
    input.accept = '.csv,.tsv,.txt,.xlsx,.xlsm,.xls,.ods,.zip,text/csv,text/plain,application/zip';
    input.addEventListener('change', () => void this.files([...(input.files ?? [])]));
    input.click();
  }

  async files(files: File[]): Promise<void> {
    // A file that was stopped just now takes its book with it first.
    await this.dropping;
    if (this.phase !== 'idle') {
      app.tell('Finish or cancel the file on the screen first.', true);
      return;
    }
    this.waiting = files;
    await this.nextFile();
  }

  async text(name: string, text: string): Promise<void> {
    await this.files([new File([text], `${name}.csv`, { type: 'text/csv' })]);
  }

  private async nextFile(): Promise<void> {
    const file = this.waiting.shift();
    if (file === undefined) return;
    const packed = await beginsAsSpreadsheet(file);
    try {
      if (packed && !/\.zip$/i.test(file.name)) {
        await this.openSpreadsheet(file);
        return;
      }
      if (packed) {
        await app.openCopy({ name: file.name, bytes: new Uint8Array(await file.arrayBuffer()) });
        app.tell(`"${file.name}" was opened as a book of its own.`);
        return;
      }
      await this.read(file);
    } catch (cause) {
      app.trouble(cause);
    }
  }

  /** Lists the sheets of a spreadsheet file; one alone is taken at once. */
  private async openSpreadsheet(file: File): Promise<void> {
    this.turn += 1;
    const { turn } = this;
    this.phase = 'reading';
    this.name = file.name;
    this.progress = undefined;
    this.tell();
    try {
      const spreadsheet = await SpreadsheetFile.open(file);
      if (!this.stands(turn)) {
        spreadsheet.close();
        return;
      }
      this.knownParts = app.state === undefined ? [] : (await app.engine.ask('remembered', {})).map((one) => one.part).filter((part) => part !== '');
      this.spreadsheet = spreadsheet;
      this.failure = '';
      this.phase = 'sheets';
      const [only, ...others] = spreadsheet.sheets;
      if (only !== undefined && others.length === 0) await this.takeSheets([only.name]);
    } catch (cause) {
      if (this.stands(turn)) {
        app.trouble(cause);
        await this.drop();
      }
    }
    this.tell();
  }

  /** Takes these sheets of the spreadsheet file, one after the other. */
  async takeSheets(names: string[]): Promise<void> {
    const { spreadsheet } = this;
    if (spreadsheet === undefined) return;
    try {
      const files: File[] = [];
      for (const sheet of names) {
        const { bytes, remarks } = await spreadsheet.csv(sheet);
        const file = new File([bytes], spreadsheet.sheets.length === 1 ? this.name : `${this.name} (${sheet})`);
        this.remarksOf.set(file, remarks);
        this.partOf.set(file, sheet);
        files.push(file);
      }
      this.closeSpreadsheet();
      this.phase = 'idle';
      this.waiting.unshift(...files);
    } catch (cause) {
      // Stopped meanwhile, or one sheet cannot be read: another may.
      if (this.phase === 'sheets') this.failure = words(cause);
      this.tell();
      return;
    }
    await this.nextFile();
  }

  private closeSpreadsheet(): void {
    this.spreadsheet?.close();
    this.spreadsheet = undefined;
  }

  private async read(file: File): Promise<void> {
    if (app.readOnly) throw new Error('This book is open in another tab. Bring the file in there.');
    this.ofSpreadsheet = this.remarksOf.has(file);
    this.remarks = this.remarksOf.get(file) ?? [];
    if (file.size === 0) throw new Error(`"${file.name}" is empty. Nothing was changed.`);
    this.turn += 1;
    const { turn } = this;
    this.phase = 'reading';
    this.name = file.name;
    this.failure = '';
    this.preview = undefined;
    this.progress = { done: 0, of: file.size, rows: 0 };
    this.tell();
    try {
      if (app.state === undefined) {
        await app.createBook(file.name.replace(/\.[^.]*$| \(.*\)$/, ''));
        this.madeFor = app.book?.id ?? '';
      }
      const preview = await app.engine.ask('importRead', { name: file.name, part: this.partOf.get(file) ?? '', today: today(), file }, (progress) => {
        this.progress = progress;
        this.tell();
      });
      if (this.stands(turn)) {
        this.preview = preview;
        this.phase = 'looking';
      }
    } catch (cause) {
      if (this.stands(turn)) {
        app.trouble(cause);
        await this.drop();
      }
    }
    this.tell();
  }

  /** False once the person cancelled this reading (the phase changes while an answer is awaited). */
  private stands(turn: number): boolean {
    return this.phase === 'reading' && this.turn === turn;
  }

  async chooseAnew(choices: ImportChoices): Promise<void> {
    try {
      this.preview = await app.engine.askLatest('import', 'importChoose', { choices });
      this.failure = '';
    } catch (cause) {
      // A later choice, which builds on this one, gives the answer.
      if (cause instanceof Stale) return;
      this.failure = words(cause);
    }
    this.tell();
  }

  /** Reads the file as if none like it had come in before. */
  async readAnew(): Promise<void> {
    try {
      this.preview = await app.engine.askLatest('import', 'importAnew', {});
      this.failure = '';
    } catch (cause) {
      // A later choice, which builds on this one, gives the answer.
      if (cause instanceof Stale) return;
      this.failure = words(cause);
    }
    this.tell();
  }

  /** Forgets how files like this one are read, and reads it anew. */
  async forget(key: string): Promise<void> {
    try {
      await app.change({ do: 'forget', key });
    } catch (cause) {
      this.failure = words(cause);
      this.tell();
      return;
    }
    await this.readAnew();
  }

  /** Says what becomes of rows that are in the book already. */
  async mergeAnew(choices: ImportMergeChoices): Promise<void> {
    try {
      this.preview = await app.engine.askLatest('import', 'importMerge', { choices });
      this.failure = '';
    } catch (cause) {
      // A later choice, which builds on this one, gives the answer.
      if (cause instanceof Stale) return;
      this.failure = words(cause);
    }
    this.tell();
  }

  /** Says which animal a name of a row means; null leaves it for later. */
  async nameAnew(choice: { row: number; column: string; nth: number; choice: number | null }): Promise<void> {
    try {
      this.preview = await app.engine.ask('importName', choice);
      this.failure = '';
    } catch (cause) {
      this.failure = words(cause);
    }
    this.tell();
  }

  async commit(): Promise<void> {
    const { preview } = this;
    if (preview === undefined) return;
    this.phase = 'committing';
    this.tell();
    try {
      await app.acknowledged(app.engine.ask('importCommit', {}));
      this.madeFor = '';
      this.phase = 'idle';
      this.preview = undefined;
      app.tell(preview.merge === undefined ? `${preview.nRows.toLocaleString('en-US')} rows came in from "${preview.fileName}".` : `"${preview.fileName}" is in: ${preview.merge.summary}`);
      app.go(preview.sheet === 'calves' && this.waiting.length === 0 ? route('fair') : route('sheet', preview.sheet));
      await app.listBooks();
    } catch (cause) {
      this.phase = 'looking';
      this.failure = words(cause);
    }
    this.tell();
    if (this.phase === 'idle') await this.nextFile();
  }

  async cancel(): Promise<void> {
    if (this.phase === 'idle' || this.phase === 'committing') return;
    this.waiting = [];
    await this.drop();
    app.tell('Stopped. Nothing was changed.');
    this.tell();
  }

  private drop(): Promise<void> {
    this.phase = 'idle';
    this.preview = undefined;
    this.closeSpreadsheet();
    this.tell();
    this.dropping = this.clear();
    return this.dropping;
  }

  private async clear(): Promise<void> {
    await app.engine.ask('importCancel', {}).catch(() => null);
    if (this.madeFor !== '') {
      const made = this.madeFor;
      this.madeFor = '';
      await app.removeBook(made);
    }
  }
}

export const bringing = new Bringing();
