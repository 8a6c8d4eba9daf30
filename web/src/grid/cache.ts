/**
 * Blocks of rows near what is shown.
 *
 * Enters: a source and the rows wanted now. Leaves: rows that have arrived, and a call when more have.
 * Always true: an answer asked for before the latest change is dropped; a block shown stays until its
 *   newer self is here, so nothing blinks.
 * Never: asks for rows that were scrolled past before their turn came.
 */
import type { GridSource, GridWindow } from './contract.js';

export const BLOCK_ROWS = 64;
const BLOCKS_KEPT = 64;
const ASKED_AT_ONCE = 4;

interface Block { window: GridWindow; generation: number }
export interface RowPlace { window: GridWindow; index: number }

export class BlockCache {
  private readonly blocks = new Map<number, Block>();
  private readonly asked = new Map<number, number>();
  private wanted: [number, number] = [0, 0];
  private jumped = false;
  private generation = 0;
  private keys: string[] = [];
  private source: GridSource | null = null;

  constructor(private readonly arrived: () => void, private readonly failed: (message: string) => void) {}

  open(source: GridSource | null): void {
    this.source = source;
    this.keys = source ? source.columns.map((column) => column.key) : [];
    this.generation += 1;
    this.blocks.clear();
    this.asked.clear();
  }

  /** The records changed: what is shown stays until its new text arrives, the rest is forgotten. */
  refresh(source: GridSource): void {
    const keys = source.columns.map((column) => column.key);
    if (keys.join('\n') !== this.keys.join('\n')) { this.open(source); return; }
    this.source = source;
    this.generation += 1;
    this.asked.clear();
    const [first, end] = this.wanted;
    for (const index of [...this.blocks.keys()]) {
      if ((index + 1) * BLOCK_ROWS <= first || index * BLOCK_ROWS >= end || index * BLOCK_ROWS >= source.nRows) {
        this.blocks.delete(index);
      }
    }
    this.ask();
  }

  /** True when every wanted row is as new as the last change. */
  get settled(): boolean {
    for (const index of this.wantedBlocks()) {
      if (this.blocks.get(index)?.generation !== this.generation) return false;
    }
    return true;
  }

  /** True when every wanted row can be shown, be it in an older state. */
  get present(): boolean {
    for (const index of this.wantedBlocks()) if (!this.blocks.has(index)) return false;
    return true;
  }

  place(row: number): RowPlace | null {
    const block = this.blocks.get(Math.floor(row / BLOCK_ROWS));
    if (!block) return null;
    const index = row - block.window.first;
    return index < block.window.nRows ? { window: block.window, index } : null;
  }

  rowKey(row: number): number | null {
    const place = this.place(row);
    return place ? place.window.rowKeys[place.index] ?? null : null;
  }

  text(row: number, column: number): string | null {
    const place = this.place(row);
    return place ? place.window.text[place.index * this.keys.length + column] ?? '' : null;
  }

  want(first: number, end: number): void {
    this.jumped = Math.abs(first - this.wanted[0]) > BLOCK_ROWS;
    this.wanted = [first, end];
    this.ask();
  }

  private *wantedBlocks(): Iterable<number> {
    const nRows = this.source?.nRows ?? 0;
    const [first, end] = this.wanted;
    const stop = Math.min(end, nRows);
    for (let index = Math.floor(first / BLOCK_ROWS); index * BLOCK_ROWS < stop; index += 1) yield index;
  }

  private ask(): void {
    for (const index of this.wantedBlocks()) this.askBlock(index);
    // Neighbours come only when nothing on show is outstanding, and not while the thumb flies past.
    if (this.asked.size === 0 && !this.jumped) {
      const [first, end] = this.wanted;
      this.askBlock(Math.floor((end + BLOCK_ROWS / 2) / BLOCK_ROWS));
      this.askBlock(Math.floor((first - BLOCK_ROWS / 2) / BLOCK_ROWS));
    }
  }

  private askBlock(index: number): void {
    const source = this.source;
    const first = index * BLOCK_ROWS;
    if (!source || index < 0 || first >= source.nRows) return;
    if (this.blocks.get(index)?.generation === this.generation) { this.touch(index); return; }
    if (this.asked.get(index) === this.generation || this.asked.size >= ASKED_AT_ONCE) return;
    const generation = this.generation;
    this.asked.set(index, generation);
    source.window(first, Math.min(BLOCK_ROWS, source.nRows - first), this.keys).then(
      (window) => {
        if (generation !== this.generation) return;
        this.asked.delete(index);
        this.blocks.set(index, { window, generation });
        this.trim();
        this.arrived();
        this.ask();
      },
      (problem: unknown) => {
        if (generation !== this.generation) return;
        this.asked.delete(index);
        this.failed(problem instanceof Error ? problem.message : String(problem));
      },
    );
  }

  private touch(index: number): void {
    const block = this.blocks.get(index);
    if (block) { this.blocks.delete(index); this.blocks.set(index, block); }
  }

  private trim(): void {
    const shown = new Set(this.wantedBlocks());
    for (const index of this.blocks.keys()) {
      if (this.blocks.size <= BLOCKS_KEPT) return;
      if (!shown.has(index)) this.blocks.delete(index);
    }
  }
}
