/**
 * An invented herd of any size, held in memory, for the demo page and the browser journeys.
 *
 * Enters: a row count, edits. Leaves: the windows, raw texts, remarks and values a `GridSource` owes.
 * Always true: a cell's text follows from its row number alone until it is edited.
 * Never: names a real animal, person or place.
 */
import { FLAG, type CellEdit, type ColumnFilter, type GridColumn, type GridSource, type GridWindow, type NewCell, type SortKey } from './contract.js';

export const COLUMNS: readonly GridColumn[] = [
  { key: 'tag', label: 'Tag', unit: '', kind: 'text', origin: 'entered', help: 'The calf as you call it.', editable: true, width: 104 },
  { key: 'born', label: 'Born', unit: '', kind: 'date', origin: 'entered', help: 'Day of birth.', editable: true },
  { key: 'sex', label: 'Sex', unit: '', kind: 'code', origin: 'entered', help: 'Bull, heifer or steer.', editable: true, choices: ['bull', 'heifer', 'steer'] },
  { key: 'dam', label: 'Dam', unit: '', kind: 'text', origin: 'entered', help: 'Tag of the mother.', editable: true },
  { key: 'birth_weight', label: 'Birth weight', unit: 'lb', kind: 'number', origin: 'entered', help: 'Weight at birth.', editable: true },
  { key: 'weaning_weight', label: 'Weaning weight', unit: 'lb', kind: 'number', origin: 'entered', help: 'Weight on the scale at weaning.', editable: true },
  { key: 'weighed', label: 'Weighed', unit: '', kind: 'date', origin: 'entered', help: 'Day of weighing.', editable: true },
  { key: 'age', label: 'Age at weighing', unit: 'days', kind: 'number', origin: 'engine', help: 'Change the birth date or the weigh date instead.', editable: false },
  { key: 'adjusted', label: 'Adjusted 205-day weight', unit: 'lb', kind: 'number', origin: 'engine', help: 'Change the weights, the dates or the dam instead.', editable: false },
  { key: 'ratio', label: 'Ratio', unit: '', kind: 'number', origin: 'engine', help: 'Weight against the mean of its contemporary group, which is 100.', editable: false, bar: true },
  { key: 'gain', label: 'Gain per day', unit: 'lb/day', kind: 'number', origin: 'own', help: '(Weaning weight - Birth weight) / Age', editable: false },
  { key: 'pasture', label: 'Pasture', unit: '', kind: 'code', origin: 'entered', help: 'Where the calf ran.', editable: true, choices: ['North', 'Creek', 'Hill', 'Flat'] },
  { key: 'note', label: 'Note', unit: '', kind: 'text', origin: 'entered', help: 'Anything worth keeping.', editable: true, width: 220 },
];

const PASTURES = ['North', 'Creek', 'Hill', 'Flat'];
const NOTES = ['', '', '', 'pulled', '', '', 'twin', '', '', '<b>not bold</b>', ''];

/** A fixed scramble of the row number (Knuth's multiplicative hash). */
const scramble = (key: number, salt: number): number => (Math.imul(key + salt * 7919, 2654435761) >>> 0) / 4294967296;
const day = (key: number, from: string, spread: number, salt: number): string =>
  new Date(Date.parse(from) + Math.floor(scramble(key, salt) * spread) * 86_400_000).toISOString().slice(0, 10);

export class DemoSource implements GridSource {
  readonly columns = COLUMNS;
  revision = 1;
  private order: Uint32Array;
  private total: number;
  private readonly edits = new Map<string, string>();
  private past: { key: string; before: string | undefined }[][] = [];
  private future: { key: string; before: string | undefined }[][] = [];

  constructor(nRows: number) {
    this.total = nRows;
    this.order = Uint32Array.from({ length: nRows }, (_, row) => row);
  }

  get nRows(): number { return this.order.length; }

  private base(key: number, column: string): string {
    switch (column) {
      case 'tag': return String(1000 + key);
      case 'born': return day(key, '2026-02-20', 70, 1);
      case 'sex': return scramble(key, 2) < 0.5 ? 'bull' : 'heifer';
      case 'dam': return `C${Math.floor(scramble(key, 3) * 9000) + 100}`;
      case 'birth_weight': return key % 29 === 4 ? '' : (62 + scramble(key, 4) * 40).toFixed(0);
      case 'weaning_weight': return key % 41 === 9 ? '5o2' : key % 37 === 5 ? '1150' : (430 + scramble(key, 5) * 220).toFixed(0);
      case 'weighed': return day(key, '2026-09-28', 6, 6);
      case 'pasture': return PASTURES[key % 4] ?? '';
      case 'note': return NOTES[key % NOTES.length] ?? '';
      default: return '';
    }
  }

  private text(key: number, column: string): string {
    const edited = this.edits.get(`${key}\t${column}`);
    if (edited !== undefined) return edited;
    if (key >= this.total) return '';
    return this.base(key, column);
  }

  private computed(key: number, column: string): number {
    const weight = Number(this.text(key, 'weaning_weight') || NaN);
    const age = (Date.parse(this.text(key, 'weighed')) - Date.parse(this.text(key, 'born'))) / 86_400_000;
    const birth = Number(this.text(key, 'birth_weight') || NaN);
    if (column === 'age') return age;
    const gain = (weight - birth) / age;
    if (column === 'gain') return gain;
    const adjusted = gain * 205 + birth;
    return column === 'adjusted' ? adjusted : (adjusted / 545) * 100;
  }

  private shown(key: number, column: GridColumn): string {
    if (column.origin === 'entered') return this.text(key, column.key);
    const value = this.computed(key, column.key);
    if (Number.isNaN(value)) return '';
    return value.toFixed(column.key === 'gain' ? 2 : column.key === 'ratio' ? 1 : 0);
  }

  private flag(column: GridColumn, text: string): number {
    if (text === '') return FLAG.missing;
    if (column.key === 'weaning_weight' && Number.isNaN(Number(text))) return FLAG.unreadable;
    if (column.key === 'weaning_weight' && Number(text) > 900) return FLAG.doubtful;
    if (column.key === 'age' && Number(text) < 0) return FLAG.error;
    return 0;
  }

  async window(first: number, nRows: number, columns: readonly string[]): Promise<GridWindow> {
    const rowKeys = this.order.slice(first, first + nRows);
    const wanted = columns.flatMap((key) => COLUMNS.find((column) => column.key === key) ?? []);
    const text: string[] = [];
    const flags = new Uint8Array(rowKeys.length * wanted.length);
    const values = new Float64Array(rowKeys.length * wanted.length).fill(NaN);
    rowKeys.forEach((key, row) => wanted.forEach((column, index) => {
      const shown = this.shown(key, column);
      const at = row * wanted.length + index;
      text.push(shown);
      flags[at] = this.flag(column, shown);
      if (column.bar) values[at] = this.computed(key, column.key);
    }));
    return { first, nRows: rowKeys.length, rowKeys, text, flags, values };
  }

  async raw(rowKey: number, column: string): Promise<string> {
    const found = COLUMNS.find((one) => one.key === column);
    if (!found) return '';
    return found.origin === 'own' ? found.help : found.origin === 'engine' ? String(this.computed(rowKey, column)) : this.text(rowKey, column);
  }

  async remark(rowKey: number, column: string): Promise<string> {
    const found = COLUMNS.find((one) => one.key === column);
    const flag = found ? this.flag(found, this.shown(rowKey, found)) : 0;
    if (flag === FLAG.doubtful) return 'A weaning weight over 900 lb is unusual. Was this the right calf?';
    if (flag === FLAG.unreadable) return 'This is not a number. Type the weight in lb, for example 512.';
    return '';
  }

  async values(column: string): Promise<{ text: string; n: number }[]> {
    const counts = new Map<string, number>();
    const found = COLUMNS.find((one) => one.key === column);
    if (!found) return [];
    for (let key = 0; key < Math.min(this.total, 50_000); key += 1) {
      const text = this.shown(key, found);
      counts.set(text, (counts.get(text) ?? 0) + 1);
    }
    return [...counts].map(([text, n]) => ({ text, n })).sort((a, b) => a.text.localeCompare(b.text, 'en', { numeric: true }));
  }

  async edge(from: number, column: string, direction: 1 | -1): Promise<number> {
    const found = COLUMNS.find((one) => one.key === column);
    if (!found) return from;
    const end = direction > 0 ? this.nRows - 1 : 0;
    const filled = (row: number): boolean => this.shown(this.order[row] ?? 0, found) !== '';
    if (from === end) return from;
    let row = from + direction;
    if (filled(from) && filled(row)) { while (row !== end && filled(row + direction)) row += direction; return row; }
    while (row !== end && !filled(row)) row += direction;
    return row;
  }

  /* What a host does with the events. */

  private act(changes: { key: string; text: string | undefined }[], keep: { key: string; before: string | undefined }[][]): void {
    keep.push(changes.map(({ key }) => ({ key, before: this.edits.get(key) })));
    for (const { key, text } of changes) { if (text === undefined) this.edits.delete(key); else this.edits.set(key, text); }
    this.revision += 1;
  }

  apply(cells: readonly CellEdit[]): void {
    this.future = [];
    this.act(cells.map((cell) => ({ key: `${cell.rowKey}\t${cell.column}`, text: cell.text })), this.past);
  }

  append(rows: readonly (readonly NewCell[])[]): void {
    const longer = new Uint32Array(this.order.length + rows.length);
    longer.set(this.order);
    rows.forEach((row, index) => {
      const key = 10_000_000 + this.order.length + index;
      longer[this.order.length + index] = key;
      for (const cell of row) this.edits.set(`${key}\t${cell.column}`, cell.text);
    });
    this.order = longer;
    this.revision += 1;
  }

  undo(): boolean { return this.back(this.past, this.future); }
  redo(): boolean { return this.back(this.future, this.past); }
  private back(from: typeof this.past, to: typeof this.past): boolean {
    const step = from.pop();
    if (!step) return false;
    this.act(step.map(({ key, before }) => ({ key, text: before })), to);
    return true;
  }

  sort(keys: readonly SortKey[]): void {
    const columns = keys.flatMap(({ column, descending }) => {
      const found = COLUMNS.find((one) => one.key === column);
      return found ? [{ found, sign: descending ? -1 : 1 }] : [];
    });
    const texts = new Map(columns.map(({ found }) => [found.key, Array.from(this.order, (key) => this.shown(key, found))]));
    const place = new Map(Array.from(this.order, (rowKey, row): [number, number] => [rowKey, row]));
    this.order.sort((a, b) => {
      for (const { found, sign } of columns) {
        const list = texts.get(found.key) ?? [];
        const [left, right] = [list[place.get(a) ?? 0] ?? '', list[place.get(b) ?? 0] ?? ''];
        if (left === right) continue;
        if (left === '' || right === '') return left === '' ? 1 : -1;
        const order = found.kind === 'number' ? Number(left) - Number(right) : left < right ? -1 : 1;
        if (order) return sign * order;
      }
      return a - b;
    });
    this.revision += 1;
  }

  filter(byColumn: readonly ColumnFilter[]): void {
    const tests = byColumn.flatMap((filter) => {
      const column = COLUMNS.find((one) => one.key === filter.column);
      return column ? [{ column, contains: filter.contains?.toLowerCase(), values: filter.values && new Set(filter.values) }] : [];
    });
    this.order = Uint32Array.from({ length: this.total }, (_, row) => row).filter((key) => tests.every((test) => {
      const text = this.shown(key, test.column);
      return (test.contains === undefined || text.toLowerCase().includes(test.contains)) && (test.values === undefined || test.values.has(text));
    }));
    this.revision += 1;
  }
}
