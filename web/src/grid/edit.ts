/**
 * One field laid over the active cell while it is edited.
 *
 * Enters: a wish to edit. Leaves: one change, or nothing when taken back.
 * Always true: the field holds the raw text, not the rounded display; what the person typed before the raw
 *   text came is kept; composing text (IME) is never cut short by a key.
 * Never: makes a cell itself editable.
 */
import { changeBlock } from './block.js';
import { Choices } from './choices.js';
import type { Way } from './keys.js';
import type { Cell } from './selection.js';
import { cellsIn } from './selection.js';
import type { Sheet } from './sheet.js';
import { STILL_LOADING, whyNotTyped } from './words.js';

interface Session {
  cell: Cell;
  /** Null on the empty row at the bottom. */
  rowKey: number | null;
  column: string;
  how: 'type' | 'edit';
  /** Raw text at the start; null until it is known. */
  before: string | null;
}

export class Editor {
  private readonly field = document.createElement('input');
  private readonly choices: Choices;
  private session: Session | null = null;

  /** `moved` is told where to go after a change was accepted. */
  constructor(private readonly sheet: Sheet, private readonly moved: (way: Way) => void) {
    this.field.type = 'text';
    this.field.className = 'fpg-editor';
    this.field.autocomplete = 'off';
    this.field.autocapitalize = 'off';
    this.field.spellcheck = false;
    this.field.enterKeyHint = 'enter';
    this.field.hidden = true;
    this.choices = new Choices(this.field, `${sheet.uid}-choices`, (word) => { this.field.value = word; this.accept('stay'); }, () => this.place());
    sheet.shell.append(this.field, this.choices.element);
    this.field.addEventListener('input', () => {
      if (this.session && this.choices.offers) { this.choices.show(this.field.value); this.place(); }
    });
    this.field.addEventListener('keydown', (event) => this.key(event));
    this.field.addEventListener('blur', () => this.accept('stay', false));
  }

  get open(): boolean { return this.session !== null; }

  start(how: 'type' | 'edit'): boolean {
    const { sheet } = this;
    const { active } = sheet;
    const column = sheet.columns[active.column];
    if (this.session || !column || active.row < 0 || active.row >= sheet.totalRows || !sheet.source) return false;
    if (!column.editable) { sheet.hint(whyNotTyped(column)); return false; }
    const isNew = active.row >= sheet.nRows;
    const rowKey = isNew ? null : sheet.cache.rowKey(active.row);
    if (!isNew && rowKey === null) { sheet.hint(STILL_LOADING); return false; }
    const session: Session = { cell: active, rowKey, column: column.key, how, before: isNew ? '' : null };
    this.session = session;
    const { field } = this;
    const pending = rowKey === null ? undefined : sheet.changes.text(rowKey, column.key);
    const shown = isNew ? '' : pending ?? sheet.cache.text(active.row, active.column) ?? '';
    field.value = how === 'type' ? '' : shown;
    field.setAttribute('aria-label', `${column.label}, row ${active.row + 1}`);
    field.inputMode = column.kind === 'number' ? 'decimal' : 'text';
    const { source } = sheet;
    const names = column.namesAnother ? source.offers?.bind(source) : undefined;
    this.choices.offer(column.choices ?? [], `Words for ${column.label}`, names ? (typed) => names(rowKey, column.key, typed) : null);
    field.hidden = false;
    this.place();
    field.focus({ preventScroll: true });
    if (how === 'edit') field.setSelectionRange(field.value.length, field.value.length);
    if (rowKey !== null) void this.fetchRaw(session, rowKey, shown, pending);
    return true;
  }

  private async fetchRaw(session: Session, rowKey: number, shown: string, pending: string | undefined): Promise<void> {
    let raw = shown;
    try {
      raw = pending ?? await this.sheet.source?.raw(rowKey, session.column) ?? shown;
    } catch { /* The shown text stands; saving it unchanged changes nothing. */ }
    if (this.session !== session) return;
    session.before = raw;
    if (session.how === 'edit' && this.field.value === shown && raw !== shown) {
      this.field.value = raw;
      this.field.setSelectionRange(raw.length, raw.length);
      this.place();
    }
  }

  /** Follows the cell when the sheet scrolls or a column changes width. */
  place(): void {
    if (!this.session) return;
    const box = this.sheet.boxOf(this.session.cell);
    const { style } = this.field;
    style.transform = `translate(${box.left}px, ${box.top}px)`;
    style.width = `${Math.max(box.width, Math.min(this.field.value.length * 9 + 32, this.sheet.shell.clientWidth - box.left))}px`;
    style.height = `${box.height}px`;
    this.choices.place(box, { width: this.sheet.shell.clientWidth, height: this.sheet.shell.clientHeight });
  }

  private close(): Session | null {
    const { session } = this;
    this.session = null;
    this.field.hidden = true;
    this.choices.close();
    return session;
  }

  cancel(): void {
    if (!this.close()) return;
    this.sheet.focusSheet();
    this.sheet.say('Taken back.');
  }

  accept(way: Way, keepFocus = true): void {
    const text = this.choices.pointed ?? this.field.value;
    const session = this.close();
    if (!session) return;
    if (keepFocus) this.sheet.focusSheet();
    if (session.rowKey === null) {
      if (text !== '') void this.sheet.changes.send([], [[{ column: session.column, text }]], 'type');
    } else {
      const before = session.before ?? (session.how === 'edit' ? this.sheet.cache.text(session.cell.row, session.cell.column) : null);
      if (text !== before) {
        void this.sheet.changes.send([{ rowKey: session.rowKey, column: session.column, text }], [], 'type');
      }
    }
    this.moved(way);
  }

  private key(event: KeyboardEvent): void {
    if (!this.session || event.isComposing || event.keyCode === 229) return;
    const typing = this.session.how === 'type';
    const hasChoices = this.choices.offers;
    const plain = !event.ctrlKey && !event.metaKey && !event.altKey;
    const go = (way: Way): void => { event.preventDefault(); this.accept(way); };
    if (event.key === 'Enter' && (event.ctrlKey || event.metaKey)) this.fillRange(event);
    else if (event.key === 'Enter' && plain) go(event.shiftKey ? 'up' : 'down');
    else if (event.key === 'Tab' && plain) go(event.shiftKey ? 'previous' : 'next');
    else if (event.key === 'Escape') { event.preventDefault(); this.cancel(); }
    else if (event.key === 'F2') { event.preventDefault(); this.session.how = this.session.how === 'type' ? 'edit' : 'type'; }
    else if (typing && plain && !event.shiftKey && event.key === 'ArrowLeft') go('left');
    else if (typing && plain && !event.shiftKey && event.key === 'ArrowRight') go('right');
    else if (hasChoices && !event.ctrlKey && !event.metaKey && (event.key === 'ArrowUp' || event.key === 'ArrowDown')) {
      event.preventDefault();
      this.choices.move(event.key === 'ArrowDown' ? 1 : -1);
      this.place();
    } else if (plain && !hasChoices && event.key === 'ArrowUp') go('up');
    else if (plain && !hasChoices && event.key === 'ArrowDown') go('down');
    else window.requestAnimationFrame(() => this.place());
    event.stopPropagation();
  }

  private fillRange(event: KeyboardEvent): void {
    event.preventDefault();
    const text = this.choices.pointed ?? this.field.value;
    const { range } = this.sheet;
    if (cellsIn(range) === 1) { this.accept('stay'); return; }
    this.close();
    this.sheet.focusSheet();
    void changeBlock(this.sheet, range, () => text, 'fill');
  }
}
