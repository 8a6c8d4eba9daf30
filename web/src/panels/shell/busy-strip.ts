/**
 * What takes long, with a way to stop it.
 *
 * Enters: the act that the engine is at. Leaves: the wish to stop.
 * Always true: it lies over the page, so that nothing moves when it comes or goes; what is stopped changes nothing
 *   that was not saved.
 * Never: offers to stop what could not be had again (a book that is in this tab only).
 */
import { html, nothing, type TemplateResult } from 'lit';
import { View } from '../view.ts';

export class BusyStrip extends View {
  private timer: ReturnType<typeof setInterval> | undefined;

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    clearInterval(this.timer);
    this.timer = undefined;
  }

  protected override render(): TemplateResult | typeof nothing {
    const act = this.app.engine.longAct;
    if (act === undefined) {
      clearInterval(this.timer);
      this.timer = undefined;
      return html`<p class="unseen" role="status"></p>`;
    }
    this.timer ??= setInterval(() => this.requestUpdate(), 1_000);
    const seconds = Math.round((Date.now() - act.since) / 1_000);
    const canStop = this.app.where === 'device' && this.app.saved?.where !== 'memory';
    return html`<p class="unseen" role="status">${act.words}</p>
      <section class="busy-strip" aria-label="What the program is at">
        <progress aria-label=${act.words}></progress>
        <span aria-hidden="true">${act.words}${seconds < 2 ? '' : `, ${seconds} s`}</span>
        ${canStop ? html`<button type="button" @click=${() => void this.app.engine.stop()}>Stop</button>` : nothing}
      </section>`;
  }
}

customElements.define('fp-busy-strip', BusyStrip);
