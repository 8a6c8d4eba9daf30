/**
 * A small bar of acts for fingers: copy, paste, fill down, clear, and the acts on rows.
 *
 * Enters: a long press. Leaves: the same acts as the keys.
 * Always true: stands at the foot of the sheet, out of the finger's way, until an act, a tap elsewhere or
 *   Escape puts it away; every act has a key as well.
 * Never: opens for a mouse.
 */
import { clearRange, fillFromTop } from './block.js';
import type { Clipboard } from './clipboard.js';
import type { Sheet } from './sheet.js';

export class TouchMenu {
  private readonly bar = document.createElement('div');

  constructor(sheet: Sheet, clipboard: Clipboard) {
    const { bar } = this;
    bar.className = 'fpg-acts';
    bar.setAttribute('role', 'toolbar');
    bar.setAttribute('aria-label', 'Selected cells');
    bar.hidden = true;
    const add = (words: string, act: () => void): void => {
      const button = document.createElement('button');
      button.type = 'button';
      button.textContent = words;
      button.addEventListener('click', () => { act(); this.close(); sheet.focusSheet(); });
      bar.append(button);
    };
    add('Copy', () => void clipboard.copyByButton());
    add('Paste', () => void clipboard.pasteByButton());
    add('Fill down', () => void fillFromTop(sheet));
    add('Clear', () => void clearRange(sheet));
    add('Rows', () => sheet.emit('fp-rows', { act: 'menu' }));
    add('Done', () => undefined);
    bar.addEventListener('keydown', (event) => { if (event.key === 'Escape') { this.close(); sheet.focusSheet(); } });
    sheet.shell.append(bar);
  }

  open(): void { this.bar.hidden = false; }
  close(): void { this.bar.hidden = true; }
  get isOpen(): boolean { return !this.bar.hidden; }
}
