/**
 * How this book is kept on this device.
 *
 * Enters: the browser's word on clearing, the room it gives. Leaves: plain sentences, and a request to keep.
 * Always true: says what is known now; a browser that does not say is reported so.
 * Never: promises more than the browser did.
 */
import { html, nothing, type TemplateResult } from 'lit';
import { format, route } from '../route.ts';
import { saveCopy } from '../save-copy.ts';
import { Answer, View } from '../view.ts';
import { size } from '../versions/versions.ts';

interface Room { used: number; given: number }

async function room(): Promise<Room | null> {
  const storage = (navigator as { storage?: StorageManager }).storage;
  if (storage?.estimate === undefined) return null;
  const { usage, quota } = await storage.estimate();
  return usage === undefined || quota === undefined ? null : { used: usage, given: quota };
}

export class ThisDevice extends View {
  private readonly room = new Answer<Room | null>(this);

  protected override render(): TemplateResult {
    const { app } = this;
    const found = this.room.follow(`${app.standing} ${app.state?.revision ?? 0} ${app.saved?.where ?? ''}`, room);
    const kept = app.saved?.where !== 'memory';
    return html`<section aria-labelledby="this-device"><h2 id="this-device">Kept on this device</h2>
      <p>${this.sentence()}</p>
      <p class="room">${found == null ? nothing : html`All books here take ${size(found.used)} of the ${size(found.given)} that the browser gives. `}${kept ? html`<a href=${format(route('versions'))}>Earlier versions of this book</a>` : nothing}</p>
      <div class="row">
        ${kept && app.keeping === 'may-clear' ? html`<button type="button" @click=${() => app.askToKeep()}>Ask the browser not to clear it</button>` : nothing}
        <button type="button" @click=${() => saveCopy().catch((cause) => app.trouble(cause))}>Save a copy as a file</button>
      </div></section>`;
  }

  private sentence(): string {
    const { saved, keeping, where } = this.app;
    if (saved?.where === 'memory') {
      return where === 'memory' ? 'This browser does not keep books: this one is in this tab only. Save a copy before you close it.'
        : 'The last changes are in this tab only: the device did not keep them yet. Save a copy now.';
    }
    const held = 'Every change is kept on this device as you make it';
    if (keeping === 'promised') return `${held}, and the browser has promised not to clear it when room runs short. A saved copy is still the safest.`;
    if (keeping === 'may-clear') return `${held}. The browser may clear it when room runs short or after a long time unused, so save a copy now and then.`;
    return `${held}. This browser does not say whether it clears what it keeps, so save a copy now and then.`;
  }
}

customElements.define('fp-this-device', ThisDevice);
